"""Lists of the brief in a small table: holes, boxes to draw, lengths sold, the rack."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.sizes import open_at
from app.numbers import plain, shown
from app.words import tr
from framecore.brief import kinds
from framecore.brief.sheet_kinds import Sheets
from framecore.errors import UnitError

if TYPE_CHECKING:
    from app.inputs.fields import Key


def _cell(value: Any) -> str:
    return shown(f"{value:.6g}" if isinstance(value, float) else str(value))


def _typed(text: str) -> Any:
    text = plain(text)
    for read in (int, float):
        try:
            return read(text)
        except ValueError:
            pass
    return text


def _get(row: Any, name: str, fallback: Any) -> Any:
    return row.get(name, fallback) if isinstance(row, dict) else getattr(row, name, fallback)


def _hole_out(row: Any) -> list[str]:
    return [_cell(v) for v in row]


def _hole_in(cells: list[str]) -> Any:
    return [_typed(c) for c in cells]


def _box_out(row: Any) -> list[str]:
    at, size = _get(row, "at", (0, 0, 0)), _get(row, "size", (0, 0, 0))
    return [str(_get(row, "name", "")), *(_cell(v) for v in at), *(_cell(v) for v in size)]


def _box_in(cells: list[str]) -> Any:
    values = [_typed(c) for c in cells[1:]]
    return {"name": cells[0], "at": values[:3], "size": values[3:]}


def _sold_out(row: Any) -> list[str]:
    return [_get(row, "profile", ""), _cell(_get(row, "length", 0)), _cell(_get(row, "price", 0))]


def _sold_in(cells: list[str]) -> Any:
    row: dict[str, Any] = {"length": _typed(cells[1])}
    if cells[0]:
        row["profile"] = cells[0]
    if cells[2] and _typed(cells[2]) != 0:
        row["price"] = _typed(cells[2])
    return row


def _rack_out(row: Any) -> list[str]:
    return [_get(row, "profile", ""), _cell(_get(row, "length", 0)), _cell(_get(row, "count", 1))]


def _rack_in(cells: list[str]) -> Any:
    return {"profile": cells[0], "length": _typed(cells[1]), "count": _typed(cells[2] or "1")}


def _sheet_out(row: Any) -> list[str]:
    return [_cell(_get(row, name, 0)) for name in ("length", "width", "thickness", "price")]


def _sheet_in(cells: list[str]) -> Any:
    row: dict[str, Any] = {"length": _typed(cells[0]), "width": _typed(cells[1])}
    row |= {n: _typed(c) for n, c in zip(("thickness", "price"), cells[2:], strict=True) if c and _typed(c) != 0}
    return row


def _number_out(row: Any) -> list[str]:
    return [_cell(row)]


def _number_in(cells: list[str]) -> Any:
    return _typed(cells[0])


def _load_out(row: Any) -> list[str]:
    at = _get(row, "at", (0, 0, 0))
    to = _get(row, "to", at)
    ends = [*at, *(to if list(to) != list(at) else ("", "", ""))]
    return [str(_get(row, "name", "")), _cell(_get(row, "mass", 0)), *(_cell(v) for v in ends)]


def _load_in(cells: list[str]) -> Any:
    row = {"name": cells[0], "mass": _typed(cells[1]), "at": [_typed(c or "0") for c in cells[2:5]]}
    if any(cells[5:]):
        row["to"] = [_typed(c or "0") for c in cells[5:]]
    return row


@dataclass(frozen=True)
class Table:
    """Columns of one kind of list and how a row goes into and out of cells; ``lengths``: some of them are lengths."""

    noun: str
    nouns: str
    columns: tuple[str, ...]
    outward: Callable[[Any], list[str]]
    inward: Callable[[list[str]], Any]
    hint: str
    lengths: bool = True


TABLES: dict[type[kinds.Kind], Table] = {
    kinds.HolePattern: Table(
        "hole", "holes", ("x", "y"), _hole_out, _hole_in, "From the datum of the pattern."
    ),
    kinds.Outline: Table(
        "box",
        "boxes",
        ("Name", "at x", "at y", "at z", "length", "depth", "height"),
        _box_out,
        _box_in,
        "Plain boxes for the machine, from the datum; z from its feet up.",
    ),
    kinds.Sold: Table(
        "length",
        "lengths",
        ("Profile (empty: all)", "Length", "Price a bar (0: by mass)"),
        _sold_out,
        _sold_in,
        "What your merchant sells.",
    ),
    kinds.Rack: Table(
        "offcut", "offcuts", ("Profile", "Length", "Count"), _rack_out, _rack_in, "What you have on hand."
    ),
    Sheets: Table(
        "sheet",
        "sheets",
        ("Length", "Width", "Thickness (0: all)", "Price a sheet (0: by mass)"),
        _sheet_out,
        _sheet_in,
        "Sheet sizes your merchant sells.",
    ),
    kinds.Lengths: Table(
        "height", "heights", ("Height",), _number_out, _number_in, "One a foot, in the order of the feet."
    ),
    kinds.Places: Table(
        "bearer", "bearers", ("x",), _number_out, _number_in, "The middle of each bearer, from the middle of the ring."
    ),
    kinds.Speeds: Table(
        "speed", "speeds", ("Turns a minute",), _number_out, _number_in, "Turns a minute it runs at.", lengths=False
    ),
    kinds.Loads: Table(
        "load",
        "loads",
        ("Name", "Mass kg", "x", "y", "z", "to x", "to y", "to z"),
        _load_out,
        _load_in,
        "Where it stands, and where it may travel to (empty: it stays).",
    ),
}


class ListDialog(QDialog):
    """Edits the rows of one list. Lengths may be written as anywhere else: 38, "1 1/2 in"."""

    def __init__(self, key: Key, rows: list[Any], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind = TABLES[type(key.kind)]
        self.setWindowTitle(tr(key.label))
        open_at(self, min(130 + 108 * len(self.kind.columns), 880), 380)
        self.table = QTableWidget(0, len(self.kind.columns))
        self.table.setAccessibleName(tr(key.label))
        self.table.setAccessibleDescription(tr("Arrow keys go from cell to cell, F2 edits, Tab leaves the table."))
        # Tab would else go round in the cells and never reach the buttons.
        self.table.setTabKeyNavigation(False)
        self.table.setHorizontalHeaderLabels([tr(c) for c in self.kind.columns])
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.verticalHeader().setDefaultSectionSize(26)
        for row in rows:
            self.add(self.kind.outward(row))
        self.table.resizeColumnsToContents()
        measured = f"{self.kind.hint} Plain numbers are millimetres; “1 1/2 in” works too."
        hint = QLabel(tr(measured if self.kind.lengths else self.kind.hint))
        hint.setWordWrap(True)
        more, less = QPushButton(tr("Add a row")), QPushButton(tr("Take the row out"))
        more.clicked.connect(lambda: self.add([""] * len(self.kind.columns), edit=True))
        less.clicked.connect(lambda: self.table.removeRow(self.table.currentRow()))
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._take)
        buttons.rejected.connect(self.reject)
        self.told = QLabel()
        self.told.setObjectName("finding")
        self.told.setProperty("severity", "stop")
        self.told.setWordWrap(True)
        self.told.hide()
        hint.setBuddy(self.table)
        foot = QHBoxLayout()
        foot.addWidget(more)
        foot.addWidget(less)
        foot.addStretch(1)
        foot.addWidget(buttons)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addWidget(hint)
        page.addWidget(self.table, 1)
        page.addWidget(self.told)
        page.addLayout(foot)

    def _take(self) -> None:
        """Close with OK, unless a number could be meant in two ways."""
        try:
            self.value()
        except UnitError as fault:
            self.told.setText(tr(f"■ {fault}"))
            self.told.show()
            return
        self.accept()

    def add(self, cells: list[str], edit: bool = False) -> None:
        """Append a row."""
        row = self.table.rowCount()
        self.table.insertRow(row)
        for column, text in enumerate(cells):
            self.table.setItem(row, column, QTableWidgetItem(text))
        if edit:
            self.table.setCurrentCell(row, 0)
            self.table.editItem(self.table.item(row, 0))

    def value(self) -> list[Any]:
        """Return the rows as the brief writes them; empty rows are left out."""
        rows = []
        for row in range(self.table.rowCount()):
            items = [self.table.item(row, c) for c in range(self.table.columnCount())]
            cells = [i.text().strip() if i is not None else "" for i in items]
            if any(cells):
                rows.append(self.kind.inward(cells))
        return rows
