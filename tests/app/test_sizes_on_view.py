"""The stand's own sizes by hand on the view."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton


@pytest.fixture
def sizes(window):
    """The window with the grips of its sizes."""
    window.sizes_action.setChecked(True)
    return window.view.grips


def drag(qtbot, window, name, to):
    """Drag a grip to a point of its line in three moves."""
    view, grips = window.view, window.view.grips
    start = QPointF(*grips.spot(grips.handle(name)))
    x, y, _ = view.camera.project(to)[0]
    end = QPointF(x, y)

    # A hand moves over the screen, and the view may move under it when a finding comes.
    start, end = view.mapToGlobal(start), view.mapToGlobal(end)

    def send(kind, at, button, buttons):
        keys = Qt.KeyboardModifier.NoModifier
        QApplication.sendEvent(view, QMouseEvent(kind, view.mapFromGlobal(at), at, button, buttons, keys))

    send(QEvent.Type.MouseButtonPress, start, LEFT, LEFT)
    for share in (0.3, 0.7, 1.0):
        send(QEvent.Type.MouseMove, start + (end - start) * share, NONE, LEFT)
        qtbot.waitUntil(lambda: not window.live.waiting)
    send(QEvent.Type.MouseButtonRelease, end, LEFT, NONE)


def test_every_size_has_its_grip_at_the_steel(window, sizes):
    frame = window.live.stand.frame
    at = {h.id: h.at for h in sizes.shown}
    assert at["frame.length"][0] == pytest.approx(frame.length / 2)
    assert at["frame.depth"][1] == pytest.approx(-frame.depth / 2)
    assert at["frame.height"][2] == pytest.approx(frame.seat)
    bearers = sorted(m.start.point[0] for m in frame.members if m.role == "bearer")
    assert [at[f"bearer {k}"][0] for k in range(1, len(bearers) + 1)] == pytest.approx(bearers)


@pytest.mark.parametrize(
    ("key", "go", "wanted"),
    [
        ("frame.length", (60, 0, 0), 120),
        ("frame.depth", (0, -25, 0), 50),
        ("frame.height", (0, 0, 40), 40),
        ("frame.lower_ring", (0, 0, 35), 35),
    ],
)
def test_a_drag_along_its_line_sets_the_size_in_one_step(qtbot, window, sizes, key, go, wanted):
    grip = sizes.handle(key)
    before = sizes.family.fields(sizes.here, grip)[0][1]
    steps = window.document.history.count()
    drag(qtbot, window, key, [a + b for a, b in zip(grip.at, go, strict=True)])
    assert window.document.source.value(key) - float(before) == pytest.approx(wanted, abs=4)
    assert window.document.history.count() == steps + 1
    assert not window.live.stale
    moved = sizes.handle(key)
    assert [b - a for a, b in zip(grip.at, moved.at, strict=True)] == pytest.approx(go, abs=2)


def test_a_bearer_taken_hold_of_is_fixed_and_the_others_where_they_lie(qtbot, window, sizes):
    xs = list(sizes.here.bearers)
    grip = sizes.handle("bearer 2")
    drag(qtbot, window, "bearer 2", (grip.at[0] - 12, *grip.at[1:]))
    got = window.document.reading.brief.frame.bearers_at
    assert got[0] == pytest.approx(xs[0], abs=0.01) and got[1] == pytest.approx(xs[1] - 12, abs=1.0)
    assert len(got) == len(xs)
    # Farther on the machine's holes would miss its flat: there it stays.
    grip = sizes.handle("bearer 2")
    drag(qtbot, window, "bearer 2", (grip.at[0] - 60, *grip.at[1:]))
    assert window.document.reading.brief.frame.bearers_at[1] == pytest.approx(xs[1] - 18, abs=1.0) and not window.live.stale


def test_keys_and_typing_reach_sizes_too(qtbot, window, sizes):
    length = window.document.reading.brief.frame.length
    sizes.choose("frame.length")
    window.view.preset("front")
    qtbot.keyClick(window.view, Qt.Key.Key_Right)
    assert window.document.source.value("frame.length") == pytest.approx(length + 1)  # half a millimetre at each end
    qtbot.keyClick(window.view, Qt.Key.Key_Return)
    field = window.hands.field
    field.lines[0].setText("long")
    qtbot.keyClick(field.lines[0], Qt.Key.Key_Return)
    assert field.told.text().startswith("length: 'long' is not a length")
    field.lines[0].setText("46 in")
    qtbot.keyClick(field.lines[0], Qt.Key.Key_Return)
    assert window.document.source.value("frame.length") == "46 in"
    qtbot.keyClick(window.view, Qt.Key.Key_Delete)
    assert window.document.source.value("frame.length") == "46 in"  # a size cannot be taken out


def test_holes_and_sizes_take_turns(window, sizes):
    window.holes_action.setChecked(True)
    assert not window.sizes_action.isChecked() and [h.mark for h in sizes.shown] == ["1", "2", "3", "4"]
    assert window.hands.bar.tick.isVisible()
    window.sizes_action.setChecked(True)
    assert not window.holes_action.isChecked() and not window.hands.bar.tick.isVisible()
    window.sizes_action.setChecked(False)
    assert not sizes.isVisible() and window.hands.shown == ""
