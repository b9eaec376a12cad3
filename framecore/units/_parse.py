"""Quantities as people type them, turned into core units."""

from __future__ import annotations

import math
import re

from framecore.errors import UnitError

# Exact by definition: the inch (1959) and the pound; the pound-force by standard gravity 9.80665 m/s2.
INCH = 25.4
FOOT = 304.8
POUND = 0.45359237
KILOGRAM_FORCE = 9.80665
POUND_FORCE = POUND * KILOGRAM_FORCE

LENGTH = {
    "mm": 1.0, "millimetre": 1.0, "millimeter": 1.0, "cm": 10.0, "m": 1000.0, "metre": 1000.0, "meter": 1000.0,
    "in": INCH, "inch": INCH, "inches": INCH, '"': INCH, "''": INCH, "ft": FOOT, "foot": FOOT, "feet": FOOT,
    "'": FOOT,
}  # fmt: skip
MASS = {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": POUND, "lbs": POUND}
FORCE = {"n": 1.0, "kn": 1000.0, "lbf": POUND_FORCE, "kgf": KILOGRAM_FORCE, "kg": KILOGRAM_FORCE, "lb": POUND_FORCE}
TORQUE = {
    "nm": 1.0, "ncm": 0.01, "knm": 1000.0, "lbfft": POUND_FORCE * 0.3048, "ftlbf": POUND_FORCE * 0.3048,
    "ftlb": POUND_FORCE * 0.3048, "lbft": POUND_FORCE * 0.3048, "lbfin": POUND_FORCE * 0.0254,
    "inlbf": POUND_FORCE * 0.0254,
}  # fmt: skip
ANGLE = {"deg": 1.0, "°": 1.0, "degree": 1.0, "degrees": 1.0, "rad": 180 / math.pi}
SLOPE = {"mm/m": 1.0, "in/ft": 1000 / 12, "%": 10.0}

_NUMBER = r"(?:\d+(?:\s+|\s*-\s*)\d+\s*/\s*\d+|\d+\s*/\s*\d+|(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)"
_TERM = re.compile(rf"\s*({_NUMBER})\s*([a-z%°\"'][a-z%°\"'/.*·]*(?:\s+[a-z]+)?)?", re.ASCII | re.IGNORECASE)
_FEET = re.compile(r"([^+-].*?)\s*(?:'(?!')|ft|foot|feet)\s*-?\s*(\d.*|\.\d.*)")
_LONGEST = 80


def _number(text: str) -> float:
    whole, slash, below = text.partition("/")
    if not slash:
        return float(text)
    if float(below) == 0.0:
        raise ZeroDivisionError
    parts = whole.replace("-", " ").split()
    return (float(parts[0]) if len(parts) == 2 else 0.0) + float(parts[-1]) / float(below)


def _tidy(text: str) -> str:
    for odd, plain in (("″", '"'), ("”", '"'), ("“", '"'), ("′", "'"), ("’", "'"), ("−", "-"), ("⁄", "/")):
        text = text.replace(odd, plain)
    for char, fraction in zip("½¼¾⅛⅜⅝⅞", ("1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"), strict=True):
        text = text.replace(char, f" {fraction}")
    return text.strip().lower()


def _fail(text: str, what: str, example: str) -> UnitError:
    shown = text if len(text) <= 40 else text[:37] + "..."
    return UnitError(f"{shown!r} is not {what}; write for example {example}.")


def _signed(text: str) -> tuple[float, str]:
    """Return the sign and the tidied rest; only one sign is taken off, so "+-5" stays unreadable."""
    body = _tidy(text)
    sign = -1.0 if body.startswith("-") else 1.0
    return sign, (body[1:] if body[:1] in ("+", "-") else body).strip()


def _plain_number(value: float, what: str, example: str) -> float:
    # True is an int to Python and a slip to the maker.
    try:
        number = math.nan if isinstance(value, bool) else float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _fail(str(value), what, example)
    return number


def _single(text: str | float, units: dict[str, float], bare: float, what: str, example: str) -> float:
    if not isinstance(text, str):
        return _plain_number(text, what, example)
    sign, rest = _signed(text)
    found = _TERM.fullmatch(rest) if len(text) <= _LONGEST else None
    try:
        if found is None:
            raise _fail(text, what, example)
        unit = re.sub(r"[\s.*·]", "", found[2] or "")
        value = sign * _number(found[1]) * (units[unit] if unit else bare)
    except (KeyError, ZeroDivisionError, ValueError) as problem:
        raise _fail(text, what, example) from problem
    if not math.isfinite(value):
        raise _fail(text, what, example)
    return value


def parse_length(text: str | float, system: str = "metric") -> float:
    r"""Return a length in mm.

    Parameters
    ----------
    text : "29 1/2 in", "2' 5-1/2"", "2 ft 5 1/2 in", "750 mm", "0.75 m"; text without a unit is mm, or inches
        where ``system`` is "inch" or "inch decimal"; a number is always mm

    Raises
    ------
    UnitError
        If it is no length; one sentence with an example.
    """
    inch = system.startswith("inch")
    example = '"29 1/2 in"' if inch else '"750 mm"'
    if not isinstance(text, str):
        return _plain_number(text, "a length", example)
    sign, rest = _signed(text)
    # Feet and inches: feet first, then inches with or without their mark.
    split = _FEET.fullmatch(rest) if len(text) <= _LONGEST else None
    if split:
        feet = _single(split[1], {}, FOOT, "a length", example)
        inches = _single(split[2], {k: v for k, v in LENGTH.items() if v == INCH}, INCH, "a length", example)
        return sign * (feet + inches)
    return _single(text, LENGTH, INCH if inch else 1.0, "a length", example)


def parse_mass(text: str | float, system: str = "metric") -> float:
    """Return a mass in kg from "165 kg", "360 lb"; a bare number is kg, or lb in the inch systems."""
    return _single(text, MASS, POUND if system.startswith("inch") else 1.0, "a mass", '"165 kg" or "360 lb"')


def parse_force(text: str | float, system: str = "metric") -> float:
    """Return a force in N from "300 N", "1.5 kN", "60 lbf", "30 kgf"; bare: N, or lbf in the inch systems."""
    return _single(text, FORCE, POUND_FORCE if system.startswith("inch") else 1.0, "a force", '"300 N" or "60 lbf"')


def parse_torque(text: str | float, system: str = "metric") -> float:
    """Return a torque in N m from "30 N m", "22 lbf ft"; bare: N m, or lbf ft in the inch systems."""
    bare = TORQUE["lbfft"] if system.startswith("inch") else 1.0
    return _single(text, TORQUE, bare, "a torque", '"30 N m" or "22 lbf ft"')


def parse_angle(text: str | float) -> float:
    """Return an angle in degrees from "10 deg", "10°", "0.17 rad"; a bare number is degrees."""
    return _single(text, ANGLE, 1.0, "an angle", '"10 deg"')


def parse_slope(text: str | float) -> float:
    """Return a slope in mm/m from "10 mm/m", "1/8 in/ft", "1 %"; a bare number is mm/m."""
    return _single(text, SLOPE, 1.0, "a slope", '"10 mm/m" or "1/8 in/ft"')
