"""A rigid body on a support polygon: the push and the tilt that tip it, in every direction.

Each load counts at the end of its travel, or missing, that is worst for the edge the body would tip over. The
moment about an edge is a sum over the loads, so the worst of each is the worst of all: nothing is sampled.
A push in the direction t goes over the edge with outward normal n at M / (h t.n), the least over the edges.
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
Point = tuple[float, float]
DIRECTIONS = 72
NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One side of a support polygon, the loads at their worst for it.

    ``start``, ``end`` counter-clockwise, mm; ``normal`` outward; ``moment`` that holds the body down on it, N mm,
    negative where it goes over by itself; ``tangent`` of the tilt straight across it at which it goes over.
    ``names``, ``tilt_names``: the loads that are not where they usually are when it is pushed or tilted over
    this edge, as "drawer out", "vice missing".
    """

    start: Point
    end: Point
    normal: Point
    moment: float
    tangent: float
    names: tuple[str, ...]
    tilt_names: tuple[str, ...]

    def facing(self, way: Point) -> float:
        """Cosine between a direction and the outward normal."""
        return self.normal[0] * way[0] + self.normal[1] * way[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """A body on its support polygon; ``height`` of the push above the polygon, mm.

    Where it goes over by itself every push and tilt is zero.
    """

    edges: tuple[Edge, ...]
    height: float

    def push(self, way: Point) -> tuple[float, Edge]:
        """Return the least push, N, in the direction of the unit vector ``way`` that tips it, and the edge it goes over."""
        return self._first(way, [max(e.moment, 0.0) / self.height for e in self.edges])

    def tilt(self, way: Point) -> tuple[float, Edge]:
        """Return the tilt, rad, towards ``way`` that tips it, and the edge it goes over."""
        tan, edge = self._first(way, [max(e.tangent, 0.0) for e in self.edges])
        return math.atan(tan), edge

    def _first(self, way: Point, values: list[float]) -> tuple[float, Edge]:
        if min(values) <= 0.0:
            return 0.0, self.edges[values.index(min(values))]
        reach, k = min(
            (value / facing, k)
            for k, (value, facing) in enumerate(zip(values, (e.facing(way) for e in self.edges), strict=True))
            if facing > NEAR
        )
        return reach, self.edges[k]

    @property
    def weakest(self) -> Edge:
        """The edge of the least push of all, which is straight across it."""
        return min(self.edges, key=lambda e: e.moment)

    @property
    def leaning(self) -> Edge:
        """The edge of the least tilt of all, which is straight across it."""
        return min(self.edges, key=lambda e: e.tangent)

    @property
    def least_push(self) -> float:
        """Least push of all directions, N."""
        return max(self.weakest.moment, 0.0) / self.height

    @property
    def least_tilt(self) -> float:
        """Least tilt of all directions, rad."""
        return math.atan(max(self.leaning.tangent, 0.0))

    def polar(self) -> tuple[Floats, Floats, Floats]:
        """Return directions, rad from the operator's right to the back, and the push, N, and tilt, rad, in each.

        All (72,); each value is exact for its direction.
        """
        ways = _sweep()
        facing = ways @ np.array([e.normal for e in self.edges]).T
        over = np.where(facing > NEAR, 1 / np.maximum(facing, NEAR), np.inf)
        push = np.array([e.moment for e in self.edges]) / self.height
        tilt = np.array([e.tangent for e in self.edges])
        least: list[Floats] = [(v * over).min(1) if v.min() > 0.0 else np.zeros(DIRECTIONS) for v in (push, tilt)]
        turns = np.asarray(np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS), np.float64)
        return turns, least[0], np.asarray(np.arctan(least[1]), np.float64)


@lru_cache(maxsize=1)
def _sweep() -> Floats:
    turn = np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS)
    ways = np.column_stack([np.cos(turn), np.sin(turn)])
    ways[np.abs(ways) < 1e-12] = 0.0
    return ways


def polygon(points: list[Point]) -> list[Point]:
    """Return the convex hull, counter-clockwise, without points in its sides; fewer than three when it has no area."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    half: list[list[Point]] = []
    for row in (ordered, ordered[::-1]):
        line: list[Point] = []
        for p in row:
            while len(line) > 1 and _left(line[-2], line[-1], p) <= NEAR:
                line.pop()
            line.append(p)
        half.append(line[:-1])
    return half[0] + half[1]


def _left(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def base(
    points: list[Point], own: tuple[float, Vector], loads: tuple[Load, ...], *, height: float, floor: float = 0.0
) -> Base | None:
    """Return how a body stands on ``points``, None where these have no area.

    Parameters
    ----------
    points : x, y of what it stands on, mm
    own : mass, kg, and centre of what always stays
    loads : what may move or be missing
    height : of the push above ``floor``, mm
    floor : z of the points, mm

    Source: statics.
    """
    hull = polygon(points)
    if len(hull) < 3:
        return None
    edges = []
    for start, end in zip(hull, hull[1:] + hull[:1], strict=True):
        x, y = end[1] - start[1], start[0] - end[0]
        size = math.hypot(x, y)
        normal = (x / size, y / size)
        reach = normal[0] * start[0] + normal[1] * start[1]
        fixed = _counts(own[0], own[1], normal, reach, floor)
        # Per load: moment and height at the start of its travel, at its end, and missing.
        options = [
            (
                _counts(k.mass, k.at, normal, 0.0 if k.shift else reach, 0.0 if k.shift else floor),
                _counts(k.mass, k.to, normal, 0.0 if k.shift else reach, 0.0 if k.shift else floor),
                *(((0.0, 0.0),) if k.optional else ()),
            )
            for k in loads
        ]
        pushed = _worst(options, 0.0)
        moment = fixed[0] + sum(o[k][0] for o, k in zip(options, pushed, strict=True))
        tangent, tilted = _tilt(fixed, options, pushed)
        edges.append(
            Edge(start=start, end=end, normal=normal, moment=moment, tangent=tangent, names=_told(loads, pushed),
                 tilt_names=_told(loads, tilted))
        )  # fmt: skip
    return Base(edges=tuple(edges), height=height)


def _counts(mass: float, p: Vector, normal: Point, reach: float, floor: float) -> tuple[float, float]:
    w = mass * KILOGRAM_FORCE
    return w * (reach - normal[0] * p[0] - normal[1] * p[1]), w * (p[2] - floor)


_Options = list[tuple[tuple[float, float], ...]]


def _worst(options: _Options, t: float) -> list[int]:
    """Return the option of each load that holds least at the tilt whose tangent is ``t``."""
    out = []
    for ways in options:
        values = [moment - t * high for moment, high in ways]
        out.append(values.index(min(values)))
    return out


def _tilt(fixed: tuple[float, float], options: _Options, pick: list[int]) -> tuple[float, list[int]]:
    """Tangent of the tilt at which the worst of all loads goes over, and the option of each.

    What holds is a concave broken line of the tangent; Newton's steps end on its root after a few pieces.
    """
    t = 0.0
    for _ in range(3 * len(options) + 2):
        moment = fixed[0] + sum(o[k][0] for o, k in zip(options, pick, strict=True))
        high = fixed[1] + sum(o[k][1] for o, k in zip(options, pick, strict=True))
        t = moment / max(high, NEAR)
        better = _worst(options, t)
        if better == pick:
            break
        pick = better
    return t, pick


def _told(loads: tuple[Load, ...], chosen: list[int]) -> tuple[str, ...]:
    out = []
    for load, option in zip(loads, chosen, strict=True):
        if option == 2:
            out.append(f"{load.name} missing")
        elif option == 1 and load.at != load.to:
            out.append(f"{load.name} out")
    return tuple(out)
