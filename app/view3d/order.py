"""Who hides whom: convex pieces from far to near, by planes that part them. No toolkit."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from app.view3d.camera import Camera
from app.view3d.pieces import Pieces

Floats = NDArray[np.float64]
_HAIR = 0.6  # overlap on the picture that nobody sees, pixels
_TOUCH = 0.1  # pieces that overlap by less than this only touch, mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Partings:
    """What does not depend on the eye.

    Attributes
    ----------
    unit, level : (p, 3) outward unit normal and (p,) mm of each plane
    apart : (p, count) whether a piece lies wholly outside a plane
    plane_from : (count,) where the planes of each piece begin
    middle : (count, 3) of each piece, mm
    points, point_from : corners of all pieces, and where each piece's begin
    """

    unit: Floats
    level: Floats
    apart: NDArray[np.bool_]
    plane_from: NDArray[np.intp]
    middle: Floats
    points: Floats
    point_from: NDArray[np.intp]


def partings(vertices: Floats, pieces: Pieces) -> Partings:
    """Work out which planes have which pieces outside them."""
    a, b, c = (vertices[pieces.planes[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    unit = normal / np.maximum(np.linalg.norm(normal, axis=1), 1e-12)[:, None]
    level = np.einsum("ij,ij->i", unit, a)
    points = vertices[pieces.points]
    low = np.minimum.reduceat(points @ unit.T, pieces.point_from, axis=0) - level  # (count, p)
    sizes = np.diff(np.append(pieces.point_from, len(points)))
    return Partings(
        unit=unit,
        level=level,
        apart=(low > -_TOUCH).T,
        plane_from=np.searchsorted(pieces.plane_piece, np.arange(pieces.count)),
        middle=np.add.reduceat(points, pieces.point_from, axis=0) / sizes[:, None],
        points=points,
        point_from=np.asarray(pieces.point_from, np.intp),
    )


def _beside(known: Partings, camera: Camera) -> NDArray[np.bool_]:
    """(count, count): whether two pieces lie clear of each other on the picture, so that neither can hide the other.

    Seen along the picture's sides and its diagonals; what lies beside the eye is taken to fill the picture.
    """
    seen = camera.project(known.points)[:, :2]
    along = seen @ np.array([(1.0, 0.0, 1.0, 1.0), (0.0, 1.0, 1.0, -1.0)])
    low = np.minimum.reduceat(along, known.point_from, axis=0)
    high = np.maximum.reduceat(along, known.point_from, axis=0)
    if not camera.parallel:
        depth = (camera.eye - known.points) @ camera.axes[2]
        near = np.minimum.reduceat(depth, known.point_from) <= 1.0
        low[near], high[near] = -np.inf, np.inf
    clear = (low[:, None] > high[None] - _HAIR).any(2)
    return np.asarray(clear | clear.T)


def far_to_near(known: Partings, camera: Camera) -> list[int]:
    """Return the pieces so that none hides one that comes after it.

    Of two pieces the one on the eye's side of a plane between them is in front; pieces that lie beside each other
    on the picture need no order. Pieces that no plane parts (they overlap) keep the order of their middles; rings of
    pieces that hide one another are broken at the farthest.
    """
    if camera.parallel:
        outside = known.unit @ camera.axes[2] > 0
    else:
        outside = known.unit @ camera.eye - known.level > 0
    # front[i, k]: k is in front of i.
    front = np.logical_or.reduceat(known.apart & outside[:, None], known.plane_from, axis=0)
    front |= np.logical_or.reduceat(known.apart & ~outside[:, None], known.plane_from, axis=0).T
    np.fill_diagonal(front, False)
    front &= ~front.T  # planes for both: neither hides the other
    front &= ~_beside(known, camera)
    near = (known.middle @ camera.axes[2]).tolist() if camera.parallel else _nearness(known.middle, camera.eye)
    waits = front.sum(0).tolist()  # how many still lie behind each
    after = [np.flatnonzero(row).tolist() for row in front]
    n = len(waits)
    done = [False] * n
    ready = [(near[k], k) for k in range(n) if waits[k] == 0]
    heapify(ready)
    order: list[int] = []
    while len(order) < n:
        if ready:
            k = heappop(ready)[1]
        else:
            k = min(_ring(front, done), key=lambda i: near[i])
        if done[k]:
            continue
        done[k] = True
        order.append(k)
        for i in after[k]:
            waits[i] -= 1
            if waits[i] == 0 and not done[i]:
                heappush(ready, (near[i], i))
    return order


def _ring(front: NDArray[np.bool_], done: list[bool]) -> list[int]:
    """Return pieces that hide one another in a ring; what merely waits for them is not among them."""
    left = ~np.array(done)
    seen: dict[int, int] = {}
    path: list[int] = []
    k = int(left.argmax())
    while k not in seen:
        seen[k] = len(path)
        path.append(k)
        k = int((front[:, k] & left).argmax())  # one that still lies behind
    return path[seen[k] :]


def _nearness(points: Floats, eye: Floats) -> list[float]:
    away: list[float] = (-np.linalg.norm(points - eye, axis=1)).tolist()
    return away
