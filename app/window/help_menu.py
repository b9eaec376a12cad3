"""The help menu: pages to read, the keys, what this is."""

from __future__ import annotations

from collections.abc import Callable
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence

from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow

# Page -> its title with the letter of the menu, what it is about.
PAGES = {
    "tutorial.md": ("From the machine &to the packet", "A small lathe, from the first questions on"),
    "figures.md": ("&Figures explained", "What each figure means, what is good, where it comes from"),
    "inputs.md": ("&Settings explained", "What each setting means"),
    "levelling.md": ("&Levelling, a worked story", "From first reading to straight bed"),
    "validation.md": ("What was &checked", "Outside numbers, and how close"),
}


def build_help(window: MainWindow) -> list[QAction]:
    """Return the actions of the help menu."""
    actions = [
        _action(window, title, tip, lambda name=name: show_page(window, name)) for name, (title, tip) in PAGES.items()
    ]
    keys = _action(window, "&Keys", "Everything that a key does", lambda: _show_keys(window))
    keys.setShortcut(QKeySequence.StandardKey.HelpContents)
    what = _action(window, "What is &this?", "Tells of the setting or figure that has the keys", lambda: _show_what(window))
    what.setShortcut(QKeySequence("Shift+F1"))
    return [what, *actions, keys, _action(window, "&About Standwright", "", lambda: _show_about(window))]


def _action(window: MainWindow, text: str, tip: str, do: Callable[[], None]) -> QAction:
    action = QAction(tr(text), window)
    if tip:
        action.setToolTip(tr(tip))
    action.triggered.connect(lambda _=False: do())
    return action


def show_page(window: MainWindow, name: str) -> None:
    """Show a page of the help; it stays open beside the window."""
    from app.dialogs.page import PageDialog

    called = {"figures.md": _figure_called, "inputs.md": _setting_called}.get(name, lambda _window, _head: "")
    PageDialog(tr(PAGES[name][0]).replace("&", ""), name, window, lambda head: called(window, head)).show()


def _figure_called(window: MainWindow, head: str) -> str:
    """What the panel calls a figure; of several under one heading the first stands for all."""
    figures = window.live.stand.figures.at_hand if window.live.stand is not None else {}
    if head in figures:
        return str(tr(figures[head].label))
    return next((f"{tr(f.label)} …" for name, f in figures.items() if fnmatchcase(name, head)), "")


def _setting_called(_window: MainWindow, head: str) -> str:
    """What the settings call a key, with its group."""
    from app.inputs.fields import GROUPS, keys

    return next((f"{tr(GROUPS[k.group])}: {tr(k.label)}" for k in keys() if k.path == head), "")


def _show_keys(window: MainWindow) -> None:
    from app.dialogs.help_keys import KeysDialog

    KeysDialog(window).show()


def _show_about(window: MainWindow) -> None:
    from app.dialogs.about import AboutDialog
    from app.dialogs.modal import ask

    ask(AboutDialog(window))


def _show_what(window: MainWindow) -> None:
    from app.window.what import show_what

    show_what(window)
