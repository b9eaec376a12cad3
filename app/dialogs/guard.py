"""Asks before work could be lost: unsaved, changed on disk, open in another window."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QMessageBox, QWidget

from app.dialogs.modal import ask
from app.words import tr


def ask_unsaved(parent: QWidget, name: str) -> str:
    """Return "save", "discard" or "cancel"."""
    box = QMessageBox(parent)
    box.setWindowTitle(tr("Unsaved changes"))
    box.setText(tr(f"{name} has changes that are in no file."))
    save = box.addButton(tr("Save"), QMessageBox.ButtonRole.AcceptRole)
    drop = box.addButton(tr("Drop the changes"), QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton(tr("Stay here"), QMessageBox.ButtonRole.RejectRole)
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
    box.setWindowTitle(tr("Changed on disk"))
    box.setText(tr(f"{name} was changed on disk at {when}, after it was opened here."))
    box.setInformativeText(tr("Saving yours would overwrite that change. If you take theirs, Undo brings yours back."))
    other = box.addButton(tr("Save mine under a new name …"), QMessageBox.ButtonRole.AcceptRole)
    mine = box.addButton(tr("Keep mine"), QMessageBox.ButtonRole.DestructiveRole)
    theirs = box.addButton(tr("Take theirs"), QMessageBox.ButtonRole.DestructiveRole)
    differences = box.addButton(tr("Look at the differences"), QMessageBox.ButtonRole.ActionRole)
    # Looking must not answer the question.
    differences.clicked.disconnect()
    differences.clicked.connect(look)
    stay = box.addButton(tr("Stay here"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(other)
    box.setEscapeButton(stay)
    ask(box)
    return {other: "new name", mine: "mine", theirs: "theirs"}.get(box.clickedButton(), "cancel")


def ask_other_window(parent: QWidget | None, name: str) -> str:
    """Ask when a file is open in another window: "look", "copy" or "cancel"."""
    box = QMessageBox(parent)
    box.setWindowTitle(tr("Open in another window"))
    box.setText(tr(f"{name} is open in another window; changes could overwrite each other."))
    box.setInformativeText(
        tr("Opened to look at, it can be changed but saved under another name only. A copy is a brief without a file.")
    )
    look = box.addButton(tr("Open it to look at"), QMessageBox.ButtonRole.AcceptRole)
    copy = box.addButton(tr("Open a copy"), QMessageBox.ButtonRole.AcceptRole)
    stay = box.addButton(tr("Do not open it"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(look)
    box.setEscapeButton(stay)
    ask(box)
    return {look: "look", copy: "copy"}.get(box.clickedButton(), "cancel")


def ask_overwrite_open(parent: QWidget, name: str) -> bool:
    """Ask before a file is overwritten that another window works on."""
    box = QMessageBox(parent)
    box.setWindowTitle(tr("Open in another window"))
    box.setText(tr(f"{name} is open in another window; changes could overwrite each other."))
    over = box.addButton(tr("Overwrite it"), QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton(tr("Stay here"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    ask(box)
    return box.clickedButton() is over
