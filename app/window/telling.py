"""The lower edge of the window: a line that comes and goes, and where a packet lies until that is put away."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMainWindow, QPushButton, QWidget

from app.words import tr


def show_folder(folder: str) -> None:
    """Open a folder in what the system has for that."""
    QDesktopServices.openUrl(QUrl.fromLocalFile(folder))


class PacketThere(QWidget):
    """Says where the packet is, and leads to it.

    Parameters
    ----------
    open_folder : what leads to it
    """

    def __init__(self, window: QMainWindow, open_folder: Callable[[str], None]) -> None:
        super().__init__()
        self._window, self._open = window, open_folder
        self.folder = ""
        self.told = QLabel()
        self.told.setMinimumWidth(60)
        self.look, self.away = QPushButton(tr("Open the folder")), QPushButton(tr("Close"))
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 2, 8, 2)
        row.addWidget(self.told, 1)
        row.addWidget(self.look)
        row.addWidget(self.away)
        self.look.clicked.connect(lambda: self._open(self.folder))
        self.away.clicked.connect(self.put_away)
        bar = window.statusBar()
        bar.addWidget(self, 1)
        bar.setSizeGripEnabled(False)
        bar.messageChanged.connect(lambda _text: self._show_bar())
        self.hide()
        self._show_bar()

    def _show_bar(self) -> None:
        """Take height for the edge only while something stands there."""
        bar = self._window.statusBar()
        bar.setVisible(bool(bar.currentMessage() or self.folder))

    def tell(self, folder: str) -> None:
        """Say that a packet is there, whole."""
        self.folder = folder
        said = tr(f"The packet is in {Path(folder)}.")
        self.told.setText(said)
        self.told.setToolTip(said)
        self._window.statusBar().clearMessage()
        self.show()
        self._show_bar()

    def put_away(self) -> None:
        """It has been read."""
        self.folder = ""
        self.hide()
        self._show_bar()
