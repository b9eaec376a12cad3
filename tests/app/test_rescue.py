"""Kept work: written while the maker works, offered after a death, gone after a clean end."""

from __future__ import annotations

import os
import stat
import sys
import time
from pathlib import Path

import pytest

from app.document import Document, Rescue
from app.document.disk import ChangedOnDiskError, clear_parts, clock, state_of
from app.document.rescue import Kept, leftovers
from app.document.slot import Slot, living
from framecore.brief import BriefSource, load_source


@pytest.fixture
def document(qapp, sample_file):
    return Document(load_source(sample_file), sample_file)


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "kept"


@pytest.fixture
def rescue(document, folder):
    made = Rescue(document, folder)
    yield made
    made.close()


def die(rescue):
    """End as a killed program does: the system drops the lock, nothing is cleared up."""
    rescue.flush()
    rescue._closed = True
    rescue._slot.release()
    rescue._slot = None


def work_files(folder: Path):
    return list(folder.glob("*.work"))


def test_an_edit_is_kept_after_a_rest_and_gone_after_saving(qtbot, document, rescue, folder):
    document.edit("machine.mass", 141)
    assert not work_files(folder)
    qtbot.waitUntil(lambda: bool(work_files(folder)), timeout=2000)
    kept = Kept.read(work_files(folder)[0])
    assert kept.source().text() == document.source.text()
    assert kept.path == document.path and kept.opened == state_of(document.path)
    document.save()
    qtbot.waitUntil(lambda: not work_files(folder))


def test_undo_to_what_is_in_the_file_keeps_nothing(qtbot, document, rescue, folder):
    document.edit("machine.mass", 141)
    rescue.flush()
    assert work_files(folder)
    document.history.undo()
    rescue.flush()
    assert not work_files(folder)


def test_a_drag_that_never_rests_is_kept_all_the_same(qtbot, document, rescue, folder):
    end = time.monotonic() + 5.0
    height = 700.0
    while time.monotonic() < end and not work_files(folder):
        height += 1
        document.edit("frame.height", height, gesture=1)
        qtbot.wait(50)
    assert work_files(folder)


def test_kept_work_is_private(document, rescue, folder):
    document.edit("machine.mass", 141)
    rescue.flush()
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(p.stat().st_mode) for p in folder.iterdir()} == {0o600}


def test_nothing_but_the_makers_own_saving_touches_the_makers_folder(document, rescue, sample_file, tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    document.save(home / "stand.toml")
    before = {p.name: p.stat().st_mtime_ns for p in home.iterdir()}
    document.edit("machine.mass", 141)
    rescue.flush()
    assert {p.name: p.stat().st_mtime_ns for p in home.iterdir()} == before


def test_dead_work_is_offered_living_work_is_not(document, rescue, folder):
    document.edit("machine.mass", 141)
    rescue.flush()
    assert leftovers(folder) == [], "its owner lives"
    die(rescue)
    (left,) = leftovers(folder)
    assert left.kept.source().value("machine.mass") == 141
    assert leftovers(folder) == [], "held by the first who found it"
    left.release()
    (left,) = leftovers(folder)
    left.discard()
    assert leftovers(folder) == [] and list(folder.iterdir()) == []


def test_several_leftovers_newest_first(qapp, sample_file, folder):
    for at, mass in ((1000.0, 101), (3000.0, 103), (2000.0, 102)):
        document = Document(load_source(sample_file), sample_file)
        rescue = Rescue(document, folder, now=lambda at=at: at)
        document.edit("machine.mass", mass)
        die(rescue)
    found = leftovers(folder)
    assert [left.kept.source().value("machine.mass") for left in found] == [103, 102, 101]
    for left in found:
        left.discard()


def test_work_that_reached_its_file_is_not_offered(document, rescue, folder):
    document.edit("machine.mass", 141)
    rescue.flush()
    rescue.blockSignals(True)
    document.dirty_changed.disconnect(rescue._dirty_changed)
    document.save()
    rescue._rest.stop()
    rescue._pool.waitForDone()
    assert work_files(folder)
    rescue._closed = True
    rescue._slot.release()
    rescue._slot = None
    assert leftovers(folder) == [] and list(folder.iterdir()) == []


def test_work_that_cannot_be_read_is_left_alone(folder):
    slot = Slot.create(folder)
    slot.work.write_text('{"format": 99}')
    slot.release()
    assert leftovers(folder) == []
    assert slot.work.exists()


@pytest.mark.parametrize(
    "value", ["5'2\"", 3, 2.5, True, ["a", [1, 2.0]], {"x": 1}, "\ud800 \x00 🔧", (1, 2), float("inf")]
)
def test_what_was_typed_comes_back_as_it_was(qapp, folder, value):
    document = Document(BriefSource.new("lathe"))
    rescue = Rescue(document, folder)
    document.edit("machine.note", value)
    document.edit("frame.height", None)
    die(rescue)
    (left,) = leftovers(folder)
    back = left.kept.source().value("machine.note")
    assert (list(back) if isinstance(value, tuple) else back) == (list(value) if isinstance(value, tuple) else value)
    assert type(back) is (list if isinstance(value, tuple) else type(value))
    assert left.kept.path is None
    left.discard()


def test_recovered_work_is_unsaved_and_keeps_its_path(document, rescue, folder, sample_file):
    document.edit("machine.mass", 141)
    die(rescue)
    (left,) = leftovers(folder)
    other = Document(BriefSource.new("lathe"))
    other.recover(left.kept.source(), left.kept.path, left.kept.opened)
    left.discard()
    assert other.path == sample_file and other.dirty
    other.history.undo()
    assert other.dirty
    other.save()
    assert not other.dirty and load_source(sample_file).value("machine.mass") == 141


def test_a_full_disk_is_told_once_and_again_when_it_comes_back(qtbot, document, rescue, monkeypatch):
    told = []
    rescue.failed.connect(told.append)
    keep = Slot.keep

    def full(*_):
        raise OSError(28, os.strerror(28))

    for mass, broken in ((1, True), (2, True), (3, False), (4, True)):
        monkeypatch.setattr(Slot, "keep", full if broken else keep)
        document.edit("machine.mass", mass)
        rescue.flush()
        qtbot.wait(20)
    assert len(told) == 2 and "No space left" in told[0] and str(rescue.folder) in told[0]


def test_a_folder_that_cannot_be_made_stops_nothing(qtbot, document, tmp_path):
    (tmp_path / "file").write_text("")
    rescue = Rescue(document, tmp_path / "file" / "kept")
    told = []
    rescue.failed.connect(told.append)
    document.edit("machine.mass", 141)
    rescue.flush()
    assert document.source.value("machine.mass") == 141
    assert not rescue.others(document.path)
    rescue.close()


def test_another_window_on_the_same_file_is_seen_through_links(document, rescue, folder, sample_file, tmp_path):
    other = Rescue(Document(BriefSource.new("lathe")), folder)
    assert other.others(sample_file) and not rescue.others(sample_file)
    link = tmp_path / "link.toml"
    link.symlink_to(sample_file)
    assert other.others(link)
    document.replace(BriefSource.new("drill"), None)
    assert not other.others(sample_file)
    other.close()
    assert len(list(living(folder))) == 1


def test_a_window_that_only_looks_is_no_other(document, rescue, folder, sample_file):
    looker = Document(BriefSource.new("lathe"))
    looks = Rescue(looker, folder)
    looker.open(sample_file, only_look=True)
    assert not rescue.others(sample_file)
    looks.close()


def test_nothing_is_left_after_a_clean_end(document, rescue, folder):
    document.edit("machine.mass", 141)
    rescue.flush()
    rescue.close()
    assert list(folder.iterdir()) == []
    document.edit("machine.mass", 142)
    rescue.flush()
    assert list(folder.iterdir()) == []


# -- the file on disk ----------------------------------------------------------------------------------------


def test_saving_over_somebody_elses_change_is_refused(document, sample_file):
    document.edit("machine.mass", 141)
    sample_file.write_text(sample_file.read_text("utf-8") + "# theirs\n", encoding="utf-8")
    with pytest.raises(ChangedOnDiskError, match=r"changed on disk at \d\d:\d\d"):
        document.save()
    assert document.dirty and "# theirs" in sample_file.read_text("utf-8")
    document.save(over=True)
    assert "# theirs" not in sample_file.read_text("utf-8")
    document.edit("machine.mass", 142)
    document.save()
    assert load_source(sample_file).value("machine.mass") == 142


def test_a_file_that_was_only_touched_is_not_changed(document, sample_file):
    document.edit("machine.mass", 141)
    os.utime(sample_file, (1, 1))
    document.save()
    assert not document.dirty


def test_taking_theirs_can_be_undone(document, sample_file):
    document.edit("machine.mass", 141)
    sample_file.write_text(sample_file.read_text("utf-8").replace("mass", "mass", 1) + "# theirs\n", "utf-8")
    document.take_disk()
    assert not document.dirty and "# theirs" in document.source.text()
    document.history.undo()
    assert document.source.value("machine.mass") == 141 and document.dirty
    document.save()
    assert load_source(sample_file).value("machine.mass") == 141


def test_what_was_opened_to_look_at_is_saved_under_another_name_only(document, sample_file, tmp_path):
    before = sample_file.read_bytes()
    document.open(sample_file, only_look=True)
    document.edit("machine.mass", 141)
    for path in (None, sample_file):
        with pytest.raises(ValueError, match="another name"):
            document.save(path)
    assert sample_file.read_bytes() == before and document.dirty
    document.save(tmp_path / "mine.toml")
    assert not document.only_look and not document.dirty


def test_unfinished_files_of_a_power_cut_are_cleared_by_the_next_saving(document, sample_file):
    old = sample_file.with_name(f".{sample_file.name}.abc.part")
    new = sample_file.with_name(f".{sample_file.name}.def.part")
    other = sample_file.with_name(".other.toml.abc.part")
    for part in (old, new, other):
        part.write_text("x")
    for part in (old, other):
        os.utime(part, (1, 1))
    clear_parts(sample_file)
    assert not old.exists() and new.exists() and other.exists()


def test_the_time_says_the_day_when_it_is_another():
    from datetime import datetime

    noon = datetime(2024, 3, 5, 14, 3)
    assert clock(noon, noon) == "14:03"
    assert clock(noon, datetime(2024, 3, 6)) == "14:03 on 5 March 2024"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_stays_a_link(document, sample_file, tmp_path):
    link = tmp_path / "link.toml"
    link.symlink_to(sample_file)
    document.edit("machine.mass", 141)
    document.save(link)
    assert link.is_symlink() and load_source(sample_file).value("machine.mass") == 141
