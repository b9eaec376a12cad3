"""A rigid body on a support polygon: the push and the tilt that tip it, in every direction.

Each load counts at the end of its travel, or missing, that is worst for the edge the body would tip over. The
moment about an edge is a sum over the loads, so the worst of each is the worst of all: nothing is sampled.
Directions of push are swept, and each of them is exact: over an edge with outward normal n a push in the
direction t needs M / (h t.n), the least over the edges.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Vector
from framecore.strength._loads import Load
from framecore.units import KILOGRAM_FORCE

Floats = NDArray[np.float64]
DIRECTIONS = 72
NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """A body on a support polygon, its loads at their worst for each edge.

    Attributes
    ----------
    corners : (e, 2) of the polygon, counter-clockwise, mm; edge k runs from corner k to k + 1
    normals : (e, 2) outward
    moments : (e,) that hold the body down on each edge, N mm; negative: it goes over by itself
    tangents : (e,) tan of the tilt across each edge at which it goes over
    names, tilt_names : per edge, the loads that are not where they usually are when it is pushed or tilted over,
        as "drawer out", "vice missing"
    height : of the push, mm above the polygon
    push : (72,) least push that tips it, N, in directions 0, 5, 10 ... deg from the operator's right to the back
    angle : (72,) tilt that tips it, rad
    push_edge, angle_edge : (72,) edge it goes over
    """

    corners: Floats
    normals: Floats
    moments: Floats
    tangents: Floats
    names: tuple[tuple[str, ...], ...]
    tilt_names: tuple[tuple[str, ...], ...]
    height: float
    push: Floats
    angle: Floats
    push_edge: NDArray[np.intp]
    angle_edge: NDArray[np.intp]

    @property
    def worst(self) -> int:
        """Direction of the least push."""
        return int(self.push.argmin())

    @property
    def worst_angle(self) -> int:
        """Direction of the least tilt."""
        return int(self.angle.argmin())


@lru_cache(maxsize=1)
def _sweep() -> Floats:
    turn = np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS)
    ways = np.column_stack([np.cos(turn), np.sin(turn)])
    ways[np.abs(ways) < 1e-12] = 0.0
    return ways


def polygon(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the convex hull, counter-clockwise, without points in its sides; fewer than three when it has no area."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    half: list[list[tuple[float, float]]] = []
    for row in (ordered, ordered[::-1]):
        line: list[tuple[float, float]] = []
        for p in row:
            while len(line) > 1 and _left(line[-2], line[-1], p) <= NEAR:
                line.pop()
            line.append(p)
        half.append(line[:-1])
    return half[0] + half[1]


def _left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def base(
    points: list[tuple[float, float]], own: tuple[float, Vector], loads: tuple[Load, ...], *, height: float, floor: float = 0.0
) -> Base | None:
    """Return how a body stands on ``points``, None where these have no area.

    Parameters
    ----------
    points : x, y of what it stands on, mm
    own : mass, kg, and centre of what always stays
    loads : what may move or be missing
    height : of the push above ``floor``, mm
    floor : z of the points, mm

    Source: statics; the tilt by Newton's steps on a concave broken line, which end exactly on its root.
    """
    hull = polygon(points)
    if len(hull) < 3:
        return None
    corners = np.array(hull)
    along = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / np.hypot(along[:, 0], along[:, 1])[:, None]
    reach = (normals * corners).sum(1)
    # Per load and option: the moment it gives about each edge and its height; the third option is "missing".
    n_edges, n = len(corners), len(loads)
    moment = np.zeros((n_edges, n, 3))
    high = np.zeros((n, 3))
    for k, load in enumerate(loads):
        w = load.mass * KILOGRAM_FORCE
        for option, p in enumerate((load.at, load.to)):
            arm = (0.0 if load.shift else reach) - (normals[:, 0] * p[0] + normals[:, 1] * p[1])
            moment[:, k, option] = w * arm
            high[k, option] = w * (p[2] if load.shift else p[2] - floor)
        if not load.optional:
            moment[:, k, 2], high[k, 2] = moment[:, k, 0], high[k, 0]
    mass, centre = own
    w = mass * KILOGRAM_FORCE
    own_moment = w * (reach - normals @ np.array(centre[:2]))
    chosen = moment.argmin(2)
    moments = own_moment + moment.min(2).sum(1)
    tangents, leaning = _tilts(own_moment, w * (centre[2] - floor), moment, high)
    ways = _sweep()
    facing = ways @ normals.T
    towards = np.where(facing > NEAR, facing, np.nan)
    # What goes over by itself needs no push at all.
    push = np.maximum(moments, 0.0) / (height * towards)
    tilt = np.maximum(tangents, 0.0) / towards
    push_edge, angle_edge = _least(push), _least(tilt)
    rows = np.arange(DIRECTIONS)
    return Base(
        corners=corners, normals=normals, moments=moments, tangents=tangents,
        names=tuple(_told(loads, row) for row in chosen.tolist()),
        tilt_names=tuple(_told(loads, row) for row in leaning.tolist()),
        height=height, push=push[rows, push_edge], angle=np.arctan(tilt[rows, angle_edge]),
        push_edge=push_edge, angle_edge=angle_edge,
    )  # fmt: skip


def _least(values: Floats) -> NDArray[np.intp]:
    return np.asarray(np.where(np.isnan(values), np.inf, values).argmin(1))


def _tilts(own: Floats, own_high: float, moment: Floats, high: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Tan of the tilt (e,) at which the worst of all loads goes over each edge, and the option of each load (e, n)."""
    pick = moment.argmin(2)
    t = np.zeros(len(own))
    every = np.broadcast_to(high, moment.shape)
    for _ in range(3 * moment.shape[1] + 2):
        at = pick[:, :, None]
        rest = own + np.take_along_axis(moment, at, 2)[:, :, 0].sum(1)
        lean = own_high + np.take_along_axis(every, at, 2)[:, :, 0].sum(1)
        t = rest / np.maximum(lean, NEAR)
        better = (moment - t[:, None, None] * high).argmin(2)
        if (better == pick).all():
            break
        pick = better
    return np.asarray(t), pick


def _told(loads: tuple[Load, ...], chosen: list[int]) -> tuple[str, ...]:
    out = []
    for load, option in zip(loads, chosen, strict=True):
        if load.optional and option == 2:
            out.append(f"{load.name} missing")
        elif load.at != load.to and option == 1:
            out.append(f"{load.name} out")
    return tuple(out)
