"""A figure: a number that is shown, with everything needed to believe it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum

from framecore.brief.model import Brief
from framecore.frame.model import Frame
from framecore.height import WorkingHeight
from framecore.shop.model import Shop
from framecore.solids.model import Solids
from framecore.strength.model import Strength


class Verdict(StrEnum):
    """What a figure means. Always shown as a word and a shape, never as a colour alone."""

    GOOD = "good"
    LOOK = "look"
    STOP = "stop"
    NONE = ""  # a plain fact without a limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One number that went in.

    ``origin``: "typed", "assumed", "table", "computed"; ``key``: the brief's key of a typed or assumed one;
    ``source``: which table, how it was computed.
    """

    symbol: str
    label: str
    value: float
    unit: str
    origin: str
    source: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """How a figure came about: formula in the book's letters, inputs, arithmetic line by line, source."""

    formula: str
    inputs: tuple[Input, ...]
    steps: tuple[str, ...]
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number shown in the window, on sheets, on the command line.

    ``unit`` is the core's unit of ``value`` ("mm", "kg", "N/mm", "Hz", "1" for a ratio, "deg", "N m/deg").
    ``limit`` is in the same unit, None where there is none; ``limit_kind`` "min", "max" or "".
    ``limit_high`` closes a band. ``group`` is the panel, a key of ``GROUP_TITLES`` in ``figures.words``.
    ``assumed``: dotted paths of assumed brief keys it rests on. ``parts``: members, plates and feet it speaks
    of; they are lit in the view while it is looked at. ``work`` writes the working out when somebody asks: a
    drag of the height shows a hundred figures many times a second and looks at one working.
    """

    id: str
    label: str
    value: float
    unit: str
    group: str
    work: Callable[[], Working] = field(compare=False, repr=False)
    limit: float | None = None
    limit_kind: str = ""
    limit_high: float | None = None
    verdict: Verdict = Verdict.NONE
    assumed: tuple[str, ...] = ()
    note: str = ""
    parts: tuple[str, ...] = ()

    @property
    def working(self) -> Working:
        """How the figure came about."""
        return self.work()

    @property
    def source(self) -> str:
        """Where the rule comes from."""
        return self.working.source


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answers:
    """What every figure is drawn from."""

    brief: Brief
    height: WorkingHeight
    frame: Frame
    solids: Solids
    strength: Strength
    shop: Shop
