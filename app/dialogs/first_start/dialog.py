"""One page: the kind of machine, the few numbers only the maker knows, and the stand they give beside them."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.first_start.kinds import KindPicker
from app.dialogs.first_start.pattern_editor import PatternEditor
from app.dialogs.first_start.room import BESIDE, room_for
from app.dialogs.sizes import open_at
from app.document import Document
from app.inputs.fields import keys
from app.inputs.row import Row
from app.live import STALE, Live
from app.numbers import length, quantity
from app.view3d import StandView
from app.view3d.written import written
from app.words import tr
from framecore.brief import BriefSource, default_for
from framecore.errors import Finding, Severity
from framecore.units import parse_length

# What is asked: heading -> keys. All other values are typical until somebody wants to see them.
ASKED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("", ("units",)),
    ("The machine, from its manual", ("machine.mass", "machine.holes", "machine.work_line")),
    ("You", ("operator.elbow", "operator.stature")),
    ("The stand and its floor", ("floor.kind", "frame.length", "frame.depth")),
)
# Keys that mean nothing for a kind.
NOT_ASKED = {
    "workbench": frozenset({"machine.mass", "machine.holes", "machine.work_line"}),
    "surface plate": frozenset({"machine.holes"}),
}
# What belongs to the machine goes when another kind is chosen; what belongs to maker and floor stays.
KEPT = ("units", "operator.elbow", "operator.stature", "floor.kind")
WIDTH, HEIGHT = 1040, 700
BOTH = 800  # px of width that questions and picture take together


def _first(kind: str) -> BriefSource:
    """A brief of this kind, its title in the language that is spoken; in inches where the system measures so."""
    source = BriefSource.new(kind)
    title = source.value("title")
    if tr(title) != title:
        source = source.with_value("title", str(tr(title)))
    inches = QLocale().measurementSystem() == QLocale.MeasurementSystem.ImperialUSSystem
    return source.with_value("units", "inch") if inches else source


class FirstStart(QDialog):
    """Ends with ``source``: a brief that holds what was told and nothing else.

    Parameters
    ----------
    away : what the button says that leaves without a new stand
    again : None, or whether the question comes at the next start too; shown as a box to tick
    """

    def __init__(self, parent: QWidget | None = None, *, away: str, again: bool | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("A new stand"))
        self.document = Document(_first("lathe"), parent=self)
        self.live = Live(self.document, self)
        self.picker = KindPicker("lathe")
        self.view = StandView()
        self.view.setAccessibleName(tr("The stand as it is so far"))
        self.view.setMinimumSize(200, 180)
        self.facts = QLabel()
        self.facts.setWordWrap(True)
        self.facts.setTextFormat(Qt.TextFormat.PlainText)
        self.rows: dict[str, Row] = {}
        self._grown: dict[str, Any] = {}  # what the holes made of length and depth
        self.heads: dict[str, QLabel] = {}
        self.make = QPushButton(tr("&Make this stand"))
        self.leave = QPushButton(away)
        self.again = QCheckBox(tr("Ask at the next start without a file"))
        self.again.setChecked(bool(again))
        self.again.setVisible(again is not None)
        self._lay_out()
        self.picker.chosen.connect(self._kind)
        holes = self.rows["machine.holes"]
        holes.editor.typed.connect(lambda _holes: self._make_room())
        holes.mark.clicked.connect(self._make_room)
        self.document.changed.connect(self._refresh)
        self.live.ready.connect(self._show)
        self.live.told.connect(self._tell)
        self.make.clicked.connect(self._finish)
        self.leave.clicked.connect(self.reject)
        self._refresh()
        self.live.flush()

    @property
    def source(self) -> BriefSource:
        """The brief with what was told."""
        return self.document.source

    # -- layout ----------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        head = QLabel(tr("What stands on it?"))
        head.setObjectName("heading")
        head.setBuddy(self.picker)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        known = {k.path: k for k in keys()}
        for title, paths in ASKED:
            if title:
                label = self.heads[title] = QLabel(tr(title))
                label.setObjectName("heading")
                label.setContentsMargins(14, 8, 0, 2)
                column.addWidget(label)
            for path in paths:
                editor = PatternEditor(self._usual_holes) if path == "machine.holes" else None
                row = self.rows[path] = Row(known[path], self.document, editor)
                column.addWidget(row)
        column.addStretch(1)
        inner = QWidget()
        inner.setObjectName("plain")
        inner.setLayout(column)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inner)
        scroll.setMinimumWidth(max(410, inner.minimumSizeHint().width() + scroll.verticalScrollBar().sizeHint().width()))
        self._scroll = scroll
        hint = QLabel(tr("Typical values nobody has told yet: leave them or write over them. All can be changed later."))
        hint.setWordWrap(True)
        hint.setObjectName("unit")
        hint.setContentsMargins(14, 4, 0, 0)
        left = QVBoxLayout()
        left.addWidget(scroll, 1)
        left.addWidget(hint)
        self.beside = QWidget()
        right = QVBoxLayout(self.beside)
        right.setContentsMargins(0, 0, 0, 0)
        right.addWidget(self.view, 1)
        right.addWidget(self.facts)
        body = QHBoxLayout()
        body.setSpacing(14)
        body.addLayout(left)
        body.addWidget(self.beside, 1)
        for button in (self.make, self.leave):
            button.setAutoDefault(False)
        self.make.setDefault(True)
        foot = QHBoxLayout()
        foot.addWidget(self.again)
        foot.addStretch(1)
        foot.addWidget(self.leave)
        foot.addWidget(self.make)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.setSpacing(10)
        page.addWidget(head)
        page.addWidget(self.picker)
        page.addLayout(body, 1)
        page.addLayout(foot)
        open_at(self, WIDTH, HEIGHT)
        self.picker.focus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A screen too narrow for both shows the questions and leaves the picture out."""
        super().resizeEvent(event)
        self.beside.setVisible(event.size().width() >= BOTH)

    # -- what is told ----------------------------------------------------------------------------------

    def _usual_holes(self) -> Any:
        return default_for("machine.holes", self.picker.kind) or ()

    def _kind(self, kind: str) -> None:
        source = _first(kind)
        for path in KEPT:
            told = self.document.source.value(path)
            if told is not None:
                source = source.with_value(path, told)
        self.document.replace(source, None)
        self.live.flush()
        self.view.fit()

    def _make_room(self) -> None:
        """Let length and depth follow the holes where they need more than is typical; what the maker told stays."""
        source, brief = self.document.source, self.document.reading.brief
        if brief is None:
            return
        for path in BESIDE:
            told = source.value(path)
            if told is not None and told != self._grown.get(path):
                continue
            usual = default_for(path, self.picker.kind, None, brief.units)
            room = room_for(brief, path)
            enough = room <= (parse_length(usual, brief.units) if isinstance(usual, str) else usual)
            self._grown[path] = None if enough else written(room, brief.units)
            self.document.edit(path, self._grown[path])

    def _refresh(self) -> None:
        hidden = NOT_ASKED.get(self.picker.kind, frozenset())
        for path, row in self.rows.items():
            row.refresh()
            row.setVisible(path not in hidden)
        for title, paths in ASKED:
            if title:
                self.heads[title].setVisible(not set(paths) <= hidden)

    def _show(self, stand: Any, _moving: bool) -> None:
        self.view.set_stand(stand)
        self.view.fit()  # the stand grows and shrinks with the answers
        units = stand.brief.units
        mass = stand.figures.at_hand["mass.frame"]
        self.facts.setText(
            tr("Seat {seat} above the floor, hands at {hands}; frame {mass}.",
               seat=length(stand.frame.seat, units), hands=length(stand.frame.seat + stand.brief.machine.work_line, units),
               mass=quantity(mass.value, mass.unit, units))
        )  # fmt: skip

    def _tell(self, findings: tuple[Finding, ...], stale: bool) -> None:
        first: dict[str, Finding] = {}
        for finding in findings:
            if finding.severity is Severity.STOP:
                first.setdefault(finding.field, finding)
        for path, row in self.rows.items():
            row.show_finding(first.get(path))
        loose = [f.message for name, f in first.items() if name not in self.rows or self.rows[name].isHidden()]
        if stale:
            self.facts.setText(f"■ {tr(loose[0] if loose else STALE)}")

    # -- keys ------------------------------------------------------------------------------------------

    def _steps(self) -> list[QWidget]:
        """Where Enter stops on its way down the page."""
        fields = [self.rows[p].editor for _, paths in ASKED for p in paths if not self.rows[p].isHidden()]
        return [self.picker, *fields, self.make]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the next question, and from the last one to the stand; with Ctrl at once."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
            return
        steps = self._steps()
        here = QApplication.focusWidget()
        at = next((k for k, s in enumerate(steps) if here is not None and (s is here or s.isAncestorOf(here))), -1)
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier or at >= len(steps) - 1:
            self._finish()
        elif here is self.leave:
            self.reject()
        else:
            self._go(steps[at + 1])

    def _go(self, step: QWidget) -> None:
        step.setFocus(Qt.FocusReason.TabFocusReason)
        self._scroll.ensureWidgetVisible(step)

    def _finish(self) -> None:
        # A number that was typed and not yet left is told too.
        here = QApplication.focusWidget()
        if here is not None:
            here.clearFocus()
        self.live.flush()
        if not self.live.stale:
            self.accept()
            return
        # Not without a word: where something is wrong is where the maker goes on.
        wrong = next((row.editor for row in self.rows.values() if row.told_stop and not row.isHidden()), here)
        if wrong is not None:
            self._go(wrong)
