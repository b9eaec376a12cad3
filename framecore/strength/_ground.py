"""What lies under the feet: pressure on it, its design loads, a wooden floor's joists, anchors in a slab."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.frame.model import Frame
from framecore.units import INCH, KILOGRAM_FORCE, POUND_FORCE

Floats = NDArray[np.float64]
# A car's wheel on a garage floor: 2000 lbf on 4 1/2 in square. Washington State's residential code,
# WAC 51-51-0301, note a, which is the IRC's table R301.5.
WHEEL_FORCE = 2000 * POUND_FORCE
WHEEL_AREA = (4.5 * INCH) ** 2
# A single load on a dwelling's floor, EN 1991-1-1 table 6.2 category A: 2.0 to 3.0 kN; from memory.
ROOM_POINT = 2000.0
# A dwelling's floor, kN/m2: EN 1991-1-1 table 6.2 category A 1.5 to 2.0, US rooms 40 psf = 1.92; from memory.
ROOM_LOAD = 1.5
GARAGE_LOAD = 50 * POUND_FORCE / (12 * INCH) ** 2 * 1000  # 50 psf in kN/m2, IRC table R301.5
# Concrete C20/25 pressed: 20 / 1.5, EN 1992-1-1 3.1.6. Soft wood across the grain: C16 2.2 x 0.6 / 1.3 under a
# load that stays, EN 338 and EN 1995-1-1; the numbers from memory.
BEARING = {"concrete": 20 / 1.5, "wood": 2.2 * 0.6 / 1.3}
# Depth in the concrete of expansion anchors as usually sold, and their least slab; common practice, from memory.
EMBEDMENT = {"M8": 45.0, "M10": 60.0, "M12": 70.0, "M16": 85.0}
CONE = 7.7  # k1 of EN 1992-4 7.2.1.4 in cracked concrete; from memory
CONCRETE = 20.0  # MPa, cylinder strength taken
PART_CONCRETE = 1.5
EDGE_DIAMETERS, SPACING_DIAMETERS = 5.0, 10.0  # common practice
SLAB_DEPTHS = 2.0  # slab over depth of the anchor; common practice, from memory


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Anchors:
    """One anchor beside each foot.

    ``pull`` (f,) N in the worst case of each, ``worst`` the largest and ``case`` its case; ``cone`` N that breaks
    a cone out of thin concrete, with the part factor; ``edge``, ``spacing``, ``embedment``, ``slab_needed`` mm;
    ``least_spacing`` between feet, mm.
    """

    size: str
    diameter: float
    pull: Floats
    worst: float
    case: str
    foot: str
    cone: float
    edge: float
    spacing: float
    least_spacing: float
    embedment: float
    slab_needed: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """What the ground bears.

    ``foot_force`` N the heaviest foot and ``pressure`` MPa under its base, with what they are set beside;
    ``area_load`` kN/m2 over ``footprint`` m2 and ``area_limit``; ``joists`` the bending of the joists under the
    stand over that under the floor's design load, 0 where not asked.
    """

    foot_force: float
    foot_limit: float
    pressure: float
    pressure_limit: float
    weight: float
    footprint: float
    area_load: float
    area_limit: float
    joist_width: float
    joists: float
    anchors: Anchors | None


def ground_under(
    brief: Brief, frame: Frame, feet: list[tuple[float, float]], mass: float, worst: float, pull: Floats, cases: tuple[str, ...]
) -> Ground:
    """Answer for the ground.

    Parameters
    ----------
    feet : x, y of each, mm
    mass : kg of all that stands on them
    worst : N on the heaviest foot
    pull : (f, c) N with which each foot would draw at an anchor in each case
    """
    floor, wood = brief.floor, brief.floor.kind == "wood"
    weight = mass * KILOGRAM_FORCE
    width = frame.length / 1000
    deep = frame.depth / 1000
    limit = floor.area_load or (ROOM_LOAD if wood else GARAGE_LOAD)
    joists = 0.0
    across = min(width, deep)
    if wood and floor.joist_span > 0:
        # W in the middle of the span, W L / 4, beside q b L2 / 8 of the joists that the stand's short side covers.
        joists = 2 * weight / 1000 / (limit * across * floor.joist_span / 1000)
    base = math.pi / 4 * brief.feet.base**2
    return Ground(
        foot_force=worst, foot_limit=ROOM_POINT if wood else WHEEL_FORCE,
        pressure=worst / base, pressure_limit=BEARING[floor.kind],
        weight=weight, footprint=width * deep, area_load=weight / 1000 / (width * deep), area_limit=limit,
        joist_width=across, joists=joists,
        anchors=None if floor.anchor == "none" else _anchors(floor.anchor, frame, feet, pull, cases),
    )  # fmt: skip


def cone_force(depth: float) -> float:
    """Return N that breaks a cone of concrete out with an anchor ``depth`` mm in, far from edges.

    k1 sqrt(fck) hef^1.5 over the part factor, in cracked C20/25.

    Source: EN 1992-4 7.2.1.4, from memory.
    """
    return CONE * math.sqrt(CONCRETE * depth) * depth / PART_CONCRETE


def _anchors(size: str, frame: Frame, feet: list[tuple[float, float]], pull: Floats, cases: tuple[str, ...]) -> Anchors:
    d = float(size[1:])
    foot, case = (int(k) for k in np.unravel_index(int(pull.argmax()), pull.shape))
    worst = max(float(pull[foot, case]), 0.0)
    return Anchors(
        size=size, diameter=d, pull=np.maximum(pull.max(1), 0.0), worst=worst,
        case=cases[case] if worst else "", foot=frame.feet[foot].name if worst else "",
        cone=cone_force(EMBEDMENT[size]), edge=EDGE_DIAMETERS * d, spacing=SPACING_DIAMETERS * d,
        least_spacing=min(math.dist(a, b) for a, b in combinations(feet, 2)),
        embedment=EMBEDMENT[size], slab_needed=SLAB_DEPTHS * EMBEDMENT[size],
    )  # fmt: skip
