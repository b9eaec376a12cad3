"""What is drawn beside the parts' own meshes: rims of drilled holes and the studs of the feet. No toolkit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
_SIDES = 8
_TURN = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
_CIRCLE = np.column_stack([np.cos(_TURN), np.sin(_TURN), np.zeros(_SIDES)])
# Triangles round a stud: its lower ring is numbered first, then the upper one.
_AROUND = np.array(
    [t for k in range(_SIDES) for n in [(k + 1) % _SIDES] for t in ((k, n, n + _SIDES), (k, n + _SIDES, k + _SIDES))]
)


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
    feet, number = stand.frame.feet, _part_numbers(stand)
    radius = np.array([thread(f.thread).diameter / 2 for f in feet]).reshape(-1, 1, 1)
    low = np.array([(f.base[0], f.base[1], f.base[2] + f.base_height) for f in feet]).reshape(-1, 1, 3)
    high = np.array([f.top for f in feet]).reshape(-1, 1, 3)
    ends = np.concatenate([low + radius * _CIRCLE, high + radius * _CIRCLE], axis=1)
    return ends[:, _AROUND], np.array([number[f.name] for f in feet], np.int32)
