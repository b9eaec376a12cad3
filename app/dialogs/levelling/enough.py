"""Step 2: how far the whole lies off level, across and along."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from app.dialogs.levelling.field import Field, Said
from app.dialogs.levelling.machine import Machine
from app.dialogs.levelling.reading import SENSITIVITY, both_ways, level_of
from app.words import tr
from framecore.errors import UnitError
from framecore.seat.answer import Question
from framecore.seat.readings import Level, Tilt, parse_tilt

WAYS = (("across", "Across", "+ where the back is higher"), ("along", "Along", "+ where the right end is higher"))


class EnoughPage(QWidget):
    """Two tilts, each as laid and turned end for end.

    Signals
    -------
    changed(), entered() : as of a field
    """

    changed = Signal()
    entered = Signal()

    def __init__(self, inch: bool) -> None:
        super().__init__()
        worth, tilt = ("0.0005 in/ft", "0.03 in/ft") if inch else ("0.02 mm/m", "2.4 mm/m")
        words = QLabel(
            tr(
                "A carpenter's or a digital level will do. It need not be dead level: within 1 mm/m the precision level "
                "stays on its scale, and twist is what counts."
            )
        )
        words.setWordWrap(True)
        self.worth = Field(f"{SENSITIVITY} (only for readings in divisions)", level_of, f"for example {worth}")
        self.fields: dict[str, Field] = {}
        self.pair = {name: Said() for name, *_ in WAYS}
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.addWidget(QLabel(tr("as laid")), 0, 1)
        grid.addWidget(QLabel(tr("turned end for end")), 0, 2)
        for k, (name, label, sign) in enumerate(WAYS):
            row = 1 + 3 * k
            grid.addWidget(QLabel(tr(label)), row, 0)
            for column, way in ((1, "as laid"), (2, "turned end for end")):
                field = Field(f"{label} the bed, {way}", self._tilt, tilt if column == 1 else "may stay empty", shown=False)
                self.fields[f"{name}.{'laid' if column == 1 else 'turned'}"] = field
                grid.addWidget(field, row, column)
            hint = QLabel(tr(sign))
            hint.setObjectName("soft")
            grid.addWidget(hint, row + 1, 1, 1, 2)
            grid.addWidget(self.pair[name], row + 2, 1, 1, 2)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(10)
        page.addWidget(words)
        page.addLayout(grid)
        page.addWidget(self.worth)
        page.addStretch(1)
        for field in self.fields.values():
            self.worth.changed.connect(field.look_again)
        for field in (self.worth, *self.fields.values()):
            field.changed.connect(self._typed)
            field.entered.connect(self.entered)

    def _tilt(self, text: str) -> Tilt:
        try:
            level = self.level()
        except UnitError:
            level = Level(division=0.02)  # the sensitivity's own sentence says what is wrong with it
        return parse_tilt(text, level)

    def _typed(self) -> None:
        for name, *_ in WAYS:
            alone = self.fields[f"{name}.turned"].text and not self.fields[f"{name}.laid"].text
            self.pair[name].say("give the reading as laid too" if alone else "")
        self.changed.emit()

    def level(self) -> Level:
        """Return the level used; raises UnitError."""
        found: Level | None = self.worth.value()
        return found or Level()

    def tilt(self, name: str) -> Tilt | None:
        """Return "across" or "along", None where nothing was typed; raises UnitError."""
        laid, turned = (self.fields[f"{name}.{way}"] for way in ("laid", "turned"))
        if not laid.text and not turned.text:
            return None
        for field in (laid, turned):
            field.value()
        try:
            return both_ways(laid.meant, turned.meant, self.level())
        except UnitError as fault:
            raise UnitError(f"{name.capitalize()} the bed: {fault}") from fault

    def question(self, machine: Machine) -> Question:
        """Return what this step asks; raises UnitError with one sentence."""
        across, along = self.tilt("across"), self.tilt("along")
        if across is None and along is None:
            raise UnitError("Give at least one reading, across the bed or along it.")
        return Question(wanted=machine.wanted(), level=self.level(), across=across, along=along, tried=True)
