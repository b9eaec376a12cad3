"""The stands a search has looked at, and which of them were checked in full."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.search.aims import beaten, steps, unbeaten
from framecore.search.candidate import Candidate, front_of, vector
from framecore.search.clash import Clashes
from framecore.search.family import Looked
from framecore.search.screen import Screen
from framecore.search.space import Place, Space
from framecore.search.workers import Crew

Floats = NDArray[np.float64]
RECHECKED = 300  # stands evaluated in full at most, or a quarter of those looked at where that is more
REFUSED = 3000  # stands tried that turn out not to be buildable, at most
_BATCH, _ROUND, _FIRST = 1024, 32, 8  # looked at in one go; checked in one go; and of the first looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """``looked`` at ``of`` stands, ``stage`` "looking" or "checking"; ``best`` checked so far."""

    stage: str
    looked: int
    of: int
    best: tuple[Candidate, ...] = ()


class Pool:
    """Stands looked at so far, and which of them were checked in full.

    ``complete``: whether all that might be unbeaten were checked; ``drift``: as of ``Screen``.
    """

    def __init__(
        self, brief: Brief, space: Space, crew: Crew, present: Candidate, aims: tuple[str, ...],
        tell: Callable[[Progress], None], stop: Callable[[], bool], budget: int,
    ) -> None:  # fmt: skip
        self._crew, self._tell, self._stop, self._aims = crew, tell, stop, aims
        self.places: dict[Place, int] = {}
        self._parts: list[Looked] = []
        self._done: dict[Place, Candidate | str] = {present.place: present}
        self._clashes = Clashes(brief, space)
        self._screen = Screen(brief, aims)
        self._peeked, self._most = 1, max(RECHECKED, budget // 4)
        self._present: Place | None = present.place  # until it was held against its own screening
        self.best: tuple[Candidate, ...] = (present,)
        self.complete = False

    @property
    def looked(self) -> int:
        """How many stands were looked at."""
        return len(self.places)

    @property
    def stopped(self) -> bool:
        """Whether somebody asked it to stop."""
        return self._stop()

    @property
    def checked(self) -> int:
        """How many stands were evaluated in full."""
        return sum(isinstance(c, Candidate) for c in self._done.values())

    @property
    def drift(self) -> float:
        """Largest relative difference of a screened stand from its full evaluation."""
        return self._screen.drift

    def look(self, places: Iterable[Place], of: int) -> None:
        """Screen stands that were not yet; of the first ones some are checked at once, so that there is something to show."""
        fresh = (p for p in places if p not in self.places)
        while not self._stop():
            some = list(dict.fromkeys(islice(fresh, _BATCH)))
            if not some:
                return
            self._parts.append(self._crew.look(some))
            self.places.update(zip(some, range(self.looked, self.looked + len(some)), strict=True))
            self._tell(Progress(stage="looking", looked=self.looked, of=of, best=self.best))
            if self.looked >= self._peeked:
                self._peeked = 4 * self.looked
                order, off, low, exact = self._measured()
                rows = self._open(order, off, low)
                if len(rows):
                    rows = rows[off[rows] == off[rows].min()]
                    self._check(order, rows[unbeaten(exact[rows])][:_FIRST])
                    self._tell(Progress(stage="looking", looked=self.looked, of=of, best=self.best))

    def promising(self) -> list[Place]:
        """Return screened stands that keep the limits best and are not beaten."""
        order, off, low, _ = self._measured()
        rows = np.flatnonzero(off == off[np.isfinite(low[:, 0])].min(initial=0))
        return [order[int(rows[k])] for k in unbeaten(low[rows])]

    def check(self, *, half: bool = False) -> tuple[Candidate, ...]:
        """Evaluate in full what may be unbeaten until nothing is left that might be; return the front.

        ``half``: on the way, no more than half of those allowed, so that the end of the search has its own.
        """
        most = self._most // 2 if half else self._most
        self.complete = False
        while not self._stop() and self.places:
            order, off, low, exact = self._measured()
            rows = self._open(order, off, low)
            if not len(rows) and "hours" in self._aims:
                # Hours are known closely from a full evaluation only: to be sure, all must have one that are not far off.
                at = self._aims.index("hours")
                low[:, at] = -np.inf
                rows = self._open(order, off, low)
                if len(rows) > most - self.checked:
                    break
            if not len(rows):
                self.complete = self._screen.true and self._crew.drift == 0.0
                break
            if self.checked >= most or len(self._done) - self.checked >= REFUSED:
                break
            # What clashes by twos is tried last: a third change may cure it, though it seldom does.
            clear = rows[~self._clashes.of(np.array(order)[rows])]
            if len(clear):
                rows = clear[unbeaten(exact[clear])]
                rows = rows[np.lexsort((low[rows].sum(1), off[rows]))]
            self._check(order, rows[:_ROUND])
            self._tell(Progress(stage="checking", looked=self.checked, of=self._most, best=self.best))
        return self.best

    def _measured(self) -> tuple[list[Place], NDArray[np.intp], Floats, Floats]:
        self._parts = [Looked.joined(self._parts)]
        found = self._parts[0]
        if self._present is not None and self._present in self.places:
            self._learn(self._present)
            self._present = None
        return list(self.places), *self._screen.read(found, self._crew.drift)

    def _open(self, order: Sequence[Place], off: NDArray[np.intp], low: Floats) -> NDArray[np.intp]:
        """Rows that were not checked and may be unbeaten."""
        fewest = min(len(c.stops) for c in self.best)
        done = np.zeros(len(order), bool)
        done[[self.places[p] for p in self._done if p in self.places]] = True
        rows = np.flatnonzero(~done & (off <= max(fewest, int(off.min(initial=0)))) & np.isfinite(self._parts[0].cost))
        return rows[~beaten(low[rows], steps(np.array([vector(c, self._aims) for c in self.best]), self._aims))]

    def _check(self, order: Sequence[Place], rows: NDArray[np.intp]) -> None:
        places = [order[int(r)] for r in rows]
        for place, one in zip(places, self._crew.check(places), strict=True):
            self._done[place] = one
            if isinstance(one, str):
                self._clashes.learn(place)
            else:
                self._learn(place)
        self.best = front_of([c for c in self._done.values() if isinstance(c, Candidate)], self._aims)

    def _learn(self, place: Place) -> None:
        one = self._done[place]
        assert isinstance(one, Candidate)
        self._screen.learn(self._parts[0].taken(np.array([self.places[place]])), one)
