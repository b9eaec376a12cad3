"""The first questions of a new stand: typed as a person does, ending in a brief with only what was told."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication, QDialog

from app.dialogs.first_start import FirstStart
from app.dialogs.first_start.dialog import ASKED, NOT_ASKED
from app.dialogs.first_start.kinds import NAMES
from framecore.brief import FIELDS, read_brief
from framecore.brief.model import KINDS


@pytest.fixture
def dialog(qtbot):
    made = FirstStart(away="Stay here")
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made


def key(qtbot, which, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), which, modifier)


def write(qtbot, text):
    field = QApplication.focusWidget()
    field.selectAll()
    qtbot.keyClicks(field, text)


def told(source):
    return {f.path for f in FIELDS if source.value(f.path) is not None}


def test_every_kind_is_offered_once():
    assert set(NAMES) == set(KINDS)
    assert set(NOT_ASKED) <= set(KINDS) and set().union(*NOT_ASKED.values()) <= {p for _, ps in ASKED for p in ps}


def test_enter_all_the_way_down_makes_a_brief_that_tells_the_kind_only(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.picker.isAncestorOf(QApplication.focusWidget()))
    with qtbot.waitSignal(dialog.accepted):
        for _ in range(len(dialog._steps())):
            key(qtbot, Qt.Key.Key_Return)
    assert told(dialog.source) == {"title", "machine.kind"}
    brief = read_brief(dialog.source.text()).brief
    assert {"machine.mass", "machine.holes", "operator.stature", "floor.kind"} <= brief.assumed


def test_what_is_typed_on_the_way_is_in_the_brief_and_nothing_else_is(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.picker.isAncestorOf(QApplication.focusWidget()))
    key(qtbot, Qt.Key.Key_Return)
    key(qtbot, Qt.Key.Key_Return)
    assert QApplication.focusWidget() is dialog.rows["machine.mass"].editor.line
    write(qtbot, "96")
    key(qtbot, Qt.Key.Key_Return)
    key(qtbot, Qt.Key.Key_Return)
    write(qtbot, "215")
    key(qtbot, Qt.Key.Key_Return)
    write(qtbot, "1060")
    before = dialog.live.stand.frame.seat
    with qtbot.waitSignal(dialog.accepted):
        key(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    source = dialog.source
    assert told(source) == {"title", "machine.kind", "machine.mass", "machine.work_line", "operator.elbow"}
    assert (source.value("machine.mass"), source.value("machine.work_line"), source.value("operator.elbow")) == (96, 215, 1060)
    reading = read_brief(source.text())
    assert reading.brief.machine.mass == 96 and "machine.mass" not in reading.brief.assumed
    assert "machine.holes" in reading.brief.assumed
    assert dialog.live.stand.brief == reading.brief and dialog.live.stand.frame.seat != before


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_gives_a_stand_and_asks_what_fits_it(qtbot, dialog, kind):
    dialog.picker.buttons[kind].click()
    assert not dialog.live.stale and dialog.live.stand.brief.machine.kind == kind
    hidden = {p for p, row in dialog.rows.items() if row.isHidden()}
    assert hidden == set(NOT_ASKED.get(kind, ()))
    assert told(dialog.source) == {"title", "machine.kind"}


def test_another_kind_drops_the_machine_and_keeps_the_maker(qtbot, dialog):
    for path, text in (("machine.mass", "96"), ("operator.elbow", "1060")):
        line = dialog.rows[path].editor.line
        line.setFocus()
        write(qtbot, text)
        key(qtbot, Qt.Key.Key_Return)
    dialog.picker.buttons["mill"].click()
    assert told(dialog.source) == {"title", "machine.kind", "operator.elbow"}
    assert dialog.live.stand.brief.operator.elbow == 1060


def test_columns_rows_and_spacings_become_holes_about_the_same_datum(qtbot, dialog):
    editor = dialog.rows["machine.holes"].editor
    editor.pitch_x.setFocus()
    write(qtbot, "500")
    key(qtbot, Qt.Key.Key_Return)
    assert dialog.source.value("machine.holes") == [[0, -75], [0, 75], [500, -75], [500, 75]]
    editor.columns.setValue(3)
    holes = dialog.document.reading.brief.machine.holes
    assert sorted({x for x, _ in holes}) == [0, 500, 1000] and sorted({y for _, y in holes}) == [-75, 75]
    dialog.picker.buttons["mill"].click()
    editor.pitch_y.setFocus()
    write(qtbot, "12 in")
    key(qtbot, Qt.Key.Key_Return)
    holes = dialog.document.reading.brief.machine.holes
    assert sorted({y for _, y in holes}) == pytest.approx([-152.4, 152.4])


def test_a_spacing_nobody_can_read_is_told_and_stands_there(qtbot, dialog):
    row = dialog.rows["machine.holes"]
    row.editor.pitch_x.setFocus()
    write(qtbot, "1,500")
    key(qtbot, Qt.Key.Key_Return)
    assert row.finding.isVisible() and "1500" in row.finding.text()
    assert dialog.source.value("machine.holes") is None and row.editor.pitch_x.text() == "1,500"


def test_a_value_that_gives_no_stand_is_told_and_cannot_be_left_with(qtbot, dialog):
    line = dialog.rows["frame.length"].editor.line
    line.setFocus()
    write(qtbot, "20")
    key(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.live.waiting)
    assert dialog.rows["frame.length"].finding.isVisible() and dialog.live.stale
    key(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert dialog.isVisible()


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_one_wrong_number_leaves_all_other_fields_as_they_were(qtbot, dialog, units):
    dialog.document.edit("units", units)
    dialog.rows["machine.holes"].editor.pitch_x.setFocus()
    write(qtbot, "900 mm")
    key(qtbot, Qt.Key.Key_Return)
    dialog.live.flush()
    before = {path: row.editor.line.text() for path, row in dialog.rows.items() if hasattr(row.editor, "line")}
    pitch = dialog.rows["machine.holes"].editor.pitch_x.text()
    dialog.rows["machine.work_line"].editor.line.setFocus()
    write(qtbot, "high")
    key(qtbot, Qt.Key.Key_Return)
    dialog.live.flush()
    assert dialog.live.stale and dialog.rows["machine.work_line"].finding.isVisible()
    after = {path: row.editor.line.text() for path, row in dialog.rows.items() if hasattr(row.editor, "line")}
    assert before["machine.mass"] and after == {**before, "machine.work_line": "high"}
    assert dialog.rows["machine.holes"].editor.pitch_x.text() == pitch and dialog.rows["units"].editor.currentData() == units
    assert "last one that worked" in dialog.facts.text()
    # The button leads to what is wrong.
    dialog.make.setFocus()
    dialog.make.click()
    assert dialog.isVisible() and QApplication.focusWidget() is dialog.rows["machine.work_line"].editor.line


@pytest.mark.parametrize("kind", [k for k in KINDS if "machine.holes" not in NOT_ASKED.get(k, ())])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_stand_makes_room_for_the_holes_as_long_as_nobody_told_its_size(dialog, kind, units):
    dialog.picker.buttons[kind].click()
    dialog.document.edit("units", units)
    editor, (wide, deep) = dialog.rows["machine.holes"].editor, (1100, 480)
    usual = dialog.document.reading.brief.frame
    editor.columns.setValue(2)
    editor.deep.setValue(2)
    for line, mm in ((editor.pitch_x, wide), (editor.pitch_y, deep)):
        line.setText(f"{mm} mm")
        line.setModified(True)
        line.editingFinished.emit()
    dialog.live.flush()
    brief = dialog.document.reading.brief
    assert not dialog.live.stale, dialog.live.findings
    assert wide < brief.frame.length < wide + 300 and deep < brief.frame.depth < deep + 300
    # A smaller pattern needs none of it any more; what the maker told stays.
    for line in (editor.pitch_x, editor.pitch_y):
        line.setText("100 mm")
        line.setModified(True)
        line.editingFinished.emit()
    brief = dialog.document.reading.brief
    assert (brief.frame.length, brief.frame.depth) == pytest.approx((usual.length, usual.depth))
    assert dialog.source.value("frame.length") is None
    dialog.document.edit("frame.length", "1500 mm")
    editor.pitch_x.setText("1000 mm")
    editor.pitch_x.setModified(True)
    editor.pitch_x.editingFinished.emit()
    assert dialog.source.value("frame.length") == "1500 mm"


def test_a_number_not_yet_confirmed_is_told_too(qtbot, dialog):
    line = dialog.rows["frame.length"].editor.line
    line.setFocus()
    write(qtbot, "20")
    dialog.make.click()  # as its letter with Alt does, which leaves the keys in the field
    assert dialog.isVisible() and dialog.rows["frame.length"].finding.isVisible()
    write(qtbot, "1100")
    dialog.make.click()
    assert not dialog.isVisible() and dialog.source.value("frame.length") == 1100


def test_escape_leaves(qtbot, dialog):
    with qtbot.waitSignal(dialog.rejected):
        qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.result() == QDialog.DialogCode.Rejected


def test_arrow_keys_choose_the_machine(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.picker.isAncestorOf(QApplication.focusWidget()))
    key(qtbot, Qt.Key.Key_Right)
    assert dialog.picker.kind == "mill" and QApplication.focusWidget() is dialog.picker.buttons["mill"]
    key(qtbot, Qt.Key.Key_Left)
    key(qtbot, Qt.Key.Key_Left)
    assert dialog.picker.kind == "workbench"


def test_where_the_system_measures_in_inches_the_brief_does(qtbot):
    before = QLocale()
    QLocale.setDefault(QLocale("en_US"))
    try:
        made = FirstStart(away="Stay here")
        qtbot.addWidget(made)
        assert made.source.value("units") == "inch"
        assert made.rows["machine.holes"].editor.pitch_x.text() == "31.4961"
    finally:
        QLocale.setDefault(before)


# -- at the start and from the menu ----------------------------------------------------------------------


def test_a_start_without_a_file_asks_and_one_with_a_file_does_not(window):
    from app.window.starting import begin
    from framecore.brief import BriefSource

    asked = []
    mill = BriefSource.new("mill")
    window.questions.first = lambda w: asked.append(w) or mill
    begin(window, without_file=False)
    assert not asked and window.document.path is not None
    begin(window, without_file=True)
    assert asked == [window]
    assert window.document.source is mill and window.document.dirty and window.document.path is None
    assert window.live.stand.brief.machine.kind == "mill"


def test_left_with_escape_the_sample_stays(window):
    from app.window.starting import begin

    before = window.document.source
    window.questions.first = lambda _w: None
    begin(window, without_file=True)
    assert window.document.source is before and not window.document.dirty


def test_it_is_not_asked_again_by_whoever_does_not_want_it(qtbot, window):
    from PySide6.QtCore import QTimer

    from app.window.starting import ask_first, begin

    def answer():
        dialog = next(w for w in QApplication.topLevelWidgets() if isinstance(w, FirstStart) and w.isVisible())
        dialog.again.setChecked(False)
        dialog.reject()

    QTimer.singleShot(0, answer)
    assert ask_first(window) is None
    assert not window.settings.ask_at_start
    window.questions.first = lambda _w: pytest.fail("asked again")
    begin(window, without_file=True)


def test_the_menu_asks_and_guards_unsaved_work(window, asked):
    from framecore.brief import BriefSource

    window.questions.new = lambda _w: BriefSource.new("grinder")
    window.document.edit("machine.mass", 50)
    asked.unsaved_answer = "cancel"
    window.new()
    assert window.document.source.value("machine.kind") == "lathe"
    asked.unsaved_answer = "discard"
    window.new()
    assert window.document.source.value("machine.kind") == "grinder"
