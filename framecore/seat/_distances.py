"""Points in a plane from distances between them: starts, refinement, and the other patterns the distances allow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.sparse.csgraph import shortest_path

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_STARTS = 24
_SEED = 4_711


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ties:
    """Distances: between points ``a`` and ``b`` (m,), 0-based, ``length`` (m,) mm; ``count`` points in all."""

    count: int
    a: Index
    b: Index
    length: Array

    def without(self, k: int) -> Ties:
        """Return the ties but the k-th."""
        keep = np.arange(len(self.a)) != k
        return Ties(count=self.count, a=self.a[keep], b=self.b[keep], length=self.length[keep])

    def misfits(self, points: Array) -> Array:
        """Return measured less computed, (m,) mm."""
        off = points[self.a] - points[self.b]
        return np.asarray(self.length - np.hypot(off[:, 0], off[:, 1]), dtype=np.float64)

    def jacobian(self, points: Array) -> Array:
        """Return how each distance grows with each coordinate, (m, 2 count): x1, y1, x2, ..."""
        off = points[self.a] - points[self.b]
        unit = off / np.maximum(np.hypot(off[:, 0], off[:, 1]), 1e-12)[:, None]
        out = np.zeros((len(self.a), self.count, 2))
        rows = np.arange(len(self.a))
        out[rows, self.a] = unit
        out[rows, self.b] = -unit
        return out.reshape(len(self.a), -1)


def placed(points: Array) -> Array:
    """Return the points with the first at the origin and the second on +x."""
    moved = points - points[0]
    x, y = moved[1]
    size = float(np.hypot(x, y)) or 1.0
    return np.asarray(moved @ np.array([[x, -y], [y, x]]) / size, dtype=np.float64)


def refine(ties: Ties, start: Array) -> Array:
    """Return the points whose distances fit best near ``start``, in the gauge of ``placed``."""
    free = np.r_[2, 4 : 2 * ties.count]
    flat = placed(start).ravel()

    def full(v: Array) -> Array:
        out = np.zeros(2 * ties.count)
        out[free] = v
        return out.reshape(-1, 2)

    def residuals(v: Array) -> Array:
        return -ties.misfits(full(v))

    def slopes(v: Array) -> Array:
        return np.asarray(ties.jacobian(full(v))[:, free], dtype=np.float64)

    method: Literal["lm", "trf"] = "lm" if len(ties.a) >= len(free) else "trf"
    found = least_squares(residuals, flat[free], jac=slopes, method=method, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    return placed(full(found.x))


def starts(ties: Ties) -> Iterator[Array]:
    """Yield points to start from: distances along the shortest chain laid flat, then chance."""
    n = ties.count
    graph = np.zeros((n, n))
    graph[ties.a, ties.b] = graph[ties.b, ties.a] = ties.length
    far = shortest_path(graph, directed=False)
    flat = np.eye(n) - 1.0 / n
    values, vectors = np.linalg.eigh(-0.5 * flat @ far**2 @ flat)
    laid = vectors[:, -2:] * np.sqrt(np.maximum(values[-2:], 0.0))
    rng = np.random.default_rng(_SEED)
    size = float(ties.length.max())
    yield laid + rng.normal(0.0, 1e-3 * size, laid.shape)
    for k in range(_STARTS):
        if k % 2:
            yield rng.uniform(0.0, size, (n, 2))
        else:
            yield laid + rng.normal(0.0, 0.2 * size, laid.shape)


def folded(ties: Ties, points: Array) -> Iterator[Array]:
    """Yield the pattern with each part that hangs on two holes alone folded over the line through them."""
    n = ties.count
    near: list[set[int]] = [set() for _ in range(n)]
    for a, b in zip(ties.a.tolist(), ties.b.tolist(), strict=True):
        near[a].add(b)
        near[b].add(a)
    for i, j in combinations(range(n), 2):
        parts = _parts(near, i, j)
        if len(parts) < 2:
            continue
        along = points[j] - points[i]
        size = float(np.hypot(*along))
        if size < 1e-9:
            continue
        along = along / size
        for part in parts[1:] if len(parts) == 2 else parts:
            out = points.copy()
            own = sorted(part)
            off = points[own] - points[i]
            out[own] = points[i] + 2.0 * (off @ along)[:, None] * along - off
            yield out


def _parts(near: list[set[int]], i: int, j: int) -> list[set[int]]:
    """Return what the points other than i and j fall into when those two are taken out."""
    left = set(range(len(near))) - {i, j}
    parts = []
    while left:
        part: set[int] = set()
        todo = {min(left)}
        while todo:
            k = todo.pop()
            part.add(k)
            todo |= (near[k] - {i, j}) - part
        left -= part
        parts.append(part)
    return parts


def apart(one: Array, other: Array) -> float:
    """Return how far two patterns differ at most when laid on each other, turned or mirrored as they fit best, mm."""
    best = np.inf
    a = one - one.mean(axis=0)
    for mirror in (1.0, -1.0):
        b = (other - other.mean(axis=0)) * (1.0, mirror)
        turn = np.arctan2((b[:, 0] * a[:, 1] - b[:, 1] * a[:, 0]).sum(), (a * b).sum())
        c, s = np.cos(turn), np.sin(turn)
        best = min(best, float(np.hypot(*(b @ np.array([[c, s], [-s, c]]) - a).T).max()))
    return best
