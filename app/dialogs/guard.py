"""Asks what becomes of unsaved work."""

from __future__ import annotations

from PySide6.QtWidgets import QMessageBox, QWidget


def ask_unsaved(parent: QWidget, name: str) -> str:
    """Return "save", "discard" or "cancel"."""
    box = QMessageBox(parent)
    box.setWindowTitle("Unsaved changes")
    box.setText(f"{name} has changes that are in no file.")
    save = box.addButton("Save", QMessageBox.ButtonRole.AcceptRole)
    drop = box.addButton("Drop the changes", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("Stay here", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(stay)
    box.exec()
    clicked = box.clickedButton()
    return "save" if clicked is save else "discard" if clicked is drop else "cancel"


def tell(parent: QWidget, title: str, text: str) -> None:
    """Say one thing plainly."""
    QMessageBox.warning(parent, title, text)
