"""Every key of the brief, read off the model: for the reader, the inputs of the window and the reference."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import MISSING, dataclass
from typing import Any, get_args, get_type_hints

from framecore.brief.kinds import Kind
from framecore.brief.model import Brief
from framecore.brief.reading import typical_for


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldInfo:
    """One key: dotted ``path``, its ``kind`` with label, help and range, ``default`` in core units, ``type``."""

    path: str
    kind: Kind
    default: Any
    type: Any

    @property
    def label(self) -> str:
        """Name for people."""
        return self.kind.label

    @property
    def help(self) -> str:
        """One sentence, or empty."""
        return self.kind.help


def _walk(cls: type, prefix: str) -> list[FieldInfo]:
    found: list[FieldInfo] = []
    hints = get_type_hints(cls, include_extras=True)
    for f in dataclasses.fields(cls):
        hint = hints[f.name]
        if f.name == "assumed":
            continue
        if dataclasses.is_dataclass(hint) and isinstance(hint, type):
            found += _walk(hint, f"{prefix}{f.name}.")
            continue
        kind = next(a for a in get_args(hint)[1:] if isinstance(a, Kind))
        default = f.default if f.default is not MISSING else None
        found.append(FieldInfo(path=prefix + f.name, kind=kind, default=default, type=get_args(hint)[0]))
    return found


FIELDS: tuple[FieldInfo, ...] = tuple(_walk(Brief, ""))
BY_PATH: dict[str, FieldInfo] = {f.path: f for f in FIELDS}


def default_for(path: str, machine_kind: str, layout: str | None = None, units: str = "metric") -> Any:
    """Return what a key that is not given takes, as a brief would write it, for this machine, layout and units."""
    value: Any = typical_for(machine_kind, layout, units)
    for name in path.split("."):
        if not isinstance(value, Mapping) or name not in value:
            return BY_PATH[path].default
        value = value[name]
    return value
