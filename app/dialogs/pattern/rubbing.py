"""The hole pattern read off a rubbing: paper held under or over the feet, each hole read once or more, one known length."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLabel, QPushButton, QTableWidgetItem, QVBoxLayout

from app.dialogs.pattern.distances import OVER
from app.dialogs.pattern.way import Way, add_row, cell, laid_from_first, length, line, table, whole
from app.numbers import shown
from app.view3d.holes import Point, Points
from app.view3d.written import small
from app.words import offer, tr
from framecore.errors import UnitError
from framecore.units import format_length

COLUMNS = ("Hole", "x on paper", "y on paper", "Off the mean")
MOST = 40


class RubbingWay(Way):
    """Places on paper in, pattern out: hole 1 the datum, hole 2 to its right."""

    def __init__(self, units: str, hole: float) -> None:
        super().__init__(units)
        self.scale = 0.0
        self.table = table(COLUMNS, "Places read off the rubbing")
        self.a, self.b = line("1", "Known distance from hole"), line("2", "Known distance to hole")
        for field in (self.a, self.b):
            field.setMaximumWidth(44)
        self.known = line("", "Known distance", "Measured on the machine itself; it sets the scale of the paper")
        self.over = QComboBox()
        offer(self.over, OVER)
        self.over.setAccessibleName(tr("Known distance over"))
        self.diameter = line(
            shown(format_length(hole, units)), "Diameter of the holes",
            "Counts for a distance measured over the edges of the holes"
        )
        self.below = QCheckBox(tr("The paper &lay under the machine"))
        self.below.setToolTip(tr("What is rubbed from below is the pattern's mirror image"))
        self._lay_out()
        for k in range(4):
            self.add_row(str(k + 1))
        self.table.itemChanged.connect(self.work_out)
        for field in (self.a, self.b, self.known, self.diameter):
            field.textChanged.connect(self.work_out)
        self.over.currentIndexChanged.connect(self.work_out)
        self.below.toggled.connect(self.work_out)
        self.work_out()

    def _lay_out(self) -> None:
        hint = QLabel(
            tr("Read x and y of every hole off the paper from one corner of it; read a hole again in a further row and "
            "the mean counts. One distance measured on the machine sets the scale, as paper stretches. "
            f"Hole 1 becomes the datum, hole 2 lies to its right. {self.hint()}")
        )
        hint.setWordWrap(True)
        more, less = QPushButton(tr("Add a reading")), QPushButton(tr("Take it out"))
        more.clicked.connect(lambda: self.add_row("1"))
        less.clicked.connect(self._take_out)
        head, over, foot = QHBoxLayout(), QHBoxLayout(), QHBoxLayout()
        for part in (QLabel(tr("From hole")), self.a, QLabel(tr("to hole")), self.b, QLabel(tr("measured")), self.known):
            head.addWidget(part)
        for part in (QLabel(tr("over")), self.over, QLabel(tr("holes of diameter")), self.diameter):
            over.addWidget(part)
        for row in (head, over):
            row.addStretch(1)
        foot.addWidget(more)
        foot.addWidget(less)
        foot.addStretch(1)
        page = QVBoxLayout(self)
        page.addWidget(hint)
        page.addLayout(head)
        page.addLayout(over)
        page.addWidget(self.below)
        page.addWidget(self.table, 1)
        page.addLayout(foot)

    def add_row(self, hole: str, x: str = "", y: str = "") -> None:
        """Append one reading."""
        row = add_row(self.table, (hole, x, y))
        self.table.blockSignals(True)
        off = QTableWidgetItem("")
        off.setFlags(Qt.ItemFlag.ItemIsEnabled)
        self.table.setItem(row, 3, off)
        self.table.blockSignals(False)

    def _take_out(self) -> None:
        if self.table.currentRow() >= 0:
            self.table.removeRow(self.table.currentRow())
            self.work_out()

    def readings(self) -> list[tuple[int, int, Point]]:
        """Return (row, hole from 1, place) of every reading; raises UnitError with the row that cannot be read."""
        found = []
        for row in range(self.table.rowCount()):
            x, y = cell(self.table, row, 1), cell(self.table, row, 2)
            if not x and not y:
                continue
            name = f"Row {row + 1}"
            hole = whole(cell(self.table, row, 0), name, MOST)
            found.append((row, hole, (length(x, f"{name}, x", self.units), length(y, f"{name}, y", self.units))))
        return found

    def work_out(self) -> None:
        """Find the pattern that the readings give, or say what is missing."""
        from framecore.seat.pattern import Pair, PatternError, pattern_from_rubbing

        self.holes, self.arrows, self.scale = (), (), 0.0
        off: dict[int, float] = {}
        try:
            readings = self.readings()
            if not readings or not self.known.text().strip():
                self.told = "Fill in where the holes are on the paper, and one distance measured on the machine."
            else:
                means = _means(readings)
                a, b = (whole(f.text(), "Known distance", len(means)) for f in (self.a, self.b))
                known = length(self.known.text(), "Known distance", self.units)
                pair = Pair(a=a, b=b, distance=known, over=self.over.currentData())
                edges = [length(self.diameter.text(), "Diameter of the holes", self.units)] * len(means)
                found = pattern_from_rubbing(means, pair, edges=edges, from_below=self.below.isChecked())
                self.holes = tuple((round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in found.holes)
                self.scale = found.scale
                off = self._compare(readings, means)
                self.told = self._say(readings, off)
        except (UnitError, PatternError) as fault:
            self.told = str(fault)
        self.table.blockSignals(True)
        for row in range(self.table.rowCount()):
            self.table.item(row, 3).setText(small(off[row], self.units) if row in off else "")
        self.table.blockSignals(False)
        self.changed.emit()

    def _compare(self, readings: list[tuple[int, int, Point]], means: list[Point]) -> dict[int, float]:
        """Return how far each reading of a hole read more than once lies off their mean, mm, and set the arrows."""
        side = -1.0 if self.below.isChecked() else 1.0
        (x1, y1), (x2, y2) = means[0], means[1]
        angle = math.atan2(side * (y2 - y1), x2 - x1)
        c, s = math.cos(angle), math.sin(angle)
        often = [hole for _, hole, _ in readings]
        arrows, off = [], {}
        for row, hole, (x, y) in readings:
            if often.count(hole) < 2:
                continue
            dx, dy = self.scale * (x - means[hole - 1][0]), self.scale * side * (y - means[hole - 1][1])
            arrows.append((hole - 1, c * dx + s * dy, c * dy - s * dx))
            off[row] = math.hypot(dx, dy)
        self.arrows = tuple(arrows)
        return off

    def _say(self, readings: list[tuple[int, int, Point]], off: dict[int, float]) -> str:
        paper = f"The paper is to be read {self.scale:.4f} times as long."
        if not off:
            return f"{paper} Every hole is read once, so no reading is checked; read them again to see slips."
        row = max(off, key=off.__getitem__)
        hole = next(h for r, h, _ in readings if r == row)
        return f"{paper} The readings lie within {small(off[row], self.units)} of their means; hole {hole} is read least alike."

    def straight(self, holes: Points, angle: float) -> Points:
        """Hole 1 stays the datum."""
        return laid_from_first(holes, angle)


def _means(readings: list[tuple[int, int, Point]]) -> list[Point]:
    count = max(hole for _, hole, _ in readings)
    if count < 2:
        raise UnitError("A rubbing needs two holes at least.")
    means = []
    for k in range(1, count + 1):
        places = [p for _, hole, p in readings if hole == k]
        if not places:
            raise UnitError(f"Hole {k} is not read; number the holes 1, 2, 3 without a gap.")
        means.append((sum(p[0] for p in places) / len(places), sum(p[1] for p in places) / len(places)))
    return means
