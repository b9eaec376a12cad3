"""How many figures are not good, at a glance, and the way to each of them."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from app.panels.words import SHAPES
from app.theme import palette
from app.words import tr
from framecore.figures.model import Figure, Verdict


class VerdictsButton(QPushButton):
    """Counts stops and looks; each click goes to the next of them, stops first.

    Signals
    -------
    asked(id) : the figure to go to
    """

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("verdicts")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setToolTip(tr("Goes to the next figure that is not good"))
        self.ids: tuple[str, ...] = ()
        self._told: tuple[object, ...] = ()
        self._last = ""
        self.clicked.connect(self._go)

    def show_figures(self, figures: Iterable[Figure], stale: bool) -> None:
        """Count anew; grey while the figures belong to an earlier brief."""
        by: dict[Verdict, list[str]] = {Verdict.STOP: [], Verdict.LOOK: []}
        for figure in figures:
            if figure.verdict in by:
                by[figure.verdict].append(figure.id)
        self.ids = (*by[Verdict.STOP], *by[Verdict.LOOK])
        worst = next((v for v, ids in by.items() if ids), Verdict.GOOD)
        colours = palette()
        colour = colours.faint if stale else getattr(colours, worst.value)
        told = (*(len(ids) for ids in by.values()), colour)
        if told == self._told:
            return
        self._told = told
        counts = [(SHAPES[v], f"{len(ids)} {tr(v.value)}") for v, ids in by.items() if ids]
        said = counts or [(SHAPES[Verdict.GOOD], tr("every figure good"))]
        self.setText("   ".join(f"{shape} {words}" for shape, words in said))
        self.setAccessibleName(", ".join(words for _, words in said))
        self.setEnabled(bool(counts))
        self.setStyleSheet(f"color: {colour};")

    def _go(self) -> None:
        if not self.ids:
            return
        at = self.ids.index(self._last) + 1 if self._last in self.ids else 0
        self._last = self.ids[at % len(self.ids)]
        self.asked.emit(self._last)
