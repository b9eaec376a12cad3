"""What one change helps most, in the window: rows that are true, tried in the view and taken as one step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt

from app.view3d.ghosts import GHOST
from app.window.better import HELPS, MOTION
from framecore import evaluate
from framecore.search import Trial, measured, ranked, worst_measure

WAIT = 120_000


@pytest.fixture
def panel(qtbot, window):
    window.better.show_below(HELPS, True)
    found = window.better.panels[HELPS]
    waited(qtbot, found)
    return found


def waited(qtbot, panel):
    """Every change is tried, hours too."""
    qtbot.waitUntil(lambda: bool(panel.rows) and not panel.beside.busy and not panel._soon.isActive(), timeout=WAIT)


def click(qtbot, table, row):
    item = table.visualItemRect(table.item(row, 0)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(40, item.y()))


def test_rows_are_those_of_the_full_evaluation_and_say_gain_and_cost(qtbot, window, panel):
    stand = window.live.stand
    trial = Trial(stand.brief)
    tried = list(trial.run())
    live = evaluate(stand.brief).figures.live
    assert panel.measure_asked == worst_measure(live) == "bed.jack_share"
    wanted = ranked(trial.present(), tried, "bed.jack_share", "mass")
    assert [r.change.values for r in panel.rows] == [r.change.values for r in wanted]
    for row, own in zip(panel.rows, wanted, strict=True):
        after = evaluate(row.change.brief)
        assert row.after == pytest.approx(measured(after.figures.live, "bed.jack_share").value, rel=1e-6)
        assert row.gain == pytest.approx(own.gain, rel=1e-6)
        assert row.mass == pytest.approx(after.solids.mass - stand.solids.mass, abs=1e-6)
    first = panel.rows[0]
    hours = evaluate(first.change.brief).figures["welds.hours"].value - stand.figures["welds.hours"].value
    assert first.hours == pytest.approx(hours, abs=1e-9)
    table = panel.table
    for r, row in enumerate(panel.rows):
        assert table.item(r, 0).text() == row.change.words
        assert table.item(r, 1).text() == f"+{row.gain:.3g}"
        assert table.item(r, 4).text().endswith(" min")
        assert (table.item(r, 5).text() == "at no cost") == (row.mass <= 0.005)
    assert f"{len(panel.rows)} changes help" in panel.told.text() and "1 stop" not in panel.now.text()
    assert "■ stop" in panel.now.text()


def test_a_click_tries_and_a_second_takes_it_as_one_step(qtbot, window, panel):
    history, before = window.document.history, window.live.stand
    row = next(k for k, r in enumerate(panel.rows) if "Bearers" in r.change.words)
    change = panel.rows[row].change
    click(qtbot, panel.table, row)
    ghost = window.view.ghosts.shown(GHOST)
    assert ghost is not None and ghost.brief == change.brief and window.live.stand is before
    new, gone = window.view.ghosts.odd_parts(GHOST)
    assert {"bearer 1", "bearer 2"} <= new and {"bearer 1", "bearer 2"} <= gone and "leg FL" not in new
    assert not history.count()
    click(qtbot, panel.table, row)
    qtbot.waitUntil(lambda: window.live.stand is not before)
    assert history.count() == 1 and window.live.stand.brief == change.brief
    assert window.view.ghosts.shown(GHOST) is None
    history.undo()
    qtbot.waitUntil(lambda: window.live.stand.brief == before.brief)


def test_keys_try_take_and_put_away(qtbot, window, panel):
    table = panel.table
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Down)
    assert window.view.ghosts.shown(GHOST).brief == panel.rows[table.row_tried()].change.brief
    qtbot.keyClick(table, Qt.Key.Key_Escape)
    assert window.view.ghosts.shown(GHOST) is None and not panel.take_button.isEnabled()
    for key, row in ((Qt.Key.Key_End, len(panel.rows) - 1), (Qt.Key.Key_Home, 0)):
        qtbot.keyClick(table, key)
        assert table.row_tried() == row and window.view.ghosts.shown(GHOST) is not None
    qtbot.keyClick(table, Qt.Key.Key_Down)
    change = panel.rows[table.row_tried()].change
    qtbot.keyClick(table, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.live.stand.brief == change.brief)
    assert window.document.history.count() == 1


def test_it_follows_an_edit_after_the_hand_rests_and_drops_the_ghost(qtbot, window, panel):
    panel.table.selectRow(1)
    assert window.view.ghosts.shown(GHOST) is not None
    window.document.edit("frame.lower_ring", 320)
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.lower_ring == 320)
    assert window.view.ghosts.shown(GHOST) is None and not panel.rows
    waited(qtbot, panel)
    assert all(r.change.brief.frame.lower_ring == 320 or "Lower ring" in r.change.words for r in panel.rows)
    # An edit while changes are tried drops them: they were of another stand.
    window.document.edit("frame.lower_ring", 280)
    qtbot.waitUntil(lambda: panel.beside.busy and len(panel._tried) > 2, timeout=WAIT)
    window.document.edit("frame.lower_ring", 300)
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.lower_ring == 300)
    assert not panel.beside.busy and not panel._tried and not panel.rows
    # While the hand moves nothing is tried.
    window.live.moving = True
    window.document.edit("frame.height", 815.0, "height", 7)
    qtbot.waitUntil(lambda: window.live.stand.frame.seat == 815)
    assert not panel.beside.busy and not panel._rest.isActive()
    window.live.settle()
    assert panel._rest.isActive()


def test_another_measure_and_price_rank_anew_without_trying_again(qtbot, window, panel):
    kept = panel._tried
    panel.measure.setCurrentIndex(panel.measure.findData("sway.stiffness_x"))
    panel.price.setCurrentIndex(panel.price.findData("hours"))
    assert panel._tried is kept and not panel.beside.busy
    worth = [r.worth for r in panel.rows]
    assert worth == sorted(worth, reverse=True) and panel.measure_asked == "sway.stiffness_x"
    assert "N/mm" in panel.table.item(0, 1).text()


def test_closed_or_under_another_panel_it_rests(qtbot, window, panel):
    panel.table.selectRow(0)
    window.better.show_below(MOTION, True)
    assert window.view.ghosts.shown(GHOST) is None and panel.isHidden()
    window.document.edit("frame.lower_ring", 320)
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.lower_ring == 320)
    assert not panel.beside.busy and not panel._rest.isActive()
    window.better.show_below(HELPS, True)
    assert panel.isVisible() and window.better.panels[MOTION].isHidden()
    waited(qtbot, panel)
    window.better.show_below(HELPS, False)
    assert window.plan.isVisible() and panel.isHidden()
