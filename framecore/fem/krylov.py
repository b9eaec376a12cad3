"""Largest eigenvalues mu of A x = mu K x by block Krylov steps in the K inner product.

K is known by its factor alone: every new block is W = K^-1 A Q, so K W = A Q comes free. One routine serves
vibration (A = mass, mu = 1/omega2) and buckling (A = -geometric stiffness, mu = 1/load factor).

Source: block Lanczos with full reorthogonalisation and Rayleigh-Ritz; Parlett, The Symmetric Eigenvalue
Problem (1980), ch. 13, from memory.
"""

from __future__ import annotations

from collections.abc import Callable

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
    q, kq, _ = _orthonormal(solve(right), right, 0.0)
    basis, image, products = [q], [kq], []
    mu, y = np.zeros(0), np.zeros((0, 0))
    for step in range(1, max_steps + 1):
        aq = a @ basis[-1]
        whole, whole_image = np.hstack(basis), np.hstack(image)
        products.append(whole.T @ aq)
        size = whole.shape[1]
        last = step == max_steps or size >= a.shape[0]
        w = kw = None
        if not last:
            w, kw = solve(aq), aq
            w = w - whole @ products[-1]
            h = whole_image.T @ w
            w, kw = w - whole @ h, kw - whole_image @ (products[-1] + h)
            scale = float(np.abs(products[0]).max())
            w, kw, beta = _orthonormal(w, kw, _TINY * scale)
            if w.shape[1]:
                h = whole_image.T @ w
                w, kw, _ = _orthonormal(w - whole @ h, kw - whole_image @ h, 0.0)
            last = w.shape[1] == 0
        if last or step >= first_check:
            mu, y = _ritz(products, size)
            if last:
                break
            width = basis[-1].shape[1]
            residual = np.linalg.norm(beta @ y[-width:, :count], axis=0)
            if mu.size >= count and (residual <= tolerance * np.abs(mu[:count])).all():
                break
        assert w is not None and kw is not None
        basis.append(w)
        image.append(kw)
    return mu[:count], np.hstack(basis)[:, : len(y)] @ y[:, :count]


def _ritz(products: list[Floats], size: int) -> tuple[Floats, Floats]:
    """Eigenpairs of the projected matrix from its block columns, largest first."""
    t = np.zeros((size, size))
    at = 0
    for block in products:
        rows, width = block.shape
        t[:rows, at : at + width] = block
        at += width
    mu, y = np.linalg.eigh(t, UPLO="U")
    return mu[::-1], y[:, ::-1]


def _orthonormal(w: Floats, kw: Floats, floor: float) -> tuple[Floats, Floats, Floats]:
    """Make w'Kw = I, dropping directions without length; beta holds w = w_new beta."""
    gram = w.T @ kw
    size, turn = np.linalg.eigh(0.5 * (gram + gram.T))
    keep = size > max(floor**2, 1e-14 * float(size[-1]), 1e-300)
    length = np.sqrt(size[keep])
    mix = turn[:, keep] / length
    return w @ mix, kw @ mix, length[:, None] * turn[:, keep].T
