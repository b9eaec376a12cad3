"""What is drawn beside the parts' own meshes: rims of drilled holes and the studs of the feet. No toolkit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
_SIDES = 8


def _part_numbers(stand: Stand) -> dict[str, int]:
    return {name: k for k, name in enumerate(stand.solids.layout.parts)}


def rims(stand: Stand) -> tuple[Floats, Ints]:
    """(r, 16, 3): circles of the holes that are drilled from above, lifted a hair so that they show; their parts."""
    turn = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    circle = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(16)])
    holes = [h for h in stand.frame.holes if h.axis[2] < -0.5]
    found = [np.array(h.centre) + h.diameter / 2 * circle + (0, 0, 0.6) for h in holes]
    number = _part_numbers(stand)
    return np.array(found).reshape(-1, 16, 3), np.array([number[h.owner] for h in holes], np.int32)


def studs(stand: Stand) -> tuple[Floats, Ints]:
    """(s, t, 3, 3): triangles of the studs between foot and pad, without ends; (s,) the feet they belong to."""
    turn = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
    circle = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(_SIDES)])
    number, found = _part_numbers(stand), []
    for foot in stand.frame.feet:
        ring = thread(foot.thread).diameter / 2 * circle
        low = ring + foot.base + (0, 0, foot.base_height)
        high = ring + foot.top
        low1, high1 = np.roll(low, -1, 0), np.roll(high, -1, 0)
        found.append(np.concatenate([np.stack([low, low1, high1], 1), np.stack([low, high1, high], 1)]))
    return np.array(found).reshape(-1, 2 * _SIDES, 3, 3), np.array([number[f.name] for f in stand.frame.feet], np.int32)
