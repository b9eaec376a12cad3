"""Asks before work could be lost: unsaved, changed on disk, open in another window."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QMessageBox, QWidget

from app.dialogs.modal import ask


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
    ask(box)
    clicked = box.clickedButton()
    return "save" if clicked is save else "discard" if clicked is drop else "cancel"


def tell(parent: QWidget, title: str, text: str) -> None:
    """Say one thing plainly."""
    QMessageBox.warning(parent, title, text)


def ask_changed(parent: QWidget, name: str, when: str, look: Callable[[], None]) -> str:
    """Ask when saving would overwrite somebody else's change: "mine", "theirs", "new name" or "cancel"."""
    box = QMessageBox(parent)
    box.setWindowTitle("Changed on disk")
    box.setText(f"{name} was changed on disk at {when}, after it was opened here.")
    box.setInformativeText("Saving yours would overwrite that change. If you take theirs, Undo brings yours back.")
    other = box.addButton("Save mine under a new name …", QMessageBox.ButtonRole.AcceptRole)
    mine = box.addButton("Keep mine", QMessageBox.ButtonRole.DestructiveRole)
    theirs = box.addButton("Take theirs", QMessageBox.ButtonRole.DestructiveRole)
    differences = box.addButton("Look at the differences", QMessageBox.ButtonRole.ActionRole)
    # Looking must not answer the question.
    differences.clicked.disconnect()
    differences.clicked.connect(look)
    stay = box.addButton("Stay here", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(other)
    box.setEscapeButton(stay)
    ask(box)
    return {other: "new name", mine: "mine", theirs: "theirs"}.get(box.clickedButton(), "cancel")


def ask_other_window(parent: QWidget | None, name: str) -> str:
    """Ask when a file is open in another window: "look", "copy" or "cancel"."""
    box = QMessageBox(parent)
    box.setWindowTitle("Open in another window")
    box.setText(f"{name} is open in another window; changes could overwrite each other.")
    box.setInformativeText(
        "Opened to look at, it can be changed but saved under another name only. A copy is a brief without a file."
    )
    look = box.addButton("Open it to look at", QMessageBox.ButtonRole.AcceptRole)
    copy = box.addButton("Open a copy", QMessageBox.ButtonRole.AcceptRole)
    stay = box.addButton("Do not open it", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(look)
    box.setEscapeButton(stay)
    ask(box)
    return {look: "look", copy: "copy"}.get(box.clickedButton(), "cancel")


def ask_overwrite_open(parent: QWidget, name: str) -> bool:
    """Ask before a file is overwritten that another window works on."""
    box = QMessageBox(parent)
    box.setWindowTitle("Open in another window")
    box.setText(f"{name} is open in another window; changes could overwrite each other.")
    over = box.addButton("Overwrite it", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("Stay here", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    ask(box)
    return box.clickedButton() is over
