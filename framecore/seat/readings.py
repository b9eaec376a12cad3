"""What a level says: tilts as people type them, a level's sensitivity, reversed readings, stations along the bed.

A reading is positive where the bubble goes towards the back, that is where the back of the bed is the higher side,
seen from the operator's place however the level lies. So a positive reading is a positive roll about the x axis
of the stand. A level that is turned end for end shows its own error with the other sign: the mean is the bed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import pairwise

from framecore.errors import UnitError
from framecore.units import FOOT, INCH, parse_length

ARC_SECOND = math.radians(1 / 3600) * 1000  # mm/m
INCH_PER_FOOT = INCH / FOOT * 1000  # mm/m
JUDGED = 0.1  # share of a division an eye can still judge: makers' forums, common practice
_LENGTHS = {
    "mm": 1.0, "m": 1000.0, "cm": 10.0, "um": 1e-3, "µm": 1e-3, "μm": 1e-3, "in": INCH, "inch": INCH, "inches": INCH,
    '"': INCH, "thou": INCH / 1000, "ft": FOOT, "foot": FOOT,
}  # fmt: skip
_ANGLES = {
    "arcsec": ARC_SECOND, "arcsecond": ARC_SECOND, "arcseconds": ARC_SECOND, "arcsecs": ARC_SECOND,
    "sec": ARC_SECOND, "″": ARC_SECOND,
    "''": ARC_SECOND, "arcmin": 60 * ARC_SECOND, "arcminute": 60 * ARC_SECOND, "arcminutes": 60 * ARC_SECOND,
    "min": 60 * ARC_SECOND, "mrad": 1.0, "deg": 3600 * ARC_SECOND, "°": 3600 * ARC_SECOND,
}  # fmt: skip
_DIVISIONS = ("div", "divs", "division", "divisions")
_NUMBER = r"[+-]?(?:\d+\s*/\s*\d+|\d+(?:\.\d*)?|\.\d+)"
_TILT = re.compile(rf"({_NUMBER})\s*([^\d\s/]+(?:\s+[a-z]+)?)?(?:\s*(?:/|per)\s*(\d+(?:\.\d*)?)?\s*([^\d\s]+))?", re.IGNORECASE)
_EXAMPLE = '"+1.5 div", "0.04 mm/m", "0.0005 in/ft" or "8 arcsec"'
_STEEPEST = 50.0  # mm/m: no machine level reads this far
_LONGEST = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A level: ``division`` what one division is worth, mm/m (0 where none was stated), ``judged`` share of it seen."""

    division: float = 0.0
    judged: float = JUDGED

    @property
    def shows(self) -> float:
        """The least tilt it can show, mm/m."""
        return self.division * self.judged


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """One tilt: ``value`` and ``within`` either way, mm/m; ``typed`` as the maker wrote it."""

    value: float
    within: float
    typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StationReading:
    """The tilt across the bed at one station.

    ``x`` mm to the right of the left-hand mounts; ``value`` and ``within`` mm/m; ``zero`` the level's own error
    found by turning it end for end, None where it was read one way only; ``typed`` the readings as written.
    """

    name: str
    x: float
    value: float
    within: float
    zero: float | None
    typed: str


def arc_seconds(tilt: float) -> float:
    """Return a tilt of mm/m in seconds of arc (small angles)."""
    return tilt / ARC_SECOND


def inch_per_foot(tilt: float) -> float:
    """Return a tilt of mm/m in inches per foot."""
    return tilt / INCH_PER_FOOT


def _refuse(text: str, what: str) -> UnitError:
    shown = text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."
    return UnitError(f"{shown!r} is not {what}; write for example {_EXAMPLE}.")


def _scale(unit: str, per: str, over: str, division: float, text: str) -> float:
    """Worth of one typed unit, mm/m."""
    unit = re.sub(r"[\s.]", "", unit.lower()) if unit not in ("″",) else unit
    if over:
        if unit not in _LENGTHS or over.lower() not in _LENGTHS:
            raise _refuse(text, "a tilt")
        base = (float(per) if per else 1.0) * _LENGTHS[over.lower()]
        if base <= 0:
            raise _refuse(text, "a tilt")
        return _LENGTHS[unit] / base * 1000
    if unit in _DIVISIONS:
        if division <= 0:
            raise UnitError(f"{text!r} is in divisions, but what a division is worth is not stated; add the level's "
                            'sensitivity, for example "0.02 mm/m".')  # fmt: skip
        return division
    if unit not in _ANGLES:
        raise _refuse(text, "a tilt")
    return _ANGLES[unit]


def parse_tilt(text: str, level: Level | None = None) -> Tilt:
    """Return a tilt typed in mm/m, in/ft, thou/in, arc seconds, or in divisions of ``level``; a bare number is divisions.

    How close it is: what the level can show where its sensitivity is stated, else half the last digit typed.

    Raises
    ------
    UnitError
        One sentence with an example.
    """
    level = level or Level()
    plain = text.replace("−", "-").replace("–", "-").strip()
    found = _TILT.fullmatch(plain) if len(plain) <= _LONGEST else None
    if found is None:
        raise _refuse(text, "a tilt")
    number, unit, per, over = found[1], (found[2] or "div").strip(), found[3] or "", found[4] or ""
    scale = _scale(unit, per, over, level.division, text)
    top, _, below = number.replace(" ", "").partition("/")
    if below and float(below) == 0:
        raise _refuse(text, "a tilt")
    value = (float(top) / float(below) if below else float(top)) * scale
    if abs(value) > _STEEPEST:
        raise UnitError(
            f"{text!r} is a tilt of {value:.3g} mm/m, steeper than any machine level reads; allowed: -{_STEEPEST:g} to "
            f"{_STEEPEST:g} mm/m. Bring the stand level with a carpenter's level first."
        )
    half_digit = 0.0 if below else 0.5 * 10.0 ** -len(top.partition(".")[2]) * scale
    return Tilt(value=value, within=level.shows if level.division > 0 else half_digit, typed=text.strip())


def parse_level(sensitivity: str, judged: float = JUDGED) -> Level:
    """Return a level from what one of its divisions is worth, "0.02 mm/m", "0.0005 in/ft", "10 arcsec".

    Raises
    ------
    UnitError
        No tilt, or none a level could have.
    """
    if re.fullmatch(rf"\s*{_NUMBER}\s*", sensitivity):
        raise UnitError(f"the sensitivity {sensitivity!r} has no unit; write for example \"0.02 mm/m\" or \"0.0005 in/ft\".")
    try:
        value = parse_tilt(sensitivity).value
    except UnitError as fault:
        raise UnitError(f"the sensitivity: {fault}") from fault
    if not 0.001 <= value <= 5:
        raise UnitError(
            f"the sensitivity {sensitivity!r} is {value:.3g} mm/m a division; allowed: 0.001 to 5 mm/m, nearest "
            f"{min(max(value, 0.001), 5.0):g} mm/m."
        )
    return Level(division=value, judged=judged)


def parse_station(text: str, level: Level, length: float, system: str = "metric") -> StationReading:
    """Return one station from "left: +2 div, -1 div" or "250 mm: 0.04 mm/m".

    Parameters
    ----------
    text : place, colon, a reading, and after a comma the reading with the level turned end for end, both seen
        from the operator's place. A place is left, middle, right or a distance from the left-hand mounts.
    length : between the end rows of mounts, mm

    Raises
    ------
    UnitError
        One sentence: what, where, allowed, nearest.
    """
    place, colon, rest = text.partition(":")
    if not colon or not place.strip() or not rest.strip():
        raise UnitError(f'{text!r} is not a reading; write place, colon, reading, for example "left: +2 div, -1 div".')
    name = " ".join(place.lower().split())
    x = _place(name, text, length, system)
    parts = [p for p in rest.split(",") if p.strip()]
    if len(parts) > 2:
        raise UnitError(f"{text!r} holds {len(parts)} readings; allowed: one, or two with the level turned end for end.")
    tilts = [parse_tilt(p, level) for p in parts]
    value = sum(t.value for t in tilts) / len(tilts)
    zero = (tilts[0].value - tilts[1].value) / 2 if len(tilts) == 2 else None
    within = sum(t.within for t in tilts) / len(tilts)
    return StationReading(name=name, x=x, value=value, within=within, zero=zero, typed=", ".join(t.typed for t in tilts))


def _place(name: str, text: str, length: float, system: str) -> float:
    words = {"left": 0.0, "middle": length / 2, "right": length}
    if name in words:
        return words[name]
    try:
        x = parse_length(name, system)
    except UnitError as fault:
        near = get_close_matches(name, words, n=1, cutoff=0.5)
        hint = f" Nearest: {near[0]}." if near else ""
        raise UnitError(
            f"in {text!r} there is no station {name!r}; allowed: left, middle, right or a distance from the left-hand "
            f'mounts such as "250 mm".{hint}'
        ) from fault
    if not 0 <= x <= length:
        raise UnitError(
            f"the station {name!r} in {text!r} is not on the bed between its mounts; allowed: 0 to {length:.0f} mm, "
            f"nearest {min(max(x, 0.0), length):.0f} mm."
        )
    return x


def in_order(stations: Sequence[StationReading]) -> tuple[StationReading, ...]:
    """Return the stations from left to right.

    Raises
    ------
    UnitError
        Fewer than two, or two at one place.
    """
    ordered = tuple(sorted(stations, key=lambda s: s.x))
    if len(ordered) < 2:
        raise UnitError("twist is a difference: give readings at two stations or more along the bed, such as left and right.")
    for a, b in pairwise(ordered):
        if b.x - a.x < 1.0:
            raise UnitError(f"the stations {a.name!r} and {b.name!r} are at one place; give each once, with both ways in one.")
    return ordered


def zero_error(stations: Sequence[StationReading]) -> tuple[float, float] | None:
    """Return the level's own error and how far the stations differ on it, mm/m; None where none was read both ways."""
    found = [s.zero for s in stations if s.zero is not None]
    return (sum(found) / len(found), max(found) - min(found)) if found else None
