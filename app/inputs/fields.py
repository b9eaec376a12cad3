"""The keys of the brief as the window shows them: grouped, with label and unit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Any

from framecore.brief import FIELDS, kinds
from framecore.brief.model import Brief

GROUPS = {
    "": "This stand",
    "machine": "Machine",
    "operator": "Operator",
    "floor": "Floor",
    "frame": "Frame",
    "frame.sections": "Profiles",
    "braces": "Braces",
    "extras": "Splash back and brackets",
    "casters": "Casters",
    "top": "Top",
    "mounting": "Mounting",
    "feet": "Feet",
    "steel": "Steel",
    "welding": "Welding",
    "finish": "Finish",
    "limits": "What counts as good",
    "sheet": "Drawing sheet",
}

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
        return "" if self.kind.unit == "1" else self.kind.unit


@cache
def keys() -> tuple[Key, ...]:
    """Every key of the brief."""
    return tuple(Key(f.path, f.path.rpartition(".")[0], f.kind) for f in FIELDS)


def resolved(brief: Brief, path: str) -> Any:
    """Value of ``path`` in a resolved brief, in core units."""
    return _getter(path)(brief)


@cache
def _getter(path: str) -> attrgetter[Any]:
    return attrgetter(path)
