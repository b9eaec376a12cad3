"""Which stretches of many seams lie in the air: all their points are asked at once, part by part."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from framecore.frame.model import Frame, PlateRole, Vector
from framecore.solids._layout import part_rings
from framecore.solids.model import Solids

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
# Laid on when the frame is welded: they cover none of its seams, only those of parts like themselves.
LATE = (PlateRole.TOP, PlateRole.SHELF, PlateRole.PANEL, PlateRole.TRAY, PlateRole.BACK, PlateRole.BACKSTOP)
OFF = 1.5  # mm off the root, where a seam must have air
_STEP = 4.0  # mm between the places where that is looked for
_HALVINGS = 8
_SHORT = 0.5  # mm


@dataclass(frozen=True, slots=True)
class Line:
    """A seam to be asked about: start and unit way, mm long, unit vector into its air, the two parts it joins.

    ``ground``: its weld can be ground flat, so that what comes later may lie on it.
    """

    start: Vector
    way: Vector
    size: float
    into: Vector
    parts: tuple[int, int]
    ground: bool


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a seam that has air when it is welded, mm from its start; ``under`` the part that lies on it later."""

    low: float
    high: float
    under: int | None


@dataclass(frozen=True, slots=True, eq=False)
class _Prism:
    """A part: section plane's origin and axes (3, 2), its two end planes (2, 4), its outline and that as half-planes."""

    origin: Floats
    axes: Floats
    ends: Floats
    outline: Floats
    sides: Floats | None  # (k, 3) a u + b v < c of a convex outline


class Body:
    """Asks whether points lie in the steel, tubes taken as filled."""

    def __init__(
        self, frame: Frame, solids: Solids, normals: Sequence[tuple[Floats, Floats]], made: Sequence[Collection[str]] = ()
    ) -> None:
        """Take the unit normals of each part's start and end face, out of the part, and what is put together as one."""
        v, half = solids.vertices, len(solids.vertices) // 2
        parts = len(frame.members) + len(frame.plates)
        rings = [r[0] for r in part_rings(frame)[:parts]]
        holes = [sum(len(h) for h in r[1:]) for r in part_rings(frame)[:parts]]
        self._prisms: list[_Prism] = []
        low, high = np.empty((parts, 3)), np.empty((parts, 3))
        first = 0
        for k, ring in enumerate(rings):
            n = len(ring)
            start, end = v[first : first + n], v[half + first : half + first + n]
            first += n + holes[k]
            low[k] = np.minimum(start.min(0), end.min(0))
            high[k] = np.maximum(start.max(0), end.max(0))
            if k < len(frame.members):
                m = frame.members[k]
                origin, axes = m.start.point, (m.y_axis, m.z_axis)
            else:
                p = frame.plates[k - len(frame.members)]
                origin, axes = p.origin, (p.u_axis, p.v_axis)
            a, b = normals[k]
            ends = np.array([[*a, a @ start[0]], [*b, b @ end[0]]])
            self._prisms.append(_Prism(np.array(origin), np.array(axes).T, ends, ring, _sides(ring)))
        self._low, self._high = low, high
        self._late = np.array([False] * len(frame.members) + [p.role in LATE for p in frame.plates])
        names = solids.layout.parts[:parts]
        self._made: NDArray[np.bool_] = np.array([[n in group for n in names] for group in (*made, names)])

    def open_stretches(self, lines: Sequence[Line]) -> list[list[Span]]:
        """Return of each line from where to where nothing covers it when it is welded."""
        if not lines:
            return []
        size = np.array([s.size for s in lines])
        way = np.array([s.way for s in lines])
        start = np.array([s.start for s in lines]) + OFF * np.array([s.into for s in lines])
        pairs, later = self._pairs(start, start + size[:, None] * way, lines)
        count = np.maximum((size / _STEP).astype(int), 4)
        line = np.repeat(np.arange(len(lines)), count)
        first = np.concatenate([[0], np.cumsum(count)])
        at = (np.arange(len(line)) - first[line] + 0.5) * (size / count)[line]
        shut = self._covered(start, way, line, at, pairs)
        turns = np.flatnonzero((shut[1:] != shut[:-1]) & (line[1:] == line[:-1]))
        low, high = at[turns], at[turns + 1]
        for _ in range(_HALVINGS if len(turns) else 0):
            middle = (low + high) / 2
            same = self._covered(start, way, line[turns], middle, pairs) == shut[turns]
            low, high = np.where(same, middle, low), np.where(same, high, middle)
        edges: dict[int, list[float]] = {}
        for k, t in zip(line[turns].tolist(), ((low + high) / 2).tolist(), strict=True):
            edges.setdefault(k, []).append(t)
        out = []
        for k, (whole, closed) in enumerate(zip(size.tolist(), shut[first[:-1]].tolist(), strict=True)):
            bounds = [0.0, *edges.get(k, ()), whole]
            spans = [(s, t) for s, t in list(pairwise(bounds))[int(closed) :: 2] if t - s > _SHORT]
            out.append([Span(s, t, self._under(start, way, k, (s, t), later[k])) for s, t in spans])
        return out

    def _under(self, start: Floats, way: Floats, line: int, span: tuple[float, float], later: Ints) -> int | None:
        """The first of the parts of later assemblies that covers any of a stretch."""
        if not len(later):
            return None
        at = np.linspace(*span, max(int((span[1] - span[0]) / _STEP), 4) + 2)[1:-1]
        lines = np.full(len(at), line)
        return next((k for k in later.tolist() if self._covered(start, way, lines, at, [(k, lines[:1])]).any()), None)

    def _pairs(self, a: Floats, b: Floats, lines: Sequence[Line]) -> tuple[list[tuple[int, Ints]], list[Ints]]:
        """Parts with the lines whose boxes meet theirs and that they may cover; for each line those that come later."""
        parts = np.array([s.parts for s in lines])
        low, high = np.minimum(a, b), np.maximum(a, b)
        meet = ((low[:, None] < self._high) & (high[:, None] > self._low)).all(2)
        late: NDArray[np.bool_] = self._late[parts[:, 0]] | self._late[parts[:, 1]]
        meet &= ~(self._late & ~late[:, None])
        rows = np.arange(len(parts))
        meet[rows, parts[:, 0]] = meet[rows, parts[:, 1]] = False
        home = (self._made[:, parts[:, 0]] & self._made[:, parts[:, 1]]).argmax(0)
        later = meet & ~self._made[home] & np.array([s.ground for s in lines])[:, None]
        meet &= ~later
        covering = [(k, np.flatnonzero(meet[:, k])) for k in np.flatnonzero(meet.any(0)).tolist()]
        return covering, [np.flatnonzero(row) for row in later]

    def _covered(self, start: Floats, way: Floats, line: Ints, at: Floats, pairs: list[tuple[int, Ints]]) -> NDArray[np.bool_]:
        points = start[line] + at[:, None] * way[line]
        found = np.zeros(len(points), dtype=bool)
        asked = np.zeros(len(start), dtype=bool)
        for k, lines in pairs:
            asked[:] = False
            asked[lines] = True
            rows = np.flatnonzero(asked[line] & ~found)
            if not len(rows):
                continue
            p, own = self._prisms[k], points[rows]
            near = (own @ p.ends[:, :3].T < p.ends[:, 3]).all(1)
            flat = (own - p.origin) @ p.axes
            if p.sides is not None:
                near &= (flat @ p.sides[:, :2].T < p.sides[:, 2]).all(1)
                found[rows[near]] = True
            elif near.any():
                rows, flat = rows[near], flat[near]
                found[rows] = shapely.contains_xy(shapely.polygons(p.outline), flat)
        return found


def _sides(ring: Floats) -> Floats | None:
    """Half-planes of a convex counter-clockwise outline, None for any other."""
    run = np.roll(ring, -1, axis=0) - ring
    turn = run[:, 0] * np.roll(run[:, 1], -1) - run[:, 1] * np.roll(run[:, 0], -1)
    if (turn < -1e-9).any():
        return None
    out = np.column_stack([run[:, 1], -run[:, 0]])
    return np.column_stack([out, (out * ring).sum(1)])
