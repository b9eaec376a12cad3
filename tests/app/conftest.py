"""Fixtures of the window's tests: own settings, no question left open, no timer or window left behind."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from app.document import Document, Settings

HAS_SCREEN = bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
SETTLED_MS = 60_000  # until a window is there to be tested; on a busy machine that is no fault of it


def pytest_collection_modifyitems(items):
    """Mark every test that touches the toolkit, so that ``-m "not gui"`` runs without a screen."""
    for item in items:
        names = getattr(item, "fixturenames", ())
        if "qtbot" in names or "qapp" in names:
            item.add_marker(pytest.mark.gui)
            if not HAS_SCREEN and not os.environ.get("QT_QPA_PLATFORM"):
                item.add_marker(pytest.mark.skip(reason="no screen"))


@pytest.fixture(autouse=True)
def held(request):
    """Hold every widget a test hands to the toolkit's helper, which does not, until it is closed.

    One that only the test's own frame held could be collected in the middle of its own paint event.
    """
    if "qtbot" not in request.fixturenames:
        yield
        return
    qtbot, widgets = request.getfixturevalue("qtbot"), []
    add = qtbot.addWidget

    def add_and_hold(widget, **how):
        widgets.append(widget)
        add(widget, **how)

    qtbot.addWidget = add_and_hold
    yield
    widgets.clear()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """A store of this test's own."""
    store = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    store.setValue("recovery", str(tmp_path / "recovered.toml"))
    store.setValue("kept", str(tmp_path / "kept"))
    return Settings(store)


@pytest.fixture
def sample_file(tmp_path: Path) -> Path:
    """The default sample in a file of its own."""
    from app.cli.window import sample_text

    path = tmp_path / "lathe.toml"
    path.write_text(sample_text(), encoding="utf-8")
    return path


class KeepingAsked:
    """Answers what is asked before work could be lost."""

    def __init__(self) -> None:
        self.answers: dict[str, object] = {}
        self.asked: list[tuple[str, tuple[object, ...]]] = []

    def questions(self):
        from app.window.keeping import KeepingQuestions

        def answer(name, *args):
            self.asked.append((name, args))
            return self.answers[name]

        return KeepingQuestions(
            changed=lambda _w, *args: answer("changed", *args),
            other_window=lambda _w, *args: answer("other_window", *args),
            overwrite_open=lambda _w, *args: answer("overwrite_open", *args),
            kept=lambda _w, found: self.answers["kept"](found),
            differences=lambda _w, *args: self.asked.append(("differences", args)),
        )


class Asked:
    """Answers the window's questions and writes down what it said."""

    def __init__(self) -> None:
        self.unsaved_answer = "discard"
        self.path = ""
        self.unsaved_asked = 0
        self.said: list[str] = []
        self.opened: list[str] = []  # folders that were looked at
        self.keeping = KeepingAsked()

    def questions(self):
        from app.window.main_window import Questions

        def unsaved(_window, _name):
            self.unsaved_asked += 1
            return self.unsaved_answer

        return Questions(
            unsaved=unsaved,
            tell=lambda _w, _t, text: self.said.append(text),
            open_path=lambda _w: self.path,
            save_path=lambda _w, _n: self.path,
            folder=lambda _w, _n: self.path,
            show_folder=self.opened.append,
            keeping=self.keeping.questions(),
        )


@pytest.fixture
def asked() -> Asked:
    return Asked()


@pytest.fixture
def window(qtbot, settings, sample_file, asked):
    """The window on the sample."""
    from app.window import MainWindow
    from framecore.brief import load_source

    before = {id(w) for w in QApplication.topLevelWidgets()}
    win = MainWindow(Document(load_source(sample_file), sample_file), settings, asked.questions())
    # The toolkit's test helper closes the window before the rest of this fixture runs.
    qtbot.addWidget(win, before_close_func=lambda _w: setattr(asked, "unsaved_answer", "discard"))
    win.resize(1400, 900)
    with qtbot.waitExposed(win):
        win.show()
    # A bare screen without a window manager gives the keys to nobody.
    win.activateWindow()
    qtbot.waitUntil(win.isActiveWindow, timeout=SETTLED_MS)
    qtbot.waitUntil(lambda: not win.inputs.waiting, timeout=SETTLED_MS)
    yield win
    gc.collect()
    strays = [
        w for w in QApplication.topLevelWidgets()
        if id(w) not in before and w is not win and w.isVisible() and w.parent() is None
    ]  # fmt: skip
    assert not strays, f"left open: {strays}"
