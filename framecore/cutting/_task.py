"""The task in whole numbers: pieces grouped by length, bars sorted, every number checked.

Lengths are counted in whole nanometres, so that sums are exact and a piece exactly as long as the bar fits.
Each piece carries its saw cut, and each bar gets one saw cut on top of its usable length: between n pieces
lie n - 1 cuts, and the one more that frees the last piece may eat whatever is left of the bar.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framecore.cutting.model import Bar, Piece
from framecore.errors import CuttingError

NANO = 1_000_000  # nanometres in a millimetre
MOST_PIECES = 10_000
# Where prices have no common amount, costs closer than this share of the dearest bar are one cost.
SAME_COST = 1e-9
NEAR = 1e-7  # how near to a whole number a price in common amounts must be


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be packed.

    Attributes
    ----------
    sizes : distinct piece lengths plus kerf, nm, falling
    counts : how many of each size
    marks : the marks of each size, sorted
    lengths : the piece lengths as they came, mm, one for each mark
    free : bars that cost nothing, one by one, shortest first; too short ones left out
    sold : bars that cost something or are without end; of equal ones the cheaper first
    free_rooms, rooms : usable length plus kerf of ``free`` and ``sold``, nm
    limits : how many of each ``sold`` can be of use
    unit : the amount of money costs are counted in; sums of prices are not exact in binary, counts are
    whole : all prices are multiples of ``unit``, and so are all costs
    """

    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    marks: tuple[tuple[str, ...], ...]
    lengths: tuple[tuple[float, ...], ...]
    free: tuple[Bar, ...]
    free_rooms: tuple[int, ...]
    sold: tuple[Bar, ...]
    rooms: tuple[int, ...]
    limits: tuple[int, ...]
    kerf: float
    unit: float
    whole: bool

    @property
    def total(self) -> int:
        """Length of all pieces with their saw cuts, nm."""
        return sum(s * n for s, n in zip(self.sizes, self.counts, strict=True))

    def steps(self, cost: float) -> int:
        """Return a cost in units, in which equal costs are equal."""
        return round(cost / self.unit)

    def steps_up(self, bound: float) -> int:
        """Return the least cost in units that is not under this bound."""
        return math.ceil(bound / self.unit - NEAR) if self.whole else round(bound / self.unit)


def room(bar: Bar, kerf: float) -> int:
    """Usable length of a bar plus one saw cut, nm."""
    return round((bar.length - 2.0 * bar.trim + kerf) * NANO)


def prepare(pieces: Sequence[Piece], bars: Sequence[Bar], kerf: float) -> Task:
    """Check every number and put the task into whole numbers.

    Raises
    ------
    CuttingError
        A number makes no sense, or a piece is longer than every bar.
    """
    _check(pieces, bars, kerf)
    groups: dict[int, list[tuple[str, float]]] = {}
    for p in pieces:
        groups.setdefault(round((p.length + kerf) * NANO), []).extend([(p.mark, p.length)] * p.count)
    if sum(map(len, groups.values())) > MOST_PIECES:
        raise CuttingError(f"more than {MOST_PIECES} pieces are wanted; plan them in several lots")
    sizes = tuple(sorted(groups, reverse=True))
    if sizes:
        longest = max((room(b, kerf) for b in bars if b.available != 0), default=0)
        if sizes[0] > longest:
            mark, length = min(groups[sizes[0]])
            raise CuttingError(_too_long(mark, length, max(0.0, longest / NANO - kerf), bool(bars)))
    number = sum(map(len, groups.values()))
    useful = [b for b in bars if sizes and b.available != 0 and room(b, kerf) >= sizes[-1]]
    free = [b for b in useful if b.price == 0 and b.available is not None for _ in range(min(number, b.available or 0))]
    free.sort(key=lambda b: (room(b, kerf), b.length, b.name))
    sold = [b for b in useful if b.price > 0 or b.available is None]
    # Long bars first: sets of few bars are met first, and at one price the longer leaves the longer offcut.
    sold.sort(key=lambda b: (-room(b, kerf), b.price, b.length, b.name))
    unit, whole = _unit([b.price for b in sold if b.price > 0])
    return Task(
        sizes=sizes,
        counts=tuple(len(groups[s]) for s in sizes),
        marks=tuple(tuple(m for m, _ in sorted(groups[s])) for s in sizes),
        lengths=tuple(tuple(n for _, n in sorted(groups[s])) for s in sizes),
        free=tuple(free),
        free_rooms=tuple(room(b, kerf) for b in free),
        sold=tuple(sold),
        rooms=tuple(room(b, kerf) for b in sold),
        limits=tuple(number if b.available is None else min(number, b.available) for b in sold),
        kerf=kerf,
        unit=unit,
        whole=whole,
    )


def _unit(prices: list[float]) -> tuple[float, bool]:
    """Largest amount found of which all prices are multiples, and whether there is one.

    Prices by the metre share one, and so do prices in whole money; then bounds may be rounded up to it.
    """
    if not prices:
        return 1.0, True
    least = min(prices)
    for unit in (*(least / q for q in range(1, 201)), 0.01):
        if all(abs(p / unit - round(p / unit)) <= NEAR * 1e-2 for p in prices):
            return unit, True
    return SAME_COST * max(prices), False


def _too_long(mark: str, length: float, longest: float, some: bool) -> str:
    if not some:
        return f"piece {mark} ({length:g} mm) cannot be cut because no bar is given; add a length that is sold near you"
    return (
        f"piece {mark} is {length:.1f} mm long, but the longest bar gives {longest:.1f} mm; "
        "add a longer length to what is sold near you"
    )


def _check(pieces: Sequence[Piece], bars: Sequence[Bar], kerf: float) -> None:
    if not (math.isfinite(kerf) and kerf >= 0):
        raise CuttingError(f"the kerf must be 0 mm or more, not {kerf:g}; a bandsaw takes about 1.5 mm")
    for p in pieces:
        if not (math.isfinite(p.length) and p.length > 0):
            raise CuttingError(f"piece {p.mark} must have a length above 0 mm, not {p.length:g}")
        if p.count < 1:
            raise CuttingError(f"piece {p.mark} must be wanted at least once, not {p.count} times")
    for b in bars:
        if not (math.isfinite(b.length) and b.length > 0):
            raise CuttingError(f"bar {b.name} must have a length above 0 mm, not {b.length:g}")
        if not (math.isfinite(b.price) and b.price >= 0):
            raise CuttingError(f"bar {b.name} must have a price of 0 or more, not {b.price:g}")
        if not (math.isfinite(b.trim) and b.trim >= 0):
            raise CuttingError(f"bar {b.name} must have a trim of 0 mm or more at each end, not {b.trim:g}")
        if b.available is not None and b.available < 0:
            raise CuttingError(f"bar {b.name} must be at hand 0 times or more, not {b.available} times")
