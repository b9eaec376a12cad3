"""Searches better stands in the process beside the window; see ``serve``."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.beside.cores import give_way
from framecore.brief.model import Brief
from framecore.search import Progress, Space, search

PAUSE = 0.25  # s between two words of how far it is: the window draws all that was found anew


@dataclass(frozen=True, slots=True)
class SearchAsked:
    """A brief, what may vary, how many stands are looked at and by how many processes, what for; ``whole`` every stand."""

    brief: Brief
    space: Space
    budget: int
    workers: int
    aims: tuple[str, ...]
    whole: bool = False


def find_stands(asked: SearchAsked, say: Callable[[Any], None], stop: Callable[[], bool]) -> None:
    """Say ``Progress`` from time to time, then ``Found``."""
    give_way()
    last, stage = -math.inf, ""

    def tell(p: Progress) -> None:
        nonlocal last, stage
        now = time.monotonic()
        if p.stage != stage or now >= last + PAUSE:
            last, stage = now, p.stage
            say(p)

    found = search(
        asked.brief, asked.space, budget=asked.budget, whole=asked.whole, workers=asked.workers, aims=asked.aims,
        progress=tell, cancel=stop,
    )  # fmt: skip
    say(found)
