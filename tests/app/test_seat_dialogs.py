"""The dialogs of the machine's seat: a pattern from measured distances, levelling step by step."""

from __future__ import annotations

import math

import pytest

from app.dialogs.levelling import LevelDialog
from app.dialogs.pattern import PatternDialog

# A trapezium that nobody prints: hole 3 and 4 behind hole 1 and 2.
HOLES = ((0.0, 0.0), (400.0, 0.0), (-10.0, 150.0), (412.0, 149.0))


@pytest.fixture
def pattern(qtbot, window):
    dialog = PatternDialog(window.document, window)
    qtbot.addWidget(dialog)
    return dialog


def fill(dialog, wrong=0.0):
    for row in range(dialog.table.rowCount()):
        a, b = (int(dialog.table.item(row, c).text()) - 1 for c in (0, 1))
        distance = math.dist(HOLES[a], HOLES[b]) + (wrong if row == 4 else 0.0)
        dialog.table.item(row, 2).setText(f"{distance:.2f}")


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
    assert pattern.found is not None and pattern.found.misfits
    told = [pattern.table.item(r, 4).text() for r in range(pattern.table.rowCount())]
    assert all(t.endswith("mm") for t in told)
    assert max(abs(float(t.split()[-2])) for t in told) > 1.0
    assert "mm" in pattern.told.text()


@pytest.mark.parametrize(("column", "text", "says"), [(2, "ten", "Row 1"), (0, "x", "Row 1"), (2, "-5", "")])
def test_what_cannot_be_read_is_said_and_nothing_is_taken(pattern, column, text, says):
    fill(pattern)
    pattern.table.item(0, column).setText(text)
    assert pattern.told.text() and says in pattern.told.text()
    assert not pattern.take.isEnabled() and pattern.holes == ()


def test_the_even_pattern_lies_straight(pattern):
    fill(pattern)
    pattern.make_even()
    (x1, y1), (x2, y2), (x3, _), (x4, _) = pattern.holes
    assert (x1, y1) == (0.0, 0.0)
    assert y2 == pytest.approx(0.0, abs=1e-6) and x2 > 0
    assert x1 - x3 == pytest.approx(x4 - x2, abs=1e-6)  # one side as far out as the other


@pytest.fixture
def level(qtbot, window):
    dialog = LevelDialog(window.live, window.document, window)
    qtbot.addWidget(dialog)
    return dialog


def test_readings_give_a_move_or_say_that_there_is_none(level):
    for name, text in (("sensitivity", "0.02 mm/m"), ("left", "+4 div, +4 div"), ("right", "-4 div, -4 div")):
        level.fields[name].setText(text)
    level.work_out(log=False)
    said = level.answer.toPlainText()
    assert "left" in said and "mm" in said and "foot" in said  # bolted straight down, the feet are what turns


def test_nothing_given_says_what_is_wanted(level):
    level.work_out(log=False)
    assert "nothing to level by" in level.answer.toPlainText()


def test_the_turning_test_has_its_own_page(level):
    level.tabs.setCurrentIndex(1)
    for name, text in (("near", "24.98"), ("free", "25.01"), ("between", "75"), ("overhang", "90"), ("bar", "25")):
        level.fields[name].setText(text)
    level.work_out(log=False)
    assert "taper" in level.answer.toPlainText()


def test_a_kept_round_lies_beside_the_brief(level, window):
    for name, text in (("sensitivity", "0.02 mm/m"), ("left", "+4 div, +4 div"), ("right", "-4 div, -4 div")):
        level.fields[name].setText(text)
    level.work_out(log=True)
    assert window.document.path.with_suffix(".level.toml").exists()


def test_a_value_that_starts_with_a_dash_is_a_value(level):
    level.fields["sensitivity"].setText("0.02 mm/m")
    level.fields["left"].setText("-4 div")
    level.fields["right"].setText("--json")
    level.work_out(log=False)
    assert "--json" in level.answer.toPlainText() and not level.answer.toPlainText().startswith("{")
