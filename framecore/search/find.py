"""Better stands: every one looked at where they are few, else a search from the present one; the best checked in full."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np

from framecore.brief.model import Brief
from framecore.search.aims import AIMS
from framecore.search.candidate import Candidate, candidate
from framecore.search.hurdles import Hurdle, hurdles
from framecore.search.pool import Pool, Progress
from framecore.search.rows import changed
from framecore.search.space import Place, Space
from framecore.search.workers import Crew
from framecore.stand import Evaluator

_STEP = 512  # stands looked at before the walk chooses anew
_SEEDS = 0.25  # share of the budget spent on places drawn at random
_FIRST = 12  # stands next to the present one that are evaluated in full before anything else


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """What a search found.

    ``front``: stands none of which is beaten in everything by another, cheapest first; ``present`` as it is; ``looked`` at how
    many of ``size``; ``checked`` in full; ``proven``: no stand of the space is missing; ``how`` in words; ``drift`` largest
    relative difference of a screened stand from its full evaluation; ``aims`` what it was for; ``sure`` what is sure of the
    answer and what is not, in a sentence; ``hurdles`` the limits that even the best miss, and what would help.
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
    sure: str = ""
    hurdles: tuple[Hurdle, ...] = ()


def search(
    brief: Brief, space: Space, *, budget: int = 4000, whole: bool = False, seed: int = 0, workers: int = 1,
    aims: Sequence[str] = tuple(AIMS), progress: Callable[[Progress], None] | None = None,
    cancel: Callable[[], bool] | None = None,
) -> Found:  # fmt: skip
    """Find the stands that no other beats in all aims, among those with the fewest limits missed.

    Parameters
    ----------
    budget : stands looked at, at most; a space no larger is looked at whole
    whole : look at every stand of the space, however many, and check as many as it takes to be sure
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
    tell, stop, hours = progress or (lambda _: None), cancel or (lambda: False), "hours" in aims
    present = candidate(brief, space, space.present, Evaluator().evaluate(brief), hours=hours)
    whole = whole or space.size <= budget
    budget = space.size if whole else budget
    with Crew(brief, space, workers, hours=hours, stop=stop) as crew:
        pool = Pool(brief, space, crew, present, tuple(aims), tell, stop, budget, whole=whole)
        pool.begin(_nearest(space)[: min(_FIRST, budget // 8)], budget)
        if whole:
            pool.look(iter(space), budget)
        else:
            _walk(pool, space, budget, seed)
        front = pool.check()
        drift = max(crew.drift, pool.drift)
    every = pool.looked == space.size
    proven = every and pool.complete
    how = (
        f"all {space.size} stands were looked at" if every
        else f"{pool.looked} of {space.size} stands were looked at, one after another" if whole
        else f"{pool.looked} of {space.size} stands were looked at, from the present one and others by single changes"
    )  # fmt: skip

    def asked(n: int, of: int) -> None:
        tell(Progress(stage="helping", looked=n, of=of, best=front))

    return Found(
        front=front, present=present, looked=pool.looked, size=space.size, checked=pool.checked, proven=proven, how=how,
        drift=drift, aims=tuple(aims), sure=_sure(proven, every and pool.wanting),
        hurdles=hurdles(front[0], tell=asked, stop=stop),
    )  # fmt: skip


def _sure(proven: bool, wanting: bool) -> str:
    """Say what is sure. Screened are the aims but hours, and limits of stiffness, twist, modes and jacks; the rest in full."""
    if proven:
        return "No stand that is better in everything is missing: every other is beaten, or misses more limits."
    if wanting:
        return (
            "Sure in everything but hours of welding, known only of what is evaluated in full: one that is better in these "
            "may be missing."
        )
    return "There may be better ones."


def _nearest(space: Space) -> list[Place]:
    """Return the next option up and down of each choice, the first choices first."""
    return [
        changed(space.present, i, k) for i, c in enumerate(space.choices) for k in (c.present - 1, c.present + 1)
        if 0 <= k < len(c.options)
    ]  # fmt: skip


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
        some = list(islice(dict.fromkeys(n for p in best for n in neighbours(space, p) if n not in pool.seen), most))
        if not some and not checked:
            pool.check(half=True)
            checked = True
            continue
        if not some:
            some = [p for p in dict.fromkeys(drawn(most)) if p not in pool.seen]
            if not some:
                return
        checked = False
        pool.look(some, budget)


def neighbours(space: Space, place: Place) -> list[Place]:
    """Return the stands one option away, choice by choice."""
    return [
        changed(place, i, k) for i, c in enumerate(space.choices) for k in range(len(c.options)) if k != place[i]
    ]  # fmt: skip
