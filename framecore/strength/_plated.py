"""Plates that hold: panels, gussets and base plates as bars between nodes of the model."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.frame.model import Plated, Vector

# A screw or short stitch in thin sheet slips, N/mm (common practice for self-tapping screws).
FASTENER_STIFFNESS = 5_000.0
# A bar that only pushes and pulls still needs some bending stiffness, radius of gyration in mm.
_LEAST_RADIUS = 1.0

Bars = tuple[str, str, tuple[float, ...]]


def plated_bars(plated: Plated, at: dict[str, Vector], e: float, g: float) -> Iterator[Bars]:
    """Yield the bars of one plate: names of both ends and area, i_y, i_z, j, shear_y, shear_z, e, g, density.

    Parameters
    ----------
    at : where the named nodes are, mm
    e, g : MPa

    Notes
    -----
    A sheet that carries shear in a bay a x b works like two crossed bars of the same shear stiffness, each
    with ``G t L^3 / (2 E a b)``; where it is screwed or stitched its thickness counts by the share of the
    sheet's own shear flexibility in that of sheet and fasteners. Local y of a strip lies in the plate.

    Source: equal shear stiffness; fastener flexibility after the stressed-skin method of Davies and Bryan,
    Manual of Stressed Skin Diaphragm Design (1982), from memory.
    """
    if plated.kind == "panel":
        yield from _diagonals(plated, at, e, g)
        return
    first, last = plated.ends
    area = plated.width * plated.thickness
    shear = 5 / 6 * area
    if plated.kind == "gusset":
        i = area * _LEAST_RADIUS**2
        yield first, last, (area, i, i, 2 * i, shear, shear, e, g, 0.0)
        return
    flat = plated.width * plated.thickness**3 / 12
    edge = plated.thickness * plated.width**3 / 12
    yield first, last, (area, flat, edge, 4 * flat, shear, shear, e, g, 0.0)


def _diagonals(plated: Plated, at: dict[str, Vector], e: float, g: float) -> Iterator[Bars]:
    p = [at[name] for name in plated.ends]
    a = (math.dist(p[0], p[1]) + math.dist(p[3], p[2])) / 2
    b = (math.dist(p[1], p[2]) + math.dist(p[0], p[3])) / 2
    t = plated.thickness
    if plated.fixing == "bolted" and plated.pitch > 0:
        sheet = b / (g * t * a)
        slip = 2 * plated.pitch / (a * FASTENER_STIFFNESS) * (1 + b / a)
        t *= sheet / (sheet + slip)
    for i, j in ((0, 2), (1, 3)):
        area = g * t * math.dist(p[i], p[j]) ** 3 / (2 * e * a * b)
        inertia = area * _LEAST_RADIUS**2
        shear = 5 / 6 * area
        yield plated.ends[i], plated.ends[j], (area, inertia, inertia, 2 * inertia, shear, shear, e, g, 0.0)
