"""What other threads found comes to the window's thread, and nothing of the toolkit is touched or ended in theirs."""

from __future__ import annotations

import gc
import subprocess
import sys
import threading
import weakref
from pathlib import Path
from types import SimpleNamespace

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QApplication

from app.live import memory
from app.live.memory import YOUNG, Collector
from app.live.post import posted


class Hears(QObject):
    def __init__(self):
        super().__init__()
        self.heard = []

    def hear(self, *values):
        self.heard.append((values, threading.current_thread()))
        if values == ("bad",):
            raise ValueError("made up")


def in_a_thread(work):
    thread = threading.Thread(target=work)
    thread.start()
    thread.join()


def test_a_call_of_another_thread_is_made_in_this_one_in_its_order(qtbot):
    hears = Hears()
    told = posted(hears.hear)
    in_a_thread(lambda: [told(k, "x") for k in range(3)])
    assert not hears.heard, "made before this thread looked"
    qtbot.waitUntil(lambda: len(hears.heard) == 3)
    assert hears.heard == [((k, "x"), threading.main_thread()) for k in range(3)]


def test_who_has_gone_hears_nothing_and_is_not_held(qtbot):
    lost, deleted, stays = Hears(), Hears(), Hears()
    told = [posted(h.hear) for h in (lost, deleted, stays)]
    heard, gone = deleted.heard, weakref.ref(lost)
    deleted.deleteLater()
    QApplication.sendPostedEvents(deleted, QEvent.Type.DeferredDelete)
    del lost
    assert gone() is None
    in_a_thread(lambda: [t(1) for t in told])
    qtbot.waitUntil(lambda: bool(stays.heard))
    assert not heard


def test_a_call_that_fails_does_not_keep_the_next_from_being_heard(qtbot):
    hears = Hears()
    told = posted(hears.hear)
    with qtbot.captureExceptions() as caught:
        in_a_thread(lambda: [told(v) for v in ("bad", "good")])
        qtbot.waitUntil(lambda: len(hears.heard) == 2)
    assert [str(c[1]) for c in caught] == ["made up"]


def test_an_owner_that_goes_while_its_work_is_told_does_no_harm():
    """Two thousand of them, in a program of their own: a signal sent to what is being taken down ended it at once."""
    program = """
import random, time
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from app.live.late import Late
application = QCoreApplication([])
chance = random.Random(1)
class Made:
    @property
    def figures(self):
        for _ in range(chance.randrange(4000)):
            pass
        return ()
for _ in range(2000):
    owner = QObject()
    Late(owner).ask(Made())
    if chance.random() < 0.7:
        time.sleep(chance.random() * 4e-4)
    owner.deleteLater()
    del owner
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    application.processEvents()
print("well")
"""
    done = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", program], capture_output=True, text=True, check=False,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert done.stdout == "well\n" and done.returncode == 0, done.stderr[-2000:]


@pytest.fixture
def collector(qapp):
    before, was = gc.get_threshold(), gc.isenabled()
    gc.collect()
    found = Collector()
    gc.set_threshold(50)
    yield found
    found.deleteLater()
    gc.set_threshold(*before)
    gc.enable() if was else gc.disable()


class Circle(QObject):
    """In a circle with itself: only the collector ends it."""

    def __init__(self, ended):
        super().__init__()
        self.me = self
        weakref.finalize(self, lambda: ended.append(threading.current_thread()))


def test_an_object_of_the_toolkit_is_collected_in_the_windows_thread_alone(qtbot, collector):
    ended = []
    Circle(ended)
    in_a_thread(lambda: [[] for _ in range(1000)] + [[k] for k in range(YOUNG)])
    assert not ended, "collected in a thread that made other objects"
    kept = [[k] for k in range(YOUNG + 1000)]
    qtbot.waitUntil(lambda: bool(ended))
    assert ended == [threading.main_thread()] and kept


def test_old_objects_are_collected_too_in_their_time(qtbot, collector):
    ended = []
    circle = Circle(ended)
    gc.collect()  # it has grown old
    del circle
    young = []

    def some_more():
        young.extend([k] for k in range(YOUNG + 1))
        collector.look()
        return bool(ended)

    for _ in range(200):
        if some_more():
            break
    assert ended == [threading.main_thread()]


def test_free_memory_is_given_back_at_rest(qapp, monkeypatch):
    now, given, held = [0.0], [], [Qt.MouseButton.NoButton]
    monkeypatch.setattr(memory, "QGuiApplication", SimpleNamespace(mouseButtons=lambda: held[0]))
    found = Collector(clock=lambda: now[0])
    try:
        found._trim = lambda: given.append(now[0])
        gc.collect()
        for now[0] in (1.0, 19.0, 21.0, 22.0, 40.0, 42.0):
            found.look()
        assert given == [21.0, 42.0]
        held[0] = Qt.MouseButton.LeftButton
        for now[0] in (63.0, 84.0):
            found.look()
        assert given == [21.0, 42.0], "in the middle of a drag"
    finally:
        found.deleteLater()
        gc.enable()
