"""The motion panel: modes in the view, running speeds, what would move a mode."""

from __future__ import annotations

import time

import numpy as np
import pytest

from app.view3d.swing import make_swing


@pytest.fixture
def panel(qtbot, window):
    window.show()
    qtbot.waitExposed(window)
    window.show_modes(True)
    return window.better.panels["motion"]


def test_every_mode_can_be_chosen_and_is_named(qtbot, window, panel):
    names = window.live.stand.strength.motion.names
    assert panel.modes.count() == len(names) == 6
    for k, name in enumerate(names):
        assert name in panel.modes.itemText(k)
    spot = panel.plot.heads.points()[2]
    panel.plot.heads.sigClicked.emit(panel.plot.heads, [spot], None)
    assert panel.mode == 2


def test_nothing_runs_until_asked_and_nothing_after(qtbot, window, panel):
    swinging = window.view.swinging
    assert swinging.isHidden() and not swinging.playing
    panel.play_button.setChecked(True)
    assert swinging.isVisible() and swinging.playing and panel.play_button.text() == "Stop"
    panel.play_button.setChecked(False)
    assert swinging.isVisible() and not swinging.playing
    assert swinging.phase() == 1.0
    panel.play_button.setChecked(True)
    window.show_modes(False)
    assert swinging.isHidden() and not swinging.playing


def test_the_picture_moves_while_it_plays_and_stands_when_stopped(qtbot, window, panel):
    panel.show_button.setChecked(True)
    held = window.view.swinging.grab().toImage()
    assert held == window.view.swinging.grab().toImage()
    panel.play_button.setChecked(True)
    qtbot.wait(300)
    assert window.view.swinging.grab().toImage() != held


@pytest.mark.parametrize(("picture_ms", "least", "most"), [(5, 8, 32), (100, 3, 5)])
def test_pictures_leave_as_much_time_as_they_take(qtbot, window, panel, monkeypatch, picture_ms, least, most):
    """In a second: up to thirty quick ones, but no more than five of a tenth of a second each."""
    swinging, painted = window.view.swinging, []

    def picture():
        begun = time.perf_counter()
        while time.perf_counter() - begun < picture_ms / 1000:
            pass
        painted.append(begun)

    monkeypatch.setattr(swinging, "_picture", picture)
    panel.play_button.setChecked(True)
    qtbot.waitUntil(lambda: len(painted) > 2)
    begun = time.perf_counter()
    qtbot.wait(1000)
    assert least <= sum(begun <= t < begun + 1 for t in painted) <= most


def test_a_swing_keeps_tubes_together_and_goes_the_named_way(window):
    stand = window.live.stand
    for mode, axis in ((0, 0), (1, 1)):
        swing = make_swing(stand, mode)
        assert np.linalg.norm(swing.way, axis=1).max() < 3
        high = swing.points[:, 2] > 0.8 * stand.frame.ring_top
        assert int(np.abs(swing.way[high]).mean(0).argmax()) == axis
        # No side of a short length grows or shrinks by more than a hair for 1 mm of swing.
        a, b = swing.points[swing.quads[:, 0]], swing.points[swing.quads[:, 2]]
        moved = swing.at(1.0)
        change = np.linalg.norm(moved[swing.quads[:, 0]] - moved[swing.quads[:, 2]], axis=1) - np.linalg.norm(a - b, axis=1)
        assert np.abs(change).max() < 0.35


def test_no_face_that_lies_against_a_sheet_can_shine_through_it(window):
    stand = window.live.stand
    swing = make_swing(stand, 0)
    sheet = max(stand.frame.plates, key=lambda p: np.ptp(p.outline, axis=0).max())
    low = sheet.origin[2]
    tubes = swing.points[swing.quads[swing.kind == 0]]
    level = np.ptp(tubes[..., 2], axis=1) < 1e-6
    middle = tubes.mean(1)[:, :2] - np.array(sheet.origin)[:2]
    over = level & ((middle > sheet.outline.min(0)) & (middle < sheet.outline.max(0))).all(1)
    assert (sheet.u_axis, sheet.v_axis) == ((1, 0, 0), (0, 1, 0))
    under = low - tubes[over][:, 0, 2]
    assert (np.abs(under - 40) < 1).any(), "lower faces of the rails it lies on"
    assert not (np.abs(under) < 1).any()


def test_where_members_meet_they_go_together(window):
    stand = window.live.stand
    s = stand.strength
    swing = make_swing(stand, 0)
    most = np.linalg.norm(s.mode_shapes[:, :3, 0], axis=1)
    ring = [k for k, n in enumerate(s.model.nodes) if n[2] > 0.9 * stand.frame.ring_top and most[k] > 0]
    for node in ring[:4]:
        near = np.linalg.norm(swing.points - s.model.nodes[node], axis=1) < 60
        ways = swing.way[near]
        assert np.linalg.norm(ways - ways.mean(0), axis=1).max() < 0.2


def test_what_would_move_it_is_ranked_and_follows_the_mode(qtbot, window, panel):
    qtbot.waitUntil(lambda: panel._found is not None, timeout=20000)
    assert "from " in panel.moves.text() and "Hz" in panel.moves.text()
    first = panel.moves.text()
    panel.modes.setCurrentIndex(2)
    assert panel.moves.text() != first
    assert window.live.stand.strength.motion.names[2] in panel.moves.text()


def test_a_mode_in_a_band_has_another_shape_than_one_clear(qtbot, window, panel):
    stand = window.live.stand
    band = stand.brief.limits.speed_band
    for k, spot in enumerate(panel.plot.heads.points()):
        hz = stand.strength.modes_hz[k]
        near = any(abs(hz - s.hz) < band * s.hz for s in stand.strength.motion.speeds)
        assert spot.symbol() == ("t1" if near else "o")
    assert {p.symbol() for p in panel.plot.heads.points()} == {"t1", "o"}


def test_a_new_height_while_playing_keeps_playing(qtbot, window, panel):
    panel.play_button.setChecked(True)
    before = window.view.swinging.swing
    window.document.edit("frame.height", 700.0, "height", 1)
    qtbot.waitUntil(lambda: not window.live.waiting)
    assert window.view.swinging.playing and window.view.swinging.swing is not before


def test_the_cut_plan_comes_back_when_it_closes(window, panel):
    assert not window.plan.isVisible() and panel.isVisible()
    window.show_modes(False)
    assert window.plan.isVisible() and not panel.isVisible()
