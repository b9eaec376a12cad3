"""The hole pattern's dialog: each way gives the brief its text, one step of the history."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.dialogs.pattern import PatternDialog
from app.document import Document
from framecore.brief import load_source

SAMPLES = Path(__file__).parents[2] / "samples"

# A trapezium that nobody prints: hole 3 and 4 behind hole 1 and 2.
HOLES = ((0.0, 0.0), (400.0, 0.0), (-10.0, 150.0), (412.0, 149.0))


@pytest.fixture
def open_dialog(qtbot):
    """Opens the dialog on a sample."""

    def opened(name="bench-lathe", way=0):
        dialog = PatternDialog(Document(load_source(SAMPLES / f"{name}.toml")), None, way)
        qtbot.addWidget(dialog)
        return dialog

    return opened


@pytest.fixture
def pattern(open_dialog):
    return open_dialog(way=1)


def typed(dialog, key="machine.holes"):
    """What the brief says after OK."""
    dialog.accept()
    return dialog._document.source.value(key)


def fill(dialog, wrong=0.0):
    table = dialog.distances.table
    for row in range(table.rowCount()):
        a, b = (int(table.item(row, c).text()) - 1 for c in (0, 1))
        distance = math.dist(HOLES[a], HOLES[b]) + (wrong if row == 4 else 0.0)
        table.item(row, 2).setText(f"{distance:.2f}")


def test_distances_give_the_pattern_and_take_over_is_one_step(pattern):
    assert not pattern.take.isEnabled()
    fill(pattern)
    for got, wanted in zip(pattern.holes, HOLES, strict=True):
        assert got == pytest.approx(wanted, abs=0.02)
    assert typed(pattern)[1] == pytest.approx([400.0, 0.0], abs=0.02)
    assert pattern._document.history.count() == 1
    pattern._document.history.undo()
    assert not pattern._document.dirty


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


def grid(dialog, across="400", deep="150"):
    way = dialog.manual
    way.form.setCurrentIndex(0)
    way.columns.setValue(2)
    way.rows_.setValue(2)
    way.pitch_x.setText(across)
    way.pitch_y.setText(deep)
    return way


@pytest.mark.parametrize(
    ("datum", "wanted"),
    [
        (0, [[-200, -75], [200, -75], [-200, 75], [200, 75]]),
        (1, [[0, 0], [400, 0], [0, 150], [400, 150]]),
        (2, [[30, 25], [430, 25], [30, 175], [430, 175]]),
    ],
)
def test_rows_and_columns_from_each_datum(open_dialog, datum, wanted):
    dialog = open_dialog("workbench")
    way = grid(dialog)
    way.corner_x.setText("30")
    way.corner_y.setText("25")
    way.datum.setCurrentIndex(datum)
    assert typed(dialog) == wanted
    assert dialog._document.history.count() == 1


def test_a_middle_pair_stands_off_the_middle(open_dialog):
    dialog = open_dialog("workbench")
    way = grid(dialog)
    way.pair.setChecked(True)
    way.pair_x.setText("-50.5")
    assert typed(dialog)[4:] == [[-50.5, -75], [-50.5, 75]]


def test_a_narrower_middle_pair(open_dialog):
    dialog = open_dialog("workbench")
    way = grid(dialog)
    way.pair.setChecked(True)
    way.pair_y.setText("60")
    assert typed(dialog)[4:] == [[0, -30], [0, 30]]


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("pitch_x", "", "Between columns is empty."),
        ("pitch_x", "four", "Between columns: 'four' is not a length"),
        ("pitch_y", "-150", "Between rows must be more than nothing."),
        ("pitch_y", "1e9", "Between rows: '1e9'"),
    ],
)
def test_a_bad_size_gets_one_sentence(open_dialog, field, text, says):
    dialog = open_dialog("workbench")
    getattr(grid(dialog), field).setText(text)
    assert dialog.told.text().startswith(says) and dialog.told.text().count("\n") == 0
    assert not dialog.take.isEnabled() and not dialog.even.isEnabled()


def test_the_list_begins_with_the_holes_there_are_and_keeps_what_was_typed(open_dialog):
    dialog = open_dialog("bench-mill")
    table = dialog.manual.table
    assert table.item(0, 0).text() == "-6 in" and table.rowCount() == 4
    table.item(3, 0).setText("6 1/8")
    table.item(3, 1).setText("178 mm")
    holes = typed(dialog)
    assert holes[:3] == [["-6 in", "-7 in"], ["-6 in", "7 in"], ["6 in", "-7 in"]]
    assert holes[3] == ["6 1/8", "178 mm"]
    assert dialog._document.reading.brief.machine.holes[3] == pytest.approx((6.125 * 25.4, 178.0))


def test_plain_numbers_mean_inches_in_the_cells_of_an_inch_brief(open_dialog):
    dialog = open_dialog("bench-mill")
    assert "inches" in dialog.manual.hint()
    dialog.manual.table.item(3, 0).setText("6.25")
    dialog.accept()
    assert dialog._document.reading.brief.machine.holes[3][0] == pytest.approx(158.75)


def test_ok_without_a_change_changes_nothing(open_dialog):
    for name in ("bench-lathe", "bench-mill", "long-lathe-pedestals"):
        dialog = open_dialog(name)
        dialog.accept()
        assert not dialog._document.dirty


def test_a_bad_cell_gets_one_sentence(open_dialog):
    dialog = open_dialog()
    dialog.manual.table.item(1, 1).setText("seventy")
    assert dialog.told.text().startswith("Row 2, y: 'seventy' is not a length")
    assert dialog.told.text().count(".") == 1 and not dialog.take.isEnabled()
    dialog.manual.table.item(1, 1).setText("")
    assert dialog.told.text() == "Row 2, y is empty."
    dialog.accept()
    assert not dialog._document.dirty


def stands(dialog):
    """Where holes and centre of mass stand on the stand, and the machine's first box."""
    from framecore.frame.machine import machine_datum

    brief = dialog._document.reading.brief
    x, y, _ = machine_datum(brief, 0.0)
    holes = sorted((round(x + a, 3), round(y + b, 3)) for a, b in brief.machine.holes)
    com, box = brief.machine.centre_of_mass, brief.machine.outline[0].at
    return holes, (x + com[0], y + com[1], com[2]), (x + box[0], y + box[1], box[2])


def test_another_datum_leaves_the_machine_over_its_holes(open_dialog):
    dialog = open_dialog()
    before = stands(dialog)
    way = grid(dialog, "880", "150")
    way.datum.setCurrentIndex(1)
    assert dialog.carry.isChecked() and dialog.carry.isEnabled()
    dialog.accept()
    after = stands(dialog)
    assert after[0] == before[0]
    assert after[1] == pytest.approx(before[1]) and after[2] == pytest.approx(before[2])
    assert dialog._document.history.count() == 1
    dialog._document.history.undo()
    assert stands(dialog) == before


def test_a_hole_put_right_in_the_list_keeps_the_datum(open_dialog):
    dialog = open_dialog()
    com = dialog._document.source.value("machine.centre_of_mass")
    dialog.manual.table.item(3, 0).setText("425")
    assert not dialog.carry.isChecked()
    dialog.accept()
    assert dialog._document.source.value("machine.centre_of_mass") == com


RUBBED = ((20.0, 30.0), (420.0, 60.0), (9.0, 179.5), (408.8, 209.0))


def rub(dialog, readings, known="401.12356"):
    way = dialog.rubbing
    way.table.setRowCount(0)
    for hole, x, y in readings:
        way.add_row(str(hole), f"{x}", f"{y}")
    way.known.setText(known)
    way.work_out()
    return way


def test_a_rubbing_gives_the_pattern_to_the_scale_of_one_known_distance(open_dialog):
    dialog = open_dialog(way=2)
    assert not dialog.take.isEnabled()
    rub(dialog, [(k, *p) for k, p in enumerate(RUBBED, 1)], known=f"{1.01 * math.dist(RUBBED[0], RUBBED[1])}")
    holes = typed(dialog)
    assert holes[0] == [0, 0] and holes[1][1] == 0
    for i in range(4):
        for j in range(i):
            assert math.dist(holes[i], holes[j]) == pytest.approx(1.01 * math.dist(RUBBED[i], RUBBED[j]), abs=0.03)
    assert holes[2][1] > 0


def test_paper_under_the_machine_is_the_mirror_image(open_dialog):
    dialog = open_dialog(way=2)
    way = rub(dialog, [(k, *p) for k, p in enumerate(RUBBED, 1)])
    above = dialog.holes
    way.below.setChecked(True)
    assert [x for x, _ in dialog.holes] == pytest.approx([x for x, _ in above])
    assert [y for _, y in dialog.holes] == pytest.approx([-y for _, y in above])


def test_several_readings_count_by_their_mean_and_show_what_is_off(open_dialog):
    dialog = open_dialog(way=2)
    once = [(k, *p) for k, p in enumerate(RUBBED, 1)]
    rub(dialog, once)
    plain = dialog.holes
    assert "once" in dialog.told.text() and not dialog.picture.arrows
    way = rub(dialog, [*once[:3], (4, RUBBED[3][0] + 0.6, RUBBED[3][1]), (4, RUBBED[3][0] - 0.6, RUBBED[3][1])])
    assert dialog.holes == plain
    assert way.table.item(4, 3).text() == "0.60 mm" and way.table.item(0, 3).text() == ""
    assert "hole 4 is read least alike" in dialog.told.text()
    (one, ax, ay), (two, bx, by) = dialog.picture.arrows
    assert one == two == 3 and math.hypot(ax, ay) == pytest.approx(0.6, abs=0.01) and (bx, by) == pytest.approx((-ax, -ay))
    assert math.degrees(math.atan2(ay, ax)) == pytest.approx(-math.degrees(math.atan2(30, 400)), abs=0.1)


@pytest.mark.parametrize(
    ("row", "column", "text", "says"),
    [(2, 1, "nine", "Row 3, x: 'nine' is not a length"), (2, 0, "6", "Hole 3 is not read"), (2, 2, "", "Row 3, y is empty.")],
)
def test_a_bad_reading_gets_one_sentence(open_dialog, row, column, text, says):
    dialog = open_dialog(way=2)
    way = rub(dialog, [(k, *p) for k, p in enumerate(RUBBED, 1)])
    way.table.item(row, column).setText(text)
    assert dialog.told.text().startswith(says) and not dialog.take.isEnabled()


def drag(picture, k, way, keys=Qt.KeyboardModifier.NoModifier):
    start = picture.spot(*picture.holes[k])
    scale, _ = picture.frame()
    end = start + QPointF(way[0] * scale, -way[1] * scale)
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    for kind, at, button, buttons in (
        (QEvent.Type.MouseButtonPress, start, left, left),
        (QEvent.Type.MouseMove, (start + end) / 2, none, left),
        (QEvent.Type.MouseMove, end, none, left),
        (QEvent.Type.MouseButtonRelease, end, left, none),
    ):
        QApplication.sendEvent(picture, QMouseEvent(kind, at, picture.mapToGlobal(at), button, buttons, keys))


def test_a_hole_dragged_in_the_picture_stands_in_the_list(open_dialog):
    dialog = open_dialog()
    drag(dialog.picture, 3, (-30.2, 10.1))
    assert "Hole 4 is dragged" in dialog.told.text()
    x, y = (float(dialog.manual.table.item(3, c).text()) for c in (0, 1))
    assert (x, y) == (pytest.approx(390, abs=0.5), pytest.approx(85, abs=0.5)) and x * 2 == int(x * 2)
    assert typed(dialog) == [[-460, -75], [-460, 75], [420, -75], [x, y]]
    assert dialog._document.history.count() == 1


def test_the_symmetric_tick_holds_in_the_picture_too(open_dialog):
    dialog = open_dialog()
    dialog.symmetric.setChecked(True)
    drag(dialog.picture, 3, (-30, 10))
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = dialog.holes
    assert (x1, x3) == (x2, x4) and x4 == pytest.approx(390, abs=0.5) and x1 + x4 == pytest.approx(-40)
    assert (y1, y2) == (y3, y4) and y4 == pytest.approx(85, abs=0.5) and y1 == -y4


def test_made_even_says_how_far_each_hole_moves(open_dialog):
    dialog = open_dialog()
    dialog.manual.table.item(3, 0).setText("424")
    dialog.manual.table.item(3, 1).setText("77")
    before = dialog.holes
    dialog.make_even()
    assert dialog.symmetric.isEnabled()  # it has its mirror lines now, along the axes
    for k, (old, new) in enumerate(zip(before, dialog.holes, strict=True)):
        # Turned a little at most, so each way is what the sentence says or a little off it.
        assert f"hole {k + 1} by " in dialog.told.text()
        assert math.dist(old, new) < 4
    xs = sorted({round(x, 6) for x, _ in dialog.holes})
    assert len(xs) == 2
