"""The hole pattern as the machine's manual prints it: rows and columns from a datum, or x and y of each hole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.pattern.way import Way, add_row, cell, length, line, table, turned
from app.numbers import plain
from app.view3d.holes import Points, middle
from app.view3d.written import typed, written
from app.words import offer, tr
from framecore.errors import UnitError
from framecore.units import parse_length

FORMS = ("rows and columns", "x and y of each hole")
DATUMS = ("the middle of the pattern", "hole 1, front left", "a corner of the foot plate")


class ManualWay(Way):
    """Printed sizes in, pattern out."""

    def __init__(self, units: str, holes: Points, raw: Any) -> None:
        super().__init__(units)
        self._raw: list[list[Any]] = []
        self.form = QComboBox()
        offer(self.form, FORMS)
        self.form.setAccessibleName(tr("The manual gives"))
        self.datum = QComboBox()
        offer(self.datum, DATUMS)
        self.datum.setAccessibleName(tr("Datum"))
        self.datum.setToolTip(tr("Where x and y are nothing; centre of mass and shape of the machine count from there too"))
        self.columns, self.rows_ = QSpinBox(), QSpinBox()
        for box, name in ((self.columns, "Columns"), (self.rows_, "Rows")):
            box.setRange(1, 12)
            box.setValue(2)
            box.setAccessibleName(tr(name))
            box.setMaximumWidth(80)
        self.pitch_x = line("", "Between columns", "Along the machine, left to right")
        self.pitch_y = line("", "Between rows", "Front to back")
        self.corner_x = line("", "Corner to hole 1, along", "From the front left corner of the foot plate")
        self.corner_y = line("", "Corner to hole 1, back", "From the front left corner of the foot plate")
        self.pair = QCheckBox(tr("A &middle pair too"))
        self.pair_x = line("0", "Middle pair off the middle", "To the right; a minus sign for left")
        self.pair_y = line("", "Middle pair apart", "Front to back; empty: as the outer holes")
        self.table = table(("x", "y"), "Places of the holes")
        self._lay_out()
        self._fill(holes, raw)
        self.form.currentIndexChanged.connect(self.work_out)
        self.datum.currentIndexChanged.connect(self.work_out)
        for box in (self.columns, self.rows_):
            box.valueChanged.connect(self.work_out)
        for field in (self.pitch_x, self.pitch_y, self.corner_x, self.corner_y, self.pair_x, self.pair_y):
            field.textChanged.connect(self.work_out)
        self.pair.toggled.connect(self.work_out)
        self.table.itemChanged.connect(self.work_out)
        self.work_out()

    def _lay_out(self) -> None:
        grid, free = QWidget(), QWidget()
        self.grid = QFormLayout(grid)
        self.grid.addRow(tr("Columns, left to right"), self.columns)
        self.grid.addRow(tr("Rows, front to back"), self.rows_)
        self.grid.addRow(tr("Between columns"), self.pitch_x)
        self.grid.addRow(tr("Between rows"), self.pitch_y)
        self.grid.addRow(tr("Measured from"), self.datum)
        self.grid.addRow(tr("Corner to hole 1, along"), self.corner_x)
        self.grid.addRow(tr("Corner to hole 1, back"), self.corner_y)
        self.grid.addRow("", self.pair)
        self.grid.addRow(tr("Off the middle, along"), self.pair_x)
        self.grid.addRow(tr("Apart, front to back"), self.pair_y)
        hint = QLabel(tr("x to the right, y to the back, from the datum that the manual uses."))
        hint.setWordWrap(True)
        more, less = QPushButton(tr("Add a hole")), QPushButton(tr("Take it out"))
        more.clicked.connect(self._add)
        less.clicked.connect(self._take_out)
        foot = QHBoxLayout()
        foot.addWidget(more)
        foot.addWidget(less)
        foot.addStretch(1)
        column = QVBoxLayout(free)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(hint)
        column.addWidget(self.table, 1)
        column.addLayout(foot)
        self.pages = QStackedWidget()
        self.pages.addWidget(grid)
        self.pages.addWidget(free)
        self.form.currentIndexChanged.connect(self.pages.setCurrentIndex)
        head = QHBoxLayout()
        head.addWidget(QLabel(tr("The manual gives")))
        head.addWidget(self.form)
        head.addStretch(1)
        page = QVBoxLayout(self)
        page.addLayout(head)
        page.addWidget(QLabel(tr(self.hint())))
        page.addWidget(self.pages, 1)

    def _fill(self, holes: Points, raw: Any) -> None:
        """Begin with the pattern the brief has, in its own words."""
        if not holes:
            return
        self._show_table(holes, raw if isinstance(raw, list) else [])
        xs, ys = sorted({x for x, _ in holes}), sorted({y for _, y in holes})
        if {(x, y) for x in xs for y in ys} == set(holes):
            self.columns.setValue(len(xs))
            self.rows_.setValue(len(ys))
            for field, places in ((self.pitch_x, xs), (self.pitch_y, ys)):
                if len(places) > 1:
                    field.setText(typed((places[-1] - places[0]) / (len(places) - 1), self.units))
        self.form.setCurrentIndex(1)

    def _show_table(self, holes: Points, raw: Sequence[Any]) -> None:
        self.table.blockSignals(True)
        self.table.setRowCount(0)
        for k, (x, y) in enumerate(holes):
            said = raw[k] if k < len(raw) else (None, None)
            # A number without a unit means mm in the file and inches in a field of a brief in inches.
            texts = [w if isinstance(w, str) else typed(v, self.units) for w, v in zip(said, (x, y), strict=True)]
            add_row(self.table, texts)
        self.table.blockSignals(False)

    def _add(self) -> None:
        row = add_row(self.table, ("", ""))
        self.table.setCurrentCell(row, 0)
        self.table.editItem(self.table.item(row, 0))
        self.work_out()

    def _take_out(self) -> None:
        if self.table.currentRow() >= 0:
            self.table.removeRow(self.table.currentRow())
            self.work_out()

    @property
    def hole_by_hole(self) -> bool:
        """Whether x and y of each hole are given."""
        return self.form.currentIndex() == 1

    # -- what it gives -------------------------------------------------------------------------------------

    def work_out(self) -> None:
        """Find the pattern, or say what is missing."""
        corner, pair = self.datum.currentIndex() == 2, self.pair.isChecked()
        for field, shown in ((self.corner_x, corner), (self.corner_y, corner), (self.pair_x, pair), (self.pair_y, pair)):
            self.grid.setRowVisible(field, shown)
        for field, box in ((self.pitch_x, self.columns), (self.pitch_y, self.rows_)):
            field.setEnabled(box.value() > 1)
        self.holes, self._raw = (), []
        try:
            self.holes = self._from_table() if self.hole_by_hole else self._from_grid()
            count = len(self.holes)
            self.told = f"{count} hole{'' if count == 1 else 's'}." if count else "Fill in where the holes are."
        except UnitError as fault:
            self.told = str(fault)
        self.changed.emit()

    def _from_grid(self) -> Points:
        nx, ny = self.columns.value(), self.rows_.value()
        px = self._size(self.pitch_x, "Between columns") if nx > 1 else 0.0
        py = self._size(self.pitch_y, "Between rows") if ny > 1 else 0.0
        holes = [(i * px, j * py) for j in range(ny) for i in range(nx)]
        wide, deep = (nx - 1) * px, (ny - 1) * py
        if self.pair.isChecked():
            off = length(self.pair_x.text(), "Middle pair, off the middle", self.units)
            apart = self._size(self.pair_y, "Middle pair, apart") if self.pair_y.text().strip() else deep
            if not apart > 0:
                raise UnitError("Middle pair, apart: say how far apart the two are.")
            holes += [(wide / 2 + off, deep / 2 - apart / 2), (wide / 2 + off, deep / 2 + apart / 2)]
        way = self.datum.currentIndex()
        if way == 0:
            x0, y0 = -wide / 2, -deep / 2
        elif way == 1:
            x0 = y0 = 0.0
        else:
            x0 = length(self.corner_x.text(), "Corner to hole 1, along", self.units)
            y0 = length(self.corner_y.text(), "Corner to hole 1, back", self.units)
        return tuple((x + x0, y + y0) for x, y in holes)

    def _size(self, field: Any, name: str) -> float:
        value = length(field.text(), name, self.units)
        if not value > 0:
            raise UnitError(f"{name} must be more than nothing.")
        return value

    def _from_table(self) -> Points:
        holes = []
        for row in range(self.table.rowCount()):
            texts = [cell(self.table, row, c) for c in (0, 1)]
            if not any(texts):
                continue
            x, y = (length(t, f"Row {row + 1}, {n}", self.units) for t, n in zip(texts, "xy", strict=True))
            holes.append((x, y))
            self._raw.append([self._said(t) for t in texts])
        return tuple(holes)

    def _said(self, text: str) -> Any:
        """Return a cell for the brief: as typed, but plain numbers as the file means them."""
        text = plain(text)
        try:
            float(text)
        except ValueError:
            return text
        return written(parse_length(text, self.units), self.units)

    def rows(self, holes: Points) -> list[Any]:
        """Return the pattern as typed where it was typed hole by hole."""
        return self._raw if self._raw and holes == self.holes else super().rows(holes)

    def take(self, holes: Points) -> bool:
        """Holes moved in the picture stand in the table then."""
        was, said = self.holes, self._raw
        kept = [said[k] if k < min(len(said), len(was)) and was[k] == h else (None, None) for k, h in enumerate(holes)]
        self._show_table(holes, kept)
        self.form.blockSignals(True)
        self.form.setCurrentIndex(1)
        self.form.blockSignals(False)
        self.pages.setCurrentIndex(1)
        self.work_out()
        return True

    def straight(self, holes: Points, angle: float) -> Points:
        """The datum stays; the mirror line goes to the axis it is nearest to."""
        angle = (angle + math.pi / 4) % (math.pi / 2) - math.pi / 4
        laid = turned(holes, angle)
        (x, y), (x0, y0) = middle(holes), middle(laid)
        return tuple((a + x - x0, b + y - y0) for a, b in laid)
