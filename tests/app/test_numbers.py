"""Numbers typed and shown where the system has a decimal comma, and where it has a point; never read two ways."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.numbers import joined, parts, plain, shown
from framecore.brief import read_brief
from framecore.errors import UnitError
from framecore.words import speak


@pytest.fixture
def locale():
    """Speak as the window does on a system of that locale, for this test only."""
    yield lambda name: speak("en", "." if name.startswith("en") else ",")
    speak("en")


@pytest.mark.parametrize(
    ("name", "typed", "read"),
    [
        ("en_GB", "1500", "1500"), ("en_GB", "1.500", "1.500"), ("en_GB", "1,5", "1.5"), ("en_GB", "0,125", "0.125"),
        ("en_GB", "29 1/2 in", "29 1/2 in"), ("en_GB", ".5 in", ".5 in"), ("en_GB", "12,7 mm", "12.7 mm"),
        ("de_DE", "1500", "1500"), ("de_DE", "1,500", "1.500"), ("de_DE", "1,5 m", "1.5 m"), ("de_DE", "1.5", "1.5"),
        ("de_DE", "0.125", "0.125"), ("de_DE", "0,125", "0.125"), ("de_DE", ",5", ".5"), ("de_DE", "1500.25", "1500.25"),
        ("fr_FR", "749,3", "749.3"), ("de_DE", "-1,25", "-1.25"),
    ],
)  # fmt: skip
def test_what_can_be_meant_in_one_way_only_is_read(qapp, locale, name, typed, read):
    locale(name)
    assert plain(typed) == read


@pytest.mark.parametrize(
    ("name", "typed", "ways"),
    [
        ("en_GB", "1,500", ("1500", "1.500")), ("en_US", "12,125 in", ("12125", "12.125")),
        ("de_DE", "1.500", ("1500", "1,500")), ("fr_FR", "-2.250 mm", ("2250", "2,250")),
        ("en_GB", "1,500.5", ("1500.5",)), ("de_DE", "1.500,5", ("1500,5",)), ("de_DE", "1.500.000", ("1500,5",)),
    ],
)  # fmt: skip
def test_what_could_be_meant_in_two_ways_is_refused_with_both(qapp, locale, name, typed, ways):
    locale(name)
    with pytest.raises(UnitError) as told:
        plain(typed)
    assert all(w in str(told.value) for w in ways), str(told.value)
    for way in ways:
        plain(way)  # what the sentence says to write is read


@pytest.mark.parametrize("name", ["en_GB", "de_DE"])
def test_several_numbers_come_apart_as_they_were_joined(qapp, locale, name):
    locale(name)
    texts = [shown(t) for t in ("-110.5", "0", "150.25")]
    assert [plain(p) for p in parts(joined(texts))] == ["-110.5", "0", "150.25"]
    assert [plain(p) for p in parts("1, 2, 3")] == ["1", "2", "3"]


def typed_into(qtbot, window, path, text):
    window.inputs.go_to(path)
    line = window.inputs.rows[path].editor.line
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not window.live.waiting)
    return window.inputs.rows[path]


def test_a_comma_is_typed_and_shown_and_the_file_has_a_point(qtbot, locale, window):
    locale("de_DE")
    row = typed_into(qtbot, window, "machine.mass", "165,5")
    assert window.document.source.value("machine.mass") == 165.5
    assert row.editor.line.text() == "165,5"
    row = typed_into(qtbot, window, "frame.length", "47,25 in")
    assert window.document.source.value("frame.length") == "47.25 in" and row.editor.line.text() == "47,25 in"
    row = typed_into(qtbot, window, "machine.centre_of_mass", "-110,5; 0; 150")
    assert window.document.source.value("machine.centre_of_mass") == [-110.5, 0, 150]
    assert row.editor.line.text() == "-110,5; 0; 150"
    assert not window.live.stale
    again = read_brief(window.document.source.text()).brief
    assert (again.machine.mass, again.frame.length) == (165.5, pytest.approx(1200.15))
    assert again.machine.centre_of_mass == (-110.5, 0, 150)


def test_figures_and_lists_are_shown_with_the_comma(qtbot, locale, window):
    locale("de_DE")
    typed_into(qtbot, window, "frame.length", "1250,5")
    assert "," in window.figures.rows["mass.frame"].value and "." not in window.figures.rows["mass.frame"].value
    assert "," in window.cut_list.item(0, 3).text()


def test_a_doubtful_number_stays_in_its_field_and_changes_nothing(qtbot, window):
    before = window.document.source
    row = typed_into(qtbot, window, "frame.length", "1,500")
    assert window.document.source is before and row.editor.line.text() == "1,500"
    assert row.finding.isVisible() and "1500" in row.finding.text()
    typed_into(qtbot, window, "machine.mass", "170")
    assert row.finding.isVisible()  # it is still there to be put right
    typed_into(qtbot, window, "frame.length", "1500")
    assert window.document.source.value("frame.length") == 1500 and not row.finding.isVisible()


def test_a_table_does_not_close_on_a_doubtful_number(qtbot, window):
    from app.inputs.fields import keys
    from app.inputs.tables import ListDialog

    key = next(k for k in keys() if k.path == "machine.holes")
    dialog = ListDialog(key, [[0, 0], [800, 0]], window)
    dialog.show()
    dialog.table.item(1, 0).setText("1,500")
    dialog._take()
    assert dialog.isVisible() and "1500" in dialog.told.text()
    dialog.table.item(1, 0).setText("1500")
    dialog._take()
    assert not dialog.isVisible() and dialog.value() == [[0, 0], [1500, 0]]
