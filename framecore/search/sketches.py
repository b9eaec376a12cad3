"""Stands that were only screened so far, to be shown while a search goes on. The answer of the search does not ask for them."""

from __future__ import annotations

from collections.abc import Container, Sequence

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.errors import CatalogueError, LayoutError, Severity
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search.aims import beaten, unbeaten
from framecore.search.candidate import Candidate
from framecore.search.family import Looked
from framecore.search.screen import Screen
from framecore.search.space import Place, Space
from framecore.search.words import changes_of

Floats = NDArray[np.float64]
_KEPT, _SHOWN = 64, 24
_TRIES = 6  # frames drawn for one look at what there is: each takes some milliseconds


class Sketches:
    """The best of what was screened: few enough to be looked through again and again."""

    def __init__(self, brief: Brief, space: Space, screen: Screen) -> None:
        self._brief, self._space, self._screen = brief, space, screen
        self._places: list[Place] = []
        self._found: Looked | None = None
        self._stands: dict[Place, Brief | None] = {}  # None: cannot be built

    def add(self, places: Sequence[Place], found: Looked, drift: float) -> None:
        """Keep what is not beaten by others that were screened."""
        self._places += places
        self._found = found if self._found is None else Looked.joined([self._found, found])
        off, _, exact = self._screen.read(self._found, drift)
        rows = np.flatnonzero(np.isfinite(self._found.cost))
        rows = rows[[self._stands.get(self._places[int(r)], self._brief) is not None for r in rows]]
        if len(rows):
            rows = rows[off[rows] == off[rows].min()]
            rows = rows[unbeaten(exact[rows])]
            rows = rows[np.argsort(self._found.cost[rows], kind="stable")]
            rows = rows[_spread(len(rows), _KEPT)]
        self._places = [self._places[int(r)] for r in rows]
        self._found = self._found.taken(rows)

    def shown(
        self, best: Sequence[Candidate], done: Container[Place], marks: Floats, drift: float
    ) -> tuple[Candidate, ...]:
        """Return what was not checked and is beaten by nothing that was, cheapest first; ``marks`` (k, o) aims of ``best``."""
        if self._found is None or not self._places:
            return ()
        off, _, exact = self._screen.read(self._found, drift)
        fewest = len(best[0].stops)
        rows = np.flatnonzero(off <= fewest)
        rows = rows[~((off[rows] == fewest) & beaten(exact[rows], marks))]
        rows = np.array([r for r in rows if self._places[int(r)] not in done], np.intp)
        missed, twist = self._screen.missed(self._found, drift), self._screen.values(self._found)["twist.stiffness"]
        out, tries = [], _TRIES
        for r in rows[_spread(len(rows), _SHOWN)].tolist():
            place = self._places[r]
            if place not in self._stands:
                if not tries:
                    continue
                tries -= 1
                self._stands[place] = self._built(place)
            brief = self._stands[place]
            if brief is not None:
                stops = tuple(n for n, m in missed.items() if m[r])
                out.append(self._sketch(place, brief, r, float(twist[r]), stops))
        return tuple(out)

    def _built(self, place: Place) -> Brief | None:
        brief = self._space.brief_at(self._brief, place)
        try:
            frame = build_frame(brief, working_height(brief).height)
        except (LayoutError, CatalogueError):
            return None
        return None if any(f.severity is Severity.STOP for f in frame.findings) else brief

    def _sketch(self, place: Place, brief: Brief, row: int, twist: float, stops: tuple[str, ...]) -> Candidate:
        assert self._found is not None
        a = self._found.answers
        bed, first = float(a.bed[row]), float(a.hz[row, 0])
        return Candidate(
            place=place, brief=brief, changes=changes_of(self._brief, self._space, place), cost=float(self._found.cost[row]),
            mass=float(a.mass[row]), sway=float(min(a.sway_x[row], a.sway_y[row])),
            twist=twist, bed=None if np.isnan(bed) else bed, first_mode=first,
            clearance=first - self._brief.limits.frequency, welds=float("nan"), stops=stops, looks=(),
            gap=self._screen.gap(self._found, row), checked=False,
        )  # fmt: skip


def _spread(count: int, most: int) -> NDArray[np.intp]:
    """Numbers of at most so many of ``count`` things in a row, evenly, first and last among them."""
    return np.unique(np.linspace(0, max(count - 1, 0), min(count, most)).round().astype(np.intp))
