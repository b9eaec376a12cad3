"""The strip above the view that tells what happened to the file, with what can be done about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.words import tr


class FileBanner(QWidget):
    """One sentence and a few buttons; hidden while there is nothing to tell."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("fileBanner")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.label = QLabel()
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setWordWrap(True)
        self.buttons: dict[str, QPushButton] = {}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 5, 14, 5)
        self._row.addWidget(self.label, 1)
        self.hide()

    def tell(self, text: str, offers: Sequence[tuple[str, Callable[[], object]]]) -> None:
        """Show a sentence; the last button puts it away."""
        self.clear()
        self.label.setText(tr(text))
        for name, do in (*offers, ("Hide", self.clear)):
            button = QPushButton(tr(name))
            button.clicked.connect(lambda _=False, d=do: d())
            self._row.addWidget(button)
            self.buttons[name] = button
        self.show()

    def clear(self) -> None:
        """Nothing to tell any more."""
        for button in self.buttons.values():
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.buttons = {}
        self.hide()
