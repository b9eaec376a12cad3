"""The hole pattern from distances between holes, with the misfit of each shown."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QSpinBox,
    QTableWidgetItem,
    QVBoxLayout,
)

from app.dialogs.pattern.way import Way, add_row, cell, laid_from_first, length, line, table, whole
from app.numbers import shown
from app.view3d.holes import Points
from app.view3d.written import small
from app.words import offer, tr
from framecore.errors import UnitError
from framecore.units import format_length

if TYPE_CHECKING:
    from framecore.seat.pattern import MeasuredPattern, Pair

COLUMNS = ("From hole", "to hole", "Distance", "Over", "Misfit")
OVER = ("centres", "outside edges", "inside edges")


class DistancesWay(Way):
    """Distances in, pattern out: hole 1 the datum, hole 2 to its right."""

    def __init__(self, units: str, hole: float) -> None:
        super().__init__(units)
        self.found: MeasuredPattern | None = None
        self.count = QSpinBox()
        self.count.setRange(2, 40)
        self.count.setValue(4)
        self.count.setAccessibleName(tr("Holes"))
        self.diameter = line(
            shown(format_length(hole, units)), "Diameter of the holes",
            "Counts for distances measured over the edges of the holes"
        )
        self.diameter.editingFinished.connect(self.work_out)
        self.table = table(COLUMNS, "Measured distances")
        for narrow in (0, 1, 3):  # numbers of holes need little, what is measured over needs all of its words
            self.table.horizontalHeader().setSectionResizeMode(narrow, QHeaderView.ResizeMode.ResizeToContents)
        self._lay_out()
        for a, b in ((1, 2), (3, 4), (1, 3), (2, 4), (1, 4), (2, 3)):
            self.add_row(a, b)
        self.count.valueChanged.connect(self.work_out)
        self.table.itemChanged.connect(self.work_out)
        self.work_out()

    def _lay_out(self) -> None:
        hint = QLabel(
            tr("Measure from hole to hole, sides and diagonals; one distance more than needed shows slips. "
            f"Hole 1 becomes the datum, hole 2 lies to its right. {self.hint()}")
        )
        hint.setWordWrap(True)
        more, less = QPushButton(tr("Add a distance")), QPushButton(tr("Take it out"))
        more.clicked.connect(lambda: self.add_row(1, min(3, self.count.value())))
        less.clicked.connect(self._take_out)
        head = QHBoxLayout()
        for part in (QLabel(tr("Holes")), self.count, QLabel(tr("of diameter")), self.diameter):
            head.addWidget(part)
        head.addStretch(1)
        foot = QHBoxLayout()
        foot.addWidget(more)
        foot.addWidget(less)
        foot.addStretch(1)
        page = QVBoxLayout(self)
        page.addWidget(hint)
        page.addLayout(head)
        page.addWidget(self.table, 1)
        page.addLayout(foot)

    def add_row(self, a: int, b: int, distance: str = "") -> None:
        """Append one distance."""
        row = add_row(self.table, (str(a), str(b), distance))
        over = QComboBox()
        offer(over, OVER)
        over.setAccessibleName(tr(f"Distance {row + 1} over"))
        over.currentIndexChanged.connect(self.work_out)
        self.table.blockSignals(True)
        self.table.setCellWidget(row, 3, over)
        misfit = QTableWidgetItem("")
        misfit.setFlags(Qt.ItemFlag.ItemIsEnabled)
        self.table.setItem(row, 4, misfit)
        self.table.blockSignals(False)

    def _take_out(self) -> None:
        if self.table.currentRow() >= 0:
            self.table.removeRow(self.table.currentRow())
            self.work_out()

    def pairs(self) -> tuple[list[Pair], list[int]]:
        """Distances that are filled in and their rows; raises UnitError with the row that cannot be read."""
        from framecore.seat.pattern import Pair

        found, rows = [], []
        for row in range(self.table.rowCount()):
            if not cell(self.table, row, 2):
                continue
            name = f"Row {row + 1}"
            a, b = (whole(cell(self.table, row, c), name, self.count.value()) for c in (0, 1))
            distance = length(cell(self.table, row, 2), name, self.units)
            over = self.table.cellWidget(row, 3)
            assert isinstance(over, QComboBox)
            found.append(Pair(a=a, b=b, distance=distance, over=over.currentData()))
            rows.append(row)
        return found, rows

    def work_out(self) -> None:
        """Find the pattern that the distances give, or say what is missing."""
        from framecore.seat.pattern import PatternError, pattern_from_pairs

        self.found, self.holes, self.arrows = None, (), ()
        rows: list[int] = []
        try:
            pairs, rows = self.pairs()
            edges = [length(self.diameter.text(), "Diameter of the holes", self.units)] * self.count.value()
            if pairs:
                self.found = pattern_from_pairs(self.count.value(), pairs, edges=edges)
                # A hundredth is far below what a rule reads, and what the brief will hold.
                self.holes = tuple((round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in self.found.holes)
                self.arrows = tuple(self._arrows(pairs, self.found.misfits))
                self.told = self.found.text
            else:
                self.told = "Fill in the distances you have measured."
        except (UnitError, PatternError) as fault:
            self.told = str(fault)
        self._show_misfits(rows)
        self.changed.emit()

    def _arrows(self, pairs: list[Pair], misfits: tuple[float, ...]) -> list[tuple[int, float, float]]:
        """At each end of a distance half of what it is off, outward where it reads too long."""
        out = []
        for pair, misfit in zip(pairs, misfits, strict=True):
            (x1, y1), (x2, y2) = self.holes[pair.a - 1], self.holes[pair.b - 1]
            far = math.hypot(x2 - x1, y2 - y1) or 1.0
            dx, dy = (x2 - x1) / far * misfit / 2, (y2 - y1) / far * misfit / 2
            out += [(pair.b - 1, dx, dy), (pair.a - 1, -dx, -dy)]
        return out

    def _show_misfits(self, rows: list[int]) -> None:
        self.table.blockSignals(True)
        for row in range(self.table.rowCount()):
            self.table.item(row, 4).setText("")
        if self.found is not None:
            wrong = self.found.suspect.index if self.found.suspect else -1
            for k, (row, misfit) in enumerate(zip(rows, self.found.misfits, strict=True)):
                mark = "▲ look: " if k == wrong else ""
                self.table.item(row, 4).setText(f"{mark}{small(misfit, self.units, '+')}")
        self.table.blockSignals(False)

    def straight(self, holes: Points, angle: float) -> Points:
        """Hole 1 stays the datum."""
        return laid_from_first(holes, angle)
