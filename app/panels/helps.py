"""What one change helps most: a table that follows the stand. Worked out beside the window, loaded when first asked for."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSignalBlocker, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
)

from app.beside.beside import Beside
from app.beside.helping import Asked, Hours, Present, try_changes
from app.numbers import limit_words, quantity, shown
from app.panels.tried_table import TriedTable
from app.panels.trying import TryingPanel
from app.panels.words import SHAPES
from app.words import tr
from framecore.figures.model import Verdict
from framecore.search import MEASURES, PRICES, Help, Readings, Tried, measured, ranked, with_hours, worst_measure

if TYPE_CHECKING:
    from framecore.stand.model import Stand

REST_MS = 400  # the stand must have been left alone for so long before its changes are tried
SHOW_MS = 80  # rows that have come are shown so often
WORST = "worst"  # the measure that is asked for where nobody picked one


class HelpsPanel(TryingPanel):
    """Ranks single changes of the present stand."""

    def __init__(self) -> None:
        super().__init__(tr("What one change helps most"))
        self._present: Readings | None = None
        self._tried: list[Tried] = []
        self._of = 0
        self._sentence = ""
        self.rows: tuple[Help, ...] = ()
        self.measure, self.price = QComboBox(), QComboBox()
        self.table = TriedTable(7, widths={6: 140})
        self.table.setAccessibleName(tr("Changes that help"))
        self.told = QLabel()
        self.told.setObjectName("unit")
        self.now = QLabel()
        self.take_button = QPushButton(tr("Take it"))
        self.take_button.setToolTip(tr("Make the change that is shown in the view; it can be undone"))
        self.take_button.setEnabled(False)
        self._lay_out()
        self.setFocusProxy(self.table)
        self.beside = Beside(try_changes, self)
        self.beside.told.connect(self._hear)
        self.beside.ended.connect(self._ended)
        self.beside.fault.connect(self.fault)
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._ask)
        self._soon = QTimer(self, singleShot=True, interval=SHOW_MS)
        self._soon.timeout.connect(self._fill)
        self.measure.currentIndexChanged.connect(lambda _i: self._fill())
        self.price.currentIndexChanged.connect(lambda _i: self._fill())
        self.table.wanted.connect(self._try)
        self.table.taken.connect(self._take)
        self.table.dropped.connect(self._drop)
        self.take_button.clicked.connect(lambda: self._take(self.table.row_tried()))

    def _lay_out(self) -> None:
        head = QLabel(tr("What one change helps most"))
        head.setObjectName("heading")
        self.measure.setAccessibleName(tr("What is to become better"))
        self.price.setAccessibleName(tr("Reckoned against"))
        for name in PRICES:
            self.price.addItem("", name)
        row = QHBoxLayout()
        row.setContentsMargins(14, 6, 14, 4)
        row.setSpacing(8)
        row.addWidget(head)
        row.addSpacing(6)
        row.addWidget(self.measure, 3)
        row.addWidget(self.price)
        row.addStretch(1)
        row.addWidget(self.take_button)
        foot = QHBoxLayout()
        foot.setContentsMargins(14, 2, 14, 4)
        foot.setSpacing(14)
        foot.addWidget(self.now)
        foot.addWidget(self.told, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addWidget(self.table, 1)
        column.addLayout(foot)
        for box, letters in ((self.measure, 18), (self.price, 12)):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(letters)
        self.measure.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.told.setMinimumWidth(40)

    # -- the stand -------------------------------------------------------------------------------------

    @property
    def measure_asked(self) -> str:
        """The measure that is ranked by."""
        chosen = self.measure.currentData()
        if chosen not in (None, WORST):
            return str(chosen)
        return worst_measure(self._stand.figures.live) if self._stand is not None else next(iter(MEASURES))

    @property
    def price_asked(self) -> str:
        """What gains are reckoned against."""
        return str(self.price.currentData())

    def show_stand(self, stand: Stand, *, moving: bool = False) -> None:
        """Follow the stand; its changes are tried when the hand rests."""
        self._stand = stand
        self.beside.stop()
        self._present, self._tried, self._of, self._sentence = None, [], 0, ""
        self._name()
        if self.rows:
            self._fill()
        if moving:
            self._rest.stop()
        elif self.isVisible():
            self._rest.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin."""
        super().showEvent(event)
        if self._stand is not None and self._present is None:
            self._rest.start(0)
            self._rest.setInterval(REST_MS)

    def hideEvent(self, event: object) -> None:
        """Nothing is tried behind a closed panel."""
        self._rest.stop()
        self.beside.stop()
        self.table.clearSelection()
        super().hideEvent(event)

    def close_down(self) -> None:
        """End the process beside the window."""
        self._rest.stop()
        self._soon.stop()
        self.beside.close()

    def _name(self) -> None:
        """Fill the boxes with what this stand has."""
        stand = self._stand
        assert stand is not None
        live = stand.figures.live
        worst = measured(live, worst_measure(live))
        names = [(WORST, tr("The worst: {what}", what=worst.label if worst else "–"))]
        for name in MEASURES:
            figure = measured(live, name)
            if figure is not None:
                names.append((name, figure.label))
        with QSignalBlocker(self.measure):
            if [self.measure.itemData(k) for k in range(self.measure.count())] != [n for n, _ in names]:
                kept = self.measure.currentData()
                self.measure.clear()
                for name, label in names:
                    self.measure.addItem(label, name)
                self.measure.setCurrentIndex(max(0, self.measure.findData(kept)))
            for k, (_, label) in enumerate(names):
                self.measure.setItemText(k, label)
        said = {
            "mass": tr("for each kg"), "cost": tr("for each {money}", money=stand.shop.currency),
            "hours": tr("for each hour of welding"),
        }  # fmt: skip
        for k in range(self.price.count()):
            self.price.setItemText(k, said[self.price.itemData(k)])

    # -- the work beside -------------------------------------------------------------------------------

    def _ask(self) -> None:
        if self._stand is not None and self.isVisible():
            self._present, self._tried = None, []
            self.beside.ask(Asked(self._stand.brief, self.measure_asked))
            self._say()

    def _hear(self, message: Any) -> None:
        if isinstance(message, Present):
            self._present, self._of = message.readings, message.changes
        elif isinstance(message, Hours):
            self._tried[message.index] = with_hours(self._tried[message.index], message.hours)
        else:
            self._tried.append(message)
        if not self._soon.isActive():
            self._soon.start()

    def _ended(self, sentence: str) -> None:
        self._sentence = sentence
        self._soon.stop()
        self._fill()

    # -- what is shown ---------------------------------------------------------------------------------

    def _fill(self) -> None:
        if self._stand is None:
            return
        tried = self.table.row_tried()
        kept = self.rows[tried].change.values if 0 <= tried < len(self.rows) else None
        measure = self.measure_asked
        self.rows = ranked(self._present, self._tried, measure, self.price_asked) if self._present else ()
        figure = measured(self._stand.figures.live, measure)
        unit = figure.unit if figure is not None else "1"
        money = self._stand.shop.currency
        heads = (
            tr("Change"), tr("Gain"), tr("Mass"), money, tr("Welding"), self.price.currentText(), tr("Becomes worse by it"),
        )  # fmt: skip
        again = next((k for k, row in enumerate(self.rows) if row.change.values == kept), -1)
        self.table.fill(heads, [self._cells(row, unit) for row in self.rows], again)
        if kept is not None and again < 0:
            self._drop()
        self._say()

    def _cells(self, row: Help, unit: str) -> tuple[str, ...]:
        assert self._stand is not None
        units = self._stand.brief.units
        hours = "…" if row.hours is None else tr("{n} min", n=f"{round(60 * row.hours):+d}".replace("-", "−"))
        live = self._stand.figures.live
        worse = [(Verdict.STOP, n) for n in row.new_stops] + [(Verdict.LOOK, n) for n in row.new_looks]
        said = "; ".join(f"{SHAPES[v]} {v.value}: {live[n].label if n in live else n}" for v, n in worse)
        worth = "…" if row.worth is None else tr("at no cost") if math.isinf(row.worth) else _fine(row.worth, unit, units)
        return (
            row.change.words, _signed(row.after - row.before, unit, units), _signed(row.mass, "kg", units),
            shown(f"{row.cost:+.2f}".replace("-", "−")), hours, worth, said,
        )  # fmt: skip

    def _say(self) -> None:
        stand = self._stand
        if stand is None:
            return
        units = stand.brief.units
        figure = measured(stand.figures.live, self.measure_asked)
        if figure is not None:
            limit = limit_words(figure, units)
            verdict = f"{SHAPES[figure.verdict]} {figure.verdict.value}".strip()
            self.now.setText(
                tr("now {value}", value=quantity(figure.value, figure.unit, units))
                + (tr(", good is {limit}", limit=limit) if limit else "") + (f"  {verdict}" if verdict else "")
            )
        lost = [t for t in self._tried if t.after is None]
        self.told.setToolTip("\n".join(f"{t.change.words}: {t.reason}" for t in lost))
        if self._sentence:
            self.told.setText(self._sentence)
        elif self._present is None:
            self.told.setText(tr("Trying single changes …") if self.beside.busy or self._rest.isActive() else "")
        elif len(self._tried) < self._of:
            self.told.setText(tr("Tried {n} of {of} changes …", n=len(self._tried), of=self._of))
        else:
            waiting = any(t.after is not None and t.after.hours is None for t in self._tried)
            rest = tr("; hours of welding follow …") if waiting and self.beside.busy else "."
            self.told.setText(
                tr(
                    "{n} changes help, {less} do not, {lost} cannot be built (why: rest the mouse here)",
                    n=len(self.rows), less=len(self._tried) - len(lost) - len(self.rows), lost=len(lost),
                ) + rest
            )  # fmt: skip

    # -- hands -----------------------------------------------------------------------------------------

    def _try(self, row: int) -> None:
        if 0 <= row < len(self.rows):
            change = self.rows[row].change
            self.take_button.setEnabled(True)
            self.ghost.emit(change.brief, change.words)

    def _drop(self) -> None:
        self.take_button.setEnabled(False)
        self.ghost.emit(None, "")

    def _take(self, row: int) -> None:
        if 0 <= row < len(self.rows):
            change = self.rows[row].change
            self.table.clearSelection()
            self.take.emit(dict(change.values), change.words)


def _signed(value: float, unit: str, units: str) -> str:
    return f"{'−' if value < 0 else '+'}{_fine(abs(value), unit, units)}"


def _fine(value: float, unit: str, units: str) -> str:
    """A ratio changes in its third figure, where a value itself is shown with two."""
    return shown(f"{value:.3g}") if unit == "1" else quantity(value, unit, units)
