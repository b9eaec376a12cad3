"""Search: what may vary, how far it has come, what was found. The work is done in a process beside the window."""

from __future__ import annotations

import math
import os
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QElapsedTimer, QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.beside.beside import Beside
from app.beside.searching import SearchAsked, find_stands
from app.numbers import quantity, shown
from app.panels.search.choices import ChoicesTable
from app.panels.search.plot import BEATEN, GOOD, LOOK, PRESENT, STOP, Dot, StandsPlot
from app.panels.tried_table import TriedTable
from app.panels.words import SHAPES
from app.words import tr
from framecore.errors import BriefError
from framecore.figures.model import Verdict
from framecore.search import Candidate, Found, Progress, Space, candidate
from framecore.search.space import value_of, with_value
from framecore.units import format_quantity

if TYPE_CHECKING:
    from framecore.brief.model import Brief
    from framecore.stand.model import Stand

BUDGETS = (1000, 4000, 20000, 100000)
MOST_WORKERS = 4
# What the plot may show upwards: name, unit.
UPWARDS = {"sway": "N/mm", "twist": "N m/deg", "bed": "1", "first_mode": "Hz"}
_UNITS = {"mass": "kg", **UPWARDS}


def workers() -> int:
    """Return how many processes search: one processor is left for the hand."""
    return max(1, min(MOST_WORKERS, (os.cpu_count() or 1) - 1))


class SearchPanel(QWidget):
    """Finds stands that no other beats.

    Signals
    -------
    ghost(brief or None, words) : one is tried, or none any more
    take(values, words) : one is wanted, dotted key -> value
    fault(exception) : something the program did not foresee
    """

    ghost = Signal(object, str)
    take = Signal(object, str)
    fault = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("plain")
        self.setAccessibleName(tr("Search for better stands"))
        self._stand: Stand | None = None
        self._asked: SearchAsked | None = None
        self._seen: dict[tuple[int, ...], Candidate] = {}
        self.front: tuple[Candidate, ...] = ()
        self._present: Candidate | None = None
        self.tried: tuple[int, ...] | None = None  # place of the one that is tried
        self._stage, self._clock = "", QElapsedTimer()
        self.choices = ChoicesTable()
        self.budget, self.upwards = QComboBox(), QComboBox()
        self.start_button = QPushButton(tr("Search"))
        self.take_button = QPushButton(tr("Take it"))
        self.progress = QProgressBar()
        self.told = QLabel()
        self.plot = StandsPlot()
        self.table = TriedTable(8, widths={7: 110})
        self.beside = Beside(find_stands, self, alone=workers() == 1)
        self._lay_out()
        self.setFocusProxy(self.start_button)
        self.beside.told.connect(self._hear)
        self.beside.ended.connect(self._ended)
        self.beside.fault.connect(self.fault)
        self.start_button.clicked.connect(self.start_or_stop)
        self.take_button.clicked.connect(self._take)
        self.choices.changed.connect(self._count)
        self.budget.currentIndexChanged.connect(lambda _k: self._count())
        self.upwards.currentIndexChanged.connect(lambda _k: self._draw())
        self.plot.chosen.connect(self._picked)
        self.plot.taken.connect(self._take)
        self.table.wanted.connect(lambda row: self._try(self.front[row].place))
        self.table.taken.connect(lambda _row: self._take())
        self.table.dropped.connect(lambda: self._try(None))

    def _lay_out(self) -> None:
        head = QLabel(tr("Search for better stands"))
        head.setObjectName("heading")
        self.budget.setAccessibleName(tr("Stands looked at, at most"))
        for n in BUDGETS:
            self.budget.addItem(tr("look at {n} at most", n=n), n)
        self.budget.setCurrentIndex(1)
        self.upwards.setAccessibleName(tr("Stiffness shown upwards"))
        labels = {
            "sway": tr("Sway stiffness"), "twist": tr("Twist stiffness"),
            "bed": tr("Jack turn that reaches the bed"), "first_mode": tr("First frequency"),
        }  # fmt: skip
        for name, label in labels.items():
            self.upwards.addItem(label, name)
        self.start_button.setToolTip(tr("Search among what may vary; the window stays alive"))
        self.take_button.setEnabled(False)
        self.take_button.setToolTip(tr("Build the stand that is shown in the view; it can be undone"))
        self.progress.setAccessibleName(tr("How far the search has come"))
        self.progress.setTextVisible(False)
        self.progress.setFixedHeight(6)
        self.progress.hide()
        self.told.setObjectName("unit")
        self.told.setWordWrap(True)
        self.told.setContentsMargins(14, 2, 14, 6)
        self.table.setAccessibleName(tr("Stands that no other beats"))
        for box in (self.budget, self.upwards):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(18)
        row = QHBoxLayout()
        row.setContentsMargins(14, 6, 14, 4)
        row.setSpacing(8)
        row.addWidget(head)
        row.addSpacing(6)
        row.addWidget(self.budget)
        row.addWidget(self.start_button)
        row.addStretch(1)
        row.addWidget(self.upwards)
        row.addWidget(self.take_button)
        self.halves = QSplitter(Qt.Orientation.Horizontal)
        for widget, share in ((self.choices, 3), (self.plot, 4), (self.table, 5)):
            self.halves.addWidget(widget)
            self.halves.setStretchFactor(self.halves.count() - 1, share)
        self.halves.setSizes([230, 300, 490])
        self.halves.setHandleWidth(1)
        self.halves.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addWidget(self.progress)
        column.addWidget(self.halves, 1)
        column.addWidget(self.told)

    # -- the stand -------------------------------------------------------------------------------------

    def show_stand(self, stand: Stand, *, moving: bool = False) -> None:
        """Follow the stand; what was found stays as long as only what may vary has changed."""
        self._stand = stand
        if moving:
            return
        self.choices.show_stand(stand)
        self.tried = None
        if self._asked is not None and not self._fits(stand.brief):
            was = self.beside.busy
            self.beside.stop()
            self._over()
            self._asked, self._seen, self.front, self._present = None, {}, (), None
            self._count()
            self.told.setText(
                (tr("The brief has changed: the search was stopped.") if was else tr("The brief has changed since the search."))
                + " " + tr("Search again.")
            )  # fmt: skip
        elif self._asked is None:
            self._count()
        self._fill()

    def _fits(self, brief: Brief) -> bool:
        """Whether a brief differs from the one that is searched in nothing but what may vary."""
        assert self._asked is not None
        for choice in self._asked.space.choices:
            brief = with_value(brief, choice.key, choice.options[choice.present])
        return brief == self._asked.brief

    def hideEvent(self, event: object) -> None:
        """What is tried goes with the panel; a search goes on."""
        self._try(None)
        super().hideEvent(event)

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        self.plot.recolour()

    def close_down(self) -> None:
        """End the process beside the window."""
        self.beside.close()

    # -- the search ------------------------------------------------------------------------------------

    def space(self) -> Space | None:
        """Return what may vary; says why not, where it cannot be read."""
        try:
            return self.choices.space()
        except BriefError as fault:
            self.told.setText(str(fault.findings[0].message))
            return None

    def _count(self) -> None:
        if self._stand is None or self.beside.busy:
            return
        space = self.space()
        self.start_button.setEnabled(space is not None)
        if space is not None:
            budget = int(self.budget.currentData())
            how = tr("all will be looked at") if space.size <= budget else tr("the best of them are sought")
            self.told.setText(tr("{n} stands can be built of these; {how}.", n=f"{space.size:,}".replace(",", " "), how=how))

    def start_or_stop(self) -> None:
        """Begin a search, or end the one that runs and keep what it has found."""
        if self.beside.busy:
            self.beside.stop()
            self._over()
            self.told.setText(tr("Stopped; shown is what was found by then. There may be better ones."))
            return
        space = self.space()
        if space is None or self._stand is None:
            return
        brief = self._stand.brief
        self._seen, self.front, self.tried, self._stage = {}, (), None, ""
        self._asked = SearchAsked(brief, space, int(self.budget.currentData()), workers())
        self.ghost.emit(None, "")
        self.beside.ask(self._asked)
        self.start_button.setText(tr("Stop"))
        self.progress.setRange(0, 0)
        self.progress.show()
        self.told.setText(tr("Beginning …"))
        self._fill()

    def _hear(self, message: Progress | Found) -> None:
        if isinstance(message, Found):
            self._keep(message.front)
            limits = "" if message.proven else " " + tr("There may be better ones.")
            self._fill()
            self._over()
            self.told.setText(
                tr("{n} stands that no other beats; {how}, {checked} of them in full.", n=len(self.front), how=message.how,
                   checked=message.checked) + limits
            )  # fmt: skip
            return
        if message.stage != self._stage:
            self._stage = message.stage
            self._clock.start()
        self.progress.setRange(0, message.of)
        self.progress.setValue(message.looked)
        n, of = message.looked, message.of
        looking = tr("Looking at stands: {n} of {of}", n=n, of=of)
        checking = tr("Working out the best in full: {n} of {of} at most", n=n, of=of)
        self.told.setText((looking if message.stage == "looking" else checking) + self._left(message))
        if message.best:
            self._keep(message.best)
            self._fill()

    def _left(self, message: Progress) -> str:
        """About how long this stage still takes."""
        done, spent = message.looked / max(1, message.of), self._clock.elapsed() / 1000
        if done < 0.02 or spent < 0.3:
            return " …"
        left = math.ceil(spent * (1 - done) / done)
        return tr(", about {n} s left", n=left) if left < 90 else tr(", about {n} min left", n=math.ceil(left / 60))

    def _keep(self, front: tuple[Candidate, ...]) -> None:
        self._seen.update({c.place: c for c in front})
        self.front = front

    def _ended(self, sentence: str) -> None:
        self._over()
        if sentence:
            self.told.setText(sentence)

    def _over(self) -> None:
        self.start_button.setText(tr("Search"))
        self.start_button.setEnabled(True)
        self.progress.hide()

    # -- what is shown ---------------------------------------------------------------------------------

    def _fill(self) -> None:
        stand = self._stand
        if stand is None:
            return
        if self._asked is not None:
            self._present = candidate(stand.brief, self._asked.space, self._asked.space.present, stand)
        units, money = stand.brief.units, stand.shop.currency
        heads = (tr("Change"), money, *(_unit(n, units) for n in ("mass", "sway", "twist")), tr("bed"), "Hz", tr("Verdicts"))
        rows = [self._cells(c, units) for c in self.front]
        row = next((k for k, c in enumerate(self.front) if c.place == self.tried), -1)
        self.table.fill(heads, rows, row)
        self.take_button.setEnabled(self.tried is not None)
        self._draw()

    def _cells(self, c: Candidate, units: str) -> tuple[str, ...]:
        return (
            self._words(c), shown(f"{c.cost:.2f}"), *(_number(c, n, units) for n in _UNITS), _verdicts(c),
        )  # fmt: skip

    def _words(self, c: Candidate) -> str:
        return "; ".join(c.changes) if c.changes else tr("as it was when the search began")

    def _draw(self) -> None:
        stand = self._stand
        if stand is None:
            return
        units, up = stand.brief.units, str(self.upwards.currentData())
        short = {"sway": tr("Sway"), "twist": tr("Twist"), "bed": tr("Bed"), "first_mode": tr("First")}
        self.plot.name_axes(stand.shop.currency, f"{short[up]} {_unit(up, units)}".strip())
        ordered = [*self.front, *(c for p, c in self._seen.items() if all(p != f.place for f in self.front))]
        dots, picked = [], -1
        for k, c in enumerate(ordered):
            kind = BEATEN if k >= len(self.front) else STOP if c.stops else LOOK if c.looks else GOOD
            value = getattr(c, up)
            if value is None:
                continue
            if c.place == self.tried:
                picked = len(dots)
            words = f"{self._words(c)}, {shown(f'{c.cost:.2f}')} {stand.shop.currency}, {quantity(value, UPWARDS[up], units)}"
            dots.append((c.place, Dot(x=c.cost, y=value, kind=kind, words=f"{words}, {_verdicts(c)}")))
        own = self._present if self._asked is not None else None
        if own is not None and getattr(own, up) is not None:
            dots.append((None, Dot(x=own.cost, y=getattr(own, up), kind=PRESENT, words=tr("the present stand"))))
        self._places = [p for p, _ in dots]
        self.plot.show_dots([d for _, d in dots], picked)

    # -- hands -----------------------------------------------------------------------------------------

    def _picked(self, number: int) -> None:
        self._try(self._places[number] if number >= 0 else None)

    def _try(self, place: tuple[int, ...] | None) -> None:
        found = self._seen.get(place) if place is not None else None
        self.tried = found.place if found is not None else None
        row = next((k for k, c in enumerate(self.front) if c.place == self.tried), -1)
        with QSignalBlocker(self.table):
            if row >= 0:
                self.table.selectRow(row)
                self.table.scrollToItem(self.table.item(row, 0))
            else:
                self.table.clearSelection()
        self.take_button.setEnabled(found is not None)
        self._draw()
        if found is None:
            self.ghost.emit(None, "")
        else:
            self.ghost.emit(found.brief, self._words(found))

    def _take(self) -> None:
        found = self._seen.get(self.tried) if self.tried is not None else None
        if found is None or self._asked is None or self._stand is None:
            return
        brief = self._stand.brief
        pairs = [(c.key, c.options[k]) for c, k in zip(self._asked.space.choices, found.place, strict=True)]
        values: dict[str, Any] = {key: value for key, value in pairs if value_of(brief, key) != value}
        self._try(None)
        self.take.emit(values, tr("take a stand that was found"))


def _unit(name: str, units: str) -> str:
    return format_quantity(1.0, _UNITS[name], units)[1]


def _number(c: Candidate, name: str, units: str) -> str:
    """A value without its unit, which stands in the head of the column."""
    value = getattr(c, name)
    return "–" if value is None else shown(format_quantity(value, _UNITS[name], units)[0])


def _verdicts(c: Candidate) -> str:
    """What a stand says of its limits, by shape and word."""
    said = [(Verdict.STOP, len(c.stops)), (Verdict.LOOK, len(c.looks))]
    told = ", ".join(f"{n} {SHAPES[v]} {v.value}" for v, n in said if n)
    return told or f"{SHAPES[Verdict.GOOD]} {Verdict.GOOD.value}"
