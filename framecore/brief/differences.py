"""What differs between two briefs, key by key, in words."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
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
            mine, theirs = value_words(field, a, one.units), value_words(field, b, one.units)
            if mine == theirs:
                mine, theirs = _apart(a, b, one.units)
            out.append(Difference(path=field.path, label=f"{head}: {field.label}", one=mine, other=theirs))
    return tuple(out)


def _apart(one: Any, other: Any, units: str) -> tuple[str, str]:
    """Return what tells two values apart that read alike in short: their first row that differs, or all their digits."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        k, a, b = next((k, a, b) for k, (a, b) in enumerate(zip(one, other, strict=True), 1) if a != b)
        return f"no. {k}: {_row(a, units)}", f"no. {k}: {_row(b, units)}"
    return _row(one, units), _row(other, units)


def _row(value: Any, units: str) -> str:
    """Return a row of a list: a place, or what its fields hold."""
    if isinstance(value, tuple):
        return ", ".join(format_length(float(v), units) for v in value)
    if is_dataclass(value):
        return "; ".join(_row(getattr(value, f.name), units) for f in fields(value) if getattr(value, f.name) not in ("", 0.0))
    return f"{value:.10g}" if isinstance(value, float) else str(value)


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
