"""Sheets: what is cut from them, what can be had, and the plan. Knows rectangles, outlines and labels only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Mode = Literal["guillotine", "free"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    """``count`` equal flat parts; ``mark`` is free text.

    ``outline``: corners from the lower left corner of the part's box, empty where it is a rectangle. ``turns`` False
    keeps its length along the sheet's, for brushed or tread sheet.
    """

    mark: str
    length: float
    width: float
    count: int = 1
    turns: bool = True
    outline: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStock:
    """A sheet that can be had, ``length`` along x; ``available`` None: any number can be bought."""

    name: str
    length: float
    width: float
    price: float
    available: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """One part on a sheet: the lower left corner of its box from the sheet's corner, its box as it lies.

    ``turn``: degrees anticlockwise, a multiple of 90. ``outline``: its corners on the sheet, empty for a rectangle.
    """

    mark: str
    sheet: int
    x: float
    y: float
    length: float
    width: float
    turn: int = 0
    outline: tuple[Point, ...] = ()

    @property
    def turned(self) -> bool:
        """Whether its length lies across the sheet."""
        return self.turn % 180 == 90


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCut:
    """A straight cut from edge to edge of what is then in hand, its middle line.

    ``stage`` 0 takes the sheet's edges off, 1 cuts the whole sheet, 2 what is left across that, and so on.
    """

    sheet: int
    stage: int
    start: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Remnant:
    """A rectangle that stays whole."""

    sheet: int
    x: float
    y: float
    length: float
    width: float

    @property
    def area(self) -> float:
        """Area, mm2."""
        return self.length * self.width


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlan:
    """A plan for one thickness.

    ``cost`` of the sheets used; ``lower_bound`` no plan can be cheaper; ``proven`` cost == lower_bound is shown.
    ``rest_proven``: no layout on these sheets leaves a larger rectangle whole, the cut beside it counted with it; else what
    is left is as large as a short search gets it. ``cuts``: in order, for a guillotine plan.
    ``remnants``: the largest rectangle left on each sheet, where one is left.
    """

    sheets: tuple[SheetStock, ...]
    placements: tuple[Placement, ...]
    cuts: tuple[SheetCut, ...]
    remnants: tuple[Remnant, ...]
    gap: float
    edge: float
    mode: Mode
    cost: float
    lower_bound: float
    proven: bool
    method: str
    rest_proven: bool = False

    @property
    def gross(self) -> float:
        """Area of the sheets used, mm2."""
        return sum(s.length * s.width for s in self.sheets)

    @property
    def stages(self) -> int:
        """How often the direction of cutting changes, plus one; 0 without cuts."""
        return max((c.stage for c in self.cuts), default=0)
