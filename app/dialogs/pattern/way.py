"""What the ways to give a pattern have in common, and cells that hold lengths."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHeaderView, QLineEdit, QTableWidget, QTableWidgetItem, QWidget

from app.dialogs.pattern.picture import Arrow
from app.numbers import plain
from app.view3d.holes import Points
from app.view3d.written import written
from app.words import tr
from framecore.errors import UnitError
from framecore.units import parse_length


class Way(QWidget):
    """One way to give a pattern.

    ``holes``: what it gives now, none while something is missing; ``told``: one sentence about it; ``arrows``: what
    is off at which hole.

    Signals
    -------
    changed() : it gives something else
    """

    changed = Signal()

    def __init__(self, units: str) -> None:
        super().__init__()
        self.units = units
        self.holes: Points = ()
        self.told = ""
        self.arrows: tuple[Arrow, ...] = ()

    def rows(self, holes: Points) -> list[Any]:
        """Return the pattern as the brief writes it."""
        return [[written(x, self.units), written(y, self.units)] for x, y in holes]

    def straight(self, holes: Points, angle: float) -> Points:
        """Turn a mirror line at ``angle`` onto the axes, the way this pattern is measured."""
        raise NotImplementedError

    def take(self, holes: Points) -> bool:
        """Take over holes that were changed in the picture; False where this way cannot say them."""
        return False

    def hint(self) -> str:
        """Return what plain numbers mean."""
        return "Plain numbers are inches." if self.units.startswith("inch") else "Plain numbers are millimetres."


def length(text: str, what: str, units: str) -> float:
    """Return a length, or raise UnitError with one sentence that says where."""
    if not text.strip():
        raise UnitError(f"{what} is empty.")
    try:
        value = parse_length(plain(text), units)
    except UnitError as fault:
        raise UnitError(f"{what}: {fault}") from None
    if not abs(value) <= 10_000:
        raise UnitError(f"{what}: {text!r} is far from any machine's feet; allowed is up to 10 m.")
    return value


def whole(text: str, what: str, most: int) -> int:
    """Return the number of a hole, or raise UnitError."""
    try:
        value = int(text)
    except ValueError:
        value = 0
    if not 1 <= value <= most:
        raise UnitError(f"{what}: holes are whole numbers from 1 to {most}.")
    return value


def line(text: str, name: str, tip: str = "") -> QLineEdit:
    """Return a field for a length."""
    field = QLineEdit(text)
    field.setMaximumWidth(110)
    field.setAccessibleName(tr(name))
    field.setToolTip(tr(tip))
    return field


def table(columns: Sequence[str], name: str) -> QTableWidget:
    """Return an empty table."""
    made = QTableWidget(0, len(columns))
    made.setHorizontalHeaderLabels([tr(c) for c in columns])
    made.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    made.verticalHeader().setDefaultSectionSize(26)
    made.setTabKeyNavigation(False)  # Tab leaves the table, arrows go about in it
    made.setAccessibleName(tr(name))
    return made


def add_row(into: QTableWidget, texts: Sequence[str]) -> int:
    """Append a row of cells without telling of it."""
    row = into.rowCount()
    blocked = into.blockSignals(True)
    into.insertRow(row)
    for column, text in enumerate(texts):
        into.setItem(row, column, QTableWidgetItem(text))
    into.blockSignals(blocked)
    return row


def cell(of: QTableWidget, row: int, column: int) -> str:
    """Return what stands in a cell."""
    item = of.item(row, column)
    return item.text().strip() if item is not None else ""


def turned(holes: Points, angle: float) -> Points:
    """Turn a pattern by minus ``angle`` about the datum."""
    c, s = math.cos(angle), math.sin(angle)
    return tuple((c * x + s * y, c * y - s * x) for x, y in holes)


def laid_from_first(holes: Points, angle: float) -> Points:
    """Turn the mirror line onto x, hole 2 to the right of hole 1 where it lies that way, hole 1 the datum."""
    laid = turned(holes, angle)
    if laid[1][0] - laid[0][0] < -abs(laid[1][1] - laid[0][1]):
        laid = tuple((-x, -y) for x, y in laid)
    x0, y0 = laid[0]
    return tuple((x - x0, y - y0) for x, y in laid)
