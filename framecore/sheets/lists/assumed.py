"""What a sheet rests on that nobody has told: assumed keys of the brief with their values in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from framecore.brief.fields import BY_PATH
from framecore.figures.model import Figure
from framecore.figures.words import quantity
from framecore.stand.model import Stand

# Told whenever they are assumed: what is bought, what holds and what is lifted hangs on them.
ALWAYS = (
    "machine.mass", "machine.bolt", "operator.stature", "floor.kind", "floor.flatness", "feet.thread", "feet.rating",
    "mounting.foot_thickness", "mounting.bolt_class", "steel.price_kg", "steel.sheet_price_kg", "steel.kerf", "steel.sold",
    "welding.process", "welding.leg", "finish.paint",
)  # fmt: skip

BOLTED = ("machine.bolt", "mounting.bolt_class", "mounting.foot_thickness")  # of what rests by its weight they say nothing


def assumed_keys(stand: Stand, figures: Iterable[Figure]) -> list[str]:
    """Return the assumed keys that matter, in the brief's order: those of ``ALWAYS``, and all the figures rest on.

    Limits are left out: every figure says its own.
    """
    wanted = set(ALWAYS)
    for figure in figures:
        wanted.update(figure.assumed)
        wanted.update(i.key for i in figure.working.inputs if i.origin == "assumed")
    return [k for k in BY_PATH if k in wanted and k in stand.brief.assumed and _says(stand, k)]


def _says(stand: Stand, key: str) -> bool:
    """Whether a value is worth a line: limits stand beside their figures, a nothing or an empty list says little."""
    value = _get(stand, key)
    if key in BOLTED and not any(m.hole for m in stand.frame.mounts):
        return False
    return not key.startswith("limits.") and (key in ALWAYS or value not in (0, 0.0, ()))


def _get(stand: Stand, key: str) -> Any:
    value: Any = stand.brief
    for name in key.split("."):
        value = getattr(value, name)
    return value


def assumed_words(stand: Stand, key: str) -> str:
    """Return one assumed key, "Kerf 1.6 mm (steel.kerf)"."""
    return f"{BY_PATH[key].label}: {_value(_get(stand, key), key, stand.brief.units)} ({key})"


def _value(value: Any, key: str, units: str) -> str:
    kind = BY_PATH[key].kind
    if value is None:
        return kind.word or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        if kind.zero and value == 0:
            return "not given"
        return quantity(float(value), kind.unit or "1", units)
    if isinstance(value, tuple):
        if value and all(isinstance(v, (int, float)) for v in value):
            return ", ".join(f"{v:g}" for v in value)
        return "the usual" if not value else f"{len(value)} of them"
    return str(value) or "none"
