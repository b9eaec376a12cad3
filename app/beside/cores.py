"""How many processors there are to work with, and how to leave the hand its share of them."""

from __future__ import annotations

import os

_BEHIND = 5  # steps of niceness behind the window
_FEW = 300  # stands that are not worth the start of more processes


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def hands(stands: int) -> int:
    """Return how many processes are worth their start for so many stands."""
    return 1 if stands <= _FEW else cores()


def give_way() -> None:
    """Let the window go first, where the system knows such a thing; processes started from here do so too."""
    if hasattr(os, "nice"):
        os.nice(max(0, _BEHIND - os.nice(0)))
