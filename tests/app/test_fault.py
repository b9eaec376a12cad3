"""Faults from wherever they come end in one place: the work is saved, then one message with a text to copy."""

from __future__ import annotations

import gc
import sys
import threading
import time

import pytest
from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QObject,
    QPoint,
    QRunnable,
    QSize,
    Qt,
    QThread,
    QThreadPool,
    QTimer,
    Signal,
)
from PySide6.QtGui import QPainter
from PySide6.QtOpenGLWidgets import QOpenGLWidget
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QListView, QListWidget, QPushButton, QStyledItemDelegate, QWidget

from app.dialogs.fault import FaultDialog, FaultHub
from tests.app.conftest import HAS_SCREEN

# The faults below are made on purpose; the test helper would count each as a failure of the test.
pytestmark = pytest.mark.qt_no_exception_capture


class MadeUpError(Exception):
    """A fault that only these tests raise."""


def fail(*_args):
    raise MadeUpError("made up")


@pytest.fixture
def told(qapp, tmp_path):
    """What the maker was told: (copy of the work, report); the hub is in charge meanwhile."""
    said = []
    copy = tmp_path / "copy.toml"

    def rescue():
        copy.write_text("the work")
        return copy

    hub = FaultHub(rescue, show=lambda saved, report: said.append((saved, saved.read_text(), report)))
    hub.install()
    yield said
    hub.remove()
    assert sys.excepthook is sys.__excepthook__ and threading.excepthook is threading.__excepthook__


def run(qapp, do, until, seconds=10):
    """Do something within the program's own loop of events, which is where the maker's strokes come from."""
    ticks = QTimer()
    ticks.setInterval(10)
    end = time.monotonic() + seconds
    ticks.timeout.connect(lambda: qapp.exit() if until() or time.monotonic() > end else None)
    ticks.start()
    QTimer.singleShot(0, do)
    qapp.exec()
    ticks.stop()
    assert until()


class Widget(QWidget):
    """Fails in one of its toolkit methods."""

    def __init__(self, where):
        super().__init__()
        self._where = where

    def paintEvent(self, _event):
        if self._where == "paint":
            with QPainter(self):
                fail()

    def resizeEvent(self, _event):
        if self._where == "resize":
            fail()

    def mousePressEvent(self, _event):
        if self._where == "mouse":
            fail()

    def keyPressEvent(self, _event):
        if self._where == "key":
            fail()

    def sizeHint(self):
        if self._where == "size hint":
            fail()
        return QSize(50, 50)

    def closeEvent(self, event):
        if self._where == "close":
            fail()
        event.accept()

    def event(self, event):
        if self._where == "event" and event.type() == QEvent.Type.User:
            fail()
        return super().event(event)


def kept(qtbot, widget):
    """Close the widget after the test only: a fault unwinds the stroke while the toolkit is still within it."""
    qtbot.addWidget(widget)
    qtbot.__dict__.setdefault("kept", []).append(widget)
    return widget


def by_widget(qtbot, where):
    widget = kept(qtbot, Widget(where))
    with qtbot.waitExposed(widget):
        widget.show()
    widget.resize(120, 90)
    QTest.mouseClick(widget.windowHandle(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(5, 5))
    QTest.keyClick(widget.windowHandle(), Qt.Key.Key_A)
    QApplication.postEvent(widget, QEvent(QEvent.Type.User))
    widget.adjustSize()
    QApplication.processEvents()
    widget.close()


def by_timer(_qtbot):
    QTimer.singleShot(0, fail)


def by_slot(qtbot):
    button = kept(qtbot, QPushButton())
    button.clicked.connect(fail)
    button.click()


def by_filter(qtbot):
    class Filter(QObject):
        def eventFilter(self, _watched, event):
            return fail() if event.type() == QEvent.Type.User else False

    widget = kept(qtbot, QWidget())
    widget.filter = Filter()
    widget.installEventFilter(widget.filter)
    QApplication.sendEvent(widget, QEvent(QEvent.Type.User))
    widget.removeEventFilter(widget.filter)


def by_model(qtbot):
    class Rows(QAbstractListModel):
        def rowCount(self, _parent=None):
            return 1

        def data(self, _index, _role):
            fail()

    view = kept(qtbot, QListView())
    view.rows = Rows()
    view.setModel(view.rows)
    with qtbot.waitExposed(view):
        view.show()


def by_delegate(qtbot):
    class Pen(QStyledItemDelegate):
        def paint(self, _painter, _option, _index):
            fail()

    view = kept(qtbot, QListWidget())
    view.pen = Pen()
    view.setItemDelegate(view.pen)
    view.addItem("a")
    with qtbot.waitExposed(view):
        view.show()


def by_dialog(qtbot):
    dialog = kept(qtbot, QDialog())
    QTimer.singleShot(0, fail)
    QTimer.singleShot(50, dialog.reject)
    dialog.exec()


def by_thread(_qtbot):
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()


def by_toolkit_thread(_qtbot):
    class Work(QThread):
        def run(self):
            fail()

    work = Work()
    work.start()
    assert work.wait(5000)


def by_pool(_qtbot):
    pool = QThreadPool()
    pool.start(fail)
    assert pool.waitForDone(5000)


def by_runnable(_qtbot):
    class Work(QRunnable):
        def run(self):
            fail()

    pool = QThreadPool()
    pool.start(Work())
    assert pool.waitForDone(5000)


def by_signal_of_a_thread(_qtbot):
    class Work(QThread):
        here = Signal()

        def run(self):
            self.here.emit()

    work = Work()
    work.here.connect(fail)
    work.start()
    assert work.wait(5000)
    QApplication.processEvents()


def by_end_of_an_object(_qtbot):
    class Ends:
        def __del__(self):
            fail()

    Ends()
    gc.collect()


WAYS = {
    **{
        f"widget, {w}": (lambda qtbot, w=w: by_widget(qtbot, w))
        for w in ("paint", "resize", "mouse", "key", "size hint", "close", "event")
    },
    "timer": by_timer, "slot": by_slot, "event filter": by_filter, "model": by_model, "delegate": by_delegate,
    "within a dialog": by_dialog, "thread": by_thread, "thread of the toolkit": by_toolkit_thread, "pool": by_pool,
    "runnable": by_runnable, "signal of a thread": by_signal_of_a_thread, "end of an object": by_end_of_an_object,
}  # fmt: skip


@pytest.mark.parametrize("way", WAYS)
def test_every_fault_is_told_once_with_the_work_saved_before(qapp, qtbot, told, way):
    run(qapp, lambda: WAYS[way](qtbot), lambda: bool(told))
    assert len(told) == 1
    saved, text, report = told[0]
    assert text == "the work" and saved.name == "copy.toml"
    assert "MadeUpError: " in report and "made up" in report and "in fail" in report


@pytest.mark.skipif(not HAS_SCREEN, reason="no OpenGL without a screen")
@pytest.mark.parametrize("where", ["initializeGL", "paintGL", "resizeGL"])
def test_faults_of_an_opengl_widget(qapp, qtbot, told, where):
    widget = type("Failing", (QOpenGLWidget,), {where: fail})()
    qtbot.addWidget(widget)
    run(qapp, widget.show, lambda: bool(told))
    assert "made up" in told[0][2]


def test_a_painting_that_fails_each_time_in_other_words_is_told_once(qapp, qtbot, told):
    class Bad(QWidget):
        count = 0

        def paintEvent(self, _event):
            Bad.count += 1
            raise MadeUpError(f"picture {Bad.count}")

    widget = Bad()
    qtbot.addWidget(widget)
    again = QTimer(widget)
    again.timeout.connect(widget.update)
    again.start(5)
    run(qapp, widget.show, lambda: Bad.count > 8)
    assert len(told) == 1


def test_a_fault_of_a_painting_is_told_after_the_painting(qapp, qtbot):
    """A dialog that opens within a painting would paint within it again."""
    widget = kept(qtbot, Widget("paint"))
    within = []
    hub = FaultHub(lambda: None, show=lambda *_: within.append(widget.testAttribute(Qt.WidgetAttribute.WA_WState_InPaintEvent)))
    hub.install()
    try:
        run(qapp, widget.show, lambda: bool(within))
    finally:
        hub.remove()
    assert within == [False]


def test_faults_while_one_is_shown_are_told_after_it(qtbot, qapp):
    said = []

    def show(_saved, report):
        said.append(report)
        if len(said) == 1:
            QTimer.singleShot(0, fail)
            qtbot.wait(30)
            assert len(said) == 1, "one at a time"

    hub = FaultHub(lambda: None, show=show)
    hub.install()
    try:
        run(qapp, lambda: 1 / 0, lambda: len(said) == 2)
    finally:
        hub.remove()
    assert "ZeroDivisionError" in said[0] and "made up" in said[1]


def test_the_message_says_where_the_copy_is_and_gives_the_report_away(qtbot, tmp_path):
    dialog = FaultDialog(tmp_path / "copy.toml", "the report\nline two")
    qtbot.addWidget(dialog)
    texts = " ".join(w.text() for w in dialog.findChildren(QWidget) if hasattr(w, "text") and callable(w.text))
    assert "copy.toml" in texts and "fault of its own" in texts and "Traceback" not in texts
    (copy,) = [b for b in dialog.findChildren(QPushButton) if "opy" in b.text()]
    copy.click()
    assert QApplication.clipboard().text() == "the report\nline two"


def test_a_brief_that_makes_the_program_fail_is_said_to_be_stale(qtbot, window, told, monkeypatch):
    monkeypatch.setattr(window.live._evaluator, "evaluate", fail)
    window.document.edit("machine.mass", 333)
    qtbot.waitUntil(lambda: bool(told))
    assert window.live.stale and window.banner.isVisible()
    assert "fault of its own" in window.live.findings[-1].message
    monkeypatch.undo()
    window.document.edit("machine.mass", 334)
    qtbot.waitUntil(lambda: not window.live.stale)
    assert not window.banner.isVisible()


def test_a_packet_that_fails_is_told_and_leaves_nothing(qtbot, window, told, asked, monkeypatch, tmp_path):
    asked.path = str(tmp_path / "box" / "packet")
    (tmp_path / "box").mkdir()
    monkeypatch.setattr("app.cli.packet._fill", fail)
    window.save_packet()
    window.packet.wait()
    qtbot.waitUntil(lambda: bool(told))
    assert list((tmp_path / "box").iterdir()) == [] and not window.packet.running
