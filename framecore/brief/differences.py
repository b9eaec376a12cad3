"""What differs between two briefs, key by key, in words."""

from __future__ import annotations

from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from framecore.brief.fields import FIELDS, FieldInfo
from framecore.brief.kinds import Angle, Kind, Length
from framecore.brief.model import Brief
from framecore.units import format_length, format_quantity

SECTIONS = {  # headings of the brief's tables, as people read them
    "": "Brief", "machine": "Machine", "operator": "Operator", "floor": "Floor", "frame": "Frame", "frame.sections": "Profiles",
    "braces": "Braces", "extras": "Extras", "casters": "Casters", "top": "Top", "mounting": "Mounting", "feet": "Feet",
    "steel": "Steel", "welding": "Welding", "finish": "Finish", "limits": "Limits", "sheet": "Sheet",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One key: dotted ``path``, ``label`` with its table, and both values in words."""

    path: str
    label: str
    one: str
    other: str


def differences(one: Brief, other: Brief) -> tuple[Difference, ...]:
    """Return every key whose value differs, in the order of the brief; in the units of the first."""
    out = []
    for field in FIELDS:
        a, b = attrgetter(field.path)(one), attrgetter(field.path)(other)
        if a != b:
            head = SECTIONS[field.path.rpartition(".")[0]]
            out.append(
                Difference(
                    path=field.path, label=f"{head}: {field.label}", one=value_words(field, a, one.units),
                    other=value_words(field, b, one.units),
                )
            )  # fmt: skip
    return tuple(out)


def value_words(field: FieldInfo, value: Any, units: str) -> str:
    """Return the value of a key as a maker reads it."""
    kind = field.kind
    if value is None:
        return kind.word or "none"
    if isinstance(value, str):
        return value or "none"
    if isinstance(value, tuple):
        if not value:
            return "none"
        if all(isinstance(v, float) for v in value):
            return ", ".join(_number(v, kind, units) for v in value)
        return f"{len(value)} given"
    if kind.zero and value == 0:
        return "not given"
    return _number(value, kind, units)


def _number(value: float, kind: Kind, units: str) -> str:
    if isinstance(kind, Length):
        return format_length(float(value), units)
    unit = "deg" if isinstance(kind, Angle) else kind.unit
    if not unit or unit == "1":
        return f"{value:g}"
    return " ".join(format_quantity(float(value), unit, units)).strip()
