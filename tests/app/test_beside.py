"""The process beside the window: the latest question only, no fault lost, nothing left behind."""

from __future__ import annotations

import multiprocessing
import os

import pytest
from PySide6.QtCore import QThread

from app.beside.beside import GONE, Beside
from tests.app.beside_works import count, for_ever, refuse

WAIT = 60_000


@pytest.fixture
def beside(qtbot):
    made = []

    def make(work):
        made.append(Beside(work))
        return made[-1]

    yield make
    for one in made:
        one.close()
    assert not multiprocessing.active_children()


def test_messages_come_in_order_from_another_process_into_this_thread(qtbot, beside):
    one, heard, threads = beside(count), [], []
    one.told.connect(heard.append)
    one.told.connect(lambda _m: threads.append(QThread.currentThread()))
    with qtbot.waitSignal(one.ended, timeout=WAIT) as end:
        one.ask(5)
    assert end.args == [""] and not one.busy
    assert heard[1:] == [0, 1, 2, 3, 4] and heard[0][1] != os.getpid()
    assert set(threads) == {QThread.currentThread()}
    with qtbot.waitSignal(one.ended, timeout=WAIT):
        one.ask(1)
    assert heard[6] == heard[0]  # the same process answers again


def test_only_the_last_question_is_heard(qtbot, beside):
    one, heard = beside(for_ever), []
    one.told.connect(heard.append)
    for k in range(200):  # more than a line holds, asked before the process is there
        one.ask(("question " * 200, k))
    qtbot.waitUntil(lambda: bool(heard), timeout=WAIT)
    assert [m[1] for m in heard] == [199]
    one.ask(("", 200))
    qtbot.waitUntil(lambda: len(heard) == 2, timeout=WAIT)
    assert heard[1][1] == 200
    one.stop()
    assert not one.busy
    with qtbot.waitSignal(one.told, timeout=WAIT):
        one.ask(("", 201))
    assert [m[1] for m in heard] == [199, 200, 201]


def test_what_was_foreseen_is_a_sentence_and_what_was_not_is_a_fault(qtbot, beside):
    one, faults = beside(refuse), []
    one.fault.connect(faults.append)
    with qtbot.waitSignal(one.ended, timeout=WAIT) as end:
        one.ask("foreseen")
    assert end.args == ["This cannot be."] and not faults
    with qtbot.waitSignal(one.ended, timeout=WAIT) as end:
        one.ask("unforeseen")
    assert end.args == [GONE] and "ZeroDivisionError" in str(faults[0])


def test_a_process_that_dies_is_told_and_another_takes_its_place(qtbot, beside):
    one = beside(refuse)
    with qtbot.waitSignal(one.ended, timeout=WAIT) as end:
        one.ask("die")
    assert end.args == [GONE] and not one.busy
    with qtbot.waitSignal(one.ended, timeout=WAIT) as end:
        one.ask("foreseen")
    assert end.args == ["This cannot be."]


def test_closing_ends_the_process_in_the_middle_of_its_work(qtbot, beside):
    one = beside(for_ever)
    with qtbot.waitSignal(one.told, timeout=WAIT):
        one.ask("x")
    assert multiprocessing.active_children()
    one.close()
    assert not multiprocessing.active_children() and not one.busy
