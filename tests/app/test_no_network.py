"""The program opens no socket: not when it is loaded, not while it runs."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

WATCHED = """
import socket, sys
seen = []
def hook(event, args):
    if event.startswith("socket.") and event != "socket.__new__" or event in ("urllib.Request", "ftplib.connect"):
        seen.append((event, args))
    elif event == "socket.__new__" and args[1] not in (-1, getattr(socket, "AF_UNIX", -2)):
        seen.append((event, args))
sys.addaudithook(hook)
"""


def quiet(words, tmp_path, **more):
    """Run a program that watches every socket; return what it saw."""
    surroundings = {**os.environ, **{f"XDG_{k}_HOME": str(tmp_path / k) for k in ("DATA", "STATE", "CONFIG")}, **more}
    done = subprocess.run(
        [sys.executable, "-c", WATCHED + words + "\nprint('seen', seen)"], capture_output=True, text=True, env=surroundings,
        cwd=Path(__file__).parents[2], check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout.splitlines()[-1]


def test_importing_everything_opens_no_socket(tmp_path):
    words = """
import importlib, pkgutil, app, framecore
for package in (app, framecore):
    for found in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        if not found.name.endswith("__main__"):
            importlib.import_module(found.name)
assert "PySide6.QtNetwork" not in sys.modules, "the toolkit's network part is loaded"
"""
    assert quiet(words, tmp_path) == "seen []"


def test_running_opens_no_socket(qapp, tmp_path, sample_file):
    words = f"""
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app.window.help_menu import show_page
import os
os.environ["STANDWRIGHT_VIEW"] = "painted"
def go():
    (window,) = [w for w in QApplication.topLevelWidgets() if type(w).__name__ == "MainWindow"]
    window.document.edit("machine.mass", 150)
    window.show_sheets(); show_page(window, "validation.md"); show_page(window, "levelling.md"); window.level_machine()
    window.show_modes(True)
    QTimer.singleShot(1500, lambda: (window.document.history.undo(), QApplication.exit(0)))
from app.cli.main import run
import app.live.memory as memory
held = memory.settle
memory.settle = lambda: (held(), QTimer.singleShot(0, go))[0]
assert run([{str(sample_file)!r}]) == 0
assert run(["packet", {str(sample_file)!r}, "-o", {str(tmp_path / "packet")!r}]) == 0
"""
    assert quiet(words, tmp_path) == "seen []"
