"""The hole pattern as columns and rows and their spacings: what most manuals print."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QSpinBox, QWidget

from app.numbers import plain
from app.view3d.written import typed, written
from app.words import tr
from framecore.errors import UnitError
from framecore.units import parse_length

Holes = tuple[tuple[float, ...], ...]
MOST = 12


class PatternEditor(QWidget):
    """Edits a grid of holes; used in a row like any other editor of a key.

    Parameters
    ----------
    usual : the typical pattern of the machine's kind; its datum keeps its place in the pattern

    Signals
    -------
    typed(holes) : as the brief writes them
    refused(sentence) : a spacing nobody can read
    """

    typed = Signal(object)
    refused = Signal(str)
    shows_resolved = True

    def __init__(self, usual: Callable[[], Holes]) -> None:
        super().__init__()
        self._usual = usual
        self._units = "metric"
        self._counts = (0, 0)
        self.columns, self.deep = QSpinBox(), QSpinBox()
        self.pitch_x, self.pitch_y = QLineEdit(), QLineEdit()
        self.unit_x, self.unit_y = QLabel(), QLabel()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(3)
        ways = (
            (self.columns, self.pitch_x, self.unit_x, tr("across"), "left to right"),
            (self.deep, self.pitch_y, self.unit_y, tr("deep"), "front to back"),
        )
        for r, (box, line, unit, short, way) in enumerate(ways):
            box.setRange(1, MOST)
            box.setSuffix(f" {short}")
            box.setAccessibleName(tr("Holes {way}", way=way))
            line.setAccessibleName(tr("Spacing {way}", way=way))
            line.setToolTip(tr("Middle of one hole to the middle of the next, {way}", way=way))
            at = QLabel(tr("at"))
            at.setBuddy(line)
            unit.setObjectName("unit")
            for c, widget in enumerate((box, at, line, unit)):
                grid.addWidget(widget, r, c)
            box.valueChanged.connect(self._counted)
            line.editingFinished.connect(lambda line=line: line.isModified() and self._told())
        grid.setColumnStretch(2, 1)
        self.setFocusProxy(self.columns)

    def set_units(self, system: str) -> None:
        """Take plain numbers as the brief's system has them."""
        self._units = system
        for unit in (self.unit_x, self.unit_y):
            unit.setText("in" if system.startswith("inch") else "mm")

    def show_value(self, holes: Any, _typical: bool) -> None:
        """Show a pattern."""
        self._counts = tuple(max(len(places), 1) for places in _axes(holes or ()))
        for places, box, line in zip(_axes(holes or ()), (self.columns, self.deep), (self.pitch_x, self.pitch_y), strict=True):
            box.blockSignals(True)
            box.setValue(max(len(places), 1))
            box.blockSignals(False)
            line.setEnabled(len(places) > 1)
            if len(places) > 1:
                line.setText(typed((places[-1] - places[0]) / (len(places) - 1), self._units).removesuffix(" in"))

    def _counted(self) -> None:
        # A spin box tells of its value at every Enter, changed or not.
        if (self.columns.value(), self.deep.value()) != self._counts:
            self._told()

    def _told(self) -> None:
        usual = _axes(self._usual())
        try:
            x, y = (
                _spread(box.value(), self._pitch(line, box.value(), places), places)
                for box, line, places in zip((self.columns, self.deep), (self.pitch_x, self.pitch_y), usual, strict=True)
            )
        except UnitError as fault:
            self.refused.emit(str(fault))
            return
        for line in (self.pitch_x, self.pitch_y):
            line.setModified(False)
        self.typed.emit([[written(a, self._units), written(b, self._units)] for a in x for b in y])

    def _pitch(self, line: QLineEdit, count: int, usual: list[float]) -> float:
        if count == 1:
            return 0.0
        if not line.isEnabled():  # a second row came this moment: the usual spacing, to be overwritten
            return (usual[-1] - usual[0]) / (len(usual) - 1) if len(usual) > 1 else 100.0
        pitch = parse_length(plain(line.text()), self._units)
        if not 5 <= pitch <= 5000:
            raise UnitError(tr("The spacing must be 5 mm to 5000 mm, not {text}.", text=line.text().strip()))
        return pitch


def _axes(holes: Any) -> tuple[list[float], list[float]]:
    """The places of columns and of rows, mm."""
    return sorted({float(h[0]) for h in holes}), sorted({float(h[1]) for h in holes})


def _spread(count: int, pitch: float, usual: list[float]) -> list[float]:
    """Places of ``count`` holes; the datum keeps its share of the pattern, so that what counts from it still fits."""
    length = usual[-1] - usual[0] if usual else 0.0
    share = -usual[0] / length if length else 0.5
    return [(k - share * (count - 1)) * pitch for k in range(count)]
