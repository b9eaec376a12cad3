"""Collects unused objects in the window's thread alone and between two events, and gives back memory that is free."""

from __future__ import annotations

import ctypes
import gc
import sys
import time
from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QGuiApplication

# New objects after which the collector looks at the youngest. A picture of a drag makes some thousands that live as long
# as its stand: with the usual 700 the collector takes a tenth of the time and finds next to nothing.
YOUNG = 20_000
# Collections of the younger after which the next older are looked at too, as Python counts them.
OLDER = 10
LOOK_MS = 200
TRIM_S = 20.0  # between two looks for free memory, some milliseconds each
POOLS = 2


class Collector(QObject):
    """Does what Python does by itself, but at a timer of the window's thread.

    Python collects wherever the next object happens to be made: in the middle of a painting, or in another thread, where an
    object of the toolkit must not come to its end.
    """

    def __init__(self, parent: QObject | None = None, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(parent)
        self._clock, self._trimmed = clock, clock()
        self._trim = _trimmer()
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.look)
        gc.disable()
        self._timer.start()

    def look(self) -> None:
        """Collect if there is enough that is new."""
        young, middle, old = gc.get_count()
        if young > YOUNG:
            gc.collect(2 if middle > OLDER and old > OLDER else 1 if middle > OLDER else 0)
        elif self._clock() - self._trimmed > TRIM_S and QGuiApplication.mouseButtons() == Qt.MouseButton.NoButton:
            # The threads' pools keep what a packet or a drawing needed for a moment, over a hundred megabytes.
            self._trimmed = self._clock()
            self._trim()

    def tidy(self) -> None:
        """Collect whatever is not set aside, and give back what is free."""
        gc.collect()
        self._trim()


def settle() -> None:
    """Set aside what stands for good once the window is there.

    A full collection looks at every object: with the toolkits loaded that is a pause of some 60 ms. What is
    set aside is not looked at again, so later collections see only what came since. Nothing is collected first: what
    the start leaves unused is little, and looking for it would keep the window waiting.
    """
    gc.freeze()
    gc.set_threshold(YOUNG, *gc.get_threshold()[1:])
    gc.enable()


def _trimmer() -> Callable[[], object]:
    """What gives free memory back to the system; nothing where the system's own library has no such call."""
    if sys.platform.startswith("linux"):
        try:
            library = ctypes.CDLL(None)
            library.mallopt(-8, POOLS)  # M_ARENA_MAX: else every thread keeps a pool of its own
            return lambda trim=library.malloc_trim: trim(0)
        except (OSError, AttributeError):
            pass
    return lambda: None
