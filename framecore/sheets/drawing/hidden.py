"""Hidden lines of a mesh seen along a direction, orthographic.

Every edge is held against every front-facing triangle whose box it touches: clip it to the triangle, and
what lies behind the triangle's plane is hidden. No sorting, no polygon booleans. Coincident pieces are then
merged line by line, and what is visible wins over what is hidden.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]
DEPTH = 1e-3  # mm behind a face before an edge counts as hidden
GRID = 0.01  # mm, pieces nearer than this are the same line
CHUNK = 256


@dataclass(frozen=True, slots=True)
class View:
    """A direction to look in. Paper x is ``right``, paper y is ``up``; unit vectors."""

    name: str
    right: tuple[float, float, float]
    up: tuple[float, float, float]

    @property
    def forward(self) -> Array:
        """Unit vector from the eye into the scene."""
        (a, b, c), (d, e, f) = self.up, self.right
        return np.array((b * f - c * e, c * d - a * f, a * e - b * d))

    def flat(self, points: Array) -> Array:
        """Project (n, 3) points to (n, 2) view coordinates, mm."""
        return np.asarray(points @ np.array([self.right, self.up]).T)


FRONT = View("front", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
LEFT = View("left", (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
RIGHT = View("right", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
TOP = View("top", (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def pictorial(turn: float = 0.6, tilt: float = 0.42) -> View:
    """A three-quarter view from the front right and above; ``turn``, ``tilt`` rad."""
    c, s, ct, st = np.cos(turn), np.sin(turn), np.cos(tilt), np.sin(tilt)
    return View("pictorial", (float(c), float(s), 0.0), (float(-s * st), float(c * st), float(ct)))


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Visible and hidden pieces, each (k, 2, 2) view coordinates, mm."""

    visible: Array
    hidden: Array


def silhouettes(vertices: Array, faces: NDArray[np.int32], view: View) -> NDArray[np.int32]:
    """Mesh edges (k, 2) between a face seen from the front and one seen from behind."""
    front = _facing(vertices, faces, view) < -1e-9
    pairs = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    owner = np.repeat(np.arange(len(faces)), 3)
    order = np.lexsort((pairs[:, 1], pairs[:, 0]))
    p, o = pairs[order], owner[order]
    twin = np.flatnonzero((p[1:] == p[:-1]).all(axis=1))
    turned = front[o[twin]] != front[o[twin + 1]]
    return np.asarray(p[twin[turned]], dtype=np.int32)


def _facing(vertices: Array, faces: NDArray[np.int32], view: View) -> Array:
    x, y, z = vertices.T
    i, j, k = faces.T
    ux, uy, uz, vx, vy, vz = (w[m] - w[i] for m in (j, k) for w in (x, y, z))
    nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    size = np.sqrt(nx * nx + ny * ny + nz * nz)
    fx, fy, fz = view.forward.tolist()
    return np.asarray((nx * fx + ny * fy + nz * fz) / np.where(size > 0, size, 1.0))


def hidden_lines(
    vertices: Array, faces: NDArray[np.int32], edges: NDArray[np.int32], view: View, outlined: NDArray[np.int32] | None = None
) -> Drawn:
    """Split ``edges`` into visible and hidden pieces.

    Parameters
    ----------
    vertices : (n, 3) mm
    faces : (m, 3) counter-clockwise from outside
    edges : (k, 2) edges to draw; silhouettes of ``outlined`` are added
    view : where from
    outlined : (j, 3) faces whose silhouettes are drawn, those that hide when None

    Returns
    -------
    Drawn
        merged pieces; a piece is in one of both only, and visible wins.
    """
    seen = faces[_facing(vertices, faces, view) < -1e-6]
    outlines = silhouettes(vertices, faces if outlined is None else outlined, view)
    every = np.unique(np.sort(np.vstack([edges, outlines]), axis=1), axis=0)
    flat, depth = view.flat(vertices), vertices @ view.forward
    a, b = flat[every[:, 0]], flat[every[:, 1]]
    keep = np.hypot(*(b - a).T) > GRID
    every, a, b = every[keep], a[keep], b[keep]
    da, db = depth[every[:, 0]], depth[every[:, 1]]
    edge_of, t0, t1 = _shadows(a, b, da, db, flat[seen], depth[seen])
    return _merge(*_cut(a, b, edge_of, t0, t1))


def exposed(
    vertices: Array, faces: NDArray[np.int32], starts: Array, ends: Array, view: View
) -> list[list[tuple[float, float]]]:
    """Find the stretches (from, to), shares of its length, over which each line in space is in sight.

    Parameters
    ----------
    starts, ends : (k, 3) mm; a line seen on its end counts as whole in sight or not at all
    """
    seen = faces[_facing(vertices, faces, view) < -1e-6]
    # A line seen on its end is drawn out a little, for a point lies in no triangle's box.
    a, b = view.flat(starts), view.flat(ends)
    point = np.hypot(*(b - a).T) < GRID
    b = np.where(point[:, None], a + np.array([5 * GRID, 0.0]), b)
    da, db = starts @ view.forward, ends @ view.forward
    da = np.where(point, np.minimum(da, db), da)
    db = np.where(point, da, db)
    edge, t0, t1 = _shadows(a, b, da, db, view.flat(vertices)[seen], (vertices @ view.forward)[seen])
    out: list[list[tuple[float, float]]] = []
    for k in range(len(starts)):
        own = edge == k
        order = np.argsort(t0[own])
        gone = _union(t0[own][order], t1[own][order], 1e-6)
        if point[k]:
            out.append([] if gone else [(0.0, 1.0)])
            continue
        clear, reach = list[tuple[float, float]](), 0.0
        for s, e in [*gone, (1.0, 1.0)]:
            if s - reach > 1e-3:
                clear.append((reach, s))
            reach = max(reach, e)
        out.append(clear)
    return out


def _shadows(
    a: Array, b: Array, da: Array, db: Array, tri: Array, tri_depth: Array
) -> tuple[NDArray[np.int64], Array, Array]:
    """Hidden intervals (edge, t0, t1) of every edge behind every triangle."""
    low, high = tri.min(axis=1), tri.max(axis=1)
    near = tri_depth.min(axis=1)
    found: list[tuple[NDArray[np.intp], Array, Array]] = []
    e_low, e_high, e_far = np.minimum(a, b), np.maximum(a, b), np.maximum(da, db)
    for first in range(0, len(a), CHUNK):
        s = slice(first, first + CHUNK)
        touch = e_far[s, None] > near + DEPTH
        for k in (0, 1):
            touch &= _overlap(e_low[s, k], e_high[s, k], low[:, k], high[:, k])
        i, j = np.nonzero(touch)
        i = i + first
        t0, t1 = _clip(a[i], b[i], da[i], db[i], tri[j], tri_depth[j])
        ok = t1 - t0 > 1e-9
        found.append((i[ok], t0[ok], t1[ok]))
    if not found:
        return np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)
    e = np.concatenate([f[0] for f in found]).astype(np.int64)
    return e, np.concatenate([f[1] for f in found]), np.concatenate([f[2] for f in found])


def _overlap(e_low: Array, e_high: Array, low: Array, high: Array) -> NDArray[np.bool_]:
    """Which edges' spans (k) enter which triangles' spans (m); an edge with no width may lie on the rim."""
    out = (e_low[:, None] < high - GRID / 10) & (e_high[:, None] > low + GRID / 10)
    thin = np.flatnonzero(e_high - e_low < GRID)
    out[thin] |= (e_low[thin, None] <= high) & (e_high[thin, None] >= low)
    return np.asarray(out)


def _clip(a: Array, b: Array, da: Array, db: Array, tri: Array, z: Array) -> tuple[Array, Array]:
    """Interval of each segment inside its triangle and behind its plane."""
    d = b - a
    t0, t1 = np.zeros(len(a)), np.ones(len(a))
    # Seen from the front a triangle's corners run counter-clockwise in (right, up).
    for k in range(3):
        p, q = tri[:, k], tri[:, (k + 1) % 3]
        e = q - p
        size = np.hypot(e[:, 0], e[:, 1])
        size = np.where(size > 0, size, 1.0)
        start = (e[:, 0] * (a[:, 1] - p[:, 1]) - e[:, 1] * (a[:, 0] - p[:, 0])) / size
        slope = (e[:, 0] * d[:, 1] - e[:, 1] * d[:, 0]) / size
        _half_plane(t0, t1, start + 1e-7, slope)
    u, v, w = tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0], a - tri[:, 0]
    area = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    gx = ((z[:, 1] - z[:, 0]) * v[:, 1] - (z[:, 2] - z[:, 0]) * u[:, 1]) / area
    gy = ((z[:, 2] - z[:, 0]) * u[:, 0] - (z[:, 1] - z[:, 0]) * v[:, 0]) / area
    start = da - (z[:, 0] + gx * w[:, 0] + gy * w[:, 1]) - DEPTH
    slope = (db - da) - (gx * d[:, 0] + gy * d[:, 1])
    _half_plane(t0, t1, start, slope)
    return t0, t1


def _half_plane(t0: Array, t1: Array, start: Array, slope: Array) -> None:
    """Narrow [t0, t1] to where start + t*slope >= 0, in place."""
    level = np.abs(slope) < 1e-12
    cross = -start / np.where(level, 1.0, slope)
    np.maximum(t0, np.where(~level & (slope > 0), cross, t0), out=t0)
    np.minimum(t1, np.where(~level & (slope < 0), cross, t1), out=t1)
    t1[level & (start < 0)] = -1.0


def _cut(a: Array, b: Array, edge: NDArray[np.int64], t0: Array, t1: Array) -> tuple[Array, Array]:
    """Split each segment at the union of its hidden intervals."""
    order = np.lexsort((t0, edge))
    edge, t0, t1 = edge[order], t0[order], t1[order]
    bounds = np.searchsorted(edge, np.arange(len(a) + 1)).tolist()
    d = b - a
    sizes = np.hypot(d[:, 0], d[:, 1])
    seen: list[tuple[int, float, float]] = []  # edge, from, to
    gone: list[tuple[int, float, float]] = []
    for i, size in enumerate(sizes.tolist()):
        reach = 0.0
        if bounds[i] < bounds[i + 1]:
            span = slice(bounds[i], bounds[i + 1])
            for s, e in _union(t0[span], t1[span], GRID / size):
                if (s - reach) * size > GRID:
                    seen.append((i, reach, s))
                if (e - s) * size > GRID:
                    gone.append((i, s, e))
                reach = e
        if (1.0 - reach) * size > GRID:
            seen.append((i, reach, 1.0))
    return _pieces(a, d, seen), _pieces(a, d, gone)


def _pieces(a: Array, d: Array, spans: list[tuple[int, float, float]]) -> Array:
    if not spans:
        return np.zeros((0, 2, 2))
    which = np.array([i for i, _, _ in spans])
    share = np.array([(s, e) for _, s, e in spans])
    return np.asarray(a[which][:, None] + share[:, :, None] * d[which][:, None])


def _union(starts: Array, ends: Array, gap: float) -> list[tuple[float, float]]:
    """Union of intervals sorted by start; neighbours nearer than ``gap`` join."""
    out: list[tuple[float, float]] = []
    for s, e in zip(starts.tolist(), ends.tolist(), strict=True):
        if out and s <= out[-1][1] + gap:
            out[-1] = (out[-1][0], max(e, out[-1][1]))
        else:
            out.append((s, e))
    return out


def _merge(visible: Array, hidden: Array) -> Drawn:
    """Join collinear pieces; take the visible ones out of the hidden ones."""
    lines: dict[tuple[int, int, int], list[list[tuple[float, float]]]] = {}
    frames: dict[tuple[int, int, int], tuple[float, float, float]] = {}  # direction, distance from the origin
    pieces = np.concatenate([visible, hidden])
    d = pieces[:, 1] - pieces[:, 0]
    d = d / np.hypot(d[:, 0], d[:, 1])[:, None]
    d[(d[:, 0] < -1e-6) | ((np.abs(d[:, 0]) <= 1e-6) & (d[:, 1] < 0))] *= -1.0
    off = pieces[:, 0, 1] * d[:, 0] - pieces[:, 0, 0] * d[:, 1]
    keys = np.rint(np.stack([d[:, 0] * 2e3, d[:, 1] * 2e3, off / (2 * GRID)], axis=1)).astype(np.int64).tolist()
    for k, ((i, j, n), (dx, dy), far, ((px, py), (qx, qy))) in enumerate(
        zip(keys, d.tolist(), off.tolist(), pieces.tolist(), strict=True)
    ):
        # Neighbouring cells are tried too, for rounding puts equal lines on either side of a border.
        key = next((c for c in ((i, j, n + s) for s in (0, -1, 1)) if c in lines), (i, j, n))
        dx, dy, _ = frames.setdefault(key, (dx, dy, far))
        s, e = px * dx + py * dy, qx * dx + qy * dy
        lines.setdefault(key, [[], []])[0 if k < len(visible) else 1].append((min(s, e), max(s, e)))
    seen: list[tuple[Point, Point]] = []
    gone: list[tuple[Point, Point]] = []
    for key, (shown, covered) in lines.items():
        dx, dy, far = frames[key]
        fx, fy = -far * dy, far * dx
        clear = _joined(shown)
        seen += [((fx + s * dx, fy + s * dy), (fx + e * dx, fy + e * dy)) for s, e in clear]
        for s, e in _joined(covered):
            gone += [((fx + x * dx, fy + x * dy), (fx + y * dx, fy + y * dy)) for x, y in _without(s, e, clear)]
    return Drawn(*(np.array(p) if p else np.zeros((0, 2, 2)) for p in (seen, gone)))


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for s, e in sorted(spans):
        if out and s <= out[-1][1] + GRID:
            out[-1] = (out[-1][0], max(e, out[-1][1]))
        else:
            out.append((s, e))
    return out


def _without(start: float, end: float, taken: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of [start, end]; crumbs are dropped."""
    out = []
    for s, e in taken:
        if e <= start or s >= end:
            continue
        if s - start > GRID:
            out.append((start, s))
        start = max(start, e)
    if end - start > GRID:
        out.append((start, end))
    return out
