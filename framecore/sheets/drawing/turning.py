"""Turned parts as a shop draws them: half section along the axis, end view, threads and hatching by convention.

Source: ISO 6410-1 (threads: root thin, end of the full thread thick), ISO 128 (hatching at 45 degrees, half
sections), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from framecore.seat.turned import Boss, JackScrew
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive

HATCH = 1.8  # mm from line to line on paper
RUN_OUT = 2.0  # pitches of unfinished thread under a head (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Onto:
    """From a part's own millimetres to paper: ``at`` where its zero lies, ``s`` scale, ``length`` turned end for end if > 0."""

    at: Point2
    s: float
    length: float = 0.0

    def __call__(self, x: float, y: float) -> Point2:
        """Return the point on paper."""
        x = self.length - x if self.length > 0 else x
        return self.at[0] + x * self.s, self.at[1] + y * self.s

    def line(self, *points: Point2, layer: str = "visible", closed: bool = False) -> Line:
        """Return a polyline through points of the part."""
        return Line(points=tuple(self(x, y) for x, y in points), layer=layer, closed=closed)


def hatch(
    outline: Sequence[Point2], step: float = HATCH, falling: bool = False, holes: Sequence[Sequence[Point2]] = ()
) -> list[Line]:
    """Lines at 45 degrees inside a polygon on paper; ``falling`` to the other side, for the part beside it."""
    turn = -1.0 if falling else 1.0
    rings = [outline, *holes]
    # u runs along the lines, v across them.
    edges = []
    for ring in rings:
        flat = [((x + turn * y) / math.sqrt(2), (y - turn * x) / math.sqrt(2)) for x, y in ring]
        edges += list(zip(flat, [*flat[1:], flat[0]], strict=True))
    low, high = min(min(a[1], b[1]) for a, b in edges), max(max(a[1], b[1]) for a, b in edges)
    out = []
    for k in range(math.floor(low / step) + 1, math.floor(high / step) + 1):
        v = k * step + 1e-7  # off the corners
        cuts = sorted(a[0] + (b[0] - a[0]) * (v - a[1]) / (b[1] - a[1]) for a, b in edges if (a[1] > v) != (b[1] > v))
        for u0, u1 in zip(cuts[::2], cuts[1::2], strict=False):
            ends = [((u - turn * v) / math.sqrt(2), (turn * u + v) / math.sqrt(2)) for u in (u0, u1)]
            out.append(Line(points=(ends[0], ends[1]), layer="hatch"))
    return out


def phantom(points: Sequence[Point2]) -> list[Line]:
    """A narrow long-dashed double-dotted line: what belongs to the machine."""
    pattern = ((6.0, True), (0.9, False), (0.3, True), (0.9, False), (0.3, True), (0.9, False))
    out = []
    for (ax, ay), (bx, by) in pairwise(points):
        far, at, k = math.hypot(bx - ax, by - ay), 0.0, 0
        while at < far - 1e-9:
            to = min(at + pattern[k % 6][0], far)
            if pattern[k % 6][1]:
                ends = tuple((ax + (bx - ax) * t / far, ay + (by - ay) * t / far) for t in (at, to))
                out.append(Line(points=ends, layer="thin"))
            at, k = to, k + 1
    return out


def axis(a: Point2, b: Point2) -> Line:
    """A centre line that stands 2 mm out at both ends."""
    far = math.hypot(b[0] - a[0], b[1] - a[1])
    u = ((b[0] - a[0]) / far * 2.0, (b[1] - a[1]) / far * 2.0)
    return Line(points=((a[0] - u[0], a[1] - u[1]), (b[0] + u[0], b[1] + u[1])), layer="centre")


def cross(centre: Point2, radius: float) -> list[Line]:
    """Centre lines of an end view."""
    x, y = centre
    return [axis((x - radius, y), (x + radius, y)), axis((x, y - radius), (x, y + radius))]


def hexagon(centre: Point2, across_flats: float) -> Line:
    """A hexagon with flats above and below."""
    r = across_flats / math.sqrt(3)
    points = tuple((centre[0] + r * math.cos(k * math.pi / 3), centre[1] + r * math.sin(k * math.pi / 3)) for k in range(6))
    return Line(points=points, closed=True)


def three_quarters(centre: Point2, radius: float) -> Arc:
    """The thin arc that stands for a thread seen along its axis."""
    return Arc(centre=centre, radius=radius, start=-math.pi, end=math.pi / 2, layer="thin")


def solid_screw(q: JackScrew, to: Onto) -> list[Primitive]:
    """A screw without a head from outside; its lower end at 0, two flats at the upper end."""
    d, root, w = q.thread.diameter / 2, q.thread.root_diameter / 2, q.across_flats / 2
    e, leg, flat = q.end / 2, q.chamfer, q.length - q.flats
    half = [(0.0, e), (leg, d), (flat, d), (flat, w), (q.length, w)]
    out: list[Primitive] = [to.line(*half, *[(x, -y) for x, y in reversed(half)], closed=True)]
    out += [to.line((leg, d), (leg, -d)), to.line((flat, w), (flat, -w))]
    out += [to.line((0.0, k * root), (flat, k * root), layer="thin") for k in (1.0, -1.0)]
    out.append(axis(to(0.0, 0.0), to(q.length, 0.0)))
    return out


def solid_end(q: JackScrew, centre: Point2, s: float) -> list[Primitive]:
    """The screw seen on its flats."""
    d, w = q.thread.diameter / 2 * s, q.across_flats / 2 * s
    half = math.sqrt(d * d - w * w)
    x, y = centre
    out: list[Primitive] = [Arc(centre=centre, radius=d), three_quarters(centre, q.thread.root_diameter / 2 * s)]
    out += [Line(points=((x - half, y + k * w), (x + half, y + k * w))) for k in (1.0, -1.0)]
    return [*out, *cross(centre, d)]


def hollow_screw(q: JackScrew, to: Onto) -> list[Primitive]:
    """A bored screw in half section, its threaded end at 0, the hexagon at the other."""
    d, root, b, w = q.thread.diameter / 2, q.thread.root_diameter / 2, q.bore / 2, q.across_flats / 2
    e, leg, under, long = q.end / 2, q.chamfer, q.length - q.head, q.length
    rim = [(0.0, e), (leg, d), (under, d), (under, w), (long, w)]
    full = under - RUN_OUT * q.thread.pitch
    cut = [*rim, (long, b), (0.0, b)]
    out: list[Primitive] = [*hatch([to(x, y) for x, y in cut])]
    out += [to.line(*cut, closed=True), to.line(*[(x, -y) for x, y in rim])]
    out += [to.line((0.0, 0.0), (0.0, -e)), to.line((long, b), (long, -w))]
    out += [to.line((leg, 0.0), (leg, -d)), to.line((full, 0.0), (full, -d)), to.line((under, 0.0), (under, -d))]
    out += [to.line((0.0, k * root), (full, k * root), layer="thin") for k in (1.0, -1.0)]
    # The hexagon seen on a flat face: the corner towards the eye lies on the axis.
    out += [to.line((under, 0.0), (long, 0.0)), axis(to(0.0, 0.0), to(long, 0.0))]
    return out


def hollow_end(q: JackScrew, centre: Point2, s: float) -> list[Primitive]:
    """The hexagon with its bore, seen along the axis."""
    out: list[Primitive] = [hexagon(centre, q.across_flats * s), Arc(centre=centre, radius=q.bore / 2 * s)]
    return [*out, *cross(centre, q.across_flats / math.sqrt(3) * s)]


def ring(outside: float, bore: float, length: float, to: Onto) -> list[Primitive]:
    """A sleeve, or a disc with no bore, in half section."""
    r, b = outside / 2, bore / 2
    cut = [(0.0, b), (0.0, r), (length, r), (length, b)]
    out: list[Primitive] = [*hatch([to(x, y) for x, y in cut]), to.line(*cut, closed=True)]
    out += [to.line((0.0, 0.0), (0.0, -r), (length, -r), (length, 0.0))]
    if bore > 0:
        out += [to.line((x, 0.0), (x, b)) for x in (0.0, length)]
    return [*out, axis(to(0.0, 0.0), to(length, 0.0))]


def ring_end(outside: float, bore: float, centre: Point2, s: float) -> list[Primitive]:
    """A sleeve or disc seen along its axis."""
    out: list[Primitive] = [Arc(centre=centre, radius=outside / 2 * s)]
    if bore > 0:
        out.append(Arc(centre=centre, radius=bore / 2 * s))
    return [*out, *cross(centre, outside / 2 * s)]


def boss(q: Boss, to: Onto) -> list[Primitive]:
    """A tapped boss in half section, chamfered to the thread's outside at both ends."""
    r, d, t, c = q.outside / 2, q.thread.diameter / 2, q.tap_drill / 2, q.chamfer / 2
    long, leg = q.length, q.chamfer / 2 - q.tap_drill / 2
    cut = [(0.0, c), (0.0, r), (long, r), (long, c), (long - leg, t), (leg, t)]
    out: list[Primitive] = [*hatch([to(x, y) for x, y in cut]), to.line(*cut, closed=True)]
    out.append(to.line((0.0, c), (0.0, -r), (long, -r), (long, c)))
    out += [to.line((x, t), (x, 0.0)) for x in (leg, long - leg)]
    out.append(to.line((c - d, d), (long - (c - d), d), layer="thin"))
    return [*out, axis(to(0.0, 0.0), to(long, 0.0))]


def boss_end(q: Boss, centre: Point2, s: float) -> list[Primitive]:
    """A tapped boss seen along its axis."""
    out: list[Primitive] = [Arc(centre=centre, radius=r / 2 * s) for r in (q.outside, q.tap_drill)]
    return [*out, three_quarters(centre, q.thread.diameter / 2 * s), *cross(centre, q.outside / 2 * s)]
