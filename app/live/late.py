"""What takes longer than a drag allows, worked out beside the window so that the hand never waits for it."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from app.live.post import posted

if TYPE_CHECKING:
    from framecore.stand.model import Stand

# Seconds after which a thread lets another one go on: with the usual 5 ms every event of the window waits that long.
_TURN = 5e-4


def complete_figures(stand: Stand) -> None:
    """Work out the figures that take longer; the stand keeps them."""
    len(stand.figures)


class Late(QObject):
    """Works something out for stands in a thread of its own, one call after another: the figures that take longer by default.

    Parameters
    ----------
    work : what is done for each stand; it knows no toolkit

    Signals
    -------
    ready(stand) : it is done for the last stand asked for, and ``found`` is what it came to
    fault(exception) : something the program did not foresee
    """

    ready = Signal(object)
    fault = Signal(object)

    def __init__(self, parent: QObject | None = None, work: Callable[[Stand], Any] = complete_figures) -> None:
        super().__init__(parent)
        self._work = work
        self.found: Any = None
        self._running = False
        self._asked: tuple[Stand, ...] = ()
        self._turn = sys.getswitchinterval()

    def ask(self, *stands: Stand) -> None:
        """Do these; what was asked for before and is not begun is dropped."""
        self._asked = stands
        if not self._running:
            self._next()

    def _next(self) -> None:
        stands, self._asked = self._asked, ()
        self._running = bool(stands)
        sys.setswitchinterval(_TURN if stands else self._turn)
        if stands:
            # Stands are frozen values; a thread that outlives its window leaves nothing behind.
            threading.Thread(target=_work, args=(self._work, stands, posted(self._worked)), daemon=True).start()

    def _worked(self, stand: Stand, found: Any, fault: Exception | None) -> None:
        self._next()
        if fault is None:
            self.found = found
            self.ready.emit(stand)
        else:
            self.fault.emit(fault)


def _work(
    work: Callable[[Stand], Any], stands: tuple[Stand, ...], told: Callable[[Stand, Any, Exception | None], None]
) -> None:
    found, fault = None, None
    try:
        for stand in stands:
            found = work(stand)
    except Exception as error:
        fault = error
    told(stands[-1], found, fault)
