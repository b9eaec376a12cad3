"""Node numbers that keep the stiffness matrix a narrow band.

The order along the slowest way a net of springs sways, or by levels where nets are large, then single exchanges.

Source: reverse Cuthill-McKee as in SciPy; spectral order, Barnard, Pothen and Simon, Numer. Linear Algebra Appl. 2 (1995),
from memory.
"""

from __future__ import annotations

import math
import random

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import reverse_cuthill_mckee

from framecore.fem.model import Floats, Ints

_LEVEL_STARTS = 5  # start orders tried: what comes of levels hangs on where they begin
_DENSE = 160  # nodes: eigenvectors of more take longer than a wider band
_PATIENCE = 150  # exchanges tried without a narrower band; a few ms, once for every set of elements


def narrow(elements: Ints, n_nodes: int) -> Ints:
    """Return the place of each node, (n,), so that elements (m, 2) join places not far apart; like elements, like places."""
    edges = np.array(elements, np.intp)
    edges = edges[edges[:, 0] != edges[:, 1]]
    if not len(edges):
        return np.arange(n_nodes)
    start = _by_sway(edges, n_nodes) if n_nodes <= _DENSE else _by_levels(edges, n_nodes)
    return _exchanged(start, edges)


def width(position: Ints, edges: Ints) -> int:
    """Largest distance between the places of two joined nodes."""
    return int(np.abs(position[edges[:, 0]] - position[edges[:, 1]]).max(initial=0))


def _placed(order: Ints) -> Ints:
    position = np.empty(len(order), np.intp)
    position[order] = np.arange(len(order))
    return position


def _by_sway(edges: Ints, n_nodes: int) -> Ints:
    net: Floats = np.zeros((n_nodes, n_nodes))
    net[edges[:, 0], edges[:, 1]] = net[edges[:, 1], edges[:, 0]] = -1.0
    np.fill_diagonal(net, -net.sum(1))
    # Rounded, so that nodes that sway alike stay in their own order on every machine.
    return _placed(np.argsort(np.linalg.eigh(net)[1][:, 1].round(9), kind="stable"))


def _by_levels(edges: Ints, n_nodes: int) -> Ints:
    rows, cols = np.concatenate([edges, edges[:, ::-1]]).T
    graph = csr_array((np.ones(len(rows)), (rows, cols)), shape=(n_nodes, n_nodes))
    rng = np.random.default_rng(0)
    orders = [np.arange(n_nodes), *(rng.permutation(n_nodes) for _ in range(_LEVEL_STARTS))]
    found = [_placed(order[reverse_cuthill_mckee(graph[order][:, order].tocsr(), True)]) for order in orders]
    return min(found, key=lambda position: width(position, edges))


def _exchanged(start: Ints, edges: Ints) -> Ints:
    """Exchange two nodes wherever that leaves no more of the widest elements than there were."""
    places = _Places(start, edges)
    chance = random.Random(1)
    limit, since = places.widest(), 0
    wide = places.at_limit(limit)
    while since < _PATIENCE and limit > places.least:
        since += 1
        node = chance.choice(wide)
        if places.reach(node) < limit:
            wide.remove(node)
        else:
            other = places.node_at(chance.randint(*places.between(node, limit)))
            before = places.at_once(limit, node, other)
            places.exchange(node, other)
            if places.at_once(limit, node, other) > before:
                places.exchange(node, other)
            else:
                wide += [k for k in places.around(node, other) if k not in wide and places.reach(k) == limit]
        if not wide:
            now = places.widest()
            limit, since, wide = now, since if now == limit else 0, places.at_limit(now)
    return np.array(places.position, np.intp)


class _Places:
    """Nodes in a row: ``position`` of each, and how far apart joined ones are."""

    def __init__(self, start: Ints, edges: Ints) -> None:
        self.position: list[int] = start.tolist()
        self._nodes: list[int] = np.argsort(start).tolist()
        self._joined: list[list[int]] = [[] for _ in start]
        for a, b in np.unique(np.sort(edges, 1), axis=0).tolist():
            self._joined[a].append(b)
            self._joined[b].append(a)
        self.least = (max(map(len, self._joined)) + 1) // 2  # on both sides of the node where most elements meet

    def reach(self, node: int) -> int:
        here = self.position[node]
        return max((abs(here - self.position[k]) for k in self._joined[node]), default=0)

    def widest(self) -> int:
        return max(map(self.reach, range(len(self.position))))

    def at_limit(self, limit: int) -> list[int]:
        return [k for k in range(len(self.position)) if self.reach(k) == limit]

    def node_at(self, place: int) -> int:
        return self._nodes[place]

    def between(self, node: int, limit: int) -> tuple[int, int]:
        """First and last place where a node's elements are no wider than the limit."""
        places = [self.position[k] for k in self._joined[node]]
        return max(0, max(places) - limit), min(len(self.position) - 1, min(places) + limit)

    def around(self, a: int, b: int) -> list[int]:
        """Return two nodes and all that are joined to them, each once."""
        return list(dict.fromkeys((a, b, *self._joined[a], *self._joined[b])))

    def exchange(self, a: int, b: int) -> None:
        at = self.position
        at[a], at[b] = at[b], at[a]
        self._nodes[at[a]], self._nodes[at[b]] = a, b

    def at_once(self, limit: int, a: int, b: int) -> float:
        """How many elements of two nodes are as wide as the limit; endless where one is wider."""
        count = 0
        for node in (a, b):
            here = self.position[node]
            for k in self._joined[node]:
                span = abs(here - self.position[k])
                if span > limit:
                    return math.inf
                count += span == limit
        return count
