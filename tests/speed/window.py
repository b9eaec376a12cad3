"""The whole window: frames a second while the slider is dragged, and the time to a usable window."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

SAMPLE = Path(__file__).parents[2] / "samples" / "bench-lathe.toml"
FRAMES = 120
# The toolkit's binding looks through every module that comes after it: it comes last, as in the program.
# What else a start loads comes with these or is its own; tests/app/test_start.py compares the two.
BARE = "import numpy, scipy.linalg, scipy.sparse.csgraph, manifold3d, tomllib, PySide6.QtWidgets, PySide6.QtOpenGL"


def drag(way: str) -> tuple[float, float, str]:
    """Run a drag in a process of its own; frames a second, the longest frame in ms, the canvas."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.speed.window", "drag"], env=os.environ | {"STANDWRIGHT_VIEW": way},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    rate, longest, canvas = done.stdout.strip().splitlines()[-1].split()
    return float(rate), float(longest), canvas


def _drag_here() -> None:
    from PySide6.QtWidgets import QApplication

    from app.document import Document, Settings
    from app.live.memory import settle
    from app.window import MainWindow
    from framecore.brief import load_source

    application = QApplication([])
    window = MainWindow(Document(load_source(SAMPLE), None), Settings())
    window.resize(1400, 900)
    window.show()
    for _ in range(80):  # a second and a half: what is filled after the first picture is there before a hand is at the slider
        application.processEvents()
        time.sleep(0.02)
    settle()
    times = []
    for k in range(FRAMES):
        begun = time.perf_counter()
        window.slider.moved.emit(760.0 + (k % 60), 7)
        window.live.flush()
        application.processEvents()
        times.append(time.perf_counter() - begun)
    print(f"{1 / statistics.mean(times):.1f} {max(times) * 1e3:.1f} {type(window.view._canvas).__name__}", flush=True)
    os._exit(0)


def start() -> tuple[float, float]:
    """Seconds to a painted window with a stand, and of the bare imports of the toolkits it needs; medians of 5."""
    code = (
        "import sys, os; sys.argv=['standwright']\n"
        "from app.cli.window import load_core, sample_source\nload_core()\nfrom PySide6.QtWidgets import QApplication\n"
        "from app.document import Document, Settings\nfrom app.live.memory import settle\n"
        "from app.window import MainWindow\n"
        "from app.live.afterwards import Afterwards\n"
        "a = QApplication([]); w = MainWindow(Document(sample_source(), None), Settings()); w.show(); settle()\n"
        "seen = []; Afterwards(w, (seen.append(True) for _ in range(1)))\n"
        "while not seen: a.processEvents()\n"
        "assert w.live.stand is not None; os._exit(0)"
    )
    return _timed(code), _timed(BARE)


def _timed(code: str) -> float:
    # An installed program has its bytecode, whatever the shell that runs this says; the first start writes it.
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    seconds = []
    for _ in range(6):
        begun = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env=env)
        seconds.append(time.perf_counter() - begun)
    return statistics.median(seconds[1:])


def table() -> list[tuple[str, str, str]]:
    """Rows: what, measured, aim."""
    rows = []
    for way, aim in (("software", "50 a second, no stall over 50 ms"), ("painted", "25 a second")):
        rate, longest, canvas = drag(way)
        rows.append((f"slider drag, whole window 1400x900, {canvas}", f"{rate:.0f} a second, longest {longest:.0f} ms", aim))
    ours, bare = start()
    rows.append(("start to a usable window", f"{ours:.2f} s = {ours / bare:.2f} x bare imports ({bare:.2f} s)", "1.3 x"))
    return rows


if __name__ == "__main__" and sys.argv[1:] == ["drag"]:
    _drag_here()
