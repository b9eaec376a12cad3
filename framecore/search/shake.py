"""Lowest natural modes of many stands of one family at once, with the consistent masses of the full evaluation.

Two blocks of Krylov vectors, begun from the modes of one stand of the family, and the Rayleigh quotient on their span.

Source: block Lanczos, Parlett, The Symmetric Eigenvalue Problem (1980), ch. 13, from memory; mass as in ``fem.element``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import SimpleNamespace
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from framecore.fem import Topology, element
from framecore.fem.krylov import random_block
from framecore.fem.model import FrameModel, skew
from framecore.search.kit import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Solve = Callable[[Floats], None]
MODES = 6  # as many as the full evaluation finds
GUARDS = 2  # more vectors than modes: what lies next may come down in another stand of the family
_STIR = 0.02  # random part of the start, so that no new shape can stay hidden
_TINY = 1e-12  # a direction with this share of the energy is made of the others
_ROUNDING = 1e-11  # of the largest mu: a step this short is rounding


class Shaker:
    """Finds the modes of stands of one family; ``carries`` (m,) which elements have mass."""

    def __init__(self, shape: Shape, topology: Topology, carries: NDArray[np.bool_]) -> None:
        self._shape, self._topology = shape, topology
        self._heavy = np.flatnonzero(carries)
        self._size = 6 * topology.n_nodes
        places = topology.position[:, None] * 6 + np.arange(6)
        ends = places[shape.elements[self._heavy]].reshape(-1, 12)
        # Where the terms of elements, then those of nodes, stand in a matrix; one place may have terms of several.
        row = np.concatenate([ends.repeat(12, 1).ravel(), places.repeat(6, 1).ravel()])
        col = np.concatenate([np.tile(ends, 12).ravel(), np.tile(places, 6).ravel()])
        self._order = np.argsort(row, kind="stable")
        self._columns = col[self._order].astype(np.int32)
        self._rows = np.searchsorted(row[self._order], np.arange(self._size)).astype(np.int32)
        self.start = np.zeros((self._size, 0))

    def begin(self, shapes: Floats) -> None:
        """Take mode shapes (n, 6, p) of one stand of the family as a start."""
        start = self._topology.inward(shapes)
        noise = random_block(self._size, start.shape[1])
        size = np.linalg.norm(start, axis=0) / np.linalg.norm(noise, axis=0)
        self.start = start + _STIR * size * noise

    def masses(
        self, part: dict[str, Floats], section: Floats, length: Floats, axes: Floats, heavy: Floats
    ) -> Masses:
        """Mass of each stand.

        Parameters
        ----------
        part : fields of the rows; section (k, m, 9), length (k, m), axes (k, m, 3, 3), heavy (k, m) t
        """
        at = self._heavy
        count, many = len(section), len(at)
        s = section[:, at].reshape(count * many, -1)
        flat = SimpleNamespace(
            elements=range(count * many), axes=axes[:, at].reshape(-1, 3, 3), length=length[:, at].ravel(),
            end_offsets=part["offsets"].reshape(count, -1, 2, 3)[:, at].reshape(-1, 2, 3),
            shear_centres=part["shear_centre"].reshape(count, -1, 2)[:, at].reshape(-1, 2),
            area=s[:, 0], i_y=s[:, 1], i_z=s[:, 2], j=s[:, 3], shear_y=s[:, 4], shear_z=s[:, 5],
            e=np.tile(self._shape.e[at], count), g=np.tile(self._shape.g[at], count),
            density=(heavy / length)[:, at].ravel() / s[:, 0],
        )  # fmt: skip
        flat.per_element = lambda name: getattr(flat, name)
        model = cast(FrameModel, flat)  # the matrices of an element ask for no more
        turn = element.transform(model)
        terms = turn.transpose(0, 2, 1) @ (element.mass(model) @ turn)
        values = np.concatenate([terms.reshape(count, -1), self._lumps(part).reshape(count, -1)], 1)
        stand, width = np.arange(count, dtype=np.int32)[:, None], values.shape[1]
        indices = (self._columns + np.int32(self._size) * stand).ravel()
        indptr = np.append((self._rows + np.int32(width) * stand).ravel(), np.int32(count * width))
        data = values.take(self._order, 1).ravel()
        return Masses(csr_array((data, indices, indptr), shape=(count * self._size,) * 2), count)

    def _lumps(self, part: dict[str, Floats]) -> Floats:
        """What parts and the machine weigh at the nodes, (k, n, 6, 6)."""
        at, mass = self._shape.mass_nodes, part["mass"]
        s = skew(part["mass_offset"].reshape(len(mass), -1, 3))
        block = np.zeros((*mass.shape, 6, 6))
        block[..., :3, :3] = np.eye(3)
        block[..., :3, 3:] = -s
        block[..., 3:, :3] = s
        block[..., 3:, 3:] = s.swapaxes(-1, -2) @ s
        block *= mass[..., None, None]
        out = np.zeros((len(mass), self._topology.n_nodes, 36))
        if len(at):
            order = np.argsort(at, kind="stable")
            first = np.flatnonzero(np.r_[True, np.diff(at[order]) > 0])
            out[:, at[order][first]] = np.add.reduceat(block.reshape(len(mass), -1, 36)[:, order], first, axis=1)
        return out.reshape(len(mass), -1, 6, 6)

    def frequencies(self, masses: Masses, right: Floats, found: Floats, solves: Sequence[Solve]) -> Floats:
        """Return the lowest frequencies (k, MODES), Hz, nan where a stand has none.

        Parameters
        ----------
        right, found : (k, p, 6 n) mass times start, and the displacements under that
        solves : per stand (p, 6 n) -> displacements under that, in place
        """
        count = len(found)
        out = np.full((count, MODES), np.nan)
        good = np.flatnonzero(np.isfinite(found).all((1, 2)))
        if not len(good):
            return out
        masses, right, found = masses.some(good), right[good], found[good]
        # The first block, turned so that its own quotients are apart: Q'KQ = 1, Q'MQ = diag(mu).
        image = masses.times(found)
        turn, mu = _ritz(found @ right.swapaxes(1, 2), found @ image.swapaxes(1, 2))
        q, kq, mq = turn @ found, turn @ right, turn @ image
        # The second is what another step brings besides: W = K^-1 M Q - Q mu.
        w = mq.copy()
        for k, one in zip(good.tolist(), w, strict=True):
            solves[k](one)
        w -= mu[..., None] * q
        kw = mq - mu[..., None] * kq
        mix = _whole(w @ kw.swapaxes(1, 2), (_ROUNDING * mu[:, -1]) ** 2)
        w, kw = mix @ w, mix @ kw
        mw = masses.times(w)
        cross = q @ mw.swapaxes(1, 2)
        p = cross.shape[1]
        small = np.empty((len(good), 2 * p, 2 * p))
        small[:, :p, :p] = mu[:, :, None] * np.eye(p)
        small[:, :p, p:], small[:, p:, :p] = cross, cross.swapaxes(1, 2)
        small[:, p:, p:] = w @ mw.swapaxes(1, 2)
        best = np.linalg.eigvalsh(small)[:, : -MODES - 1 : -1]
        with np.errstate(divide="ignore", invalid="ignore"):
            out[good, : best.shape[1]] = 1 / (2 * np.pi * np.sqrt(best))
        return out


class Masses:
    """Mass matrices of k stands, side by side in one (k 6 n, k 6 n)."""

    def __init__(self, matrix: csr_array, count: int) -> None:
        self._matrix, self._count = matrix, count

    def some(self, rows: Ints) -> Masses:
        """Return those of some stands."""
        if len(rows) == self._count:
            return self
        size = self._matrix.shape[0] // self._count
        at = (rows[:, None] * size + np.arange(size)).ravel()
        return Masses(self._matrix[at][:, at], len(rows))

    def times(self, vectors: Floats) -> Floats:
        """Mass times vectors (k, p, 6 n) of every stand."""
        count, p, size = vectors.shape
        out = self._matrix @ np.ascontiguousarray(vectors.swapaxes(1, 2)).reshape(-1, p)
        return np.ascontiguousarray(out.reshape(count, size, p).swapaxes(1, 2))


def _whole(gram: Floats, floor: Floats) -> Floats:
    """Rows that make vectors of this Gram matrix (k, p, p) orthonormal; those below ``floor`` (k,) become nothing."""
    own = np.diagonal(gram, axis1=1, axis2=2)
    long = own > floor[:, None]
    scale = np.where(long, 1 / np.sqrt(np.where(long, own, 1.0)), 0.0)
    even = scale[:, :, None] * gram * scale[:, None]
    size, turn = np.linalg.eigh(0.5 * (even + even.swapaxes(1, 2)))
    keep = size > _TINY
    mix = np.where(keep, 1 / np.sqrt(np.where(keep, size, 1.0)), 0.0)[..., None] * turn.swapaxes(1, 2)
    return np.asarray(mix * scale[:, None])


def _ritz(stiff: Floats, mass: Floats) -> tuple[Floats, Floats]:
    """Rows that make stiffness (k, p, p) one and mass diagonal, and that diagonal (k, p)."""
    mix = _whole(stiff, np.zeros(len(stiff)))
    inner = mix @ mass @ mix.swapaxes(1, 2)
    mu, turn = np.linalg.eigh(0.5 * (inner + inner.swapaxes(1, 2)))
    return turn.swapaxes(1, 2) @ mix, mu
