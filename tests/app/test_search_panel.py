"""The search in the window: run beside it, seen as it comes, tried, taken, stopped."""

from __future__ import annotations

import multiprocessing
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt

from app.panels.search.choices import ChoicesTable
from app.panels.search.plot import BEATEN, LOOK, PRESENT, STOP, UNCHECKED
from app.view3d.ghosts import GHOST
from app.window.better import SEARCH
from app.words import tr
from framecore.search import AIMS, search, space_of
from framecore.words import speak

WAIT = 120_000
VARY = {
    "frame.sections.legs": "SHS 60x60x3, SHS 70x70x3, SHS 60x60x4",
    "frame.sections.bearers": "SHS 60x60x3, SHS 60x60x4",
    "frame.lower_ring": "220 mm, 320 mm",
}  # fmt: skip
# 6561 stands: too many to look at all.
LARGER = {
    f"frame.sections.{role}": ", ".join(f"SHS {side}x{side}x{wall}" for side in (50, 60, 70) for wall in (3, 4, 5))
    for role in ("legs", "top_rails", "lower_rails", "bearers")
}  # fmt: skip


def only(panel, vary):
    """Tick these rows and type their options, as a hand would."""
    choices = panel.choices
    for r, key in enumerate(choices._keys):
        choices.item(r, 0).setCheckState(Qt.CheckState.Unchecked)
        if key in vary:
            choices.item(r, 1).setText(vary[key])
    assert set(choices.wanted()) == set(vary)


@pytest.fixture
def panel(qtbot, window):
    window.better.show_below(SEARCH, True)
    found = window.better.panels[SEARCH]
    only(found, VARY)
    return found


@pytest.fixture
def done(qtbot, panel):
    panel.start_button.click()
    assert panel.beside.busy and panel.start_button.text() == "Stop"
    qtbot.waitUntil(lambda: not panel.beside.busy, timeout=WAIT)
    return panel


def spot(panel, number):
    """Where a dot lies on the plot, px."""
    dot = panel.plot.dots[number]
    place = panel.plot.getPlotItem().getViewBox().mapViewToScene(QPointF(dot.x, dot.y))
    return QPoint(*(round(v) for v in panel.plot.mapFromScene(place).toTuple()))


def test_what_is_found_is_what_the_search_finds(qtbot, window, done):
    brief = window.live.stand.brief
    space = space_of(brief, window.live.stand.frame, {k: v.split(", ") for k, v in VARY.items()})
    wanted = search(brief, space, aims=done.bar.aims)
    assert set(done.bar.aims) == set(AIMS) - {"hours"}
    assert [c.place for c in done.front] == [c.place for c in wanted.front]
    assert len(done.front) > 2 and space.size == 12
    assert "all 12 stands were looked at" in done.told.text()
    assert not done.progress.isVisible() and done.start_button.text() == "Search"
    for r, c in enumerate(wanted.front):
        assert done.table.item(r, 1).text() == f"{c.cost:.2f}"
        assert done.table.item(r, 2).text() == f"{c.mass:.1f}"
    kinds = [d.kind for d in done.plot.dots]
    assert kinds.count(PRESENT) == 1
    for c, dot in zip(wanted.front, done.plot.dots, strict=False):
        assert dot.kind == (STOP if c.stops else LOOK) and (dot.x, dot.y) == pytest.approx((c.cost, c.sway), rel=1e-6)
    # Not by colour alone: every kind has a shape of its own.
    from app.panels.search.plot import _SIGNS

    assert len({sign for sign, _ in _SIGNS.values()}) == len(_SIGNS)


def test_a_dot_is_picked_by_mouse_seen_over_the_stand_and_taken_as_one_step(qtbot, window, done):
    before = window.live.stand
    number = next(k for k, d in enumerate(done.plot.dots) if d.kind not in (PRESENT, BEATEN) and ";" in d.words)
    qtbot.mouseClick(done.plot.viewport(), Qt.MouseButton.LeftButton, pos=spot(done, number))
    assert done.plot.picked == number
    found = done._seen[done.tried]
    assert window.view.ghosts.shown(GHOST).brief == found.brief and window.live.stand is before
    assert done.table.row_tried() == [c.place for c in done.front].index(found.place)
    done.take_button.click()
    qtbot.waitUntil(lambda: window.live.stand.brief == found.brief)
    assert window.document.history.count() == 1 and window.view.ghosts.shown(GHOST) is None
    # What was found is still true, and the present stand has moved there.
    assert done.front and done.tried is None
    star = next(d for d in done.plot.dots if d.kind == PRESENT)
    assert (star.x, star.y) == pytest.approx((found.cost, found.sway), rel=1e-6)
    window.document.history.undo()
    qtbot.waitUntil(lambda: window.live.stand.brief == before.brief)
    assert done.front


def test_keys_pick_and_take(qtbot, window, done):
    plot = done.plot
    plot.setFocus()
    qtbot.keyClick(plot, Qt.Key.Key_Home)
    first = plot.dots[plot.picked]
    assert plot.picked >= 0 and first.x == min(c.cost for c in done.front)
    qtbot.keyClick(plot, Qt.Key.Key_Right)
    assert plot.dots[plot.picked].x >= first.x and plot.dots[plot.picked] is not first
    assert plot.dots[plot.picked].words in plot.accessibleDescription()
    qtbot.keyClick(plot, Qt.Key.Key_Escape)
    assert plot.picked == -1 and window.view.ghosts.shown(GHOST) is None
    qtbot.keyClick(plot, Qt.Key.Key_End)
    found = done._seen[done.tried]
    assert found.cost == max(c.cost for c in done.front)
    qtbot.keyClick(plot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.live.stand.brief == found.brief)
    # A ghost was over the stand as it was.
    qtbot.keyClick(plot, Qt.Key.Key_Home)
    assert window.view.ghosts.shown(GHOST) is not None
    window.document.edit("frame.lower_ring", 250)
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.lower_ring == 250)
    assert window.view.ghosts.shown(GHOST) is None and not done.take_button.isEnabled()


def test_a_change_of_anything_else_stops_the_search_and_says_so(qtbot, window, panel):
    panel.start_button.click()
    window.document.edit("machine.mass", 400)
    qtbot.waitUntil(lambda: window.live.stand.brief.machine.mass == 400)
    assert not panel.beside.busy and not panel.front
    assert "The brief has changed" in panel.told.text() and panel.start_button.text() == "Search"
    # A change of what may vary does not.
    panel.start_button.click()
    window.document.edit("frame.lower_ring", 320)
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.lower_ring == 320)
    assert panel.beside.busy
    qtbot.waitUntil(lambda: not panel.beside.busy, timeout=WAIT)
    assert panel.front


def test_stopped_by_hand_it_keeps_what_it_has(qtbot, window, panel):
    only(panel, LARGER)
    panel.start_button.click()
    qtbot.waitUntil(lambda: bool(panel.front), timeout=WAIT)
    assert panel.progress.isVisible() and "of" in panel.told.text()
    panel.start_button.click()
    assert not panel.beside.busy and panel.front and "Stopped" in panel.told.text()


def test_what_is_only_screened_is_marked_and_can_be_tried_and_stays_when_stopped(qtbot, window, panel):
    only(panel, LARGER)
    panel.start_button.click()
    qtbot.waitUntil(lambda: any(not c.checked for c in panel.rows), timeout=WAIT)
    row, found = next((k, c) for k, c in enumerate(panel.rows) if not c.checked)
    assert panel.table.item(row, panel.table.columnCount() - 1).text().startswith("○ not checked")
    assert all(a.checked >= b.checked for a, b in pairwise(panel.rows))  # what is sure comes first
    dot = next(d for d in panel.plot.dots if d.x == found.cost and d.y == found.sway)
    assert dot.kind == UNCHECKED and "not checked" in dot.words
    panel.table.selectRow(row)
    assert panel.tried == found.place and window.view.ghosts.shown(GHOST).brief == found.brief
    told = panel.told.text()
    qtbot.waitUntil(lambda: panel.told.text() != told or not panel.beside.busy, timeout=WAIT)
    assert panel.tried == found.place and panel.rows[panel.table.row_tried()].place == found.place
    panel.start_button.click()
    assert not panel.beside.busy and panel.tried == found.place and panel.take_button.isEnabled()


def test_the_window_closes_while_it_searches(qtbot, window, panel):
    only(panel, LARGER)
    panel.start_button.click()
    qtbot.waitUntil(lambda: bool(multiprocessing.active_children()), timeout=WAIT)
    window.close()
    assert not multiprocessing.active_children() and not window.isVisible()


@pytest.mark.parametrize(("key", "text", "words"), [
    ("frame.sections.legs", "SHS 60x60x3, banana", "banana"), ("frame.lower_ring", "9 bananas", "lower_ring"),
])  # fmt: skip
def test_an_option_that_cannot_be_read_is_one_sentence(qtbot, window, panel, key, text, words):
    only(panel, {key: text})
    assert words in panel.told.text() and "\n" not in panel.told.text() and not panel.start_button.isEnabled()
    panel.choices.item(panel.choices._keys.index(key), 1).setText("")  # as it was
    assert panel.start_button.isEnabled()
    for action in panel.bar._aims.values():
        action.setChecked(False)
    assert "tick an aim" in panel.told.text() and not panel.start_button.isEnabled()
    panel.bar._aims["cost"].setChecked(True)
    assert panel.start_button.isEnabled()
    only(panel, {})
    assert "tick a row" in panel.told.text() and not panel.start_button.isEnabled()


def test_while_the_brief_gives_no_stand_nothing_is_tried_or_taken(qtbot, window, done):
    done.table.selectRow(0)
    assert window.view.ghosts.shown(GHOST) is not None
    window.document.edit("frame.length", "9 banana")
    qtbot.waitUntil(lambda: window.live.stale)
    assert window.view.ghosts.shown(GHOST) is None and not done.isEnabled() and not done.take_button.isEnabled()
    window.document.history.undo()
    qtbot.waitUntil(lambda: not window.live.stale)
    assert done.isEnabled() and done.front


def test_options_typed_for_one_kind_of_stand_do_not_meet_another(qtbot, window, panel):
    assert set(panel.choices.wanted()) == set(VARY)
    window.document.edit("frame.layout", "trestle")
    qtbot.waitUntil(lambda: window.live.stand.brief.frame.layout == "trestle" or window.live.stale)
    assert not window.live.stale
    assert all(options is None for options in panel.choices.wanted().values()) and panel.start_button.isEnabled()


def test_words_of_the_brief_are_offered_and_read_as_they_are_said(qtbot, window):
    speak("de")
    try:
        choices = ChoicesTable()
        qtbot.addWidget(choices)
        choices.show_stand(window.live.stand)
        row = choices._keys.index("frame.corners")
        offered = choices.item(row, 1).text()
        assert "mitred" not in offered and tr("mitred") in offered
        choices.item(row, 1).setText(f"{tr('mitred')}; butted")
        assert choices.wanted()["frame.corners"] == ["mitred", "butted"]
        assert choices.space().choices[-1].options == ("mitred", "butted")
    finally:
        speak("en")
