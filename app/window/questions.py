"""What the window asks the maker: one place, so that tests answer without a dialog."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from app.dialogs.guard import ask_unsaved, tell
from app.window.keeping import KeepingQuestions
from app.window.starting import ask_first, ask_new
from app.window.telling import show_folder
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow
    from framecore.brief import BriefSource


def _there(window: MainWindow, name: str) -> str:
    """A bare name goes to the folder used last; a name with a folder stays."""
    given = Path(name)
    folder = window.settings.folder
    return name if given.parent != Path() or folder is None else str(folder / given)


def _open_path(window: MainWindow) -> str:
    folder = window.settings.folder
    return QFileDialog.getOpenFileName(window, tr("Open a brief"), str(folder or ""), _briefs())[0]


def _save_path(window: MainWindow, name: str) -> str:
    return QFileDialog.getSaveFileName(window, tr("Save the brief"), _there(window, name), _briefs())[0]


def _folder(window: MainWindow, name: str) -> str:
    return QFileDialog.getSaveFileName(window, tr("A new folder for the packet"), _there(window, name))[0]


def _briefs() -> str:
    return tr("Briefs") + " (*.toml)"


@dataclass
class Questions:
    """What is asked before a file is touched, and how the maker is told of something."""

    unsaved: Callable[[QWidget, str], str] = ask_unsaved
    tell: Callable[[QWidget, str, str], None] = tell
    open_path: Callable[[MainWindow], str] = _open_path
    save_path: Callable[[MainWindow, str], str] = _save_path
    folder: Callable[[MainWindow, str], str] = _folder
    show_folder: Callable[[str], None] = show_folder
    new: Callable[[MainWindow], BriefSource | None] = ask_new
    first: Callable[[MainWindow], BriefSource | None] = ask_first
    keeping: KeepingQuestions = field(default_factory=KeepingQuestions)
