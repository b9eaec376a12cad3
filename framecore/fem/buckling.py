"""Linear buckling: how often the loads may be taken before the frame sways or bows away.

Only axial forces enter. Use at least two elements a member: one cannot see a member bow on its own.
"""

from __future__ import annotations

import numpy as np

from framecore.fem.assembled import Assembled
from framecore.fem.krylov import largest, random_block
from framecore.fem.model import Floats

_TOLERANCE = 1e-4  # residual share; the factor's error is about its square
_MAX_STEPS = 40


def buckling_bound(assembled: Assembled, axial: Floats) -> float:
    """Lower bound of the buckling factors of all load cases from one eigenproblem.

    Every element takes its largest compression over the cases and no tension. As each element's geometric
    matrix is positive semidefinite, this envelope buckles no later than any single case.

    Parameters
    ----------
    axial : (m, c) axial forces in N, tension positive

    Returns
    -------
    float : load factor, ``inf`` without compression; the eigenvalue itself is found to about 1e-8
    """
    worst = np.maximum(-np.asarray(axial, float).reshape(len(assembled.model.elements), -1), 0.0)
    return _factor(assembled, worst.max(1, initial=0.0), 2)


def buckling(assembled: Assembled, axial: Floats) -> float:
    """Smallest positive load factor of one case, ``axial`` (m,) in N, tension positive; ``inf`` if none."""
    return _factor(assembled, -np.asarray(axial, float), 3)


def _factor(assembled: Assembled, compression: Floats, width: int) -> float:
    if not (compression > 0.0).any():
        return float("inf")
    a = assembled.topology.sparse(assembled.unit_geometric * compression[:, None, None])
    noise = random_block(a.shape[0], width)
    mu, _ = largest(
        a, assembled.solve_banded, a @ noise, 1, tolerance=_TOLERANCE, max_steps=_MAX_STEPS, first_check=5
    )
    if not mu.size or mu[0] <= 0.0:
        return float("inf")
    return float(1.0 / mu[0])
