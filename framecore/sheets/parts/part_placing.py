"""Where a view of some parts lies on paper: the direction it is seen in, its scale, its place in a box."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Vector
from framecore.sheets.assemblies.part_views import PartView, along
from framecore.sheets.drawing.hidden import View
from framecore.sheets.drawing.model import ViewPlacement

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]


def facing(normal: Vector, up: Vector | None = None, name: str = "flat") -> View:
    """Return the view of a face from outside; ``up`` is what points up on paper where it is not the usual way."""
    if up is None:
        return along(normal, name)
    n = np.asarray(normal, dtype=float)
    n = n / np.linalg.norm(n)
    v = np.asarray(up, dtype=float)
    v = v - (v @ n) * n
    v = v / np.linalg.norm(v)
    r = np.cross(v, n)
    return View(name, (float(r[0]), float(r[1]), float(r[2])), (float(v[0]), float(v[1]), float(v[2])))


def placed_in(seen: PartView, box: Box, scale: float, name: str = "") -> ViewPlacement:
    """Put a view into the middle of ``box``, paper mm."""
    b = seen.box
    at = ((box[0] + box[2] - (b[0] + b[2]) * scale) / 2, (box[1] + box[3] - (b[1] + b[3]) * scale) / 2)
    return ViewPlacement(name=name or seen.view.name, at=at, scale=scale, box=box)


def body(seen: PartView, place: ViewPlacement) -> Box:
    """Return the box of the view's lines on paper, mm."""
    (x, y), s, b = place.at, place.scale, seen.box
    return x + b[0] * s, y + b[1] * s, x + b[2] * s, y + b[3] * s


def to_paper(place: ViewPlacement, view: View, points: Array) -> Array:
    """Return (n, 2) paper positions, mm, of (n, 3) points of the stand."""
    return np.asarray(np.asarray(place.at) + place.scale * view.flat(np.asarray(points, dtype=float)))
