"""Drawings and words that are set on a page as one: the box around them, and pages made of cells that are packed."""

from __future__ import annotations

from collections.abc import Sequence

from framecore.sheets.drawing.dims import Box, text_box
from framecore.sheets.drawing.model import Arc, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.packing import moved
from framecore.sheets.drawing.pens import strokes
from framecore.sheets.parts.plate_cells import Cell

Places = Sequence[Sequence[tuple[int, Point2]]]  # page and upper left corner of each cell, group by group


def bounds(primitives: Sequence[Primitive]) -> Box:
    """Return the box around all ink, paper mm."""
    boxes = []
    for primitive in primitives:
        for stroke in strokes(primitive):
            if isinstance(stroke, Text):
                boxes.append(text_box(stroke))
            elif isinstance(stroke, Arc):
                (x, y), r = stroke.centre, stroke.radius
                boxes.append((x - r, y - r, x + r, y + r))
            else:
                xs, ys = zip(*stroke.points, strict=True)
                boxes.append((min(xs), min(ys), max(xs), max(ys)))
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)
    )  # fmt: skip


def cell_around(mark: str, primitives: Sequence[Primitive], view: ViewPlacement | None) -> Cell:
    """Return a cell of what is drawn anywhere, cut to its ink."""
    x0, y0, x1, y1 = bounds(primitives)
    by = (-x0, -y1)
    if view is not None:
        at = (view.at[0] - x0, view.at[1] - y1)
        view = ViewPlacement(name=view.name, at=at, scale=view.scale, box=(0.0, y0 - y1, x1 - x0, 0.0))
    return Cell(mark=mark, size=(x1 - x0, y1 - y0), view=view, primitives=tuple(moved(p, by) for p in primitives))


def count_pages(places: Places) -> int:
    """Return how many pages packed cells take."""
    return max((n for group in places for n, _ in group), default=-1) + 1


def page_of(
    groups: Sequence[Sequence[Cell]], places: Places, page: int
) -> tuple[list[Cell], list[Primitive], list[ViewPlacement]]:
    """Return the cells on one page with their ink and views, as packed."""
    cells: list[Cell] = []
    ink: list[Primitive] = []
    views: list[ViewPlacement] = []
    for cell, (n, at) in ((c, p) for g, q in zip(groups, places, strict=True) for c, p in zip(g, q, strict=True)):
        if n == page:
            view, drawn = cell.at(at)
            cells.append(cell)
            ink += drawn
            views += [view] if view else []
    return cells, ink, views


def scale_of(views: Sequence[ViewPlacement]) -> str:
    """Return what the title block says of the scale: one, "as noted", or nothing where there is no view."""
    scales = {round(v.scale, 6) for v in views}
    if len(scales) > 1:
        return "as noted"
    return "".join(f"{s:g}:1" if s > 1 else f"1:{round(1 / s)}" for s in scales)
