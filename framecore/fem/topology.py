"""Numbering of the freedoms and where each element's terms go; kept while the elements stay the same."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from framecore.fem.model import Floats, Ints
from framecore.fem.numbering import narrow


@dataclass(frozen=True, eq=False)
class Topology:
    """Banded numbering of one set of elements.

    Attributes
    ----------
    elements : (m, 2) the node numbers it was made for
    position : (n,) place of each node in the banded order
    half_band : number of superdiagonals
    """

    elements: Ints
    position: Ints
    half_band: int
    _band_take: Ints
    _band_put: Ints
    _sparse_put: Ints
    _indices: Ints
    _indptr: Ints

    @classmethod
    def of(cls, elements: Ints, n_nodes: int) -> Topology:
        """Number the nodes so that the band is narrow."""
        elements = np.array(elements, np.intp)
        position = narrow(elements, n_nodes)
        blocks = np.concatenate([position[elements], np.repeat(position[:, None], 2, 1)])
        dof = (blocks[:, :, None] * 6 + np.arange(6)).reshape(len(blocks), 12)
        m = len(elements)
        # terms of all elements (12 x 12), then one 6 x 6 block a node for springs and masses
        row = np.concatenate([np.repeat(dof[:m], 12, 1).ravel(), np.repeat(dof[m:, :6], 6, 1).ravel()])
        col = np.concatenate([np.tile(dof[:m], 12).ravel(), np.tile(dof[m:, :6], 6).ravel()])
        half = int(np.abs(row - col).max(initial=0))
        take = np.flatnonzero(row <= col)
        put = half + row[take] - col[take] + col[take] * (half + 1)
        size = 6 * n_nodes
        pattern, where = np.unique(row * size + col, return_inverse=True)
        indptr = np.searchsorted(pattern // size, np.arange(size + 1))
        return cls(elements, position, half, take, put, where,
                   (pattern % size).astype(np.int32), indptr.astype(np.int32))  # fmt: skip

    @property
    def n_nodes(self) -> int:
        """Number of nodes."""
        return len(self.position)

    def fits(self, elements: Ints, n_nodes: int) -> bool:
        """Whether this numbering was made for these elements."""
        return n_nodes == self.n_nodes and np.array_equal(self.elements, elements)

    def band(self, terms: Floats, node_terms: Floats) -> Floats:
        """Sum (m, 12, 12) and (n, 6, 6) terms into LAPACK upper band storage, (half_band + 1, 6 n)."""
        values = np.concatenate([terms.ravel(), node_terms.ravel()])[self._band_take]
        size = 6 * self.n_nodes
        flat = np.bincount(self._band_put, values, (self.half_band + 1) * size).astype(float, copy=False)
        return np.asarray(flat.reshape(size, self.half_band + 1).T)

    def sparse(self, terms: Floats, node_terms: Floats | None = None) -> csr_array:
        """Sum terms into a sparse symmetric matrix in banded order, (6 n, 6 n)."""
        if node_terms is None:
            node_terms = np.zeros((self.n_nodes, 6, 6))
        values = np.concatenate([terms.ravel(), node_terms.ravel()])
        data = np.bincount(self._sparse_put, values, len(self._indices))
        return csr_array((data, self._indices, self._indptr), shape=(6 * self.n_nodes,) * 2)

    def inward(self, values: Floats) -> Floats:
        """Reorder (n, 6, c) to the banded order, (6 n, c), Fortran order."""
        out = np.empty_like(values)
        out[self.position] = values
        return np.asfortranarray(out.reshape(6 * self.n_nodes, -1))

    def outward(self, values: Floats) -> Floats:
        """Reorder (6 n, c) from the banded order back to (n, 6, c)."""
        return np.asarray(values.reshape(self.n_nodes, 6, -1)[self.position])
