"""The machine on its mounts: a bed beam on its screws, blocks or shims, its mass where it really is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Mount, Vector
from framecore.strength._seating import E, FootBar, G, foot_bar

# Grey cast iron, MPa and kg/m3 (common practice): what beds are mostly made of.
CAST_IRON_E = 110_000.0
CAST_IRON_G = 44_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar of the machine from node key to node key with its section.

    ``y``: its local y, None for any; ``low``, ``length``: where it begins above ``a`` and how long it is, mm, rigid
    arms on beyond its ends; length 0: all the way.
    """

    part: str
    a: str
    b: str
    area: float
    i_y: float
    i_z: float
    j: float
    shear_y: float
    shear_z: float
    e: float
    g: float
    y: Vector | None = None
    low: float = 0.0
    length: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineModel:
    """Nodes and bars that stand for the machine.

    ``nodes``: key -> point; mounts have their own names as keys. ``heart``: key of the node that carries the
    mass; ``mass_offset`` from it to the centre of mass; ``work_offset`` to the work line, mm; ``seats`` what is under each.
    """

    nodes: dict[str, Vector]
    bars: tuple[Bar, ...]
    heart: str
    mass_offset: Vector
    work_offset: Vector
    assumptions: tuple[str, ...]
    seats: tuple[FootBar, ...] = field(default=())


def machine_model(
    brief: Brief, mounts: tuple[Mount, ...], seat: float, under: Mapping[str, float]
) -> MachineModel | None:  # fmt: skip
    """Build the machine's part of the model, None when nothing stands on the mounts; ``under`` mm of steel by mount."""
    if not mounts or brief.machine.mass <= 0:
        return None
    m = brief.machine
    bolt = find_thread(m.bolt)
    rise = max(brief.mounting.jack, bolt.diameter)
    seats = tuple(foot_bar(brief, k, rise, under[k.name]) for k in mounts)
    assumptions = list(dict.fromkeys(s.assumption for s in seats if s.assumption))
    top = seat + rise
    nodes: dict[str, Vector] = {}
    bars: list[Bar] = []
    for k, s in zip(mounts, seats, strict=True):
        nodes[k.name] = k.point
        nodes[f"{k.name} top"] = (k.point[0], k.point[1], top)
        bars.append(
            Bar(part="mount", a=k.name, b=f"{k.name} top", area=s.area, i_y=s.i_y, i_z=s.i_z, j=s.j, shear_y=s.shear_y,
                shear_z=s.shear_z, e=E, g=G, y=s.y, low=s.low, length=s.length)
        )  # fmt: skip
    xs = [k.point[0] for k in mounts]
    ys = [k.point[1] for k in mounts]
    span = max(max(xs) - min(xs), max(ys) - min(ys), 100.0)
    side = min(max(0.15 * span, 50.0), 200.0)
    bed_i = m.bed_i or 0.6 * side**4 / 12
    bed_j = m.bed_j or 0.6 * 0.1406 * side**4
    if not m.bed_i or not m.bed_j:
        assumptions.append(f"bed taken as a cast iron box about {side:.0f} mm square where its stiffness is not given")

    def iron(part: str, a: str, b: str, times: float) -> Bar:
        shear = 0.2 * side * side
        return Bar(part=part, a=a, b=b, area=2 * shear, i_y=times * bed_i, i_z=times * bed_i, j=times * bed_j,
                   shear_y=shear, shear_z=shear, e=CAST_IRON_E, g=CAST_IRON_G)  # fmt: skip

    middle_y = (min(ys) + max(ys)) / 2
    com = centre_on_stand(brief, seat)
    stations = sorted({round(x, 3) for x in xs})
    if stations[0] < com[0] < stations[-1] and min(abs(com[0] - x) for x in stations) > 1.0:
        stations = sorted([*stations, com[0]])
    keys = [f"bed {n + 1}" for n in range(len(stations))]
    nodes.update({k: (x, middle_y, top) for k, x in zip(keys, stations, strict=True)})
    bars += [iron("bed", a, b, 1.0) for a, b in pairwise(keys)]
    for k in mounts:
        near = min(keys, key=lambda q: abs(nodes[q][0] - k.point[0]))
        if math.dist(nodes[near], nodes[f"{k.name} top"]) < 1.0:
            # The bed passes right over this foot: tie them by a bar of no mentionable length is unsound, so
            # the foot's own top node moves up a little and joins the bed there.
            x, y, z = nodes[near]
            nodes[near] = (x, y, z + 5.0)
        # A foot's cross arm is cast with the bed: four times as stiff.
        bars.append(iron("arm", f"{k.name} top", near, 4.0))
    heart = min(keys, key=lambda q: abs(nodes[q][0] - com[0]))
    hx, hy, hz = nodes[heart]
    return MachineModel(
        nodes=nodes, bars=tuple(bars), heart=heart,
        mass_offset=(com[0] - hx, com[1] - hy, com[2] - hz),
        work_offset=(0.0, 0.0, seat + brief.mounting.jack + m.work_line - hz),
        assumptions=tuple(assumptions), seats=seats,
    )  # fmt: skip
