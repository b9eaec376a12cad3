"""Marks beside a view, each with a leader: placed so that the leaders are as short as they can be together.

Places stand in a column on either side. Which mark goes where is an assignment problem, solved exactly; and leaders that
are shortest in sum never cross, for two that cross would be shorter if they changed places.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

from framecore.sheets.model import Leader, Point2

OFF = 7.0  # mm from the view to the columns
STEP = 8.0  # mm from mark to mark
TAIL = 2.0  # mm of level line before a mark
SIDES = (-1.0, 1.0)
_SHIFTS = 4  # places are tried this many times, shifted by a part of a step

Box = tuple[float, float, float, float]


def beside(
    tips: Mapping[str, Sequence[Point2]], body: Box, *, height: float = 2.5, circled: bool = True,
    sides: Sequence[float] = SIDES,
) -> tuple[Leader, ...]:  # fmt: skip
    """Place one mark for each entry.

    Parameters
    ----------
    tips : mark -> paper points a leader may end at, at least one
    body : box of the view, mm; columns stand left and right of it
    sides : -1 for a column on the left, 1 for one on the right

    Returns
    -------
    tuple of Leader
        in the order of ``tips``; no two of their slanting parts cross
    """
    if not tips:
        return ()
    best: tuple[float, tuple[Leader, ...]] | None = None
    for shift in range(_SHIFTS):
        slots = _slots(body, len(tips), shift / _SHIFTS * STEP, sides)
        cost, ends = _costs(list(tips.values()), slots)
        rows, columns = linear_sum_assignment(cost)
        total = float(cost[rows, columns].sum())
        if best is None or total < best[0] - 1e-9:
            leaders = []
            for mark, i, k in zip(tips, rows.tolist(), columns.tolist(), strict=True):
                x, y, sign = slots[k]
                leaders.append(
                    Leader(points=(ends[i][k], (x, y), (x + sign * TAIL, y)), text=mark, circled=circled, height=height)
                )
            best = total, tuple(leaders)
    assert best is not None
    return best[1]


def _slots(body: Box, count: int, shift: float, sides: Sequence[float] = SIDES) -> list[tuple[float, float, float]]:
    """Places (x, y, side) in both columns, at least as many as marks."""
    high = body[3] - body[1]
    n = max(int(high / STEP), math.ceil(count / len(sides)), 1)
    low = (body[1] + body[3]) / 2 - STEP * (n - 1) / 2 + shift - STEP / 2
    return [(body[0] - OFF if sign < 0 else body[2] + OFF, low + STEP * k, sign) for sign in sides for k in range(n)]


def _costs(
    tips: Sequence[Sequence[Point2]], slots: Sequence[tuple[float, float, float]]
) -> tuple[np.ndarray[tuple[int, int], np.dtype[np.float64]], list[list[Point2]]]:
    """(marks, slots) shortest way from a mark's points to each place, and the point it starts at."""
    at = np.array([(x, y) for x, y, _ in slots])
    cost = np.empty((len(tips), len(slots)))
    ends: list[list[Point2]] = []
    for i, own in enumerate(tips):
        away = np.hypot(*(np.array(own)[:, None] - at[None]).transpose(2, 0, 1))
        cost[i] = away.min(0)
        ends.append([own[k] for k in away.argmin(0).tolist()])
    return cost, ends
