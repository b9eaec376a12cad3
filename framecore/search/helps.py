"""What one change helps most: single changes, each evaluated in full, ranked by what is gained for what is paid."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.figures.model import Figure, Verdict
from framecore.search.changes import Change, single_changes
from framecore.search.family import Fault, reason
from framecore.stand import Evaluator, Stand

# What may be asked for: the figure, and whether more of it is better. The worst of the bed's cases stands for all of them.
MEASURES = {
    "sway.stiffness_x": True, "sway.stiffness_y": True, "twist.stiffness": True, "bed.jack_share": True, "bed.twist": False,
    "modes.1": True,
}  # fmt: skip
# What it may be reckoned against.
PRICES = {"mass": "kg", "cost": "money", "hours": "hour of welding"}
_BED = "bed.twist."
LEAST = 1e-3  # relative: a smaller gain is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What one stand says: ``measures`` by name; ``mass`` kg, ``cost`` money, ``hours`` of welding (None: not asked yet).

    ``stops`` and ``looks``: ids of the figures with that verdict, of those every answer carries.
    """

    measures: Mapping[str, float]
    mass: float
    cost: float
    hours: float | None
    stops: frozenset[str]
    looks: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """One change and what its stand says; ``reason`` why it cannot be built, with ``after`` None."""

    change: Change
    after: Readings | None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Help:
    """One row: a change, what is gained and what it costs.

    ``gain`` in the measure's unit, better is positive; ``before``, ``after`` the measure itself; ``mass``, ``cost``, ``hours``
    what is added, hours None until they are known; ``worth`` gain for one unit of the price, infinite where it costs
    nothing, None where the price is not known yet; ``new_stops``, ``new_looks`` ids of figures that become worse by it.
    """

    change: Change
    before: float
    after: float
    gain: float
    mass: float
    cost: float
    hours: float | None
    worth: float | None
    new_stops: tuple[str, ...]
    new_looks: tuple[str, ...]


def readings(stand: Stand, *, hours: bool = False) -> Readings:
    """Read a stand; the hours of welding take longer and are read where asked for."""
    live = stand.figures.live
    return Readings(
        measures={name: f.value for name in MEASURES if (f := measured(live, name)) is not None},
        mass=live["mass.frame"].value, cost=live["steel.cost"].value,
        hours=stand.figures["welds.hours"].value if hours else None,
        stops=frozenset(n for n, f in live.items() if f.verdict is Verdict.STOP),
        looks=frozenset(n for n, f in live.items() if f.verdict is Verdict.LOOK),
    )  # fmt: skip


def measured(figures: Mapping[str, Figure], name: str) -> Figure | None:
    """Return the figure of a measure, None where the stand has none."""
    if name != "bed.twist":
        return figures.get(name)
    cases = [f for i, f in figures.items() if i.startswith(_BED) and f.limit is not None]
    return max(cases, key=lambda f: f.value, default=None)


def worst_measure(figures: Mapping[str, Figure]) -> str:
    """Return the measure with the worst verdict; of those alike, the one nearest to its limit or farthest past it."""
    order = {Verdict.STOP: 0, Verdict.LOOK: 1, Verdict.GOOD: 2, Verdict.NONE: 3}

    def place(name: str) -> tuple[int, float]:
        f = measured(figures, name)
        if f is None or f.limit is None:
            return 9, math.inf
        room = f.value / f.limit if MEASURES[name] else f.limit / max(f.value, 1e-12)
        return order[f.verdict], room

    return min(MEASURES, key=place)


class Trial:
    """All single changes of one brief, evaluated one after another; keeps the stands, so that hours can be asked for later.

    Raises
    ------
    LayoutError, SolverError, CuttingError
        The present stand cannot be built.
    """

    def __init__(self, brief: Brief, evaluator: Evaluator | None = None) -> None:
        self._evaluator = evaluator or Evaluator()
        self._stands: dict[Change, Stand] = {}
        self._present = self._evaluator.evaluate(brief)
        self.changes = single_changes(brief, self._present.frame)

    def present(self, *, hours: bool = False) -> Readings:
        """Return what the present stand says."""
        return readings(self._present, hours=hours)

    def run(self) -> Iterator[Tried]:
        """Try every change, without hours."""
        for change in self.changes:
            try:
                stand = self._evaluator.evaluate(change.brief)
            except Fault as fault:
                yield Tried(change=change, after=None, reason=reason(fault))
                continue
            if not stand.buildable:
                stop = next(f.message for f in stand.findings if f.severity.value == "stop")
                yield Tried(change=change, after=None, reason=stop)
                continue
            self._stands[change] = stand
            yield Tried(change=change, after=readings(stand))

    def hours(self, change: Change) -> float:
        """Return the hours of welding of a change that was tried."""
        return self._stands[change].figures["welds.hours"].value


def ranked(present: Readings, tried: Sequence[Tried], measure: str, price: str) -> tuple[Help, ...]:
    """Return the changes that help, most gained for the price first; what costs nothing leads, by what it gains.

    ``measure`` one of ``MEASURES``, ``price`` one of ``PRICES``. A change whose price is not known yet comes last.
    """
    found = [h for t in tried if (h := _help(present, t, measure, price)) is not None]
    return tuple(sorted(found, key=_order))


def _order(one: Help) -> tuple[bool, float, float, float]:
    return one.worth is None, -(one.worth or 0.0), -one.gain, one.mass


def _help(present: Readings, tried: Tried, measure: str, price: str) -> Help | None:
    after = tried.after
    if after is None or measure not in after.measures or measure not in present.measures:
        return None
    before, now = present.measures[measure], after.measures[measure]
    gain = now - before if MEASURES[measure] else before - now
    if not math.isfinite(gain) or gain <= LEAST * abs(before):
        return None
    hours = None if after.hours is None or present.hours is None else after.hours - present.hours
    added = {"mass": after.mass - present.mass, "cost": after.cost - present.cost, "hours": hours}
    paid = added[price]
    worth = None if paid is None else math.inf if paid <= _NOTHING[price] else gain / paid
    return Help(
        change=tried.change, before=before, after=now, gain=gain, mass=after.mass - present.mass,
        cost=after.cost - present.cost, hours=hours, worth=worth, new_stops=tuple(sorted(after.stops - present.stops)),
        new_looks=tuple(sorted(after.looks - present.looks - present.stops)),
    )  # fmt: skip


_NOTHING = {"mass": 0.005, "cost": 0.005, "hours": 0.005}  # less than anybody would see of it


def with_hours(tried: Tried, hours: float) -> Tried:
    """Return a tried change with its hours of welding."""
    assert tried.after is not None
    return replace(tried, after=replace(tried.after, hours=hours))

