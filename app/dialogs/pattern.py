"""The hole pattern from what a maker can measure: distances between holes, with the misfit of each shown."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.theme import palette
from framecore.errors import UnitError
from framecore.units import format_length, parse_length

if TYPE_CHECKING:
    from app.document import Document
    from framecore.seat.pattern import MeasuredPattern, Pair

COLUMNS = ("From hole", "to hole", "Distance", "Over", "Misfit")
OVER = ("centres", "outside edges", "inside edges")
Points = tuple[tuple[float, float], ...]


class PatternPicture(QWidget):
    """The holes seen from above, numbered, to scale."""

    def __init__(self) -> None:
        super().__init__()
        self.holes: Points = ()
        self.setMinimumSize(260, 200)
        self.setAccessibleName("Hole pattern from above")

    def sizeHint(self) -> QSize:
        """Room for a pattern longer than deep."""
        return QSize(340, 240)

    def show_holes(self, holes: Points) -> None:
        """Draw these holes."""
        self.holes = holes
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint crosses, rings and numbers."""
        colours = palette()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(colours.paper))
        if len(self.holes) < 2:
            painter.setPen(QColor(colours.soft))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "the pattern shows here")
            return
        xs, ys = [h[0] for h in self.holes], [h[1] for h in self.holes]
        room = QRectF(self.rect()).adjusted(30, 30, -30, -30)
        wide, deep = max(max(xs) - min(xs), 1.0), max(max(ys) - min(ys), 1.0)
        scale = min(room.width() / wide, room.height() / deep)
        left = room.center().x() - scale * (min(xs) + max(xs)) / 2
        low = room.center().y() + scale * (min(ys) + max(ys)) / 2
        for number, (x, y) in enumerate(self.holes, 1):
            at = QPointF(left + scale * x, low - scale * y)
            painter.setPen(QPen(QColor(colours.ink), 1.2))
            painter.drawEllipse(at, 6, 6)
            painter.drawLine(at - QPointF(10, 0), at + QPointF(10, 0))
            painter.drawLine(at - QPointF(0, 10), at + QPointF(0, 10))
            painter.setPen(QColor(colours.accent))
            painter.drawText(at + QPointF(9, -9), str(number))


def _laid_straight(holes: Points, angle: float) -> Points:
    """Turn the mirror line onto x, hole 2 to the right of hole 1 where it lies that way, hole 1 the datum."""
    c, s = math.cos(angle), math.sin(angle)
    turned = [(c * x + s * y, c * y - s * x) for x, y in holes]
    if turned[1][0] - turned[0][0] < -abs(turned[1][1] - turned[0][1]):
        turned = [(-x, -y) for x, y in turned]
    x0, y0 = turned[0]
    return tuple((x - x0, y - y0) for x, y in turned)


class PatternDialog(QDialog):
    """Distances in, pattern out; taken over as one step of the history."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Pattern from measured distances")
        self.resize(860, 560)
        self._document = document
        self._units = str(document.source.value("units") or "metric")
        self.found: MeasuredPattern | None = None
        self.holes: Points = ()
        self.count = QSpinBox()
        self.count.setRange(2, 40)
        self.count.setAccessibleName("Holes")
        self.diameter = QLineEdit(format_length(self._usual_hole(), self._units))
        self.diameter.setMaximumWidth(110)
        self.diameter.setAccessibleName("Diameter of the holes")
        self.diameter.setToolTip("Counts for distances measured over the edges of the holes")
        self.diameter.editingFinished.connect(self.work_out)
        self.table = QTableWidget(0, len(COLUMNS))
        self.table.setHorizontalHeaderLabels(list(COLUMNS))
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.setAccessibleName("Measured distances")
        self.picture = PatternPicture()
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.even = QPushButton("Make it even")
        self.even.setToolTip("The nearest pattern with mirror lines, and how far each hole is off it")
        self.even.clicked.connect(self.make_even)
        self.even.setEnabled(False)
        self._lay_out()
        self.count.setValue(4)
        for a, b in ((1, 2), (3, 4), (1, 3), (2, 4), (1, 4), (2, 3)):
            self.add_row(a, b)
        self.count.valueChanged.connect(self.work_out)
        self.table.itemChanged.connect(self.work_out)
        self.work_out()

    def _lay_out(self) -> None:
        hint = QLabel(
            "Measure from hole to hole, sides and diagonals; one distance more than needed shows slips. "
            "Hole 1 becomes the datum, hole 2 lies to its right. Plain numbers are millimetres."
        )
        hint.setWordWrap(True)
        more, less = QPushButton("Add a distance"), QPushButton("Take it out")
        more.clicked.connect(lambda: self.add_row(1, min(3, self.count.value())))
        less.clicked.connect(self._take_out)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take = self.buttons.addButton("Take over", QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        head = QHBoxLayout()
        head.addWidget(QLabel("Holes"))
        head.addWidget(self.count)
        head.addSpacing(16)
        head.addWidget(QLabel("of diameter"))
        head.addWidget(self.diameter)
        head.addStretch(1)
        foot = QHBoxLayout()
        for button in (more, less, self.even):
            foot.addWidget(button)
        foot.addStretch(1)
        foot.addWidget(self.buttons)
        right = QVBoxLayout()
        right.addWidget(self.picture, 1)
        right.addWidget(self.told)
        middle = QHBoxLayout()
        middle.addWidget(self.table, 3)
        middle.addLayout(right, 2)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addWidget(hint)
        page.addLayout(head)
        page.addLayout(middle, 1)
        page.addLayout(foot)

    def _usual_hole(self) -> float:
        from framecore.catalogue import thread

        brief = self._document.reading.brief
        return thread(brief.machine.bolt if brief else "M10").medium

    def add_row(self, a: int, b: int, distance: str = "") -> None:
        """Append one distance."""
        row = self.table.rowCount()
        self.table.blockSignals(True)
        self.table.insertRow(row)
        for column, text in enumerate((str(a), str(b), distance)):
            self.table.setItem(row, column, QTableWidgetItem(text))
        over = QComboBox()
        over.addItems(list(OVER))
        over.currentIndexChanged.connect(self.work_out)
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
            cells = [self.table.item(row, c).text().strip() for c in range(3)]
            if not cells[2]:
                continue
            try:
                a, b = int(cells[0]), int(cells[1])
            except ValueError:
                raise UnitError(f"Row {row + 1}: holes are whole numbers from 1 to {self.count.value()}.") from None
            try:
                distance = parse_length(cells[2], self._units)
            except UnitError as fault:
                raise UnitError(f"Row {row + 1}: {fault}") from None
            over = self.table.cellWidget(row, 3)
            assert isinstance(over, QComboBox)
            found.append(Pair(a=a, b=b, distance=distance, over=over.currentText()))
            rows.append(row)
        return found, rows

    def work_out(self) -> None:
        """Find the pattern that the distances give, or say what is missing."""
        from framecore.seat.pattern import PatternError, pattern_from_pairs

        self.found, self.holes = None, ()
        rows: list[int] = []
        try:
            pairs, rows = self.pairs()
            edges = [parse_length(self.diameter.text(), self._units)] * self.count.value()
            if pairs:
                self.found = pattern_from_pairs(self.count.value(), pairs, edges=edges)
                self.holes = self.found.holes
                told = self.found.text
            else:
                told = "Fill in the distances you have measured."
        except (UnitError, PatternError) as fault:
            told = str(fault)
        self.told.setText(told)
        self.take.setEnabled(self.found is not None)
        self.even.setEnabled(self.found is not None)
        self.picture.show_holes(self.holes)
        self._show_misfits(rows)

    def _show_misfits(self, rows: list[int]) -> None:
        self.table.blockSignals(True)
        for row in range(self.table.rowCount()):
            self.table.item(row, 4).setText("")
        if self.found is not None:
            wrong = self.found.suspect.index if self.found.suspect else -1
            for k, (row, misfit) in enumerate(zip(rows, self.found.misfits, strict=True)):
                mark = "▲ look: " if k == wrong else ""
                self.table.item(row, 4).setText(f"{mark}{misfit:+.2f} mm")
        self.table.blockSignals(False)

    def make_even(self) -> None:
        """Take the nearest pattern with mirror lines instead."""
        from framecore.seat.symmetric import nearest_symmetric

        found = nearest_symmetric(self.holes)
        if not found:
            self.told.setText("The holes do not pair up about a mirror line; the pattern stays as measured.")
            return
        best = found[0]
        worst = max(best.off)
        number = best.off.index(worst) + 1
        self.holes = _laid_straight(best.holes, best.angle)
        self.picture.show_holes(self.holes)
        self.told.setText(f"{best.text} Hole {number} is furthest off it, {format_length(worst, self._units)}.")

    def accept(self) -> None:
        """Put the pattern into the brief, rounded to a hundredth."""
        if not self.holes:
            return
        rows = [[round(x, 2) + 0.0, round(y, 2) + 0.0] for x, y in self.holes]
        self._document.edit("machine.holes", rows, "measured pattern")
        super().accept()
