"""The window and the file: other windows, changes on disk, work that was kept, fields not confirmed yet."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from app.dialogs.rescue_differences import DifferencesDialog, differences
from app.dialogs.rescue_offer import KeptRow, OfferDialog
from app.document import Document, Rescue
from app.document.rescue import leftovers
from framecore.brief import BriefSource, load_source
from tests.app.test_rescue import die

KEY = "machine.mass"
SAMPLES = Path(__file__).resolve().parents[2] / "samples"


def change_on_disk(path, mass=777):
    path.write_text(load_source(path).with_value(KEY, mass).text(), encoding="utf-8")


def dead_window(folder, path, mass, at=1_700_000_000.0):
    """Leave work as a killed program does."""
    document = Document(load_source(path) if path else BriefSource.new("lathe"), path)
    rescue = Rescue(document, folder, now=lambda: at)
    document.edit(KEY, mass)
    die(rescue)


def test_a_change_on_disk_is_told_and_read_again_and_undone(qtbot, window, asked):
    banner = window.keeping.banner
    assert not banner.isVisible()
    before = window.document.source.value(KEY)
    change_on_disk(window.document.path)
    qtbot.waitUntil(banner.isVisible)
    assert "lathe.toml was changed on disk at" in banner.label.text()
    banner.buttons["Look at the differences"].click()
    assert asked.keeping.asked[-1][0] == "differences"
    banner.buttons["Read it again"].click()
    assert window.document.source.value(KEY) == 777 and not window.document.dirty
    assert not banner.isVisible()
    window.document.history.undo()
    assert window.document.source.value(KEY) == before and window.document.dirty


def test_another_stand_is_seen_whole_however_large(qtbot, window):
    window.show()
    qtbot.waitExposed(window)
    window.keeping.open(SAMPLES / "grinder-column.toml")
    window.keeping.open(SAMPLES / "long-lathe-pedestals.toml")
    scene, camera = window.view._scene, window.view.camera
    assert np.ptp(scene.points[:, 0]) > 1500
    x, y = camera.project(scene.points)[:, :2].T
    assert x.min() >= 0 and x.max() <= window.view.width() and y.min() >= 0 and y.max() <= window.view.height()


def test_work_that_was_never_in_a_file_is_shown_as_it_is(qtbot, tmp_path):
    dead_window(tmp_path, None, 333)
    (left,) = leftovers(tmp_path)
    row = KeptRow(left)
    qtbot.addWidget(row)
    assert row.look.text() == "Look at it"
    called = ("", "the kept work from 20:57")
    dialog = DifferencesDialog(None, left.kept.source().text(), called)
    qtbot.addWidget(dialog)
    told = [label.text() for label in dialog.findChildren(QLabel)]
    assert told == ["It was never saved to a file. This is the kept work from 20:57:"]
    assert "mass = 333" in dialog.text.toPlainText()
    left.release()


def test_with_unsaved_work_nothing_is_read_again(qtbot, window):
    window.document.edit(KEY, 333)
    change_on_disk(window.document.path)
    qtbot.waitUntil(window.keeping.banner.isVisible)
    assert "unsaved changes" in window.keeping.banner.label.text()
    assert "Read it again" not in window.keeping.banner.buttons
    window.document.history.undo()
    assert "Read it again" in window.keeping.banner.buttons


def test_own_saving_tells_nothing(qtbot, window):
    window.document.edit(KEY, 333)
    assert window.save()
    qtbot.wait(500)
    assert not window.keeping.banner.isVisible()


def test_a_file_that_is_gone_makes_the_work_unsaved_until_it_is_back(qtbot, window, asked):
    path = window.document.path
    content = path.read_bytes()
    path.unlink()
    qtbot.waitUntil(window.keeping.banner.isVisible)
    assert "not in its folder" in window.keeping.banner.label.text()
    assert window.document.dirty
    path.write_bytes(content)
    qtbot.waitUntil(lambda: not window.document.dirty)
    assert not window.keeping.banner.isVisible()


@pytest.mark.parametrize("answer", ["mine", "theirs", "new name", "cancel"])
def test_saving_over_a_change_asks(window, asked, tmp_path, answer):
    path = window.document.path
    window.document.edit(KEY, 333)
    change_on_disk(path)
    asked.keeping.answers["changed"] = answer
    asked.path = str(tmp_path / "mine.toml")
    assert window.save() is (answer != "cancel")
    name, when, _look = asked.keeping.asked[0][1]
    assert name == "lathe.toml" and when[2] == ":"
    assert load_source(path).value(KEY) == (333 if answer == "mine" else 777)
    assert window.document.source.value(KEY) == (777 if answer == "theirs" else 333)
    assert window.document.dirty is (answer == "cancel")
    if answer == "new name":
        assert load_source(tmp_path / "mine.toml").value(KEY) == 333
    if answer == "theirs":
        window.document.history.undo()
        assert window.document.source.value(KEY) == 333


@pytest.mark.parametrize("answer", ["look", "copy", "cancel"])
def test_a_file_that_another_window_has_open(window, asked, settings, tmp_path, answer):
    other = tmp_path / "other.toml"
    other.write_text(BriefSource.new("drill").with_value(KEY, 88).text(), "utf-8")
    held = Rescue(Document(load_source(other), other), settings.kept)
    asked.keeping.answers["other_window"] = answer
    window.open(other)
    assert asked.keeping.asked == [("other_window", ("other.toml",))]
    document = window.document
    if answer == "cancel":
        assert document.name == "lathe.toml"
    elif answer == "copy":
        assert document.path is None and document.dirty and document.source.value(KEY) == 88
    else:
        assert document.path == other and "to look at" in window.windowTitle()
        document.edit(KEY, 99)
        asked.path = str(tmp_path / "mine.toml")
        assert window.save()
        assert load_source(other).value(KEY) == 88 and load_source(tmp_path / "mine.toml").value(KEY) == 99
    held.close()


def test_saving_over_a_file_of_another_window_asks(window, asked, settings, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(BriefSource.new("drill").text(), "utf-8")
    before = other.read_bytes()
    held = Rescue(Document(load_source(other), other), settings.kept)
    asked.path, asked.keeping.answers["overwrite_open"] = str(other), False
    window.document.edit(KEY, 333)
    assert not window.save_as()
    assert other.read_bytes() == before and window.document.dirty
    held.close()


def test_kept_work_is_offered_opened_unsaved_and_never_without_a_copy(window, asked, settings, tmp_path):
    path = tmp_path / "bench.toml"
    path.write_text(BriefSource.new("lathe").with_value(KEY, 100).text(), "utf-8")
    dead_window(settings.kept, path, 141, at=2000.0)
    dead_window(settings.kept, path, 142, at=3000.0)
    dead_window(settings.kept, None, 143, at=1000.0)
    shown = []

    def choose(found):
        shown.extend(left.kept.source().value(KEY) for left in found)
        return found[1], [found[2]]

    asked.keeping.answers["kept"] = choose
    window.offer_kept()
    assert shown == [142, 141, 143]
    document = window.document
    assert document.path == path and document.dirty and document.source.value(KEY) == 141
    assert load_source(path).value(KEY) == 100
    (left,) = leftovers(settings.kept)
    assert left.kept.source().value(KEY) == 142, "what was neither opened nor thrown away stays"
    left.release()
    assert sum(1 for p in settings.kept.glob("*.work")) == 2, "the opened work is kept by this window"
    document.history.undo()
    assert document.dirty
    assert window.save() and load_source(path).value(KEY) == 141


def test_the_offer_lists_all_and_forces_nothing(qtbot, settings, sample_file):
    for mass, at in ((141, 1000.0), (142, 2000.0)):
        dead_window(settings.kept, sample_file, mass, at)
    found = leftovers(settings.kept)
    dialog = OfferDialog(found)
    qtbot.addWidget(dialog)
    assert len(dialog.rows) == 2 and all("lathe.toml" in row.head.text() for row in dialog.rows)
    dialog.rows[0].throw.click()
    assert dialog.thrown == [found[0]] and not dialog.rows[0].open.isEnabled()
    dialog.rows[0].throw.click()
    assert dialog.thrown == []
    dialog.reject()
    assert dialog.chosen is None
    dialog.rows[1].open.click()
    assert dialog.chosen is found[1]
    for left in found:
        left.discard()


def test_what_stands_in_a_field_unconfirmed_is_saved_with_it(qtbot, window):
    line = window.inputs.rows[KEY].editor.line
    window.inputs.go_to(KEY)
    line.selectAll()
    qtbot.keyClicks(line, "456")
    assert window.save()
    assert load_source(window.document.path).value(KEY) == 456


def test_a_clean_close_leaves_nothing(qtbot, window, settings, asked):
    window.document.edit(KEY, 333)
    window.keeping.rescue.flush()
    assert list(settings.kept.iterdir())
    asked.unsaved_answer = "discard"
    window.close()
    assert list(settings.kept.iterdir()) == []


def test_an_earlier_copy_of_a_fault_is_not_overwritten(window, settings):
    settings.recovery.write_text("somebody's only copy")
    saved = window.rescue()
    assert saved != settings.recovery and saved.read_text("utf-8") == window.document.source.text()
    assert window.rescue() == saved
    assert settings.recovery.read_text() == "somebody's only copy"


def test_differences_name_lines_only_in_one():
    assert differences("a\nb\nc\n", "a\nx\nc\n").splitlines() == ["   a", "−  b", "+  x", "   c"]
    assert differences("a\n", "a\n") == ""
    assert "+  ++ x" in differences("a\n", "a\n++ x\n")


# -- disks that refuse ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "words"),
    [(28, "the disk is full"), (30, "the disk is read-only"), (13, "you may not write in the folder")],
)
def test_a_disk_that_refuses_gets_one_sentence(window, asked, monkeypatch, number, words):
    before = window.document.path.read_bytes()
    window.document.edit(KEY, 333)

    def refuse(*_args, **_kwargs):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("framecore.brief.document.tempfile.mkstemp", refuse)
    assert not window.save()
    assert len(asked.said) == 1 and words in asked.said[0] and "work is kept" in asked.said[0]
    monkeypatch.undo()
    assert window.document.path.read_bytes() == before and window.document.dirty
    window.keeping.rescue.flush()
    assert list(window.settings.kept.glob("*.work"))


def test_a_full_disk_in_the_middle_leaves_the_file_and_no_remains(window, asked, monkeypatch):
    path = window.document.path
    before = path.read_bytes()
    window.document.edit(KEY, 333)

    def full(_handle):
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("framecore.brief.document.os.fsync", full)
    assert not window.save()
    monkeypatch.undo()
    assert path.read_bytes() == before and "the disk is full" in asked.said[0]
    assert not list(path.parent.glob(".*.part"))


@pytest.mark.parametrize(
    ("name", "words"),
    [("gone/stand.toml", "is not there"), ("x" * 300 + ".toml", "name is too long"), ("a\0b.toml", "no file may have")],
)
def test_names_and_folders_that_cannot_be(window, asked, tmp_path, name, words):
    window.document.edit(KEY, 333)
    asked.path = str(tmp_path / name)
    assert not window.save_as()
    assert len(asked.said) == 1 and words in asked.said[0]
    assert window.document.dirty and window.document.name == "lathe.toml"


def test_the_longest_name_a_disk_allows_can_be_saved(window, asked, tmp_path):
    asked.path = str(tmp_path / ("x" * 250 + ".toml"))
    assert window.save_as()


def test_closing_saves_what_is_being_typed_into_the_question(qtbot, window, asked):
    line = window.inputs.rows[KEY].editor.line
    window.inputs.go_to(KEY)
    line.selectAll()
    qtbot.keyClicks(line, "457")
    asked.unsaved_answer = "cancel"
    assert not window.close()
    assert asked.unsaved_asked == 1 and window.document.source.value(KEY) == 457
    qtbot.keyClick(line, Qt.Key.Key_Return)
