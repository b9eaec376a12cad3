"""The three steps in a row: where you are, what is behind you and what asks for a second look."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QWidget

from app.theme import palette
from app.words import tr

STEPS = ("Feet bear", "Level enough", "Twist out")
OPEN, WELL, LOOK = "", "✓", "▲"
_WORDS = {OPEN: "not answered yet", WELL: "well", LOOK: "asks for a move"}


class StepsRow(QWidget):
    """One button a step.

    Signals
    -------
    chosen(step) : 1 to 3
    """

    chosen = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.marks = [OPEN, OPEN, OPEN]
        self.group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        self.buttons: list[QPushButton] = []
        for k, _ in enumerate(STEPS, 1):
            button = QPushButton()
            button.setCheckable(True)
            button.setAutoDefault(False)
            button.setMinimumHeight(34)
            self.group.addButton(button, k)
            self.buttons.append(button)
            row.addWidget(button, 1)
            if k < len(STEPS):
                row.addWidget(QLabel("→"))
        self.buttons[0].setChecked(True)
        self.group.idClicked.connect(self.chosen)
        self.show_marks()

    @property
    def step(self) -> int:
        """The step that is open, 1 to 3."""
        return self.group.checkedId()

    def go(self, step: int) -> None:
        """Open a step without telling it on."""
        self.buttons[step - 1].setChecked(True)
        self.show_marks()

    def mark(self, step: int, mark: str) -> None:
        """Put a mark on a step."""
        self.marks[step - 1] = mark
        self.show_marks()

    def show_marks(self) -> None:
        """Write words and marks anew, in the colours in use."""
        colours = palette()
        ink = {OPEN: colours.ink, WELL: colours.good, LOOK: colours.look}
        for k, (button, words, mark) in enumerate(zip(self.buttons, STEPS, self.marks, strict=True), 1):
            button.setText(f"{k}  {tr(words)}{'  ' + mark if mark else ''}")
            here = ", you are here" if button.isChecked() else ""
            button.setAccessibleName(tr(f"Step {k}, {words}: {_WORDS[mark]}{here}"))
            colour = ink[mark] if button.isEnabled() else colours.faint
            weight = "bold" if button.isChecked() else "normal"
            button.setStyleSheet(f"color: {colour}; font-weight: {weight};")
