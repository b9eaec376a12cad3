"""A figure's working: lights what it speaks of, leads to the key it rests on; the page of outside checks."""

from __future__ import annotations

from PySide6.QtCore import Qt, QUrl

from app.dialogs.page import PageDialog
from app.window.help_menu import show_page


def test_the_worst_member_is_lit_in_view_plan_and_list(qtbot, window):
    figure = window.live.stand.figures["members.utilisation"]
    assert figure.parts
    qtbot.mouseClick(window.figures.rows[figure.id], Qt.MouseButton.LeftButton)
    assert window.choice.parts == frozenset(figure.parts)
    known = window.live.stand.shop.piece_of
    assert window.choice.marks == {known[p] for p in figure.parts if p in known}
    assert figure.label in window.working.text.toPlainText()


def test_an_input_leads_to_its_key(qtbot, window):
    window._show_working(window.live.stand.figures["height.work_line"])
    html = window.working.text.toHtml()
    assert 'href="machine.work_line"' in html
    window.working.text.anchorClicked.emit(QUrl("machine.work_line"))
    assert window.inputs.rows["machine.work_line"].editor.isVisibleTo(window.inputs)
    assert window.working.chosen == "height.work_line"


def test_the_page_of_outside_checks_opens_and_is_found_in(qtbot, window):
    show_page(window, "validation.md")
    page = window.findChild(PageDialog)
    assert "EN 10219" in page.text.toPlainText()
    qtbot.keyClicks(page.seek, "EN 10219")
    qtbot.keyClick(page.seek, Qt.Key.Key_Return)
    assert page.text.textCursor().selectedText() == "EN 10219"
    page.seek.setText("no such words at all")
    qtbot.keyClick(page.seek, Qt.Key.Key_Return)
    assert page.told.text() == "not on this page" and page.isVisible()
    page.reject()
