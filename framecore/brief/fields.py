"""Every key of the brief, read off the model: for the reader, the inputs of the window and the reference."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import MISSING, dataclass
from typing import Any

from framecore.brief._section import keys_of
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
    defaults = {f.name: None if f.default is MISSING else f.default for f in dataclasses.fields(cls)}
    for name, key in keys_of(cls).items():
        if key.kind is None:
            found += _walk(key.type, f"{prefix}{name}.")
        else:
            found.append(FieldInfo(path=prefix + name, kind=key.kind, default=defaults[name], type=key.type))
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
