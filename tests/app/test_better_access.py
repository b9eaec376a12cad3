"""The panels that make a stand better, and the comparison: everything has a name and fits a small screen."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication, QTableWidget

from app.window.better import HELPS, SEARCH
from tests.app.fitting_child import problems, settle
from tests.app.test_access import nameless, spoken

SMALL = (1366 / 1.25, (768 - 40) / 1.25 - 40)  # a laptop at 125 %, less a task bar and the window's frame


@pytest.mark.parametrize("name", [HELPS, SEARCH])
def test_a_panel_has_names_and_fits(qtbot, window, name):
    window.better.show_below(name, True)
    panel = window.better.panels[name]
    assert nameless(panel) == [] and len(spoken(panel)) >= 3
    for table in panel.findChildren(QTableWidget):
        assert table.accessibleDescription()
    window.resize(1100, 700)
    for dark in (True, False):
        window.dark_action.setChecked(dark)
        qtbot.waitUntil(lambda: window.width() <= 1100)
        settle(QApplication.instance())
        assert problems(panel) == []
    least = window.minimumSizeHint()
    assert least.width() <= SMALL[0] and least.height() <= SMALL[1], least


def test_the_comparison_has_names_and_fits(qtbot, window):
    window.better.compare()
    dialog = window.better._compare
    assert nameless(dialog) == [] and len(spoken(dialog)) > 8
    settle(QApplication.instance())
    assert problems(dialog) == []
    least = dialog.minimumSizeHint()
    assert least.width() <= 800 and least.height() <= 560, least
    dialog.close()
