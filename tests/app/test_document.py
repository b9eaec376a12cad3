"""The open brief: history, dirty state, files."""

from __future__ import annotations

import gc

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from app.document import Document
from framecore.brief import BriefSource, load_source
from framecore.errors import BriefError


@pytest.fixture
def document(qapp, sample_file):
    return Document(load_source(sample_file), sample_file)


def test_one_drag_is_one_step(document):
    for height in (700.0, 710.0, 720.0):
        document.edit("frame.height", height, gesture=1)
    for height in (730.0, 740.0):
        document.edit("frame.height", height, gesture=2)
    assert document.history.count() == 2
    document.history.undo()
    assert document.source.value("frame.height") == 720.0


def test_there_and_back_leaves_no_step(document):
    document.edit("frame.height", 700.0)
    document.history.setClean()
    text = document.source.text()
    for height in (710.0, 705.0, 700.0):
        document.edit("frame.height", height, gesture=7)
    assert document.history.count() == 1
    assert document.source.text() == text
    assert not document.dirty


def test_what_was_saved_within_a_drag_is_a_step_of_its_own(document):
    document.edit("frame.height", 700.0, gesture=7)
    document.history.setClean()
    document.edit("frame.height", 710.0, gesture=7)
    assert document.history.count() == 2 and document.dirty
    document.history.undo()
    assert document.source.value("frame.height") == 700.0 and not document.dirty


def test_a_drag_after_undo_takes_the_undone_away(document):
    for gesture, height in ((1, 700.0), (2, 710.0)):
        document.edit("frame.height", height, gesture=gesture)
    document.history.undo()
    document.edit("frame.height", 720.0, gesture=1)
    assert document.history.count() == 2 and not document.history.canRedo()
    document.history.undo()
    assert document.source.value("frame.height") == 700.0


def test_a_drag_leaves_nothing_behind(qapp, sample_file):
    """Neither what was between its ends while the file is open, nor anything once it is closed."""
    heights = [k + 0.3125 for k in range(700, 760)]  # no other test's

    def briefs() -> list[float]:
        gc.collect()
        held = [o.value("frame.height") for o in gc.get_objects() if isinstance(o, BriefSource)]
        return [h for h in held if h in heights]

    document = Document(load_source(sample_file), sample_file)
    for height in heights:
        document.edit("frame.height", height, gesture=1)
    assert briefs() == heights[-1:]
    document.deleteLater()
    del document
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert briefs() == []


def test_dirty_follows_the_history(document, qtbot):
    assert not document.dirty
    with qtbot.waitSignal(document.dirty_changed) as signal:
        document.edit("machine.mass", 140)
    assert signal.args == [True]
    with qtbot.waitSignal(document.dirty_changed) as signal:
        document.history.undo()
    assert signal.args == [False]


def test_the_same_value_is_no_step(document):
    document.edit("machine.mass", 140)
    document.edit("machine.mass", 140)
    assert document.history.count() == 1


def test_taking_a_key_out_brings_the_typical_value_back(document):
    document.edit("welding.leg", 4)
    assert "welding.leg" not in document.reading.brief.assumed
    document.edit("welding.leg", None)
    assert document.source.value("welding.leg") is None
    assert "welding.leg" in document.reading.brief.assumed


def test_save_and_reopen_keeps_comments(document, tmp_path):
    comments = [line for line in document.source.text().splitlines() if line.lstrip().startswith("#")]
    assert comments
    document.edit("machine.mass", 141)
    target = document.save(tmp_path / "other.toml")
    assert document.path == target and not document.dirty
    again = load_source(target)
    assert again.value("machine.mass") == 141
    for line in comments:
        assert line in again.text().splitlines()


def test_a_file_that_is_not_there_leaves_the_open_brief(document, tmp_path):
    before = document.source
    with pytest.raises(BriefError, match="missing"):
        document.open(tmp_path / "missing.toml")
    assert document.source is before


def test_recent_files_newest_first_without_doubles(settings, tmp_path):
    for name in ("a", "b", "a"):
        settings.add_recent(tmp_path / name)
    assert [p.name for p in settings.recent] == ["a", "b"]
