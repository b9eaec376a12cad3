"""Menus and the tool strip."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QToolBar

from app.window.better_menu import build_better
from app.window.help_menu import build_help
from app.window.language_menu import language_menu
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow

PANELS = (("Se&ttings", "settings"), ("F&igures", "figures"), ("&Cut plan and list", "cut plan"))
VIEWS = (("Front", "front"), ("Side", "side"), ("Top", "top"), ("Three-quarter", "three-quarter"))


def _action(
    window: MainWindow,
    text: str,
    do: Callable[..., object],
    keys: QKeySequence | QKeySequence.StandardKey | str | None = None,
    tip: str = "",
    checkable: bool = False,
) -> QAction:
    action = QAction(tr(text), window)
    action.setCheckable(checkable)
    if keys is not None:
        action.setShortcut(QKeySequence(keys) if isinstance(keys, str) else keys)
    if tip:
        action.setToolTip(tr(tip))
    if checkable:
        action.toggled.connect(do)
    else:
        action.triggered.connect(lambda _=False: do())
    return action


def build(window: MainWindow) -> None:
    """Fill the menu bar and the tool strip of ``window``."""
    std = QKeySequence.StandardKey
    history = window.document.history
    new = _action(window, "&New stand …", window.new, std.New, "What machine, and the few numbers only you know")
    open_ = _action(window, "&Open …", window.open, std.Open, "Open a brief")
    save = _action(window, "&Save", window.save, std.Save, "Save the brief")
    save_as = _action(window, "Save &as …", window.save_as, std.SaveAs)
    sheets = _action(window, "S&heets …", window.show_sheets, "Ctrl+P", "See the sheets, then save them")
    packet = _action(
        window, "Save the &packet …", window.save_packet, None, "Everything for the shop in one folder"
    )
    leave = _action(window, "&Leave", window.close, std.Quit)
    undo = history.createUndoAction(window, tr("&Undo"))
    undo.setShortcut(std.Undo)
    redo = history.createRedoAction(window, tr("&Redo"))
    redo.setShortcut(std.Redo)
    seek = _action(window, "&Find a setting", window.find_setting, std.Find)
    fit = _action(window, "F&it", window.view.fit, "Home", "Show the whole stand")
    parallel = _action(
        window, "&Parallel", window.view.set_parallel, None, "Parallel view or perspective", checkable=True
    )
    reference = _action(
        window, "&Reference", window.keep_reference, None, "Keep this stand to compare with", checkable=True
    )
    plot = _action(
        window, "&Motion", window.show_modes, None, "Modes in the view, running speeds, what would move them", checkable=True
    )
    dark = _action(window, "&Dark", window.set_dark, None, "Light or dark paper", checkable=True)
    views = [
        _action(window, text, lambda n=name: window.view.preset(n), f"Alt+{i}", f"{text} view")
        for i, (text, name) in enumerate(VIEWS, 1)
    ]
    window.dark_action = dark
    window.reference_action = reference
    window.parallel_action = parallel
    holes = _action(
        window, "&Holes on the view", window.holes_on_view, "Ctrl+H", "Move the machine's holes on the view", checkable=True
    )
    sizes = _action(
        window, "Si&zes on the view", window.sizes_on_view, None, "Length, depth, height, bearers by hand", checkable=True
    )
    window.holes_action, window.sizes_action = holes, sizes

    bar = window.menuBar()
    file = bar.addMenu(tr("&Brief"))
    file.addActions([new, open_])
    window.recent_menu = file.addMenu(tr("Open &lately used"))
    file.addAction(_action(window, "&Kept work …", window.offer_kept, None, "Work of a window that did not close cleanly"))
    file.addActions([save, save_as])
    file.addSeparator()
    picture = _action(window, "Save a pict&ure …", lambda: _save_picture(window), None, "The view as PNG or SVG, of any size")
    file.addActions([sheets, packet, picture])
    file.addSeparator()
    file.addAction(leave)
    edit = bar.addMenu(tr("&Change"))
    edit.addActions([undo, redo, seek])
    edit.addSeparator()
    edit.addActions(
        [
            holes,
            sizes,
            _action(window, "Hole &pattern …", window.measure_pattern, None, "Manual, measured distances or rubbing"),
            _action(window, "&Level the machine …", window.level_machine),
        ]
    )
    look = bar.addMenu(tr("&View"))
    look.addActions([*views, fit, parallel])
    look.addSeparator()
    look.addActions([plot, dark])
    look.addSeparator()
    look.addActions(_panels(window))
    look.addMenu(language_menu(window))
    bar.addMenu(tr("B&etter")).addActions(build_better(window, plot, reference))
    bar.addMenu(tr("&Help")).addActions(build_help(window))

    strip = QToolBar(tr("Tools"))
    strip.setObjectName("tools")
    strip.setMovable(False)
    strip.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    strip.addActions([open_, save])
    strip.addSeparator()
    # The history's own actions carry a full sentence; the strip says the verb only.
    back = _action(window, "Undo", history.undo, None, "Undo the last step")
    again = _action(window, "Redo", history.redo, None, "Do it again")
    for short, allowed in ((back, history.canUndoChanged), (again, history.canRedoChanged)):
        short.setEnabled(False)
        allowed.connect(short.setEnabled)
    strip.addActions([back, again])
    strip.addSeparator()
    strip.addActions([*views, fit, parallel])
    strip.addSeparator()
    strip.addActions([reference, plot, sheets, packet])
    strip.addSeparator()
    strip.addAction(dark)
    strip.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
    window.addToolBar(strip)


def _panels(window: MainWindow) -> list[QAction]:
    """Actions that show and hide the panels, and put them back."""
    places = window.places
    toggles = {}
    for k, (text, name) in enumerate(PANELS, 1):
        toggle = _action(
            window, text, lambda on, n=name: places.open_panel(n, on), f"Ctrl+{k}", "Show or hide the panel", checkable=True
        )
        toggle.setChecked(not places.panels[name].isHidden())
        toggles[name] = toggle
    places.opened.connect(lambda name, on: toggles[name].setChecked(on))
    first = _action(window, "Panels as at fi&rst", places.as_at_first, None, "Sizes, places, open groups")
    forth = _action(window, "&Next part", lambda: _walk(window, 1), "F6", "Gives the keys to the next part of the window")
    back = _action(window, "Part &before", lambda: _walk(window, -1), "Shift+F6", "Gives the keys to the part before")
    return [*toggles.values(), first, forth, back]


def _save_picture(window: MainWindow) -> None:
    from app.window.picture import save_picture

    save_picture(window)


def _walk(window: MainWindow, way: int) -> None:
    from app.window.walking import walk

    walk(window, way)
