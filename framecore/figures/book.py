"""All figures of a stand by id: those that every answer carries, and those that are worked out when first asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from threading import RLock
from typing import Generic, TypeVar

from framecore.figures.model import Figure

T = TypeVar("T")
# First words of the ids that are worked out late. Asking for any other id never waits for them.
LATE_IDS = ("welds.length", "welds.filler", "welds.hours", "paint.", "weld.", "square.", "lift.", "mount.fit_chance")


class Once(Generic[T]):
    """A value that is worked out when it is first called for, and then kept; a second thread waits for the first."""

    def __init__(self, work: Callable[[], T]) -> None:
        self._work: Callable[[], T] | None = work
        self._found: list[T] = []
        self._lock = RLock()

    @property
    def done(self) -> bool:
        """Whether it has been worked out."""
        return bool(self._found)

    def __call__(self) -> T:
        """Return the value."""
        if not self._found:
            with self._lock:
                if self._work is not None:
                    self._found.append(self._work())
                    self._work = None
        return self._found[0]


class FigureBook(Mapping[str, Figure]):
    """Figures by id in the order they are shown.

    Parameters
    ----------
    live : known at once; a hand's drag shows these
    late : works out the others; called on the first look at one of ``LATE_IDS`` or at all of them (a loop, a count)
    """

    def __init__(self, live: dict[str, Figure], late: Callable[[], dict[str, Figure]]) -> None:
        self.live = live
        self._late = Once(late)

    @property
    def complete(self) -> bool:
        """Whether the late figures are known already."""
        return self._late.done

    @property
    def at_hand(self) -> Mapping[str, Figure]:
        """What is known without waiting."""
        return self._all() if self.complete else self.live

    def _all(self) -> dict[str, Figure]:
        return {**self.live, **self._late()}

    def __getitem__(self, name: str) -> Figure:
        found = self.live.get(name)
        if found is None and name.startswith(LATE_IDS):
            found = self._late().get(name)
        if found is None:
            raise KeyError(name)
        return found

    def __contains__(self, name: object) -> bool:
        return name in self.live or (isinstance(name, str) and name.startswith(LATE_IDS) and name in self._late())

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())
