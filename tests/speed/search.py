"""Stands looked at a second; ``python -m tests.speed.search``.

In CPU time, so that other work on the machine counts little: of two processes the one that works longer, and of the one
that hands out the work. Families are known beforehand, as they are soon in a search; what that takes stands beside it.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy, as in framecore

import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from framecore.brief import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search import search, space_of
from framecore.search.desk import Desk
from framecore.search.workers import Crew

SAMPLES = Path(__file__).parents[2] / "samples"
NAMES = ("bench-lathe", "bench-lathe-trestle", "long-lathe-pedestals")
STANDS = 2048
AIM = "3000 a second on 2 cores"


def task(name: str) -> tuple:
    """Brief, space, and stands drawn from it."""
    brief = load_brief(SAMPLES / f"{name}.toml")
    space = space_of(brief, build_frame(brief, working_height(brief).height))
    rng = np.random.default_rng(7)
    options = [len(c.options) for c in space.choices]
    return brief, space, [tuple(int(k) for k in rng.integers(options)) for _ in range(STANDS)]


def line(name: str) -> tuple[str, str, str]:
    brief, space, places = task(name)
    desk = Desk(brief, space, hours=False)
    begun = time.process_time()
    desk.look(places)
    first = time.process_time() - begun
    one = []
    for _ in range(3):
        begun = time.process_time()
        desk.look(places)
        one.append(time.process_time() - begun)
    two = []
    with Crew(brief, space, 2, hours=False) as crew:
        look(crew, places)
        for _ in range(3):
            begun, own = clocks(crew), time.process_time()
            look(crew, places)
            own = time.process_time() - own
            two.append(own + max(b - a for a, b in zip(begun, clocks(crew), strict=True)))
    known = first - min(one)
    measured = f"{STANDS / min(two):.0f} a second; 1 process {STANDS / min(one):.0f}, families {known:.1f} s"
    return f"search, {name}, {STANDS} stands", measured, AIM


def clocks(crew: Crew) -> list[float]:
    """CPU time of each process so far, s: the clock of a process other than this one, as Linux numbers them."""
    return [time.clock_gettime((~seat._process.pid << 3) | 2) for seat in crew._seats]


def look(crew: Crew, places: list) -> None:
    for _ in crew.look(places):
        pass


def whole() -> tuple[str, str, str]:
    """A search as the command line does it."""
    brief, space, _ = task(NAMES[0])
    begun = time.perf_counter()
    found = search(brief, space, budget=1000, workers=2)
    spent = time.perf_counter() - begun
    what = f"search, {NAMES[0]}, 1000 looked at, 2 processes"
    return what, f"{spent:.1f} s by the clock, {found.checked} checked in full", "no line asked"


def table() -> Iterator[tuple[str, str, str]]:
    """Lines of the speed table."""
    yield from map(line, NAMES)
    yield whole()


if __name__ == "__main__":
    for row in table():
        print("  ".join(row), flush=True)
