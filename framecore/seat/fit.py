"""The chance that the machine drops on: its holes and the stand's with their errors, tried many times.

A trial draws where the machine's holes really are and where the stand's landed, and asks whether some shift and
turn of the machine puts every bolt inside its clearance hole: the worst bolt at most (H - F)/2 from the middle of
its hole. Play of the bolts in the machine's own feet is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.seat._minimax import Holes, drop_on

Array = NDArray[np.float64]
Point = tuple[float, float]

# Of a normal spread, nineteen of twenty lie within this many standard deviations either way.
NINETEEN_OF_TWENTY = 1.959964
TRIALS = 10_000  # the interval of any chance is then at most 1 % either way ...
WITHIN = 0.01  # ... and fewer do where it is as narrow earlier
_PILOT = 2000
_SEED = 20_240_229
_ROW = 5.0  # holes this near in x (or y), mm, are marked off together


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """How far the stand's holes land from where they should, by the way they are made.

    Attributes
    ----------
    each : nineteen of twenty holes land within this of their mark, along x and along y, mm
    chain : the same for every step from one row or column of holes to the next, mm
    scale : the same for the length of the paper, of its length; along and across the sheet apart
    shrink : least and most pull of one weld on a bearer, mm
    follows : the machine's own holes guide the drill, so that their errors do not count
    source : where the values come from
    """

    each: float
    source: str
    chain: float = 0.0
    scale: float = 0.0
    shrink: tuple[float, float] = (0.0, 0.0)
    follows: bool = False


METHODS: dict[str, Method] = {
    "measure and drill": Method(
        each=0.5, chain=0.3, source="common practice, assumed: scribed, punched, piloted; each pitch by rule from the last row"
    ),
    "punch through the template": Method(
        each=0.35, scale=0.001,
        source="common practice, assumed: punched through paper and drilled; paper within 1 mm in a metre by its scale bar",
    ),
    "drill through the machine": Method(
        each=0.2, follows=True, source="common practice, assumed: only the drill's wander in the machine's own holes"
    ),
    "weld bearers last": Method(
        each=0.2, shrink=(0.15, 0.8), follows=True,
        source="drilling as through the machine, assumed; 0.15 mm by the weld's area (Blodgett) to 0.8 mm a fillet (TWI)",
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A slot in the stand: ``length`` between its end centres, mm, along the unit vector ``along``."""

    length: float
    along: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How many of ``trials`` went on; ``low`` to ``high`` holds the true chance nineteen times of twenty (Wilson)."""

    fits: int
    trials: int
    value: float
    low: float
    high: float


def wilson(fits: int, trials: int) -> tuple[float, float]:
    """Return the interval that holds the true chance nineteen times of twenty.

    Source: Wilson, E. B., J. Am. Statist. Assoc. 22 (1927), 209-212, from memory.
    """
    z2 = NINETEEN_OF_TWENTY**2
    share = fits / trials
    middle = (share + z2 / (2 * trials)) / (1 + z2 / trials)
    half = math.sqrt(share * (1 - share) / trials + z2 / (4 * trials**2)) / (1 + z2 / trials) * NINETEEN_OF_TWENTY
    return (middle - half if fits else 0.0), (middle + half if fits < trials else 1.0)


def allowed(hole: float, bolt: float) -> float:
    """Return how far a bolt of diameter ``bolt`` may stand from the middle of its hole, mm: (H - F)/2."""
    return (hole - bolt) / 2


def drop_on_chances(
    holes: tuple[Point, ...],
    allow: tuple[float, ...],
    method: str,
    *,
    each: float | None = None,
    pattern_error: float = 0.3,
    carriers: tuple[int, ...] = (),
    slots: tuple[Slot | None, ...] = (),
    within: float = WITHIN,
) -> tuple[Chance, ...]:
    """Return the chance that the machine drops on, for each allowed distance; kept for the same question again.

    Parameters
    ----------
    holes : nominal places, mm
    allow : (H - F)/2 of each clearance hole asked about, mm
    method : key of ``METHODS``
    each : instead of the method's own, mm
    pattern_error : nineteen of twenty of the machine's holes lie within this along x and along y, mm
    carriers : which bearer each hole is in; empty: holes in one column share a bearer
    slots : of each hole of the stand, None where it is round; empty: all round
    within : half the width of the interval that is good enough; at least 2000 trials, at most ``TRIALS``

    Raises
    ------
    KeyError
        No such method.
    """
    own = METHODS[method].each if each is None else each
    return _chances(holes, allow, method, own, pattern_error, carriers, slots, within)


@lru_cache(maxsize=256)
def _chances(
    holes: tuple[Point, ...], allow: tuple[float, ...], method: str, each: float, pattern_error: float,
    carriers: tuple[int, ...], slots: tuple[Slot | None, ...], within: float,
) -> tuple[Chance, ...]:  # fmt: skip
    if len(holes) < 2:  # one bolt finds its hole wherever it is
        return tuple(Chance(fits=1, trials=1, value=1.0, low=1.0, high=1.0) for _ in allow)
    task = _holes(holes, slots)
    machine, stand = errors(holes, method, each=each, pattern_error=pattern_error, carriers=carriers)
    fits, tried, goal = np.zeros(len(allow), dtype=int), 0, _PILOT
    while True:
        part = slice(tried, goal)
        worst = drop_on(machine[part], stand[part], task, targets=allow).upper
        fits += (worst[:, None] <= np.array(allow)).sum(axis=0)
        tried = min(goal, len(machine))
        found = tuple(_chance(int(k), tried) for k in fits)
        goal = max(_needed(c.value, within) for c in found)
        if tried == len(machine) or all(c.high - c.low <= 2 * within for c in found):
            return found
        goal = max(goal, tried + 100)


def _needed(chance: float, within: float) -> int:
    """Return how many trials make the interval of about this chance ``within`` either way."""
    return math.ceil(1.03 * chance * (1 - chance) * (NINETEEN_OF_TWENTY / within) ** 2)


def _chance(fits: int, trials: int) -> Chance:
    low, high = wilson(fits, trials)
    return Chance(fits=fits, trials=trials, value=fits / trials, low=low, high=high)


def _holes(holes: tuple[Point, ...], slots: tuple[Slot | None, ...]) -> Holes:
    places = np.array(holes, dtype=np.float64)
    if not any(slots):
        return Holes(places)
    half = np.array([s.length / 2 if s else 0.0 for s in slots])
    return Holes(places, half, np.array([s.along if s else (1.0, 0.0) for s in slots]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Draws:
    """Unit errors of every trial: the same for every method and size, so that answers move only as the task does."""

    machine: Array
    stand: Array
    columns: Array
    rows: Array
    paper: Array
    welds: Array


@lru_cache(maxsize=4)
def _draws(count: int) -> _Draws:
    trials = max(TRIALS // max(count // 12, 1), 2000)
    rng = np.random.default_rng(_SEED)
    return _Draws(
        machine=rng.standard_normal((trials, count, 2)), stand=rng.standard_normal((trials, count, 2)),
        columns=rng.standard_normal((trials, count)), rows=rng.standard_normal((trials, count)),
        paper=rng.standard_normal((trials, 2)), welds=rng.random((trials, count, 6)),
    )  # fmt: skip


def errors(
    holes: Sequence[Point], method: str, *, each: float, pattern_error: float, carriers: Sequence[int] = ()
) -> tuple[Array, Array]:
    """Return where the machine's holes and the stand's lie off ``holes``, (N, n, 2) each, mm; always the same draws."""
    how, places, unit = METHODS[method], np.array(holes, dtype=np.float64), _draws(len(holes))
    machine = unit.machine * (0.0 if how.follows else pattern_error / NINETEEN_OF_TWENTY)
    stand = unit.stand * (each / NINETEEN_OF_TWENTY)
    if how.chain:
        for axis, steps in ((0, unit.columns), (1, unit.rows)):
            row = np.array(_rows(places[:, axis]))
            walk = np.cumsum(steps, axis=1) - steps[:, :1]  # the first row is the datum
            stand[:, :, axis] += walk[:, row] * (how.chain / NINETEEN_OF_TWENTY)
    if how.scale:
        stand += unit.paper[:, None, :] * (places - places.mean(axis=0)) * (how.scale / NINETEEN_OF_TWENTY)
    if how.shrink[1]:
        stand += _shrinkage(places, tuple(carriers) or _rows(places[:, 0]), unit.welds, how.shrink)
    return machine, stand


def _rows(at: Array) -> tuple[int, ...]:
    """Number the rows that places along one axis fall into, from the least on."""
    order = np.argsort(at, kind="stable")
    number = np.zeros(len(at), dtype=int)
    number[order] = np.cumsum(np.diff(at[order], prepend=at[order[0]]) > _ROW)
    return tuple(number.tolist())


def _shrinkage(places: Array, carriers: Sequence[int], draws: Array, shrink: tuple[float, float]) -> Array:
    """Return how welds pull the holes with their bearers, (N, n, 2).

    The welds at a bearer's two ends pull against each other along it; those on its two sides pull each end
    sideways. Between its outermost holes a bearer turns as a straight line.
    """
    low, high = shrink
    pull = low + (high - low) * draws
    out = np.zeros((*draws.shape[:2], 2))
    for k, name in enumerate(sorted(set(carriers))):
        own = np.flatnonzero(np.array(carriers) == name)
        y = places[own, 1]
        part = (y - y.min()) / np.ptp(y) if np.ptp(y) > 0 else np.full(len(own), 0.5)
        front, back = (pull[:, k, 0] - pull[:, k, 1]) / 2, (pull[:, k, 2] - pull[:, k, 3]) / 2
        out[:, own, 0] = front[:, None] * (1 - part) + back[:, None] * part
        out[:, own, 1] = ((pull[:, k, 4] - pull[:, k, 5]) / 2)[:, None]
    return out
