"""A table of stands that can be tried in the view and taken."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from app.panels.figures import tabular
from app.words import tr

LEAST = 150  # px of the first column


class TriedTable(QTableWidget):
    """Rows that can be tried: a click or an arrow key tries one, a second click or Enter takes it, Escape puts it away.

    The first column is as wide as its words where there is room, and the last takes what is left; ``widths`` of others, at
    least that of the last, else as wide as their words.

    Signals
    -------
    wanted(row) : try it
    taken(row) : take it
    dropped() : none is tried any more
    """

    wanted = Signal(int)
    taken = Signal(int)
    dropped = Signal()

    def __init__(self, columns: int, *, widths: dict[int, int] | None = None) -> None:
        super().__init__(0, columns)
        self.setHorizontalHeaderLabels([""] * columns)  # else numbers until there is something to show
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setAccessibleDescription(tr("Arrow keys try a row in the view, Enter takes it, Escape puts it away."))
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(24)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Fixed)
        head.setMinimumSectionSize(32)
        for column in range(1, columns):
            if widths and column in widths:
                self.setColumnWidth(column, widths[column])
            else:
                head.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        self._last = columns - 1
        self._least_last = (widths or {}).get(self._last, 0)
        self._words = LEAST  # px that the first column's words take
        head.sectionResized.connect(lambda column, _old, _new: self._widen() if 0 < column < self._last else None)
        self._again = -1  # the row that was tried before the mouse went down
        self._keys: tuple[Hashable, ...] = ()
        self.itemSelectionChanged.connect(self._selected)
        self.cellClicked.connect(self._clicked)
        self.cellDoubleClicked.connect(lambda row, _c: self.taken.emit(row))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """First and last column share what the others leave."""
        super().resizeEvent(event)
        self._widen()

    def _widen(self) -> None:
        head = self.horizontalHeader()
        room = self.viewport().width() - sum(head.sectionSize(c) for c in range(1, self._last))
        least = self._least_last or head.sectionSize(self._last)
        first = max(LEAST, min(room - least, self._words))
        head.resizeSection(0, first)
        if self._least_last:
            head.resizeSection(self._last, max(least, room - first))

    def row_tried(self) -> int:
        """Return the row that is selected, -1 for none."""
        rows = {i.row() for i in self.selectedIndexes()}
        return min(rows) if rows else -1

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on the row that is tried already is the second click."""
        row = self.rowAt(round(event.position().y()))
        self._again = row if row >= 0 and row == self.row_tried() else -1
        super().mousePressEvent(event)

    def event(self, event: QEvent) -> bool:
        """Home and End go to the first and last row here, whatever they do elsewhere in the window."""
        if event.type() == QEvent.Type.ShortcutOverride and event.key() in (Qt.Key.Key_Home, Qt.Key.Key_End):
            event.accept()
            return True
        return bool(super().event(event))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes what is tried, Escape puts it away."""
        key = event.key()
        if key in (Qt.Key.Key_Home, Qt.Key.Key_End) and self.rowCount():
            self.selectRow(0 if key == Qt.Key.Key_Home else self.rowCount() - 1)
            return
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.row_tried() >= 0:
            self.taken.emit(self.row_tried())
        elif key == Qt.Key.Key_Escape and self.row_tried() >= 0:
            self.clearSelection()
        else:
            super().keyPressEvent(event)

    def _selected(self) -> None:
        row = self.row_tried()
        if row >= 0:
            self.wanted.emit(row)
        else:
            self.dropped.emit()

    def _clicked(self, row: int, _column: int) -> None:
        if row == self._again:
            self._again = -1
            self.taken.emit(row)

    def fill(
        self, heads: Sequence[str], rows: Sequence[Sequence[str]], tried: int, tips: Sequence[str] | None = None,
        keys: Sequence[Hashable] = (),
    ) -> None:  # fmt: skip
        """Show these rows; ``tried`` stays tried without asking anybody, -1 for none; ``tips`` what each row is in full.

        ``keys`` name the rows: whichever the hand is at, the one that is tried or else the topmost in sight, stays where it
        is on the screen, however many come before it.
        """
        at, high = self._held()
        held = self._keys[at] if 0 <= at < len(self._keys) else None
        self._again = -1 if tuple(keys) != self._keys else self._again
        self._keys = tuple(keys)
        font = tabular(self.font())
        with QSignalBlocker(self):
            for c, text in enumerate(heads):
                head = self.horizontalHeaderItem(c) or QTableWidgetItem()
                head.setText(tr(text))
                if 0 < c < self._last:
                    head.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.setHorizontalHeaderItem(c, head)
            self.setRowCount(len(rows))
            for r, cells in enumerate(rows):
                for c, cell in enumerate(cells):
                    text = tr(cell)
                    item = self.item(r, c)
                    if item is None:
                        item = QTableWidgetItem()
                        item.setFont(font)
                        if 0 < c < self._last:
                            item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                        self.setItem(r, c, item)
                    if item.text() != text:
                        item.setText(text)
                    if item.toolTip() != (tip := text if c or tips is None else tr(tips[r])):
                        item.setToolTip(tip)
            if tried >= 0:
                self.selectRow(tried)
            else:
                self.clearSelection()
        metrics = self.fontMetrics()
        self._words = 20 + max((metrics.horizontalAdvance(tr(cells[0])) for cells in rows), default=LEAST)
        self._widen()
        if held is not None and held in self._keys:
            self.updateGeometries()
            bar, now = self.verticalScrollBar(), self._keys.index(held)
            bar.setValue(bar.value() + self.rowViewportPosition(now) - high)

    def _held(self) -> tuple[int, int]:
        """The row that must not move, and how high it is on the screen, px: -1 where the first rows are in sight untouched."""
        tried, bar = self.row_tried(), self.verticalScrollBar()
        if tried >= 0 and 0 <= self.rowViewportPosition(tried) < self.viewport().height():
            return tried, self.rowViewportPosition(tried)
        top = self.rowAt(0) if bar.value() > bar.minimum() else -1
        return top, self.rowViewportPosition(top) if top >= 0 else 0
