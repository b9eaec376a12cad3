"""Frame -> analysis model: a node at every joint, members tied to it by rigid offsets from their centroids."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from operator import itemgetter
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.fem import FrameModel
from framecore.fem.model import cross as products
from framecore.frame.model import Frame, Vector
from framecore.frame.vector import cross, dot, minus
from framecore.strength._floor import floor_under, set_out
from framecore.strength._loads import lumps as load_lumps
from framecore.strength._machine import MachineModel, machine_model
from framecore.strength._plated import plated_bars
from framecore.strength._section import principal
from framecore.strength.model import ModelMap

Floats = NDArray[np.float64]
# A steel foot on concrete, N/mm each way: far stiffer than any leg, so its value hardly matters (assumed).
FOOT_STIFFNESS = 50_000.0
TONNE = 1e-3  # kg -> t
_NEAR = 1e-6
_second = itemgetter(1)
_SHORT = 2.0  # shortest piece of a member, mm: shorter ones would spoil the equations
_OVERHANG = 1.5  # ends longer than this times the section's size get a node of their own


class _Row(NamedTuple):
    part: str
    member: int
    i: int
    j: int
    a: Vector  # end points on the centroid line
    b: Vector
    y: Vector
    numbers: tuple[float, ...]  # area, i_y, i_z, j, shear_y, shear_z, e, g, density
    centre: tuple[float, float]
    at: tuple[float, float]


_NO_CENTRE = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StandModel:
    """The model, how it belongs to the frame, and the nodes that loads go to."""

    model: FrameModel
    map: ModelMap
    ring_nodes: NDArray[np.int32]
    heart: int
    machine: MachineModel | None


def head_of(foot: str) -> str:
    """Name of the node where a foot's stud meets what stands on it."""
    return f"{foot} head"


def _level_across(x: Vector) -> Vector:
    """Return the level unit vector across ``x``, so that a strip's local y lies in its plate."""
    size = math.hypot(x[0], x[1])
    return (-x[1] / size, x[0] / size, 0.0) if size > _NEAR else (1.0, 0.0, 0.0)


def _unit_across(x: Vector) -> Vector:
    """Return any unit vector across ``x``."""
    y = cross(x, (1.0, 0.0, 0.0) if abs(x[0]) < 0.9 * math.hypot(*x) else (0.0, 1.0, 0.0))
    size = math.hypot(*y)
    return (y[0] / size, y[1] / size, y[2] / size)


def build_model(brief: Brief, frame: Frame, masses: dict[str, float]) -> StandModel:
    """Build the analysis model of a frame with its machine; ``masses`` in kg of every part by name."""
    steel = find_steel(brief.steel.grade)
    nodes: list[Vector] = []
    index: dict[str, int] = {}

    def node(key: str, point: Vector) -> int:
        n = index.setdefault(key, len(nodes))
        if n == len(nodes):
            nodes.append(point)
        return n

    numbers = {m.name: k for k, m in enumerate(frame.members)}
    stations: list[dict[int, float]] = [{} for _ in frame.members]  # node -> distance along the member
    lines = [(m.start.point, m.x_axis) for m in frame.members]

    def tie(member: int, n: int) -> None:
        (a, b, c), (u, v, w) = lines[member]
        p = nodes[n]
        stations[member][n] = (p[0] - a) * u + (p[1] - b) * v + (p[2] - c) * w

    for joint in frame.joints:
        n = node(joint.name, joint.point)
        for name in joint.members:
            tie(numbers[name], n)
    rows: list[_Row] = []
    foot_nodes = []
    stud_d = find_thread(brief.feet.thread).root_diameter
    thick = {p.name: p.thickness for p in frame.plates}
    # Turned out to stand level, a foot over low floor stands on a longer stud.
    for foot, out in zip(frame.feet, set_out(brief, floor_under(brief, frame)).tolist(), strict=True):
        under = (foot.base[0], foot.base[1], foot.base[2] - out)
        pad = node(head_of(foot.name), (foot.top[0], foot.top[1], foot.top[2] + thick[foot.pad]))
        if foot.leg:
            tie(numbers[foot.leg], pad)
        floor = node(foot.name, under)
        reach = foot.top[2] - under[2]
        stud = _round(stud_d, steel.e, steel.g, masses[foot.name] / reach)
        foot_nodes.append(floor)
        rows.append(
            _Row(foot.name, -1, floor, pad, under, foot.top, (1.0, 0.0, 0.0), stud, _NO_CENTRE, (0.0, reach))
        )  # fmt: skip
    mount_nodes = []
    for mount in frame.mounts:
        n = node(mount.name, mount.point)
        mount_nodes.append(n)
        if mount.member:
            tie(numbers[mount.member], n)
    for k, member in enumerate(frame.members):
        # An end that reaches well past its last joint sways on its own and weighs there.
        own, (start, x), profile = stations[k], lines[k], member.profile
        whole = dot(minus(member.end.point, start), x)
        past = _OVERHANG * max(profile.height, profile.width)
        for word, t, point in (("start", 0.0, start), ("end", whole, member.end.point)):
            if len(own) < 2 or _far(t, own, past):
                tie(k, node(f"{member.name} {word}", point))
        s = principal(profile.id)
        c_u, s_u = s.along
        (ya, yb, yc), (za, zb, zc) = member.y_axis, member.z_axis
        u = (c_u * ya + s_u * za, c_u * yb + s_u * zb, c_u * yc + s_u * zc)
        ordered = sorted(own.items(), key=_second)
        # Members meet on their centroid lines and so overlap a little; together they weigh what the steel weighs.
        reach = 0.0
        for (_, t0), (_, t1) in pairwise(ordered):
            reach += max(t1 - t0, _SHORT)
        density = masses[member.name] * TONNE / (s.area * reach)
        values = (s.area, s.i_u, s.i_v, s.j, s.shear_u, s.shear_v, steel.e, steel.g, density)
        (a0, a1, a2), (x0, x1, x2), name, centre = start, x, member.name, s.shear_centre
        for (i, t0), (j, t1) in pairwise(ordered):
            if t1 - t0 < _SHORT:  # two joints at one place: a short piece of the member holds them together
                t0, t1 = (t0 + t1 - _SHORT) / 2, (t0 + t1 + _SHORT) / 2
            first = (a0 + t0 * x0, a1 + t0 * x1, a2 + t0 * x2)
            last = (a0 + t1 * x0, a1 + t1 * x1, a2 + t1 * x2)
            rows.append(_Row(name, k, i, j, first, last, u, values, centre, (t0, t1)))
    machine = machine_model(brief, frame.mounts, frame.seat, _steel_under(brief, frame))
    heart = -1
    if machine is not None:
        for key, point in machine.nodes.items():
            node(key, point)
        for bar in machine.bars:
            i, j = index[bar.a], index[bar.b]
            a, b = nodes[i], nodes[j]
            if bar.length:
                a = (a[0], a[1], a[2] + bar.low)
                b = (a[0], a[1], a[2] + bar.length)
            values = (bar.area, bar.i_y, bar.i_z, bar.j, bar.shear_y, bar.shear_z, bar.e, bar.g, 0.0)
            y = bar.y or _unit_across(minus(b, a))
            rows.append(_Row(bar.part, -1, i, j, a, b, y, values, _NO_CENTRE, (0.0, math.dist(a, b))))
        heart = index[machine.heart]
    where = {name: nodes[n] for name, n in index.items()} | {f.name: nodes[index[head_of(f.name)]] for f in frame.feet}
    heads = {f.name: index[head_of(f.name)] for f in frame.feet}
    node_of = index | heads  # a plate meets a foot at the head of its stud
    for plate in frame.plated:
        for begin, end, numbers_of in plated_bars(plate, where, steel.e, steel.g):
            i, j = node_of[begin], node_of[end]
            a, b = nodes[i], nodes[j]
            y = _level_across(minus(b, a))
            rows.append(_Row(plate.plate, -1, i, j, a, b, y, numbers_of, _NO_CENTRE, (0.0, math.dist(a, b))))
    ring = [index[name] for name in frame.seat_joints]
    lumps: list[tuple[int, float]] = []
    for part in frame.plates:
        # A sheet hangs on what the layout says, else on the corners of the seat, in equal parts.
        at = [node_of[name] for name in part.on] or ring
        lumps += [(n, masses[part.name] / len(at)) for n in at]
    for caster in frame.casters:
        on = stations[numbers[caster.on]]
        lumps.append((min(on, key=lambda n: math.dist(nodes[n], caster.ground)), masses[caster.name]))
    arms = [(0.0, 0.0, 0.0)] * len(lumps)
    for n, kg, arm in load_lumps(brief, frame, nodes, index, heart):
        lumps.append((n, kg))
        arms.append(arm)
    columns: Any = _Row._make(zip(*rows, strict=True))  # each field as one column
    return StandModel(
        model=_arrays(np.array(nodes), columns, foot_nodes, heart, brief, machine, lumps, arms),
        map=ModelMap(
            element_member=np.array(columns.member, np.int32), element_part=columns.part,
            stations=np.array(columns.at),
            foot_nodes=np.array(foot_nodes, np.int32),
            mount_nodes=np.array(mount_nodes, np.int32),
        ),
        ring_nodes=np.array(ring, np.int32), heart=heart, machine=machine,
    )  # fmt: skip


def _steel_under(brief: Brief, frame: Frame) -> dict[str, float]:
    """Return how much steel each holding-down bolt goes through below the seat, mm, by mount."""
    deep = {m.name: m.profile.height if m.profile.closed else m.profile.wall for m in frame.members}
    return {k.name: deep.get(k.member, brief.frame.base_thickness) for k in frame.mounts}


def _round(d: float, e: float, g: float, kg_per_mm: float) -> tuple[float, ...]:
    area, i = math.pi * d * d / 4, math.pi * d**4 / 64
    return (area, i, i, 2 * i, 0.9 * area, 0.9 * area, e, g, kg_per_mm * TONNE / area)


def _far(t: float, stations: dict[int, float], past: float) -> bool:
    """Whether every station lies farther than ``past`` from ``t``."""
    for s in stations.values():  # noqa: SIM110  a loop takes half the time of a generator
        if abs(t - s) <= past:
            return False
    return True


def _arrays(
    nodes: Floats,
    rows: Any,  # each field of _Row as one column
    feet: list[int],
    heart: int,
    brief: Brief,
    machine: MachineModel | None,
    lumps: list[tuple[int, float]],
    offsets: list[Vector],
) -> FrameModel:
    elements = np.array([rows.i, rows.j]).T
    a, b = np.array(rows.a), np.array(rows.b)
    x = b - a
    x /= np.linalg.norm(x, axis=1)[:, None]
    y = np.array(rows.y)
    columns = np.array(rows.numbers).T
    springs = np.tile([FOOT_STIFFNESS] * 3 + [0.0] * 3, (len(feet), 1))
    if machine is not None:
        lumps = [*lumps, (heart, brief.machine.mass)]
        offsets = [*offsets, machine.mass_offset]
    return FrameModel(
        nodes=nodes, elements=elements, axes=np.stack([x, y, products(x, y)], axis=1),
        offsets=np.stack([a - nodes[elements[:, 0]], b - nodes[elements[:, 1]]], axis=1),
        area=columns[0], i_y=columns[1], i_z=columns[2], j=columns[3], shear_y=columns[4], shear_z=columns[5],
        e=columns[6], g=columns[7], density=columns[8], shear_centre=np.array(rows.centre),
        spring_nodes=np.array(feet), spring_stiffness=springs,
        mass_nodes=np.array([n for n, _ in lumps], int), mass=np.array([kg * TONNE for _, kg in lumps]),
        mass_offset=np.array(offsets).reshape(-1, 3), mass_inertia=np.zeros((len(lumps), 3)),
    )  # fmt: skip
