"""Where parts touch, and the seams along the rims of what touches: the lines that can be welded.

Every part is a prism, so two parts touch where flat faces lie against each other. The rim of the touching area runs along
an edge of one part on the other's face, or along edges of both; the angle through the air between the two surfaces beside
it tells a fillet (a right angle) from a flush butt (half a turn) and an outside corner (three quarters of a turn).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from framecore.frame.model import Frame, Vector
from framecore.frame.vector import cross
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
_OFF = 1.5  # mm off the root, where a seam must have air
_STEP = 4.0  # mm between the places where that is looked for
_CLOSED = 0.05  # rad; no electrode gets into less
_CORNER = 0.05  # mm; a stretch that ends this near to a corner ends at it
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
    flare : radius of a rounded edge that lies along the seam, mm; 0 where none does
    length : what is welded, mm; shorter than from a to b where the ends go round a rounded corner
    """

    a: Vector
    b: Vector
    one: Vector
    other: Vector
    opening: float
    edges: tuple[bool, bool]
    flare: float
    length: float


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
    points: Floats
    normal: Floats
    across: Floats
    rounded: tuple[float, ...]  # radius along each edge
    corners: tuple[float, ...]  # radius at each corner, from which its edges run


@dataclass(frozen=True, slots=True, eq=False)
class _Plane:
    """Two faces laid flat: the plane's origin and axes (3, 2), and both loops in it."""

    origin: Floats
    axes: Floats
    a: Loop
    b: Loop


def contacts(frame: Frame, solids: Solids) -> tuple[Contact, ...]:
    """Return where members and plates touch each other, part by part in the order of the mesh.

    Notes
    -----
    Shapes are the sharp-cornered ones that are drawn; rounded tubes shorten their seams round the corners. A seam that
    another part covers has no air and is left out; where one covers a stretch, the rest remains.
    """
    faces = _faces(frame, solids)
    names = solids.layout.parts
    body = _Body(frame, solids)
    out: dict[tuple[int, int, tuple[float, ...]], Contact] = {}
    for i, j in _pairs(faces):
        found = _touching(faces[i], faces[j], body)
        if found is None:
            continue
        area, seams = found
        normal = faces[i].normal
        key = (faces[i].part, faces[j].part, tuple(round(float(v), 6) for v in normal))
        before = out.get(key)
        out[key] = Contact(
            one=names[faces[i].part], other=names[faces[j].part], normal=_vector(normal),
            area=area + (before.area if before else 0.0), seams=(*(before.seams if before else ()), *seams),
        )  # fmt: skip
    return tuple(out[k] for k in sorted(out, key=lambda k: k[:2]))


def _vector(v: Floats) -> Vector:
    x, y, z = v.tolist()
    return (x, y, z)


def _faces(frame: Frame, solids: Solids) -> list[_Face]:
    """Ends and sides of members and plates. Bores are left out: nothing is welded in there."""
    v, half = solids.vertices, len(solids.vertices) // 2
    radii = [m.profile.corner if m.profile.closed else 0.0 for m in frame.members] + [0.0] * len(frame.plates)
    rings = part_rings(frame)
    out: list[_Face] = []
    first = 0
    for part, radius in enumerate(radii):
        n = len(rings[part][0])
        low, high = v[first : first + n], v[half + first : half + first + n]
        first += sum(len(r) for r in rings[part])
        sides = [np.array([low[k], low[(k + 1) % n], high[(k + 1) % n], high[k]]) for k in range(n)]
        normals = np.array([_normal(s) for s in sides])
        start, stop = _normal(low[::-1]), _normal(high)
        for k, side in enumerate(sides):
            across = np.array([start, normals[(k + 1) % n], stop, normals[k - 1]])
            out.append(_Face(part, side, normals[k], across, (0.0, radius, 0.0, radius), (0.0,) * 4))
        # The start is seen from outside the other way round: its edge k runs from corner n-1-k to the one before.
        back = np.array([normals[(n - 2 - k) % n] for k in range(n)])
        out.append(_Face(part, low[::-1], start, back, (0.0,) * n, (radius,) * n))
        out.append(_Face(part, high, stop, normals, (0.0,) * n, (radius,) * n))
    return out


def _normal(points: Floats) -> Floats:
    """Unit normal of a flat loop, by its area."""
    p = points - points[0]
    total = np.cross(p[1:-1], p[2:]).sum(0)
    return np.asarray(total / np.linalg.norm(total))


def _pairs(faces: list[_Face]) -> Iterator[tuple[int, int]]:
    """Yield faces of two parts that lie against each other in one plane and whose boxes meet."""
    n = np.array([f.normal for f in faces])
    offset = np.array([f.normal @ f.points[0] for f in faces])
    part = np.array([f.part for f in faces])
    low = np.array([f.points.min(0) for f in faces]) - GAP
    high = np.array([f.points.max(0) for f in faces]) + GAP
    near = (n @ n.T < -1 + 1e-6) & (np.abs(offset[:, None] + offset) < GAP) & (part[:, None] < part)
    i, j = np.nonzero(near)
    meet = ((low[i] < high[j]) & (low[j] < high[i])).all(1)
    yield from zip(i[meet].tolist(), j[meet].tolist(), strict=True)


def _touching(a: _Face, b: _Face, body: _Body) -> tuple[float, list[Seam]] | None:
    """Area and seams of two faces in one plane."""
    u = a.points[1] - a.points[0]
    u /= np.linalg.norm(u)
    axes = np.stack([u, _cross(a.normal, u)], axis=1)
    origin = a.points[0]
    flat_a, flat_b = (a.points - origin) @ axes, (b.points - origin) @ axes
    shape = Polygon(flat_a).intersection(Polygon(flat_b))
    if shape.area < _SMALL:
        return None
    plane = _Plane(origin, axes, _loop(flat_a), _loop(flat_b))
    corners = np.concatenate([flat_a, flat_b])
    seams: list[Seam] = []
    for piece in getattr(shape, "geoms", [shape]):
        if piece.geom_type != "Polygon" or piece.area < _SMALL:
            continue
        # Corners of either face on the rim part it, so that each stretch has one edge of each face at most.
        rim = shapely.geometry.polygon.orient(piece).exterior
        for p, q in _stretches(np.array(rim.coords), corners):
            seams += _seams(a, b, plane, p, q, body)
    return float(shape.area), seams


def _loop(points: Floats) -> Loop:
    return [(x, y) for x, y in points.tolist()]


def _cross(a: Floats, b: Floats) -> Floats:
    x, y, z = cross(tuple(a.tolist()), tuple(b.tolist()))
    return np.array((x, y, z))


def _stretches(rim: Floats, corners: Floats) -> Iterator[tuple[Point, Point]]:
    for (px, py), (qx, qy) in pairwise(rim.tolist()):
        size = math.hypot(qx - px, qy - py)
        if size < _SHORT:
            continue
        c, s = (qx - px) / size, (qy - py) / size
        off = corners - (px, py)
        along = off[:, 0] * c + off[:, 1] * s
        on = (np.abs(off[:, 1] * c - off[:, 0] * s) < _SAME) & (along > _SHORT) & (along < size - _SHORT)
        for low, high in pairwise((0.0, *sorted(set(np.round(along[on], 3).tolist())), size)):
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


def _seams(a: _Face, b: _Face, plane: _Plane, p: Point, q: Point, body: _Body) -> Iterator[Seam]:
    """Yield the weldable parts of one straight stretch of the rim."""
    on_a, on_b = _edge_at(plane.a, p, q), _edge_at(plane.b, p, q)
    if on_a < 0 and on_b < 0:
        return
    size = math.dist(p, q)
    c, s = (q[0] - p[0]) / size, (q[1] - p[1]) / size
    start, way = plane.origin + plane.axes @ p, plane.axes @ (c, s)
    out = _cross(way, a.normal)  # the rim turns counter-clockwise about a's normal: its outside lies to the right
    one, t_one = _surface(a, on_a, way, out)
    other, t_other = _surface(b, on_b, way, out)
    opening = math.atan2(float(t_other @ one), float(t_other @ t_one)) % (2 * math.pi)
    if opening < _CLOSED:
        return
    flare = max(a.rounded[on_a] if on_a >= 0 else 0.0, b.rounded[on_b] if on_b >= 0 else 0.0)
    into = math.cos(opening / 2) * t_one + math.sin(opening / 2) * one
    for low, high in body.open_stretches(start, way, size, into, (a.part, b.part)):
        less = 0.0
        for at in (low, high):
            if 0.0 < at < size:
                continue
            end = (p[0] + at * c, p[1] + at * s)
            less += _ROUND * max(_corner_at(a, plane.a, on_a, end), _corner_at(b, plane.b, on_b, end))
        yield Seam(
            a=_vector(start + low * way), b=_vector(start + high * way), one=_vector(one), other=_vector(other),
            opening=opening, edges=(on_a >= 0, on_b >= 0), flare=flare, length=max(high - low - less, 0.0),
        )  # fmt: skip


def _surface(face: _Face, edge: int, way: Floats, out: Floats) -> tuple[Floats, Floats]:
    """Normal of the surface beside the seam and the unit vector in it away from the seam."""
    if edge < 0:
        return face.normal, out
    normal = face.across[edge]
    t = _cross(normal, way)
    t /= np.linalg.norm(t)
    return normal, t if t @ face.normal < 0 else -t


def _corner_at(face: _Face, flat: Loop, edge: int, at: Point) -> float:
    """Radius of the face's rounded corner at one end of a stretch on its edge."""
    if edge < 0:
        return 0.0
    ends = (edge, (edge + 1) % len(flat))
    return next((face.corners[k] for k in ends if math.dist(flat[k], at) < _CORNER), 0.0)


class _Body:
    """Asks whether points lie in the steel, tubes taken as filled."""

    def __init__(self, frame: Frame, solids: Solids) -> None:
        v, half = solids.vertices, len(solids.vertices) // 2
        rings = part_rings(frame)
        self._prisms: list[tuple[Floats, Floats, Floats, Polygon]] = []
        boxes = []
        first = 0
        for k in range(len(frame.members) + len(frame.plates)):
            if k < len(frame.members):
                m = frame.members[k]
                origin, y, z = (np.asarray(t) for t in (m.start.point, m.y_axis, m.z_axis))
            else:
                p = frame.plates[k - len(frame.members)]
                origin, y, z = (np.asarray(t) for t in (p.origin, p.u_axis, p.v_axis))
            n = len(rings[k][0])
            low, high = v[first : first + n], v[half + first : half + first + n]
            first += sum(len(r) for r in rings[k])
            ends = np.array([np.append(_normal(low[::-1]), _normal(low[::-1]) @ low[0]),
                             np.append(_normal(high), _normal(high) @ high[0])])  # fmt: skip
            shape = Polygon(rings[k][0])
            shapely.prepare(shape)
            corners = np.concatenate([low, high])
            boxes.append((corners.min(0), corners.max(0)))
            self._prisms.append((origin, np.stack([y, z], axis=1), ends, shape))
        self._boxes = np.array(boxes)

    def inside(self, points: Floats, but: tuple[int, ...] = ()) -> NDArray[np.bool_]:
        """(n,) whether each point lies within a part other than ``but``."""
        found = np.zeros(len(points), dtype=bool)
        boxes = self._boxes
        meet = ((points.min(0) < boxes[:, 1]) & (points.max(0) > boxes[:, 0])).all(1)
        for k in np.flatnonzero(meet).tolist():
            if k in but:
                continue
            origin, axes, ends, shape = self._prisms[k]
            near = (points @ ends[:, :3].T < ends[:, 3]).all(1)
            at = np.flatnonzero(near)
            if len(at):
                found[at] |= shapely.contains_xy(shape, (points[at] - origin) @ axes)
        return found

    def open_stretches(
        self, start: Floats, way: Floats, size: float, into: Floats, parts: tuple[int, int]
    ) -> list[tuple[float, float]]:
        """From where to where along a seam nothing covers it, mm from its start."""

        def covered(t: Floats) -> NDArray[np.bool_]:
            return self.inside(start + t[:, None] * way + _OFF * into, parts)

        n = max(int(size / _STEP), 4)
        at = (np.arange(n) + 0.5) * size / n
        shut = covered(at)
        if not shut.any():
            return [(0.0, size)]
        out: list[tuple[float, float]] = []
        begin: float | None = None if shut[0] else 0.0
        for k in range(1, n):
            if shut[k] == shut[k - 1]:
                continue
            low, high = at[k - 1], at[k]
            for _ in range(8):
                middle = (low + high) / 2
                same = bool(covered(np.array([middle]))[0]) == bool(shut[k - 1])
                low, high = (middle, high) if same else (low, middle)
            if shut[k]:
                out.append((begin or 0.0, (low + high) / 2))
                begin = None
            else:
                begin = (low + high) / 2
        if begin is not None:
            out.append((begin, size))
        return [(s, t) for s, t in out if t - s > _SHORT]
