"""Natural frequencies and buckling loads of bars. Formulas from memory of the named books.

Blevins = Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1; Timoshenko & Gere = Theory of
Elastic Stability. The characteristic roots are worked out again here from their equations. The books leave
out shear and rotary inertia: the bars are slender (L / radius of gyration about 500), which leaves
under 4e-4.
"""

import numpy as np
import pytest
from scipy.linalg import eigh
from scipy.optimize import brentq

from framecore.fem import FrameModel, assemble, buckling, buckling_bound, modes
from tests.unit.fem.frames import axes_along, held, line, random_frame, random_loads
from tests.validation.record import agree

E, RHO, A, I, L = 210_000.0, 7.85e-9, 600.0, 2400.0, 1000.0  # noqa: E741
ALL = range(6)
FREE_TO_TURN = (0, 1, 2, 3)

ENDS = {
    "cantilever": ([ALL], [0], lambda x: np.cos(x) + 1 / np.cosh(x), (1.5, 2.2)),
    "pinned-pinned": ([FREE_TO_TURN, (1, 2)], None, np.sin, (3.0, 3.3)),
    "fixed-fixed": ([ALL, ALL], None, lambda x: np.cos(x) - 1 / np.cosh(x), (4.0, 5.0)),
    "fixed-pinned": ([ALL, (1, 2)], None, lambda x: np.tan(x) - np.tanh(x), (3.5, 4.5)),
}


def bar(n, kinds, at=None):
    """Slender bar, stiff about the vertical: the lowest bending modes lie in one plane."""
    at = [0, n] if at is None else at
    return assemble(line(n, L, area=A, i_y=I, i_z=400 * I, j=1e6, density=RHO, **held(at, kinds)))


@pytest.mark.parametrize("name", ENDS)
def test_first_bending_frequency(name):
    """Blevins 8-1: f = lambda2 / (2 pi L2) sqrt(E I / m)."""
    kinds, at, equation, between = ENDS[name]
    root = brentq(equation, *between)
    want = root**2 / (2 * np.pi * L**2) * np.sqrt(E * I / (RHO * A))
    agree(modes(bar(12, kinds, at), 3).frequencies_hz[0], want, rel=4e-4)


def test_three_cantilever_frequencies():
    """Blevins 8-1: lambda = 1.87510407, 4.69409113, 7.85475744; rotary inertia costs 7e-4 at most."""
    got = modes(bar(24, [ALL], [0]), 4).frequencies_hz[:3]
    roots = np.array([1.87510407, 4.69409113, 7.85475744])
    want = roots**2 / (2 * np.pi * L**2) * np.sqrt(E * I / (RHO * A))
    agree(got, want, rel=7e-4)


def test_cantilever_with_tip_mass():
    """Timoshenko: 1 + cos x cosh x = x r (sin x cosh x - cos x sinh x), r = M / m L."""
    r = 2.0
    root = brentq(
        lambda x: 1 + np.cos(x) * np.cosh(x) - x * r * (np.sin(x) * np.cosh(x) - np.cos(x) * np.sinh(x)),
        0.5,
        1.5,
    )
    model = line(12, L, area=A, i_y=I, i_z=100 * I, j=1e6, density=RHO, **held([0], [ALL]),
                 mass_nodes=np.array([12]), mass=np.array([r * RHO * A * L]))  # fmt: skip
    want = root**2 / (2 * np.pi * L**2) * np.sqrt(E * I / (RHO * A))
    agree(modes(assemble(model), 3).frequencies_hz[0], want, rel=4e-4)


def test_rod_and_shaft_frequencies():
    """Wave equation: fixed-free rod f1 = c / 4 L with c = sqrt(E / rho), shaft with sqrt(G J / rho Ip)."""
    model = line(
        24, L, area=A, i_y=I, i_z=I, j=3600.0, density=RHO, **held(range(25), [ALL] + [(1, 2, 4, 5)] * 24)
    )
    got = modes(assemble(model), 4).frequencies_hz
    rod = np.sqrt(E / RHO) / (4 * L)
    shaft = np.sqrt(81_000.0 * 3600.0 / (RHO * 2 * I)) / (4 * L)
    # linear elements: 24 of them are (pi/48)2 / 24 = 1.8e-4 too stiff
    assert np.abs(got / rod - 1).min() < 3e-4
    agree(got[0], shaft, rel=3e-4)


@pytest.mark.parametrize("seed", range(6))
def test_modes_against_dense_eigenvalues(seed):
    """scipy.linalg.eigh of the full matrices; cold, and warm from a frame a little different."""
    built = assemble(random_frame(seed, offsets=True, shear=True, shear_centre=True))
    k, m = built.stiffness().toarray(), built.mass.toarray()
    want = np.sqrt(eigh(k, m, eigvals_only=True, subset_by_index=[0, 5])) / (2 * np.pi)
    cold = modes(built)
    agree(cold.frequencies_hz, want, rel=1e-6)
    agree(modes(built, start=cold.start).frequencies_hz, want, rel=1e-6)
    agree(modes(built, start=cold.start[:, :, ::-1] ** 3).frequencies_hz, want, rel=1e-6)
    shapes = np.column_stack([built.topology.inward(cold.shapes[:, :, [i]])[:, 0] for i in range(6)])
    agree(shapes.T @ m @ shapes, np.eye(6), abs=1e-4)


COLUMNS = {
    "pinned-pinned": ([FREE_TO_TURN, (1, 2, 3)], None, np.pi**2),
    "cantilever": ([ALL], [0], np.pi**2 / 4),
    "fixed-pinned": ([ALL, (1, 2, 3)], None, brentq(lambda x: np.tan(x) - x, 4.4, 4.6) ** 2),
    "fixed-guided": ([ALL, (1, 3, 4, 5)], None, np.pi**2),
    "fixed-fixed": ([ALL, (1, 2, 3, 4, 5)], None, 4 * np.pi**2),
}


@pytest.mark.parametrize("name", COLUMNS)
def test_column(name):
    """Euler; Timoshenko & Gere ch. 2. Eight elements: 5e-4 high at most (fixed-fixed), never low."""
    kinds, at, factor = COLUMNS[name]
    got = buckling(bar(8, kinds, at), np.full(8, -1.0))
    want = factor * E * I / L**2
    assert want * (1 - 1e-6) <= got <= want * (1 + 6e-4)


@pytest.mark.parametrize(("fixed", "equation", "between", "printed"), [
    (False, lambda x: x * np.tan(x) - 6, (1.0, 1.5), 1.8213),
    (True, lambda x: x / np.tan(x) + 6, (2.2, 3.0), 7.3792),
])  # fmt: skip
def test_sway_portal(fixed, equation, between, printed):
    """Timoshenko & Gere: equal legs and beam; kl tan kl = 6 on pins, kl cot kl = -6 fixed;
    P = (kl)2 E I / h2."""
    h, n = 1000.0, 8
    root = brentq(equation, *between)
    agree(root**2, printed, abs=5e-5)
    t = np.linspace(0, h, n + 1)
    nodes = np.vstack([np.column_stack([0 * t, 0 * t, t]), np.column_stack([t[1:], 0 * t[1:], h + 0 * t[1:]]),
                       np.column_stack([h + 0 * t[1:], 0 * t[1:], h - t[1:]])])  # fmt: skip
    elements = np.column_stack([np.arange(3 * n), np.arange(1, 3 * n + 1)])
    base = ALL if fixed else (0, 1, 2, 3, 5)
    kinds = [base] + [(1, 3, 5)] * (3 * n - 1) + [base]
    model = FrameModel(nodes=nodes, elements=elements, axes=axes_along(np.diff(nodes, axis=0)), area=1e5,
                       i_y=I, i_z=I, j=1e5, e=E, g=81e3, **held(range(3 * n + 1), kinds))  # fmt: skip
    axial = np.where(np.arange(3 * n) // n == 1, 0.0, -1.0)
    agree(buckling(assemble(model), axial), root**2 * E * I / h**2, rel=5e-4)


@pytest.mark.parametrize("seed", range(6))
def test_buckling_against_dense_eigenvalues_and_the_bound_below(seed):
    model = random_frame(seed, offsets=True, shear=True, shear_centre=True)
    built = assemble(model)
    axial = built.end_forces(built.solve(random_loads(model, 4)))[:, 6]
    k = built.stiffness().toarray()
    lowest = []
    for case in range(4):
        g = built.topology.sparse(built.unit_geometric * axial[:, case, None, None]).toarray()
        mu = eigh(-g, k, eigvals_only=True)
        lowest.append(1 / mu[-1])
        agree(buckling(built, axial[:, case]), lowest[-1], rel=1e-6)
    assert buckling_bound(built, axial) <= min(lowest) * (1 + 1e-7)
    assert buckling_bound(built, axial) > 0.2 * min(lowest)


def test_no_compression_no_buckling():
    built = bar(2, [ALL], [0])
    assert buckling(built, np.ones(2)) == np.inf
    assert buckling_bound(built, np.ones((2, 3))) == np.inf
