"""The list of pieces, plates and what is bought by the piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from app.numbers import length
from app.panels.figures import tabular
from app.words import tr

if TYPE_CHECKING:
    from framecore.shop.model import ShopPiece
    from framecore.stand.model import Stand

COLUMNS = ("Mark", "Qty", "What", "Length", "Ends or size")


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
        for column, width in enumerate((48, 40, 108, 76)):
            self.setColumnWidth(column, width)
        self._quiet = False
        self.itemSelectionChanged.connect(self._tell)

    def show_stand(self, stand: Stand) -> None:
        """Show the pieces, plates and bought parts of ``stand``."""
        units = stand.brief.units
        rows = [
            (p.mark, str(len(p.members)), p.profile.id, length(p.length, units), _cut(p, units))
            for p in stand.shop.pieces
        ]
        rows += [
            (
                p.mark,
                str(len(p.names)),
                p.label,
                length(p.length, units),
                f"{length(p.width, units)} wide, {length(p.thickness, units)} thick",
            )
            for p in stand.shop.plates
        ]
        rows += [(b.mark, str(b.count), b.what, "", b.size) for b in stand.shop.bought]
        tips = [""] * (len(rows) - len(stand.shop.bought))
        tips += ["; ".join(t for t in (b.size, b.where, b.note) if t) for b in stand.shop.bought]
        self._quiet = True
        if self.rowCount() != len(rows):
            self.setRowCount(len(rows))
        font = tabular(self.font())
        for r, cells in enumerate(rows):
            for c, text in enumerate(cells):
                item = self.item(r, c)
                if item is None:
                    item = QTableWidgetItem(tr(text))
                    item.setFont(font)
                    if c in (1, 3):
                        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                    self.setItem(r, c, item)
                elif item.text() != text:
                    item.setText(tr(text))
                tip = tips[r] or text
                if c in (2, 4) and item.toolTip() != tip:
                    item.setToolTip(tr(tip))
        self._quiet = False

    def marks(self) -> list[str]:
        """Return the marks in row order."""
        return [self.item(r, 0).text() for r in range(self.rowCount())]

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
            rows = {i.row() for i in self.selectedIndexes()}
            self.chosen.emit(frozenset(self.item(r, 0).text() for r in rows))


def _cut(piece: ShopPiece, units: str) -> str:
    """How a piece is sawn: to which length, where its welds shrink it, and both ends."""
    first, second = piece.ends
    ends = f"both {first}" if first == second else f"{first}; {second}"
    return f"{ends}; saw to {length(piece.sawn, units)}" if piece.longer else ends
