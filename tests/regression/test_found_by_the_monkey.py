"""What a monkey at the window once broke; each stays mended."""

from __future__ import annotations

import json

import pytest

from app.dialogs.levelling.stations import StationTable
from app.document import Document
from app.document.rescue import Kept, leftovers
from app.document.slot import Slot
from framecore.brief import BriefSource, read_brief
from framecore.seat.readings import Level
from tests.app.conftest import asked, sample_file, settings, window  # noqa: F401


def test_a_station_can_be_added_to_the_levelling_table(qtbot):
    table = StationTable(lambda: Level(division=0.02), 1000.0, "metric")
    qtbot.addWidget(table)
    before = len(table.rows())
    table._add()
    assert len(table.rows()) == before + 1


@pytest.mark.parametrize(
    "damage",
    [
        {"original": "[frame\n"}, {"original": "\ud800"}, {"at": 1e300}, {"at": float("nan")}, {"edits": [1]},
        {"edits": {"a": None}, "path": 3},
    ],
    ids=range(6),
)
def test_kept_work_that_cannot_be_shown_is_left_alone_and_not_offered(tmp_path, damage):
    slot = Slot.create(tmp_path)
    whole = {"format": 1, "at": 1e9, "path": None, "opened": None, "original": "format = 1\n", "edits": {}}
    slot.work.write_text(json.dumps({**whole, **damage}), "ascii")
    slot.release()
    assert leftovers(tmp_path) == [] and slot.work.exists()
    slot.work.write_text(json.dumps(whole), "ascii")
    assert Kept.read(slot.work) is not None


def test_a_brief_with_a_value_for_a_section_is_saved_from_the_window(qapp, tmp_path):
    document = Document(read_brief("format = 1\nframe = 3\n").source)
    document.edit("frame.height", 700)
    document.save(tmp_path / "a.toml")
    assert read_brief((tmp_path / "a.toml").read_bytes()).source.value("frame.height") == 700
    document.history.undo()
    document.save()
    assert (tmp_path / "a.toml").read_text() == "format = 1\nframe = 3\n"


@pytest.mark.parametrize("name", ["n" * 300, "a\0b", "no/such"])
def test_a_picture_under_a_name_that_cannot_be_is_told(qtbot, window, tmp_path, name):  # noqa: F811
    from app.dialogs.picture import PictureDialog

    dialog = PictureDialog(window.view._scene, window.view.camera, "a", window, path=lambda *_: str(tmp_path / name))
    qtbot.addWidget(dialog)
    dialog.save()
    assert dialog.saved is None and "could not be written" in dialog.told.text()
    assert not list(tmp_path.glob("n*"))


def test_a_new_brief_in_place_of_a_broken_one(window):  # noqa: F811
    window.document.replace(read_brief("format = 1\n[[frame]]\n").source, None)
    window.live.flush()
    assert window.live.stale and window.live.findings
    window.document.replace(BriefSource.new("lathe"), None)
    window.live.flush()
    assert not window.live.stale


def test_a_search_without_a_stand_is_told(qtbot):
    from app.panels.search.choices import ChoicesTable
    from framecore.errors import BriefError

    table = ChoicesTable()
    qtbot.addWidget(table)
    with pytest.raises(BriefError, match="no stand to begin from"):
        table.space()


def test_a_spacing_out_of_range_is_told_with_what_was_typed(qtbot):
    from app.dialogs.first_start.pattern_editor import PatternEditor

    editor = PatternEditor(lambda: [[0, 0], [150, 0]])
    qtbot.addWidget(editor)
    editor.show_value([[0, 0], [150, 0]], True)
    editor.pitch_x.setText("1e-9")
    with qtbot.waitSignal(editor.refused) as refused:
        editor._told()
    assert "1e-9" in refused.args[0] and "5 mm" in refused.args[0]


def test_a_sheet_of_styles_is_never_put_in_the_place_of_another(window, monkeypatch):  # noqa: F811
    """The toolkit then walks over all that the sheet was ever worked into; one of them was gone, and the program with it."""
    from PySide6.QtWidgets import QApplication

    real, put = QApplication.setStyleSheet, []

    def watched(application, sheet):
        put.append((bool(application.styleSheet()), bool(sheet)))
        real(application, sheet)

    monkeypatch.setattr(QApplication, "setStyleSheet", watched)
    for dark in (True, False):
        window.dark_action.setChecked(dark)
    assert (False, True) in put and (True, True) not in put
