"""Drawings of different sizes on as few pages as they need, in order: each as high up as it fits, then as far left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Point2, Primitive, Text
from framecore.sheets.paper import TITLE_HEIGHT, TITLE_WIDTH, Box, drawing_space

EDGE = 6.0  # from the frame, mm
OVER_BLOCK = 3.0  # from the title block, mm


def spaces(paper: str) -> list[Box]:
    """Return the two largest boxes of a page that are free: over the title block, and left of it."""
    x0, y0, x1, y1 = drawing_space(paper)
    x, y, high = x0 + EDGE, y0 + EDGE, y1 - EDGE
    return [(x, y0 + TITLE_HEIGHT + OVER_BLOCK, x1 - EDGE, high), (x, y, x1 - TITLE_WIDTH - EDGE, high)]


def room(paper: str) -> Point2:
    """Width and height, mm, that fit a page by themselves."""
    x0, y0, x1, y1 = spaces(paper)[0]
    return x1 - x0, y1 - y0


def pack(groups: Sequence[Sequence[Point2]], paper: str, apart: float) -> list[list[tuple[int, Point2]]]:
    """Return the page and the upper left corner of each box, group by group in the order given.

    A group goes on one page where it can; else it begins on a page of its own and goes on after it.

    Parameters
    ----------
    groups : width and height of each box, mm; one that is larger than a page gets one to itself
    apart : between neighbours, mm
    """
    pages: list[list[Box]] = []
    out = []
    for group in groups:
        for n in range(len(pages) + 1):
            if n == len(pages):
                pages.append(spaces(paper))
            free, places = list(pages[n]), []
            for size in group:
                at = _place(free, size)
                if at is None:
                    break
                places.append((n, at))
                free = _left(free, _taken(at, size, apart))
            if len(places) == len(group):
                pages[n] = free
                out.append(places)
                break
        else:
            out.append(_spread(group, paper, apart, pages))
    return out


def _spread(group: Sequence[Point2], paper: str, apart: float, pages: list[list[Box]]) -> list[tuple[int, Point2]]:
    """Lay a group that no page holds on the last page, which is empty, and on further ones."""
    first, places = len(pages) - 1, []
    for size in group:
        n, at = first, None
        while at is None:
            if n == len(pages):
                pages.append(spaces(paper))
            at = _place(pages[n], size)
            if at is None and pages[n] == spaces(paper):
                at = (pages[n][0][0], pages[n][0][3])
            n += at is None
        pages[n] = _left(pages[n], _taken(at, size, apart))
        places.append((n, at))
    return places


def _place(free: Sequence[Box], size: Point2) -> Point2 | None:
    """The upper left corner highest up, then farthest left, where a box fits."""
    fits = [(-b[3], b[0]) for b in free if size[0] <= b[2] - b[0] + 1e-6 and size[1] <= b[3] - b[1] + 1e-6]
    if not fits:
        return None
    y, x = min(fits)
    return x, -y


def _taken(at: Point2, size: Point2, apart: float) -> Box:
    return at[0] - apart, at[1] - size[1] - apart, at[0] + size[0] + apart, at[1] + apart


def _left(free: Sequence[Box], taken: Box) -> list[Box]:
    """The largest boxes that stay free beside what is taken."""
    out: list[Box] = []
    for box in free:
        x0, y0, x1, y1 = box
        a, b, c, d = taken
        if a >= x1 or c <= x0 or b >= y1 or d <= y0:
            out.append(box)
            continue
        out += [p for p in ((x0, y0, a, y1), (c, y0, x1, y1), (x0, y0, x1, b), (x0, d, x1, y1)) if p[2] > p[0] and p[3] > p[1]]
    return [p for k, p in enumerate(out) if not any(_within(p, q) and (p != q or j < k) for j, q in enumerate(out) if j != k)]


def _within(a: Box, b: Box) -> bool:
    return a[0] >= b[0] and a[1] >= b[1] and a[2] <= b[2] and a[3] <= b[3]


def moved(p: Primitive, by: Point2) -> Primitive:
    """Return a primitive shifted on paper."""

    def at(q: Point2) -> Point2:
        return q[0] + by[0], q[1] + by[1]

    if isinstance(p, Line | Leader):
        return replace(p, points=tuple(at(q) for q in p.points))
    if isinstance(p, Arc):
        return replace(p, centre=at(p.centre))
    if isinstance(p, Text):
        return replace(p, at=at(p.at))
    assert isinstance(p, Dimension)
    return replace(p, a=at(p.a), b=at(p.b), base=at(p.base), text_at=at(p.text_at))
