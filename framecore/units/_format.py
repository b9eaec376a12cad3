"""Figures as they are shown: metric, inch fractions or decimal inches."""

from __future__ import annotations

import math
import re

from framecore.units._parse import INCH, POUND, POUND_FORCE

_LBF_FT = POUND_FORCE * 0.3048
# core unit -> (shown unit, size of the shown unit in core units, decimals)
_INCH_UNITS: dict[str, tuple[str, float, int]] = {
    "kg": ("lb", POUND, 1),
    "kg/m": ("lb/ft", POUND / 0.3048, 2),
    "N": ("lbf", POUND_FORCE, 1),
    "kN": ("lbf", POUND_FORCE / 1000, 0),
    "N/mm": ("lbf/in", POUND_FORCE / INCH, 0),
    "N m": ("lbf ft", _LBF_FT, 1),
    "N m/deg": ("lbf ft/deg", _LBF_FT, 0),
    "MPa": ("ksi", POUND_FORCE / INCH**2 * 1000, 2),
    "m": ("ft", 0.3048, 2),
    "m2": ("sq ft", 0.09290304, 2),
    "mm2": ("in2", INCH**2, 3),
    "mm3": ("in3", INCH**3, 3),
    "mm4": ("in4", INCH**4, 4),
    "mm/m": ("in/ft", 1000 / 12, 4),
    "l": ("US pt", 0.473176473, 2),
}
_POWER = re.compile(r"(?<![a-z])(mm|cm|m|in)([234])(?![\w²³⁴])")
_TIMES = re.compile(r"(?<=[\d)π²³⁴]) x (?=[\w(√])|(?<=\w) x (?=[\d(√])")
_NOTHING = 1e-4  # less, in any unit shown, is what rounding leaves of zero
_SAME_WELD = 0.3  # mm; 3 mm is sold and laid as 1/8 in (common practice)
_DECIMALS = {"kg": 1, "N": 0, "N/mm": 0, "Hz": 1, "1": 2, "deg": 1, "N m": 1, "N m/deg": 0, "MPa": 1, "m2": 2, "%": 1}


def _plain(value: float, decimals: int) -> str:
    if value != value:
        return "-"
    if value and abs(value) < 0.5 * 10.0**-decimals and abs(value) >= _NOTHING:
        return f"{value:.2g}"
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and float(text) == 0 else text


def format_length(mm: float, system: str = "metric", *, unit: bool = True) -> str:
    """Return a length as shown: "749.3 mm", '29 1/2 in', "29.500 in".

    Inch fractions go to the nearest 1/32; a "~" in front says that the length is more than 0.05 mm off it.
    """
    if system == "inch decimal":
        return _plain(mm / INCH, 3) + (" in" if unit else "")
    if system == "inch" and math.isfinite(mm):
        steps = round(abs(mm) / INCH * 32)
        near = "~" if abs(abs(mm) - steps * INCH / 32) > 0.05 else ""
        whole, part = divmod(steps, 32)
        below = 32
        while part and part % 2 == 0:
            part, below = part // 2, below // 2
        words = [str(whole)] if whole or not part else []
        if part:
            words.append(f"{part}/{below}")
        sign = "-" if mm < 0 and steps else ""
        return near + sign + " ".join(words) + (" in" if unit else "")
    if system == "inch":
        return _plain(mm, 0) + (" in" if unit else "")
    return _plain(mm, 1) + (" mm" if unit else "")


def format_weld(mm: float, system: str = "metric") -> str:
    """Return a weld's leg or a wall as it is named: millimetres, thousandths, or sixteenths of an inch.

    A size that is no sixteenth is given to the next one up with its millimetres behind it, so that nobody welds it smaller.
    """
    if system == "metric":
        return f"{_plain(mm, 1).removesuffix('.0')} mm"
    if system != "inch":
        return format_length(mm, system)
    nearest = max(round(mm / INCH * 16), 1)
    if abs(nearest / 16 * INCH - mm) <= _SAME_WELD:
        return format_length(nearest / 16 * INCH, system)
    return f"{format_length(math.ceil(mm / INCH * 16) / 16 * INCH, system)} ({_plain(mm, 1).removesuffix('.0')} mm)"


def format_round(mm: float, system: str = "metric") -> str:
    """Return a size of common practice, round by itself: millimetres, hundredths or sixteenths of an inch."""
    if system == "metric":
        return f"{mm:g} mm"
    share = 16 if system == "inch" else 100
    return format_length(round(mm / INCH * share) / share * INCH, system)


def round_step(mm: float, system: str = "metric") -> float:
    """Return a step of whole mm as a maker of that system takes it, mm: whole inches, eighths where it is less than one."""
    if system == "metric":
        return mm
    share = 8 if abs(mm) < INCH else 1
    return round(mm / INCH * share) / share * INCH


def raised(text: str) -> str:
    """Return ``text`` with the powers of its units raised: "mm2" is read as "mm²"."""
    # Few texts have one; a plain look is quicker than an expression.
    if "m2" not in text and "m3" not in text and "m4" not in text and "in" not in text:
        return text
    return _POWER.sub(lambda m: m[1] + "²³⁴"[int(m[2]) - 2], text)


def typeset(text: str) -> str:
    """Return ``text`` as it is printed: powers raised, and "x" between two factors as the sign for times."""
    text = raised(text)
    return _TIMES.sub(" × ", text) if " x " in text else text


def format_quantity(value: float, unit: str, system: str = "metric") -> tuple[str, str]:
    """Return (text, unit text) of a figure given in its core ``unit``; a ratio ("1") has no unit text."""
    if unit == "mm" and abs(value) < 1.0 and system != "inch decimal" and value:
        # Sags and gaps are far below a fraction of an inch.
        return (_plain(value, 3), "mm") if system == "metric" else (_plain(value / INCH, 4), "in")
    if unit == "mm":
        return format_length(value, system, unit=False), "in" if system.startswith("inch") else "mm"
    if system.startswith("inch") and unit in _INCH_UNITS:
        shown, size, decimals = _INCH_UNITS[unit]
        return _plain(value / size, decimals), shown
    whole = float(value).is_integer()
    text = _plain(value, _DECIMALS.get(unit, 0 if whole else 2))
    if unit == "1" and whole:
        text = f"{value:.0f}"
    return text, "" if unit == "1" else unit
