"""Verdicts against a limit, and inputs read off the brief."""

from __future__ import annotations

from functools import cache
from operator import attrgetter
from typing import Any

from framecore.brief.fields import BY_PATH
from framecore.brief.model import Brief
from framecore.figures.model import Input, Verdict


def origin(brief: Brief, path: str) -> str:
    """Say where a value of the brief came from: "typed" or "assumed"."""
    return "assumed" if path in brief.assumed else "typed"


@cache
def _reader(path: str) -> tuple[Any, str, str]:
    kind = BY_PATH[path].kind
    return attrgetter(path), kind.label.removesuffix(f" ({kind.unit})"), kind.unit


def given(brief: Brief, path: str, symbol: str, label: str = "") -> Input:
    """Return an input that the brief holds: its label, value and unit as the key says, typed or assumed."""
    read, own, unit = _reader(path)
    return Input(
        symbol=symbol, label=label or own, value=float(read(brief)), unit=unit or "1", origin=origin(brief, path), key=path
    )


def computed(symbol: str, label: str, value: float, unit: str, source: str = "") -> Input:
    """Return an input that the program worked out."""
    return Input(symbol=symbol, label=label, value=value, unit=unit, origin="computed", source=source)


def at_least(value: float, limit: float) -> Verdict:
    """Judge a value that should not be less: good, a second look down to four fifths, stop below."""
    if value >= limit:
        return Verdict.GOOD
    return Verdict.LOOK if value >= 0.8 * limit else Verdict.STOP


def at_most(value: float, limit: float) -> Verdict:
    """Judge a value that should not be more: good, a second look up to five fourths, stop above."""
    if value <= limit:
        return Verdict.GOOD
    return Verdict.LOOK if value <= 1.25 * limit else Verdict.STOP


def look(verdict: Verdict) -> Verdict:
    """Return the verdict, a second look at worst: a passing state, or one that a turn of a spanner cures."""
    return Verdict.LOOK if verdict is Verdict.STOP else verdict


def within(value: float, low: float, high: float) -> Verdict:
    """Judge a value against a band: good inside, a second look up to half the band's width outside, then stop."""
    if low <= value <= high:
        return Verdict.GOOD
    play = (high - low) / 2
    return Verdict.LOOK if low - play <= value <= high + play else Verdict.STOP
