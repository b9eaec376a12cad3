"""Feet on an uneven floor: statics of a table, and every combination of open feet tried.

The hand values are statics of a rigid table, worked out beside each row; nothing printed is used.
"""

from itertools import product

import numpy as np
import pytest
from scipy.optimize import nnls

from framecore.fem import FrameModel, assemble, contact
from tests.unit.fem.frames import axes_along
from tests.validation.record import agree

SIDE, HEIGHT, K = 800.0, 700.0, 5.0e4
CORNERS = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * SIDE / 2  # A, B, C, D round the table


def table(feet=CORNERS, k=K, side_k=2.0e4, stiff=1e3):
    """Legs from each foot to one node in the middle through rigid offsets: a rigid top on elastic legs."""
    n = len(feet)
    nodes = np.vstack([np.column_stack([feet, np.zeros(n)]), [[0.0, 0.0, HEIGHT]]])
    offsets = np.zeros((n, 2, 3))
    offsets[:, 1, :2] = feet
    return assemble(FrameModel(
        nodes=nodes, elements=np.array([[i, n] for i in range(n)]), offsets=offsets,
        axes=axes_along(np.tile([[0, 0, HEIGHT]], (n, 1))), area=600 * stiff,
        i_y=2e5 * stiff, i_z=2e5 * stiff, j=3e5 * stiff, e=210e3, g=81e3, spring_nodes=np.arange(n),
        spring_stiffness=np.tile([side_k, side_k, k, 0, 0, 0], (n, 1))))  # fmt: skip


def press(built, p, ex, ey):
    """A load p down at (ex, ey) on the top."""
    f = np.zeros((built.model.n_nodes, 6, 1))
    f[-1, 2:5, 0] = -p, -p * ey, p * ex
    return built.solve(f), f


@pytest.mark.parametrize(("ex", "ey", "lifted", "normals"), [
    # foot A short by 1 mm; moments about the diagonal and the sides of the other three feet
    (50, 50, 0, (0, 437.5, 125, 437.5)),
    (100, -30, 0, (0, 537.5, 87.5, 375)),
    # the load on A's side of B-D: A must carry, C lifts
    (-20, -20, 2, (50, 475, 0, 475)),
])  # fmt: skip
def test_table_on_three_of_four_feet(ex, ey, lifted, normals):
    built = table(stiff=1e6)
    u, _ = press(built, 1000.0, ex, ey)
    got = contact(built, u, floor=np.array([-1.0, 0, 0, 0]))
    assert not got.tips[0] and got.settled[0]
    assert np.flatnonzero(got.open[:, 0]).tolist() == [lifted]
    # sideways springs take a little moment from the tilt of a table on soft feet: 1 part in 1e3
    agree(got.normal_n[:, 0], normals, abs=1.0)


def test_twist_of_four_equal_springs():
    """P/4 -+ k gap / 4: the table and its springs have one self-stressing mode (+, -, +, -)."""
    built = table(stiff=1e6, side_k=1.0)
    u, _ = press(built, 1000.0, 0, 0)
    got = contact(built, u, floor=np.array([-0.01, 0, 0, 0]))
    agree(got.normal_n[:, 0], [125, 375, 125, 375], rel=1e-4)
    assert not got.open.any()


@pytest.mark.parametrize(("ex", "tips"), [(390.0, False), (410.0, True)])
def test_tips_when_the_load_leaves_the_feet(ex, tips):
    built = table()
    u, _ = press(built, 1000.0, ex, 0.0)
    assert bool(contact(built, u).tips[0]) is tips


def inside(feet, p):
    """Whether p is a mean of the feet with weights >= 0: Farkas by non-negative least squares."""
    a = np.vstack([feet.T, np.full(len(feet), SIDE)])
    return nnls(a, np.r_[p, SIDE])[1] < 1e-6


@pytest.mark.parametrize("count", [3, 4, 6, 8])
def test_random_feet_and_floors(count):
    """Verdict by the support polygon; the open set by trying all 2^n; equilibrium of what comes out."""
    rng = np.random.default_rng(count)
    turned = tipped = 0
    for _ in range(25):
        angle = np.sort(rng.uniform(0, 2 * np.pi, count))
        feet = np.column_stack([500 * np.cos(angle), 300 * np.sin(angle)])
        built = table(feet, stiff=1.0)
        at = rng.uniform(-320, 320, 2)
        u, f = press(built, 1500.0, *at)
        floor = rng.uniform(-0.6, 0.6, count)
        got = contact(built, u, floor=floor)
        assert bool(got.tips[0]) is not inside(feet, at)
        if got.tips[0]:
            tipped += 1
            continue
        total = got.forces[:, :3, 0].sum(0)
        agree(total, [0, 0, 1500.0], abs=1e-6)
        assert (got.normal_n >= -1e-6).all()
        sets = consistent_sets(built, f, floor)
        if got.settled[0]:
            assert got.open[:, 0].tolist() in sets
            turned += bool(got.open.any())
            warm = contact(built, u, floor=floor, start=got.open)
            assert (
                np.abs(warm.displacements - got.displacements).max() < 1e-8 * np.abs(got.displacements).max()
            )
        else:
            assert not sets
    assert tipped > 0
    assert (turned > 0) is (count > 3)  # three feet always share by statics


def consistent_sets(built, f, floor):
    """Every set of open feet whose frame, solved afresh, presses where closed and hangs clear where open."""
    model, found = built.model, []
    for opened in product([False, True], repeat=len(floor)):
        off = np.array(opened)
        k = np.where(off[:, None], 0.0, model.stiffness)
        matrix = built.stiffness().toarray()
        at = (6 * built.topology.position[model.spring_nodes][:, None] + np.arange(6)).ravel()
        matrix[at, at] -= (model.stiffness - k).ravel()
        right = f.copy()
        right[model.spring_nodes, 2, 0] += k[:, 2] * floor
        if np.linalg.matrix_rank(
            matrix / np.sqrt(np.outer(matrix.diagonal(), matrix.diagonal())), 1e-9
        ) < len(matrix):
            continue
        u = built.topology.outward(np.linalg.solve(matrix, built.topology.inward(right)))
        clear = u[model.spring_nodes, 2, 0] - floor
        if (np.where(off, -clear, clear) <= 1e-9).all():
            found.append(list(opened))
    return found
