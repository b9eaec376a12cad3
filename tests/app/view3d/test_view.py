"""The view under mouse and keys, on each canvas; pictures of different canvases agree."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QWheelEvent

from app.view3d import probe
from app.view3d.canvas import Canvas
from app.view3d.view import StandView
from framecore.brief import load_brief
from framecore.stand import evaluate
from framecore.words import speaking

SAMPLES = Path(__file__).parents[3] / "samples"


@pytest.fixture(scope="module")
def stand():
    return evaluate(load_brief(SAMPLES / "bench-lathe.toml"))


def choose(monkeypatch, way):
    monkeypatch.setenv(probe.SWITCH, way)
    probe.way.cache_clear()
    if probe.way() != way:
        pytest.skip(f"no {way} here")


def open_view(qtbot, monkeypatch, way, stand):
    choose(monkeypatch, way)
    view = StandView()
    qtbot.addWidget(view)
    view.resize(640, 480)
    view.set_stand(stand)
    with qtbot.waitExposed(view):
        view.show()
    return view


@pytest.fixture(params=["painted", "software", "gl"])
def view(request, qtbot, monkeypatch, stand):
    yield open_view(qtbot, monkeypatch, request.param, stand)
    probe.way.cache_clear()


@pytest.fixture
def painted(qtbot, monkeypatch, stand):
    yield open_view(qtbot, monkeypatch, "painted", stand)
    probe.way.cache_clear()


def pixels(image: QImage):
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    return np.frombuffer(image.bits(), np.uint8).reshape(image.height(), image.width(), 4)[:, :, :3].astype(int)


def spot_of(view, stand, part):
    """A pixel where a part is in front of everything, in the middle of its largest face that is seen."""
    here = view._scene.face_part == view._scene.parts.index(part)
    flat = view.camera.project(view._scene.triangles[here])[:, :2].reshape(-1, 3, 2)
    size = abs(np.linalg.det(flat[:, 1:] - flat[:, :1]))
    for x, y in flat[np.argsort(-size)].mean(1):
        if view.part_at(x, y) == part:
            return QPoint(round(x), round(y))
    raise AssertionError(part)


def test_shows_the_stand_on_its_paper(view):
    seen = pixels(view.picture())
    assert seen.shape[:2] == (480, 640)
    paper = seen[2, 2]
    assert 0.08 < (abs(seen - paper).max(2) > 24).mean() < 0.7


def test_canvases_agree(qtbot, monkeypatch, stand):
    # Asked before a window is open: a skip would leave it to be collected amid its painting.
    choose(monkeypatch, "software")
    pictures = {}
    for way in ("painted", "software"):
        view = open_view(qtbot, monkeypatch, way, stand)
        for name in ("three-quarter", "front", "top"):
            view.preset(name)
            pictures[way, name] = pixels(view.picture())
        view.close()
    probe.way.cache_clear()
    for name in ("three-quarter", "front", "top"):
        # Smoothing differs at every edge, so means of 4 x 4 pixels are held together.
        a, b = (p.reshape(120, 4, 160, 4, 3).mean((1, 3)) for p in (pictures["painted", name], pictures["software", name]))
        assert (abs(a - b).max(2) > 40).mean() < 0.02


def test_lit_part_changes_its_colour(view, stand):
    spot = spot_of(view, stand, "leg FR")
    before = pixels(view.picture())[spot.y(), spot.x()]
    view.set_highlight(frozenset({"leg FR"}))
    lit = pixels(view.picture())[spot.y(), spot.x()]
    assert abs(lit - before).max() > 40
    view.set_highlight(frozenset())
    assert (pixels(view.picture())[spot.y(), spot.x()] == before).all()


def test_click_names_the_part_and_a_drag_does_not(painted, qtbot, stand):
    spot = spot_of(painted, stand, "leg FR")
    with qtbot.waitSignal(painted.part_clicked) as told:
        qtbot.mouseClick(painted, Qt.MouseButton.LeftButton, pos=spot)
    assert told.args == ["leg FR"]
    with qtbot.waitSignal(painted.part_clicked) as told:
        qtbot.mouseClick(painted, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))
    assert told.args == [""]
    with qtbot.assertNotEmitted(painted.part_clicked):
        drag(painted, qtbot, spot, QPoint(30, 10))


def drag(view, qtbot, start, way, button=Qt.MouseButton.LeftButton, keys=Qt.KeyboardModifier.NoModifier):
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QMouseEvent
    from PySide6.QtWidgets import QApplication

    qtbot.mousePress(view, button, keys, start)
    for share in (0.5, 1.0):
        at = QPointF(start) + QPointF(way) * share
        move = QMouseEvent(QEvent.Type.MouseMove, at, view.mapToGlobal(at), Qt.MouseButton.NoButton, button, keys)
        QApplication.sendEvent(view, move)
    qtbot.mouseRelease(view, button, keys, start + way)


def test_left_drag_turns(painted, qtbot):
    before = painted.camera
    drag(painted, qtbot, QPoint(100, 100), QPoint(50, 20))
    assert painted.camera.azimuth < before.azimuth and painted.camera.elevation > before.elevation
    assert (painted.camera.centre == before.centre).all()


@pytest.mark.parametrize(
    ("button", "keys"),
    [
        (Qt.MouseButton.MiddleButton, Qt.KeyboardModifier.NoModifier),
        (Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier),
    ],
    ids=["middle", "shift"],
)
def test_pan_takes_the_stand_along(painted, qtbot, button, keys):
    point = painted.camera.centre
    before = painted.camera.project(point)[0, :2]
    drag(painted, qtbot, QPoint(100, 100), QPoint(40, -30), button, keys)
    assert painted.camera.project(point)[0, :2] - before == pytest.approx([40, -30], abs=1e-6)


def test_wheel_keeps_what_is_under_the_mouse(painted):
    at = QPointF(200, 150)
    camera = painted.camera
    right, up, _ = camera.axes
    scale = camera.half_width / 320
    point = camera.centre + scale * ((200 - 320) * right + (240 - 150) * up)
    none = Qt.KeyboardModifier.NoModifier
    painted.wheelEvent(
        QWheelEvent(at, at, QPoint(), QPoint(0, 240), Qt.MouseButton.NoButton, none, Qt.ScrollPhase.NoScrollPhase, False)
    )
    assert painted.camera.distance < camera.distance
    assert painted.camera.project(point)[0, :2] == pytest.approx([200, 150], abs=1e-6)


def test_keys_turn_zoom_and_fit(painted, qtbot):
    fitted = painted.camera
    qtbot.keyClick(painted, Qt.Key.Key_Left)
    qtbot.keyClick(painted, Qt.Key.Key_Up)
    assert painted.camera.azimuth != fitted.azimuth and painted.camera.elevation != fitted.elevation
    qtbot.keyClick(painted, Qt.Key.Key_Right)
    qtbot.keyClick(painted, Qt.Key.Key_Down)
    qtbot.keyClick(painted, Qt.Key.Key_Plus)
    assert painted.camera.distance < fitted.distance
    qtbot.keyClick(painted, Qt.Key.Key_Home)
    assert painted.camera.distance == pytest.approx(fitted.distance)
    assert painted.camera.centre == pytest.approx(fitted.centre)


def test_camera_stays_while_the_stand_changes(painted, stand):
    qt_before = painted.camera
    brief = load_brief(SAMPLES / "bench-mill.toml")
    painted.set_stand(evaluate(brief), moving=True)
    after = painted.camera
    assert (after.centre == qt_before.centre).all() and after.distance == qt_before.distance


def test_depths_hold_all_that_is_drawn(painted):
    for name, parallel in (("front", False), ("three-quarter", True), ("top", False)):
        painted.set_parallel(parallel)
        painted.preset(name)
        scene = painted._scene
        depth = painted.camera.project(np.concatenate([scene.points, scene.floor.reshape(-1, 3)]))[:, 2]
        assert np.abs(depth).max() <= 1.0


def test_driver_that_fails_leaves_a_painted_stand(view, qtbot):
    before = pixels(view.picture())
    view._canvas.failed.emit()
    assert type(view._canvas) is Canvas
    qtbot.wait(20)
    after = pixels(view.picture())
    assert (abs(after - before).max(2) > 60).mean() < 0.05
    assert (abs(after - after[2, 2]).max(2) > 24).mean() > 0.08


def test_is_named_for_those_who_do_not_see_it(painted):
    assert painted.accessibleName() == "View of the stand"


def test_all_of_the_stand_stays_in_a_view_of_another_size_until_a_hand_moved_it(qtbot, painted):
    view = painted

    def whole():
        spots = view.camera.project(view._scene.points)[:, :2]
        return (spots >= 0).all() and (spots <= [view.width(), view.height()]).all()

    view.resize(640, 300)
    qtbot.waitUntil(lambda: view.camera.height == 300)
    assert whole()
    before = view.camera.distance
    view.resize(640, 260)  # as a strip of findings takes it: the picture does not jump
    qtbot.waitUntil(lambda: view.camera.height == 260)
    assert view.camera.distance == before
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    near = view.camera.distance
    view.resize(900, 600)
    qtbot.waitUntil(lambda: view.camera.width == 900)
    assert view.camera.distance == near


def test_keys_shift_the_view_and_go_from_part_to_part(painted, qtbot, stand):
    centre = painted.camera.centre.copy()
    qtbot.keyClick(painted, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert not np.allclose(painted.camera.centre, centre) and painted.camera.azimuth == pytest.approx(-55.0)
    told = []
    painted.part_clicked.connect(told.append)
    painted.part_clicked.connect(lambda name: painted.set_highlight(frozenset({name} if name else ())))
    parts = painted._scene.parts
    for _ in range(2):
        qtbot.keyClick(painted, Qt.Key.Key_PageDown)
    qtbot.keyClick(painted, Qt.Key.Key_PageUp)
    qtbot.keyClick(painted, Qt.Key.Key_PageUp)
    assert told == [parts[0], parts[1], parts[0], parts[-1]]
    assert painted._name.isVisible() and painted._name.text() == parts[-1]
    qtbot.keyClick(painted, Qt.Key.Key_Escape)
    assert told[-1] == "" and not painted._name.isVisible()
    qtbot.keyClick(painted, Qt.Key.Key_Escape)
    assert len(told) == 5  # nothing is lit: the key is somebody else's


def test_a_part_is_named_in_the_language_that_is_spoken(painted):
    with speaking("de"):
        painted._name_part("leg FL", QPointF(200, 200))
        assert painted._name.isVisible() and painted._name.text().startswith("Bein")
