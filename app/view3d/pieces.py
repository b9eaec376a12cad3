"""Convex pieces of the parts: what a painter must put in order. Index work, kept while the topology is. No toolkit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame
from framecore.solids.model import MeshLayout

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
_NEAR = 0.1  # faces nearer than this touch, mm
_FLAT = 1e-9  # a corner that bends in by less than this is straight


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Convex prisms that fill every part; a tube counts as filled.

    Attributes
    ----------
    count : of pieces
    face_piece : (m,) piece of each triangle
    face_outer : (m,) whether the triangle is on the outside, not the wall of a bore
    edge_convex : (k,) whether the faces beside an inked edge fall away from each other
    face_touches : (m,) whether a triangle lies on a face of another part
    points : (n,) vertices of the pieces, one after another; ``point_from`` (count,) where each piece begins
    quads : (q, 4) corners of the flat sides, vertices; ``quad_face`` (q,) the first of each one's two triangles
    cap_face : (c,) the triangles of the ends
    planes : (p, 3) three vertices that span each plane, counter-clockwise from outside; ``plane_piece`` (p,)
    """

    count: int
    face_piece: Ints
    face_outer: NDArray[np.bool_]
    edge_convex: NDArray[np.bool_]
    face_touches: NDArray[np.bool_]
    points: Ints
    point_from: Ints
    quads: Ints
    quad_face: Ints
    cap_face: Ints
    planes: Ints
    plane_piece: Ints


_kept: tuple[MeshLayout, Pieces] | None = None


def pieces_of(frame: Frame, layout: MeshLayout, vertices: Floats) -> Pieces:
    """Return the pieces of a frame's mesh; the last ones serve as long as the layout is the same object."""
    global _kept
    if _kept is None or _kept[0] is not layout:
        _kept = layout, _make(frame, layout, vertices)
    return _kept[1]


def _make(frame: Frame, layout: MeshLayout, vertices: Floats) -> Pieces:
    outlines = [m.profile.outline for m in frame.members] + [(p.outline,) for p in frame.plates]
    total = len(layout.vertex_part) // 2  # every vertex of a start end has its twin that much later
    face_piece, face_outer = np.zeros(len(layout.faces), np.int32), np.ones(len(layout.faces), bool)
    points: list[list[int]] = []
    planes: list[tuple[int, int, int]] = []
    plane_piece: list[int] = []
    is_cap = np.zeros(len(layout.faces), bool)
    faces_of = np.searchsorted(layout.face_part, np.arange(len(layout.parts) + 1))
    base_of = np.searchsorted(layout.vertex_part[:total], np.arange(len(layout.parts) + 1))
    for part in range(len(layout.parts)):
        base, size = int(base_of[part]), int(base_of[part + 1] - base_of[part])
        first, stop = int(faces_of[part]), int(faces_of[part + 1])
        caps = (stop - first) // 2 - size
        sides = first + 2 * caps
        is_cap[first:sides] = True
        rings = outlines[part] if part < len(outlines) else ()
        outer = len(rings[0]) if rings else size
        triangles = layout.faces[first + caps : first + 2 * caps] - base - total
        if len(rings) == 1 and not _convex(rings[0]):
            found = convex_pieces(rings[0], triangles.tolist())
        else:
            found = [(list(range(outer)), list(range(caps)))]
        face_outer[sides + 2 * outer : stop] = False
        for corners, owned in found:
            piece = len(points)
            ring = [base + i for i in corners]
            points.append([*ring, *(i + total for i in ring)])
            for t in owned:
                face_piece[[first + t, first + caps + t]] = piece
            for i, j in zip(corners, [*corners[1:], corners[0]], strict=True):
                planes.append((base + i, base + j, base + j + total))
                plane_piece.append(piece)
                if j == (i + 1) % outer:
                    face_piece[[sides + 2 * i, sides + 2 * i + 1]] = piece
            a, b, c = _spread(rings[0] if rings else None, corners)
            planes += [(base + a, base + c, base + b), (base + a + total, base + b + total, base + c + total)]
            plane_piece += [piece, piece]
        face_piece[sides + 2 * outer : stop] = len(points) - 1
    quad_face = np.flatnonzero(~is_cap)[::2]
    quads = np.column_stack([layout.faces[quad_face], layout.faces[quad_face + 1, 2]])
    return Pieces(
        count=len(points), face_piece=face_piece, face_outer=face_outer,
        edge_convex=_edges_convex(layout, vertices), face_touches=_touching(layout, vertices),
        points=np.concatenate(points).astype(np.int32),
        point_from=np.cumsum([0, *(len(p) for p in points[:-1])]).astype(np.int32),
        quads=quads, quad_face=quad_face.astype(np.int32), cap_face=np.flatnonzero(is_cap).astype(np.int32),
        planes=np.array(planes, np.int32), plane_piece=np.array(plane_piece, np.int32),
    )  # fmt: skip


def _planes(triangles: Floats) -> tuple[Floats, Floats]:
    """Return unit normals (m, 3) and levels (m,) of triangles."""
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-12)[:, None]
    return normal, np.einsum("ij,ij->i", normal, triangles[:, 0])


def _edges_convex(layout: MeshLayout, vertices: Floats) -> NDArray[np.bool_]:
    triangles = vertices[layout.faces]
    normal, level = _planes(triangles)
    one, other = layout.edge_faces.T
    # Of the other face's corners two lie on the edge; the third says to which side that face goes.
    off = np.einsum("kij,kj->ki", triangles[other], normal[one]) - level[one][:, None]
    farthest = np.take_along_axis(off, np.abs(off).argmax(1)[:, None], axis=1)[:, 0]
    convex: NDArray[np.bool_] = farthest <= 1e-6
    return convex


def _touching(layout: MeshLayout, vertices: Floats) -> NDArray[np.bool_]:
    """Which triangles lie on an opposite face of another part; their bounds have to meet, not their outlines."""
    triangles = vertices[layout.faces]
    normal, level = _planes(triangles)
    low, high = triangles.min(1) - _NEAR, triangles.max(1) + _NEAR
    touches = np.zeros(len(triangles), bool)
    # Only planes of about the same level can be two sides of one: by levels in order, all pairs of neighbours at once.
    by_level, facing = np.argsort(np.abs(level), kind="stable"), np.abs(level)
    ends = np.searchsorted(facing[by_level], facing[by_level] + _NEAR, side="right")
    count = ends - np.arange(len(by_level)) - 1
    one = np.repeat(np.arange(len(by_level)), count)
    other = one + 1 + np.arange(len(one)) - np.repeat(np.cumsum(count) - count, count)
    one, other = by_level[one], by_level[other]
    for test in (
        lambda i, j: np.abs(level[i] + level[j]) < _NEAR,
        lambda i, j: layout.face_part[i] != layout.face_part[j],
        lambda i, j: np.einsum("ki,ki->k", normal[i], normal[j]) < -0.9999,
        lambda i, j: (low[i] <= high[j]).all(1) & (high[i] >= low[j]).all(1),
    ):
        kept = test(one, other)
        one, other = one[kept], other[kept]
    touches[one] = touches[other] = True
    return touches


def _spread(ring: Floats | None, corners: Sequence[int]) -> tuple[int, int, int]:
    """Three corners that are not in line: the widest triangle from the first."""
    if ring is None:
        return corners[0], corners[len(corners) // 3], corners[2 * len(corners) // 3]
    a = corners[0]
    b, c = max(pairwise(corners[1:]), key=lambda p: _turn(ring, a, *p))
    return a, b, c


def _turn(ring: Floats, a: int, b: int, c: int) -> float:
    """Twice the area of a, b, c: above 0 for a turn to the left."""
    (ax, ay), (bx, by), (cx, cy) = ring[a], ring[b], ring[c]
    return float((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))


def _convex(ring: Floats) -> bool:
    n = len(ring)
    return all(_turn(ring, i, (i + 1) % n, (i + 2) % n) >= -_FLAT for i in range(n))


def convex_pieces(ring: Floats, triangles: list[list[int]]) -> list[tuple[list[int], list[int]]]:
    """Join triangles of a section to convex polygons, as few as come of joining one after another.

    Parameters
    ----------
    ring : (n, 2) corners, counter-clockwise
    triangles : corner indices of each, counter-clockwise

    Returns
    -------
    list
        Corners of each polygon, counter-clockwise, and the triangles it is made of.
    """
    pieces = [(list(t), [k]) for k, t in enumerate(triangles)]
    joined = True
    while joined:
        joined = False
        for p in range(len(pieces)):
            q = p + 1
            while q < len(pieces):
                both = _join(ring, pieces[p][0], pieces[q][0])
                if both:
                    pieces[p] = both, pieces[p][1] + pieces.pop(q)[1]
                    joined = True
                else:
                    q += 1
            if joined:
                break
    return pieces


def _join(ring: Floats, p: list[int], q: list[int]) -> list[int]:
    """Return the polygon of two that share a side, [] if they share none or it would not be convex."""
    sides = {(q[k], q[(k + 1) % len(q)]): k for k in range(len(q))}
    for k in range(len(p)):
        a, b = p[k], p[(k + 1) % len(p)]
        other = sides.get((b, a))
        if other is None:
            continue
        # From b once round p to a, then on round q until b is next.
        both = [p[(k + 1 + i) % len(p)] for i in range(len(p))]
        both += [q[(other + 2 + i) % len(q)] for i in range(len(q) - 2)]
        n = len(both)
        if all(_turn(ring, both[i], both[(i + 1) % n], both[(i + 2) % n]) >= -_FLAT for i in range(n)):
            return both
        return []
    return []
