"""Cutting task and plan. Knows lengths and labels only."""

from __future__ import annotations

from dataclasses import dataclass

FLUSH = 1e-5  # a last piece ends with the bar when this near to its end, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """``count`` equal lengths to be cut; ``mark`` is free text."""

    mark: str
    length: float
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A length that can be had.

    ``available`` None means any number can be bought. Offcuts on hand have ``price`` 0 (or what they are
    worth to the owner) and ``available`` 1. ``trim`` is lost at each end (mill end), the saw cut that takes it
    off included.
    """

    name: str
    length: float
    price: float
    available: int | None = None
    trim: float = 0.0
    rack: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One piece in a bar: from ``start`` to ``start + length`` measured from the bar's left end."""

    mark: str
    start: float
    length: float

    @property
    def end(self) -> float:
        """Right end of the piece, mm."""
        return self.start + self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class CutBar:
    """One bar with its cuts in sawing order and the offcut that is left (mm), its far mill end included."""

    bar: Bar
    cuts: tuple[Cut, ...]
    offcut: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """A plan for one profile.

    ``cost`` of all bars used; ``lower_bound`` no plan can be cheaper; ``proven`` cost == lower_bound is shown.
    ``kerf`` per cut; ``sawn`` number of cuts; ``net`` sum of piece lengths, ``gross`` sum of bar lengths.
    """

    bars: tuple[CutBar, ...]
    kerf: float
    cost: float
    lower_bound: float
    proven: bool
    method: str

    @property
    def net(self) -> float:
        """Total length of the pieces, mm."""
        return sum(c.length for b in self.bars for c in b.cuts)

    @property
    def gross(self) -> float:
        """Total length of the bars used, mm."""
        return sum(b.bar.length for b in self.bars)

    @property
    def sawn(self) -> int:
        """Number of saw cuts: one behind each piece and one for a mill end trimmed; none behind a flush last piece."""
        return sum(len(b.cuts) + (b.bar.trim > 0) - (b.cuts[-1].end >= b.bar.length - FLUSH) for b in self.bars)
