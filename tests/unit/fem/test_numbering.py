"""Bands beside the narrowest that are possible; exchanges of two nodes need not find it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import reverse_cuthill_mckee

from framecore.fem.numbering import narrow, width


def grid(rows: int, columns: int) -> np.ndarray:
    at = np.arange(rows * columns).reshape(rows, columns)
    pairs = (at[:, :-1], at[:, 1:]), (at[:-1], at[1:])
    return np.concatenate([np.stack([a.ravel(), b.ravel()], 1) for a, b in pairs])


def shuffled(edges: np.ndarray, seed: int = 3) -> np.ndarray:
    return np.random.default_rng(seed).permutation(edges.max() + 1)[edges]


RING = np.array([(k, (k + 1) % 20) for k in range(20)])
# A path has width 1, a ring 2, a grid its shorter side, a star half its rays: Chinn, Chvatalova, Dewdney and Gibbs, The
# bandwidth problem for graphs and matrices, J. Graph Theory 6 (1982), from memory.
KNOWN = {
    "path": (RING[:-1], 1), "ring": (RING, 2), "grid 4 x 9": (grid(4, 9), 4),
    "star of 9": (np.array([(0, k) for k in range(1, 10)]), 5),
}  # fmt: skip


@pytest.mark.parametrize(("edges", "known"), KNOWN.values(), ids=KNOWN)
def test_bands_of_known_width(edges, known):
    edges = shuffled(edges)
    places = narrow(edges, int(edges.max()) + 1)
    assert sorted(places.tolist()) == list(range(edges.max() + 1))
    assert known <= width(places, edges) <= known + 1


@pytest.mark.parametrize("rows", [3, 14])
def test_no_wider_than_levels_alone(rows):
    """SciPy's reverse Cuthill-McKee on the same net; the larger one has more nodes than are taken by their sway."""
    edges = shuffled(grid(rows, 15))
    count = int(edges.max()) + 1
    net = csr_array((np.ones(2 * len(edges)), (np.r_[edges[:, 0], edges[:, 1]], np.r_[edges[:, 1], edges[:, 0]])), (count,) * 2)
    levels = np.argsort(reverse_cuthill_mckee(net.tocsr(), symmetric_mode=True))
    assert width(narrow(edges, count), edges) <= width(levels, edges)


def test_alone_twice_and_with_itself():
    """Nodes without elements, an element given twice and one from a node to itself."""
    edges = np.array([(0, 1), (1, 0), (2, 2), (1, 4)])
    places = narrow(edges, 6)
    assert sorted(places.tolist()) == list(range(6)) and width(places, edges) == 1
    assert narrow(np.zeros((0, 2), int), 3).tolist() == [0, 1, 2]


def test_like_elements_like_places():
    edges = shuffled(grid(4, 9))
    assert np.array_equal(narrow(edges, 36), narrow(edges.copy(), 36))
