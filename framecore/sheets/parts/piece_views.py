"""A piece drawn from one side: its cut ends and holes at scale, broken where it is long, with its sizes."""

from __future__ import annotations

import math
from collections.abc import Callable

from framecore.catalogue import thread
from framecore.sheets.drawing.dims import Span, overhang, rooms, stack
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.parts.piece_data import FLAT, GAP, Cut, Face, Zones, angle

HEIGHT = 2.5
OVER = 2.0  # mm that centre marks stand over a hole
NEAR = 0.05  # mm; lengths that differ by less are one
Words = Callable[[float], str]


def length_spans(face: Face, z: Zones, at: Point2) -> tuple[list[Span], list[Span]]:
    """Return the sizes under and over a view whose lower left corner lies at ``at``.

    Under it the length over all, the lower edge where it is shorter, and every hole from the outermost point of the left
    end; over it the upper edge where it differs.
    """
    s = z.scale

    def on(x: float, y: float) -> Point2:
        return at[0] + z.paper(x), at[1] + y * s

    corners = (*face.near, *face.far)
    first, last = min(corners), max(corners)
    whole = last[0] - first[0]
    under = [Span(on(first[0], first[1]), on(last[0], last[1]), whole)]
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = face.near
    if abs(bx - ax - whole) > NEAR:
        under.append(Span(on(ax, ay), on(bx, by), bx - ax))
    done: set[float] = set()
    for cut in face.cuts:
        key = round(cut.at[0], 1)
        if key not in done:
            done.add(key)
            under.append(Span(on(first[0], first[1]), on(*cut.at), cut.at[0] - first[0]))
    over = []
    if abs(cx - dx - whole) > NEAR and abs((cx - dx) - (bx - ax)) > NEAR:
        over.append(Span(on(dx, dy), on(cx, cy), cx - dx))
    return under, over


def room_of(face: Face, z: Zones, words: Words) -> tuple[float, float]:
    """Return the room, mm, that the sizes take under and over a view."""
    under, over = length_spans(face, z, (0.0, 0.0))
    return rooms(under, ("below",), words)["below"], rooms(over, ("above",), words)["above"]


def aside_of(face: Face, z: Zones, words: Words) -> tuple[float, float]:
    """Return the room, mm, that the sizes take left and right of a view."""
    under, over = length_spans(face, z, (0.0, 0.0))
    found = (overhang(under, words, 0.0, z.wide), overhang(over, words, 0.0, z.wide, "above"))
    return max(f[0] for f in found), max(f[1] for f in found)


def draw_face(
    face: Face, z: Zones, at: Point2, words: Words, name: str, *, chamfer: float = 0.0, angles: bool = True
) -> tuple[list[ViewPlacement], list[Primitive]]:
    """Draw a piece from one side with its sizes.

    Parameters
    ----------
    at : lower left corner of the view on paper
    chamfer : leg of the corner to be ground off the outermost points, mm; 0 none
    angles : write the angles of the cuts into the bar
    """
    s = z.scale
    out: list[Primitive] = []
    for k, (low, high) in enumerate(z.spans):
        first, last = k == 0, k == len(z.spans) - 1
        out += _outline(face, z, at, low, high, first=first, last=last)
    for k in range(len(z.spans) - 1):
        out += _break(at[0] + z.starts[k + 1] - GAP, at[1], face.high * s)
        out += _break(at[0] + z.starts[k + 1], at[1], face.high * s)
    for cut in face.cuts:
        out += _hole(cut, z, at)
    if chamfer > 0:
        out += _ground(face, z, at, chamfer)
    if angles:
        out += _angles(face, z, at)
    under, over = length_spans(face, z, at)
    out += stack(under, "below", at[1], words)
    out += stack(over, "above", at[1] + face.high * s, words)
    views = []
    for k, (low, high) in enumerate(z.spans):
        x = at[0] + z.starts[k]
        box = (x - 0.01, at[1] - 40.0, x + (high - low) * s + 0.01, at[1] + face.high * s + 20.0)
        part = f"{name} {k + 1}" if len(z.spans) > 1 else name
        views.append(ViewPlacement(name=part, at=(x - low * s, at[1]), scale=s, box=box))
    return views, out


def _line(points: tuple[Point2, ...], layer: str = "visible") -> Line:
    return Line(points=points, layer=layer)


def _outline(face: Face, z: Zones, at: Point2, low: float, high: float, *, first: bool, last: bool) -> list[Primitive]:
    """Edges of one stretch: upper and lower edge, the ends where they lie in it, the far edges of slanted ends."""
    s = z.scale
    ll, lr, ur, ul = face.near

    def on(p: Point2) -> Point2:
        return at[0] + z.paper(p[0]), at[1] + p[1] * s

    out: list[Primitive] = []
    for y, a, b in ((0.0, ll[0], lr[0]), (face.high, ul[0], ur[0])):
        start, end = (a if first else low), (b if last else high)
        if end > start:
            out.append(_line((on((start, y)), on((end, y)))))
    for there, (p, q), (fp, fq), sign in (
        (first, (ll, ul), (face.far[0], face.far[3]), -1.0),
        (last, (lr, ur), (face.far[1], face.far[2]), 1.0),
    ):
        if not there:
            continue
        out.append(_line((on(p), on(q))))
        away = (fp[0] - p[0]) * sign
        if abs(away) > NEAR:
            # A far edge that stands out is seen, one that lies back is covered.
            layer = "visible" if away > 0 else "hidden"
            out.append(_line((on(fp), on(fq)), layer))
            if away > 0:
                out += [_line((on(p), on(fp))), _line((on(q), on(fq)))]
    return out


def _break(x: float, y: float, high: float) -> list[Primitive]:
    """A long break line: thin, straight, with a zigzag in its middle, standing over at both ends."""
    middle, z = y + high / 2, min(1.2, high / 6)
    points = (
        (x, y - 1.5), (x, middle - z), (x + z, middle - z / 2), (x - z, middle + z / 2), (x, middle + z), (x, y + high + 1.5),
    )  # fmt: skip
    return [_line(points, "thin")]


def _hole(cut: Cut, z: Zones, at: Point2) -> list[Primitive]:
    s, layer = z.scale, "visible" if cut.near else "hidden"
    x, y, r = at[0] + z.paper(cut.at[0]), at[1] + cut.at[1] * s, cut.diameter / 2 * s
    dx, dy = cut.slot[0] * s, cut.slot[1] * s
    half = math.hypot(dx, dy)
    out: list[Primitive] = []
    if half > 0.01:
        turn = math.atan2(dy, dx)
        nx, ny = -math.sin(turn) * r, math.cos(turn) * r
        for k in (-1.0, 1.0):
            out.append(_line(((x - dx + k * nx, y - dy + k * ny), (x + dx + k * nx, y + dy + k * ny)), layer))
            start = turn - k * math.pi / 2
            out.append(Arc(centre=(x + k * dx, y + k * dy), radius=r, start=start, end=start + math.pi, layer=layer))
    else:
        out.append(Arc(centre=(x, y), radius=r, layer=layer))
    if cut.tapped:
        # The thread's outside as a thin three-quarter circle (ISO 6410-1, from memory).
        big = thread(cut.tapped).diameter / 2 * s
        out.append(Arc(centre=(x, y), radius=big, start=-math.pi, end=math.pi / 2, layer="thin"))
    wide, tall = r + OVER + abs(dx), r + OVER + abs(dy)
    out.append(_line(((x - wide, y), (x + wide, y)), "thin"))
    out.append(_line(((x, y - tall), (x, y + tall)), "thin"))
    return out


def _ground(face: Face, z: Zones, at: Point2, leg: float) -> list[Primitive]:
    """The corner ground off each outermost point of a slanted end, square to the cut."""
    s = z.scale
    out: list[Primitive] = []
    ll, lr, ur, ul = face.near
    for slope, low, high, way in ((face.slopes[0], ll, ul, 1.0), (face.slopes[1], lr, ur, -1.0)):
        if abs(slope) < FLAT:
            continue
        tip = min((low, high), key=lambda p: p[0] * way)
        other = high if tip is low else low
        d = math.hypot(other[0] - tip[0], other[1] - tip[1])
        share = leg * abs(other[0] - tip[0]) / d / d
        p = (tip[0] + way * leg, tip[1])
        q = (tip[0] + (other[0] - tip[0]) * share, tip[1] + (other[1] - tip[1]) * share)
        out.append(_line(((at[0] + z.paper(p[0]), at[1] + p[1] * s), (at[0] + z.paper(q[0]), at[1] + q[1] * s))))
    return out


def _angles(face: Face, z: Zones, at: Point2) -> list[Primitive]:
    """The angle of each slanted end against a square cut, beside it within the bar; a thin line shows the square cut."""
    s = z.scale
    out: list[Primitive] = []
    ll, lr, ur, ul = face.near
    high = face.high * s
    for slope, low, up, way in ((face.slopes[0], ll, ul, 1.0), (face.slopes[1], lr, ur, -1.0)):
        if abs(slope) < FLAT:
            continue
        tip = min((low, up), key=lambda p: p[0] * way)
        back = max((low[0], up[0]), key=lambda v: v * way)
        x = at[0] + z.paper(tip[0])
        out.append(_line(((x, at[1] - 0.0), (x, at[1] + high)), "thin"))
        text = f"{angle(slope):.3g}°"
        wide = text_width(text, HEIGHT)
        if high > HEIGHT + 1.5:
            at_x = at[0] + z.paper(back) + way * 1.5
            place = (at_x, at[1] + high / 2 - HEIGHT / 2)
            out.append(Text(at=place, text=text, height=HEIGHT, align="left" if way > 0 else "right"))
        else:
            place = (x + (-1.0 if way > 0 else 1.0) * (wide / 2 + 1.0), at[1] + high + 1.0)
            out.append(Text(at=place, text=text, height=HEIGHT, align="centre"))
    return out


def draw_section(face: Face, at: Point2, scale: float) -> list[Primitive]:
    """The section as seen from the left end; ``at`` the middle of its lower edge."""
    out: list[Primitive] = []
    for ring in face.section:
        out.append(Line(points=tuple((at[0] + x * scale, at[1] + y * scale) for x, y in ring), closed=True))
    return out
