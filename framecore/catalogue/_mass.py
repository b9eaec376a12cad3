"""Mass per metre straight from the table row, for lists that show hundreds of profiles."""

from __future__ import annotations

from math import pi

from framecore.catalogue._tables import Row
from framecore.catalogue.model import Shape

DENSITY = 7850.0  # kg/m3, the density all section tables use


def kg_per_m(row: Row) -> float:
    """Return the mass by table, or by the area with the *nominal* wall, without building anything."""
    if row.weight:
        return row.weight
    b, h, t = row.width, row.height, row.wall
    if row.shape in (Shape.SQUARE_TUBE, Shape.RECT_TUBE):
        outer = row.corner * t / row.wall_design
        inner = max(outer - t, 0.0)
        area = 2.0 * t * (b + h - 2.0 * t) - (4.0 - pi) * (outer**2 - inner**2)
    elif row.shape is Shape.ROUND_TUBE:
        area = pi * t * (h - t)
    elif row.shape is Shape.ROUND_BAR:
        area = pi * h * h / 4.0
    elif row.shape in (Shape.EQUAL_ANGLE, Shape.UNEQUAL_ANGLE):
        area = t * (b + h - t) + (1.0 - pi / 4.0) * (row.root**2 - 2.0 * row.toe**2)
    elif row.shape is Shape.CHANNEL:
        fillets = (1.0 - pi / 4.0) * 2.0 * (row.root**2 - row.toe**2)
        area = 2.0 * b * row.flange + (h - 2.0 * row.flange) * t + fillets
    else:
        area = b * h
    return area * DENSITY * 1e-6
