"""The machine's holes moved, added and taken out on the view, with the mouse and with the keys."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from framecore.frame.machine import machine_datum

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
PLAIN, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
TYPED = [[-460, -75], [-460, 75], [420, -75], [420, 75]]


@pytest.fixture
def holes(qtbot, window):
    """The window with its grips shown, looked at from above."""
    window.view.preset("top")
    window.holes_action.setChecked(True)
    assert window.document.source.value("machine.holes") == TYPED
    return window.hands


def spot(window, k):
    return QPointF(*window.view.grips.spot(window.view.grips.shown[k]))


def send(view, kind, at, button, buttons, keys=PLAIN):
    QApplication.sendEvent(view, QMouseEvent(kind, at, view.mapToGlobal(at), button, buttons, keys))


def hold(qtbot, window, k, mm, keys=PLAIN, steps=3):
    """Take hole k and drag it by (x, y) mm, still held."""
    view = window.view
    start, grip = spot(window, k), view.grips.shown[k]
    x, y, _ = view.camera.project([grip.at[0] + mm[0], grip.at[1] + mm[1], grip.at[2]])[0]
    send(view, QEvent.Type.MouseButtonPress, start, LEFT, LEFT, keys)
    # A hand moves over the screen, and the view may move under it when a finding comes.
    start, end = view.mapToGlobal(start), view.mapToGlobal(QPointF(x, y))
    for i in range(1, steps + 1):
        send(view, QEvent.Type.MouseMove, view.mapFromGlobal(start + (end - start) * (i / steps)), NONE, LEFT, keys)
        qtbot.waitUntil(lambda: not window.live.waiting)
    return view.mapFromGlobal(end)


def drag(qtbot, window, k, mm, keys=PLAIN):
    end = hold(qtbot, window, k, mm, keys)
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE, keys)


def places(window):
    """Where the holes stand on the stand, mm."""
    brief = window.document.reading.brief
    x, y, _ = machine_datum(brief, 0.0)
    return [(x + a, y + b) for a, b in brief.machine.holes]


def test_there_is_a_grip_at_every_hole_and_none_without_the_mode(window, holes):
    grips = window.view.grips
    assert [h.mark for h in grips.shown] == ["1", "2", "3", "4"] and grips.isVisible() and holes.bar.isVisible()
    for grip, place in zip(grips.shown, places(window), strict=True):
        assert grip.at[:2] == pytest.approx(place) and grip.at[2] == window.live.stand.frame.seat
    window.holes_action.setChecked(False)
    assert not grips.isVisible() and not holes.bar.isVisible() and not grips.shown
    send(window.view, QEvent.Type.MouseButtonPress, QPointF(200, 200), LEFT, LEFT)
    assert not grips.dragging


def test_a_drag_moves_one_hole_over_the_stand_and_is_one_step(qtbot, window, holes):
    before, steps = places(window), window.document.history.count()
    drag(qtbot, window, 3, (20, 11))
    after = places(window)
    assert after[3][0] - before[3][0] == pytest.approx(20, abs=1.0)
    assert after[3][1] - before[3][1] == pytest.approx(11, abs=1.0)
    assert after[:3] == [pytest.approx(p, abs=1e-6) for p in before[:3]]  # the others stay over their steel
    assert window.document.source.value("machine.holes")[:3] == TYPED[:3]
    assert window.document.history.count() == steps + 1 and not window.live.moving
    drag(qtbot, window, 3, (-20, -11))
    assert window.document.history.count() == steps + 2  # the next drag is the next step
    window.document.history.undo()
    window.document.history.undo()
    assert window.document.source.value("machine.holes") == TYPED
    assert window.document.source.value("machine.at") is None


def test_a_drag_goes_by_half_millimetres_and_freely_with_shift(qtbot, window, holes):
    drag(qtbot, window, 3, (-20.3, -11.3))
    for v in window.document.source.value("machine.holes")[3]:
        assert v * 2 == int(v * 2)
    drag(qtbot, window, 2, (-7.13, 9.17), SHIFT)
    assert any(v * 2 != int(v * 2) for v in window.document.source.value("machine.holes")[2])


def test_the_view_follows_while_the_hand_moves(qtbot, window, holes):
    at = window.view.grips.shown[3].at
    before = window.view.camera.project([at])[0]
    end = hold(qtbot, window, 3, (-30, 0))
    assert window.live.moving and window.view.grips.dragging
    qtbot.wait(20)
    # A finding that came up under the hand takes room from the view; that shift is not the hole's.
    shift = window.view.camera.project([at])[0] - before
    assert math.dist((spot(window, 3) - QPointF(*shift[:2])).toTuple(), end.toTuple()) < 3
    rims = window.live.stand.brief.machine.holes
    assert rims == window.document.reading.brief.machine.holes  # the stand shown is the one being dragged
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)


def test_escape_restores_and_leaves_no_step(qtbot, window, holes):
    values, steps = window.document.source.values, window.document.history.count()
    end = hold(qtbot, window, 3, (-20, -11))
    assert window.document.source.values != values
    qtbot.keyClick(window.view, Qt.Key.Key_Escape)
    assert window.document.source.values == values and window.document.history.count() == steps
    send(window.view, QEvent.Type.MouseMove, end + QPointF(30, 30), NONE, LEFT)
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)
    assert window.document.source.values == values and not window.document.dirty


def test_taking_a_grip_does_not_turn_the_view_nor_move_the_hole(qtbot, window, holes):
    camera, values = window.view.camera, window.document.source.values
    at = spot(window, 1)
    send(window.view, QEvent.Type.MouseButtonPress, at, LEFT, LEFT)
    send(window.view, QEvent.Type.MouseMove, at + QPointF(1, 0), NONE, LEFT)
    send(window.view, QEvent.Type.MouseButtonRelease, at, LEFT, NONE)
    assert window.document.source.values == values and window.view.grips.chosen == "1"
    assert window.view.camera.azimuth == camera.azimuth
    drag(qtbot, window, 3, (-20, 0))
    assert window.view.camera.azimuth == camera.azimuth


def test_delete_takes_the_chosen_hole_out(qtbot, window, holes):
    before = places(window)
    window.view.grips.choose("0")
    qtbot.keyClick(window.view, Qt.Key.Key_Delete)
    assert window.document.source.value("machine.holes") == TYPED[1:]
    assert places(window) == [pytest.approx(p) for p in before[1:]]
    assert window.view.grips.chosen == "0"  # now another hole bears this number
    window.document.history.undo()
    assert window.document.source.value("machine.holes") == TYPED


def test_a_double_click_beside_the_grips_adds_a_hole_there(qtbot, window, holes):
    seat = window.live.stand.frame.seat
    x, y, _ = window.view.camera.project([100.0, 75.0, seat])[0]
    send(window.view, QEvent.Type.MouseButtonDblClick, QPointF(x, y), LEFT, LEFT)
    assert len(places(window)) == 5 and places(window)[4] == pytest.approx((100, 75), abs=1.0)
    assert window.document.source.value("machine.holes")[:4] == TYPED
    assert window.view.grips.chosen == "4"


def test_insert_adds_a_hole_where_there_is_room(qtbot, window, holes):
    qtbot.keyClick(window.view, Qt.Key.Key_Insert)
    assert len(window.document.source.value("machine.holes")) == 5
    new = places(window)[4]
    assert min(math.dist(new, p) for p in places(window)[:4]) > 100


def test_tab_goes_from_hole_to_hole_and_then_on(qtbot, window, holes):
    grips = window.view.grips
    window.view.setFocus()
    assert window.focusWidget() is window.view
    seen = []
    for _ in range(4):
        qtbot.keyClick(window.view, Qt.Key.Key_Tab)
        seen.append(grips.chosen)
    assert seen == ["0", "1", "2", "3"] and window.focusWidget() is window.view
    assert grips.accessibleName().startswith("hole 4 of 4, x 420.0 mm")
    qtbot.keyClick(window.view, Qt.Key.Key_Tab)
    assert grips.chosen == "" and window.focusWidget() is not window.view


@pytest.mark.parametrize(
    ("look", "key", "way"),
    [
        ("top", Qt.Key.Key_Right, (0.5, 0)),
        ("top", Qt.Key.Key_Up, (0, 0.5)),
        ("side", Qt.Key.Key_Right, (0, 0.5)),  # from the right end, to the right is to the back
        ("top", Qt.Key.Key_Left, (-0.5, 0)),
    ],
)
def test_arrows_nudge_as_they_look(qtbot, window, holes, look, key, way):
    window.view.preset(look)
    before, steps = places(window), window.document.history.count()
    window.view.grips.choose("3")
    for _ in range(3):
        qtbot.keyClick(window.view, key)
    got = places(window)[3]
    assert got == pytest.approx((before[3][0] + 3 * way[0], before[3][1] + 3 * way[1]))
    assert window.document.history.count() == steps + 1
    camera = window.view.camera
    window.view.grips.choose("")
    qtbot.keyClick(window.view, Qt.Key.Key_Left)
    assert window.view.camera.azimuth != camera.azimuth  # with none chosen the arrows turn


def test_symmetric_takes_the_mirror_images_along(qtbot, window, holes):
    before = places(window)
    assert holes.bar.tick.isEnabled()
    holes.bar.tick.setChecked(True)
    drag(qtbot, window, 3, (-20, -10))
    after = places(window)
    dx, dy = after[3][0] - before[3][0], after[3][1] - before[3][1]
    assert dx == pytest.approx(-20, abs=1) and dy == pytest.approx(-10, abs=1)
    for k, (sx, sy) in enumerate(((-1, -1), (-1, 1), (1, -1), (1, 1))):
        assert after[k] == pytest.approx((before[k][0] + sx * dx, before[k][1] + sy * dy))
    assert window.document.source.value("machine.at") is None  # the middle has not moved


def test_the_tick_is_for_patterns_that_are_symmetric(qtbot, window, holes):
    window.document.edit("machine.holes", [[-460, -75], [-440, 75], [420, -75], [420, 75]])
    assert not holes.bar.tick.isEnabled()
    holes.bar.tick.setChecked(True)
    drag(qtbot, window, 3, (-10, 0))
    assert window.document.source.value("machine.holes")[:3] == [[-460, -75], [-440, 75], [420, -75]]


def test_enter_types_a_place_and_bad_text_gets_one_sentence(qtbot, window, holes):
    steps = window.document.history.count()
    window.view.grips.choose("2")
    qtbot.keyClick(window.view, Qt.Key.Key_Return)
    field = holes.field
    assert field.isVisible() and [e.text() for e in field.lines] == ["420", "-75"]
    field.lines[0].setText("banana")
    qtbot.keyClick(field.lines[0], Qt.Key.Key_Return)
    assert field.isVisible() and field.told.text().startswith("x: 'banana' is not a length")
    assert window.document.history.count() == steps
    field.lines[0].setText("16 1/2 in")
    qtbot.keyClick(field.lines[0], Qt.Key.Key_Return)
    assert not field.isVisible() and window.document.source.value("machine.holes")[2] == ["16 1/2 in", -75]
    assert window.document.history.count() == steps + 1


def test_escape_closes_the_field_and_changes_nothing(qtbot, window, holes):
    at = spot(window, 2)
    send(window.view, QEvent.Type.MouseButtonDblClick, at, LEFT, LEFT)
    assert holes.field.isVisible() and len(places(window)) == 4
    holes.field.lines[0].setText("0")
    qtbot.keyClick(holes.field.lines[0], Qt.Key.Key_Escape)
    assert not holes.field.isVisible() and window.document.source.value("machine.holes") == TYPED


def test_a_place_that_will_not_do_is_said_and_kept(qtbot, window, holes):
    end = hold(qtbot, window, 3, (0, 900), steps=9)
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)
    y = window.document.source.value("machine.holes")[3][1]
    assert y > 600  # far behind the stand, as it was put
    assert window.live.stale and any("ole 4" in f.message for f in window.live.findings)
    assert window.view.grips.shown[3].at[1] == pytest.approx(places(window)[3][1])  # its grip can be fetched back


def test_inch_briefs_go_by_32nds_and_are_written_in_inches(qtbot, window, holes):
    window.document.edit("units", "inch")
    window.document.edit("machine.holes", [["-18 in", "-3 in"], ["-18 in", "3 in"], ["16 in", "-3 in"], ["16 in", "3 in"]])
    window.live.flush()
    window.view.grips.choose("3")
    qtbot.keyClick(window.view, Qt.Key.Key_Right)
    assert window.document.source.value("machine.holes")[3] == ["16 1/32 in", "3 in"]
    assert window.document.reading.brief.machine.holes[3][0] == pytest.approx(16.03125 * 25.4)
    assert window.document.source.value("machine.at") == ["1/64 in", "0 in"]
    qtbot.keyClick(window.view, Qt.Key.Key_Return)
    assert [e.text() for e in holes.field.lines] == ["16 1/32 in", "3 in"]


def test_a_change_of_the_views_size_does_not_make_a_held_hole_jump(qtbot, window, holes):
    end = hold(qtbot, window, 3, (-20, 0))
    was = places(window)[3]
    window.findings.setFixedHeight(window.findings.height() + 90)
    window.findings.show()
    qtbot.wait(60)
    send(window.view, QEvent.Type.MouseMove, end + QPointF(1, 0), NONE, LEFT)
    assert math.dist(places(window)[3], was) < 6
    send(window.view, QEvent.Type.MouseButtonRelease, end, LEFT, NONE)


def test_the_strip_does_what_the_keys_do(qtbot, window, holes):
    qtbot.mouseClick(holes.bar.plus, LEFT)
    assert len(places(window)) == 5
    qtbot.mouseClick(holes.bar.minus, LEFT)
    assert window.document.source.value("machine.holes") == TYPED
    assert not holes.bar.minus.isEnabled() or window.view.grips.chosen
    qtbot.mouseClick(holes.bar.shut, LEFT)
    assert not window.holes_action.isChecked() and not holes.bar.isVisible()


@pytest.mark.parametrize("width", [330, 480, 900])
def test_the_strip_stays_within_a_narrow_view(qtbot, window, holes, width):
    bar = holes.bar
    bar.fit_into(width)
    buttons = (bar.plus, bar.minus, bar.dialog, bar.shut)
    assert all(bar.rect().contains(b.geometry()) and b.width() >= b.sizeHint().width() for b in buttons)
    assert bar.width() <= max(width, 420)
    assert (bar.plus.y() > bar.shut.y() + 10) == (width < 500)  # two rows only where one has no room
