"""How figures are written on the screen: one place, so that panel, popover and list agree."""

from __future__ import annotations

import math

from framecore.figures.model import Figure, Verdict
from framecore.units import format_length, format_quantity

SHAPES = {Verdict.GOOD: "●", Verdict.LOOK: "▲", Verdict.STOP: "■", Verdict.NONE: ""}
GROUP_TITLES = {
    "height": "Height",
    "steel": "Steel",
    "mass": "Mass",
    "stiffness": "Stiffness",
    "strength": "Strength",
    "standing": "Standing",
    "seat": "Seat",
}


def length(mm: float, units: str) -> str:
    """Return a length as the maker reads it."""
    return format_length(mm, units)


def quantity(value: float, unit: str, units: str) -> str:
    """Return a value with its unit as the maker reads it."""
    if math.isinf(value):
        return "no limit"
    if math.isnan(value):
        return "–"
    return " ".join(format_quantity(value, unit, units)).strip()


def limit_words(figure: Figure, units: str) -> str:
    """Return the limit in words, "" without one."""
    if figure.limit is None:
        return ""
    low = quantity(figure.limit, figure.unit, units)
    if figure.limit_high is not None:
        return f"{low} to {quantity(figure.limit_high, figure.unit, units)}"
    return f"{'at most' if figure.limit_kind == 'max' else 'at least'} {low}"


def difference(value: float, before: float, unit: str, units: str) -> str:
    """Return the signed difference to the reference, "" when nobody would see it."""
    if not (math.isfinite(value) and math.isfinite(before)):
        return ""
    change = value - before
    if abs(change) <= 5e-4 * max(abs(value), abs(before), 1e-9):
        return ""
    return f"{'+' if change > 0 else '−'}{quantity(abs(change), unit, units)}"
