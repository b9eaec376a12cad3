"""Slots that let a pattern fit: which way they run, and how long they must be.

Hole 1 stays round and places the machine; the others are slotted along it, across it, or towards hole 1. The ways
are called as the brief calls them, so that what is advised can be set.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from framecore.frame.slotted import ACROSS, ALONG, TOWARDS
from framecore.seat._minimax import Holes, drop_on
from framecore.seat.fit import WITHIN, Point, Slot, drop_on_chances

# Between end centres, mm: what a file and a second drill hole make.
LENGTHS = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0)

_ROUGH = 0.025  # near a limit of 95 % still 1 %; far from it nobody asks


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotChoice:
    """Slots that suffice: ``way`` in words, ``length`` between end centres in mm, and the slot of every hole.

    ``chance``: that the machine drops on with them, where it was asked for.
    """

    way: str
    length: float
    slots: tuple[Slot | None, ...]
    chance: float = 1.0


def slot_ways(holes: tuple[Point, ...], length: float) -> tuple[tuple[str, tuple[Slot | None, ...]], ...]:
    """Return the ways to slot all holes but the first, as ``mounting.slot_way`` calls them."""
    x0, y0 = holes[0]
    ways: tuple[tuple[str, tuple[Point, ...]], ...] = (
        (ALONG, ((1.0, 0.0),) * len(holes)),
        (ACROSS, ((0.0, 1.0),) * len(holes)),
        (TOWARDS, tuple(_unit(x - x0, y - y0) for x, y in holes)),
    )
    return tuple((name, (None, *(Slot(length=length, along=v) for v in along[1:]))) for name, along in ways)


def _unit(x: float, y: float) -> Point:
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 0 else (1.0, 0.0)


def slots_that_fit(machine: tuple[Point, ...], stand: tuple[Point, ...], allow: float) -> SlotChoice | None:
    """Return the shortest slots in the stand that a machine with known holes drops on.

    Parameters
    ----------
    machine, stand : the holes in the same order, each in its own axes, mm; turned alike within a few degrees
    allow : (H - F)/2 of the clearance holes, mm; also half the play across a slot

    Returns
    -------
    SlotChoice | None
        Length 0 and no slots where round holes do; None where no way in ``LENGTHS`` does.
    """
    want, have = np.array(stand, dtype=np.float64), np.array(machine, dtype=np.float64)
    off = have - have.mean(axis=0) - (want - want.mean(axis=0))

    def fits(slots: tuple[Slot | None, ...]) -> bool:
        half = np.array([s.length / 2 if s else 0.0 for s in slots])
        holes = Holes(want, half, np.array([s.along if s else (1.0, 0.0) for s in slots]))
        return bool(drop_on(off[None], np.zeros_like(off)[None], holes, targets=(allow,)).upper[0] <= allow)

    round_holes: tuple[Slot | None, ...] = (None,) * len(stand)
    if len(stand) < 2 or fits(round_holes):
        return SlotChoice(way="", length=0.0, slots=round_holes)
    return _shortest(stand, fits)


def _shortest(holes: tuple[Point, ...], fits: Callable[[tuple[Slot | None, ...]], bool]) -> SlotChoice | None:
    """Return the shortest slots that do; a longer slot of one way does whatever a shorter one does."""
    best: SlotChoice | None = None
    top = len(LENGTHS) - 1
    for k in range(3):
        name = slot_ways(holes, 1.0)[k][0]
        low, high = 0, top
        if not fits(slot_ways(holes, LENGTHS[top])[k][1]):
            continue
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if fits(slot_ways(holes, LENGTHS[middle])[k][1]) else (middle + 1, high)
        best = SlotChoice(way=name, length=LENGTHS[low], slots=slot_ways(holes, LENGTHS[low])[k][1])
        top = low - 1  # another way is taken only if it is shorter
        if top < 0:
            break
    return best


@lru_cache(maxsize=64)
def slots_for_chance(
    holes: tuple[Point, ...],
    allow: float,
    method: str,
    *,
    limit: float,
    each: float | None = None,
    pattern_error: float = 0.3,
    carriers: tuple[int, ...] = (),
) -> SlotChoice | None:
    """Return the shortest slots that bring the chance of ``drop_on_chances`` to ``limit``, None where none does."""

    def chance(slots: tuple[Slot | None, ...], within: float) -> float:
        (found,) = drop_on_chances(
            holes, (allow,), method, each=each, pattern_error=pattern_error, carriers=carriers, slots=slots, within=within,
        )  # fmt: skip
        return found.value

    rough = _shortest(holes, lambda slots: chance(slots, _ROUGH) >= limit) if len(holes) > 1 else None
    if rough is None:
        return None
    # What is promised must come true with all trials: a near miss takes the next longer slots of that way.
    way = next(k for k, (name, _) in enumerate(slot_ways(holes, 1.0)) if name == rough.way)
    for length in (n for n in LENGTHS if n >= rough.length):
        slots = slot_ways(holes, length)[way][1]
        sure = chance(slots, WITHIN)
        if sure >= limit:
            return SlotChoice(way=rough.way, length=length, slots=slots, chance=sure)
    return None
