"""Small numbers beside points of a view: near their point, on nothing else, their ticks across no other number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from framecore.sheets.drawing.model import Line, Point2, Primitive, Text

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]

ROUND = 1.05  # radius of the circle in heights of the number
CLEAR = 0.5  # mm round circles and words
REACHES = (1.2, 3.0, 5.0, 7.5, 10.5, 14.0, 18.0, 24.0, 32.0, 42.0, 54.0)  # mm from the point to the circle's rim
TURNS = 16
BEAD, DRAWN, CROSSED, FAR = 4.0, 1.0, 12.0, 0.35  # what it costs to cover a bead, a line, to cross a tick; per mm away
_CORNERS = 20


@dataclass(slots=True)
class Field:
    """What lies in a view: where numbers must not stand, what they had better not cover.

    ``bounds`` the box they stay in; ``lines`` and ``beads`` (k, 4) segments on paper, mm; ``keep`` segments that no
    number may touch (leaders); ``boxes`` words.
    """

    bounds: Box
    lines: Array
    beads: Array
    keep: list[tuple[Point2, Point2]] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    rounds: list[tuple[float, float, float]] = field(default_factory=list)
    ticks: list[tuple[Point2, Point2]] = field(default_factory=list)


def _rows(segments: Sequence[tuple[Point2, Point2]]) -> Array:
    return np.array([(*p, *q) for p, q in segments]).reshape(-1, 4)


def away(points: Array, segments: Array) -> Array:
    """(n, k) distance of n points from k segments, mm."""
    a, d = segments[:, :2], segments[:, 2:] - segments[:, :2]
    size = np.maximum((d * d).sum(axis=1), 1e-12)
    off = points[:, None, :] - a[None]
    t = np.clip((off * d).sum(axis=2) / size, 0.0, 1.0)
    return np.asarray(np.hypot(*(off - t[:, :, None] * d).transpose(2, 0, 1)))


def crossed(one: Array, other: Array) -> NDArray[np.bool_]:
    """(n, k): which of n segments cross which of k others."""
    p, q = one[:, None, :2], one[:, None, 2:]
    r, s = other[None, :, :2], other[None, :, 2:]

    def side(o: Array, u: Array, v: Array) -> Array:
        return np.asarray((u[..., 0] - o[..., 0]) * (v[..., 1] - o[..., 1]) - (u[..., 1] - o[..., 1]) * (v[..., 0] - o[..., 0]))

    return np.asarray((side(p, q, r) * side(p, q, s) < 0) & (side(r, s, p) * side(r, s, q) < 0))


def place(ground: Field, point: Point2, radius: float) -> Point2 | None:
    """Find where the circle of a number for ``point`` stands, and take the room; None where there is none."""
    best: tuple[float, Point2, Point2] | None = None
    for near, far in ((0, _NEAR), (_NEAR, len(REACHES))):
        # Whatever stands further out costs more than this for its distance alone.
        if best is None or best[0] > FAR * REACHES[near]:
            found = _best(ground, point, radius, REACHES[near:far])
            best = found if best is None or (found is not None and found[0] < best[0]) else best
    if best is None:
        best = _best(ground, point, radius, REACHES, crowded=True)
    if best is None:
        return None
    _, centre, rim = best
    ground.rounds.append((*centre, radius))
    ground.ticks.append((point, rim))
    return centre


_NEAR = 4  # of the reaches are tried first


def _best(
    ground: Field, point: Point2, radius: float, reaches: Sequence[float], crowded: bool = False
) -> tuple[float, Point2, Point2] | None:
    """Cheapest place among some reaches: cost, centre of the circle, end of the tick on its rim.

    Where it is ``crowded`` a circle may cover a tick, for the circle's white ground is drawn over it, and its own tick may
    run under other circles.
    """
    reach = np.array(reaches)
    rims = (np.array(point) + reach[:, None, None] * _WAYS).reshape(-1, 2)
    centres = (np.array(point) + (reach[:, None, None] + radius) * _WAYS).reshape(-1, 2)
    room = radius + CLEAR
    x0, y0, x1, y1 = ground.bounds
    x, y = centres.T
    good = (x > x0 + room) & (x < x1 - room) & (y > y0 + room) & (y < y1 - room)
    cost = FAR * np.repeat(reach, TURNS)
    span = reaches[-1] + 2 * radius + CLEAR
    around = (point[0] - span, point[1] - span, point[0] + span, point[1] + span)
    ticks = np.hstack([np.broadcast_to(point, rims.shape), rims])
    if ground.rounds:
        others = np.array(ground.rounds)
        good &= (np.hypot(x[:, None] - others[:, 0], y[:, None] - others[:, 1]) > room + others[:, 2]).all(axis=1)
        through = away(others[:, :2], ticks) < others[:, 2:] + CLEAR
        if crowded:
            cost = cost + CROSSED * through.sum(axis=0)
        else:
            good &= ~through.any(axis=0)
    for box in ground.boxes:
        if box[0] > around[2] or box[2] < around[0] or box[1] > around[3] or box[3] < around[1]:
            continue
        nearest = np.clip(centres, box[:2], box[2:])
        good &= np.hypot(x - nearest[:, 0], y - nearest[:, 1]) > room
        good &= ~_enters(ticks, (box[0] - CLEAR, box[1] - CLEAR, box[2] + CLEAR, box[3] + CLEAR))
    for segments in (ground.keep, ground.ticks):
        taken_ = _close(_rows(segments), around)
        if len(taken_):
            under = away(centres, taken_) < room
            if crowded and segments is ground.ticks:
                cost = cost + CROSSED * under.sum(axis=1)
            else:
                good &= ~under.any(axis=1)
            cost = cost + CROSSED * crossed(ticks, taken_).sum(axis=1)
    k = np.flatnonzero(good)
    if not len(k):
        return None
    cost = cost[k]
    for lines, price in ((ground.beads, BEAD), (ground.lines, DRAWN)):
        near = _close(lines, around)
        if len(near):
            cost = cost + price * (away(centres[k], near) < radius + 0.3).sum(axis=1)
    beads = _close(ground.beads, around)
    if len(beads):
        cost = cost + 0.5 * crossed(ticks[k], beads).sum(axis=1)
    first = int(np.argmin(np.round(cost, 6)))
    (cx, cy), (rx, ry) = centres[k[first]].tolist(), rims[k[first]].tolist()
    return float(cost[first]), (cx, cy), (rx, ry)


_ANGLES = np.arange(TURNS) * (2 * math.pi / TURNS) + math.pi / 4
_WAYS = np.stack([np.cos(_ANGLES), np.sin(_ANGLES)], axis=1)


def _close(segments: Array, box: Box) -> Array:
    """Segments whose boxes meet a box."""
    if not len(segments):
        return segments
    x, y = segments[:, ::2], segments[:, 1::2]
    outside = (x.max(1) < box[0]) | (x.min(1) > box[2]) | (y.max(1) < box[1]) | (y.min(1) > box[3])
    return np.asarray(segments[~outside])


def _enters(segments: Array, box: Box) -> NDArray[np.bool_]:
    """Which segments enter a box (slab test)."""
    t0, t1 = np.zeros(len(segments)), np.ones(len(segments))
    inside = np.ones(len(segments), dtype=bool)
    for k in (0, 1):
        a, d = segments[:, k], segments[:, k + 2] - segments[:, k]
        level = np.abs(d) < 1e-12
        inside &= ~level | ((a > box[k]) & (a < box[k + 2]))
        safe = np.where(level, 1.0, d)
        one, two = (box[k] - a) / safe, (box[k + 2] - a) / safe
        t0 = np.where(level, t0, np.maximum(t0, np.minimum(one, two)))
        t1 = np.where(level, t1, np.minimum(t1, np.maximum(one, two)))
    return np.asarray(inside & (t1 - t0 > 1e-9))


def number(point: Point2, centre: Point2, text: str, height: float) -> list[Primitive]:
    """Draw the tick, the circle on a white ground, and the number in it."""
    r = ROUND * height
    far = math.dist(point, centre)
    rim = tuple(c + (p - c) * r / far for p, c in zip(point, centre, strict=True)) if far > r else centre
    turns = [2 * math.pi * k / _CORNERS for k in range(_CORNERS)]
    circle = tuple((centre[0] + r * math.cos(t), centre[1] + r * math.sin(t)) for t in turns)
    return [
        Line(points=(point, (rim[0], rim[1])), layer="dimension"),
        Line(points=circle, closed=True, fill=1.0, layer="dimension"),
        Text(at=(centre[0], centre[1] - height / 2), text=text, height=height, align="centre"),
    ]


def taken(ground: Field, box: Box) -> bool:
    """Whether a word in ``box`` would touch a number, a word, a tick, a leader or a bead, or leave the bounds."""
    b = (box[0] - CLEAR, box[1] - CLEAR, box[2] + CLEAR, box[3] + CLEAR)
    g = ground.bounds
    if b[0] < g[0] or b[1] < g[1] or b[2] > g[2] or b[3] > g[3]:
        return True
    if any(b[0] < o[2] and o[0] < b[2] and b[1] < o[3] and o[1] < b[3] for o in ground.boxes):
        return True
    if any(math.hypot(x - min(max(x, b[0]), b[2]), y - min(max(y, b[1]), b[3])) < r for x, y, r in ground.rounds):
        return True
    segments = [_rows(s) for s in (ground.keep, ground.ticks) if s] + ([ground.beads] if len(ground.beads) else [])
    return bool(segments) and bool(_enters(np.vstack(segments), b).any())
