"""Step 3: the table of stations along the bed, each read as laid and turned end for end."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.levelling.field import Said
from app.numbers import plain
from app.theme import palette
from app.words import tr, understood
from framecore.errors import UnitError
from framecore.seat.readings import Level, StationReading, in_order, parse_station, parse_tilt

COLUMNS = ("Station", "As laid", "Turned end for end")
FIRST = ("left", "middle", "right")


class StationTable(QWidget):
    """Rows of station and two readings; what cannot be read stays as typed, with one sentence below.

    Signals
    -------
    changed() : a cell was typed in

    Parameters
    ----------
    level : what reads the divisions; raises UnitError
    length : between the end rows of mounts, mm; ``units`` of the brief
    """

    changed = Signal()

    def __init__(self, level: Callable[[], Level], length: float, units: str) -> None:
        super().__init__()
        self._level, self._length, self._units = level, length, units
        self.table = QTableWidget(0, len(COLUMNS))
        self.table.setHorizontalHeaderLabels([tr(c) for c in COLUMNS])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().hide()
        self.table.setAccessibleName(tr("Readings across the bed, one row a station"))
        self.table.setTabKeyNavigation(True)
        self.table.verticalHeader().setDefaultSectionSize(27)
        self.table.setFixedHeight(27 * 4 + 30)
        self.said = Said()
        more, less = QPushButton(tr("Add a station")), QPushButton(tr("Take it out"))
        more.setToolTip(tr("left, middle, right, or a distance from the left-hand mounts such as 250 mm"))
        for button in (more, less):
            button.setAutoDefault(False)
        more.clicked.connect(self._add)
        less.clicked.connect(self._take_out)
        row = QHBoxLayout()
        row.addWidget(more)
        row.addWidget(less)
        row.addStretch(1)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(6)
        page.addWidget(self.table)
        page.addWidget(self.said)
        page.addLayout(row)
        self.fill([(name, "", "") for name in FIRST])
        self.table.itemChanged.connect(lambda _item: self._typed())

    def fill(self, rows: Sequence[tuple[str, str, str]]) -> None:
        """Show these rows instead."""
        self.table.blockSignals(True)
        self.table.setRowCount(0)
        for row in rows:
            self._append(row)
        self.table.blockSignals(False)
        self._typed()

    def _append(self, row: tuple[str, str, str]) -> None:
        k = self.table.rowCount()
        self.table.insertRow(k)
        for column, text in enumerate(row):
            self.table.setItem(k, column, QTableWidgetItem(tr(text) if column == 0 else text))

    def _add(self) -> None:
        # A row is looked at when it is whole, not cell by cell as it comes.
        self.table.blockSignals(True)
        self._append(("", "", ""))
        self.table.blockSignals(False)
        self.table.setCurrentCell(self.table.rowCount() - 1, 0)
        self.table.editItem(self.table.item(self.table.rowCount() - 1, 0))

    def _take_out(self) -> None:
        if self.table.currentRow() >= 0:
            self.table.removeRow(self.table.currentRow())
            self._typed()

    def rows(self) -> list[tuple[str, str, str]]:
        """Every row as typed, words of places and of divisions as the program knows them."""
        cells = [[self.table.item(r, c) for c in range(3)] for r in range(self.table.rowCount())]
        read = ([understood(i.text().strip(), *FIRST, "div") if i else "" for i in row] for row in cells)
        return [(name, laid, turned) for name, laid, turned in read]

    def _typed(self) -> None:
        self.look_again()
        self.changed.emit()

    def look_again(self) -> None:
        """Mark the cells that cannot be read; the first of them is said below."""
        sentence = ""
        self.table.blockSignals(True)
        for r, row in enumerate(self.rows()):
            wrong = self._wrong(row)
            for c in range(3):
                item = self.table.item(r, c)
                bad = wrong is not None and wrong[0] == c
                item.setData(Qt.ItemDataRole.ForegroundRole, QColor(palette().look) if bad else None)
                item.setToolTip(tr(wrong[1]) if bad and wrong else "")
            if wrong is not None and not sentence:
                sentence = f"Row {r + 1}, {COLUMNS[wrong[0]].lower()}: {wrong[1]}"
        self.table.blockSignals(False)
        self.said.say(sentence)
        self.table.setAccessibleDescription(tr(sentence))

    def _wrong(self, row: tuple[str, str, str]) -> tuple[int, str] | None:
        """Column and sentence of the first cell of a row that cannot be read."""
        name, laid, turned = row
        try:
            level = self._level()
        except UnitError:
            level = Level(division=0.02)  # the sensitivity's own sentence says what is wrong with it
        for column, text in ((1, laid), (2, turned)):
            try:
                if text:
                    parse_tilt(plain(text), level)
            except UnitError as fault:
                return column, str(fault)
        if turned and not laid:
            return 1, "give the reading as laid too; the turned one alone holds the level's own error."
        if (laid or turned) and not name:
            return 0, "say where: left, middle, right, or a distance from the left-hand mounts."
        if name:
            try:
                parse_station(f"{plain(name)}: 0 mm/m", level, self._length, self._units)
            except UnitError as fault:
                return 0, str(fault)
        return None

    def stations(self) -> tuple[StationReading, ...]:
        """Return the readings from left to right, none where nothing was typed; raises UnitError."""
        level = self._level()
        found = []
        for r, row in enumerate(self.rows()):
            if not (row[1] or row[2]):
                continue
            wrong = self._wrong(row)
            if wrong is not None:
                raise UnitError(f"Row {r + 1}, {COLUMNS[wrong[0]].lower()}: {wrong[1]}")
            text = f"{plain(row[0])}: {', '.join(plain(t) for t in row[1:] if t)}"
            found.append(parse_station(text, level, self._length, self._units))
        return in_order(found) if found else ()
