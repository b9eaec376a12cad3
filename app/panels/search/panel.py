"""Search: what may vary, how far it has come, what was found. The work is done in a process beside the window."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QElapsedTimer, QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QLabel,
    QProgressBar,
    QSplitter,
    QVBoxLayout,
)

from app.beside.beside import Beside
from app.beside.cores import cores, hands
from app.beside.searching import SearchAsked, find_stands
from app.numbers import quantity, shown
from app.panels.search.bar import UPWARDS, WHOLE, SearchBar
from app.panels.search.choices import ChoicesTable
from app.panels.search.plot import BEATEN, GOOD, LOOK, PRESENT, STOP, UNCHECKED, Dot, StandsPlot
from app.panels.tried_table import TriedTable
from app.panels.trying import TryingPanel
from app.panels.words import SHAPES
from app.words import tr
from framecore.errors import BriefError
from framecore.figures.model import Verdict
from framecore.search import Candidate, Found, Progress, Space, candidate
from framecore.search.space import LAYOUT, value_of, with_value
from framecore.search.words import shown as option_words
from framecore.units import format_quantity

if TYPE_CHECKING:
    from framecore.brief.model import Brief
    from framecore.stand.model import Stand

_UNITS = {"mass": "kg", "hours": "h", **UPWARDS}
_HOURS = 3  # their column
_OPEN = "○"  # not checked yet: no verdict's shape


class SearchPanel(TryingPanel):
    """Finds stands that no other beats."""

    def __init__(self) -> None:
        super().__init__(tr("Search for better stands"))
        self._asked: SearchAsked | None = None
        self._seen: dict[tuple[int, ...], Candidate] = {}
        self.front: tuple[Candidate, ...] = ()  # checked in full
        self.rows: tuple[Candidate, ...] = ()  # these and what is only screened so far, in the order of the table
        self._sketched: dict[tuple[int, ...], Candidate] = {}
        self._present: Candidate | None = None
        self.tried: tuple[int, ...] | None = None  # place of the one that is tried
        self._stage, self._clock = "", QElapsedTimer()
        self.choices = ChoicesTable()
        self.bar = SearchBar()
        self.start_button, self.take_button = self.bar.start, self.bar.take
        self.progress = QProgressBar()
        self.told = QLabel()
        self.plot = StandsPlot()
        self.table = TriedTable(len(_UNITS) + 3, widths={len(_UNITS) + 2: 134})
        self.beside = Beside(find_stands, self, alone=cores() == 1)
        self._lay_out()
        self.setFocusProxy(self.start_button)
        order = (self.start_button, self.choices, self.plot, self.table, self.bar.upwards, self.take_button)
        for one, after in pairwise(order):
            self.setTabOrder(one, after)
        self.beside.told.connect(self._hear)
        self.beside.ended.connect(self._ended)
        self.beside.fault.connect(self.fault)
        self.start_button.clicked.connect(self.start_or_stop)
        self.take_button.clicked.connect(self._take)
        self.choices.changed.connect(self._count)
        self.bar.changed.connect(self._count)
        self.bar.upwards.currentIndexChanged.connect(lambda _k: self._draw())
        self.plot.chosen.connect(self._picked)
        self.plot.taken.connect(self._take)
        self.table.wanted.connect(lambda row: self._try(self.rows[row].place))
        self.table.taken.connect(lambda _row: self._take())
        self.table.dropped.connect(lambda: self._try(None))

    def _lay_out(self) -> None:
        self.progress.setAccessibleName(tr("How far the search has come"))
        self.progress.setTextVisible(False)
        self.progress.setFixedHeight(6)
        self.progress.hide()
        self.told.setObjectName("unit")
        self.told.setWordWrap(True)
        self.told.setContentsMargins(14, 2, 14, 6)
        self.table.setAccessibleName(tr("Stands that no other beats"))
        self.halves = QSplitter(Qt.Orientation.Horizontal)
        for widget, share in ((self.choices, 2), (self.plot, 3), (self.table, 5)):
            self.halves.addWidget(widget)
            self.halves.setStretchFactor(self.halves.count() - 1, share)
        self.halves.setSizes([230, 270, 615])
        self.halves.setHandleWidth(1)
        self.halves.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.bar)
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
            self._asked, self._present = None, None
            self._forget()
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
        self.start_button.setEnabled(space is not None and bool(self.bar.aims))
        if not self.bar.aims:
            self.told.setText(tr("Nothing is to become better; tick an aim."))
        elif space is not None:
            budget = self.bar.most
            every = budget == WHOLE or space.size <= budget
            how = tr("all will be looked at") if every else tr("the best of them are sought")
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
        self._forget()
        self.tried, self._stage = None, ""
        most = self.bar.most
        many = min(most or space.size, space.size)
        self._asked = SearchAsked(brief, space, most or space.size, hands(many), self.bar.aims, whole=most == WHOLE)
        self.ghost.emit(None, "")
        self.beside.ask(self._asked)
        self.bar.searching(True)
        self.progress.setRange(0, 0)
        self.progress.show()
        self.told.setText(tr("Beginning …"))
        self._fill()

    def _forget(self) -> None:
        self._seen, self._sketched, self.front, self.rows = {}, {}, (), ()

    def _hear(self, message: Progress | Found) -> None:
        if isinstance(message, Found):
            self._keep(message.front, ())
            self._over()
            self._fill()
            found = tr("{n} stands that no other beats; {how}, {checked} of them in full.", n=len(self.front), how=message.how,
                       checked=message.checked)  # fmt: skip
            said = [found, tr(message.sure)]
            if message.hurdles:
                said.append(tr("No stand of these keeps every limit.") if message.proven
                            else tr("None that was found keeps every limit."))  # fmt: skip
                said += [tr(sentence) for h in message.hurdles for sentence in h.words]
            self.told.setText(" ".join(said))
            return
        if message.stage != self._stage:
            self._stage = message.stage
            self._clock.start()
        self.progress.setRange(0, message.of)
        self.progress.setValue(message.looked)
        n, of = message.looked, message.of
        said = {
            "looking": tr("Looking at stands: {n} of {of}", n=n, of=of),
            "checking": tr("Working out the best in full: {n} of {of} at most", n=n, of=of),
            "helping": tr("Trying what would help: {n} of {of} changes", n=n, of=of),
        }[message.stage]
        self.told.setText(said + self._left(message))
        self._keep(message.best, message.sketched)
        self._fill()

    def _left(self, message: Progress) -> str:
        """About how long this stage still takes."""
        done, spent = message.looked / max(1, message.of), self._clock.elapsed() / 1000
        if done < 0.02 or spent < 0.3:
            return " …"
        left = math.ceil(spent * (1 - done) / done)
        return tr(", about {n} s left", n=left) if left < 90 else tr(", about {n} min left", n=math.ceil(left / 60))

    def _keep(self, front: tuple[Candidate, ...], sketched: tuple[Candidate, ...]) -> None:
        """Take over what was found, best first; what is tried stays, even where something beats it by now."""
        held = self._known(self.tried)
        self._seen.update({c.place: c for c in front})
        self.front = front
        self._sketched = {c.place: c for c in sketched if c.place not in self._seen}
        if held is not None and not held.checked and held.place not in self._seen:
            self._sketched.setdefault(held.place, held)
        rows = sorted((*front, *self._sketched.values()), key=lambda c: (not c.checked, len(c.stops), c.cost, c.mass))
        self.rows = tuple(rows)

    def _known(self, place: tuple[int, ...] | None) -> Candidate | None:
        if place is None:
            return None
        return self._seen.get(place) or self._sketched.get(place)

    def _ended(self, sentence: str) -> None:
        self._over()
        if sentence:
            self.told.setText(sentence)

    def _over(self) -> None:
        self.bar.searching(False)
        self.progress.hide()

    # -- what is shown ---------------------------------------------------------------------------------

    def _fill(self) -> None:
        stand = self._stand
        if stand is None:
            return
        if self._asked is not None:
            self._present = candidate(stand.brief, self._asked.space, self._asked.space.present, stand)
        units, money = stand.brief.units, stand.shop.currency
        heads = (tr("Change"), money, *(_unit(n, units) or tr("Bed") for n in _UNITS), tr("Verdicts"))
        rows = [self._cells(c, units) for c in self.rows]
        row = next((k for k, c in enumerate(self.rows) if c.place == self.tried), -1)
        self.table.fill(heads, rows, row, [self._words(c) for c in self.rows], [c.place for c in self.rows])
        self.table.setColumnHidden(_HOURS, all(c.hours is None for c in self.front))
        self.take_button.setEnabled(self.tried is not None)
        self._draw()

    def _cells(self, c: Candidate, units: str) -> tuple[str, ...]:
        return (
            self._short(c), shown(f"{c.cost:.2f}"), *(_number(c, n, units) for n in _UNITS), _verdicts(c),
        )  # fmt: skip

    def _short(self, c: Candidate) -> str:
        """Only what it has otherwise; the column is narrow."""
        assert self._asked is not None
        choices = zip(self._asked.space.choices, c.place, strict=True)
        said = [f"{choice.label} {option_words(self._asked.brief, choice.key, choice.options[k])}" for choice, k in choices
                if k != choice.present]  # fmt: skip
        return "; ".join(said) or self._words(c)

    def _words(self, c: Candidate) -> str:
        return "; ".join(c.changes) if c.changes else tr("as it was when the search began")

    def _draw(self) -> None:
        stand = self._stand
        if stand is None:
            return
        units, up = stand.brief.units, self.bar.up
        short = {"sway": tr("Sway"), "twist": tr("Twist"), "bed": tr("Bed"), "first_mode": tr("First")}
        self.plot.name_axes(stand.shop.currency, f"{short[up]} {_unit(up, units)}".strip())
        places = {c.place for c in self.rows}
        ordered = [*self.rows, *(c for p, c in self._seen.items() if p not in places)]
        dots, picked, scale = [], -1, _scale(up, units)
        for k, c in enumerate(ordered):
            kind = _kind(c) if k < len(self.rows) else BEATEN
            value = getattr(c, up)
            if value is None:
                continue
            if c.place == self.tried:
                picked = len(dots)
            words = f"{self._words(c)}, {shown(f'{c.cost:.2f}')} {stand.shop.currency}, {quantity(value, UPWARDS[up], units)}"
            dots.append((c.place, Dot(x=c.cost, y=value * scale, kind=kind, words=f"{words}, {_verdicts(c)}")))
        own = self._present if self._asked is not None else None
        if own is not None and getattr(own, up) is not None:
            dots.append((None, Dot(x=own.cost, y=getattr(own, up) * scale, kind=PRESENT, words=tr("the present stand"))))
        self._places = [p for p, _ in dots]
        self.plot.show_dots([d for _, d in dots], picked, coming=self.beside.busy)

    # -- hands -----------------------------------------------------------------------------------------

    def _picked(self, number: int) -> None:
        self._try(self._places[number] if number >= 0 else None)

    def _try(self, place: tuple[int, ...] | None) -> None:
        found = self._known(place)
        self.tried = found.place if found is not None else None
        row = next((k for k, c in enumerate(self.rows) if c.place == self.tried), -1)
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
        found = self._known(self.tried)
        if found is None or self._asked is None or self._stand is None:
            return
        brief = self._stand.brief
        choices = self._asked.space.choices
        pairs = [(c.key, c.options[k]) for c, k in zip(choices, found.place, strict=True)]
        # Another layout brings its own typical values: then all that varies is written, the layout first.
        pairs.sort(key=lambda pair: pair[0] != LAYOUT)
        every = found.brief.frame.layout != brief.frame.layout
        values: dict[str, Any] = {key: value for key, value in pairs if every or value_of(brief, key) != value}
        self._try(None)
        self.take.emit(values, tr("take a stand that was found"))


def _unit(name: str, units: str) -> str:
    return format_quantity(1.0, _UNITS[name], units)[1]


def _scale(name: str, units: str) -> float:
    """How many of the unit that is shown one of the core's is."""
    return float(format_quantity(1e6, _UNITS[name], units)[0]) / 1e6


def _number(c: Candidate, name: str, units: str) -> str:
    """A value without its unit, which stands in the head of the column."""
    value = getattr(c, name)
    return "–" if value is None else shown(format_quantity(value, _UNITS[name], units)[0])


def _kind(c: Candidate) -> str:
    return UNCHECKED if not c.checked else STOP if c.stops else LOOK if c.looks else GOOD


def _verdicts(c: Candidate) -> str:
    """What a stand says of its limits, by shape and word."""
    if not c.checked:
        missed = f", {len(c.stops)} {SHAPES[Verdict.STOP]} {Verdict.STOP.value}" if c.stops else ""
        return f"{_OPEN} not checked{missed}"
    said = [(Verdict.STOP, len(c.stops)), (Verdict.LOOK, len(c.looks))]
    told = ", ".join(f"{n} {SHAPES[v]} {v.value}" for v, n in said if n)
    return told or f"{SHAPES[Verdict.GOOD]} {Verdict.GOOD.value}"
