"""Better stands: every one looked at where they are few, else a search from the present one; the best checked in full."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.search.candidate import (
    OBJECTIVES,
    Candidate,
    Place,
    beaten,
    candidate,
    front_of,
    steps,
    unbeaten,
    vector,
)
from framecore.search.clash import Clashes
from framecore.search.family import SAME, Looked, changed
from framecore.search.space import Space
from framecore.search.workers import Crew
from framecore.stand import Evaluator

Floats = NDArray[np.float64]
STOPS_AT = 0.8  # share of a least value below which a figure says stop
RECHECKED = 150  # stands evaluated in full at most
REFUSED = 600  # stands tried that turn out not to be buildable, at most
_BATCH, _ROUND = 512, 32
_SEEDS = 0.25  # share of the budget spent on places drawn at random


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """What a search found.

    ``front``: stands none of which is beaten in everything by another, cheapest first; ``present`` as it is; ``looked`` at how
    many of ``size``; ``checked`` in full; ``proven``: no stand of the space is missing; ``how`` in words; ``drift`` largest
    relative difference of a screened stand from one built whole.
    """

    front: tuple[Candidate, ...]
    present: Candidate
    looked: int
    size: int
    checked: int
    proven: bool
    how: str
    drift: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """``looked`` at ``of`` stands, ``stage`` "looking" or "checking"; ``best`` checked so far."""

    stage: str
    looked: int
    of: int
    best: tuple[Candidate, ...] = ()


def search(
    brief: Brief, space: Space, *, budget: int = 4000, seed: int = 0, workers: int = 1,
    progress: Callable[[Progress], None] | None = None, cancel: Callable[[], bool] | None = None,
) -> Found:  # fmt: skip
    """Find the stands that are not beaten in cost, mass, sway, bed share (twist without a bed) and first mode.

    Parameters
    ----------
    budget : stands looked at, at most; a space no larger is looked at whole
    seed : of the places from which a larger space is searched
    workers : processes
    cancel : asked between batches; what was found by then is returned

    Raises
    ------
    LayoutError, SolverError, CuttingError
        The present stand cannot be built.
    """
    stop = cancel or (lambda: False)
    tell = progress or (lambda _: None)
    present = candidate(brief, space, space.present, Evaluator().evaluate(brief))
    with Crew(brief, space, workers) as crew:
        pool = _Pool(brief, space, crew, present, tell, stop)
        whole = space.size <= budget
        if whole:
            pool.look(iter(space), space.size)
        else:
            _walk(pool, space, budget, seed)
        front = pool.check()
    drift = crew.drift
    proven = whole and pool.complete and drift <= SAME and not stop()
    how = (
        f"all {space.size} stands were looked at" if whole and not stop()
        else f"{pool.looked} of {space.size} stands were looked at, from the present one and others by single changes"
    )  # fmt: skip
    return Found(
        front=front, present=present, looked=pool.looked, size=space.size, checked=pool.checked, proven=proven, how=how,
        drift=drift,
    )  # fmt: skip


class _Pool:
    """Stands looked at so far, and which of them were checked in full."""

    def __init__(
        self, brief: Brief, space: Space, crew: Crew, present: Candidate, tell: Callable[[Progress], None],
        stop: Callable[[], bool],
    ) -> None:  # fmt: skip
        self._brief, self._crew, self._tell, self._stop = brief, crew, tell, stop
        self._present = present
        self.places: dict[Place, None] = {}
        self._parts: list[Looked] = []
        self._done: dict[Place, Candidate | str] = {present.place: present}
        self._clashes = Clashes(brief, space)
        self.complete = False

    @property
    def looked(self) -> int:
        """How many stands were looked at."""
        return len(self.places)

    @property
    def checked(self) -> int:
        """How many stands were evaluated in full."""
        return sum(isinstance(c, Candidate) for c in self._done.values())

    @property
    def best(self) -> tuple[Candidate, ...]:
        """What is not beaten among those checked in full."""
        return front_of([c for c in self._done.values() if isinstance(c, Candidate)])

    def look(self, places: Iterable[Place], of: int) -> None:
        """Screen stands that were not yet."""
        fresh = (p for p in places if p not in self.places)
        size = _BATCH * self._crew.workers
        while not self._stop():
            some = list(dict.fromkeys(islice(fresh, size)))
            if not some:
                return
            self._parts.append(self._crew.look(some))
            self.places.update(dict.fromkeys(some))
            self._tell(Progress(stage="looking", looked=self.looked, of=of, best=(self._present,)))

    def promising(self) -> list[Place]:
        """Return screened stands that keep the limits best and are not beaten."""
        off, low, _ = self._measured()
        order = list(self.places)
        rows = np.flatnonzero(off == off[np.isfinite(low[:, 0])].min(initial=0))
        return [order[int(rows[k])] for k in unbeaten(low[rows])]

    def check(self) -> tuple[Candidate, ...]:
        """Evaluate in full what may be unbeaten until nothing is left that might be; return the front."""
        order = list(self.places)
        if not order:
            return self.best
        off, low, exact = self._measured()
        done = np.array([p in self._done for p in order], bool)
        stands = np.array(order)
        while not self._stop():
            front = self.best
            fewest = min((len(c.stops) for c in front), default=0)
            reach = max(fewest, int(off.min(initial=0)))
            known = steps(np.array([vector(c) for c in front])) if front else np.zeros((0, len(OBJECTIVES)))
            rows = np.flatnonzero(~done & (off <= reach) & np.isfinite(exact[:, 0]))
            rows = rows[~beaten(low[rows], known)]
            if not len(rows):
                self.complete = True
                break
            if self.checked >= RECHECKED or len(self._done) - self.checked >= REFUSED:
                break
            # What clashes by twos is tried last: a third change may cure it, though it seldom does.
            clear = rows[~self._clashes.of(stands[rows])]
            if len(clear):
                rows = clear[unbeaten(exact[clear])]
                rows = rows[np.lexsort((low[rows].sum(1), off[rows]))]
            rows = rows[: _ROUND * self._crew.workers]
            for row, one in zip(rows, self._crew.check([order[int(r)] for r in rows]), strict=True):
                self._done[order[int(row)]] = one
                if isinstance(one, str):
                    self._clashes.learn(order[int(row)])
            done[rows] = True
            self._tell(Progress(stage="checking", looked=self.checked, of=RECHECKED, best=self.best))
        return self.best

    def _measured(self) -> tuple[NDArray[np.intp], Floats, Floats]:
        """Limits surely missed (k,), steps of the objectives at their best (k, o) and as screened (k, o)."""
        found, limits = Looked.joined(self._parts), self._brief.limits
        a = found.answers
        twist = a.twist * np.pi / 180 / 1000
        sway = np.minimum(a.sway_x, a.sway_y)
        drift = 2 * min(self._crew.drift, 0.05)
        # Surely stopped: below what the full evaluation stops at by more than the screening may be off.
        least = [(sway, limits.sway, 1e-6), (twist, limits.twist, 1e-6), (a.first, limits.frequency, 0.01)]
        least.append((a.bed, limits.jack_share, 1e-5))
        off = sum((v < (1 - o - drift) * STOPS_AT * limit).astype(np.intp) for v, limit, o in least)
        bed = np.where(np.isnan(a.bed), twist, a.bed)
        exact = np.column_stack([found.cost, a.mass, sway, bed, a.first])
        better = np.array([(1 + o + drift) if more else (1 - o - drift) for _, more, o in OBJECTIVES])
        low = exact.copy()
        low[:, 0] = found.cost_low
        return np.asarray(off, np.intp), steps(low * better), steps(exact)


def _walk(pool: _Pool, space: Space, budget: int, seed: int) -> None:
    """Look at the present stand, stands drawn at random, then at all single changes of what is best, until none is new."""
    rng = np.random.default_rng(seed)
    draws = max(1, int(budget * _SEEDS))
    first = [space.present, *neighbours(space, space.present)]
    first += [tuple(int(rng.integers(len(c.options))) for c in space.choices) for _ in range(draws)]
    pool.look(dict.fromkeys(first[:budget]), budget)
    while pool.looked < budget:
        fresh = (n for p in pool.promising() for n in neighbours(space, p) if n not in pool.places)
        some = list(islice(dict.fromkeys(fresh), min(_BATCH, budget - pool.looked)))
        before = pool.looked
        pool.look(some, budget)
        if pool.looked == before:
            return


def neighbours(space: Space, place: Place) -> list[Place]:
    """Return the stands one option away, choice by choice."""
    return [
        changed(place, i, k) for i, c in enumerate(space.choices) for k in range(len(c.options)) if k != place[i]
    ]  # fmt: skip
