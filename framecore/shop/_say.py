"""Words of the workshop: measures as they are read off a rule, names in a row, marks in short."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable

from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Thread
from framecore.units import INCH, POUND, format_length, format_quantity

_METRIC = re.compile(r"(?<![0-9A-Za-z_.(])(?P<sizes>\d+(?:\.\d+)?(?: [x×] \d+(?:\.\d+)?)*) (?P<unit>mm|kN|kg)\b(?![/)])")
_SMALL = 6.0  # mm; under it a rule's fraction that is off says too little
# Inch bolts that go where a metric one of common practice does.
_INCH_FOR = {"M6": "1/4-20", "M8": "5/16-18", "M10": "3/8-16", "M12": "1/2-13"}
_FINE = 1 / 64  # in; below this a rule shows nothing and thousandths are told


def size(units: str, mm: float) -> str:
    """Return a length to be measured: "760 mm", "911.4 mm", "29 1/2 in"."""
    return format_length(mm, units).replace(".0 mm", " mm")


def bolt_words(thread: Thread, length: float) -> str:
    """Return "M10 × 90", or inches as people write them, "1/2-13 × 3-1/4 in"."""
    if thread.system == "metric":
        return f"{thread.id} × {length:g}"
    whole, eighths = divmod(round(length / INCH * 8), 8)
    shared = math.gcd(eighths, 8)
    part = f"{eighths // shared}/{8 // shared}" if eighths else ""
    return f"{thread.id} × {'-'.join(t for t in (str(whole) if whole or not part else '', part) if t)} in"


def own_thread(units: str, metric: str) -> Thread:
    """Return the thread of common practice that the brief's system sells: M8 or 5/16-18."""
    return find_thread(about(units, metric, _INCH_FOR[metric]))


def within(units: str, mm: float) -> str:
    """Return a deviation or an amount in sensible digits: "3 mm", "0.5 mm", "1/8 in", "0.012 in"."""
    if not units.startswith("inch"):
        return f"{round(mm, 1):g} mm"
    inches = mm / INCH
    if units == "inch decimal" or inches < _FINE:
        return f"{inches:.3f} in"
    return format_length(round(inches * 32) / 32 * INCH, units)


def in_units(text: str, units: str) -> str:
    """Return a text with its millimetres, kN and kg told in the brief's units; what stands in brackets behind is left."""
    if not units.startswith("inch"):
        return text

    def told(found: re.Match[str]) -> str:
        values = [float(t) for t in re.split(" [x×] ", found["sizes"])]
        if found["unit"] != "mm":
            return " ".join(format_quantity(values[0], found["unit"], units))
        first = [_exact(units, v).removesuffix(" in") for v in values[:-1]]
        return " × ".join([*first, _exact(units, values[-1])])

    return _METRIC.sub(told, text)


def _exact(units: str, mm: float) -> str:
    """A length in inches: a fraction, or thousandths where it is small and none fits."""
    text = format_length(mm, units)
    return f"{mm / INCH:.3f} in" if text.startswith("~") and mm < _SMALL else text


def about(units: str, metric: str, inch: str) -> str:
    """Return a size of common practice, round in either system."""
    return inch if units.startswith("inch") else metric


def mass(units: str, kg: float) -> str:
    """Return a mass in whole numbers."""
    return f"{kg / POUND:.0f} lb" if units.startswith("inch") else f"{kg:.0f} kg"


def quantity(units: str, value: float, unit: str) -> str:
    """Return value and unit in the system's own."""
    return " ".join(format_quantity(value, unit, units))


def names(words: Iterable[str]) -> str:
    """Return "a", "a and b", "a, b and c", each once."""
    own = list(dict.fromkeys(words))
    return " and ".join(own) if len(own) < 3 else ", ".join(own[:-1]) + " and " + own[-1]


def marks(words: Iterable[str]) -> str:
    """Return marks by number, runs in short: "W1 to W4, W7"."""
    own = sorted({w for w in words if w}, key=_number)
    out = []
    for _, run in itertools.groupby(enumerate(own), key=lambda p: _number(p[1])[1] - p[0]):
        row = [w for _, w in run]
        out.append(f"{row[0]} to {row[-1]}" if len(row) > 2 else ", ".join(row))
    return ", ".join(out)


def _number(mark: str) -> tuple[str, int]:
    stem = mark.rstrip("0123456789")
    return stem, int(mark[len(stem) :] or 0)
