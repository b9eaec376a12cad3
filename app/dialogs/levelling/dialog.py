"""Levelling, guided: all feet bearing, level enough, then the twist out of the bed; which screw, which way, how far."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.levelling.asking import ONLY_READING, ask_path, ask_take_out
from app.dialogs.levelling.enough import EnoughPage
from app.dialogs.levelling.feet import FeetPage
from app.dialogs.levelling.machine import SHEET_SUFFIX, Machine, sentence_of
from app.dialogs.levelling.pages import Pages
from app.dialogs.levelling.plan import PlanPicture
from app.dialogs.levelling.rounds import RoundsPanel
from app.dialogs.levelling.steps import LOOK, WELL, StepsRow
from app.dialogs.levelling.then import ThenTable
from app.dialogs.levelling.told import told_in_words
from app.dialogs.levelling.twist import TwistPage
from app.dialogs.sizes import open_at
from app.theme import palette
from app.words import tr
from framecore.errors import FramecoreError
from framecore.seat.answer import BEARING, DONE, ELSEWHERE, LEVEL, READ, TWIST, Answer, Question
from framecore.seat.influence import FOOT

if TYPE_CHECKING:
    from app.document import Document
    from app.live import Live


class LevelDialog(QDialog):
    """Three steps, one question each; the plan shows what to turn, the table below what should be read then.

    Parameters
    ----------
    save_brief : saves the brief, asking for a name; True when it has a file then
    """

    def __init__(
        self, live: Live, document: Document, parent: QWidget | None = None, *, save_brief: Callable[[], bool] | None = None
    ) -> None:
        self._tone = ""  # a change of style may come before there is a headline
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Level the machine"))
        open_at(self, 1180, 780)
        assert live.stand is not None
        self._live, self._document = live, document
        self._save_brief = save_brief or getattr(parent, "save", lambda: False)
        self.ask_take_out: Callable[[QWidget, int], str] = ask_take_out
        self.ask_path: Callable[[QWidget, str], str] = ask_path
        self.machine = Machine(live.stand, document)
        self.told: Answer | None = None
        brief = live.stand.brief
        self.feet = FeetPage(self.machine.feet)
        self.enough = EnoughPage(self.machine.inch)
        screws = self.machine.screws
        self.twist = TwistPage(self.machine.length, brief.units, brief.limits.bed_twist, screws=screws.kind != FOOT)
        self.steps = StepsRow()
        self.steps.buttons[2].setEnabled(bool(screws.length))
        if not screws.length:
            self.steps.buttons[2].setToolTip(tr("This machine stands on no two rows of mounts: no screw twists a bed"))
        self.plan = PlanPicture(live.stand, self.machine.feet)
        self.then = ThenTable(self.machine.inch)
        self.rounds = RoundsPanel(brief.limits.bed_twist)
        self._lay_out()
        self._connect()
        self.show_rounds()
        self.go(1)

    # -- laid out ----------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.headline = QLabel()
        self.headline.setWordWrap(True)
        self.headline.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.pages = Pages(self.feet, self.enough, self.twist)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(self.pages)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the fields inside take the keys
        self.work = QPushButton(tr("What to turn"))
        self.work.setDefault(True)
        self.answer = QPlainTextEdit()
        self.answer.setReadOnly(True)
        self.answer.setTabChangesFocus(True)
        self.answer.setAccessibleName(tr("The answer in words"))
        self.answer.setPlaceholderText(tr("Which screw, which way and how far, in words."))
        self.answer.setMinimumHeight(70)
        left = QSplitter(Qt.Orientation.Vertical)
        left.setChildrenCollapsible(False)
        top = QWidget()
        inner = QVBoxLayout(top)
        inner.setContentsMargins(0, 0, 8, 6)
        inner.addWidget(scroll, 1)
        inner.addWidget(self.work)
        left.addWidget(top)
        left.addWidget(self.answer)
        left.setSizes([460, 170])
        self.below = QTabWidget()
        self.below.setAccessibleName(tr("Readings to come and rounds so far"))
        self.below.addTab(self.then, tr("What you should read then"))
        self.below.addTab(self.rounds, tr("Rounds so far"))
        right = QSplitter(Qt.Orientation.Vertical)
        right.setChildrenCollapsible(False)
        right.addWidget(self.plan)
        right.addWidget(self.below)
        right.setSizes([400, 230])
        middle = QSplitter()
        middle.setChildrenCollapsible(False)
        middle.setHandleWidth(6)
        middle.addWidget(left)
        middle.addWidget(right)
        middle.setStretchFactor(1, 1)
        middle.setSizes([400, 760])
        self.keep = QPushButton(tr("Keep this round"))
        self.keep.setToolTip(tr("Beside the brief; the next answer uses what this round taught"))
        self.sheet = QPushButton(tr("Record sheet …"))
        self.sheet.setToolTip(tr("A sheet to fill in at the machine"))
        close = QPushButton(tr("Close"))
        close.clicked.connect(self.reject)
        self.told_below = QLabel()
        self.told_below.setWordWrap(True)
        row = QHBoxLayout()
        row.addWidget(self.keep)
        row.addWidget(self.sheet)
        row.addWidget(self.told_below, 1)
        row.addWidget(close)
        for button in (self.keep, self.sheet, close):
            button.setAutoDefault(False)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 12, 14, 12)
        page.setSpacing(8)
        page.addWidget(self.steps)
        page.addWidget(self.headline)
        page.addWidget(middle, 1)
        page.addLayout(row)

    def _connect(self) -> None:
        self.steps.chosen.connect(self.go)
        self.work.clicked.connect(self.work_out)
        self.keep.clicked.connect(self.keep_round)
        self.sheet.clicked.connect(self.write_sheet)
        self.then.taken.connect(self.go_on)
        self.rounds.take_out.connect(self.take_out)
        self.rounds.save.connect(self.save_brief)
        for page in (self.feet, self.enough, self.twist):
            page.changed.connect(self._asked_anew)
        for page in (self.enough, self.twist):
            page.entered.connect(self.work_out)

    # -- the steps ---------------------------------------------------------------------------------------

    def go(self, step: int) -> None:
        """Open a step."""
        self.steps.go(step)
        self.pages.open(step - 1)
        self.work.setText(tr(("Do all feet bear?", "Level enough?", "What to turn")[step - 1]))
        self._asked_anew()
        first = (next(iter(self.feet.boxes.values())), self.enough.fields["across.laid"], self.twist.worth)[step - 1]
        first.setFocus()

    def _asked_anew(self) -> None:
        """The answer shown belongs to another question now."""
        self._show(None)
        self._say(self._waiting(), "soft")

    def _waiting(self) -> str:
        return (
            "First all feet must bear. Try each by hand.",
            "Now level enough. Lay a level across the bed and along it.",
            "Now the twist. Read across the bed at two places or more, or turn two collars.",
        )[self.steps.step - 1]

    def question(self) -> Question:
        """Return what the open step asks; raises UnitError with one sentence."""
        page = (self.feet, self.enough, self.twist)[self.steps.step - 1]
        return page.question(self.machine)

    def work_out(self) -> None:
        """Answer the open step, or say what is missing."""
        self._stand_now()
        step = self.steps.step
        try:
            told = self.machine.ask(self.question())
        except (FramecoreError, OSError) as fault:
            self._show(None)
            self._say(f"▲ {sentence_of(fault)}", "look")
            return
        for k in range(1, min(told.step, step)):  # what asked for a move is behind; a step nobody asked stays open
            if self.steps.marks[k - 1] == LOOK:
                self.steps.mark(k, WELL)
        well = told.stage in (READ, DONE)
        self.steps.mark(told.step if not well else step, WELL if well else LOOK)
        if well and step < 3 and self.machine.screws.length:
            self.go(step + 1)
            self._say(f"✓ {'All feet bear.' if step == 1 else 'Level enough.'} {self._waiting()}", "good")
            return
        if well and step == 1:
            self.go(2)
            return
        self._show(told)
        if told.stage == ELSEWHERE:
            self._say(f"▲ {told.headline.rstrip('.')}: {', '.join(told.causes)}.", "look")
        elif told.stage == DONE:
            self._say(f"✓ {told.headline}", "good")
        else:
            self._say(f"→ {told.headline}", "ink")

    def _stand_now(self) -> None:
        """Take the stand as the brief has it by now; what was typed stays."""
        stand, old = self._live.stand, self.machine
        if stand is None or stand is old.stand:
            return
        self.machine = Machine(stand, self._document)
        self.machine.kept = old.kept
        self.plan.show_stand(stand, self.machine.feet)
        if self.machine.feet.names != old.feet.names:
            page = FeetPage(self.machine.feet)
            page.changed.connect(self._asked_anew)
            self.pages.exchange(0, page)
            self.feet = page

    def _show(self, told: Answer | None) -> None:
        self.told = told
        on_feet = self.steps.step < 3 or (told is not None and told.stage in (BEARING, LEVEL))
        screws = self.machine.feet if on_feet else self.machine.screws
        self.plan.show_answer(screws, told, told.question.stations if told else ())
        self.then.show_answer(told)
        self.answer.setPlainText("\n".join(told_in_words(told)) if told else "")
        can = told is not None and bool(told.question.stations) and told.stage in (TWIST, DONE, ELSEWHERE)
        self.keep.setEnabled(can and self.machine.record is not None)
        hint = "Keep this round before you turn, and the next answer learns from it."
        if can and self.machine.record is None:
            hint = "Rounds are kept beside the brief: save it first, under Rounds so far."
        self.told_below.setText(tr(hint) if can else "")
        if told is not None and told.expected:
            self.below.setCurrentIndex(0)

    def _say(self, words: str, tone: str) -> None:
        self._tone = tone
        self.headline.setText(tr(words))
        self.headline.setStyleSheet(f"color: {getattr(palette(), tone)}; font-weight: bold;")
        self.headline.setAccessibleName(tr(words))

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark were exchanged: what carries its own colours takes the new ones."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange and self._tone:
            self.steps.show_marks()
            self._say(self.headline.text(), self._tone)

    def go_on(self, rows: list[tuple[str, str, str]]) -> None:
        """Take the next readings as the question and answer it."""
        told = self.told
        self.machine.kept = None
        if told is not None and told.step == 2 and told.question.across is not None:
            for name, laid, turned in rows:
                self.enough.fields[f"{name}.laid"].set_text(laid)
                self.enough.fields[f"{name}.turned"].set_text(turned)
            self.enough.fields["along.laid"].set_text("")
            self.enough.fields["along.turned"].set_text("")
        else:
            self.twist.stations.fill(rows)
        self.work_out()

    # -- the record --------------------------------------------------------------------------------------

    def show_rounds(self) -> None:
        """Read the record anew."""
        rounds, fault = (), ""
        try:
            rounds = self.machine.rounds()
        except (FramecoreError, OSError) as wrong:
            fault = sentence_of(wrong)
        record = self.machine.record
        limit = self.machine.stand.brief.limits.bed_twist
        self.rounds.show_rounds(rounds, limit, file=record.name if record else "", fault=fault)
        self.below.setTabText(1, tr(f"Rounds so far ({len(rounds)})" if rounds else "Rounds so far"))

    def keep_round(self) -> None:
        """Write the round shown into the record."""
        if self.told is None or self.machine.record is None:
            return
        try:
            self.machine.keep(self.told)
        except (FramecoreError, OSError) as fault:
            self._say(f"▲ {sentence_of(fault)}", "look")
            return
        self.keep.setEnabled(False)
        self.told_below.setText(tr(f"✓ Kept in {self.machine.record.name}. Now turn, and read again."))
        self.show_rounds()

    def take_out(self, index: int) -> None:
        """Take a round out of the record, asking first."""
        if index < 0:
            return
        what = self.ask_take_out(self, index + 1)
        if not what:
            return
        try:
            self.machine.take_out(index, turned=what == ONLY_READING)
        except (FramecoreError, OSError) as fault:
            self._say(f"▲ {sentence_of(fault)}", "look")
            return
        self._asked_anew()
        self.show_rounds()

    def save_brief(self) -> None:
        """Save the brief, so that rounds have a place."""
        self._save_brief()
        self._show(self.told)
        self.show_rounds()

    def write_sheet(self) -> None:
        """Write the sheet to fill in where it is wanted."""
        stem = self._document.path.stem if self._document.path else "stand"
        folder = self._document.path.parent if self._document.path else Path.home()
        chosen = self.ask_path(self, str(folder / f"{stem}-levelling{SHEET_SUFFIX}"))
        if not chosen:
            return
        try:
            self.machine.write_sheet(Path(chosen))
        except OSError as fault:
            self._say(f"▲ The sheet could not be written: {fault.strerror or fault}.", "look")
            return
        self.told_below.setText(tr(f"✓ {Path(chosen).name} is written."))
