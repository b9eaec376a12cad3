"""Found stands as dots, cost against stiffness: picked with the mouse or the arrow keys."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QFocusEvent, QKeyEvent

from app.theme import palette
from app.words import tr

GOOD, LOOK, STOP, UNCHECKED = "good", "look", "stop", "unchecked"
PRESENT, BEATEN = "present", "beaten"
# Shape, size: a disc keeps every limit, a triangle wants a look, a square misses a limit, an open diamond was not checked
# yet; the present stand is a star.
_SIGNS = {
    GOOD: ("o", 11), LOOK: ("t1", 12), STOP: ("s", 11), UNCHECKED: ("d", 11), PRESENT: ("star", 19), BEATEN: ("+", 7),
}  # fmt: skip
_ROOMY, _LEAST = 40, 0.6  # so many dots have room; more are drawn smaller, down to this share


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One stand: where it lies, what it is, and what it is called when it is read out."""

    x: float
    y: float
    kind: str
    words: str


class StandsPlot(pg.PlotWidget):
    """Dots of stands; the chosen one has a ring.

    Signals
    -------
    chosen(number) : another dot was picked, -1 for none
    taken() : the chosen one is wanted for good
    """

    chosen = Signal(int)
    taken = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setMinimumSize(200, 120)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.setMouseEnabled(False, False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the plot itself takes the keys
        self.setAccessibleName(tr("Cost against stiffness"))
        self.dots: tuple[Dot, ...] = ()
        self.picked = -1
        self._spans: list[tuple[float, float]] = []  # shown across and up
        self._ring = pg.ScatterPlotItem(pxMode=True)
        self._spots = pg.ScatterPlotItem(pxMode=True)
        self._spots.sigClicked.connect(self._clicked)
        self._empty = pg.TextItem(tr("found stands show here"), anchor=(0.5, 0.5))
        self._empty.setPos(0.5, 0.5)
        for item in (self._ring, self._spots, self._empty):
            self.addItem(item)
        self.getPlotItem().layout.setContentsMargins(0, 9, 9, 0)  # or the topmost number is cut through
        self.recolour()

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        c = palette()
        self.setBackground(c.paper)
        for name in ("left", "bottom"):
            axis = self.getAxis(name)
            axis.setPen(pg.mkPen(QColor(c.line)))
            axis.setTextPen(pg.mkPen(QColor(c.soft)))
            axis.enableAutoSIPrefix(False)
        self._draw()

    def name_axes(self, across: str, up: str) -> None:
        """Say what the axes are."""
        self.setLabel("bottom", tr(across))
        self.setLabel("left", tr(up))

    def show_dots(self, dots: Sequence[Dot], picked: int, *, coming: bool = False) -> None:
        """Show these, one of them picked; asks nobody. While more are ``coming`` the axes only grow: no dot jumps about."""
        self.dots = tuple(dots)
        if not coming:
            self._spans = []
        self.picked = picked if 0 <= picked < len(self.dots) else -1
        self._draw()

    def _draw(self) -> None:
        c = palette()
        colours = {GOOD: c.accent, LOOK: c.look, STOP: c.stop, UNCHECKED: c.soft, PRESENT: c.ink, BEATEN: c.faint}
        spots, share = [], min(1.0, max(_LEAST, math.sqrt(_ROOMY / max(len(self.dots), 1))))
        for k in sorted(range(len(self.dots)), key=lambda k: self.dots[k].kind != BEATEN):
            dot = self.dots[k]
            sign, size = _SIGNS[dot.kind]
            colour = QColor(colours[dot.kind])
            hollow = dot.kind in (PRESENT, BEATEN, UNCHECKED)
            size = size if dot.kind == PRESENT else round(size * share)
            # A filled one has a rim of paper, so that each is told from those behind it.
            pen = pg.mkPen(colour, width=1.6) if hollow else pg.mkPen(QColor(c.paper), width=1)
            spots.append(
                {"pos": (dot.x, dot.y), "data": k, "symbol": sign, "size": size if hollow else size + 1, "pen": pen,
                 "brush": pg.mkBrush(None if hollow else colour)}
            )  # fmt: skip
        self._spots.setData(spots)
        ring = [self.dots[self.picked]] if self.picked >= 0 else []
        self._ring.setData(
            [{"pos": (d.x, d.y), "symbol": "o", "size": 24, "pen": pg.mkPen(QColor(c.ink), width=2), "brush": pg.mkBrush(None)}
             for d in ring]
        )  # fmt: skip
        self._empty.setColor(QColor(c.soft))
        self._empty.setVisible(not self.dots)
        for name in ("left", "bottom"):
            self.getPlotItem().showAxis(name, bool(self.dots))  # without a stand there is nothing to measure
        if self.dots:
            self._span()
        else:
            self.setRange(xRange=(0, 1), yRange=(0, 1), padding=0)
        said = self.dots[self.picked].words if self.picked >= 0 else tr("nothing picked")
        self.setAccessibleDescription(
            tr("{n} stands; {said}. Left and right pick by cost, Enter takes.", n=len(self.dots), said=said)
        )

    def _span(self) -> None:
        spans = []
        for n, values in enumerate(([d.x for d in self.dots], [d.y for d in self.dots])):
            low, high = min(values), max(values)
            room = max(high - low, 0.02 * max(abs(high), 1e-9))
            low, high = low - 0.14 * room, high + 0.14 * room
            if self._spans:
                low, high = min(low, self._spans[n][0]), max(high, self._spans[n][1])
            spans.append((low, high))
        self._spans = spans
        self.setXRange(*spans[0], padding=0)
        self.setYRange(*spans[1], padding=0)

    def pick(self, number: int) -> None:
        """Pick a dot, -1 for none."""
        if number != self.picked:
            self.picked = number
            self._draw()
            self.chosen.emit(number)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))

    def _clicked(self, _item: object, spots: list[pg.SpotItem]) -> None:
        if not len(spots):
            return
        number = int(spots[0].data())
        if number == self.picked:
            self.taken.emit()
        else:
            self.pick(number)

    def event(self, event: QEvent) -> bool:
        """Keep the keys that pick from the window's shortcuts: Home shows the whole stand elsewhere."""
        if event.type() == QEvent.Type.ShortcutOverride and event.key() in (Qt.Key.Key_Home, Qt.Key.Key_End):
            event.accept()
            return True
        return bool(super().event(event))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right pick the next dot by cost, Home and End the first and last, Enter takes, Escape lets go."""
        dots = self.dots
        order = sorted((k for k, d in enumerate(dots) if d.kind not in (BEATEN, PRESENT)), key=lambda k: (dots[k].x, k))
        key = event.key()
        at = order.index(self.picked) if self.picked in order else -1
        if not order:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Right, Qt.Key.Key_Up):
            self.pick(order[min(at + 1, len(order) - 1)])
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Down):
            self.pick(order[max(at - 1, 0)])
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.pick(order[0 if key == Qt.Key.Key_Home else -1])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.picked >= 0:
            self.taken.emit()
        elif key == Qt.Key.Key_Escape and self.picked >= 0:
            self.pick(-1)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that the keys go here."""
        super().focusInEvent(event)
        self._framed(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The keys go elsewhere."""
        super().focusOutEvent(event)
        self._framed(False)

    def _framed(self, on: bool) -> None:
        self.getPlotItem().getViewBox().setBorder(pg.mkPen(QColor(palette().accent), width=1) if on else None)
