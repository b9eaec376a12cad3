"""Screening and checking of stands, here or in processes of their own."""

from __future__ import annotations

import multiprocessing
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from types import TracebackType

import numpy as np

from framecore.brief.model import Brief
from framecore.search.candidate import Candidate, candidate
from framecore.search.family import Families, Family, Fault, Looked, reason, split_of
from framecore.search.space import Place, Space
from framecore.stand import Evaluator


class Desk:
    """Does the work of one process; keeps its families and its evaluators. ``hours``: whether those of welding are read."""

    def __init__(self, brief: Brief, space: Space, hours: bool) -> None:
        self._brief, self._space, self._hours = brief, space, hours
        self._families = Families(brief, space)
        self._split = split_of(space)
        self._evaluators: dict[Place, Evaluator] = {}

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
            parts.append(Looked.nothing(len(lost)))
        back = np.argsort(np.array([*order, *lost], np.intp))
        return Looked.joined(parts).taken(back), max((f.rows.drift for f, _ in groups.values()), default=0.0)

    def check(self, places: Sequence[Place]) -> list[Candidate | str]:
        """Evaluate stands in full; the reason for what cannot be built."""
        out: list[Candidate | str] = []
        for place in places:
            # Stands alike in members share the numbering of nodes, but no warm start: answers hang on nothing before.
            evaluator = self._evaluators.setdefault(tuple(place[i] for i in self._split), Evaluator())
            evaluator.forget()
            try:
                stand = evaluator.evaluate(self._space.brief_at(self._brief, place))
                out.append(candidate(self._brief, self._space, place, stand, hours=self._hours))
            except Fault as fault:
                out.append(reason(fault))
        return out


_desk: Desk | None = None


def _sit(brief: Brief, space: Space, hours: bool) -> None:
    global _desk  # one desk a process
    _desk = Desk(brief, space, hours)


def _look(places: Sequence[Place]) -> tuple[Looked, float]:
    assert _desk is not None
    return _desk.look(places)


def _check(places: Sequence[Place]) -> list[Candidate | str]:
    assert _desk is not None
    return _desk.check(places)


class Crew:
    """One desk here, or several in processes; answers come in the order asked, so the number of desks changes nothing."""

    def __init__(self, brief: Brief, space: Space, workers: int, *, hours: bool) -> None:
        self.workers, self.drift = max(1, workers), 0.0
        self._split = split_of(space)
        self._numbers: dict[Place, int] = {}
        self._here = Desk(brief, space, hours) if self.workers == 1 else None
        context = multiprocessing.get_context("spawn")
        self._desks = [
            ProcessPoolExecutor(1, context, initializer=_sit, initargs=(brief, space, hours))
            for _ in range(self.workers if self._here is None else 0)
        ]

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None) -> None:
        for desk in self._desks:
            desk.shutdown(cancel_futures=True)

    def look(self, places: Sequence[Place]) -> Looked:
        """Screen stands."""
        if self._here is not None:
            found, drift = self._here.look(places)
            self.drift = max(self.drift, drift)
            return found
        shares = self._shares(places)
        jobs = [d.submit(_look, [places[n] for n in own]) for d, own in zip(self._desks, shares, strict=True) if own]
        answers = [job.result() for job in jobs]
        self.drift = max([self.drift, *(d for _, d in answers)])
        back = np.argsort(np.array([n for own in shares for n in own], np.intp))
        return Looked.joined([found for found, _ in answers]).taken(back)

    def check(self, places: Sequence[Place]) -> list[Candidate | str]:
        """Evaluate stands in full."""
        if self._here is not None:
            return self._here.check(places)
        shares = self._shares(places)
        jobs = [d.submit(_check, [places[n] for n in own]) for d, own in zip(self._desks, shares, strict=True) if own]
        found = [one for job in jobs for one in job.result()]
        back = np.argsort(np.array([n for own in shares for n in own], np.intp))
        return [found[int(k)] for k in back]

    def _shares(self, places: Sequence[Place]) -> list[list[int]]:
        """Equal shares of the places, those of one family together, as each desk must get to know its families."""
        names = [tuple(p[i] for i in self._split) for p in places]
        number = [self._numbers.setdefault(name, len(self._numbers)) for name in names]
        order = sorted(range(len(places)), key=number.__getitem__)
        size = -(-len(places) // self.workers)
        return [order[a * size : (a + 1) * size] for a in range(self.workers)]
