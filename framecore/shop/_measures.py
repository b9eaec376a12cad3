"""The measures that show an assembly square: over all, diagonals, heights at the corners, feet from one to the next."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Vector
from framecore.shop.tolerance import angular_tolerance, diagonal_tolerance, linear_tolerance
from framecore.shop.work import Check
from framecore.solids.model import Solids

Floats = NDArray[np.float64]
SAME = 0.5  # mm; measures that differ by less read as one
_APART = 200.0  # mm; corners nearer than this tell nothing to a tape
_HIGH = 30.0  # mm; corners that stand no higher over the lowest point have no height to measure


def axes(normal: Vector | None) -> tuple[Floats, Floats, Floats]:
    """Axes in the plane of a flat assembly, the second as upright as can be, and its normal."""
    n = np.array(normal or (0.0, 1.0, 0.0))
    up = np.array((0.0, 1.0, 0.0)) if abs(n[2]) > 0.9 else np.array((0.0, 0.0, 1.0))
    e2 = up - (up @ n) * n
    e2 /= np.linalg.norm(e2)
    return np.cross(e2, n), e2, n


def _quad(points: Floats, e1: Floats, e2: Floats) -> Floats:
    """(4, 3): the outermost corners, lower left first, counter-clockwise in e1, e2."""
    flat = np.stack([points @ e1, points @ e2], axis=1)
    span = np.maximum(flat.max(0) - flat.min(0), 1.0)
    # Each corner is looked for along the box's own diagonal, so that slender frames find theirs too.
    ways = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) / span
    found = points[(flat @ ways.T).argmax(0)]
    n = np.cross(e1, e2)
    level = float((points @ n).max())  # on the upper face, where the tape lies
    return np.asarray(found + (level - found @ n)[:, None] * n)


def _measure(kind: str, a: Floats, b: Floats, text: str, tolerance: float, pair: str = "") -> Check:
    (ax, ay, az), (bx, by, bz) = a.tolist(), b.tolist()
    return Check(
        kind=kind, a=(ax, ay, az), b=(bx, by, bz), value=math.dist(a.tolist(), b.tolist()), tolerance=tolerance, text=text,
        pair=pair,
    )  # fmt: skip


def flat_checks(points: Floats, e1: Floats, e2: Floats) -> tuple[Check, ...]:
    """Over all on four sides, both diagonals."""
    q = _quad(points, e1, e2)
    sides = [float(np.linalg.norm(q[(k + 1) % 4] - q[k])) for k in range(4)]
    words = ("bottom", "right", "top", "left") if abs(e2[2]) > 0.5 else ("front", "right", "back", "left")
    out = [
        _measure("over all", q[k], q[(k + 1) % 4], f"over all, {words[k]}", linear_tolerance(sides[k]))
        for k in range(4)
        if sides[k] > SAME
    ]
    within = diagonal_tolerance(sides[0], sides[1])
    one, two = float(np.linalg.norm(q[2] - q[0])), float(np.linalg.norm(q[3] - q[1]))
    pair = "diagonals" if abs(one - two) < SAME else ""  # not alike by design: each has its own length
    for i, j in ((0, 2), (1, 3)):
        out.append(_measure("diagonal", q[i], q[j], "diagonal", within, pair))
    return tuple(out)


def column_checks(points: Floats, text: str) -> tuple[Check, ...]:
    """The height of what stands on one column, over all."""
    low, high = points.min(0), points.max(0)
    a, b = np.array((low[0], low[1], low[2])), np.array((low[0], low[1], high[2]))
    return (_measure("over all", a, b, f"over all, {text}", linear_tolerance(float(high[2] - low[2]))),)


def square_check(foot: Vector, top: Vector, shorter: float) -> Check:
    """How far a column may lean off square, at its top; ``shorter`` leg of the angle it makes with what it stands on, mm."""
    within = angular_tolerance(shorter) / 1000 * math.dist(foot, top)
    return Check(
        kind="square", a=top, b=top, value=0.0, tolerance=within, text="column off a square at its top, from two sides"
    )


def corners_of(solids: Solids, names: Iterable[str]) -> Floats:
    """Corners of the parts named, (n, 3)."""
    own = set(names)
    wanted = np.array([n in own for n in solids.layout.parts])
    return np.asarray(solids.vertices[wanted[solids.layout.vertex_part]])


def space_checks(points: Floats, feet: Sequence[tuple[str, Vector]]) -> tuple[Check, ...]:
    """Diagonals of the plan at the top and at the feet and of the front, heights at the corners; of three feet their sides."""
    e = np.eye(3)
    low, high = points.min(0), points.max(0)
    out: list[Check] = []
    planes = [("top", points[points[:, 2] > high[2] - 120.0], e[0], e[1])]
    if len(feet) >= 4:
        planes.append(("feet", np.array([at for _, at in feet]), e[0], e[1]))
    planes.append(("front", points[points[:, 1] < low[1] + 120.0], e[0], e[2]))
    if len(feet) == 3:
        del planes[0]
        for (a, p), (b, r) in itertools.combinations(feet, 2):
            text = f"centres, {a} to {b.removeprefix('foot ')}"
            out.append(_measure("centres", np.array(p), np.array(r), text, linear_tolerance(math.dist(p, r))))
    for name, own, e1, e2 in planes:
        q = _quad(own, e1, e2)
        sides = float(np.linalg.norm(q[1] - q[0])), float(np.linalg.norm(q[2] - q[1]))
        if min(sides) < _APART:
            continue
        one, two = float(np.linalg.norm(q[2] - q[0])), float(np.linalg.norm(q[3] - q[1]))
        if abs(one - two) > SAME:
            continue  # not alike by design: its diagonals tell nothing
        within = diagonal_tolerance(*sides)
        out += [_measure("diagonal", q[i], q[j], f"diagonal, {name}", within, f"{name} diagonals") for i, j in ((0, 2), (1, 3))]
    if len(feet) == 3:
        return tuple(out)
    q = _quad(planes[0][1], e[0], e[1])
    if min(math.dist(q[0], q[1]), math.dist(q[1], q[2])) < _APART:
        return tuple(out)
    for corner, name in zip(q, ("front left", "front right", "back right", "back left"), strict=True):
        floor = corner.copy()
        floor[2] = low[2]
        if corner[2] - low[2] > _HIGH:
            within = linear_tolerance(float(corner[2] - low[2]))
            out.append(_measure("corner height", floor, corner, f"height, {name}", within, "heights"))
    return tuple(out)
