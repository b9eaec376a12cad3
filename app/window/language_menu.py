"""The menu of languages: the system's or one of those there are; it counts from the next start."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu

from app.words import tr
from framecore.words import languages

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def language_menu(window: MainWindow) -> QMenu:
    """Return the menu; each language is written in itself, so that everyone finds their own."""
    menu = QMenu(tr("Lan&guage"), window)
    group = QActionGroup(menu)
    for code, name in {"": tr("As the system"), **languages()}.items():
        action = QAction(name, menu)
        action.setCheckable(True)
        action.setChecked(window.settings.language == code)
        action.triggered.connect(lambda _=False, c=code: _choose(window, c))
        group.addAction(action)
        menu.addAction(action)
    return menu


def _choose(window: MainWindow, code: str) -> None:
    window.settings.language = code
    window.statusBar().showMessage(tr("The language changes with the next start."), 8000)
