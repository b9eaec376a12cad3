"""Frame -> analysis model: a node at every joint, members tied to it by rigid offsets from their centroids."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.fem import FrameModel
from framecore.fem.model import cross as products
from framecore.frame.model import Frame, Vector
from framecore.frame.vector import cross, minus
from framecore.strength._floor import floor_under, set_out
from framecore.strength._loads import lumps as load_lumps
from framecore.strength._machine import MachineModel, machine_model
from framecore.strength._plated import plated_bars
from framecore.strength._section import principal
from framecore.strength.model import ModelMap

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
# A steel foot on concrete, N/mm each way: far stiffer than any leg, so its value hardly matters (assumed).
FOOT_STIFFNESS = 50_000.0
TONNE = 1e-3  # kg -> t
_NEAR = 1e-6
_SHORT = 2.0  # shortest piece of a member, mm: shorter ones would spoil the equations
_OVERHANG = 1.5  # ends longer than this times the section's size get a node of their own


# An element as one row of numbers: nodes of both ends; end points on the centroid line and local y; area, i_y, i_z, j,
# shear_y, shear_z, e, g, density; shear centre; stations of both ends along the member.
Row = tuple[float, ...]
_NODES, _A, _B, _Y, _NUMBERS, _CENTRE, _AT = (
    slice(0, 2), slice(2, 5), slice(5, 8), slice(8, 11), slice(11, 20), slice(20, 22), slice(22, 24)
)  # fmt: skip
_WIDE = 24
_NO_CENTRE = (0.0, 0.0)
_Ties = dict[tuple[int, int], None]  # member and node, in order


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
    ties: _Ties = {}
    for joint in frame.joints:
        n = node(joint.name, joint.point)
        for name in joint.members:
            ties[numbers[name], n] = None
    rows: list[Row] = []  # of all but members
    parts: list[str] = []
    foot_nodes = []
    stud_d = find_thread(brief.feet.thread).root_diameter
    thick = {p.name: p.thickness for p in frame.plates}
    # Turned out to stand level, a foot over low floor stands on a longer stud.
    for foot, out in zip(frame.feet, set_out(brief, floor_under(brief, frame)).tolist(), strict=True):
        under = (foot.base[0], foot.base[1], foot.base[2] - out)
        pad = node(head_of(foot.name), (foot.top[0], foot.top[1], foot.top[2] + thick[foot.pad]))
        if foot.leg:
            ties[numbers[foot.leg], pad] = None
        floor = node(foot.name, under)
        reach = foot.top[2] - under[2]
        stud = _round(stud_d, steel.e, steel.g, masses[foot.name] / reach)
        foot_nodes.append(floor)
        rows.append((floor, pad, *under, *foot.top, 1.0, 0.0, 0.0, *stud, *_NO_CENTRE, 0.0, reach))
        parts.append(foot.name)
    mount_nodes = []
    for mount in frame.mounts:
        n = node(mount.name, mount.point)
        mount_nodes.append(n)
        if mount.member:
            ties[numbers[mount.member], n] = None
    lines = _lines(frame)
    at = _stations(lines, ties, nodes)
    loose = _loose_ends(frame, lines, *at)
    if loose:
        for k, word, point in loose:
            ties[k, node(f"{frame.members[k].name} {word}", point)] = None
        at = _stations(lines, ties, nodes)
    own, of = _elements(frame, masses, (steel.e, steel.g), lines, *at)
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
            rows.append((i, j, *a, *b, *y, *values, *_NO_CENTRE, 0.0, math.dist(a, b)))
            parts.append(bar.part)
        heart = index[machine.heart]
    where = {name: nodes[n] for name, n in index.items()} | {f.name: nodes[index[head_of(f.name)]] for f in frame.feet}
    heads = {f.name: index[head_of(f.name)] for f in frame.feet}
    node_of = index | heads  # a plate meets a foot at the head of its stud
    for plate in frame.plated:
        for begin, end, numbers_of in plated_bars(plate, where, steel.e, steel.g):
            i, j = node_of[begin], node_of[end]
            a, b = nodes[i], nodes[j]
            y = _level_across(minus(b, a))
            rows.append((i, j, *a, *b, *y, *numbers_of, *_NO_CENTRE, 0.0, math.dist(a, b)))
            parts.append(plate.plate)
    ring = [index[name] for name in frame.seat_joints]
    lumps: list[tuple[int, float]] = []
    for part in frame.plates:
        # A sheet hangs on what the layout says, else on the corners of the seat, in equal parts.
        under_it = [node_of[name] for name in part.on] or ring
        lumps += [(n, masses[part.name] / len(under_it)) for n in under_it]
    for caster in frame.casters:
        on = [n for k, n in ties if k == numbers[caster.on]]
        lumps.append((min(on, key=lambda n: math.dist(nodes[n], caster.ground)), masses[caster.name]))
    arms = [(0.0, 0.0, 0.0)] * len(lumps)
    for n, kg, arm in load_lumps(brief, frame, nodes, index, heart):
        lumps.append((n, kg))
        arms.append(arm)
    feet = len(frame.feet)
    others = np.array(rows)
    table = np.concatenate([others[:feet], own, others[feet:]])
    member = np.full(len(table), -1, np.int32)
    member[feet : feet + len(own)] = of
    names = [frame.members[k].name for k in of.tolist()]
    return StandModel(
        model=_arrays(np.array(nodes), table, foot_nodes, heart, brief, machine, lumps, arms),
        map=ModelMap(
            element_member=member, element_part=(*parts[:feet], *names, *parts[feet:]), stations=table[:, _AT],
            foot_nodes=np.array(foot_nodes, np.int32), mount_nodes=np.array(mount_nodes, np.int32),
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


# Members, all at once: a stand has hundreds of places where they meet. A line is start, end, profile's y and z, and x.
def _lines(frame: Frame) -> Floats:
    """Centroid lines of the members, (5, m, 3)."""
    flat = np.array([(*m.start.point, *m.end.point, *m.y_axis, *m.z_axis) for m in frame.members])
    lines = np.empty((5, len(flat), 3))
    lines[:4] = flat.reshape(-1, 4, 3).transpose(1, 0, 2)
    lines[4] = products(lines[2], lines[3])
    return lines


def _stations(lines: Floats, ties: _Ties, nodes: list[Vector]) -> tuple[Ints, Ints, Floats]:
    """Member and node of each tie, and how far along the member it lies, mm."""
    pairs = np.array(list(ties), np.intp)
    member, node = pairs[:, 0], pairs[:, 1]
    return member, node, _along(np.array(nodes)[node] - lines[0, member], lines[4, member])


def _loose_ends(frame: Frame, lines: Floats, member: Ints, _node: Ints, t: Floats) -> list[tuple[int, str, Vector]]:
    """Ends that want a node of their own: they reach well past the last joint, so they sway alone and weigh there."""
    whole = _along(lines[1] - lines[0], lines[4])
    past = np.array([max(m.profile.height, m.profile.width) for m in frame.members]) * _OVERHANG
    near = np.full((2, len(past)), np.inf)  # how near the nearest tie lies to start and end
    np.minimum.at(near[0], member, np.abs(t))
    np.minimum.at(near[1], member, np.abs(whole[member] - t))
    count = np.bincount(member, minlength=len(past))
    out = []
    for k in np.flatnonzero((count < 2) | (near > past).any(0)).tolist():
        part, ties = frame.members[k], int(count[k])
        if ties < 2 or near[0, k] > past[k]:
            out.append((k, "start", part.start.point))
            near[1, k] = min(near[1, k], whole[k])
            ties += 1
        if ties < 2 or near[1, k] > past[k]:
            out.append((k, "end", part.end.point))
    return out


def _elements(
    frame: Frame, masses: dict[str, float], steel: tuple[float, float], lines: Floats, member: Ints, node: Ints, t: Floats
) -> tuple[Floats, Ints]:  # fmt: skip
    """Rows of one element from each tie to the next along every member, and the members; ``steel`` e and g, MPa."""
    order = np.lexsort((t, member))
    member, node, t = member[order], node[order], t[order]
    at = np.flatnonzero(member[1:] == member[:-1])
    k, t0, t1 = member[at], t[at], t[at + 1]
    short = t1 - t0 < _SHORT
    if short.any():  # two joints at one place: a short piece of the member holds them together
        middle = (t0 + t1) / 2
        t0, t1 = np.where(short, middle - _SHORT / 2, t0), np.where(short, middle + _SHORT / 2, t1)
    sections = np.array([_section(m.profile.id) for m in frame.members])
    # Members meet on their centroid lines and so overlap a little; together they weigh what the steel weighs.
    reach = np.bincount(k, t1 - t0, len(sections))
    density = np.array([masses[m.name] for m in frame.members]) * TONNE / (sections[:, 0] * reach)
    start, x = lines[0, k], lines[4, k]
    rows = np.empty((len(k), _WIDE))
    rows[:, 0], rows[:, 1] = node[at], node[at + 1]
    rows[:, _A], rows[:, _B] = start + t0[:, None] * x, start + t1[:, None] * x
    rows[:, _Y] = (sections[:, 6:7] * lines[2] + sections[:, 7:8] * lines[3])[k]
    rows[:, 11:17], rows[:, 17:19], rows[:, 19] = sections[k, :6], steel, density[k]
    rows[:, _CENTRE] = sections[k, 8:]
    rows[:, 22], rows[:, 23] = t0, t1
    return rows, k


def _along(way: Floats, x: Floats) -> Floats:
    return way[:, 0] * x[:, 0] + way[:, 1] * x[:, 1] + way[:, 2] * x[:, 2]


@lru_cache(maxsize=256)
def _section(profile_id: str) -> tuple[float, ...]:
    """Area, i_u, i_v, j, shear_u, shear_v, cosine and sine of u from the profile's y, and its shear centre."""
    s = principal(profile_id)
    return (s.area, s.i_u, s.i_v, s.j, s.shear_u, s.shear_v, *s.along, *s.shear_centre)


def _arrays(
    nodes: Floats, rows: Floats, feet: list[int], heart: int, brief: Brief, machine: MachineModel | None,
    lumps: list[tuple[int, float]], offsets: list[Vector],
) -> FrameModel:  # fmt: skip
    elements, a, b, y = rows[:, _NODES].astype(np.intp), rows[:, _A], rows[:, _B], rows[:, _Y]
    axes, offset = np.empty((len(rows), 3, 3)), np.empty((len(rows), 2, 3))
    x = b - a
    axes[:, 0] = x / np.sqrt(_along(x, x))[:, None]
    axes[:, 1] = y
    axes[:, 2] = products(axes[:, 0], y)
    offset[:, 0], offset[:, 1] = a, b
    offset -= nodes[elements]
    columns = rows[:, _NUMBERS].T
    springs = np.tile([FOOT_STIFFNESS] * 3 + [0.0] * 3, (len(feet), 1))
    if machine is not None:
        lumps = [*lumps, (heart, brief.machine.mass)]
        offsets = [*offsets, machine.mass_offset]
    return FrameModel(
        nodes=nodes, elements=elements, axes=axes, offsets=offset,
        area=columns[0], i_y=columns[1], i_z=columns[2], j=columns[3], shear_y=columns[4], shear_z=columns[5],
        e=columns[6], g=columns[7], density=columns[8], shear_centre=rows[:, _CENTRE],
        spring_nodes=np.array(feet), spring_stiffness=springs,
        mass_nodes=np.array([n for n, _ in lumps], int), mass=np.array([kg * TONNE for _, kg in lumps]),
        mass_offset=np.array(offsets).reshape(-1, 3), mass_inertia=np.zeros((len(lumps), 3)),
    )  # fmt: skip
