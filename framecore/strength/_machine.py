"""The machine on its mounts: a bed beam on short screws, its mass where it really is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Mount, Vector

# Grey cast iron, MPa and kg/m3 (common practice): what beds are mostly made of.
CAST_IRON_E = 110_000.0
CAST_IRON_G = 44_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A round or box bar of the machine: from node key to node key with its section."""

    part: str
    a: str
    b: str
    area: float
    i: float
    j: float
    shear: float
    e: float
    g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineModel:
    """Nodes and bars that stand for the machine.

    ``nodes``: key -> point; mounts have their own names as keys. ``heart``: key of the node that carries the
    mass; ``mass_offset`` from it to the centre of mass; ``work_offset`` to the work line, mm.
    """

    nodes: dict[str, Vector]
    bars: tuple[Bar, ...]
    heart: str
    mass_offset: Vector
    work_offset: Vector
    assumptions: tuple[str, ...]


def machine_model(brief: Brief, mounts: tuple[Mount, ...], seat: float) -> MachineModel | None:
    """Build the machine's part of the model, None when nothing stands on the mounts."""
    if not mounts or brief.machine.mass <= 0:
        return None
    m = brief.machine
    bolt = find_thread(m.bolt)
    assumptions: list[str] = []
    # A screw of the jacking gap's length, or the solid boss of a foot bolted straight down.
    if brief.mounting.jack > 0:
        rise, d = max(brief.mounting.jack, bolt.diameter), bolt.root_diameter
    else:
        rise, d = bolt.diameter, 2.5 * bolt.diameter
        assumptions.append("machine feet taken as solid bosses 2.5 bolt diameters wide")
    area, i = math.pi * d * d / 4, math.pi * d**4 / 64
    top = seat + rise
    nodes: dict[str, Vector] = {}
    bars: list[Bar] = []
    for k in mounts:
        nodes[k.name] = k.point
        nodes[f"{k.name} top"] = (k.point[0], k.point[1], top)
        bars.append(
            Bar(part="mount", a=k.name, b=f"{k.name} top", area=area, i=i, j=2 * i, shear=0.9 * area,
                e=205_000.0, g=79_000.0)
        )  # fmt: skip
    xs = [k.point[0] for k in mounts]
    ys = [k.point[1] for k in mounts]
    span = max(max(xs) - min(xs), max(ys) - min(ys), 100.0)
    side = min(max(0.15 * span, 50.0), 200.0)
    bed_i = m.bed_i or 0.6 * side**4 / 12
    bed_j = m.bed_j or 0.6 * 0.1406 * side**4
    if not m.bed_i or not m.bed_j:
        assumptions.append(f"bed taken as a cast iron box about {side:.0f} mm square where its stiffness is not given")
    bed = {"area": 0.4 * side * side, "shear": 0.2 * side * side, "e": CAST_IRON_E, "g": CAST_IRON_G}
    middle_y = (min(ys) + max(ys)) / 2
    com = centre_on_stand(brief, seat)
    stations = sorted({round(x, 3) for x in xs})
    if stations[0] < com[0] < stations[-1] and min(abs(com[0] - x) for x in stations) > 1.0:
        stations = sorted([*stations, com[0]])
    keys = [f"bed {n + 1}" for n in range(len(stations))]
    nodes.update({k: (x, middle_y, top) for k, x in zip(keys, stations, strict=True)})
    for a, b in pairwise(keys):
        bars.append(Bar(part="bed", a=a, b=b, i=bed_i, j=bed_j, **bed))
    for k in mounts:
        near = min(keys, key=lambda q: abs(nodes[q][0] - k.point[0]))
        if math.dist(nodes[near], nodes[f"{k.name} top"]) < 1.0:
            # The bed passes right over this foot: tie them by a bar of no mentionable length is unsound, so
            # the foot's own top node moves up a little and joins the bed there.
            x, y, z = nodes[near]
            nodes[near] = (x, y, z + 5.0)
        # A foot's cross arm is cast with the bed: four times as stiff.
        bars.append(Bar(part="arm", a=f"{k.name} top", b=near, i=4 * bed_i, j=4 * bed_j, **bed))
    heart = min(keys, key=lambda q: abs(nodes[q][0] - com[0]))
    hx, hy, hz = nodes[heart]
    return MachineModel(
        nodes=nodes, bars=tuple(bars), heart=heart,
        mass_offset=(com[0] - hx, com[1] - hy, com[2] - hz),
        work_offset=(0.0, 0.0, seat + brief.mounting.jack + m.work_line - hz),
        assumptions=tuple(assumptions),
    )  # fmt: skip
