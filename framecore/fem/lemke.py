"""The linear complementarity problem w = M z + q, w >= 0, z >= 0, w'z = 0.

Source: Lemke's complementary pivoting with a covering vector of ones; Cottle, Pang, Stone, The Linear
Complementarity Problem (1992), ch. 4, from memory.
"""

from __future__ import annotations

import numpy as np

from framecore.fem.model import Floats

_PIVOT = 1e-11
_MAX_PIVOTS = 200


def lemke(m: Floats, q: Floats) -> Floats | None:
    """Solve for z (n,), or None where the pivots run off along a ray: no solution for semidefinite M."""
    n = len(q)
    if (q >= 0.0).all():
        return np.zeros(n)
    # columns: w (n), z (n), the artificial z0, right side
    table = np.hstack([np.eye(n), -m, -np.ones((n, 1)), q[:, None]])
    basis = list(range(n))
    row, enter = int(np.argmin(q)), 2 * n
    for _ in range(_MAX_PIVOTS):
        table[row] /= table[row, enter]
        column = table[:, enter].copy()
        column[row] = 0.0
        table -= np.outer(column, table[row])
        leave, basis[row] = basis[row], enter
        if leave == 2 * n:
            z = np.zeros(n)
            for i, variable in enumerate(basis):
                if n <= variable < 2 * n:
                    z[variable - n] = table[i, -1]
            return z
        enter = leave + n if leave < n else leave - n
        column = table[:, enter]
        usable = np.flatnonzero(column > _PIVOT)
        if not usable.size:
            return None
        ratio = table[usable, -1] / column[usable]
        ties = usable[ratio <= ratio.min() + 1e-12 * max(1.0, abs(float(ratio.min())))]
        row = next((int(i) for i in ties if basis[i] == 2 * n), int(ties[0]))
    return None
