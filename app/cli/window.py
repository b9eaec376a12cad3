"""Opens the window; without a screen says so and writes the packet."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module, resources
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtCore import QCoreApplication

    from app.document import Document, Settings
    from framecore.brief import BriefSource

SAMPLE = "bench-lathe.toml"


def sample_text() -> str:
    """Text of the sample that is shown when no brief is named."""
    return resources.files("resources").joinpath("samples", SAMPLE).read_text(encoding="utf-8")


def sample_source() -> BriefSource:
    """The sample as a brief without a file."""
    from framecore.brief import read_brief

    source = read_brief(sample_text()).source
    assert source is not None  # the sample is part of the program
    return source


def has_screen() -> bool:
    """Whether a window can be shown."""
    if os.environ.get("QT_QPA_PLATFORM"):
        return True
    if sys.platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


def load_core() -> None:
    """Load the core, before the window toolkit and without looking for unused objects until the window is there.

    The toolkit's binding looks through the source of every module that is loaded after it.
    """
    gc.disable()  # app.live.memory.settle turns it on again
    import_module("framecore.stand.stages")


def open_window(path: Path | None, debug: bool, language: str = "") -> int:
    """Open the window on ``path`` or the sample and return the exit code; ``language`` as asked for, "" where none was."""
    from framecore.brief import load_source

    source = load_source(path) if path is not None else sample_source()
    if not has_screen():
        return _without_screen(source, path)
    load_core()
    from PySide6.QtCore import Qt, QTimer
    from PySide6.QtWidgets import QApplication

    from app.dialogs.fault import FaultHub
    from app.document import Settings
    from app.language import begin_speaking
    from app.live.memory import Collector, settle
    from app.window import MainWindow
    from app.window.starting import begin

    QApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
    application = QApplication.instance() or QApplication(sys.argv[:1])
    application.setApplicationName("Standwright")
    application.setStyle("Fusion")
    lend_letters(application)
    settings = Settings()
    begin_speaking(settings, language)
    document = _document(source, path, settings)
    if document is None:
        return 0
    window = MainWindow(document, settings)
    if path is not None:
        settings.add_recent(path)
    hub = FaultHub(window.rescue, debug=debug)
    hub.install()
    window.show()
    settle()
    Collector(application)
    QTimer.singleShot(0, lambda: begin(window, without_file=path is None))
    try:
        return application.exec()
    finally:
        hub.remove()


def lend_letters(application: QCoreApplication) -> None:
    """Take the drawings' own face where the system has none: every letter would be a box."""
    from PySide6.QtGui import QFontMetrics
    from PySide6.QtWidgets import QApplication

    if isinstance(application, QApplication) and not QFontMetrics(application.font()).inFont("A"):
        from app.sheetview.pen import face

        font = application.font()
        font.setFamilies([face()])
        application.setFont(font)


def _document(source: BriefSource, path: Path | None, settings: Settings) -> Document | None:
    """The brief to open, None when another window has it and the maker leaves it there."""
    from app.dialogs.guard import ask_other_window
    from app.document import Document
    from app.document.rescue import open_elsewhere

    answer = ask_other_window(None, path.name) if path is not None and open_elsewhere(settings.kept, path) else ""
    if answer == "cancel":
        return None
    document = Document(source, None if answer == "copy" else path)
    if answer == "copy":
        document.mark_unsaved()
    document.only_look = answer == "look"
    return document


def _without_screen(source: BriefSource, path: Path | None) -> int:
    from app.cli.common import say, stand_of
    from app.cli.packet import write_packet

    folder = Path(f"{path.stem if path else 'bench-lathe'}-packet")
    say(f"there is no screen to open a window on; writing the packet to {folder} instead.")
    for written in write_packet(stand_of(source), folder, force=False):
        print(written)
    return 0
