"""A view of some parts only: those in hand drawn plainly, those they are set on drawn thin."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Vector
from framecore.sheets.drawing.hidden import Drawn, View, hidden_lines
from framecore.sheets.drawing.model import Line, Point2
from framecore.sheets.drawing.views import inner_edges
from framecore.stand.model import Stand

UPRIGHT = 0.9  # a normal as steep as this looks at a thing that lies flat


@dataclass(frozen=True, slots=True, eq=False)
class PartView:
    """Lines of some parts in view coordinates, mm; ``thin`` are those of the parts beside them."""

    view: View
    drawn: Drawn
    thin: Drawn
    box: tuple[float, float, float, float]
    faces: NDArray[np.int32]

    @property
    def size(self) -> Point2:
        """Width and height, mm."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


def along(normal: Vector, name: str = "") -> View:
    """Look against ``normal``, from the side it points to; what stands up is drawn upright, else the back is up."""
    n = np.asarray(normal) / np.linalg.norm(normal)
    up = np.array((0.0, 1.0, 0.0)) if abs(n[2]) > UPRIGHT else np.array((0.0, 0.0, 1.0))
    up = up - (up @ n) * n
    up /= np.linalg.norm(up)
    right = np.cross(up, n)
    return View(name, (float(right[0]), float(right[1]), float(right[2])), (float(up[0]), float(up[1]), float(up[2])))


def part_mask(stand: Stand, names: Collection[str]) -> NDArray[np.bool_]:
    """Mark the named parts among those of the shapes."""
    return np.array([n in names for n in stand.solids.layout.parts], dtype=bool)


def look_at(stand: Stand, names: Collection[str], view: View, beside: Collection[str] = ()) -> PartView:
    """Draw the named parts, and those of ``beside`` thin; each hides what lies behind it.

    Raises
    ------
    ValueError
        None of the names is among the shapes.
    """
    solids, layout = stand.solids, stand.solids.layout
    own, other = part_mask(stand, names), part_mask(stand, beside)
    other &= ~own
    either = own | other
    if not either.any():
        raise ValueError("There is nothing to draw.")
    flat = view.flat(solids.vertices[either[layout.vertex_part]])
    low, high = flat.min(axis=0), flat.max(axis=0)
    faces = layout.faces[either[layout.face_part]]
    outer = ~inner_edges(stand)
    drawn = []
    for mask in (own, other):
        if not mask.any():
            drawn.append(Drawn(np.zeros((0, 2, 2)), np.zeros((0, 2, 2))))
            continue
        edges = layout.edges[outer & mask[layout.edge_part]]
        drawn.append(hidden_lines(solids.vertices, faces, edges, view, layout.faces[mask[layout.face_part]]))
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return PartView(view, drawn[0], drawn[1], box, faces)


def part_ink(seen: PartView, at: Point2, scale: float) -> list[Line]:
    """Lines of a view with view coordinates (0, 0) at paper ``at``; hidden ones are left out."""
    origin = np.asarray(at)
    out = []
    for pieces, layer in ((seen.thin.visible, "thin"), (seen.drawn.visible, "visible")):
        for (ax, ay), (bx, by) in (pieces * scale + origin).tolist():
            out.append(Line(points=((ax, ay), (bx, by)), layer=layer))
    return out
