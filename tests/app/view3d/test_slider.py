"""The slider moves by hand, wheel and keys, and tells one gesture from the next."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from app.view3d.slider import HeightSlider
from framecore.units import INCH


def stand(height=750.0, low=700.0, high=800.0, units="metric"):
    return SimpleNamespace(
        height=SimpleNamespace(height=height, band_low=low, band_high=high), brief=SimpleNamespace(units=units)
    )


@pytest.fixture
def slider(qtbot):
    widget = HeightSlider()
    qtbot.addWidget(widget)
    widget.resize(110, 580)
    widget.set_stand(stand())
    widget.seen = []
    widget.done = []
    widget.moved.connect(lambda h, g: widget.seen.append((h, g)))
    widget.released.connect(lambda: widget.done.append(True))
    widget.show()
    return widget


def at(slider, height):
    return QPoint(50, round(slider.y_of(height)))


def test_scale_goes_both_ways(slider):
    for height in (310.0, 750.0, 1280.0):
        assert slider.height_at(slider.y_of(height)) == pytest.approx(height)
    assert slider.y_of(800) < slider.y_of(700)


def test_one_drag_is_one_gesture(slider, qtbot):
    qtbot.mousePress(slider, Qt.MouseButton.LeftButton, pos=at(slider, 750))
    assert slider.seen == []  # taking the handle moves nothing
    for height in (800, 850, 900):
        qtbot.mouseMove(slider, at(slider, height))
    qtbot.mouseRelease(slider, Qt.MouseButton.LeftButton, pos=at(slider, 900))
    assert len(slider.seen) == 3 and len({g for _, g in slider.seen}) == 1
    assert slider.seen[-1][0] == pytest.approx(900, abs=3)  # a pixel is 2 mm
    assert slider.done == [True]
    qtbot.mouseClick(slider, Qt.MouseButton.LeftButton, pos=at(slider, 600))
    assert slider.seen[-1][1] != slider.seen[0][1] and len(slider.done) == 2


def test_scale_stands_still_under_the_hand(slider, qtbot):
    qtbot.mousePress(slider, Qt.MouseButton.LeftButton, pos=at(slider, 750))
    slider.set_stand(stand(height=2000.0))
    assert slider.high == 1300.0 and slider.height_mm == 750.0
    qtbot.mouseRelease(slider, Qt.MouseButton.LeftButton, pos=at(slider, 750))
    slider.set_stand(stand(height=2000.0))
    assert slider.height_mm == 2000.0 and slider.low < 2000.0 < slider.high


def test_keys_step_and_settle_once(slider, qtbot):
    with qtbot.waitSignal(slider.released, timeout=3000):
        for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp):
            qtbot.keyClick(slider, key)
    assert [h for h, _ in slider.seen] == [755, 760, 755, 805]
    assert len({g for _, g in slider.seen}) == 1 and slider.done == [True]


@pytest.mark.parametrize(("units", "step"), [("metric", 5.0), ("inch", INCH / 4)])
def test_half_notches_of_the_wheel_add_up(slider, units, step):
    slider.set_stand(stand(height=30 * INCH if units == "inch" else 750.0, units=units))
    start, where = slider.height_mm, QPointF(50, 200)
    none = Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase
    for _ in range(2):
        wheel = QWheelEvent(where, where, QPoint(), QPoint(0, 60), Qt.MouseButton.NoButton, *none, False)
        QApplication.sendEvent(slider, wheel)
    assert [h for h, _ in slider.seen] == [pytest.approx(start + step)]


def test_ends_of_the_scale_hold_the_handle(slider, qtbot):
    qtbot.mouseClick(slider, Qt.MouseButton.LeftButton, pos=QPoint(50, 2))
    assert slider.seen[-1][0] == slider.high


def test_the_band_is_drawn(slider):
    with_band = slider.grab().toImage()
    slider.set_stand(stand(low=0.0, high=0.0))
    assert (slider.low, slider.high) == (300.0, 1300.0)  # no band asks for no room
    without = slider.grab().toImage()
    y, x = round(slider.y_of(720)), slider.width() - 20 + 6
    assert with_band.pixelColor(x, y) != without.pixelColor(x, y)
