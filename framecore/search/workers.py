"""Screening and checking of stands, here or at desks in processes of their own."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from types import TracebackType
from typing import Any, Literal, cast

from framecore.brief.model import Brief
from framecore.errors import FramecoreError
from framecore.search.candidate import Candidate
from framecore.search.desk import Desk
from framecore.search.family import Looked, split_of
from framecore.search.space import Place, Space

_JOB = {"look": 64, "check": 1}  # stands in one job: few, so that answers come soon and a search stops soon
_LISTEN = 0.1  # s until somebody who wants to stop is heard
_GONE = "A process of the search ended unexpectedly; search again."


@dataclass(frozen=True, slots=True)
class _Job:
    """Numbers of some of the places asked about, all of one family."""

    family: Place
    rows: list[int]


class Crew:
    """One desk here, or several in processes.

    Answers come job by job as they are ready. Each hangs on its stands alone, so that put in order they are the same with
    any number of desks. ``stop`` is asked while processes are at work: what they are at is not waited for. Leaving the crew
    ends them.
    """

    def __init__(
        self, brief: Brief, space: Space, workers: int, *, hours: bool, stop: Callable[[], bool] = lambda: False
    ) -> None:  # fmt: skip
        self.workers, self.drift, self._stop = max(1, workers), 0.0, stop
        self._over = False  # somebody no longer listened: nothing more is asked
        self._split = split_of(space)
        self.here = Desk(brief, space, hours)
        self._seats = [_Seat(brief, space, hours) for _ in range(self.workers if self.workers > 1 else 0)]

    def __enter__(self) -> Crew:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        for seat in self._seats:
            seat.end()

    def look(self, places: Sequence[Place]) -> Iterator[tuple[list[int], Looked]]:
        """Screen stands: numbers of some of the places, and what is to be said of these."""
        for rows, (found, drift) in self._done("look", places):
            self.drift = max(self.drift, drift)
            yield rows, found

    def check(self, places: Sequence[Place]) -> Iterator[tuple[int, Candidate | str]]:
        """Evaluate stands in full: the number of a place, and its stand or why it cannot be built."""
        for rows, found in self._done("check", places):
            yield from zip(rows, found, strict=True)

    def _done(self, what: Literal["look", "check"], places: Sequence[Place]) -> Iterator[tuple[list[int], Any]]:
        if self._over:
            return
        families: dict[Place, list[int]] = {}
        for n, place in enumerate(places):
            families.setdefault(tuple(place[i] for i in self._split), []).append(n)
        size = _JOB[what]
        waiting = [_Job(f, rows[a : a + size]) for f, rows in families.items() for a in range(0, len(rows), size)]
        if not self._seats:
            for job in waiting:
                yield job.rows, getattr(self.here, what)([places[n] for n in job.rows])
            return
        busy: dict[Connection, tuple[_Seat, _Job]] = {}
        try:
            while waiting or busy:
                for seat in self._seats:
                    if waiting and seat.line not in busy:
                        job = self._next(seat, waiting, what)
                        seat.send(what, [places[n] for n in job.rows])
                        busy[seat.line] = seat, job
                ready = wait(list(busy), _LISTEN)
                if self._stop():
                    return
                for line in ready:
                    seat, job = busy.pop(cast(Connection, line))
                    yield job.rows, seat.answer()
        finally:
            self._over |= bool(waiting or busy)

    def _next(self, seat: _Seat, waiting: list[_Job], what: str) -> _Job:
        """Take the job that suits a seat best: of a family it knows, else of one that nobody knows."""
        met = set[Place]() if what == "check" else set[Place]().union(*(s.known for s in self._seats))
        best = min(range(len(waiting)), key=lambda n: 0 if (f := waiting[n].family) in seat.known else 1 + (f in met))
        job = waiting.pop(best)
        if what == "look":
            seat.known.add(job.family)
        return job


class _Seat:
    """A desk in a process of its own."""

    def __init__(self, brief: Brief, space: Space, hours: bool) -> None:
        context = multiprocessing.get_context("spawn")
        self.line, theirs = context.Pipe()
        self.known: set[Place] = set()
        self._process = context.Process(target=_sit, args=(theirs, brief, space, hours), daemon=True)
        self._process.start()
        theirs.close()

    def send(self, what: str, places: Sequence[Place]) -> None:
        """Give it something to do."""
        try:
            self.line.send((what, places))
        except OSError as fault:
            raise FramecoreError(_GONE) from fault

    def answer(self) -> Any:
        """Wait for what it says; a fault there is a fault here."""
        try:
            said = self.line.recv()
        except (EOFError, OSError) as fault:
            raise FramecoreError(_GONE) from fault
        if isinstance(said, Exception):
            raise said
        return said

    def end(self) -> None:
        """End the process at once; nothing it is at is wanted any more."""
        self.line.close()
        self._process.terminate()
        self._process.join()
        self._process.close()


def _sit(line: Connection, brief: Brief, space: Space, hours: bool) -> None:
    """Answer one job after another until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever asks decides
    desk = Desk(brief, space, hours)
    with suppress(EOFError, OSError):
        while True:
            what, places = line.recv()
            try:
                answer = getattr(desk, what)(places)
            except Exception as fault:
                answer = fault
            line.send(answer)
