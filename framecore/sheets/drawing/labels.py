"""Marks beside a view, each with a leader: placed so that the leaders are as short as they can be together.

Places stand in a column on either side. Which mark goes where is an assignment problem, solved exactly; and leaders that
are shortest in sum never cross, for two that cross would be shorter if they changed places. A leader that would run along a
line of the drawing is priced out and the assignment solved again.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from framecore.sheets.drawing.model import Leader, Point2

OFF = 7.0  # mm from the view to the columns
STEP = 8.0  # mm from mark to mark
TAIL = 2.0  # mm of level line before a mark
SIDES = (-1.0, 1.0)
NEAR = 0.8  # mm; nearer than this a leader runs on a line and not beside it
ALONG = 4.0  # mm of a line that a leader may stay so near to: it crosses it
PRICE = 200.0  # mm that a leader along a line costs on top of its length
_SHIFTS = 4  # places are tried this many times, shifted by a part of a step
_TRIES = 30  # leaders priced out of one set of places before it is taken as it is

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]


class Tip(NamedTuple):
    """A paper point a leader may end at, mm: with a ``dot`` on a face, else with an arrow on an edge."""

    x: float
    y: float
    dot: bool = False


def beside(
    tips: Mapping[str, Sequence[Tip]], body: Box, *, height: float = 2.5, circled: bool = True,
    sides: Sequence[float] = SIDES, lines: Array | None = None,
) -> tuple[Leader, ...]:  # fmt: skip
    """Place one mark for each entry.

    Parameters
    ----------
    tips : mark -> where its leader may end, at least one
    body : box of the view, mm; columns stand left and right of it
    sides : -1 for a column on the left, 1 for one on the right
    lines : (k, 2, 2) what is drawn, mm; no leader runs along it where there is another way

    Returns
    -------
    tuple of Leader
        in the order of ``tips``; no two of their slanting parts cross
    """
    if not tips:
        return ()
    drawn = np.zeros((0, 2, 2)) if lines is None else lines[np.hypot(*(lines[:, 1] - lines[:, 0]).T) > ALONG]
    owns = list(tips.values())
    best: tuple[float, list[tuple[Tip, Point2, float]]] | None = None
    for shift in range(_SHIFTS):
        slots = _slots(body, len(tips), shift / _SHIFTS * STEP, sides)
        total, ways = _placed(owns, slots, drawn)
        if best is None or total < best[0] - 1e-9:
            best = total, ways
    assert best is not None
    return tuple(
        Leader(
            points=((tip.x, tip.y), at, (at[0] + sign * TAIL, at[1])), text=mark, circled=circled, height=height, dot=tip.dot
        )
        for mark, (tip, at, sign) in zip(tips, best[1], strict=True)
    )


def runs_along(leaders: Array, lines: Array) -> Array:
    """(n,) how far each of (n, 2, 2) leaders runs on a line of (k, 2, 2), more than it takes to cross it, mm."""
    if not len(lines) or not len(leaders):
        return np.zeros(len(leaders))
    a, d = leaders[:, None, 0], leaders[:, 1] - leaders[:, 0]
    size = np.maximum(np.hypot(*d.T), 1e-9)[:, None]
    u = d[:, None] / size[:, :, None]
    p, q = lines[None, :, 0] - a, lines[None, :, 1] - a
    s0, s1 = (p * u).sum(axis=2), (q * u).sum(axis=2)
    o0, o1 = (u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0] for v in (p, q))
    # Along the line, by shares t of its length: where it is near the leader, and where it is beside it.
    low, high = np.zeros_like(s0), np.ones_like(s0)
    for start, end, least, most in ((o0, o1, -NEAR, NEAR), (s0, s1, 0.0, size)):
        slope = end - start
        level = np.abs(slope) < 1e-9
        safe = np.where(level, 1.0, slope)
        t0, t1 = (least - start) / safe, (most - start) / safe
        out = level & ((start < least) | (start > most))
        low = np.where(level, low, np.maximum(low, np.minimum(t0, t1)))
        high = np.where(out, -1.0, np.where(level, high, np.minimum(high, np.maximum(t0, t1))))
    far = np.maximum(high - low, 0.0) * np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    return np.asarray(np.maximum(far - ALONG, 0.0).max(axis=1))


def _slots(body: Box, count: int, shift: float, sides: Sequence[float] = SIDES) -> list[tuple[float, float, float]]:
    """Places (x, y, side) in both columns, at least as many as marks."""
    high = body[3] - body[1]
    n = max(int(high / STEP), math.ceil(count / len(sides)), 1)
    low = (body[1] + body[3]) / 2 - STEP * (n - 1) / 2 + shift - STEP / 2
    return [(body[0] - OFF if sign < 0 else body[2] + OFF, low + STEP * k, sign) for sign in sides for k in range(n)]


def _placed(
    owns: Sequence[Sequence[Tip]], slots: Sequence[tuple[float, float, float]], drawn: Array
) -> tuple[float, list[tuple[Tip, Point2, float]]]:
    """Cost, and for each mark its tip, its place and the place's side: the cheapest, leaders along lines priced out."""
    at = np.array([(x, y) for x, y, _ in slots])
    away = [np.hypot(*(np.array([t[:2] for t in own])[:, None] - at[None]).transpose(2, 0, 1)) for own in owns]
    first: tuple[float, list[tuple[int, int]]] | None = None
    for _ in range(_TRIES):
        rows, columns = linear_sum_assignment(np.array([w.min(axis=0) for w in away]))
        ways = [(int(away[i][:, k].argmin()), k) for i, k in zip(rows.tolist(), columns.tolist(), strict=True)]
        leaders = np.array([(owns[i][t][:2], at[k]) for i, (t, k) in enumerate(ways)])
        bad = set(np.flatnonzero(runs_along(leaders, drawn)).tolist())
        total = float(sum(away[i][t, k] for i, (t, k) in enumerate(ways)))
        if first is None:
            first = total + PRICE * len(bad), ways
        elif not bad:
            bad = _crossed(leaders)  # prices bend what is shortest, and then two may cross
        if not bad:
            break
        for i in bad:
            t, k = ways[i]
            away[i][t, k] += PRICE
    else:
        total, ways = first or (total, ways)
    return total, [(owns[i][t], (slots[k][0], slots[k][1]), slots[k][2]) for i, (t, k) in enumerate(ways)]


def _crossed(leaders: Array) -> set[int]:
    """Which of (n, 2, 2) leaders cross another, one of each two."""

    def side(o: Array, u: Array, v: Array) -> float:
        return float((u[0] - o[0]) * (v[1] - o[1]) - (u[1] - o[1]) * (v[0] - o[0]))

    return {
        i
        for (i, (p, q)), (_, (r, s)) in combinations(enumerate(leaders), 2)
        if side(p, q, r) * side(p, q, s) < 0 and side(r, s, p) * side(r, s, q) < 0
    }
