"""One question: its words, the line to type in, and the sentence that says what is wrong with what was typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from app.numbers import plain
from app.theme import palette
from app.words import tr, understood
from framecore.errors import UnitError


class Said(QLabel):
    """A sentence that asks for a look; hidden while there is none."""

    def __init__(self) -> None:
        super().__init__()
        self.setWordWrap(True)
        self.hide()

    def say(self, sentence: str) -> None:
        """Show the sentence, or nothing."""
        self.setText(f"▲ {tr(sentence[:1].upper() + sentence[1:])}" if sentence else "")
        self.setStyleSheet(f"color: {palette().look};")
        self.setVisible(bool(sentence))


class Field(QWidget):
    """A line that reads itself while it is typed; what cannot be read stays as typed, with a sentence below.

    Signals
    -------
    changed() : something else stands in the line
    entered() : Enter was pressed in it

    Parameters
    ----------
    read : text -> value; raises UnitError with one sentence
    """

    changed = Signal()
    entered = Signal()

    def __init__(self, label: str, read: Callable[[str], Any], example: str = "", *, shown: bool = True) -> None:
        super().__init__()
        self.label = label
        self._read = read
        self.line = QLineEdit()
        self.line.setPlaceholderText(tr(example))
        self.line.setAccessibleName(tr(label))
        self.line.textChanged.connect(self._typed)
        self.line.returnPressed.connect(self.entered)
        self.said = Said()
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(3)
        if shown:
            name = QLabel(tr(label))
            name.setWordWrap(True)
            name.setBuddy(self.line)
            page.addWidget(name)
        page.addWidget(self.line)
        page.addWidget(self.said)
        self.setFocusProxy(self.line)

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self.line.text().strip()

    @property
    def meant(self) -> str:
        """What stands in the line as the program reads it; raises UnitError where that could be two things."""
        return plain(understood(self.text, "div"))

    def set_text(self, text: str) -> None:
        """Put text into the line."""
        self.line.setText(text)

    def value(self) -> Any:
        """Return what was typed, None where nothing was; raises UnitError with the field's name."""
        if not self.text:
            return None
        try:
            return self._read(self.meant)
        except UnitError as fault:
            raise UnitError(f"{self.label}: {fault}") from fault

    def look_again(self) -> None:
        """Read anew: what another field says may have changed what this one means."""
        sentence = ""
        if self.text:
            try:
                self._read(self.meant)
            except UnitError as fault:
                sentence = str(fault)
        self.said.say(sentence)
        self.line.setAccessibleDescription(tr(sentence))

    def _typed(self) -> None:
        self.look_again()
        self.changed.emit()
