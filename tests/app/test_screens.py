"""Screens that lack something: no OpenGL, an OpenGL that is lost, no fonts. The window works on all of them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
import shiboken6
from PySide6.QtGui import QImage

from app.view3d.canvas import Canvas
from app.view3d.probe import way
from app.view3d.software import SoftwareCanvas
from tests.app.conftest import HAS_SCREEN

ROOT = Path(__file__).parents[2]
OPEN = """
import sys
from PySide6.QtCore import QTimer, qInstallMessageHandler
from PySide6.QtGui import QFontInfo, QFontMetrics
from PySide6.QtWidgets import QApplication
said = []
qInstallMessageHandler(lambda kind, about, text: said.append(text))
from app.cli.main import run
import app.live.memory as memory
held = memory.settle
def look():
    (window,) = [w for w in QApplication.topLevelWidgets() if type(w).__name__ == "MainWindow"]
    window.document.edit("machine.mass", 150)
    window.live.flush()
    window.document.history.undo()
    image = window.view.picture()
    colours = {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)}
    font = window.inputs.search.font()
    print("canvas", type(window.view._canvas).__name__, "colours", len(colours))
    print("letters", QFontMetrics(font).inFont("A"), QFontInfo(font).family())
    QApplication.exit(0)
memory.settle = lambda: (held(), QTimer.singleShot(600, look))[0]
code = run([sys.argv[1]])
print("said", [t for t in said if "propagateSizeHints" not in t])
sys.exit(code)
"""


def opened(tmp_path, file, **more):
    """Open the real window in a process of its own, look at it and close it."""
    surroundings = {**os.environ, **{f"XDG_{k}_HOME": str(tmp_path / k) for k in ("DATA", "STATE", "CONFIG")}, **more}
    surroundings.pop("STANDWRIGHT_VIEW", None)
    done = subprocess.run(
        [sys.executable, "-c", OPEN, str(file)], capture_output=True, text=True, env=surroundings, cwd=ROOT, check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return dict(line.split(" ", 1) for line in done.stdout.splitlines())


@pytest.mark.skipif(not HAS_SCREEN, reason="needs a screen")
@pytest.mark.parametrize(
    ("more", "canvas"),
    [({"QT_XCB_GL_INTEGRATION": "none"}, "Canvas"), ({"LIBGL_ALWAYS_SOFTWARE": "1"}, "SoftwareCanvas"),
     ({"QT_QPA_PLATFORM": "offscreen"}, "Canvas"), ({"LIBGL_DRIVERS_PATH": "/none", "__EGL_VENDOR_LIBRARY_DIRS": "/none"}, "")],
    ids=["none", "software", "offscreen", "no driver"],
)  # fmt: skip
def test_with_and_without_opengl(qapp, tmp_path, sample_file, more, canvas):
    told = opened(tmp_path, sample_file, **more)
    kind, _, colours = told["canvas"].partition(" colours ")
    assert int(colours) > 8, "the stand is to be seen"
    if canvas and not (canvas == "SoftwareCanvas" and way() == "painted"):
        assert kind == canvas
    if "none" not in more.values():
        assert told["said"] == "[]"


def test_a_system_without_fonts_gets_the_drawings_face(qapp, tmp_path, sample_file):
    (tmp_path / "empty").mkdir()
    conf = tmp_path / "fonts.conf"
    conf.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
        f"<dir>{tmp_path / 'empty'}</dir><cachedir>{tmp_path / 'cache'}</cachedir></fontconfig>"
    )
    bare = {"FONTCONFIG_FILE": str(conf), "FONTCONFIG_PATH": str(tmp_path / "empty")}
    told = opened(tmp_path, sample_file, **bare)
    assert told["letters"] == "True DejaVu Sans"
    done = subprocess.run(
        [sys.executable, "-m", "app", "packet", str(sample_file), "-o", str(tmp_path / "packet")],
        capture_output=True, text=True,
        env={**os.environ, **bare}, cwd=ROOT, check=False, timeout=120,
    )
    assert done.returncode == 0, done.stderr
    import pymupdf

    with pymupdf.open(tmp_path / "packet" / "sheets.pdf") as book:
        assert "bench lathe" in book[0].get_text().lower()
        assert {f[3].split("+")[-1] for f in book.get_page_fonts(0)} == {"DejaVuSans", "DejaVuSans-Bold"}


def colours(image: QImage) -> int:
    return len({image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)})


def test_a_context_that_is_lost_is_followed_by_a_painted_stand(qtbot, window):
    view = window.view
    if not isinstance(view._canvas, SoftwareCanvas):
        pytest.skip("this screen has no software OpenGL")
    shiboken6.delete(view._canvas._context)
    window.document.edit("frame.height", 900)
    window.live.flush()
    qtbot.waitUntil(lambda: type(view._canvas) is Canvas)
    assert colours(view.picture()) > 8


def test_a_card_that_fails_in_the_middle_is_followed_by_a_painted_stand(qtbot, window, monkeypatch):
    from app.view3d import card
    from app.view3d.gl import Renderer

    if way() == "painted":
        pytest.skip("this screen has no OpenGL")
    view = window.view
    canvas = card.card_canvas(view)
    canvas.failed.connect(view._paint_instead)
    view.layout().replaceWidget(view._canvas, canvas)
    old, view._canvas = view._canvas, canvas
    old.failed.disconnect()
    old.hide()
    old.deleteLater()
    canvas.show()
    view._show()
    qtbot.waitUntil(lambda: canvas._screen._renderer is not None)

    def lost(*_args, **_named):
        raise RuntimeError("the context is lost")

    monkeypatch.setattr(Renderer, "draw", lost)
    canvas._screen.update()
    qtbot.waitUntil(lambda: type(view._canvas) is Canvas)
    assert colours(view.picture()) > 8
