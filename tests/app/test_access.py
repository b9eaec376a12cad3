"""Everything by the keys, and everything with a name: walks all widgets of the window and of every dialog."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QFrame,
    QLabel,
    QLineEdit,
    QScrollBar,
    QTabBar,
    QTableWidget,
    QTextEdit,
    QWidget,
)

from app.inputs.fields import keys
from app.inputs.tables import TABLES

SPOKEN = (QAbstractButton, QAbstractItemView, QAbstractSlider, QAbstractSpinBox, QComboBox, QLineEdit, QTextEdit)
# Parts the toolkit makes inside its own widgets; they speak through the widget they belong to.
INNER = ("qt_", "ScrollLeftButton", "ScrollRightButton")


def name_of(widget: QWidget) -> str:
    """The name a screen reader is told."""
    if isinstance(widget, QComboBox):  # its value stands in the place of the name; what leads to it is told besides
        before = (n.text() for n in widget.window().findChildren(QLabel) if n.buddy() is widget)
        return widget.accessibleName() or next(before, "")
    found = QAccessible.queryAccessibleInterface(widget)
    return found.text(QAccessible.Text.Name).strip() if found is not None else ""


def spoken(root: QWidget) -> list[QWidget]:
    """Everything in a window that takes the keys or can be worked with, as far as it is of our making."""
    found = []
    for widget in root.findChildren(QWidget):
        own = widget.objectName().startswith(INNER) or isinstance(widget, (QScrollBar, QTabBar))
        inside = isinstance(widget.parentWidget(), (QComboBox, QAbstractSpinBox, QAbstractItemView, QLineEdit))
        inside = inside or type(widget.parentWidget()) is QFrame  # the list that a combo box opens
        if own or inside:
            continue
        if isinstance(widget, SPOKEN) or widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            found.append(widget)
    return found


def nameless(root: QWidget) -> list[str]:
    return [
        f"{type(w).__name__} '{w.objectName()}' in {type(w.parentWidget()).__name__}" for w in spoken(root) if not name_of(w)
    ]


def dialogs(window):
    """Every dialog of the program, made as the window makes it."""
    from app.dialogs.about import AboutDialog
    from app.dialogs.first_start import FirstStart
    from app.dialogs.help_keys import KeysDialog
    from app.dialogs.levelling import LevelDialog
    from app.dialogs.page import PageDialog
    from app.dialogs.pattern import PatternDialog
    from app.dialogs.picture import PictureDialog
    from app.dialogs.rescue_differences import DifferencesDialog
    from app.inputs.tables import ListDialog
    from app.sheetview.dialog import SheetDialog
    from app.view3d.scene import build_scene

    stand = window.live.stand
    sheets = SheetDialog(window.document, window)
    sheets.show_stand(stand)
    yield sheets
    yield FirstStart(window, away="Stay here", again=True)
    yield KeysDialog(window)
    yield PageDialog("Levelling", "levelling.md", window)
    yield PatternDialog(window.document, window)
    yield LevelDialog(window.live, window.document, window)
    yield PictureDialog(build_scene(stand, frozenset()), window.view.camera, "stand", window)
    yield AboutDialog(window)
    yield DifferencesDialog("a = 1\n", "a = 2\n", ("there", "here"), window)
    for kind in TABLES:
        key = next(k for k in keys() if type(k.kind) is kind)
        yield ListDialog(key, [], window)


def test_everything_in_the_window_has_a_name(qtbot, window):
    window.show_modes(True)
    assert len(spoken(window)) > 150
    assert nameless(window) == []


def test_everything_in_every_dialog_has_a_name(qtbot, window):
    wrong = {}
    for dialog in dialogs(window):
        dialog.show()
        found = nameless(dialog)
        if found:
            wrong[type(dialog).__name__] = found
        dialog.close()
    assert wrong == {}


def test_tables_say_their_columns_and_cells(window):
    for table in window.findChildren(QTableWidget):
        heads = [table.horizontalHeaderItem(c) for c in range(table.columnCount())]
        assert all(h is not None and h.text() for h in heads), table.accessibleName()
    cells = QAccessible.queryAccessibleInterface(window.cut_list)
    assert cells.childCount() >= window.cut_list.rowCount() * window.cut_list.columnCount()


def test_a_label_before_a_field_leads_to_it(window):
    for row in window.inputs.rows.values():
        assert row.label.buddy() is row.editor
        assert name_of(row.editor.focusProxy() or row.editor) == row.key.label


def test_labels_of_dialogs_lead_to_their_fields(qtbot, window):
    """A label with a letter to press must have something to press it for."""
    for dialog in dialogs(window):
        for label in dialog.findChildren(QLabel):
            if "&" in label.text().replace("&&", "") and "<" not in label.text():
                assert label.buddy() is not None, (type(dialog).__name__, label.text())


# -- what is painted is told in words ---------------------------------------------------------------------


def test_view_plan_and_height_tell_what_they_show(qtbot, window):
    told = window.view.accessibleDescription()
    assert "800.0 mm" in told and "lathe" in told and "165.0 kg" in told
    window.choice.choose_part("leg FL")
    mark = window.live.stand.shop.piece_of["leg FL"]
    assert f"leg FL ({mark})" in window.view.accessibleDescription()
    plan = window.plan.accessibleDescription()
    assert all(c.mark in plan for _, p in window.live.stand.shop.plans for b in p.bars for c in b.cuts)
    assert "800.0 mm" in window.slider.accessibleDescription()
    window.document.edit("frame.height", 850)
    qtbot.waitUntil(lambda: not window.live.waiting)
    assert "850.0 mm" in window.view.accessibleDescription() and "850.0 mm" in window.slider.accessibleDescription()


def test_the_plot_of_speeds_tells_modes_and_speeds(window):
    from app.panels.speeds import SpeedsPlot

    window.show_modes(True)
    told = window.findChild(SpeedsPlot).accessibleDescription()
    motion = window.live.stand.strength.motion
    assert all(name in told for name in motion.names) and f"{window.live.stand.strength.modes_hz[0]:.1f} Hz" in told
    assert f"{motion.speeds[0].rpm:.0f}" in told


def test_a_figure_says_label_value_and_verdict(window):
    row = window.figures.rows["height.stand"]
    assert name_of(row) == "Stand, floor to seat 800.0 mm good"


# -- keys ---------------------------------------------------------------------------------------------------


def test_tab_goes_all_round_the_window_and_through_every_part(qtbot, window):
    """No part keeps the keys, and none is left out."""
    window.inputs.search.setFocus()
    parts = {
        "settings": window.inputs, "view": window.view, "height": window.slider, "figures": window.figures,
        "working": window.working, "cut plan": window.plan, "cut list": window.cut_list,
    }  # fmt: skip
    seen, order = set(), []
    for _ in range(600):
        here = QApplication.focusWidget()
        assert here is not None
        name = next((n for n, p in parts.items() if p is here or p.isAncestorOf(here)), "")
        if name and (not order or order[-1] != name):
            order.append(name)
        seen.add(name)
        qtbot.keyClick(here, Qt.Key.Key_Tab)
        if QApplication.focusWidget() is window.inputs.search:
            break
    else:
        pytest.fail("the keys never came back to where they began")
    assert set(parts) <= seen
    assert len(order) <= len(parts) + 1, order  # each part is gone through once, not in and out


def test_back_tab_leaves_every_part_too(qtbot, window):
    for part in (window.view, window.plan, window.cut_list, window.working.text, window.slider):
        part.setFocus(Qt.FocusReason.TabFocusReason)
        qtbot.keyClick(part, Qt.Key.Key_Backtab)
        here = QApplication.focusWidget()
        assert here is not part and not part.isAncestorOf(here)


def test_f6_walks_the_parts_both_ways(qtbot, window):
    from app.window.walking import walk

    window.inputs.search.setFocus()
    seen = []
    for _ in range(20):
        walk(window, 1)
        seen.append(QApplication.focusWidget())
        if seen[-1] is window.inputs.search:
            break
    assert seen[-1] is window.inputs.search and {window.view, window.slider, window.plan, window.cut_list} <= set(seen)
    back = []
    for _ in range(len(seen)):
        walk(window, -1)
        back.append(QApplication.focusWidget())
    assert back[:-1] == seen[-2::-1]


def test_every_action_is_in_a_menu_with_keys_or_letters(window):
    """What the strip offers is in a menu too, and no two letters of a menu are the same."""
    from app.dialogs.help_keys import action_rows, keys_html

    listed = {what for _, rows in action_rows(window) for what, _ in rows}
    strip = window.findChild(QWidget, "tools")
    texts = {a.text().replace("&", "").removesuffix("…").strip() for a in strip.actions() if not a.isSeparator()}
    # The history's entries carry what they undo.
    assert {t for t in texts if t not in ("Undo", "Redo")} <= listed
    for title, rows in action_rows(window):
        ways = [keys for _, keys in rows]
        assert all(ways) and len(set(ways)) == len(ways), (title, rows)
    tops = [a.text() for a in window.menuBar().actions()]
    letters = [t[t.index("&") + 1].lower() for t in tops]
    assert len(set(letters)) == len(letters)
    page = keys_html(window)
    assert all(what.replace("'", "&#x27;") in page for what in listed)


def test_no_two_actions_share_a_key(window):
    from PySide6.QtGui import QAction

    owned = {}
    for action in window.findChildren(QAction):
        for key in action.shortcuts():
            owned.setdefault(key.toString(), []).append(action.text())
    assert {k: v for k, v in owned.items() if len(v) > 1} == {}


def test_what_is_this_tells_of_the_field_that_has_the_keys(qtbot, window):
    from app.window.what import what_is

    window.inputs.go_to("operator.elbow")
    assert "socks" in what_is(QApplication.focusWidget())
    told = what_is(window.figures.rows["sway.stiffness_x"])
    assert "Good:" in told and "Source:" in told
    assert what_is(window.view) == ""


def test_focus_is_seen(qtbot, window):
    """Where the keys are, the picture differs."""
    plain = [
        window.inputs.search, window.slider, window.view, window.plan, window.figures.rows["height.stand"],
        window.inputs.rows["machine.mass"].editor.line, window.inputs.rows["machine.kind"].editor,
        window.inputs.groups["machine"].head, window.inputs.rows["machine.holes"].editor.button,
        window.inputs.rows["machine.mass"].mark,
    ]  # fmt: skip
    for widget in plain:
        window.setFocus()
        widget.clearFocus()
        qtbot.waitUntil(lambda w=widget: not w.hasFocus())
        without = widget.grab().toImage()
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        qtbot.waitUntil(lambda w=widget: w.hasFocus())
        assert widget.grab().toImage() != without, widget
