"""Questions that hold the window until they are answered."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog


def ask(dialog: QDialog) -> int:
    """Hold the window until ``dialog`` is answered, then let go of it.

    A dialog belongs to its window and would stay with it, closed and unseen, as long as the window lives. What was
    answered can still be read right after.
    """
    try:
        return dialog.exec()
    finally:
        dialog.deleteLater()
