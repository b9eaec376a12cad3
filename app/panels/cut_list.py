"""The list of pieces, plates and what is bought by the piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFont
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from app.numbers import length
from app.panels.compared import row_words
from app.panels.figures import tabular
from app.theme import palette
from app.words import tr
from framecore.shop.differences import Row, row_changes
from framecore.shop.model import Bought, ShopPiece

if TYPE_CHECKING:
    from framecore.stand.model import Stand

COLUMNS = ("Mark", "Qty", "What", "Length", "Reference", "Ends or size")
CHANGE = 4  # the column that is there while a reference is kept


class CutList(QTableWidget):
    """One row a mark.

    Signals
    -------
    chosen(marks) : frozenset of the marks selected by the maker
    """

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.setHorizontalHeaderLabels([tr(c) for c in COLUMNS])
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(24)
        self.setShowGrid(False)
        self.setAccessibleName(tr("Cut list and bought parts"))
        self.setTabKeyNavigation(False)
        head = self.horizontalHeader()
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.setHighlightSections(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        head.setStretchLastSection(True)
        for column, width in enumerate((48, 40, 108, 76, 120)):
            self.setColumnWidth(column, width)
        self.setColumnHidden(CHANGE, True)
        self._font = self._struck = self.font()
        self._stand: Stand | None = None
        self._reference: Stand | None = None
        self._told: dict[int, tuple[object, ...]] = {}  # what each row shows
        self._own = 0  # rows of the present stand; those of the reference alone follow
        self._quiet = False
        self.itemSelectionChanged.connect(self._tell)

    def show_stand(self, stand: Stand) -> None:
        """Show the pieces, plates and bought parts of ``stand``; below them what only the reference has."""
        self._stand = stand
        units, shop = stand.brief.units, stand.shop
        changes = row_changes(shop, self._reference.shop) if self._reference is not None else None
        rows: list[Row] = [*shop.pieces, *shop.plates, *shop.bought]
        self._own = len(rows)
        self._font = tabular(self.font())
        self._struck = QFont(self._font)
        self._struck.setStrikeOut(True)
        gone = changes.gone if changes is not None else ()
        self._quiet = True
        if self.rowCount() != len(rows) + len(gone):
            self.setRowCount(len(rows) + len(gone))
        for r, row in enumerate([*rows, *gone]):
            said = tr("gone") if r >= self._own else row_words(changes.of.get(row.mark), units) if changes is not None else ""
            self._fill(r, _cells(row, units, said), _tip(row), gone=r >= self._own)
        self._quiet = False

    def _fill(self, r: int, cells: tuple[str, ...], tip: str, *, gone: bool) -> None:
        told = (cells, tip, gone, palette().faint)
        if self._told.get(r) == told and self.item(r, 0) is not None:
            return
        self._told[r] = told
        for c, text in enumerate(cells):
            said = text if c == CHANGE else tr(text)
            item = self.item(r, c)
            if item is None:
                item = QTableWidgetItem(said)
                item.setFont(self._font)
                if c in (1, 3):
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.setItem(r, c, item)
            elif item.text() != said:
                item.setText(said)
            if item.font().strikeOut() != (gone and c != CHANGE):
                item.setFont(self._struck if gone and c != CHANGE else self._font)
            brush = QBrush(QColor(palette().faint)) if gone else QBrush()
            if item.foreground() != brush:
                item.setForeground(brush)
            full = tr(tip or text) if c in (2, 5) else said
            if c in (2, CHANGE, 5) and item.toolTip() != full:
                item.setToolTip(full)

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with ``stand`` from now on."""
        self._reference = stand
        self.setColumnHidden(CHANGE, stand is None)
        if self._stand is not None:
            self.show_stand(self._stand)

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        if self._stand is not None:
            self.show_stand(self._stand)

    def marks(self) -> list[str]:
        """Return the marks in row order; not those of rows that only the reference has."""
        return [self.item(r, 0).text() for r in range(self._own)]

    def light(self, marks: frozenset[str]) -> None:
        """Select the rows of these marks without telling anybody."""
        self._quiet = True
        self.clearSelection()
        for row, mark in enumerate(self.marks()):
            if mark in marks:
                self.selectionModel().select(
                    self.model().index(row, 0),
                    QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows,
                )
                self.scrollToItem(self.item(row, 0))
        self._quiet = False

    def _tell(self) -> None:
        if not self._quiet:
            rows = {i.row() for i in self.selectedIndexes() if i.row() < self._own}
            self.chosen.emit(frozenset(self.item(r, 0).text() for r in rows))


def _cells(row: Row, units: str, change: str) -> tuple[str, ...]:
    if isinstance(row, ShopPiece):
        return row.mark, str(len(row.members)), row.profile.id, length(row.length, units), change, _cut(row, units)
    if isinstance(row, Bought):
        return row.mark, str(row.count), row.what, "", change, row.size
    size = f"{length(row.width, units)} wide, {length(row.thickness, units)} thick"
    return row.mark, str(len(row.names)), row.label, length(row.length, units), change, size


def _tip(row: Row) -> str:
    return "; ".join(t for t in (row.size, row.where, row.note) if t) if isinstance(row, Bought) else ""


def _cut(piece: ShopPiece, units: str) -> str:
    """How a piece is sawn: to which length, where its welds shrink it, and both ends."""
    first, second = piece.ends
    ends = f"both {first}" if first == second else f"{first}; {second}"
    return f"{ends}; saw to {length(piece.sawn, units)}" if piece.longer else ends
