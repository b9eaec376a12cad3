"""The linear complementarity problem w = M z + q, w >= 0, z >= 0, w'z = 0.

Source: Lemke's complementary pivoting with a covering vector of ones; Cottle, Pang, Stone, The Linear
Complementarity Problem (1992), ch. 4; block principal pivoting after Kostreva (1978); from memory.
"""

from __future__ import annotations

import numpy as np

from framecore.fem.model import Floats

_PIVOT = 1e-11
_MAX_PIVOTS = 200
_BLOCKS = 4  # rounds of block pivoting before Lemke's rule is asked
_ROUNDING = 1e-12  # share of the largest number: a sign below this is rounding
_LARGE = 1e6  # a solution this much larger than q hangs on a nearly singular block: Lemke's rule says what it is


def complementary(m: Floats, q: Floats) -> list[Floats | None]:
    """Solve for z (n,) with each column of ``q`` (n, c); None as for ``lemke``.

    All that is negative is exchanged at once, for all columns together. Where that ends it has found the answer, as a
    positive definite M has but one; what it does not end with is left to Lemke's rule.
    """
    n, c = q.shape
    eye, rows = np.eye(n), q.T
    basic = rows < 0.0  # (c, n): where z may be positive
    for _ in range(_BLOCKS):
        # z = -M^-1 q on the basic rows, 0 on the others; w the other way round.
        block = np.where(basic[:, :, None] & basic[:, None, :], m, eye)
        try:
            z = np.linalg.solve(block, np.where(basic, -rows, 0.0)[:, :, None])[:, :, 0]
        except np.linalg.LinAlgError:
            return [lemke(m, column) for column in rows]
        w = z @ m.T + rows
        small = _ROUNDING * np.maximum(np.abs(z).max(1), np.abs(rows).max(1))[:, None]
        wrong = np.where(basic, z < -small, w < -small)
        if not wrong.any():
            break
        basic ^= wrong
    sure = ~wrong.any(1) & (np.abs(z).max(1) < _LARGE)
    z = np.maximum(z, 0.0)
    return [z[k] if sure[k] else lemke(m, q[:, k]) for k in range(c)]


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
