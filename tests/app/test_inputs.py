"""Editors of the brief's keys."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel

from app.document import Document
from app.inputs.editors import editor_for, number_or_text, words
from app.inputs.fields import keys, resolved
from app.inputs.panel import InputsPanel
from app.inputs.row import Row
from app.inputs.tables import ListDialog
from app.live.afterwards import Afterwards
from framecore.brief import load_source
from framecore.brief.kinds import OutlineBox, RackItem, SoldLength
from framecore.brief.model import Brief

BY_PATH = {k.path: k for k in keys()}


def test_every_key_of_the_model_is_reached_and_resolves():
    brief = Brief()
    for key in keys():
        resolved(brief, key.path)
    assert {"title", "frame.sections.legs", "limits.sway", "sheet.paper"} <= set(BY_PATH)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("38", 38),
        ("38.5", 38.5),
        ("38,5", 38.5),
        ("1 1/2 in", "1 1/2 in"),
        ("from elbow", "from elbow"),
        (" 7 ", 7),
    ],
)
def test_plain_digits_become_numbers_and_words_stay_as_typed(text, value):
    got = number_or_text(text)
    assert got == value and type(got) is type(value)


def test_values_are_written_as_people_write_them():
    assert (
        words(300.0) == "300" and words(1.6) == "1.6" and words((0.0, 5.5)) == "0, 5.5" and words(None) == ""
    )


@pytest.mark.parametrize(
    ("path", "rows", "written"),
    [
        ("machine.holes", [(0.0, 0.0), (420.0, 150.0)], [[0, 0], [420, 150]]),
        (
            "machine.outline",
            [OutlineBox(name="bed", at=(0, 0, 0), size=(700.5, 180, 200))],
            [{"name": "bed", "at": [0, 0, 0], "size": [700.5, 180, 200]}],
        ),
        ("steel.sold", [SoldLength(length=6000.0)], [{"length": 6000}]),
        (
            "steel.sold",
            [SoldLength(length=3000.0, profile="SHS 40x40x3", price=21.5)],
            [{"length": 3000, "profile": "SHS 40x40x3", "price": 21.5}],
        ),
        (
            "steel.rack",
            [RackItem(profile="SHS 40x40x3", length=812.0, count=2)],
            [{"profile": "SHS 40x40x3", "length": 812, "count": 2}],
        ),
        ("machine.holes", [["1 1/2 in", 3]], [["1 1/2 in", 3]]),
    ],
)
def test_a_table_gives_back_what_it_was_given(qtbot, path, rows, written):
    dialog = ListDialog(BY_PATH[path], rows)
    qtbot.addWidget(dialog)
    assert dialog.value() == written
    dialog.add([""] * dialog.table.columnCount())
    assert dialog.value() == written, "an empty row is no entry"


def test_profiles_are_searchable_by_any_part(qtbot):
    editor = editor_for(BY_PATH["frame.sections.legs"])
    qtbot.addWidget(editor)
    editor.show_value("SHS 50x50x3", False)
    editor._fill()
    assert editor.currentText() == "SHS 50x50x3"
    finder = editor.completer()
    finder.setCompletionPrefix("40x40x3")
    found = {finder.completionModel().index(i, 0).data() for i in range(finder.completionCount())}
    assert "SHS 40x40x3" in found and "SHS 50x50x3" not in found


def test_an_emptied_field_asks_for_the_typical_value(qtbot):
    editor = editor_for(BY_PATH["steel.kerf"])
    qtbot.addWidget(editor)
    editor.show_value(2.5, False)
    editor.line.clear()
    with qtbot.waitSignal(editor.typed) as signal:
        editor.line.editingFinished.emit()
    assert signal.args == [None]


def test_in_an_inch_brief_a_plain_number_is_inches_and_metric_values_of_the_file_keep_their_unit(qtbot):
    editor = editor_for(BY_PATH["frame.length"])
    qtbot.addWidget(editor)
    said = []
    editor.typed.connect(said.append)
    editor.set_units("inch")
    editor.show_value(1000.0, typical=False)
    assert (editor.line.text(), editor.unit.text()) == ("1000 mm", "in")
    editor.line.setText("39 3/8")
    editor._done()
    editor.set_units("metric")
    editor.line.setText("1001")
    editor._done()
    assert said == ["39 3/8", 1001]


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("frame.length", 914.4, "36"), ("frame.length", 1000.0, "39.3701"), ("machine.at", (0.0, 12.7), "0, 1/2"),
        ("machine.cutting_force", 444.822, "100.0"), ("machine.mass", 45.359237, "100.0"),
        ("machine.cutting_torque", 13.5582, "10.0"),
    ],
)  # fmt: skip
def test_typical_values_of_an_inch_brief_are_said_in_its_units(qtbot, path, value, said):
    """Factors of NIST SP 811 (2008), appendix B: 25.4 mm, 0.45359237 kg, 4.448222 N, 1.355818 N m."""
    editor = editor_for(BY_PATH[path])
    qtbot.addWidget(editor)
    editor.set_units("inch")
    editor.show_value(value, typical=True)
    assert editor.line.text() == said


def test_a_folded_group_has_its_rows_when_it_is_opened_and_soon_in_any_case(qtbot, sample_file):
    from app.document import Document
    from app.inputs import InputsPanel
    from framecore.brief import load_source

    panel = InputsPanel(Document(load_source(sample_file), sample_file))
    qtbot.addWidget(panel)
    assert panel.waiting and "casters.kind" not in panel.rows and "frame.length" in panel.rows
    panel.groups["casters"].head.setChecked(True)
    assert "casters.kind" in panel.rows
    for _ in panel.fill_rest():  # the window takes these steps once it has been painted
        pass
    assert not panel.waiting
    assert set(panel.rows) == set(BY_PATH)


@pytest.mark.parametrize(("path", "says"), [("machine.speeds", False), ("machine.holes", True)])
def test_a_list_speaks_of_millimetres_where_it_has_lengths(qtbot, path, says):
    dialog = ListDialog(BY_PATH[path], [])
    qtbot.addWidget(dialog)
    assert any("millimetres" in label.text() for label in dialog.findChildren(QLabel)) == says


def test_rows_that_come_late_are_never_seen_squeezed(qtbot, sample_file, monkeypatch):
    panel = InputsPanel(Document(load_source(sample_file), sample_file))
    qtbot.addWidget(panel)
    seen = []
    monkeypatch.setattr(Row, "paintEvent", lambda row, _e: seen.append(row.height() < row.minimumSizeHint().height()))
    Afterwards(panel, panel.fill_rest())
    panel.resize(380, 1400)
    with qtbot.waitExposed(panel):
        panel.show()
    qtbot.waitUntil(lambda: not panel.waiting, timeout=20000)
    qtbot.wait(100)
    assert len(seen) > 45 and not any(seen)
