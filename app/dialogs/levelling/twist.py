"""Step 3: readings along the bed or a turning test."""

from __future__ import annotations

import re
from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.dialogs.levelling.collars import CollarsPage
from app.dialogs.levelling.field import Field
from app.dialogs.levelling.machine import Machine
from app.dialogs.levelling.pages import Pages
from app.dialogs.levelling.reading import SENSITIVITY, level_of
from app.dialogs.levelling.stations import StationTable
from app.words import tr
from framecore.errors import UnitError
from framecore.seat.answer import Question
from framecore.seat.readings import Level, parse_tilt
from framecore.units import parse_force


def _tolerance(text: str) -> float:
    value = parse_tilt(text + " mm/m" if re.fullmatch(r"[\d.]+", text) else text).value
    if not 0.001 <= value <= 5:
        raise UnitError(f"{value:g} mm/m; allowed: 0.001 to 5 mm/m, nearest {min(max(value, 0.001), 5.0):g} mm/m.")
    return value


def _force(units: str) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = parse_force(text, units)
        if not 0 <= value <= 200_000:
            raise UnitError(f"{value:g} N; allowed: 0 to 200000 N, nearest {min(max(value, 0.0), 200_000.0):g} N.")
        return value

    return read


class TwistPage(QWidget):
    """Two ways to ask for the twist.

    Signals
    -------
    changed(), entered() : as of a field
    """

    changed = Signal()
    entered = Signal()

    def __init__(self, length: float, units: str, limit: float, *, screws: bool) -> None:
        super().__init__()
        worth = "0.0005 in/ft" if units.startswith("inch") else "0.02 mm/m"
        self.by_level, self.by_collars = QPushButton(tr("By level")), QPushButton(tr("By turning two collars"))
        group = QButtonGroup(self)
        head = QHBoxLayout()
        for button in (self.by_level, self.by_collars):
            button.setCheckable(True)
            button.setAutoDefault(False)
            group.addButton(button)
            head.addWidget(button)
        self.by_level.setChecked(True)
        head.addStretch(1)
        self.worth = Field(SENSITIVITY, level_of, f"for example {worth}")
        self.stations = StationTable(self.level, length, units)
        self.collars = CollarsPage(units)
        words = QLabel(
            tr("The precision level on clean ways, across the bed. + is where the bubble goes to the back. Then turn it end "
            "for end on the same spot and read again: its own error falls out.")
        )
        words.setWordWrap(True)
        read = QWidget()
        left = QVBoxLayout(read)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(8)
        left.addWidget(words)
        left.addWidget(self.worth)
        left.addWidget(self.stations)
        self.ways = Pages(read, self.collars)
        group.buttonToggled.connect(self._switch)
        self.tolerance = Field("Content with a twist of", _tolerance, f"{limit:g} mm/m, as the brief has it")
        self.preload = Field("Each holding-down bolt presses with, besides the weight", _force(units), "0 N")
        self.preload.setVisible(screws)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(8)
        page.addLayout(head)
        page.addWidget(self.ways)
        page.addWidget(self.tolerance)
        page.addWidget(self.preload)
        page.addStretch(1)
        self.worth.changed.connect(self.stations.look_again)
        for part in (self.worth, self.stations, self.collars, self.tolerance, self.preload):
            part.changed.connect(self.changed)
        for part in (self.worth, self.collars, self.tolerance, self.preload):
            part.entered.connect(self.entered)

    def _switch(self) -> None:
        self.ways.open(1 if self.by_collars.isChecked() else 0)
        self.changed.emit()

    def level(self) -> Level:
        """Return the level used; raises UnitError."""
        found: Level | None = self.worth.value()
        return found or Level()

    def question(self, machine: Machine) -> Question:
        """Return what this step asks; raises UnitError with one sentence."""
        wanted = machine.wanted(self.tolerance.value(), self.preload.value())
        if self.by_collars.isChecked():
            test = self.collars.test()
            if test is None:
                raise UnitError("Give what was measured at the two collars.")
            return Question(wanted=wanted, test=test, ways=self.collars.ways(), tried=True)
        stations = self.stations.stations()
        if not stations:
            raise UnitError("Give readings at two stations or more, such as left and right.")
        return Question(wanted=wanted, level=self.level(), stations=stations, tried=True)
