"""Cut plans: the cheapest bars that hold all pieces, with proof or with the bound reached.

When is a saw cut needed? Between n pieces of a bar lie n - 1 cuts. One more is needed only where an offcut
remains to be sawn off: a last piece flush with the usable end needs none, and a remainder narrower than the
kerf is simply eaten by the blade. So n pieces fit when ``sum(length) + (n - 1) * kerf <= usable``. The usable
length is the bar's length less ``trim`` at each end; the cut that takes the mill end off is part of the trim.

How it is found: sets of bars come in order of cost (``_sets``), those that miss a simple demand are left out at
once (``_demands``), and the first set into which all pieces can be packed (``_pack``) is the cheapest. Sets that
resist are asked again with more search, and with a linear programme over fillings (``_columns``), which refutes
what is fractionally impossible. Cost is least first, then the number of bars bought, then bars on hand that are
used, then the longest single offcut; the last is improved as far as a short search gets, and not proven.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from framecore.cutting._demands import by_length, by_sums, cheapest
from framecore.cutting._greedy import Draft, draft, greedy
from framecore.cutting._pack import Budget, Sums, best_fit, search
from framecore.cutting._sets import END, Chosen, Key, Sets
from framecore.cutting._task import NANO, Task, prepare
from framecore.cutting._tidy import tidy
from framecore.cutting.model import Bar, Cut, CutBar, CutPlan, Piece
from framecore.errors import CuttingError

if TYPE_CHECKING:
    from framecore.cutting._columns import Columns

# Search steps: on a set when it is first met, when it is asked again, and on all sets together.
FIRST, AGAIN, ALL = 1_000, (8_000, 60_000), 250_000
SETS = 20_000  # steps of the search for sets
PROGRAMMES = 12  # linear programmes solved


def plan_cuts(pieces: Sequence[Piece], bars: Sequence[Bar], *, kerf: float, effort: float = 1.0) -> CutPlan:
    """Find the cheapest plan; never dearer than best fit.

    Parameters
    ----------
    pieces, bars : what is needed and what can be had; lengths mm
    kerf : width of the saw cut, mm
    effort : how much search is spent before the best plan so far is returned with the bound reached; 1 is
        mostly some hundredths of a second, and a few seconds where the proof is hard. Steps are counted,
        not timed, so the same task gives the same plan.

    Raises
    ------
    CuttingError
        A number makes no sense, a piece is longer than every bar, or the bars at hand do not suffice.
    """
    if not (math.isfinite(effort) and effort > 0):
        raise CuttingError(f"the effort must be above 0, not {effort:g}; 1 is usual")
    task = prepare(pieces, bars, kerf)
    best = greedy(task, _by_length(task))
    if best is not None and best.cost == 0.0 and not any(b >= 0 for b, _ in best.used):
        return _lay_out(task, tidy(task, best), 0.0, True)
    best, bound = _Search(task, best, effort).run()
    proven = bound[0] >= task.steps(best.cost)
    return _lay_out(task, tidy(task, best), bound[0] * task.unit, proven)


def quick_plan(pieces: Sequence[Piece], bars: Sequence[Bar], *, kerf: float) -> CutPlan:
    """Return a good plan at once: best fit and what cheaper bars will do, with a bound by length alone.

    Raises
    ------
    CuttingError
        As ``plan_cuts``.
    """
    task = prepare(pieces, bars, kerf)
    bound = _by_length(task)
    best = greedy(task, bound)
    if best is None:  # scarce bars: only a search can tell
        return plan_cuts(pieces, bars, kerf=kerf)
    return _lay_out(task, best, bound * task.unit, bound >= task.steps(best.cost))


def _by_length(task: Task) -> int:
    """Return the cost in units no plan is under because of the pieces' length alone."""
    return task.steps_up(cheapest(task, by_length(task))) if task.sold else 0


class _Search:
    """Sets in order of cost, with what is not yet known of them."""

    def __init__(self, task: Task, best: Draft | None, effort: float) -> None:
        self.task = task
        self.best = best
        self.effort = effort
        self.sets = Sets(task, by_sums(task))
        self.sums = Sums(task.sizes, task.counts, max((*task.rooms, *task.free_rooms)))
        self.budget = Budget(max(1, round(ALL * effort)))
        self.programmes = max(1, round(PROGRAMMES * effort))
        self.columns: Columns | None = None
        self.fractional: list[Chosen] = []

    def run(self) -> tuple[Draft, Key]:
        """Return the best plan and the key no plan is under."""
        unsure: list[Chosen] = []
        if self.best is None and self._ask(self.task.limits, ALL // 2) and self.best is None:
            raise CuttingError(_scarce(self.task, sure=True))  # not even with every bar there is
        while (chosen := self.sets.next(self._goal(), SETS)) is not None:
            sure = self._ask(chosen, FIRST)
            if not sure:
                unsure.append(chosen)
            if self.budget.left <= 0:
                break
        ahead = min(self.sets.bound(), self._goal())
        for steps in AGAIN:
            unsure = [c for c in unsure if self._open(c) and not self._ask(c, steps) and not self._refute(c)]
        unsure = [c for c in unsure if self._open(c)]
        if self.best is None:
            raise CuttingError(_scarce(self.task, sure=not unsure and ahead == END))
        return self.best, min([ahead, self._goal(), *(self.sets.key(c) for c in unsure)])

    def _goal(self) -> Key:
        return self.best.key(self.task) if self.best is not None else END

    def _open(self, chosen: Chosen) -> bool:
        return self.sets.key(chosen) < self._goal() and self.sets.meets(chosen)

    def _refute(self, chosen: Chosen) -> bool:
        """Try the linear programme on a set; a demand it gives may settle other sets as well."""
        # More bars than a set that fits in fractions fit in fractions too.
        if self.programmes <= 0 or any(all(a <= b for a, b in zip(f, chosen, strict=True)) for f in self.fractional):
            return False
        self.programmes -= 1
        if self.columns is None:
            from framecore.cutting._columns import Columns  # the solver is loaded only where it is needed

            self.columns = Columns(self.task)
        demand, fits = self.columns.refute(chosen)
        if fits:
            self.fractional.append(chosen)
        if demand is not None:
            self.sets.learn([demand])
        return demand is not None

    def _ask(self, chosen: Chosen, steps: int) -> bool:
        """Pack into this set; a packing that is found becomes the best plan. True when the answer is sure."""
        task = self.task
        rooms = [*task.free_rooms, *(task.rooms[k] for k, n in enumerate(chosen) for _ in range(n))]
        names = [-1 - f for f in range(len(task.free))] + [k for k, n in enumerate(chosen) for _ in range(n)]
        fill = best_fit(task.sizes, task.counts, rooms)
        if fill is None:
            share = Budget(min(round(steps * self.effort), self.budget.left))
            given = share.left
            fill, sure = search(self.sums, task.counts, rooms, share)
            self.budget.left -= given - max(0, share.left)
            if fill is None:
                return sure
        found = draft(task, [(b, tuple(f)) for b, f in zip(names, fill, strict=True)], "cheapest set of bars")
        if self.best is None or found.key(task) < self.best.key(task):
            self.best = found
        return True


def _scarce(task: Task, *, sure: bool) -> str:
    have = sum(task.free_rooms) + sum(r * n for r, n in zip(task.rooms, task.limits, strict=True))
    what = f"pieces and saw cuts take {task.total / NANO:.0f} mm and the bars give {have / NANO:.0f} mm in all"
    if sure:
        return f"the bars at hand do not hold all pieces: {what}; add a length that is sold"
    return f"no plan was found for the bars at hand: {what}; add a length that is sold"


def _lay_out(task: Task, plan: Draft, bound: float, proven: bool) -> CutPlan:
    """Give each cut its mark and place: bars on hand first, longest pieces first."""
    marks = [list(m) for m in task.marks]
    lengths = [list(n) for n in task.lengths]
    bars = []
    order = sorted(plan.used, key=lambda u: (u[0] >= 0, abs(u[0]), [-n for n in u[1]]))
    for k, filling in order:
        bar = task.sold[k] if k >= 0 else task.free[-1 - k]
        at = bar.trim
        cuts = []
        for i, n in enumerate(filling):
            for _ in range(n):
                length = lengths[i].pop(0)
                cuts.append(Cut(mark=marks[i].pop(0), start=at, length=length))
                at += length + task.kerf
        bars.append(CutBar(bar=bar, cuts=tuple(cuts), offcut=max(0.0, bar.length - at)))
    cost = math.fsum(b.bar.price for b in bars)
    return CutPlan(
        bars=tuple(bars), kerf=task.kerf, cost=cost, lower_bound=cost if proven else min(cost, bound), proven=proven,
        method=plan.method,
    )  # fmt: skip
