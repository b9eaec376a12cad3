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
from scipy.linalg.lapack import dsyevd
from scipy.sparse import csr_array

from framecore.fem.model import Floats

_TINY = 1e-9  # a direction this small beside the largest mu is rounding: the space is exhausted
_ASLANT = 1e-10  # a new block this far from square to the old ones is turned once more
_PARALLEL = 1e-4  # of the largest square length in a block; shorter directions have lost digits that matter


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
    # Vectors lie in rows, each in one piece of memory, as the products below and LAPACK's solver want them.
    basis, image = np.empty((room, n)), np.empty((room, n))
    projected = np.zeros((room, room))  # upper triangle of Q'AQ
    w, kw, beta = _orthonormal(solve(right).T, right.T, 0.0)
    size, scale = 0, 0.0
    mu, y = np.zeros(0), np.zeros((0, 0))
    for step in range(1, max_steps + 1):
        width = len(w)
        old, size = size, size + width
        basis[old:size], image[old:size] = w, kw
        q, kq = basis[:size], image[:size]
        aq = np.ascontiguousarray((a @ w.T).T)
        h = aq @ q.T
        projected[:size, old:size] = h.T
        scale = scale or float(np.abs(h).max(initial=0.0))
        w = solve(aq.T).T - h @ q
        again = w @ kq.T
        w -= again @ q
        w, kw, beta = _orthonormal(w, aq - (h + again) @ kq, _TINY * scale)
        last = step == max_steps or not len(w) or size + len(w) > room
        if last or step >= first_check:
            mu, y, _ = dsyevd(projected[:size, :size])
            mu, y = mu[::-1][:count], y[:, ::-1][:, :count]
            residual = np.sqrt(((beta @ y[old:size]) ** 2).sum(0))
            if last or (mu.size == count and (residual <= tolerance * np.abs(mu)).all()):
                break
        again = w @ kq.T
        if np.abs(again).max() > _ASLANT:  # the block was nearly inside the old space
            w, kw, _ = _orthonormal(w - again @ q, kw - again @ kq, 0.0)
    return mu, basis[:size].T @ y


def _orthonormal(w: Floats, kw: Floats, floor: float) -> tuple[Floats, Floats, Floats]:
    """Make the rows' w K w' = I, dropping directions without length; beta holds w' = w_new' beta."""
    gram = w @ kw.T
    size, turn, _ = dsyevd(0.5 * (gram + gram.T))
    keep = size > max(floor**2, 1e-14 * float(size[-1]), 1e-300)
    if not keep.all():
        size, turn = size[keep], turn[:, keep]
    length = np.sqrt(size)
    mix, beta = (turn / length).T, length[:, None] * turn.T
    w, kw = mix @ w, mix @ kw
    if size.size and size[0] < _PARALLEL * size[-1]:  # what told them apart was mostly rounding
        w, kw, more = _orthonormal(w, kw, 0.0)
        beta = more @ beta
    return w, kw, beta


@lru_cache(maxsize=8)
def random_block(size: int, width: int) -> Floats:
    """Return the same random start (size, width) every time, so that answers repeat."""
    block = np.random.default_rng(3).standard_normal((size, width))
    block.setflags(write=False)
    return block
