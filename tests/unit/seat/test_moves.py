"""Fewest and smallest moves against every set of screws tried by hand, and against random searching."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from framecore.seat.moves import find_moves

FOUR = np.array([[0.9, -0.9, -0.9, 0.9]])
FREE = {"press": np.full(4, 1e6), "change": np.zeros((4, 4))}


def rocking(k):
    """Press changes of four feet on a stiff stand."""
    p = np.array([1.0, -1.0, -1.0, 1.0])
    return k * np.outer(p, p)


def test_nothing_within_tolerance_is_moved():
    found = find_moves(np.array([0.009]), FOUR, **FREE, tol=0.01, most=1, keep=0)
    assert found.reached and not found.s.any()


def test_one_screw_takes_one_twist_away_wholly():
    found = find_moves(np.array([0.09]), FOUR, **FREE, tol=0.01, most=1, keep=0)
    assert (found.s != 0).sum() == 1
    assert np.abs(found.s).max() == pytest.approx(0.1) and found.twist == pytest.approx([0.0], abs=1e-9)


def test_of_alike_ways_the_most_press_then_the_liked_end_then_raising():
    press, change = np.array([100.0, 500, 500, 500]), rocking(1000.0)
    a = np.array([0.5, -0.9, -0.9, 0.5])[None]
    # Lowering mount 1 or raising its neighbours takes press off it; the ones left are told apart by liking.
    liked = find_moves(np.array([0.09]), FOUR, np.full(4, 500.0), change, tol=0.01, most=1, keep=0, prefer=np.arange(4.0))
    assert liked.s[3] < 0 and not liked.s[:3].any()
    raised = find_moves(np.array([0.09]), FOUR, np.full(4, 500.0), change, tol=0.01, most=1, keep=0)
    assert raised.s.sum() > 0
    stronger = find_moves(np.array([0.09]), a, press * 10, change, tol=0.01, most=1, keep=0)
    assert stronger.s[[0, 3]].any() == 0


def test_a_screw_that_would_let_go_is_not_let_go():
    press = np.array([300.0, 300, 300, 300])
    found = find_moves(np.array([0.9]), FOUR, press, rocking(1000.0), tol=0.01, most=5, keep=50)
    assert not found.reached and found.press.min() == pytest.approx(50.0)
    assert found.twist[0] == pytest.approx(0.9 - 0.9 * 0.25)
    assert find_moves(np.array([0.9]), FOUR, press * 5, rocking(1000.0), tol=0.01, most=5, keep=50).reached


def test_the_largest_move_is_kept():
    found = find_moves(np.array([0.9]), FOUR, **FREE, tol=0.01, most=0.3, keep=0)
    # One screw alone would want 1 mm, three 0.33: four are needed.
    assert found.reached and (found.s != 0).sum() == 4 and np.abs(found.s).max() <= 0.3 + 1e-9


def test_screws_that_may_not_be_moved_stay():
    only = np.array([False, True, False, False])
    found = find_moves(np.array([0.09]), FOUR, **FREE, tol=0.01, most=1, keep=0, free=only)
    assert found.s[1] == pytest.approx(0.1) and not found.s[[0, 2, 3]].any()


@pytest.mark.parametrize("seed", range(6))
def test_two_stations_and_six_screws_against_every_set_tried(seed):
    """Least squares on every set of screws: fewer never do, and of as many none is smaller."""
    rng = np.random.default_rng(seed)
    a = rng.uniform(-1, 1, (2, 6))
    t0 = rng.uniform(-0.2, 0.2, 2)
    tol, most = 0.01, 0.5
    found = find_moves(t0, a, np.full(6, 1e6), np.zeros((6, 6)), tol=tol, most=most, keep=0)
    count = int((found.s != 0).sum())
    assert found.reached and found.twist == pytest.approx(t0 + a @ found.s)

    def reach(chosen):
        """Least greatest twist of a set by a fine grid about its least squares answer."""
        idx = list(chosen)
        s, *_ = np.linalg.lstsq(a[:, idx], -t0, rcond=None)
        around = rng.uniform(-0.15, 0.15, (4000, len(idx))) * np.geomspace(1e-3, 1, 4000)[:, None]
        tried = s + around
        ok = (np.abs(tried) <= most).all(1) & (np.abs(t0 + tried @ a[:, idx].T) <= tol).all(1)
        return np.abs(tried[ok]).sum(1).min() if ok.any() else np.inf

    if count > 1:
        assert all(np.isinf(reach(c)) for c in combinations(range(6), count - 1))
    smallest = min(reach(c) for c in combinations(range(6), count))
    # The set is chosen by its least sum; its moves then go on to no twist, by the tolerance over the influence.
    slack = tol * np.abs(np.linalg.pinv(a[:, found.s != 0])).sum()
    assert np.abs(found.s).sum() <= smallest * 1.02 + slack + 1e-6


def test_whole_steps_of_shim():
    a = np.array([[0.9, -0.9, -0.6, 0.6, -0.3, 0.3], [1.2, -1.2, 0.0, 0.0, -1.2, 1.2]])
    t0, step = np.array([0.05, -0.04]), 0.02
    found = find_moves(t0, a, np.full(6, 1e6), np.zeros((6, 6)), tol=0.012, most=1, keep=0, step=step)
    assert found.reached and found.s / step == pytest.approx(np.round(found.s / step), abs=1e-9)
    grid = np.arange(-8, 9) * step
    pairs = [
        (x, y, i, j) for i, j in combinations(range(6), 2) for x in grid for y in grid
        if (np.abs(t0 + a[:, i] * x + a[:, j] * y) <= 0.012).all()
    ]  # fmt: skip
    assert (found.s != 0).sum() <= 2 and pairs


def test_a_screw_already_below_its_least_press_does_not_forbid_every_move():
    press = np.array([20.0, 400, 400, 400])
    found = find_moves(np.array([-0.045]), FOUR, press, rocking(1000.0), tol=0.01, most=1, keep=50)
    assert found.reached and found.press[0] >= 20.0
