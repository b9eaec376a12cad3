"""What a stand changes, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Length, SheetThickness
from framecore.brief.model import Brief
from framecore.catalogue import sheet, sheets
from framecore.search.space import SIDES, Space
from framecore.units import format_length

_SAME = 0.01  # mm between a thickness and that of a sheet


def changes_of(brief: Brief, space: Space, place: Sequence[int]) -> tuple[str, ...]:
    """Return one phrase for each choice that is not the present one."""
    return tuple(
        change_words(brief, c.key, c.options[c.present], c.options[k])
        for c, k in zip(space.choices, place, strict=True) if k != c.present
    )  # fmt: skip


def change_words(brief: Brief, key: str, old: Any, new: Any) -> str:
    """Return "Legs: SHS 50x50x3 instead of SHS 60x60x3"."""
    label = BY_PATH[key].label
    if key in ("braces.front", *SIDES):
        label = f"{label} brace"
    return f"{label}: {shown(brief, key, new)} instead of {shown(brief, key, old)}"


def shown(brief: Brief, key: str, value: Any) -> str:
    """Return an option as a maker reads it; a sheet of an inch brief as it is sold, for a gauge is no fraction."""
    kind = BY_PATH[key].kind
    if not isinstance(kind, Length) or not isinstance(value, (int, float)):
        return str(value)
    if isinstance(kind, SheetThickness) and brief.units != "metric":
        sold = next((s for s in map(sheet, sheets("inch")) if abs(s.thickness - value) < _SAME), None)
        if sold is not None:
            return sold.id
    return format_length(float(value), brief.units)
