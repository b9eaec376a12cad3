"""What is drawn beside the parts' own meshes: rims of drilled holes, studs of feet, stems of casters. No toolkit."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.frame.model import Vector
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
_SIDES = 8
STEM = 12.0  # thread of a caster's stem, mm
_TURN = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
_CIRCLE = np.column_stack([np.cos(_TURN), np.sin(_TURN), np.zeros(_SIDES)])
# Triangles round a stud: its lower ring is numbered first, then the upper one.
_AROUND = np.array(
    [t for k in range(_SIDES) for n in [(k + 1) % _SIDES] for t in ((k, n, n + _SIDES), (k, n + _SIDES, k + _SIDES))]
)


def _part_numbers(stand: Stand) -> dict[str, int]:
    return {name: k for k, name in enumerate(stand.solids.layout.parts)}


def rims(stand: Stand) -> tuple[Floats, Ints]:
    """(r, 16, 3): rims of holes and slots on the face the drill enters, lifted a hair so that they show; their parts.

    They turn counter-clockwise seen from where the drill comes. Holes that are drilled from below are left out.
    """
    turn = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    holes = [h for h in stand.frame.holes if h.axis[2] < 0.5]
    number = _part_numbers(stand)
    if not holes:
        return np.zeros((0, 16, 3)), np.zeros(0, np.int32)
    way = -np.array([h.axis for h in holes])
    # Along the slot, or along anything square to the drill.
    level = np.where(np.abs(way[:, 2:]) > 0.9, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    slot = np.array([h.slot for h in holes])[:, None]
    first = np.where(slot > 0, np.array([h.slot_axis for h in holes]), level)
    first = first - (first * way).sum(1, keepdims=True) * way
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    second = np.cross(way, first)
    radius = np.array([h.diameter for h in holes])[:, None] / 2
    over = radius * np.cos(turn) + slot / 2 * np.sign(np.round(np.cos(turn), 6))
    up = radius * np.sin(turn)
    centre = np.array([h.centre for h in holes]) + 0.6 * way
    found = centre[:, None] + over[:, :, None] * first[:, None] + up[:, :, None] * second[:, None]
    return found, np.array([number[h.owner] for h in holes], np.int32)


def studs(stand: Stand) -> tuple[Floats, Ints]:
    """(s, t, 3, 3): triangles, without ends, of the studs of feet and the stems of casters; (s,) whose they are."""
    frame, number = stand.frame, _part_numbers(stand)
    rods = [
        (thread(f.thread).diameter / 2, (f.base[0], f.base[1], f.base[2] + f.base_height), f.top, number[f.name])
        for f in frame.feet
    ]
    rods += [(STEM / 2, low, high, number[name]) for name, low, high in _stems(stand)]
    radius = np.array([r for r, *_ in rods]).reshape(-1, 1, 1)
    low, high = (np.array([rod[k] for rod in rods]).reshape(-1, 1, 3) for k in (1, 2))
    ends = np.concatenate([low + radius * _CIRCLE, high + radius * _CIRCLE], axis=1)
    return ends[:, _AROUND], np.array([rod[3] for rod in rods], np.int32)


def _stems(stand: Stand) -> Iterator[tuple[str, Vector, Vector]]:
    """Yield each caster that hangs under a level bracket, with the ends of its stem: wheel and bracket."""
    under = {h.purpose: h for h in stand.frame.holes if h.purpose.startswith("caster") and h.axis[2] < -0.5}
    for c in stand.frame.casters:
        hole = under.get(c.name)
        if hole is not None:
            x, y, z = hole.centre
            yield c.name, (x, y, c.lift + c.wheel), (x, y, z - hole.depth)
