"""Where a mark's leader may end on a part: a dot on a face in sight, or an arrow on an edge where no face has room.

A point on a face says which part is meant; one on an edge could mean either of the two that meet there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Member, Plate
from framecore.sheets.assemblies.part_views import PartView
from framecore.sheets.drawing.hidden import View, exposed
from framecore.sheets.drawing.labels import Tip
from framecore.sheets.drawing.model import Line, Point2, ViewPlacement
from framecore.sheets.drawing.views import Seen, inner_edges
from framecore.stand.model import Stand

Array = NDArray[np.float64]
CLEAR = 1.0  # mm on paper from a dot to the nearest line
SHORT = 2.0  # mm on paper of an edge in sight: less than this says nothing
FACING = 0.15  # cosine from which a face is looked at broadly enough
SKIN = 0.2  # mm a point is lifted off its face: thin sheet laid on it hides it there
BROAD = 0.25  # of the larger side of a section, a face must be wide
SHARES = (0.5, 0.35, 0.65, 0.22, 0.78)
LONG = 8.0  # times its section, a member is long enough to be met near its ends as well
ENDS = (0.1, 0.9)
GRID = (0.5, 0.25, 0.75, 0.1, 0.9)


def tips_of(
    stand: Stand, groups: Mapping[str, Iterable[str]], seen: Seen | PartView, place: ViewPlacement
) -> dict[str, list[Tip]]:
    """Return for each mark the paper points its leader may end at, none where other parts cover all of it.

    Parameters
    ----------
    groups : mark -> names of the parts it stands for
    """
    found = on_faces(stand, groups, seen)
    free = _away(np.concatenate([*found.values(), np.zeros((0, 2))]), seen.drawn.visible) * place.scale
    out, first = dict[str, list[Tip]](), 0
    for mark, points in found.items():
        clear = points[free[first : first + len(points)] >= CLEAR].tolist()
        first += len(points)
        out[mark] = [Tip(*_at(place, x, y), dot=True) for x, y in clear] or _on_edges(stand, groups[mark], seen, place)
    return out


def on_faces(stand: Stand, groups: Mapping[str, Iterable[str]], seen: Seen | PartView) -> dict[str, Array]:
    """Return for each mark the points (k, 2) in view coordinates, mm, that are in sight on faces of its parts."""
    members = {m.name: m for m in stand.frame.members}
    plates = {p.name: p for p in stand.frame.plates}
    rows: list[Array] = []
    counts: list[int] = []
    for names in groups.values():
        before = len(rows)
        for name in names:
            if name in members:
                rows += [at for at in _on_member(members[name], seen.view) if not _bored(stand, name, at)]
            elif name in plates:
                rows += _on_plate(stand, plates[name], seen.view)
        counts.append(len(rows) - before)
    if not rows:
        return {mark: np.zeros((0, 2)) for mark in groups}
    points = np.array(rows) - SKIN * seen.view.forward
    sight = exposed(stand.solids.vertices, seen.faces, points, points + 0.01 * np.asarray(seen.view.right), seen.view)
    flat, clear = seen.view.flat(points), np.array([bool(s) for s in sight])
    ends = np.cumsum(counts).tolist()
    return {
        mark: flat[end - count : end][clear[end - count : end]]
        for mark, count, end in zip(groups, counts, ends, strict=True)
    }


def covered(stand: Stand, name: str, place: ViewPlacement, seen: Seen) -> tuple[list[Line], list[Tip]]:
    """Dashed edges of a part that other parts cover, and the middle of its longest ones."""
    layout, flat = stand.solids.layout, seen.view.flat(stand.solids.vertices)
    ends = flat[layout.edges[(layout.edge_part == layout.parts.index(name)) & ~inner_edges(stand)]]
    sizes = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    lines = [Line(points=(_at(place, *p), _at(place, *q)), layer="hidden") for p, q in ends[sizes > 0.5].tolist()]
    middles = ends[sizes >= 0.9 * sizes.max()].mean(axis=1).tolist()
    return lines, [Tip(*_at(place, x, y)) for x, y in middles]


def _at(place: ViewPlacement, x: float, y: float) -> Point2:
    return place.at[0] + place.scale * x, place.at[1] + place.scale * y


def _on_member(m: Member, view: View) -> list[Array]:
    """Points along the middle of every long face that is looked at."""
    a, b = np.asarray(m.start.point), np.asarray(m.end.point)
    y, z = np.asarray(m.y_axis), np.asarray(m.z_axis)
    ring = m.profile.outline[0]
    after = np.roll(ring, -1, axis=0)
    d = after - ring
    wide = np.hypot(*d.T)
    # The outer ring runs counter-clockwise: its outside lies on the right.
    towards = -(np.outer(d[:, 1], y) - np.outer(d[:, 0], z)) @ view.forward / np.maximum(wide, 1e-9)
    size = max(m.profile.width, m.profile.height)
    kept = np.flatnonzero((towards > FACING) & (wide >= BROAD * size))
    if not len(kept):
        kept = np.array([int(towards.argmax())])  # a round one has no broad face: its nearest line
    shares = SHARES + (ENDS if m.length > LONG * size else ())
    middles = (ring[kept] + after[kept]) / 2
    return [a + (b - a) * t + y * u + z * v for u, v in middles.tolist() for t in shares]


def _on_plate(stand: Stand, p: Plate, view: View) -> list[Array]:
    """Points on the face of a plate that is looked at, clear of its holes, and in the middle of its long narrow sides."""
    u, v = np.asarray(p.u_axis), np.asarray(p.v_axis)
    n, origin = np.cross(u, v), np.asarray(p.origin)
    out: list[Array] = []
    facing = -float(n @ view.forward)
    if abs(facing) > FACING:
        low, size = p.outline.min(axis=0), np.ptp(p.outline, axis=0)
        spots = low + size * np.array([(i, j) for i in GRID for j in GRID])
        face = origin + (n * p.thickness if facing > 0 else 0.0)
        for i, j in spots[_inside(spots, p.outline)].tolist():
            at = face + u * i + v * j
            if not _bored(stand, p.name, at):
                out.append(at)
    after = np.roll(p.outline, -1, axis=0)
    d = after - p.outline
    wide = np.hypot(*d.T)
    towards = -(np.outer(d[:, 1], u) - np.outer(d[:, 0], v)) @ view.forward / np.maximum(wide, 1e-9)
    for k in np.flatnonzero((towards > FACING) & (wide >= BROAD * wide.max())).tolist():
        for t in SHARES:
            i, j = (p.outline[k] + d[k] * t).tolist()
            out.append(origin + u * i + v * j + n * (p.thickness / 2))
    return out


def _bored(stand: Stand, name: str, at: Array) -> bool:
    """Whether a point of a part lies in one of its holes or at its rim."""
    for h in stand.frame.holes:
        if h.owner == name:
            off = at - np.asarray(h.centre)
            off = off - (off @ np.asarray(h.axis)) * np.asarray(h.axis)
            if float(off @ off) < (h.diameter + h.slot) ** 2:
                return True
    return False


def _inside(points: Array, ring: Array) -> NDArray[np.bool_]:
    """Which (n, 2) points lie within a polygon: how often a level line to the right crosses it."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = points[:, :1], points[:, 1:]
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(b[:, 1] == a[:, 1], 1.0, b[:, 1] - a[:, 1])
    cross = a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / rise
    return np.asarray((spans & (x < cross)).sum(axis=1) % 2 == 1)


def _away(points: Array, pieces: Array) -> Array:
    """How far each of (n, 2) points lies from the nearest of (k, 2, 2) pieces."""
    if not len(pieces):
        return np.full(len(points), np.inf)
    a, d = pieces[:, 0], pieces[:, 1] - pieces[:, 0]
    off = points[:, None] - a
    t = np.clip((off * d).sum(axis=2) / np.maximum((d * d).sum(axis=1), 1e-12), 0.0, 1.0)
    return np.asarray(np.hypot(*(off - t[:, :, None] * d).transpose(2, 0, 1)).min(axis=1))


def _on_edges(stand: Stand, names: Iterable[str], seen: Seen | PartView, place: ViewPlacement) -> list[Tip]:
    """Points on the long edges of parts that are in sight; none where other parts cover them."""
    found = [p for name in names if name in stand.solids.layout.parts for p in _visible(stand, name, seen)]
    least = max(0.4 * max((f[0] for f in found), default=0.0), SHORT / place.scale)
    return [Tip(*_at(place, x, y)) for size, x, y in found if size >= least]


def _visible(stand: Stand, name: str, seen: Seen | PartView) -> Sequence[tuple[float, float, float]]:
    """Length of each visible stretch of the part's edges, with points a third in from its ends."""
    layout, flat = stand.solids.layout, seen.view.flat(stand.solids.vertices)
    pieces = seen.drawn.visible
    edges = layout.edges[layout.edge_part == layout.parts.index(name)]
    d = flat[edges[:, 1]] - flat[edges[:, 0]]
    size = np.hypot(*d.T)
    long = size >= 1.0
    a, u, size = flat[edges[long, 0]], d[long] / size[long, None], size[long]
    n = np.column_stack([-u[:, 1], u[:, 0]])
    ends = pieces.reshape(-1, 2)
    off = np.abs(n @ ends.T - (n * a).sum(axis=1)[:, None]).reshape(len(a), -1, 2)
    e, k = np.nonzero((off < 0.05).all(axis=2))  # edge by edge, the pieces on its line
    t = np.sort(((pieces[k] - a[e, None]) * u[e, None]).sum(axis=2), axis=1)
    t = np.clip(t, 0.0, size[e, None])
    seen_long = t[:, 1] - t[:, 0]
    e, t, seen_long = e[seen_long > 1.0], t[seen_long > 1.0], seen_long[seen_long > 1.0]
    thirds = t[:, :1] + seen_long[:, None] * (1 / 3, 2 / 3)
    points = a[e, None] + u[e, None] * thirds[:, :, None]
    return [(w, x, y) for w, two in zip(seen_long.tolist(), points.tolist(), strict=True) for x, y in two]
