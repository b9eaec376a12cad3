"""How large a dialog opens: as it wants, and never larger than the screen it opens on."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

FRAME = QSize(16, 44)  # what the window's frame takes around it


def open_at(dialog: QWidget, width: int, height: int) -> None:
    """Give a dialog its first size."""
    room = dialog.screen().availableGeometry().size() - FRAME
    dialog.resize(QSize(width, height).boundedTo(room))
