"""How figures and their workings are written: one place, so that window, command line and sheets agree."""

from __future__ import annotations

import math

from framecore.figures.model import Figure, Input
from framecore.units import format_quantity

GROUP_TITLES = {
    "height": "Height",
    "steel": "Steel",
    "mass": "Mass",
    "stiffness": "Stiffness",
    "motion": "Motion",
    "strength": "Strength",
    "standing": "Standing",
    "floor": "Feet and floor",
    "bed": "Bed and stand",
    "seat": "Seat",
    "workshop": "Workshop",
}


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


def input_value(item: Input) -> str:
    """Return the number that went in, in the unit the formula reckons with."""
    return f"{item.value:.6g}" + ("" if item.unit == "1" else f" {item.unit}")


def input_origin(item: Input) -> str:
    """Say where an input came from: typed or assumed with its key, table, computed."""
    return ", ".join(t for t in (item.origin, item.key, item.source) if t)
