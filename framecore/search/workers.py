"""Screening and checking of stands, here or in processes of their own."""

from __future__ import annotations

import multiprocessing
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import fields
from types import TracebackType

import numpy as np

from framecore.brief.model import Brief
from framecore.search.batch import Screened
from framecore.search.candidate import Candidate, Place, candidate
from framecore.search.family import Families, Family, Fault, Looked, reason
from framecore.search.space import Space
from framecore.stand import Evaluator


class Desk:
    """Does the work of one process; keeps its families and its evaluator."""

    def __init__(self, brief: Brief, space: Space) -> None:
        self._brief, self._space = brief, space
        self._families, self._evaluator = Families(brief, space), Evaluator()

    def look(self, places: Sequence[Place]) -> tuple[Looked, float]:
        """Screen stands, in their order, and say how far families drift; what cannot be built costs infinitely much."""
        groups: dict[Place, tuple[Family, list[int]]] = {}
        lost = []
        for n, place in enumerate(places):
            name, family = self._families.of(place)
            if isinstance(family, str):
                lost.append(n)
            else:
                groups.setdefault(name, (family, []))[1].append(n)
        stands = np.array(places)
        parts = [family.look(stands[rows]) for family, rows in groups.values()]
        order = [n for _, rows in groups.values() for n in rows]
        if lost:
            parts.append(_nothing(len(lost)))
        back = np.argsort(np.array([*order, *lost], np.intp))
        return Looked.joined(parts).taken(back), max((f.drift for f, _ in groups.values()), default=0.0)

    def check(self, places: Sequence[Place]) -> list[Candidate | str]:
        """Evaluate stands in full; the reason for what cannot be built."""
        out: list[Candidate | str] = []
        for place in places:
            try:
                stand = self._evaluator.evaluate(self._space.brief_at(self._brief, place))
                out.append(candidate(self._brief, self._space, place, stand))
            except Fault as fault:
                out.append(reason(fault))
        return out


def _nothing(count: int) -> Looked:
    gone = np.full(count, np.nan)
    answers = Screened(**dict.fromkeys((f.name for f in fields(Screened)), gone))
    return Looked(answers=answers, cost_low=np.full(count, np.inf), cost=np.full(count, np.inf))


_desk: Desk | None = None


def _sit(brief: Brief, space: Space) -> None:
    global _desk  # one desk a process
    _desk = Desk(brief, space)


def _look(places: Sequence[Place]) -> tuple[Looked, float]:
    assert _desk is not None
    return _desk.look(places)


def _check(places: Sequence[Place]) -> list[Candidate | str]:
    assert _desk is not None
    return _desk.check(places)


class Crew:
    """One desk here, or several in processes; answers come in the order asked, so the number of desks changes nothing."""

    def __init__(self, brief: Brief, space: Space, workers: int) -> None:
        self.workers, self.drift = max(1, workers), 0.0
        self._here = Desk(brief, space) if self.workers == 1 else None
        self._pool: ProcessPoolExecutor | None = None
        if self._here is None:
            self._pool = ProcessPoolExecutor(
                self.workers, multiprocessing.get_context("spawn"), initializer=_sit, initargs=(brief, space)
            )

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None) -> None:
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)

    def look(self, places: Sequence[Place]) -> Looked:
        """Screen stands."""
        if self._pool is None:
            assert self._here is not None
            answers = [self._here.look(places)]
        else:
            answers = list(self._pool.map(_look, self._shared(places)))
        self.drift = max([self.drift, *(d for _, d in answers)])
        return Looked.joined([found for found, _ in answers])

    def check(self, places: Sequence[Place]) -> list[Candidate | str]:
        """Evaluate stands in full."""
        if self._pool is None:
            assert self._here is not None
            return self._here.check(places)
        return [one for some in self._pool.map(_check, self._shared(places)) for one in some]

    def _shared(self, places: Sequence[Place]) -> list[Sequence[Place]]:
        size = -(-len(places) // self.workers)
        return [places[a : a + size] for a in range(0, len(places), size)]
