"""A program that is killed while it works: the file is whole, and the kept work is at most five seconds old.

Eight kills by default; ``STANDWRIGHT_KILLS=200 pytest -s tests/app/test_kill.py`` for the long run (some six minutes).
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

from app.document.rescue import leftovers
from framecore.brief import load_source
from tests.app.kill_child import KEY

KILLS = int(os.environ.get("STANDWRIGHT_KILLS", "8"))
SEED = 20260
OLDEST_S = 5.0
ROOT = Path(__file__).parents[2]


@dataclass
class Death:
    """What one killed program left behind."""

    number: int
    edits: dict[int, float]
    begun: list[int]
    saved: list[int]
    failed: bool
    killed: float
    folder: Path

    @property
    def file(self) -> Path:
        return self.folder / "stand.toml"


def live_and_die(number: int, folder: Path, text: str) -> Death:
    """Run the program on a brief of its own and kill it at an instant drawn from the seed."""
    folder.mkdir()
    file, log = folder / "stand.toml", folder / "log"
    file.write_text(text, encoding="utf-8")
    words = [sys.executable, "-m", "tests.app.kill_child", str(file), str(folder / "kept"), str(log), str(number)]
    child = subprocess.Popen(words, cwd=ROOT, stderr=subprocess.PIPE)
    deadline = time.monotonic() + 60
    while not (log.exists() and log.stat().st_size) and child.poll() is None and time.monotonic() < deadline:
        time.sleep(0.02)
    chance = random.Random(SEED + number)
    time.sleep(chance.uniform(0.0, 8.0))
    if number % 2:
        # Every other one in the middle of a saving, which chance alone would seldom hit.
        begun = log.read_text().count("begin")
        limit = time.monotonic() + 10
        while log.read_text().count("begin") == begun and time.monotonic() < limit:
            time.sleep(0.0005)
        time.sleep(chance.uniform(0.0, 0.02))
    killed = time.monotonic()
    child.send_signal(signal.SIGKILL)
    _out, said = child.communicate()
    assert child.returncode == -signal.SIGKILL, said.decode()
    edits: dict[int, float] = {}
    begun, saved, failed = [], [], False
    for line in log.read_text().splitlines():
        word, n, at = line.split()
        if word == "edit":
            edits[int(n)] = float(at)
        else:
            {"begin": begun, "saved": saved}.get(word, []).append(int(n))
            failed |= word == "FAILED"
    return Death(number, edits, begun, saved, failed, killed, folder)


@pytest.mark.timeout(3600)
@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_nothing_is_lost_when_the_program_is_killed(tmp_path, sample_file):
    before = load_source(sample_file)
    with ThreadPoolExecutor(4) as pool:
        deaths = list(
            pool.map(lambda n: live_and_die(n, tmp_path / f"death-{n}", before.text()), range(KILLS))
        )
    oldest, in_saving, offered, unfinished = 0.0, 0, 0, 0
    for death in deaths:
        whole = {before.text().encode(): 0}
        possible = death.saved[-1:] + ([death.begun[-1]] if death.begun[len(death.saved):] else [])
        whole |= {before.with_value(KEY, n).text().encode(): n for n in possible}
        if death.saved:
            del whole[before.text().encode()]
        content = death.file.read_bytes()
        assert content in whole, f"death {death.number}: torn or of another time:\n{content.decode(errors='replace')}"
        in_file = whole[content]
        in_saving += len(death.begun) > len(death.saved)
        unfinished += len(list(death.folder.glob(".*.part")))
        assert not death.failed
        found = leftovers(death.folder / "kept")
        assert len(found) <= 1
        in_kept = 0
        for left in found:
            assert left.kept.path == death.file
            in_kept = int(left.kept.source().value(KEY))
            offered += 1
            left.discard()
        held = max(in_file, in_kept)
        lost = [at for n, at in death.edits.items() if n > held]
        age = death.killed - min(lost) if lost else 0.0
        assert age <= OLDEST_S, f"death {death.number}: edits {age:.2f} s old were in no file and not kept"
        oldest = max(oldest, age)
        assert not list((death.folder / "kept").iterdir())
    print(
        f"\n{len(deaths)} programs killed: 0 torn files, {in_saving} died while saving, {unfinished} unfinished files beside, "
        f"{offered} offered kept work, oldest edit lost {oldest:.2f} s"
    )
