"""A nesting task in whole steps: parts and sheets grown by the gap, so that gaps need no further thought."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framecore.cutting.nest_model import SheetPart, SheetStock
from framecore.errors import CuttingError

STEP = 1e-5  # mm; what is rounded away stays below what a sheet is let out by
LET_OUT = 20  # steps a sheet is larger than written, so that sums of rounded sizes still fit
MOST_PARTS = 400


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts of one size: longer side first where they may turn; ``whose`` indices of the parts as they were given."""

    size: tuple[int, int]
    turns: bool
    whose: tuple[int, ...]
    shaped: bool

    @property
    def ways(self) -> tuple[tuple[int, int], ...]:
        """The sizes along and across the sheet in which it may lie."""
        a, b = self.size
        return ((a, b), (b, a)) if self.turns and a != b else ((a, b),)


@dataclass(frozen=True, slots=True)
class NestTask:
    """Kinds, largest first, and sheets: the size in which grown parts lie."""

    kinds: tuple[Kind, ...]
    stock: tuple[SheetStock, ...]
    rooms: tuple[tuple[int, int], ...]
    limits: tuple[int, ...]
    gap: float
    edge: float
    parts: tuple[SheetPart, ...]

    @property
    def counts(self) -> tuple[int, ...]:
        """Parts of each kind."""
        return tuple(len(k.whose) for k in self.kinds)


def steps(length: float) -> int:
    """Return a length in whole steps."""
    return round(length / STEP)


def prepare(parts: Sequence[SheetPart], stock: Sequence[SheetStock], gap: float, edge: float) -> NestTask:
    """Check a task and bring it into steps.

    Raises
    ------
    CuttingError
        A number makes no sense, nothing is sold, or a part fits on no sheet.
    """
    for name, value in (("gap", gap), ("edge", edge)):
        if not (math.isfinite(value) and value >= 0):
            raise CuttingError(f"the {name} must be 0 mm or more, not {value:g}")
    for p in parts:
        if not (math.isfinite(p.length * p.width) and p.length > 0 and p.width > 0 and p.count >= 0):
            raise CuttingError(f"part {p.mark}: length and width must be above 0 mm and the count 0 or more")
    if sum(p.count for p in parts) > MOST_PARTS:
        raise CuttingError(f"at most {MOST_PARTS} parts are laid out at once, not {sum(p.count for p in parts)}")
    sold = tuple(s for s in stock if s.available is None or s.available > 0)
    for s in sold:
        if not (math.isfinite(s.length * s.width) and s.length > 2 * edge and s.width > 2 * edge):
            raise CuttingError(f"sheet {s.name}: length and width must be above twice the edge of {edge:g} mm")
        if not (math.isfinite(s.price) and s.price >= 0):
            raise CuttingError(f"sheet {s.name}: the price must be 0 or more, not {s.price:g}")
    rooms = tuple((steps(s.length - 2 * edge + gap) + LET_OUT, steps(s.width - 2 * edge + gap) + LET_OUT) for s in sold)
    whose: dict[tuple[int, int, bool, tuple[tuple[float, float], ...]], list[int]] = {}
    for i, p in enumerate(parts):
        a, b = steps(p.length + gap), steps(p.width + gap)
        if p.turns and not p.outline:
            a, b = max(a, b), min(a, b)
        whose.setdefault((a, b, p.turns, p.outline), []).extend([i] * p.count)
    kinds = [Kind((a, b), turns, tuple(w), bool(o)) for (a, b, turns, o), w in whose.items() if w]
    kinds.sort(key=lambda k: (-k.size[0] * k.size[1], -max(k.size), k.whose))
    for k in kinds:
        if not any(a <= room[0] and b <= room[1] for a, b in k.ways for room in rooms):
            raise CuttingError(_too_large(parts[k.whose[0]], sold, edge))
    limits = tuple(min(len([w for k in kinds for w in k.whose]), s.available or MOST_PARTS) for s in sold)
    return NestTask(tuple(kinds), sold, rooms, limits, gap, edge, tuple(parts))


def _too_large(part: SheetPart, sold: Sequence[SheetStock], edge: float) -> str:
    if not sold:
        return f"part {part.mark} needs a sheet, and no sheet is sold"
    largest = max(sold, key=lambda s: s.length * s.width)
    return (
        f"part {part.mark}, {part.length:.0f} x {part.width:.0f} mm, fits on no sheet that is sold; the largest is "
        f"{largest.length:.0f} x {largest.width:.0f} mm, less {edge:g} mm at each edge"
    )
