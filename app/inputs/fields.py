"""The keys of the brief in the order of its sections, read off the brief's own model."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from framecore.brief import kinds
from framecore.brief.model import Brief

GROUPS = {
    "": "This stand",
    "machine": "Machine",
    "operator": "Operator",
    "floor": "Floor",
    "frame": "Frame",
    "frame.sections": "Profiles",
    "top": "Top",
    "mounting": "Mounting",
    "feet": "Feet",
    "steel": "Steel",
    "welding": "Welding",
    "finish": "Finish",
    "limits": "What counts as good",
    "sheet": "Drawing sheet",
}
UNITS: tuple[tuple[type[kinds.Kind], str], ...] = (
    (kinds.Length, "mm"),
    (kinds.Point, "mm"),
    (kinds.Mass, "kg"),
    (kinds.Force, "N"),
    (kinds.Torque, "N m"),
    (kinds.Angle, "deg"),
)


@dataclass(frozen=True)
class Key:
    """One key: dotted ``path``, ``group`` it is shown in, its ``kind``."""

    path: str
    group: str
    kind: kinds.Kind

    @property
    def label(self) -> str:
        """What it is called."""
        label = self.kind.label or self.path.rsplit(".", 1)[-1].replace("_", " ").capitalize()
        # The unit stands behind the field already.
        return label.removesuffix(f" ({self.unit})")

    @property
    def unit(self) -> str:
        """Unit of a plain number typed here, "" where it has none."""
        if self.kind.unit:
            return "" if self.kind.unit == "1" else self.kind.unit
        return next((u for k, u in UNITS if isinstance(self.kind, k)), "")


def _walk(cls: type[Any], prefix: str) -> list[Key]:
    here: list[Key] = []
    below: list[Key] = []
    hints = get_type_hints(cls, include_extras=True)
    for field in fields(cls):
        hint = hints[field.name]
        path = f"{prefix}.{field.name}" if prefix else field.name
        kind = next((a for a in get_args(hint)[1:] if isinstance(a, kinds.Kind)), None)
        if get_origin(hint) is not None and kind is not None:
            here.append(Key(path, prefix, kind))
        elif is_dataclass(hint) and isinstance(hint, type):
            below.extend(_walk(hint, path))
    return here + below


@cache
def keys() -> tuple[Key, ...]:
    """Every key of the brief."""
    return tuple(_walk(Brief, ""))


def resolved(brief: Brief, path: str) -> Any:
    """Value of ``path`` in a resolved brief, in core units."""
    value: Any = brief
    for name in path.split("."):
        value = getattr(value, name)
    return value
