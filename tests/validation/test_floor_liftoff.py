"""Feet that lift, on whole stands: statics by hand, a quadratic programme, and every set of open feet tried.

The quadratic programme and the trial know nothing of the pivoting that the program uses: the first is a bounded
quasi-Newton minimiser on the dense stiffness matrix, the second solves each frame afresh.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from scipy.optimize import minimize

from framecore.brief.model import Brief, Floor, Machine
from framecore.fem import assemble
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
from tests.validation.record import agree

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
G = 9.80665
# layout, middle legs along each long side, feet
STANDS = [("tripod", 0, 3), ("four-post", 0, 4), ("four-post", 1, 6), ("four-post", 2, 8)]


@cache
def frame_of(layout, middle):
    b = Brief(machine=Machine(holes=HOLES, centre_of_mass=(270.0, 80.0, 150.0)), floor=Floor(slope=0.0))
    b = replace(
        b, frame=replace(b.frame, layout=layout, middle_legs=middle, length=1100.0, depth=560.0),
        feet=replace(b.feet, set="as set down"),
    )  # fmt: skip
    if layout == "tripod":
        machine = replace(b.machine, holes=(), centre_of_mass=(20.0, -15.0, 150.0))
        b = replace(b, machine=machine, frame=replace(b.frame, splay=10.0))
    frame = build_frame(b, 800.0)
    return b, frame, SolidsBuilder().build(frame, 7850.0)


def stand(layout, middle, heights):
    b, frame, solids = frame_of(layout, middle)
    b = replace(b, floor=replace(b.floor, heights=tuple(heights)))
    return frame, Analyst().analyse(b, frame, solids)


def dense(s):
    """Stiffness (6 n, 6 n) in the model's own order, springs included; rows of the feet; the floor's heights."""
    built = assemble(s.model)
    matrix = built.stiffness().toarray()
    at = (6 * built.topology.position[:, None] + np.arange(6)).ravel()
    return matrix[np.ix_(at, at)]


def vertical(s):
    return 6 * np.asarray(s.model.spring_nodes) + 2, s.model.stiffness[:, 2]


@pytest.mark.parametrize("seed", range(3))
def test_three_feet_share_by_statics_whatever_the_floor(seed):
    """Three feet: moments by hand about each side; a floor of any heights changes nothing."""
    frame, s = stand("tripod", 0, np.random.default_rng(seed).uniform(-5, 5, 3))
    feet = np.array([f.base[:2] for f in frame.feet])
    weight = -s.loads[:, 2, 0].sum()
    down, turn = s.loads[:, 2, 0], s.loads[:, 3:, 0].sum(0)
    about_x, about_y = -down @ s.model.nodes[:, 1] - turn[0], -down @ s.model.nodes[:, 0] + turn[1]
    want = np.linalg.solve(np.vstack([np.ones(3), feet.T]), [weight, about_y, about_x])
    agree(s.foot_loads[:, 0], want, rel=1e-6)
    assert not s.foot_open[:, 0].any()


@pytest.mark.parametrize("fall", [(3.0, 0.0, 0.0, 0.0), (0.0, 0.0, 0.0, 3.0), (0.0, 2.5, 0.0, 0.0)])
def test_four_feet_with_one_short_stand_on_the_other_three(fall):
    """The short foot and the one across from it: whichever is not on the centre's side hangs, the rest is statics."""
    frame, s = stand("four-post", 0, [-h for h in fall])
    feet = np.array([f.base[:2] for f in frame.feet])
    up = np.flatnonzero(s.foot_open[:, 0])
    assert len(up) == 1
    low = int(np.argmax(fall))
    assert up[0] in (low, 3 - low)
    on = [k for k in range(4) if k != up[0]]
    rows = np.vstack([np.ones(3), feet[on].T])
    weight = s.total_mass * G
    want = np.linalg.solve(rows, [weight, weight * s.centre[0], weight * s.centre[1]])
    # A foot's disc weighs at its place, in the model along its stud: a few thousandths of the load.
    agree(s.foot_loads[on, 0], want, rel=0.01, abs=3.0)
    assert (want > 0).all()


@pytest.mark.parametrize(("layout", "middle", "feet"), STANDS)
def test_least_potential_energy_by_a_bounded_minimiser(layout, middle, feet):
    """Feet as springs with slack s >= 0 in series: min 1/2 s'(k - k C k) s - k (u - z) s."""
    rng = np.random.default_rng(10 * feet)
    _, s = stand(layout, middle, rng.uniform(-1.5, 1.5, feet))
    matrix = dense(s)
    row, k = vertical(s)
    # A hanging foot grips nothing sideways either; which hang is the program's word, that they hang is tested.
    for foot in np.flatnonzero(s.foot_open[:, 0]):
        for way in (1, 2):
            matrix[row[foot] - way, row[foot] - way] -= s.model.stiffness[foot, 2 - way]
    heights = s.floor.heights
    right = s.loads[:, :, 0].ravel().copy()
    right[row] += k * heights
    inverse = np.linalg.inv(matrix)
    u = inverse @ right
    compliance = inverse[np.ix_(row, row)]
    gap = u[row] - heights
    scale = np.sqrt(k)
    quad = np.eye(feet) - scale[:, None] * compliance * scale
    line = -scale * gap
    size = np.abs(line).max()
    best = minimize(
        lambda x: (0.5 * x @ quad @ x + line / size @ x, quad @ x + line / size), np.zeros(feet), jac=True,
        method="L-BFGS-B", bounds=[(0, None)] * feet, options={"maxiter": 20000, "maxfun": 40000, "ftol": 1e-16, "gtol": 1e-11},
    )  # fmt: skip
    slack = best.x * size / scale
    normal = k * (heights + slack - u[row] - compliance @ (k * slack))
    loads = s.foot_loads[:, 0]
    # the minimiser stops some 1e-5 of the weight from the bottom of a shallow valley
    agree(normal, loads, abs=1e-4 * loads.sum())
    assert ((slack > 1e-6) == s.foot_open[:, 0]).all()


@pytest.mark.parametrize(("layout", "middle", "feet"), STANDS)
def test_every_set_of_open_feet_tried(layout, middle, feet):
    rng = np.random.default_rng(100 + feet)
    hung = 0
    for _ in range(3):
        _, s = stand(layout, middle, rng.uniform(-1.5, 1.5, feet))
        sets = consistent(s)
        assert s.foot_open[:, 0].tolist() in sets
        hung += int(s.foot_open[:, 0].sum())
    assert (hung > 0) is (feet > 3)


def consistent(s):
    """Sets of open feet where the closed press and the open hang clear, all springs of the open ones gone.

    The frame is reduced to the springs of its feet once; each set is then a small system of its own.
    """
    matrix = dense(s)
    nodes, k = np.asarray(s.model.spring_nodes), s.model.stiffness
    at = (6 * nodes[:, None] + np.arange(3)).ravel()
    stiff, level = k[:, :3].ravel(), np.zeros((len(nodes), 3))
    level[:, 2] = s.floor.heights
    free = np.setdiff1d(np.arange(len(matrix)), at)
    right = s.loads[:, :, 0].ravel()
    inner = np.linalg.solve(matrix[np.ix_(free, free)], np.column_stack([matrix[np.ix_(free, at)], right[free]]))
    bare = matrix[np.ix_(at, at)] - matrix[np.ix_(at, free)] @ inner[:, :-1] - np.diag(stiff)
    right = right[at] - matrix[np.ix_(at, free)] @ inner[:, -1]
    found = []
    for opened in product([False, True], repeat=len(nodes)):
        kept = np.where(np.repeat(opened, 3), 0.0, stiff)
        if len(nodes) - sum(opened) < 3:
            continue
        u = np.linalg.solve(bare + np.diag(kept), right + kept * level.ravel()).reshape(-1, 3)
        clear = u[:, 2] - s.floor.heights
        if (np.where(opened, -clear, clear) <= 1e-9).all():
            found.append(list(opened))
    return found
