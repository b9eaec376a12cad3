"""Marks: shortest in sum, uncrossed, apart."""

from __future__ import annotations

import math
from itertools import combinations, permutations

import numpy as np
import pytest

from framecore.sheets.drawing.labels import NEAR, PRICE, STEP, Tip, beside, runs_along

BODY = (0.0, 0.0, 60.0, 40.0)


def crossing(a, b):
    (p, q), (r, s) = a, b

    def side(o, u, v):
        return (u[0] - o[0]) * (v[1] - o[1]) - (u[1] - o[1]) * (v[0] - o[0])

    return side(p, q, r) * side(p, q, s) < -1e-9 and side(r, s, p) * side(r, s, q) < -1e-9


def tips_of(seed, count):
    rng = np.random.default_rng(seed)
    return {f"A{k}": [Tip(*p) for p in rng.uniform((0, 0), (60, 40), (rng.integers(1, 4), 2)).tolist()] for k in range(count)}


@pytest.mark.parametrize("seed", range(25))
def test_leaders_do_not_cross_and_marks_keep_apart(seed):
    placed = beside(tips_of(seed, 9), BODY)
    assert [p.text for p in placed] == [f"A{k}" for k in range(9)]
    for a, b in combinations(placed, 2):
        assert not crossing(a.points[:2], b.points[:2])
        assert math.dist(a.points[-1], b.points[-1]) >= STEP - 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_no_other_order_of_the_same_places_is_shorter(seed):
    tips = tips_of(100 + seed, 5)
    placed = beside(tips, BODY)
    slots = [p.points[1] for p in placed]
    have = sum(math.dist(p.points[0], p.points[1]) for p in placed)

    def total(order):
        return sum(min(math.dist(t[:2], slots[k]) for t in own) for own, k in zip(tips.values(), order, strict=True))

    assert have == pytest.approx(min(total(order) for order in permutations(range(5))))


def test_every_leader_ends_at_one_of_its_own_points():
    tips = tips_of(7, 12)
    for leader in beside(tips, BODY):
        assert leader.points[0] in [t[:2] for t in tips[leader.text]]


def test_nothing_to_mark():
    assert beside({}, BODY) == ()


def test_a_leader_keeps_off_the_line_it_would_run_along():
    """The shortest way to the mark lies on an edge of the drawing: the leader takes another way, at a price of some mm."""
    edge = np.array([[(0.0, 20.0), (60.0, 20.0)]])
    tips = {"A1": [Tip(10.0, 20.0)]}
    (bare,) = beside(tips, BODY, sides=(1.0,))
    assert runs_along(np.array([bare.points[:2]]), edge)[0] > 10.0
    (kept,) = beside(tips, BODY, sides=(1.0,), lines=edge)
    assert runs_along(np.array([kept.points[:2]]), edge)[0] == 0.0
    assert math.dist(*kept.points[:2]) < math.dist(*bare.points[:2]) + 10.0 < PRICE


def test_crossing_a_line_is_not_running_along_it():
    line = np.array([[(0.0, 0.0), (50.0, 0.0)]])
    ways = {
        ((10.0, -20.0), (12.0, 20.0)): 0.0,
        ((10.0, NEAR + 0.1), (45.0, NEAR + 0.1)): 0.0,
        ((10.0, 0.0), (45.0, 0.0)): 35.0 - 4.0,
        ((10.0, 0.3), (45.0, -0.3)): 35.0 - 4.0,
        ((60.0, 0.0), (90.0, 0.0)): 0.0,
        ((40.0, 0.0), (90.0, 0.0)): 10.0 - 4.0,
    }
    assert runs_along(np.array(list(ways)), line) == pytest.approx(list(ways.values()), abs=0.05)


@pytest.mark.parametrize("seed", range(25))
def test_leaders_priced_off_lines_still_do_not_cross(seed):
    rng = np.random.default_rng(500 + seed)
    lines = rng.uniform((0, 0), (60, 40), (30, 2, 2))
    placed = beside(tips_of(seed, 9), BODY, lines=lines)
    for a, b in combinations(placed, 2):
        assert not crossing(a.points[:2], b.points[:2])
        assert math.dist(a.points[-1], b.points[-1]) >= STEP - 1e-9
