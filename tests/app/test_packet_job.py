"""The packet is written beside the window: it stays alive, tells the end, and one runs at a time."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.window.packet_job import PacketJob
from framecore import evaluate, load_brief


@pytest.fixture
def stand(sample_file):
    return evaluate(load_brief(sample_file))


def test_the_folder_is_told_when_it_is_whole(qtbot, stand, tmp_path):
    job, folder = PacketJob(), tmp_path / "packet"
    with qtbot.waitSignal(job.done, timeout=120_000) as told:
        job.start(stand, folder)
        assert job.running
    assert told.args == [str(folder)]
    assert (folder / "sheets.pdf").exists()
    assert not job.running


def test_what_cannot_be_written_is_one_sentence_and_leaves_nothing(qtbot, stand, tmp_path):
    job, folder = PacketJob(), tmp_path / "none" / "packet"
    with qtbot.waitSignal(job.failed, timeout=60_000) as told:
        job.start(stand, folder)
    assert "no such folder" in told.args[0]
    assert not folder.parent.exists()
    assert not job.running


def test_a_folder_that_is_there_is_not_touched(qtbot, stand, tmp_path):
    job, folder = PacketJob(), tmp_path / "mine"
    folder.mkdir()
    (folder / "mine.txt").write_text("keep")
    with qtbot.waitSignal(job.failed, timeout=60_000) as told:
        job.start(stand, folder)
    assert "already there" in told.args[0]
    assert [p.name for p in folder.iterdir()] == ["mine.txt"]


def test_an_unforeseen_fault_comes_out_in_the_window_not_in_the_thread(qtbot, stand, tmp_path, monkeypatch):
    def broken(*_args, **_more):
        raise RuntimeError("unforeseen")

    monkeypatch.setattr("app.cli.packet.write_packet", broken)
    job = PacketJob()
    with qtbot.waitSignal(job.fault, timeout=60_000) as told:
        job.start(stand, tmp_path / "packet")
    assert str(told.args[0]) == "unforeseen"


def test_the_window_says_where_the_packet_is_until_it_is_put_away(qtbot, window, asked, tmp_path):
    assert not window.statusBar().isVisible(), "an empty line takes no height"
    asked.path = str(tmp_path / "packet")
    window.save_packet()
    assert window.statusBar().isVisible()
    there = window.packet_there
    qtbot.waitUntil(there.isVisible, timeout=60_000)
    assert asked.path in there.told.text() and there.told.width() > there.told.fontMetrics().averageCharWidth()
    qtbot.mouseClick(there.look, Qt.MouseButton.LeftButton)
    assert asked.opened == [asked.path] and there.isVisible()
    qtbot.mouseClick(there.away, Qt.MouseButton.LeftButton)
    assert not there.isVisible() and not window.statusBar().isVisible()
    window.statusBar().showMessage("said for a moment", 50)
    assert window.statusBar().isVisible()
    qtbot.waitUntil(lambda: not window.statusBar().isVisible())
