"""The window as a person uses it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.inputs.fields import keys
from framecore.errors import Severity
from framecore.units import typeset


def settled(qtbot, window):
    qtbot.waitUntil(lambda: not window.live.waiting)


def type_into(qtbot, window, path, text):
    row = window.inputs.rows[path]
    window.inputs.go_to(path)
    row.editor.line.selectAll()
    qtbot.keyClicks(row.editor.line, text)
    qtbot.keyClick(row.editor.line, Qt.Key.Key_Return)
    settled(qtbot, window)


def test_opens_with_a_stand_and_a_row_for_every_key(qtbot, window):
    assert window.live.stand is not None
    assert set(window.inputs.rows) == {k.path for k in keys()}
    qtbot.waitUntil(lambda: window.figures.complete)
    assert set(window.figures.rows) == set(window.live.stand.figures)
    assert window.plan.slots
    shop = window.live.stand.shop
    assert shop.bought
    assert window.cut_list.rowCount() == len(shop.pieces) + len(shop.plates) + len(shop.bought)


def test_typing_a_length_as_people_write_it(qtbot, window):
    type_into(qtbot, window, "frame.length", "46 in")
    assert window.document.source.value("frame.length") == "46 in"
    assert window.live.stand.frame.length == pytest.approx(1168.4)
    assert window.inputs.rows["frame.length"].editor.line.text() == "46 in"


def test_undo_and_redo_reach_the_stand(qtbot, window):
    before = window.live.stand.figures["mass.total"].value
    type_into(qtbot, window, "machine.mass", "555")
    after = window.live.stand.figures["mass.total"].value
    assert after > before
    window.document.history.undo()
    settled(qtbot, window)
    assert window.live.stand.figures["mass.total"].value == before
    window.document.history.redo()
    settled(qtbot, window)
    assert window.live.stand.figures["mass.total"].value == after


def test_a_slider_drag_is_one_step(qtbot, window):
    start = window.live.stand.frame.seat
    count = window.document.history.count()
    for i in range(5):
        window.slider.moved.emit(start + 5 * (i + 1), 42)
    settled(qtbot, window)
    window.slider.released.emit()
    assert window.document.history.count() == count + 1
    assert abs(window.live.stand.frame.seat - (start + 25)) < 0.1
    assert not window.live.moving
    window.document.history.undo()
    settled(qtbot, window)
    assert abs(window.live.stand.frame.seat - start) < 0.1


def test_a_bad_value_keeps_the_last_stand_and_says_so(qtbot, window):
    stand = window.live.stand
    type_into(qtbot, window, "frame.length", "9 banana")
    assert window.live.stand is stand and window.live.stale
    assert window.banner.isVisible()
    row = window.inputs.rows["frame.length"]
    assert row.finding.isVisible() and "stop" in row.finding.text()
    assert any(f.field == "frame.length" and f.severity is Severity.STOP for f in window.live.findings)
    window.document.history.undo()
    settled(qtbot, window)
    assert not window.live.stale and not window.banner.isVisible()
    assert not row.finding.isVisible()


def test_a_piece_in_the_plan_lights_members_and_list(qtbot, window):
    slot = window.plan.slots[0]
    qtbot.mouseClick(window.plan, Qt.MouseButton.LeftButton, pos=slot.box.center().toPoint())
    expected = {n for n, m in window.live.stand.shop.piece_of.items() if m == slot.mark}
    assert window.choice.parts == expected
    rows = {i.row() for i in window.cut_list.selectedIndexes()}
    assert [window.cut_list.marks()[r] for r in rows] == [slot.mark]


def test_a_member_in_the_view_lights_its_piece(window):
    name = window.live.stand.frame.members[0].name
    window.view.part_clicked.emit(name)
    mark = window.live.stand.shop.piece_of[name]
    assert window.plan.lit == {mark}
    rows = {i.row() for i in window.cut_list.selectedIndexes()}
    assert [window.cut_list.marks()[r] for r in rows] == [mark]
    window.view.part_clicked.emit("")
    assert not window.plan.lit and not window.cut_list.selectedIndexes()


def test_a_row_of_the_list_lights_the_plan(window):
    window.cut_list.selectRow(1)
    assert window.plan.lit == {window.cut_list.marks()[1]}


def chosen_marks(window):
    return {window.cut_list.marks()[i.row()] for i in window.cut_list.selectedIndexes()}


def test_a_nut_in_the_view_lights_its_row_and_the_row_lights_all_of_its_kind(window):
    shop = window.live.stand.shop
    window.view.part_clicked.emit("nut 2")
    line = next(b for b in shop.bought if "nut 2" in b.parts)
    assert line.what == "nut" and chosen_marks(window) == {line.mark}
    assert window.choice.parts == {"nut 2"}
    window.choice.show_stand(window.live.stand)
    assert window.choice.parts == {"nut 2"}
    window.view.part_clicked.emit("")
    window.cut_list.selectRow(window.cut_list.marks().index(line.mark))
    assert window.choice.parts == set(line.parts) and len(line.parts) == len(window.live.stand.frame.mounts)
    scene = window.view._scene
    assert set(line.parts) <= set(scene.parts)


def test_figures_that_take_longer_wait_for_the_hand_to_rest(qtbot, window):
    qtbot.waitUntil(lambda: window.figures.complete)
    row = window.figures.rows["welds.length"]
    assert not row.stale
    start, before = window.live.stand.frame.seat, row.value
    for i in range(5):
        window.slider.moved.emit(start + 5 * (i + 1), 43)
        qtbot.waitUntil(lambda: not window.live.waiting)
        assert not window.live.stand.figures.complete
        assert window.figures.rows["welds.length"] is row
        assert row.stale and row.value == before
    settled(qtbot, window)
    qtbot.waitUntil(lambda: not row.stale)
    assert window.live.stand.figures.complete


def test_every_figure_opens_its_working(qtbot, window):
    qtbot.waitUntil(lambda: window.figures.complete)
    for name, figure in window.live.stand.figures.items():
        window.figures.rows[name].click()
        text = window.working.text.toPlainText()
        assert figure.label in text and name in text
        assert typeset(figure.working.source) in text


def test_the_filter_finds_a_setting(window):
    window.inputs.search.setText("kerf")
    shown = [p for p, r in window.inputs.rows.items() if r.isVisible()]
    assert shown == ["steel.kerf"]
    window.inputs.search.clear()
    assert window.inputs.rows["machine.mass"].isVisible()


def test_reset_to_typical(qtbot, window):
    row = window.inputs.rows["floor.slope"]
    type_into(qtbot, window, "floor.slope", "7")
    assert row.mark.isEnabled()
    row.mark.click()
    assert window.document.source.value("floor.slope") is None
    assert not row.mark.isEnabled() and row.mark.text() == "typical"


def test_unsaved_work_is_guarded(qtbot, window, asked):
    type_into(qtbot, window, "machine.mass", "333")
    asked.unsaved_answer = "cancel"
    assert not window.close()
    assert asked.unsaved_asked == 1 and window.isVisible()
    asked.unsaved_answer = "save"
    assert window.may_leave()
    assert "333" in window.document.path.read_text(encoding="utf-8")
    assert not window.document.dirty


def test_opening_what_is_not_there_says_so(window, asked, tmp_path):
    window.open(tmp_path / "missing.toml")
    assert len(asked.said) == 1 and "missing.toml" in asked.said[0]
    assert window.live.stand is not None


def test_differences_to_the_reference(qtbot, window):
    window.reference_action.setChecked(True)
    row = window.figures.rows["mass.total"]
    assert row.change == ""
    type_into(qtbot, window, "machine.mass", "900")
    assert row.change.startswith("+")
    window.reference_action.setChecked(False)
    assert row.change == ""


def test_dark_and_light(window, settings):
    window.dark_action.setChecked(True)
    assert settings.dark
    window.dark_action.setChecked(False)
    assert not settings.dark


def test_a_fault_saves_a_copy_before_it_is_told(window, settings, qtbot):
    from app.dialogs.fault import FaultHub

    told = []
    hub = FaultHub(
        window.rescue, lambda saved, report: told.append((saved, saved.read_text("utf-8"), report))
    )
    try:
        raise ZeroDivisionError("made up")
    except ZeroDivisionError as error:
        hub.caught(type(error), error, error.__traceback__)
        hub.caught(type(error), error, error.__traceback__)
    qtbot.waitUntil(lambda: bool(told))
    assert len(told) == 1, "the same fault is told once"
    saved, text, report = told[0]
    assert saved == settings.recovery
    assert text == window.document.source.text()
    assert "made up" in report


def test_a_save_that_fails_is_told_and_the_work_stays(qtbot, window, tmp_path):
    told = []
    window.questions.tell = lambda _parent, title, text: told.append((title, text))
    type_into(qtbot, window, "machine.mass", "222")
    assert window._save(tmp_path / "no such folder" / "stand.toml") is False
    assert told[0][0] == "Save"
    assert "could not be saved" in told[0][1]
    assert window.document.dirty
