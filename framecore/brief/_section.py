"""One table of a brief -> the value of its section: every key is read by the kind its field is annotated with."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, get_args, get_type_hints

from framecore.brief._single import Kind, refuse, told
from framecore.errors import Refusal

Refused = tuple[str, Refusal]  # dotted path inside the section, and why


@dataclasses.dataclass(frozen=True, slots=True)
class Key:
    """A field of a section as its annotation has it.

    ``kind`` reads it, None where it is a table of its own; ``type`` is what it holds: the class of the inner table then.
    """

    kind: Kind | None
    type: Any


@cache
def keys_of(cls: type) -> Mapping[str, Key]:
    """Return the keys of a section, of the brief itself or of an inner table: name -> key, in the order of its fields."""
    hints = get_type_hints(cls, include_extras=True)
    return {f.name: key for f in dataclasses.fields(cls) if (key := _key(hints[f.name])) is not None}


def _key(hint: Any) -> Key | None:
    """Read an annotation; None for a field that nobody types."""
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return Key(None, hint)
    kind = next((a for a in get_args(hint)[1:] if isinstance(a, Kind)), None)
    return None if kind is None else Key(kind, get_args(hint)[0])


def read_section(cls: type, typed: Mapping[str, Any], system: str) -> tuple[Any, tuple[Refused, ...]]:
    """Return the section that ``typed`` gives, None where a key is refused, and all refusals in the order of the fields."""
    values: dict[str, Any] = {}
    refused = tuple(_read_into(values, cls, typed, system))
    return (None if refused else cls(**values)), refused


def _read_into(values: dict[str, Any], cls: type, typed: Mapping[str, Any], system: str) -> Iterator[Refused]:
    for name, key in keys_of(cls).items():
        if name not in typed:
            continue
        value = typed[name]
        if key.kind is None:
            if isinstance(value, Mapping):
                values[name], inner = read_section(key.type, value, system)
                yield from ((f"{name}.{path}", why) for path, why in inner)
            else:
                yield name, refuse(f"must be a table, not {told(value)}", "a table")
            continue
        try:
            values[name] = key.kind.read(value, system)
        except Refusal as why:
            yield name, why
