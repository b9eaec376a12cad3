"""Every grip of every layout pulled in the window: the size follows, it is one step back, and it stops where it must."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.view3d.grips import FROM_HERE, can_pull
from app.view3d.size_handles import SIZES
from framecore.brief import load_source

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
SAMPLES = Path(__file__).resolve().parents[2] / "samples"
LAYOUTS = ("bench-lathe-trestle", "grinder-column", "long-lathe-pedestals", "saw-on-wheels", "surface-plate", "workbench")


def show(qtbot, window, name):
    before = window.live.stand
    window.document.replace(load_source(SAMPLES / f"{name}.toml"), None)
    qtbot.waitUntil(lambda: window.live.stand is not before and not window.live.waiting)
    window.view.preset("three-quarter")
    window.sizes_action.setChecked(True)
    return window.view.grips


def spot(grips, name):
    return next(QPointF(*at) for h, at, _ in grips.drawn() if h.id == name)


def send(view, kind, at, button, buttons):
    """``at`` on the screen: the view may move under the hand when a finding comes."""
    keys = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(view, QMouseEvent(kind, view.mapFromGlobal(at), at, button, buttons, keys))


def hold(qtbot, window, name, mm):
    """Take a grip where it is drawn and pull it so many mm along its way, still held; returns where the hand is."""
    view, grips = window.view, window.view.grips
    h = grips.handle(name)
    ends = view.camera.project(np.array([h.at, np.array(h.at) + mm * np.array(h.ways[0])]))[:, :2]
    start = view.mapToGlobal(spot(grips, name))
    way = QPointF(*(ends[1] - ends[0]))
    send(view, QEvent.Type.MouseButtonPress, start, LEFT, LEFT)
    for share in (0.5, 1.0):
        send(view, QEvent.Type.MouseMove, start + way * share, NONE, LEFT)
        qtbot.waitUntil(lambda: not window.live.waiting)
    return start + way


def value(window, name):
    if name.startswith("bearer"):
        return window.view.grips.handle(name).at[0]
    here = window.view.grips.here
    size = next(s for s in SIZES if s.key == name and s.shown(here))
    return size.value(here, np.array(size.at(here)))


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_grip_is_pulled_shown_and_undone(qtbot, window, name):
    grips = show(qtbot, window, name)
    for key in [h.id for h in grips.shown]:
        before, steps = value(window, key), window.document.history.index()
        source = window.document.source.values
        assert can_pull(window.view.camera, grips.handle(key)), key
        end = hold(qtbot, window, key, 30)
        assert not window.live.stale and grips.handle(key) is not None
        after = value(window, key)
        assert grips._last is not None and (after != before or grips._last.note), key  # moved, or told why not
        send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)
        assert window.document.history.index() == steps + (after != before)
        if after != before:
            window.document.history.undo()
            qtbot.waitUntil(lambda: not window.live.waiting)
        assert window.document.source.values == source, key


def test_a_hand_that_pulls_on_is_held_and_told_why(qtbot, window):
    grips = show(qtbot, window, "bench-lathe")
    end = hold(qtbot, window, "frame.lower_ring", 900)
    high = value(window, "frame.lower_ring")
    assert not window.live.stale and window.live.stand.brief.frame.lower_ring == pytest.approx(high)
    assert "no further" in grips._last.words and "runs into the top ring" in grips._last.note
    before = window.view.grips.grab().toImage()
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)
    assert window.view.grips.grab().toImage() != before  # the reason is written beside the grip while it is held
    assert not window.live.stale and window.findings.list.count() == len(window.live.findings)


def test_the_shelf_goes_with_the_ring_it_lies_on(qtbot, window):
    grips = show(qtbot, window, "surface-plate")
    assert grips.handle("frame.lower_ring").mark == "S" and "shelf" in grips.handle("frame.lower_ring").name
    end = hold(qtbot, window, "frame.lower_ring", 40)
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)
    shelf = next(p for p in window.live.stand.frame.plates if p.name == "shelf")
    assert shelf.origin[2] == pytest.approx(window.live.stand.brief.frame.lower_ring) and shelf.origin[2] > 285
    window.document.edit("frame.shelf", "none")
    qtbot.waitUntil(lambda: grips.handle("frame.lower_ring").mark == "R")


def test_a_grip_that_runs_away_from_the_eye_is_for_the_keys(qtbot, window):
    grips = show(qtbot, window, "bench-lathe")
    window.view.preset("front")
    depth = window.live.stand.brief.frame.depth
    at = spot(grips, "frame.depth")
    start = window.view.mapToGlobal(at)
    send(window.view, QEvent.Type.MouseButtonPress, start, LEFT, LEFT)
    send(window.view, QEvent.Type.MouseMove, start + QPointF(60, 30), NONE, LEFT)
    send(window.view, QEvent.Type.MouseButtonRelease, start + QPointF(60, 30), LEFT, NONE)
    assert grips.chosen == "frame.depth" and window.document.source.value("frame.depth") == depth
    assert not can_pull(window.view.camera, grips.handle("frame.depth")) and "keys" in FROM_HERE
    qtbot.keyClick(window.view, Qt.Key.Key_Up)
    assert window.document.source.value("frame.depth") == pytest.approx(depth + 1)
    qtbot.keyClick(window.view, Qt.Key.Key_Left)
    assert window.document.source.value("frame.depth") == pytest.approx(depth)


def test_an_angle_goes_by_half_degrees_and_is_typed(qtbot, window):
    grips = show(qtbot, window, "surface-plate")
    grips.choose("frame.splay")
    qtbot.keyClick(window.view, Qt.Key.Key_Left)
    moved = window.document.source.value("frame.splay")
    assert abs(moved - 10) == pytest.approx(0.5)
    qtbot.keyClick(window.view, Qt.Key.Key_Return)
    line = window.hands.field.lines[0]
    line.setText("44")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert "25" in window.hands.field.told.text() and window.document.source.value("frame.splay") == moved
    line.setText("12.5")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert window.document.source.value("frame.splay") == 12.5 and not window.live.stale


def test_delete_frees_the_bearers(qtbot, window):
    grips = show(qtbot, window, "long-lathe-pedestals")
    grips.choose("bearer 2")
    qtbot.keyClick(window.view, Qt.Key.Key_Left)
    assert len(window.document.source.value("frame.bearers_at")) == len(grips.here.bearers)
    qtbot.keyClick(window.view, Qt.Key.Key_Delete)
    assert not window.document.source.value("frame.bearers_at")


def test_no_grip_lies_under_the_strip_or_another(qtbot, window):
    for name in LAYOUTS:
        grips = show(qtbot, window, name)
        for preset in ("three-quarter", "front", "side", "top"):
            window.view.preset(preset)
            drawn = grips.drawn()
            for k, (h, (x, y), _) in enumerate(drawn):
                assert not window.hands.bar.geometry().contains(round(x), round(y)), (name, preset, h.id)
                for other, (a, b), _ in drawn[:k]:
                    assert np.hypot(x - a, y - b) > 9, (name, preset, h.id, other.id)
