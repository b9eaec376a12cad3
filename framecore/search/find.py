"""Better stands: every one looked at where they are few, else a search from the present one; the best checked in full."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np

from framecore.brief.model import Brief
from framecore.search.aims import AIMS
from framecore.search.candidate import Candidate, candidate
from framecore.search.pool import Pool, Progress
from framecore.search.rows import changed
from framecore.search.space import Place, Space
from framecore.search.workers import Crew
from framecore.stand import Evaluator

_STEP = 512  # stands looked at before the walk chooses anew
_SEEDS = 0.25  # share of the budget spent on places drawn at random


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """What a search found.

    ``front``: stands none of which is beaten in everything by another, cheapest first; ``present`` as it is; ``looked`` at how
    many of ``size``; ``checked`` in full; ``proven``: no stand of the space is missing; ``how`` in words; ``drift`` largest
    relative difference of a screened stand from its full evaluation; ``aims`` what it was for.
    """

    front: tuple[Candidate, ...]
    present: Candidate
    looked: int
    size: int
    checked: int
    proven: bool
    how: str
    drift: float
    aims: tuple[str, ...] = tuple(AIMS)


def search(
    brief: Brief, space: Space, *, budget: int = 4000, seed: int = 0, workers: int = 1, aims: Sequence[str] = tuple(AIMS),
    progress: Callable[[Progress], None] | None = None, cancel: Callable[[], bool] | None = None,
) -> Found:  # fmt: skip
    """Find the stands that no other beats in all aims, among those with the fewest limits missed.

    Parameters
    ----------
    budget : stands looked at, at most; a space no larger is looked at whole
    seed : of the places from which a larger space is searched
    workers : processes; the answer is the same with any number of them
    aims : names in ``AIMS``
    progress : told how far it is and what was found so far
    cancel : asked between batches; what was found by then is returned

    Raises
    ------
    LayoutError, SolverError, CuttingError
        The present stand cannot be built.
    """
    stop, hours = cancel or (lambda: False), "hours" in aims
    evaluator = Evaluator()
    present = candidate(brief, space, space.present, evaluator.evaluate(brief), hours=hours)
    with Crew(brief, space, workers, hours=hours) as crew:
        pool = Pool(brief, space, crew, present, tuple(aims), progress or (lambda _: None), stop, min(budget, space.size))
        whole = space.size <= budget
        if whole:
            pool.look(iter(space), space.size)
        else:
            _walk(pool, space, budget, seed)
        front = pool.check()
        drift = max(crew.drift, pool.drift)
    whole &= pool.looked == space.size
    how = (
        f"all {space.size} stands were looked at" if whole
        else f"{pool.looked} of {space.size} stands were looked at, from the present one and others by single changes"
    )  # fmt: skip
    return Found(
        front=front, present=present, looked=pool.looked, size=space.size, checked=pool.checked,
        proven=whole and pool.complete, how=how, drift=drift, aims=tuple(aims),
    )  # fmt: skip


def _walk(pool: Pool, space: Space, budget: int, seed: int) -> None:
    """Look at the present stand, stands drawn at random, then at all single changes of what is best.

    When none of these is new, what is best is checked in full; when that brings nothing new either, more are drawn.
    """
    rng = np.random.default_rng(seed)

    def drawn(count: int) -> list[Place]:
        return [tuple(int(rng.integers(len(c.options))) for c in space.choices) for _ in range(count)]

    first = [space.present, *neighbours(space, space.present), *drawn(max(1, int(budget * _SEEDS)))]
    pool.look(islice(dict.fromkeys(first), budget), budget)
    checked = False
    while pool.looked < budget and not pool.stopped:
        most = min(_STEP, budget - pool.looked)
        best = [c.place for c in pool.best] if checked else pool.promising()
        some = list(islice(dict.fromkeys(n for p in best for n in neighbours(space, p) if n not in pool.places), most))
        if not some and not checked:
            pool.check(half=True)
            checked = True
            continue
        if not some:
            some = [p for p in dict.fromkeys(drawn(most)) if p not in pool.places]
            if not some:
                return
        checked = False
        pool.look(some, budget)


def neighbours(space: Space, place: Place) -> list[Place]:
    """Return the stands one option away, choice by choice."""
    return [
        changed(place, i, k) for i, c in enumerate(space.choices) for k in range(len(c.options)) if k != place[i]
    ]  # fmt: skip
