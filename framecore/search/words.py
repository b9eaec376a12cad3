"""What a stand changes, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Length
from framecore.brief.model import Brief
from framecore.search.space import Space
from framecore.units import format_length


def changes_of(brief: Brief, space: Space, place: Sequence[int]) -> tuple[str, ...]:
    """Return one phrase for each choice that is not the present one."""
    return tuple(
        change_words(brief, c.key, c.options[c.present], c.options[k])
        for c, k in zip(space.choices, place, strict=True) if k != c.present
    )  # fmt: skip


def change_words(brief: Brief, key: str, old: Any, new: Any) -> str:
    """Return "Legs SHS 50x50x3 instead of SHS 60x60x3"."""
    label = BY_PATH[key].label
    if key.startswith("braces."):
        label = f"{label} brace"
    return f"{label} {shown(brief, key, new)} instead of {shown(brief, key, old)}"


def shown(brief: Brief, key: str, value: Any) -> str:
    """Return an option as a maker reads it."""
    if isinstance(BY_PATH[key].kind, Length) and isinstance(value, (int, float)):
        return format_length(float(value), brief.units)
    return str(value)
