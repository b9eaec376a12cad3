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
_STIR = 1e-2  # random part mixed into a warm start


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
    return buckling_envelope(assembled, axial)[0]


def buckling_envelope(assembled: Assembled, axial: Floats, start: Floats | None = None) -> tuple[float, Floats | None]:
    """Return the bound of ``buckling_bound`` and its shape, to start the next, similar frame from.

    Parameters
    ----------
    axial : (m, c) axial forces in N, tension positive
    start : (n, 6) shape of an earlier call; one that does not fit is not used

    Returns
    -------
    factor : load factor, ``inf`` without compression
    shape : (n, 6), None without compression
    """
    worst = np.maximum(-np.asarray(axial, float).reshape(len(assembled.model.elements), -1), 0.0)
    return _factor(assembled, worst.max(1, initial=0.0), 2, start)


def buckling(assembled: Assembled, axial: Floats) -> float:
    """Smallest positive load factor of one case, ``axial`` (m,) in N, tension positive; ``inf`` if none."""
    return _factor(assembled, -np.asarray(axial, float), 3)[0]


def _factor(
    assembled: Assembled, compression: Floats, width: int, start: Floats | None = None
) -> tuple[float, Floats | None]:
    if not (compression > 0.0).any():
        return float("inf"), None
    topology = assembled.topology
    a = topology.sparse(assembled.unit_geometric * compression[:, None, None])
    block = random_block(a.shape[0], width)
    warm = start is not None and start.shape == (topology.n_nodes, 6)
    right = a @ block
    if warm:
        assert start is not None
        # The old shape leads; a random one beside it sees a shape that has become lower in the meantime.
        lead = a @ topology.inward(start[:, :, None])
        right[:, :1] = lead + right[:, :1] * (_STIR * np.linalg.norm(lead) / (np.linalg.norm(right[:, :1]) + 1e-300))
    mu, vectors = largest(
        a, assembled.solve_banded, right, 1,
        tolerance=_TOLERANCE, max_steps=_MAX_STEPS, first_check=3 if warm else 5,
    )  # fmt: skip
    if not mu.size or mu[0] <= 0.0:
        return float("inf"), None
    return float(1.0 / mu[0]), topology.outward(vectors[:, :1])[:, :, 0]
