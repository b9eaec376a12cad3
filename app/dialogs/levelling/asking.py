"""What the window asks in a box of its own: what of a round goes, and where a sheet goes."""

from __future__ import annotations

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.dialogs.modal import ask
from app.words import tr

ONLY_READING, ALL_OF_IT = "reading", "all"


def ask_take_out(parent: QWidget, number: int) -> str:
    """Ask what of a round goes: "reading", "all" or "" for nothing."""
    box = QMessageBox(parent)
    box.setWindowTitle(tr("Take out a round"))
    box.setText(tr(f"Round {number}: were its screws turned?"))
    box.setInformativeText(
        tr("If they were, only its reading goes and its moves are counted to the round before. If nothing was turned, all of "
        "it goes.")
    )
    turned = box.addButton(tr("They were turned"), QMessageBox.ButtonRole.AcceptRole)
    nothing = box.addButton(tr("Nothing was turned"), QMessageBox.ButtonRole.DestructiveRole)
    box.addButton(QMessageBox.StandardButton.Cancel)
    ask(box)
    return {turned: ONLY_READING, nothing: ALL_OF_IT}.get(box.clickedButton(), "")


def ask_path(parent: QWidget, name: str) -> str:
    """Ask where the sheet goes; "" for nowhere."""
    return QFileDialog.getSaveFileName(parent, "Record sheet", name)[0]
