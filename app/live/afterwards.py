"""What the first picture does not need: done once it has been painted, a small step at a time."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget


class Afterwards(QObject):
    """Runs ``steps`` to their end, one whenever nothing else waits, once ``widget`` has been painted for the first time.

    What is done here is done sooner where somebody asks for it: a step that finds nothing left to do ends.
    """

    def __init__(self, widget: QWidget, steps: Iterator[None]) -> None:
        super().__init__(widget)
        self._steps = steps
        self._turn = QTimer(self)
        self._turn.setInterval(0)
        self._turn.timeout.connect(self._step)
        widget.installEventFilter(self)

    def eventFilter(self, widget: QObject, event: QEvent) -> bool:
        """Begin with the first picture."""
        if event.type() == QEvent.Type.Paint:
            widget.removeEventFilter(self)
            self._turn.start()
        return False

    def _step(self) -> None:
        if next(self._steps, self) is self:
            self._turn.stop()
