"""The menu of what makes a stand better: trying, searching, comparing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence

from app.window.better import HELPS, MOTION, SEARCH
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def build_better(window: MainWindow, motion: QAction, reference: QAction) -> list[QAction]:
    """Return the menu's actions; those of the panels below follow which one is open."""
    better = window.better
    below = {
        HELPS: _toggle(window, tr("What one change &helps most"), "Ctrl+B", tr("Single changes, by what they gain and cost")),
        SEARCH: _toggle(window, tr("&Search for better stands"), "Ctrl+Shift+B", tr("Lighter, cheaper, stiffer")),
        MOTION: motion,
    }
    for name, action in below.items():
        if action is not motion:
            action.toggled.connect(lambda on, n=name: better.show_below(n, on))

    def follow(opened: str) -> None:
        for name, action in below.items():
            action.setChecked(name == opened)

    better.opened.connect(follow)
    compare = QAction(tr("&Compare and variants …"), window)
    compare.setShortcut(QKeySequence("Ctrl+R"))
    compare.setToolTip(tr("Side by side with the reference, a variant or another brief; keep variants"))
    compare.triggered.connect(lambda _on=False: better.compare())
    return [below[HELPS], below[SEARCH], reference, compare]


def _toggle(window: MainWindow, text: str, keys: str, tip: str) -> QAction:
    action = QAction(text, window)
    action.setCheckable(True)
    action.setShortcut(QKeySequence(keys))
    action.setToolTip(tip)
    return action
