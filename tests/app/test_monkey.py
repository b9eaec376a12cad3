"""A monkey at the window: no fault, no stall, nothing left behind, whatever is clicked, dragged and typed.

Some twenty seconds here. ``STANDWRIGHT_MONKEY=3600 pytest -s tests/app/test_monkey.py`` lets it play for an hour, and
``STANDWRIGHT_MONKEY_SEED=7`` makes it another monkey; what it met is printed.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from statistics import median

import pytest
import shiboken6
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QWindow
from PySide6.QtWidgets import QApplication

from tests.app.conftest import HAS_SCREEN
from tests.app.strokes import clicked, struck, usable

SECONDS = float(os.environ.get("STANDWRIGHT_MONKEY", "20"))
SEED = int(os.environ.get("STANDWRIGHT_MONKEY_SEED", "20261"))
# Seconds that load the toolkits and fill the caches; memory is compared from then on.
WARM_S = 600
GROWTH_KB_A_MINUTE = 1_000
LUMPS_KB = 100_000  # what is loaded once, whenever it is first asked for

pytestmark = [pytest.mark.gui, pytest.mark.skipif(not (HAS_SCREEN or os.environ.get("QT_QPA_PLATFORM")), reason="no screen")]


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")
@pytest.mark.timeout(SECONDS + 300)
def test_a_monkey_finds_nothing(tmp_path):
    surroundings = {**os.environ, **{f"XDG_{k}_HOME": str(tmp_path / k) for k in ("DATA", "STATE", "CONFIG")}}
    words = [sys.executable, "-X", "faulthandler", "-m", "tests.app.monkey", str(SEED), str(SECONDS), str(tmp_path / "scratch")]
    done = subprocess.run(
        words, capture_output=True, text=True, env=surroundings, cwd=Path(__file__).parents[2], check=False
    )
    assert done.returncode == 0, done.stderr[-4000:]
    met = json.loads(done.stdout.splitlines()[-1])
    print(f"\n{met['steps']} strokes, seed {SEED}: {met['did']}; the longest took {met['longest']}; {met['samples'][-1]}")
    assert not met["faults"], f"{len(met['faults'])} faults, the first:\n{met['faults'][0]}"
    assert not met["stalls"], f"{len(met['stalls'])} stalls, the first:\n{met['stalls'][0]}"
    assert not met["left"], met["left"]
    assert met["steps"] > SECONDS and len(met["did"]) > 5, "it did next to nothing"  # a busy machine plays little in 20 s
    first, last = met["samples"][0], met["samples"][-1]
    assert last["widgets"] <= first["widgets"] + 20, "windows stay"
    assert last["threads"] <= first["threads"] + 3 and last["files"] <= first["files"] + 3
    print(f"memory, kB: {[(s['s'], s['kb']) for s in met['samples']]}")
    if last["s"] >= 1200:  # a slope of fewer minutes is that of what is loaded
        warm = [(s["s"], s["kb"]) for s in met["samples"] if s["s"] >= WARM_S]
        slope = growth(warm)
        assert slope < GROWTH_KB_A_MINUTE, f"{slope:.0f} kB a minute: {met['grown']}"
        assert warm[-1][1] - warm[0][1] < LUMPS_KB, met["grown"]


def growth(samples: list[tuple[float, float]]) -> float:
    """Growth in a minute of (second, amount): the median slope between those up to ten minutes apart; no single lump counts."""
    return median(60 * (b - a) / (t - s) for (s, a), (t, b) in combinations(samples, 2) if t - s <= 600)


@pytest.mark.parametrize(("leak", "told"), [(0.0, False), (800.0, False), (1_300.0, True), (14_000.0, True)])
def test_a_leak_is_told_from_what_is_loaded_once(leak, told):
    """Kilobytes a minute, in fifty rounds that differ by as much as 10 MB, with 60 MB loaded in the middle."""
    chance = random.Random(5)
    samples = [(k * 60.0, 4e5 + leak * k + 6e4 * (k > 25) + chance.uniform(0, 1e4)) for k in range(50)]
    assert (growth(samples) > GROWTH_KB_A_MINUTE) is told


def test_the_monkey_tells_a_fault_a_stall_and_what_is_left(tmp_path):
    """The monkey itself can fail: with a fault, a stall and a forgotten window put in, it names all three."""
    program = f"""
import sys, time
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
from app.view3d.view import StandView
from tests.app.monkey import Monkey
forgotten = []
def wheel(self, event):
    until = time.process_time() + 1.2
    while time.process_time() < until:
        pass
    if not forgotten:
        forgotten.append(QWidget())
        forgotten[0].show()
    QTimer.singleShot(0, lambda: dict()["put in"])
StandView.wheelEvent = wheel
class Quick(Monkey):
    def _act(self):
        self._wheel(self.window) if self.window else self._open()
    def _spot(self, top):
        return self.window.view.mapTo(self.window, self.window.view.rect().center()), "view"
application = QApplication([])
quick = Quick(1, 12, Path({str(tmp_path / "scratch")!r}))
quick.round_s = 12
quick.watch.stall_s = 0.3
met = quick.run()
assert any("put in" in f for f in met["faults"]), met
assert any("wheel" in s for s in met["stalls"]), met
assert any("visible QWidget" in s for s in met["left"]), met
"""
    surroundings = {**os.environ, **{f"XDG_{k}_HOME": str(tmp_path / k) for k in ("DATA", "STATE", "CONFIG")}}
    done = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", program], capture_output=True, text=True, env=surroundings,
        cwd=Path(__file__).parents[2], check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]


STROKES = {
    "key": lambda at: struck(at, Qt.Key.Key_A),
    "double click": lambda at: clicked(at, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(2, 2), times=2),
}


@pytest.mark.parametrize("stroke", STROKES.values(), ids=STROKES)
def test_a_stroke_may_end_the_window_it_falls_on(qtbot, stroke):
    """``QTest.keyClick`` and ``mouseDClick`` end the program here."""

    class Ends(QObject):
        def eventFilter(self, at, event):
            if at is window and event.type() in (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress):
                shiboken6.delete(window)
                ended.append(True)
                return True
            return False

    ended, window, ends = [], QWindow(), Ends()
    window.show()
    window.requestActivate()
    qtbot.waitUntil(window.isExposed)
    QApplication.instance().installEventFilter(ends)
    try:
        stroke(window)
    finally:
        QApplication.instance().removeEventFilter(ends)
    assert ended == [True] and not usable(window)
