"""One piece in its own measures: the faces to look at, where its ends are cut, what is drilled in it, where it is broken."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framecore.frame.model import EndCut, Frame, Member, Vector
from framecore.frame.vector import dot, minus
from framecore.sheets.drawing.model import Point2

FLAT = 1e-4  # slope of a cut that shows
KEEP = 22.0  # mm on paper of the bar that stays about each hole when it is broken
GAP = 5.0  # mm on paper from break to break


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A hole in a view: ``at`` along from the left end's outermost point and up from the lower edge, mm.

    ``slot`` half its length between centres, along and up; ``near`` it is seen, not behind the piece.
    """

    at: Point2
    diameter: float
    depth: float
    tapped: str
    slot: Point2
    near: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A piece seen from one side, x along it from the left end's outermost point, up from the lower edge, mm.

    ``near`` corners of the face in front: lower left, lower right, upper right, upper left; ``far`` of the one behind.
    ``slopes`` of both ends as they show; ``side`` "y" seen on the width, "z" seen on the height.
    """

    side: str
    high: float
    deep: float
    near: tuple[Point2, Point2, Point2, Point2]
    far: tuple[Point2, Point2, Point2, Point2]
    slopes: tuple[float, float]
    cuts: tuple[Cut, ...]
    section: tuple[tuple[Point2, ...], ...]  # as seen from the left end: towards the eye to the right, up as here


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A piece with the faces that have to be seen; ``length`` over all."""

    length: float
    faces: tuple[Face, ...]


def shape_of(frame: Frame, m: Member) -> Shape:
    """Return the faces of a member that show its cuts and holes: one, or two where one does not show all."""
    y, z, x = m.y_axis, m.z_axis, m.x_axis
    back = (-y[0], -y[1], -y[2])
    slopes = [(_slope(e, y, x), _slope(e, z, x)) for e in (m.start, m.end)]
    own = [h for h in frame.holes if h.owner == m.name]
    on_y = any(abs(s[0]) > FLAT for s in slopes) or any(abs(dot(h.axis, z)) > 0.9 for h in own)
    on_z = any(abs(s[1]) > FLAT for s in slopes) or any(abs(dot(h.axis, y)) > 0.9 for h in own)
    faces = []
    if on_y or not on_z:
        faces.append(_face(frame, m, y, z, "y"))
    if on_z:
        faces.append(_face(frame, m, z, back, "z"))
    return Shape(length=m.length, faces=tuple(faces))


def _slope(end: EndCut, axis: Vector, x: Vector) -> float:
    """How far the cut runs along the piece for each mm along ``axis``."""
    return -dot(end.normal, axis) / dot(end.normal, x)


def _face(frame: Frame, m: Member, up: Vector, out: Vector, side: str) -> Face:
    x, p = m.x_axis, m.profile
    b, c = p.box_centre
    if side == "y":
        v0, v1 = b - p.width / 2, b + p.width / 2
        w = (c - p.height / 2, c + p.height / 2)  # far, near
        rings = [[(float(q[1]), float(q[0])) for q in ring] for ring in p.outline]
    else:
        v0, v1 = c - p.height / 2, c + p.height / 2
        w = (-b - p.width / 2, -b + p.width / 2)
        rings = [[(-float(q[0]), float(q[1])) for q in ring] for ring in p.outline]
    whole = dot(minus(m.end.point, m.start.point), x)

    def corner(end: EndCut, base: float, v: float, depth: float) -> float:
        return base + v * _slope(end, up, x) + depth * _slope(end, out, x)

    every = [corner(m.start, 0.0, v, d) for v in (v0, v1) for d in w]
    left = min(every)

    def face(depth: float) -> tuple[Point2, Point2, Point2, Point2]:
        at = [
            (corner(e, base, v, depth) - left, v - v0)
            for e, base, v in (
                (m.start, 0.0, v0), (m.end, whole, v0), (m.end, whole, v1), (m.start, 0.0, v1),
            )
        ]  # fmt: skip
        return at[0], at[1], at[2], at[3]

    cuts = []
    for h in frame.holes:
        if h.owner != m.name or abs(dot(h.axis, out)) < 0.9:
            continue
        off = minus(h.centre, m.start.point)
        half = h.slot / 2
        slot = (dot(h.slot_axis, x) * half, dot(h.slot_axis, up) * half) if h.slot else (0.0, 0.0)
        cuts.append(
            Cut(
                at=(dot(off, x) - left, dot(off, up) - v0), diameter=h.diameter, depth=h.depth, tapped=h.tapped, slot=slot,
                near=dot(h.axis, out) < 0 or h.depth > w[1] - w[0] - 1.0,
            )
        )  # fmt: skip
    middle = (w[0] + w[1]) / 2
    section = tuple(tuple((q[0] - middle, q[1] - v0) for q in ring) for ring in rings)
    return Face(
        side=side, high=v1 - v0, deep=w[1] - w[0], near=face(w[1]), far=face(w[0]),
        slopes=(_slope(m.start, up, x), _slope(m.end, up, x)),
        cuts=tuple(sorted(cuts, key=lambda q: (round(q.at[0], 2), q.at[1]))), section=section,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Zones:
    """Stretches of a bar that are drawn, at one scale, with the breaks between them left out.

    ``spans`` (from, to) mm along the piece; ``starts`` where each begins on paper, mm from the left end; ``wide`` in all.
    """

    spans: tuple[tuple[float, float], ...]
    starts: tuple[float, ...]
    scale: float
    wide: float

    def paper(self, x: float) -> float:
        """Return where x, mm along the piece, lies on paper, from its left end; within a break, at its middle."""
        for (low, high), start in zip(self.spans, self.starts, strict=True):
            if low - 1e-6 <= x <= high + 1e-6:
                return start + (x - low) * self.scale
        for k, (_, high) in enumerate(self.spans[:-1]):
            if high < x < self.spans[k + 1][0]:
                return self.starts[k] + (high - self.spans[k][0]) * self.scale + GAP / 2
        return x * self.scale if x < 0 else self.wide + (x - self.spans[-1][1]) * self.scale


def zones(length: float, keep: Sequence[float], scale: float, room: float, ends: float) -> Zones | None:
    """Return what is drawn of a bar so that it takes no more than ``room`` mm of paper; None where it cannot.

    Parameters
    ----------
    keep : places along the piece, mm, that must be seen
    ends : mm along the piece that must be seen at either end
    """
    if length * scale <= room:
        return Zones(spans=((0.0, length),), starts=(0.0,), scale=scale, wide=length * scale)
    half = KEEP / 2 / scale
    wanted = sorted([(0.0, ends), (length - ends, length), *((x - half, x + half) for x in keep)])
    merged: list[list[float]] = []
    for low, high in wanted:
        low, high = max(low, 0.0), min(high, length)
        if merged and low - merged[-1][1] < 2 * GAP / scale:
            merged[-1][1] = max(merged[-1][1], high)
        else:
            merged.append([low, high])
    if len(merged) < 2:
        return None
    used = sum(b - a for a, b in merged) * scale + GAP * (len(merged) - 1)
    if used > room:
        return None
    # What room is left goes to both ends, so that the drawing fills its width.
    gaps = [merged[k + 1][0] - merged[k][1] for k in range(len(merged) - 1)]
    spare = (room - used) / scale
    widest = int(np.argmax(gaps))
    spare = min(spare, max(gaps[widest] - 3 * GAP / scale, 0.0))
    merged[widest][1] += spare / 2
    merged[widest + 1][0] -= spare / 2
    starts, at = [], 0.0
    for low, high in merged:
        starts.append(at)
        at += (high - low) * scale + GAP
    return Zones(spans=tuple((a, b) for a, b in merged), starts=tuple(starts), scale=scale, wide=at - GAP)


def angle(slope: float) -> float:
    """Return the angle of a cut to a square one, degrees."""
    return math.degrees(math.atan(abs(slope)))
