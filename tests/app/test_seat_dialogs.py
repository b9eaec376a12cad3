"""The dialogs of the machine's seat: levelling step by step."""

from __future__ import annotations

import pytest

from app.dialogs.levelling import LevelDialog


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
