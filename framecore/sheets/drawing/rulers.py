"""The check ruler: whoever prints measures it before trusting the print."""

from __future__ import annotations

import math

from framecore.sheets.drawing.model import Line, Point2, Primitive, Text
from framecore.units import INCH

LENGTH_MM, LENGTH_IN = 100.0, 4.0


def ruler_length(inch: bool) -> float:
    """Length of the ruler, mm."""
    return LENGTH_IN * INCH if inch else LENGTH_MM


def must(inch: bool) -> str:
    """Return what a ruler must measure: "100.0 mm"."""
    return "4.000 in" if inch else "100.0 mm"


def ruler_words(inch: bool) -> str:
    """Return what is said beside a ruler."""
    return f"measure this: it must be {must(inch)}; print at 100 %, no fit to page"


def ruler(at: Point2, angle: float, inch: bool) -> list[Primitive]:
    """Draw the ruler from ``at`` along ``angle`` rad, its marks to the right of that way."""
    c, s = math.cos(angle), math.sin(angle)

    def place(along: float, off: float) -> Point2:
        return at[0] + along * c - off * s, at[1] + along * s + off * c

    size, parts = ruler_length(inch), 8 if inch else 10
    out: list[Primitive] = [Line(points=(place(0.0, 0.0), place(size, 0.0)), layer="visible")]
    for n in range(parts + 1):
        x = size * n / parts
        deep = 3.5 if n in (0, parts) else 2.5 if n * 2 == parts or (inch and n % 2 == 0) else 1.5
        out.append(Line(points=(place(x, 0.0), place(x, -deep)), layer="thin"))
    ends = ((0.0, "0"), (size, "4 in" if inch else "100"))
    for x, text in ends:
        out.append(Text(at=place(x + 1.0, -3.5), text=text, height=2.0, angle=angle))
    return out
