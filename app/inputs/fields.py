"""The keys of the brief as the window shows them: grouped, with label and unit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Any

from app.words import tr
from framecore.brief import FIELDS, kinds
from framecore.brief.model import Brief
from framecore.errors import Finding

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


@cache
def _labels() -> dict[str, tuple[str, str]]:
    return {key.path: (GROUPS[key.group], key.label) for key in keys()}


def told_of(finding: Finding, *, group: bool = False) -> str:
    """Return the sentence of a finding as it is shown: a key it begins with goes by the name it has in the window.

    ``group``: with the name of its group, where the sentence does not stand under the field.
    """
    sentence = tr(finding.message)
    where = _labels().get(finding.field)
    if where is None or not sentence.startswith(f"{finding.field} "):
        return sentence
    name = ", ".join(tr(word) for word in (where if group else where[1:]))
    return name + sentence[len(finding.field):]


def resolved(brief: Brief, path: str) -> Any:
    """Value of ``path`` in a resolved brief, in core units."""
    return _getter(path)(brief)


@cache
def _getter(path: str) -> attrgetter[Any]:
    return attrgetter(path)
