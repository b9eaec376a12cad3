"""What should be read after the moves, and how the next reading compares while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.levelling.field import Said
from app.dialogs.levelling.reading import both_ways, tilt_words
from app.numbers import plain
from app.theme import palette
from app.words import tr, understood
from framecore.errors import UnitError
from framecore.seat.answer import BEARING, DONE, LEVEL, seen
from framecore.seat.level import twist_of
from framecore.seat.readings import Level, StationReading

if TYPE_CHECKING:
    from framecore.seat.answer import Answer

COLUMNS = ("Station", "should read\nas laid", "should read\nturned", "you read\nas laid", "you read\nturned", "as told?")


class ThenTable(QWidget):
    """One row a station; the last column is a tick or the difference.

    Signals
    -------
    taken(rows) : the next readings become the question: (station, as laid, turned) as typed
    """

    taken = Signal(list)

    def __init__(self, inch: bool) -> None:
        super().__init__()
        self._inch = inch
        self.told: Answer | None = None
        self.table = QTableWidget(0, len(COLUMNS))
        self.table.setHorizontalHeaderLabels([tr(c) for c in COLUMNS])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().hide()
        self.table.setAccessibleName(tr("What you should read then, and what you read"))
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.said = Said()
        self.go_on = QPushButton(tr("Go on with these readings"))
        self.go_on.setAutoDefault(False)
        self.go_on.clicked.connect(lambda: self.taken.emit(self.rows()))
        row = QHBoxLayout()
        row.addWidget(self.words, 1)
        row.addWidget(self.go_on)
        page = QVBoxLayout(self)
        page.setContentsMargins(8, 8, 8, 8)
        page.setSpacing(6)
        page.addWidget(self.table, 1)
        page.addWidget(self.said)
        page.addLayout(row)
        self.table.itemChanged.connect(lambda _item: self._compare())
        self.show_answer(None)

    def show_answer(self, told: Answer | None) -> None:
        """Show what this answer promises; nothing typed is kept, it belonged to the answer before."""
        self.told = told
        expected = told.expected if told else ()
        level = told.question.level if told else Level()
        self.table.blockSignals(True)
        self.table.setRowCount(len(expected))
        for r, e in enumerate(expected):
            both = told is not None and told.zero is not None
            texts = (e.name, tilt_words(e.laid, level, self._inch), tilt_words(e.turned, level, self._inch) if both else "")
            for c in range(len(COLUMNS)):
                item = QTableWidgetItem(tr(texts[c]) if c < 3 else "")
                if c not in (3, 4):
                    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                self.table.setItem(r, c, item)
        self.table.blockSignals(False)
        self.table.setColumnHidden(2, told is None or told.zero is None)
        self.table.setVisible(bool(expected))
        self.go_on.setVisible(bool(expected))
        self._compare()

    def rows(self) -> list[tuple[str, str, str]]:
        """Station, as the program knows it, and the two readings of every row as typed."""
        names = [e.name for e in self.told.expected] if self.told is not None else []
        read = [[understood(self.table.item(r, c).text().strip(), "div") for c in (3, 4)] for r in range(len(names))]
        return [(name, laid, turned) for name, (laid, turned) in zip(names, read, strict=True)]

    def stations(self) -> tuple[StationReading, ...]:
        """Return the next readings as far as they are typed; raises UnitError."""
        assert self.told is not None
        found = []
        for e, (name, laid, turned) in zip(self.told.expected, self.rows(), strict=True):
            if laid or turned:
                try:
                    tilt = both_ways(plain(laid), plain(turned), self.told.question.level)
                except UnitError as fault:
                    raise UnitError(f"{name}: {fault}") from fault
                found.append(
                    StationReading(name=name, x=e.x, value=tilt.value, within=tilt.within, zero=None, typed=tilt.typed)
                )
        return tuple(found)

    def _compare(self) -> None:
        if self.told is None or not self.told.expected:
            self.words.setText(tr(self._nothing()))
            self.said.say("")
            return
        try:
            stations, fault = self.stations(), ""
        except UnitError as wrong:
            stations, fault = (), str(wrong)
        self.said.say(fault)
        self.table.setAccessibleDescription(tr(fault))
        found = {s.name: s for s in seen(self.told, stations)}
        level = self.told.question.level
        self.table.blockSignals(True)
        for r in range(self.table.rowCount()):
            now = found.get(self.told.expected[r].name)
            text = "" if now is None else "✓ as told" if now.well else f"{tilt_words(now.off, level, self._inch)} off"
            item = self.table.item(r, 5)
            item.setText(tr(text))
            colour = None if now is None else QColor(palette().good if now.well else palette().look)
            item.setData(Qt.ItemDataRole.ForegroundRole, colour)
        self.table.blockSignals(False)
        whole = len(stations) == len(self.told.expected)
        self.go_on.setEnabled(whole and not fault)
        self.words.setText(tr(self._twist(stations) if whole else "Turn, wait a little, read again, and type it here."))

    def _nothing(self) -> str:
        if self.told is None:
            return "Answer the step first."
        if self.told.taper_after is not None:
            return (
                f"Then turn both collars again at one setting of the tool: the free one should come out "
                f"{self.told.taper_after:+.4f} mm larger than the one at the chuck, which is what the bar bends for."
            )
        return {BEARING: "Then try every foot by hand again.", DONE: "Nothing more: draw the bolts tight and read once more, "
                "and again after a week."}.get(self.told.stage, "Nothing is to be read for this answer.")  # fmt: skip

    def _twist(self, stations: tuple[StationReading, ...]) -> str:
        assert self.told is not None
        if self.told.stage == LEVEL or len(stations) < 2:
            return "Then work it out again."
        twist = twist_of(stations)[0]
        worst = float(twist[abs(twist).argmax()])
        limit = self.told.advice.tolerance
        mark = "✓ within" if abs(worst) <= limit else "▲ more than"
        return (
            f"Twist now {worst:+.3f} mm/m, {mark} {limit:g} mm/m. The whole machine rolls a little too: the difference "
            "from station to station is what counts."
        )
