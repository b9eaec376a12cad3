"""Nothing is cut off and nothing lies over anything: the window and all dialogs, light and dark, at four scales.

Each scale needs a process of its own: the toolkit reads it once. The child walks every widget that is shown.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run(folder: Path, scale: str, **more: str) -> dict[str, list[str]]:
    env = {**os.environ, "QT_SCALE_FACTOR": scale, "QT_ENABLE_HIGHDPI_SCALING": "1", **more}
    done = subprocess.run(
        [sys.executable, "-m", "tests.app.fitting_child", str(folder)], cwd=ROOT, env=env, capture_output=True, text=True,
        check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize("scale", ["1", "1.25", "1.5", "2"])
def test_nothing_is_cut_off_at_any_scale(qapp, tmp_path, scale):
    told = run(tmp_path, scale)
    least = told.pop("least")[0]
    assert len(told) > 40  # both papers, three sizes, all dialogs
    assert {k: v for k, v in told.items() if v} == {}
    width, height = map(int, least.split("x"))
    # A laptop of 1366 x 768 at 125 %, less a task bar and the window's frame.
    assert width <= 1366 / 1.25 and height <= (768 - 40) / 1.25 - 40


def test_on_a_small_screen_dialogs_open_no_larger_than_it(qapp, tmp_path):
    told = run(tmp_path, "1", QT_QPA_PLATFORM="offscreen")  # its screen is 800 x 800
    assert [v for vs in told.values() for v in vs if "larger than the screen" in v] == []
