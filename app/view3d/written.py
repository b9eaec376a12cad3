"""How a length set by hand is rounded and written into the brief."""

from __future__ import annotations

from app.numbers import length, plain, shown
from framecore.errors import UnitError
from framecore.units import INCH, parse_length


def step(units: str) -> float:
    """Return the step of the rule a dragged point goes to, mm: 0.5 mm, or 1/32 in for briefs in inches."""
    return INCH / 32 if units.startswith("inch") else 0.5


def snapped(mm: float, units: str) -> float:
    """Return the nearest step of the rule."""
    return round(mm / step(units)) * step(units)


def written(mm: float, units: str) -> int | float | str:
    """Return a length as the brief writes it: a plain number of mm, or inches with their unit."""
    if not units.startswith("inch"):
        value = round(mm, 3) + 0.0
        return int(value) if value.is_integer() else value
    parts = mm / INCH * 64
    if units == "inch" and abs(parts - round(parts)) < 1e-3:
        whole, part, below = *divmod(abs(round(parts)), 64), 64
        while part and part % 2 == 0:
            part, below = part // 2, below // 2
        words = [str(whole)] if whole or not part else []
        words += [f"{part}/{below}"] if part else []
        return f"{'-' if mm < 0 and round(parts) else ''}{' '.join(words)} in"
    return f"{round(mm / INCH, 4) + 0.0:.6g} in"


def small(mm: float, units: str, sign: str = "") -> str:
    """Return a misfit in words, with its sign where ``sign`` is "+"."""
    return f"{mm / INCH:{sign}.4f} in" if units.startswith("inch") else f"{mm:{sign}.2f} mm"


def typed(mm: float, units: str) -> str:
    """Return a length as it stands in a cell: without a unit where plain numbers mean mm."""
    return shown(str(written(mm, units)))


def words(x: float, y: float, units: str) -> str:
    """Return a place in words."""
    return f"x {length(x, units)}, y {length(y, units)}"


def read(name: str, text: str, units: str) -> float:
    """Return a typed length in mm, or raise UnitError with one sentence that begins with its name."""
    try:
        return parse_length(plain(text), units)
    except UnitError as fault:
        raise UnitError(f"{name}: {fault}") from None


def as_typed(text: str, units: str) -> int | float | str:
    """Return a typed length for the brief: a plain number where that means mm, else the words."""
    text = plain(text)
    if units.startswith("inch"):
        return text.strip()
    try:
        return written(float(text), units)
    except ValueError:
        return text.strip()
