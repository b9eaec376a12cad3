"""The hole pattern's dialog: each way gives the brief its text, one step of the history."""

from __future__ import annotations

import math

import pytest

from app.dialogs.pattern import PatternDialog

# A trapezium that nobody prints: hole 3 and 4 behind hole 1 and 2.
HOLES = ((0.0, 0.0), (400.0, 0.0), (-10.0, 150.0), (412.0, 149.0))


@pytest.fixture
def pattern(qtbot, window):
    dialog = PatternDialog(window.document, window, way=1)
    qtbot.addWidget(dialog)
    return dialog


def fill(dialog, wrong=0.0):
    table = dialog.distances.table
    for row in range(table.rowCount()):
        a, b = (int(table.item(row, c).text()) - 1 for c in (0, 1))
        distance = math.dist(HOLES[a], HOLES[b]) + (wrong if row == 4 else 0.0)
        table.item(row, 2).setText(f"{distance:.2f}")


def test_distances_give_the_pattern_and_take_over_is_one_step(pattern, window):
    assert not pattern.take.isEnabled()
    fill(pattern)
    for got, wanted in zip(pattern.holes, HOLES, strict=True):
        assert got == pytest.approx(wanted, abs=0.02)
    steps = window.document.history.count()
    pattern.accept()
    assert window.document.history.count() == steps + 1
    assert window.document.source.value("machine.holes")[1] == pytest.approx([400.0, 0.0], abs=0.02)


def test_a_slip_is_pointed_at(pattern):
    fill(pattern, wrong=12.0)
    way = pattern.distances
    assert way.found is not None and way.found.misfits
    told = [way.table.item(r, 4).text() for r in range(way.table.rowCount())]
    assert all(t.endswith("mm") for t in told)
    assert max(abs(float(t.split()[-2])) for t in told) > 1.0
    assert "mm" in pattern.told.text()
    assert len(pattern.picture.arrows) == 2 * way.table.rowCount()


@pytest.mark.parametrize(("column", "text", "says"), [(2, "ten", "Row 1"), (0, "x", "Row 1"), (2, "-5", "")])
def test_what_cannot_be_read_is_said_and_nothing_is_taken(pattern, column, text, says):
    fill(pattern)
    pattern.distances.table.item(0, column).setText(text)
    assert pattern.told.text() and says in pattern.told.text()
    assert not pattern.take.isEnabled() and pattern.holes == ()


def test_the_even_pattern_lies_straight(pattern):
    fill(pattern)
    pattern.make_even()
    (x1, y1), (x2, y2), (x3, _), (x4, _) = pattern.holes
    assert (x1, y1) == (0.0, 0.0)
    assert y2 == pytest.approx(0.0, abs=1e-6) and x2 > 0
    assert x1 - x3 == pytest.approx(x4 - x2, abs=1e-6)  # one side as far out as the other
    assert "Each hole moves" in pattern.told.text() and len(pattern.picture.arrows) == 4
