"""How figures are shown on the screen besides their words: shapes of verdicts, differences."""

from __future__ import annotations

import math

from app.numbers import quantity
from framecore.figures.model import Verdict

SHAPES = {Verdict.GOOD: "●", Verdict.LOOK: "▲", Verdict.STOP: "■", Verdict.NONE: ""}


def difference(value: float, before: float, unit: str, units: str) -> str:
    """Return the signed difference to the reference, "" when nobody would see it."""
    if not (math.isfinite(value) and math.isfinite(before)):
        return ""
    change = value - before
    if abs(change) <= 5e-4 * max(abs(value), abs(before), 1e-9):
        return ""
    return f"{'+' if change > 0 else '−'}{quantity(abs(change), unit, units)}"
