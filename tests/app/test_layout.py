"""What the window remembers of itself between starts, and how it is put back."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.document import Document, Settings
from app.window import MainWindow
from app.window.better import SEARCH
from app.window.layout import BELOW
from app.window.questions import _there
from framecore.brief import load_source


@pytest.fixture
def start(qtbot, settings, sample_file, asked):
    """Open a window as a start does; the settings stay."""

    def make(store: Settings = settings) -> MainWindow:
        window = MainWindow(Document(load_source(sample_file), sample_file), store, asked.questions())
        qtbot.addWidget(window)
        with qtbot.waitExposed(window):
            window.show()
        window.inputs.complete()
        return window

    return make


def test_sizes_panels_groups_and_paper_come_back(qtbot, start):
    first = start()
    first.resize(1300, 800)
    whole = first.places._splitters["whole"]
    whole.setSizes([420, 880])
    first.places.open_panel("cut plan", False)
    first.inputs.groups["floor"].head.setChecked(True)
    first.inputs.groups["machine"].head.setChecked(False)
    first.dark_action.setChecked(True)
    wide = whole.sizes()[0]
    first.close()
    second = start()
    assert (second.width(), second.height()) == (1300, 800)
    assert second.places._splitters["whole"].sizes()[0] == wide
    assert second.places.panels["cut plan"].isHidden() and not second.places.panels["settings"].isHidden()
    assert second.inputs.groups["floor"].head.isChecked() and not second.inputs.groups["machine"].head.isChecked()
    assert second.dark_action.isChecked()
    second.dark_action.setChecked(False)


def test_panels_are_put_back_as_at_first(qtbot, start):
    window = start()
    sizes = {n: s.sizes() for n, s in window.places._splitters.items()}
    groups = {n: g.head.isChecked() for n, g in window.inputs.groups.items()}
    window.places._splitters["whole"].setSizes([500, 700])
    window.places.open_panel("figures", False)
    window.inputs.groups["floor"].head.setChecked(True)
    window.places.as_at_first()
    qtbot.waitUntil(lambda: {n: s.sizes() for n, s in window.places._splitters.items()} == sizes)
    assert {n: g.head.isChecked() for n, g in window.inputs.groups.items()} == groups
    assert not window.places.panels["figures"].isHidden()


def test_the_menu_shows_and_hides_panels(qtbot, start):
    window = start()
    toggles = {a.text().replace("&", ""): a for a in window.findChildren(type(window.dark_action)) if a.isCheckable()}
    toggles["Settings"].trigger()
    assert window.inputs.isHidden()
    window.places.as_at_first()
    assert not window.inputs.isHidden() and toggles["Settings"].isChecked()


def test_what_was_remembered_and_is_spoilt_is_left_out(qtbot, start, settings):
    for key in ("geometry", "split whole", "split low"):
        settings.store.setValue(f"window/{key}", b"nonsense")
    settings.store.setValue("window/groups open", 17)
    settings.store.setValue("window/panels closed", "no such panel")
    window = start()
    assert all(size > 100 for size in window.places._splitters["whole"].sizes())


def test_another_panel_below_does_not_spoil_the_sizes_of_plan_and_list(qtbot, start):
    first = start()
    sizes = first.places._splitters["low"].sizes()
    first.show_modes(True)
    first.close()
    second = start()
    assert second.places._splitters["low"].sizes() == pytest.approx(sizes, abs=4)  # the handle of the third took a little


def test_all_of_the_stand_stays_in_sight_when_a_panel_below_borrows_height(qtbot, start):
    window = start()
    window.view.fit()
    was, high = window.view._camera.distance, window.view.height()
    window.better.show_below(SEARCH, True)
    assert high - 100 < window.view.height() < high and window.view._camera.distance > was
    window.better.show_below(SEARCH, False)
    assert window.view.height() == high and window.view._camera.distance == pytest.approx(was)


def test_the_first_size_leaves_room_for_the_frame_of_the_window(start):
    window = start()
    room = window.screen().availableGeometry()
    assert window.height() + 30 <= room.height() and window.width() < room.width()


def test_a_panel_below_borrows_height_and_gives_it_back(qtbot, start):
    window = start()
    upright = window.places._splitters["upright"]
    before = upright.sizes()
    window.better.show_below(SEARCH, True)
    assert before[1] < BELOW <= upright.sizes()[1]
    window.close()
    again = start()
    upright = again.places._splitters["upright"]
    assert upright.sizes() == before, "what was borrowed is not remembered"
    again.better.show_below(SEARCH, True)
    again.better.show_below(SEARCH, False)
    assert upright.sizes() == before


def test_the_last_folder_is_kept_while_it_is_there(start, settings, tmp_path):
    window = start()
    folder = tmp_path / "work"
    folder.mkdir()
    settings.add_recent(folder / "a.toml")
    assert settings.folder == folder
    assert _there(window, "stand-packet") == str(folder / "stand-packet")
    assert _there(window, str(Path("/elsewhere/b.toml"))) == str(Path("/elsewhere/b.toml"))
    folder.rmdir()
    assert settings.folder is None and _there(window, "stand-packet") == "stand-packet"


def test_a_narrow_screen_begins_with_the_view_and_every_panel_is_a_key_away(qtbot, start, monkeypatch):
    from PySide6.QtCore import QSize

    from app.window.layout import Layout

    monkeypatch.setattr(Layout, "_room", lambda self: QSize(700, 450))
    for _ in range(2):  # the first time, and as it was left
        window = start()
        assert (window.width(), window.height()) == (700, 450)
        assert window.inputs.isHidden() and window.places.panels["figures"].isHidden() and window.view.isVisible()
        window.close()
    monkeypatch.setattr(Layout, "_room", lambda self: QSize(910, 512))
    window = start()
    window.places.as_at_first()
    assert not window.inputs.isHidden() and window.places.panels["figures"].isHidden()
