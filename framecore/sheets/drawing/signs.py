"""Small drawn signs: the shape of a verdict, the triangle of a caution, a box to tick. Drawn, so that no face lacks them."""

from __future__ import annotations

import math

from framecore.figures.model import Verdict
from framecore.sheets.drawing.model import Line, Point2, Primitive
from framecore.sheets.paper import rectangle

CORNERS = 24  # of the disc


def verdict_sign(verdict: Verdict, at: Point2, size: float) -> tuple[Primitive, ...]:
    """Disc for good, triangle for look, square for stop, nothing for a plain fact; ``at`` the lower left corner."""
    x, y = at
    if verdict is Verdict.GOOD:
        r = size / 2
        turn = [2 * math.pi * k / CORNERS for k in range(CORNERS)]
        rim = tuple((x + r + r * math.cos(a), y + r + r * math.sin(a)) for a in turn)
        return (Line(points=rim, closed=True, layer="thin", fill=0.0),)
    if verdict is Verdict.LOOK:
        return (Line(points=_triangle(at, size), closed=True, layer="thin", fill=0.0),)
    if verdict is Verdict.STOP:
        return (rectangle((x, y, x + size, y + size), "thin", 0.0),)
    return ()


def caution_sign(at: Point2, size: float) -> tuple[Primitive, ...]:
    """Triangle with a stroke and a dot in it; ``at`` the lower left corner."""
    x, y = at[0] + size / 2, at[1]
    dot = size * 0.05
    return (
        Line(points=_triangle(at, size), closed=True),
        Line(points=((x, y + 0.36 * size), (x, y + 0.66 * size))),
        rectangle((x - dot, y + 0.16 * size, x + dot, y + 0.16 * size + 2 * dot), "visible", 0.0),
    )


def tick_box(at: Point2, size: float) -> Line:
    """Empty square to be ticked."""
    return rectangle((at[0], at[1], at[0] + size, at[1] + size))


def _triangle(at: Point2, size: float) -> tuple[Point2, ...]:
    x, y = at
    return (x, y), (x + size, y), (x + size / 2, y + size)
