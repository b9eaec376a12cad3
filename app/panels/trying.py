"""A panel that tries other stands in the view and has one of them built."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from framecore.stand.model import Stand


class TryingPanel(QWidget):
    """What such panels have in common: the present stand, and what they tell the window.

    Signals
    -------
    ghost(brief or None, words) : a stand is tried, or none any more
    take(values, words) : one is wanted, dotted key -> value
    fault(exception) : something the program did not foresee
    """

    ghost = Signal(object, str)
    take = Signal(object, str)
    fault = Signal(object)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName("plain")
        self.setAccessibleName(name)
        self._stand: Stand | None = None
