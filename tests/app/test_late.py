"""Figures that take longer: worked out beside the window's thread, told in it."""

import threading

import pytest

from app.live.late import Late
from app.panels.figures import FigureRow
from framecore.figures import FigureBook
from framecore.figures.model import Figure, Working


def figure(value):
    return Figure(
        id="weld.made_up", label="Made up", value=value, unit="mm", group="workshop",
        work=lambda: Working(formula="", inputs=(), steps=(), source="made up"),
    )  # fmt: skip


class Made:
    """Something with figures, one of them late."""

    def __init__(self, late):
        self.figures = FigureBook({}, late)


def test_the_late_are_worked_out_in_another_thread_and_told_in_this_one(qtbot):
    seen = []
    late, stand = Late(), Made(lambda: seen.append(threading.current_thread()) or {"weld.made_up": figure(1.0)})
    told = []
    late.ready.connect(lambda s: told.append((s, threading.current_thread())))
    late.ask(stand)
    qtbot.waitUntil(lambda: bool(told))
    assert told == [(stand, threading.main_thread())] and stand.figures.complete
    assert len(seen) == 1 and seen[0] is not threading.main_thread()


def test_what_is_asked_for_meanwhile_is_done_next_and_only_the_last_of_it(qtbot):
    go = threading.Event()
    first, dropped, last = Made(lambda: {"weld.made_up": figure(float(go.wait(5)))}), Made(dict), Made(dict)
    late, told = Late(), []
    late.ready.connect(told.append)
    for stand in (first, dropped, last):
        late.ask(stand)
    go.set()
    qtbot.waitUntil(lambda: told == [first, last])
    assert not dropped.figures.complete


def test_a_fault_is_told_and_the_next_is_worked_out_all_the_same(qtbot):
    def fail():
        raise RuntimeError("made up")

    late, faults, told = Late(), [], []
    late.fault.connect(faults.append)
    late.ready.connect(told.append)
    late.ask(Made(fail))
    qtbot.waitUntil(lambda: bool(faults))
    assert str(faults[0]) == "made up" and not told
    good = Made(dict)
    late.ask(good)
    qtbot.waitUntil(lambda: told == [good])


def test_two_threads_that_ask_for_late_figures_get_them_worked_out_once():
    calls, go = [], threading.Event()

    def slow():
        calls.append(1)
        go.wait(5)
        return {"weld.made_up": figure(2.0)}

    book, found = FigureBook({}, slow), []
    threads = [threading.Thread(target=lambda: found.append(book["weld.made_up"].value)) for _ in range(2)]
    for t in threads:
        t.start()
    go.set()
    for t in threads:
        t.join(5)
    assert found == [2.0, 2.0] and len(calls) == 1


@pytest.mark.parametrize("ask", ["show", "read"])
def test_a_row_folded_away_says_its_last_value_when_it_is_looked_at(qtbot, ask):
    row = FigureRow(figure(1.0), "metric")
    qtbot.addWidget(row)
    row.show()
    row.hide()
    before = row.accessibleName()
    row.show_figure(figure(25.0), "metric", None, False)
    assert row.accessibleName() == before, "nobody looks"
    if ask == "show":
        row.show()
        assert "25" in row.accessibleName()
    else:
        assert row.value.startswith("25")
