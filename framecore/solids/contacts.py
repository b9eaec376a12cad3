"""Where parts touch, and the seams along the rims of what touches: the lines that can be welded.

Every part is a prism, so two parts touch where flat faces lie against each other. The rim of the touching area runs along
an edge of one part on the other's face, or along edges of both; the angle through the air between the two surfaces beside
it tells a fillet (a right angle) from a flush butt (half a turn) and an outside corner (three quarters of a turn).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from framecore.frame.model import Frame, Vector
from framecore.frame.vector import along, cross, dot
from framecore.solids._covers import Body, Line, Span
from framecore.solids._layout import part_rings
from framecore.solids.model import Solids

Floats = NDArray[np.float64]
Point = tuple[float, float]
Loop = list[Point]
GAP = 0.3  # mm; faces that lie this near each other touch
_SAME = 1e-3  # mm; a corner this near to a line parts it
_ON, _PARALLEL = 0.02, 0.999  # mm; a stretch this near to an edge and this parallel lies on it
_SMALL = 1.0  # mm2; less is a touch of corners
_SHORT = 0.5  # mm; shorter pieces of a rim are left out
_CLOSED = 0.05  # rad; no electrode gets into less
_CORNER = 0.05  # mm; a stretch that ends this near to a corner ends at it
FLUSH = math.radians(150)  # of air between two faces; a weld in as much can be ground to them
_INNER = 1e-3  # a surface that faces back over its edge by more stands in an inner corner
_ROUND = 1 - math.pi / 4  # of a corner's radius: what half its arc is shorter than the sharp way


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A straight line along which two touching parts can be welded.

    Attributes
    ----------
    a, b : ends of the root, mm
    one, other : unit normals, into the air, of the surface of the contact's first and second part beside it
    opening : angle through the air between these surfaces, rad
    edges : which of the two parts has an edge here: (first, second)
    flare : radius of a rounded edge that lies along the seam or under the wall beside it, mm; 0 where none does
    length : what is welded, mm; shorter than from a to b where the ends go round a rounded corner
    under : part of a later assembly that comes to lie on it, "" where none does
    """

    a: Vector
    b: Vector
    one: Vector
    other: Vector
    opening: float
    edges: tuple[bool, bool]
    flare: float
    length: float
    under: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Two parts that touch: their names, the touching ``area`` mm2, the unit ``normal`` from the first into the second."""

    one: str
    other: str
    area: float
    normal: Vector
    seams: tuple[Seam, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Face:
    """A flat face of a part: corners counter-clockwise from outside; per edge the face across it and its rounding."""

    part: int
    wall: float  # of the part, mm
    points: Floats
    normal: Vector
    across: tuple[Vector, ...]
    rounded: tuple[float, ...]  # radius along each edge
    corners: tuple[float, ...]  # radius at each corner, from which its edges run


@dataclass(frozen=True, slots=True, eq=False)
class _Plane:
    """Two faces laid flat: the plane's origin and axes, and both loops in it."""

    origin: Vector
    u: Vector
    v: Vector
    a: Loop
    b: Loop


@dataclass(frozen=True, slots=True, eq=False)
class _Draft:
    """A stretch of rim before it is known where it has air."""

    pair: int
    line: Line
    one: Vector
    other: Vector
    opening: float
    edges: tuple[bool, bool]
    flare: float
    less: tuple[float, float]  # what rounded corners take off at either end


def contacts(frame: Frame, solids: Solids, made: Sequence[Collection[str]] = ()) -> tuple[Contact, ...]:
    """Return where members and plates touch each other, part by part in the order of the mesh.

    Parameters
    ----------
    made : names of all that is in each assembly, in the order they are welded; without them all is one assembly

    Notes
    -----
    Shapes are the sharp-cornered ones that are drawn; rounded tubes shorten their seams round the corners. A seam that
    another part covers has no air and is left out; where one covers a stretch, the rest remains. A seam is welded in the
    first assembly that has both its parts. What comes later covers it too, unless its weld can be ground flat. Tops, sheets
    and panels are laid on when the frame is welded: they cover none of its seams.
    """
    faces, ends = _faces(frame, solids)
    names = solids.layout.parts
    pairs = list(_pairs(faces))
    planes = [_laid_flat(faces[i], faces[j]) for i, j in pairs]
    areas, drafts = _rims(faces, pairs, planes)
    open_ = Body(frame, solids, ends, made).open_stretches([d.line for d in drafts])
    seams: dict[int, list[Seam]] = {}
    for draft, spans in zip(drafts, open_, strict=True):
        seams.setdefault(draft.pair, []).extend(_seam(draft, span, names) for span in spans)
    out: dict[tuple[int, int, Vector], Contact] = {}
    for k, (i, j) in enumerate(pairs):
        if areas[k] < _SMALL:
            continue
        x, y, z = normal = faces[i].normal
        key = (faces[i].part, faces[j].part, (round(x, 6), round(y, 6), round(z, 6)))
        before = out.get(key)
        out[key] = Contact(
            one=names[faces[i].part], other=names[faces[j].part], normal=normal,
            area=areas[k] + (before.area if before else 0.0), seams=(*(before.seams if before else ()), *seams.get(k, ())),
        )  # fmt: skip
    return tuple(out[k] for k in sorted(out, key=lambda k: k[:2]))


def _seam(draft: _Draft, span: Span, names: Sequence[str]) -> Seam:
    line, low, high = draft.line, span.low, span.high
    less = (draft.less[0] if low <= 0.0 else 0.0) + (draft.less[1] if high >= line.size else 0.0)
    return Seam(
        a=along(line.start, low, line.way), b=along(line.start, high, line.way), one=draft.one, other=draft.other,
        opening=draft.opening, edges=draft.edges, flare=draft.flare, length=max(high - low - less, 0.0),
        under="" if span.under is None else names[span.under],
    )  # fmt: skip


def _faces(frame: Frame, solids: Solids) -> tuple[list[_Face], list[tuple[Floats, Floats]]]:
    """Ends and sides of members and plates, and the normals of both ends of each part; bores have no seams."""
    v, half = solids.vertices, len(solids.vertices) // 2
    radii = [m.profile.corner if m.profile.closed else 0.0 for m in frame.members] + [0.0] * len(frame.plates)
    walls = [m.profile.wall for m in frame.members] + [p.thickness for p in frame.plates]
    rings = part_rings(frame)[: len(radii)]
    sizes = [len(r[0]) for r in rings]
    firsts = np.cumsum([0, *(sum(len(h) for h in r) for r in rings)])
    here = np.concatenate([f + np.arange(n) for f, n in zip(firsts, sizes, strict=False)])
    after = np.concatenate([f + (np.arange(n) + 1) % n for f, n in zip(firsts, sizes, strict=False)])
    sides = np.stack([v[here], v[after], v[half + after], v[half + here]], axis=1)
    # Of a flat quadrangle the diagonals' product is twice its area.
    normals = _units(np.cross(sides[:, 2] - sides[:, 0], sides[:, 3] - sides[:, 1]))
    begin = np.cumsum([0, *sizes[:-1]])
    owner = np.repeat(np.arange(len(sizes)), sizes)
    loops = []
    for shift, sign in ((0, -1.0), (half, 1.0)):
        centre = v[shift + here[begin]][owner]
        parts = np.cross(v[shift + here] - centre, v[shift + after] - centre)
        loops.append(sign * _units(np.add.reduceat(parts, begin)))
    rows, starts, stops = _tuples(normals), _tuples(loops[0]), _tuples(loops[1])
    out: list[_Face] = []
    for part, (radius, n, first, row) in enumerate(zip(radii, sizes, firsts.tolist(), begin.tolist(), strict=False)):
        own, start, stop = rows[row : row + n], starts[part], stops[part]
        round_, wall = (0.0, radius, 0.0, radius), walls[part]
        for k in range(n):
            across = (start, own[(k + 1) % n], stop, own[k - 1])
            out.append(_Face(part, wall, sides[row + k], own[k], across, round_, (0.0,) * 4))
        # The start is seen from outside the other way round: its edge k runs from corner n-1-k to the one before.
        back = tuple(own[(n - 2 - k) % n] for k in range(n))
        low, high = v[first : first + n][::-1], v[half + first : half + first + n]
        out.append(_Face(part, wall, low, start, back, (0.0,) * n, (radius,) * n))
        out.append(_Face(part, wall, high, stop, tuple(own), (0.0,) * n, (radius,) * n))
    return out, list(zip(loops[0], loops[1], strict=True))


def _units(rows: Floats) -> Floats:
    return np.asarray(rows / np.sqrt(np.einsum("ij,ij->i", rows, rows))[:, None])


def _tuples(rows: Floats) -> list[Vector]:
    return [(x, y, z) for x, y, z in rows.tolist()]


def _pairs(faces: list[_Face]) -> Iterator[tuple[int, int]]:
    """Yield faces of two parts that lie against each other in one plane and whose boxes meet."""
    n = np.array([f.normal for f in faces])
    size = [len(f.points) for f in faces]
    points, first = np.concatenate([f.points for f in faces]), np.cumsum([0, *size[:-1]])
    offset = (n * points[first]).sum(1)
    part = np.array([f.part for f in faces])
    low, high = np.minimum.reduceat(points, first) - GAP, np.maximum.reduceat(points, first) + GAP
    near = (n @ n.T < -1 + 1e-6) & (np.abs(offset[:, None] + offset) < GAP) & (part[:, None] < part)
    i, j = np.nonzero(near)
    meet = ((low[i] < high[j]) & (low[j] < high[i])).all(1)
    yield from zip(i[meet].tolist(), j[meet].tolist(), strict=True)


def _laid_flat(a: _Face, b: _Face) -> _Plane:
    (ox, oy, oz), (px, py, pz) = a.points[0].tolist(), a.points[1].tolist()
    size = math.dist((ox, oy, oz), (px, py, pz))
    u = ((px - ox) / size, (py - oy) / size, (pz - oz) / size)
    v = cross(a.normal, u)
    (ux, uy, uz), (vx, vy, vz) = u, v

    def loop(face: _Face) -> Loop:
        off = [(x - ox, y - oy, z - oz) for x, y, z in face.points.tolist()]
        return [(x * ux + y * uy + z * uz, x * vx + y * vy + z * vz) for x, y, z in off]

    return _Plane((ox, oy, oz), u, v, loop(a), loop(b))


def _rims(
    faces: list[_Face], pairs: Sequence[tuple[int, int]], planes: Sequence[_Plane]
) -> tuple[list[float], list[_Draft]]:
    """Areas of all pairs and the stretches of their rims that may be welded."""
    if not pairs:
        return [], []
    shapes = shapely.intersection(_polygons([p.a for p in planes]), _polygons([p.b for p in planes]))
    areas: list[float] = shapely.area(shapes).tolist()
    drafts: list[_Draft] = []
    for k, (i, j) in enumerate(pairs):
        if areas[k] < _SMALL:
            continue
        plane = planes[k]
        corners = plane.a + plane.b
        for piece in getattr(shapes[k], "geoms", [shapes[k]]):
            if piece.geom_type != "Polygon" or piece.area < _SMALL:
                continue
            rim = shapely.get_coordinates(piece.exterior).tolist()
            if sum(px * qy - qx * py for (px, py), (qx, qy) in pairwise(rim)) < 0.0:
                rim.reverse()
            # Corners of either face on the rim part it, so that each stretch has one edge of each face at most.
            for p, q in _stretches(rim, corners):
                draft = _draft(k, faces[i], faces[j], plane, p, q)
                if draft is not None:
                    drafts.append(draft)
    return areas, drafts


def _polygons(loops: Sequence[Loop]) -> NDArray[np.object_]:
    """Polygons of many loops at once; a ring needs four points at least, the closing one among them."""
    points = np.concatenate([np.array([*loop, loop[0]]) for loop in loops])
    index = np.repeat(np.arange(len(loops)), [len(loop) + 1 for loop in loops])
    return np.asarray(shapely.polygons(shapely.linearrings(points, indices=index)))


def _stretches(rim: Sequence[Sequence[float]], corners: Loop) -> Iterator[tuple[Point, Point]]:
    for (px, py), (qx, qy) in pairwise(rim):
        size = math.hypot(qx - px, qy - py)
        if size < _SHORT:
            continue
        c, s = (qx - px) / size, (qy - py) / size
        cuts = {0.0, size}
        for x, y in corners:
            at = (x - px) * c + (y - py) * s
            if _SHORT < at < size - _SHORT and abs((y - py) * c - (x - px) * s) < _SAME:
                cuts.add(round(at, 3))
        for low, high in pairwise(sorted(cuts)):
            if high - low > _SHORT:
                yield (px + low * c, py + low * s), (px + high * c, py + high * s)


def _edge_at(flat: Loop, p: Point, q: Point) -> int:
    """Number of the edge of a loop that the stretch lies on, -1 for none."""
    x, y, size = (p[0] + q[0]) / 2, (p[1] + q[1]) / 2, math.dist(p, q)
    c, s = (q[0] - p[0]) / size, (q[1] - p[1]) / size
    ax, ay = flat[-1]
    for k, (bx, by) in enumerate(flat):
        dx, dy = bx - ax, by - ay
        long = math.hypot(dx, dy)
        along, aside = (x - ax) * dx + (y - ay) * dy, dx * (y - ay) - dy * (x - ax)
        if abs(aside) < _ON * long and 0.0 < along < long * long and abs(dx * c + dy * s) > _PARALLEL * long:
            return (k - 1) % len(flat)
        ax, ay = bx, by
    return -1


def _draft(pair: int, a: _Face, b: _Face, plane: _Plane, p: Point, q: Point) -> _Draft | None:
    """One straight stretch of the rim, if a weld can be laid there."""
    on_a, on_b = _edge_at(plane.a, p, q), _edge_at(plane.b, p, q)
    if on_a < 0 and on_b < 0:
        return None
    size = math.dist(p, q)
    c, s = (q[0] - p[0]) / size, (q[1] - p[1]) / size
    start = along(along(plane.origin, p[0], plane.u), p[1], plane.v)
    way = along((c * plane.u[0], c * plane.u[1], c * plane.u[2]), s, plane.v)
    out = cross(way, a.normal)  # the rim turns counter-clockwise about a's normal: its outside lies to the right
    one, t_one = _surface(a, on_a, way, out)
    other, t_other = _surface(b, on_b, way, out)
    opening = math.atan2(dot(t_other, one), dot(t_other, t_one)) % (2 * math.pi)
    if opening < _CLOSED:
        return None
    flare = max(
        a.rounded[on_a] if on_a >= 0 else _rounded_under(a, plane.a, p, q, b.wall),
        b.rounded[on_b] if on_b >= 0 else _rounded_under(b, plane.b, p, q, a.wall),
    )
    x, y, z = t_one
    k = math.cos(opening / 2)
    into = along((k * x, k * y, k * z), math.sin(opening / 2), one)
    less = [_ROUND * max(_corner_at(a, plane.a, on_a, e), _corner_at(b, plane.b, on_b, e)) for e in (p, q)]
    return _Draft(
        pair=pair, line=Line(start, way, size, into, (a.part, b.part), opening >= FLUSH), one=one, other=other, opening=opening,
        edges=(on_a >= 0, on_b >= 0), flare=flare, less=(less[0], less[1]),
    )  # fmt: skip


def _rounded_under(face: _Face, flat: Loop, p: Point, q: Point, wall: float) -> float:
    """Radius of a rounded edge that the face falls away to under the middle of the wall that stands on it, 0 where none."""
    size = math.dist(p, q)
    c, s = (q[0] - p[0]) / size, (q[1] - p[1]) / size
    for k, radius in enumerate(face.rounded):
        if radius <= 0.0:
            continue
        (ax, ay), (bx, by) = flat[k], flat[(k + 1) % len(flat)]
        long = math.dist((ax, ay), (bx, by))
        if abs((bx - ax) * c + (by - ay) * s) < _PARALLEL * long:
            continue
        if abs((p[0] - ax) * s - (p[1] - ay) * c) + wall / 2 < radius:
            return radius
    return 0.0


def _surface(face: _Face, edge: int, way: Vector, out: Vector) -> tuple[Vector, Vector]:
    """Normal of the surface beside the seam and the unit vector in it away from the seam."""
    if edge < 0:
        return face.normal, out
    normal = face.across[edge]
    x, y, z = cross(normal, way)
    size = math.sqrt(x * x + y * y + z * z)
    # Over an edge the surface falls away behind the face, out of an inner corner it rises before it.
    rises = dot(normal, out) < -_INNER
    ahead = x * face.normal[0] + y * face.normal[1] + z * face.normal[2] > 0.0
    size = size if ahead == rises else -size
    return normal, (x / size, y / size, z / size)


def _corner_at(face: _Face, flat: Loop, edge: int, at: Point) -> float:
    """Radius of the face's rounded corner at one end of a stretch on its edge."""
    if edge < 0:
        return 0.0
    ends = (edge, (edge + 1) % len(flat))
    return next((face.corners[k] for k in ends if math.dist(flat[k], at) < _CORNER), 0.0)
