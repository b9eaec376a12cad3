"""Searches better stands in the process beside the window; see ``serve``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from framecore.brief.model import Brief
from framecore.search import Space, search


@dataclass(frozen=True, slots=True)
class SearchAsked:
    """A brief, what may vary, how many stands are looked at and by how many processes, what for."""

    brief: Brief
    space: Space
    budget: int
    workers: int
    aims: tuple[str, ...]


def find_stands(asked: SearchAsked, say: Callable[[Any], None], stop: Callable[[], bool]) -> None:
    """Say every ``Progress``, then ``Found``."""
    found = search(
        asked.brief, asked.space, budget=asked.budget, workers=asked.workers, aims=asked.aims, progress=say, cancel=stop
    )  # fmt: skip
    say(found)
