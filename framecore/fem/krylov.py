"""Largest eigenvalues mu of A x = mu K x by block Krylov steps in the K inner product.

K is known by its factor alone: every new block is W = K^-1 A Q, so K W = A Q comes free. One routine serves
vibration (A = mass, mu = 1/omega2) and buckling (A = -geometric stiffness, mu = 1/load factor).

Source: block Lanczos with full reorthogonalisation and Rayleigh-Ritz; Parlett, The Symmetric Eigenvalue
Problem (1980), ch. 13, from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from scipy.sparse import csr_array

from framecore.fem.model import Floats

_TINY = 1e-9  # a direction this small beside the largest mu is rounding: the space is exhausted


def largest(
    a: csr_array, solve: Callable[[Floats], Floats], right: Floats, count: int, *,
    tolerance: float, max_steps: int, first_check: int,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return the ``count`` largest mu (descending) and their vectors, scaled to x'Kx = 1.

    Parameters
    ----------
    a : (N, N) symmetric, sparse
    solve : x -> K^-1 x for (N, p)
    right : (N, p) start block; the first basis block is K^-1 ``right``
    tolerance : stop when every wanted residual is below this share of the largest mu and of its own; the
        error of mu is about the square of that
    first_check : step at which convergence is looked at for the first time
    """
    n = a.shape[0]
    room = min(n, max_steps * right.shape[1])
    basis, image = np.empty((n, room), order="F"), np.empty((n, room), order="F")
    projected = np.zeros((room, room))  # upper triangle of Q'AQ
    w, kw, beta = _orthonormal(solve(right), right, 0.0)
    size, scale = 0, 0.0
    mu, y = np.zeros(0), np.zeros((0, 0))
    for step in range(1, max_steps + 1):
        width = w.shape[1]
        old, size = size, size + width
        basis[:, old:size], image[:, old:size] = w, kw
        q, kq = basis[:, :size], image[:, :size]
        aq = a @ w
        h = q.T @ aq
        projected[:size, old:size] = h
        scale = scale or float(np.abs(h).max(initial=0.0))
        w = solve(aq) - q @ h
        again = kq.T @ w
        w -= q @ again
        w, kw, beta = _orthonormal(w, aq - kq @ (h + again), _TINY * scale)
        last = step == max_steps or not w.shape[1] or size + w.shape[1] > room
        if last or step >= first_check:
            mu, y = np.linalg.eigh(projected[:size, :size], UPLO="U")
            mu, y = mu[::-1][:count], y[:, ::-1][:, :count]
            residual = np.sqrt(((beta @ y[old:size]) ** 2).sum(0))
            if last or (mu.size == count and (residual <= tolerance * np.abs(mu)).all()):
                break
        again = kq.T @ w  # once more: the block may have been nearly inside the old space
        w, kw, _ = _orthonormal(w - q @ again, kw - kq @ again, 0.0)
    return mu, basis[:, :size] @ y


def _orthonormal(w: Floats, kw: Floats, floor: float) -> tuple[Floats, Floats, Floats]:
    """Make w'Kw = I, dropping directions without length; beta holds w = w_new beta."""
    gram = w.T @ kw
    size, turn = np.linalg.eigh(0.5 * (gram + gram.T))
    keep = size > max(floor**2, 1e-14 * float(size[-1]), 1e-300)
    length = np.sqrt(size[keep])
    mix = turn[:, keep] / length
    return w @ mix, kw @ mix, length[:, None] * turn[:, keep].T


@lru_cache(maxsize=8)
def random_block(size: int, width: int) -> Floats:
    """Return the same random start (size, width) every time, so that answers repeat."""
    block = np.random.default_rng(3).standard_normal((size, width))
    block.setflags(write=False)
    return block
