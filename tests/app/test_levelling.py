"""The levelling window: from the first reading to a straight bed, what it refuses, and the rounds it keeps."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from app.dialogs.levelling import LevelDialog
from app.dialogs.levelling.machine import SHEET_SUFFIX
from app.document import Document
from app.live import Live
from app.theme import DARK, LIGHT, set_dark, style_sheet
from framecore.brief import load_source
from framecore.seat.answer import DONE, TWIST
from framecore.words import speaking

DIVISION = 0.02  # mm/m
READ = (("left", "+2 div", "-1 div"), ("middle", "", ""), ("right", "+5 div", "+2 div"))
BAR = {"near": "25.000", "free": "25.008", "between": "75", "overhang": "95", "bar": "25", "micrometer": "0.001"}


class Open:
    """The brief open beside the dialog, without the rest of the window."""

    def __init__(self, path, qtbot):
        self.document = Document(load_source(path), path)
        self.live = Live(self.document)
        self.live.flush()
        self._qtbot = qtbot

    def dialog(self, **other):
        made = LevelDialog(self.live, self.document, **other)
        self._qtbot.addWidget(made)
        made.show()
        return made


@pytest.fixture
def beside(qtbot, sample_file):
    return Open(sample_file, qtbot)


@pytest.fixture
def level(beside):
    return beside.dialog()


def fill(level, rows=READ, worth="0.02 mm/m", tolerance="0.01 mm/m"):
    level.go(3)
    level.twist.worth.set_text(worth)
    level.twist.tolerance.set_text(tolerance)
    level.twist.stations.fill(rows)


def turn_a_bar(level, **other):
    level.go(3)
    level.twist.by_collars.setChecked(True)
    for name, text in (BAR | other).items():
        level.twist.collars.fields[name].set_text(text)


class Bed:
    """A bed that answers by a share of what the model says, read with a level that has an error of its own."""

    def __init__(self, machine, twist, share):
        self.machine, self.share = machine, share
        self.rolls = np.array([0.1, 0.1 + twist])
        self.places = [0.0, machine.screws.length]

    def turn(self, turns):
        moved = np.array([sum(t.move.mm for t in turns if t.move.name == n) for n in self.machine.screws.names])
        self.rolls = self.rolls + self.share * (self.machine.screws.at(self.places) @ moved)

    def read(self):
        """As laid and turned end for end at both ends, to a tenth of a division."""
        return [(f"{(r + 0.03) / DIVISION:.1f}", f"{(r - 0.03) / DIVISION:.1f}") for r in self.rolls]


@pytest.mark.parametrize("share", [0.6, 0.8, 1.3])
def test_from_the_first_reading_to_done(level, share):
    assert level.steps.step == 1
    level.feet.boxes["foot BR"].setChecked(True)
    level.work_out()
    assert [t.move.name for t in level.told.turns] == ["foot BR"] and level.steps.step == 1
    level.feet.boxes["foot BR"].setChecked(False)
    level.work_out()
    assert level.steps.step == 2 and "✓" in level.steps.buttons[0].text()
    level.enough.fields["across.laid"].set_text("2.4 mm/m")
    level.enough.fields["along.laid"].set_text("-1.8 mm/m")
    level.work_out()
    assert level.steps.step == 2 and all(t.up for t in level.told.turns) and len(level.told.turns) == 3
    assert [e.name for e in level.told.expected] == ["across", "along"]
    for row in (0, 1):
        level.then.table.item(row, 3).setText("0.1 mm/m")
    level.then.go_on.click()
    assert level.steps.step == 3
    bed = Bed(level.machine, 0.06, share)
    fill(level, [(name, *both) for name, both in zip(("left", "right"), bed.read(), strict=True)])
    level.work_out()
    rounds = 0
    while level.told.stage == TWIST:
        rounds += 1
        assert rounds <= 4
        level.keep_round()
        bed.turn(level.told.turns)
        for row, (laid, turned) in enumerate(bed.read()):
            level.then.table.item(row, 3).setText(laid)
            level.then.table.item(row, 4).setText(turned)
        level.then.go_on.click()
    assert level.told.stage == DONE and "Done" in level.headline.text() and "✓" in level.steps.buttons[2].text()
    assert abs(bed.rolls[1] - bed.rolls[0]) <= 0.01 + 2 * 0.1 * DIVISION  # the tolerance and what the level shows
    assert level.rounds.table.rowCount() == rounds >= 1
    assert level.told.learned.rounds == rounds and abs(level.told.learned.share - share) < 0.15


def test_the_steps_go_on_in_another_language_too(beside):
    with speaking("de"):
        level = beside.dialog()
        level.work_out()
        level.enough.worth.set_text("0,02 mm/m")
        level.enough.fields["across.laid"].set_text("120 Skt")
        level.enough.fields["along.laid"].set_text("-90 Skt")
        level.work_out()
        assert level.then.table.item(0, 0).text() != "across" and len(level.told.expected) == 2
        for row in (0, 1):
            level.then.table.item(row, 3).setText("2 Skt")
        assert not level.then.said.text()
        level.then.go_on.click()
        assert level.steps.step == 3
        assert [level.twist.stations.table.item(r, 0).text() for r in range(3)] == ["links", "Mitte", "rechts"]
        level.twist.worth.set_text("0,02 mm/m")
        fill(level, [("left", "2 Skt", ""), ("rechts", "-1", "")], worth="0,02 mm/m", tolerance="0,01 mm/m")
        level.work_out()
        assert level.told is not None and level.told.stage == TWIST and not level.twist.stations.said.text()
        for row, e in enumerate(level.told.expected):
            level.then.table.item(row, 3).setText(f"{e.laid / DIVISION:.2f}".replace(".", ","))
        assert level.then.table.item(0, 5).text().startswith("✓") and level.then.go_on.isEnabled()
        level.then.go_on.click()
        assert level.told.stage == DONE


def test_only_what_was_asked_gets_a_mark(level):
    level.work_out()  # all feet bear
    assert level.steps.step == 2 and level.steps.marks == ["✓", "", ""]
    level.go(3)
    fill(level)
    level.work_out()
    assert level.steps.marks[:2] == ["✓", ""] and level.steps.marks[2]


def test_the_plan_says_what_the_answer_says(level):
    fill(level)
    level.work_out()
    (turn,) = level.told.turns
    assert turn.short in level.plan.accessibleDescription() and "leave foot FL" in level.plan.accessibleDescription()
    assert turn.words in level.answer.toPlainText() and "no certificate" in level.answer.toPlainText()
    assert "foot FR" in level.headline.text()


def test_what_is_read_next_is_set_against_what_was_told(level):
    fill(level)
    level.work_out()
    first, second = level.told.expected
    assert not level.then.go_on.isEnabled()
    for row, e in enumerate((first, second)):
        level.then.table.item(row, 3).setText(f"{(e.laid + row * 0.02) / DIVISION:.2f}")
        level.then.table.item(row, 4).setText(f"{(e.turned + row * 0.02) / DIVISION:.2f}")
    assert level.then.table.item(0, 5).text() == "✓ as told" and level.then.table.item(1, 5).text() == "+1.0 div off"
    assert "+0.020 mm/m, ▲ more than 0.01" in level.then.words.text() and level.then.go_on.isEnabled()
    level.then.table.item(1, 3).setText("much")
    assert "Right" in level.then.said.text() and "write for example" in level.then.said.text()
    assert not level.then.go_on.isEnabled() and level.then.table.item(1, 3).text() == "much"


@pytest.mark.parametrize(
    ("rows", "worth", "said"),
    [
        ([("left", "2 dix", "")], "0.02 mm/m", "Row 1, as laid"), ([("left", "", "2")], "0.02 mm/m", "as laid too"),
        ([("lefd", "2", "")], "0.02 mm/m", "Nearest: left"), ([("", "2", "")], "0.02 mm/m", "say where"),
        ([("left", "2", "")], "", "what a division is worth"), ([("left", "--json", "")], "0.02 mm/m", "--json"),
        ([("9 m", "2", "")], "0.02 mm/m", "not on the bed"),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_read_is_said_at_once_and_stays(level, rows, worth, said):
    fill(level, rows, worth)
    assert said in level.twist.stations.said.text() and level.twist.stations.said.isVisible()
    assert level.twist.stations.rows() == rows
    level.work_out()
    assert level.told is None and said in level.headline.text()


def test_fields_say_what_is_wrong_beside_themselves(level):
    fill(level, worth="0.02")
    assert "has no unit" in level.twist.worth.said.text() and level.twist.worth.text == "0.02"
    level.twist.worth.set_text("0.02 mm/m")
    assert level.twist.worth.said.text() == ""
    level.twist.tolerance.set_text("9")
    assert "nearest 5 mm/m" in level.twist.tolerance.said.text()
    level.go(2)
    level.enough.fields["along.turned"].set_text("1 mm/m")
    assert "as laid too" in level.enough.pair["along"].text()
    level.enough.fields["across.laid"].set_text("two")
    assert "is not" in level.enough.fields["across.laid"].said.text()
    level.work_out()
    assert level.told is None and "Across" in level.headline.text()


def test_nothing_given_says_what_is_wanted(level):
    level.go(2)
    level.work_out()
    assert "at least one reading" in level.headline.text()
    level.go(3)
    level.work_out()
    assert "two stations or more" in level.headline.text()
    level.twist.by_collars.setChecked(True)
    level.work_out()
    assert "two collars" in level.headline.text()


def test_the_turning_test(level):
    turn_a_bar(level)
    level.twist.tolerance.set_text("0.02 mm/m")
    level.work_out()
    assert level.told.stage == TWIST and "Taper +0.0080" in level.answer.toPlainText()
    assert "larger than the one at the chuck" in level.then.words.text()
    assert "is assumed" in level.answer.toPlainText()
    level.twist.collars.fields["ways"].set_text("115")
    level.work_out()
    assert "is assumed" not in level.answer.toPlainText()
    assert not level.keep.isEnabled()  # a turning test is no reading of the record


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"overhang": "150"}, "6.0 diameters out"), ({"between": "120"}, "do not fit"), ({"free": "27"}, "differ by"),
    ],
)  # fmt: skip
def test_collars_that_cannot_be_or_bend_are_said_while_they_are_typed(level, other, said):
    turn_a_bar(level)
    assert level.twist.collars.said.text() == ""
    turn_a_bar(level, **other)
    assert said in level.twist.collars.said.text()
    turn_a_bar(level, bar="thick")
    assert "is not" in level.twist.collars.fields["bar"].said.text()


def test_an_absurd_twist_is_no_reason_to_turn_a_screw(level):
    turn_a_bar(level, near="24.98", free="25.03")
    level.work_out()
    assert "elsewhere" in level.headline.text() and "wear of the ways" in level.headline.text() and not level.told.turns
    assert "headstock" in level.answer.toPlainText() and "bending" in level.answer.toPlainText()


def record_of(beside):
    return beside.document.path.with_suffix(".level.toml")


def test_nothing_is_written_before_it_is_asked_for(level, beside):
    before = sorted(p.name for p in beside.document.path.parent.iterdir())
    fill(level)
    level.work_out()
    level.go(1)
    level.work_out()
    assert sorted(p.name for p in beside.document.path.parent.iterdir()) == before
    assert not level.keep.isEnabled()
    fill(level)
    level.work_out()
    level.keep_round()
    (made,) = tomllib.loads(record_of(beside).read_text(encoding="utf-8"))["round"]
    assert made["twist"] == [pytest.approx(0.06)] and made["readings"] == ["left: +2 div, -1 div", "right: +5 div, +2 div"]
    assert made["when"] and not level.keep.isEnabled()


def test_a_round_kept_and_asked_again_teaches_nothing(level):
    fill(level)
    level.work_out()
    before = level.told.turns
    level.keep_round()
    level.work_out()
    assert level.told.learned.rounds == 0 and level.told.turns == before
    level.go_on(list(READ))  # read again after turning, and nothing came of it
    assert level.told.learned.rounds == 1 and level.told.learned.share < 0.2


def two_rounds(level):
    fill(level)
    level.work_out()
    level.keep_round()
    level.go_on([("left", "-2.6", "-5.6"), ("right", "-1.7", "-4.7")])
    level.keep_round()


def test_the_rounds_are_shown_and_one_can_be_taken_out(level, beside):
    two_rounds(level)
    table = level.rounds.table
    first = [table.item(0, c).text() for c in range(table.columnCount())]
    assert first[1:4] == ["+0.060", "FR +0.103", "+0.018"] and first[4].startswith("0.7")
    assert level.rounds.plot.twist == pytest.approx((0.06, 0.018)) and level.rounds.plot.limit == 0.05
    assert "(2)" in level.below.tabText(1)
    whole = record_of(beside).read_text(encoding="utf-8")
    table.selectRow(1)
    level.ask_take_out = lambda _parent, _number: ""
    level.rounds.out.click()
    assert record_of(beside).read_text(encoding="utf-8") == whole
    level.ask_take_out = lambda _parent, number: "reading" if number == 2 else ""
    level.rounds.out.click()
    (left,) = level.machine.rounds()
    assert table.rowCount() == 1 and left.moves["foot FR"] == pytest.approx(0.103 + 0.044, abs=1e-3)


def test_a_spoilt_record_is_said_and_left_alone(level, beside):
    record_of(beside).write_text("format = 1\n[[round\n", encoding="utf-8")
    level.show_rounds()
    assert "move it away" in level.rounds.words.text()
    fill(level)
    level.work_out()
    assert "move it away" in level.headline.text()
    assert record_of(beside).read_text(encoding="utf-8") == "format = 1\n[[round\n"


def test_a_brief_without_a_file_is_told_so_and_can_be_saved(beside, tmp_path):
    beside.document.path = None
    level = beside.dialog(save_brief=lambda: bool(beside.document.save(tmp_path / "saved.toml")))
    fill(level)
    level.work_out()
    assert not level.keep.isEnabled() and "no file yet" in level.rounds.words.text()
    level.below.setCurrentIndex(1)
    level.rounds.save_brief.click()
    assert (tmp_path / "saved.toml").exists() and level.keep.isEnabled()
    level.keep_round()
    assert (tmp_path / "saved.level.toml").exists()


def test_the_record_sheet_goes_where_it_is_wanted(level, tmp_path):
    level.ask_path = lambda _parent, _name: ""
    level.sheet.click()
    target = tmp_path / f"sheet{SHEET_SUFFIX}"
    assert not target.exists()
    level.ask_path = lambda _parent, _name: str(target)
    level.sheet.click()
    assert target.read_bytes().startswith(b"%PDF") and "written" in level.told_below.text()
    plain = tmp_path / "sheet.txt"
    level.ask_path = lambda _parent, _name: str(plain)
    level.sheet.click()
    assert "mm/m" in plain.read_text(encoding="utf-8")


def test_enter_works_it_out_and_every_field_has_a_name(level, qtbot):
    fill(level)
    level.twist.worth.line.setFocus()
    qtbot.keyClick(level.twist.worth.line, Qt.Key.Key_Return)
    assert level.told is not None and level.told.stage == TWIST and level.isVisible()
    for line in level.findChildren(QLineEdit):
        assert line.accessibleName() or line.objectName().startswith("qt_"), line


def test_the_feet_stand_on_the_page_as_on_the_plan(level):
    def place(name):
        box = level.feet.boxes[f"foot {name}"]
        at = box.mapTo(level, box.rect().center())
        return at.x(), at.y()

    level.go(1)
    assert place("FL")[0] < place("FR")[0] and place("BL")[0] < place("BR")[0]
    assert place("BL")[1] < place("FL")[1] and place("BR")[1] < place("FR")[1]


def test_jacking_screws_turn_the_other_way_and_ask_for_the_bolts(beside):
    beside.document.edit("mounting.seating", "jacking screws")
    beside.document.edit("mounting.jack", 40)
    beside.live.flush()
    level = beside.dialog()
    fill(level)
    assert level.twist.preload.isVisible()
    level.twist.preload.set_text("3000")
    level.work_out()
    (turn,) = level.told.turns
    assert turn.move.name.startswith("mount") and turn.up and "anticlockwise" in turn.words and "both screws" in turn.words


def test_the_window_takes_the_stand_as_it_is_by_now(level, beside):
    fill(level)
    level.work_out()
    before = level.told.turns[0].move.mm
    beside.document.edit("machine.mass", 300)
    beside.live.flush()
    level.work_out()
    assert level.machine.stand is beside.live.stand and level.told.turns[0].move.after > 0
    assert level.twist.stations.rows() == list(READ) and level.told.turns[0].move.mm == pytest.approx(before, rel=0.2)


def test_a_reading_in_inches_is_shown_in_inches(beside):
    beside.document.edit("units", "inch")
    beside.live.flush()
    level = beside.dialog()
    fill(level, [("left", "0.0000 in/ft", ""), ("right", "0.0010 in/ft", "")], worth="")
    level.work_out()
    assert "thou" in level.told.turns[0].short and "in/ft" in level.then.table.item(0, 1).text()
    assert level.then.table.isColumnHidden(2)  # read one way only: what the level would show turned is not known


def test_light_and_dark_change_while_it_is_open(level):
    fill(level)
    level.work_out()
    assert LIGHT.ink in level.headline.styleSheet() and LIGHT.look in level.steps.buttons[2].styleSheet()
    try:
        set_dark(True)
        level.setStyleSheet(style_sheet())
        assert DARK.ink in level.headline.styleSheet() and DARK.look in level.steps.buttons[2].styleSheet()
    finally:
        set_dark(False)


def test_the_window_opens_it_and_saves_for_it(window, asked, tmp_path):
    window.level_machine()
    (dialog,) = window.findChildren(LevelDialog)
    window.document.path = None
    dialog.show_rounds()
    asked.path = str(tmp_path / "named.toml")
    dialog.rounds.save.emit()
    assert (tmp_path / "named.toml").exists() and "named.level.toml" in dialog.rounds.words.text()
    dialog.close()
