"""Screening and checking of stands at one desk, which keeps its families and its evaluators."""

from __future__ import annotations

from collections.abc import Sequence

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
