"""The stands a search has looked at, and which of them were checked in full."""

from __future__ import annotations

from collections.abc import Callable, Iterable
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
from framecore.search.sketches import Sketches
from framecore.search.space import Place, Space, settled
from framecore.search.workers import Crew

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
RECHECKED = 300  # stands evaluated in full at most, or a quarter of those looked at where that is more
REFUSED = 3000  # stands tried that turn out not to be buildable, at most
_BATCH, _ROUND, _FIRST = 2048, 32, 8  # looked at in one go; checked in one go; and of the first looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """``looked`` at ``of`` stands, ``stage`` "looking", "checking" or "helping".

    ``best`` checked so far; ``sketched`` only screened, and not beaten so far: some will turn out to be worse, or not to be
    buildable.
    """

    stage: str
    looked: int
    of: int
    best: tuple[Candidate, ...] = ()
    sketched: tuple[Candidate, ...] = ()


class Pool:
    """Stands looked at so far, and which of them were checked in full.

    ``whole``: every stand is looked at, and as many checked as it takes; what is surely beaten is put away at once.
    ``complete``: whether all that might be unbeaten were checked; ``wanting``: whether too many are left that might be so for
    their hours alone; ``drift``: as of ``Screen``.
    """

    def __init__(
        self, brief: Brief, space: Space, crew: Crew, present: Candidate, aims: tuple[str, ...],
        tell: Callable[[Progress], None], stop: Callable[[], bool], budget: int, *, whole: bool,
    ) -> None:  # fmt: skip
        self._crew, self._tell, self._stop, self._aims, self._whole = crew, tell, stop, aims, whole
        self.looked, self.seen = 0, set[Place]()  # the places, but where all are looked at in their order
        self._order: list[Place] = []
        self._found: Looked | None = None
        self._tried = np.zeros(0, bool)
        self._done: dict[Place, Candidate | str] = {present.place: present}
        self._clashes = Clashes(brief, space)
        fixed = [s for s in present.stops if settled(space, s)]
        self._screen = Screen(brief, aims, fixed)
        self._sketches = Sketches(brief, space, self._screen)
        self._peeked, self._allowed = 1, max(RECHECKED, budget // 4)
        self.best: tuple[Candidate, ...] = (present,)
        self.complete = self.wanting = False

    @property
    def stopped(self) -> bool:
        """Whether somebody asked it to stop."""
        return self._stop()

    @property
    def checked(self) -> int:
        """How many stands were evaluated in full."""
        return sum(isinstance(c, Candidate) for c in self._done.values())

    @property
    def refused(self) -> int:
        """How many stands turned out not to be buildable."""
        return len(self._done) - self.checked

    @property
    def drift(self) -> float:
        """Largest relative difference of a screened stand from its full evaluation."""
        return self._screen.drift

    @property
    def candidates(self) -> list[Candidate]:
        """All that were evaluated in full."""
        return [c for c in self._done.values() if isinstance(c, Candidate)]

    def begin(self, places: Iterable[Place], of: int) -> None:
        """Evaluate some stands in full before any is screened, so that there is something to show at once."""
        for place in places:
            if self._stop():
                return
            (self._done[place],) = self._crew.here.check([place])
            self.best = front_of(self.candidates, self._aims)
            self._told("looking", self.looked, of)

    def look(self, places: Iterable[Place], of: int) -> None:
        """Screen stands that were not yet; of the first ones some are checked at once."""
        fresh = iter(places) if self._whole else (p for p in places if p not in self.seen)
        while not self._stop():
            some = list(dict.fromkeys(islice(fresh, _BATCH)))
            if not some:
                return
            self._screened(some, of)
            if self.looked >= self._peeked and not self._stop():
                self._peeked = 4 * self.looked
                rows, off, _, exact = self._open()
                if len(rows):
                    rows = rows[off[rows] == off[rows].min()]
                    self._check(rows[unbeaten(exact[rows])][:_FIRST], "looking", of)
            self._put_away()

    def promising(self) -> list[Place]:
        """Return screened stands that keep the limits best and are not beaten."""
        found, off, low, _ = self._measured()
        rows = np.flatnonzero(off == off[np.isfinite(found.cost)].min(initial=0))
        return [self._order[int(rows[k])] for k in unbeaten(low[rows])]

    def check(self, *, half: bool = False) -> tuple[Candidate, ...]:
        """Evaluate in full what may be unbeaten until nothing is left that might be; return the front.

        ``half``: on the way, no more than half of those allowed, so that the end of the search has its own.
        """
        most = self._allowed // 2 if half else self._allowed
        self.complete = False
        while not self._stop() and self._found is not None:
            rows, off, low, exact = self._open()
            if not len(rows) and "hours" in self._aims:
                # Hours are known closely from a full evaluation only: to be sure, all must have one that are not far off.
                rows, off, low, exact = self._open(free=self._aims.index("hours"))
                if len(rows) > self._allowed - self.checked:
                    self.wanting = True
                    break
            if not len(rows):
                self.complete = self._screen.true and self._crew.drift == 0.0
                break
            if not self._whole and (self.checked >= most or self.refused >= REFUSED):
                break
            # What clashes by twos is tried last: a third change may cure it, though it seldom does.
            clear = rows[~self._clashes.of(np.array([self._order[int(r)] for r in rows]))]
            if len(clear):
                rows = clear[off[clear] == off[clear].min()]
                rows = rows[unbeaten(exact[rows])]
                rows = rows[np.argsort(low[rows].sum(1), kind="stable")]
            left = self.checked + max(len(clear), len(rows))
            self._check(rows[:_ROUND], "checking", left if self._whole else min(most, left))
            self._put_away()
        return self.best

    def _screened(self, places: list[Place], of: int) -> None:
        """Screen stands; they are kept in their order, whatever order they come in."""
        rows: list[int] = []
        parts: list[Looked] = []
        for own, found in self._crew.look(places):
            rows += own
            parts.append(found)
            self._sketches.add([places[n] for n in own], found, self._crew.drift)
            self._told("looking", self.looked + len(rows), of)
            if self._stop():
                break
        if not parts:
            return
        back = np.argsort(np.array(rows, np.intp))
        found = Looked.joined(parts).taken(back)
        some = [places[rows[int(k)]] for k in back]
        self.looked += len(some)
        if not self._whole:
            self.seen.update(some)
        for n, place in enumerate(some):
            one = self._done.get(place)
            if isinstance(one, Candidate):
                self._screen.learn(found.taken(np.array([n])), one)
        self._order += some
        self._tried = np.r_[self._tried, [p in self._done for p in some]]
        self._found = found if self._found is None else Looked.joined([self._found, found])

    def _measured(self) -> tuple[Looked, Ints, Floats, Floats]:
        assert self._found is not None
        return self._found, *self._screen.read(self._found, self._crew.drift)

    def _open(self, free: int | None = None) -> tuple[Ints, Ints, Floats, Floats]:
        """Rows that were not checked and may belong to the front; limits missed, and aims at their best and as screened.

        Whoever surely misses as many limits as the best must not be beaten; whoever may miss fewer would lead, even beaten.
        ``free``: an aim that nothing is known of.
        """
        found, off, low, exact = self._measured()
        if free is not None:
            low[:, free] = -np.inf
        fewest = len(self.best[0].stops)
        rows = np.flatnonzero(~self._tried & (off <= fewest) & np.isfinite(found.cost))
        even = off[rows] == fewest
        even[even] = beaten(low[rows[even]], self._marks())
        return rows[~even], off, low, exact

    def _put_away(self) -> None:
        """Where every stand is looked at, forget what cannot belong to the front any more."""
        if not self._whole or self._found is None:
            return
        keep, *_ = self._open(free=self._aims.index("hours") if "hours" in self._aims else None)
        self._order = [self._order[int(k)] for k in keep]
        self._found, self._tried = self._found.taken(keep), self._tried[keep]

    def _marks(self) -> Floats:
        return steps(np.array([vector(c, self._aims) for c in self.best]), self._aims)

    def _check(self, rows: Ints, stage: str, of: int) -> None:
        assert self._found is not None
        places = [self._order[int(r)] for r in rows]
        done = self.checked
        for n, one in self._crew.check(places):
            self._done[places[n]] = one
            self._tried[rows[n]] = True
            if isinstance(one, Candidate):
                self.best = front_of([*self.best, one], self._aims)
            done += 1
            self._told(stage, self.looked if stage == "looking" else done, of)
            if self._stop():
                break
        # In order, so that the same is learnt from the same stands however many processes there are.
        for r, place in zip(rows, places, strict=True):
            known = self._done.get(place)
            if isinstance(known, Candidate):
                self._screen.learn(self._found.taken(np.array([r])), known)
            elif known is not None:
                self._clashes.learn(place)
        self.best = front_of(self.candidates, self._aims)

    def _told(self, stage: str, looked: int, of: int) -> None:
        sketched = self._sketches.shown(self.best, self._done, self._marks(), self._crew.drift)
        self._tell(Progress(stage=stage, looked=looked, of=max(of, looked), best=self.best, sketched=sketched))
