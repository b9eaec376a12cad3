"""The hole sheet: every hole of the seat from one datum, drawn to scale, with the distances that prove the pattern."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from framecore.sheets.columns import EDGE, drafts, text_size
from framecore.sheets.dims import crossings, text_box
from framecore.sheets.flow import Flow
from framecore.sheets.holes import SLOT_NOTE, Cut, SeatHole, hole_rows, machine_holes
from framecore.sheets.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.paper import TITLE_HEIGHT, Box, Draft, choose_scale, drawing_space
from framecore.sheets.pattern import pattern_of, steel_under
from framecore.sheets.pens import text_width, upright
from framecore.sheets.spreading import spread
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

SIZE = 2.5
ALL_PAIRS = 6  # holes up to which every distance is listed
Words = Callable[[float], str]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the hole sheet; none where nothing is drilled in the seat."""
    found = machine_holes(stand)
    if not found:
        return ()
    x0, y0, x1, y1 = drawing_space(paper)
    low, inch = y0 + TITLE_HEIGHT + 4.0, stand.brief.units != "metric"
    # The drawing takes of the width what gives it the larger scale, the words the rest.
    tries = []
    for share in (0.56, 0.66, 0.74):
        split = x0 + share * (x1 - x0)
        tries.append((split, *_plan(stand, found, (x0 + EDGE, low, split - EDGE, y1 - EDGE), inch)))
    split, drawn, view = max(tries, key=lambda t: t[2].scale)
    flow = Flow([(split + EDGE, low, x1 - EDGE - split - EDGE, y1 - EDGE)])
    _words(stand, found, flow, text_size(paper))
    flow.pages[0] += drawn
    out = list(drafts(flow, "holes in the seat", "Hole sheet"))
    first = out[0]
    out[0] = Draft(
        title=first.title, kind=first.kind, primitives=first.primitives, views=(view,), scale_text=f"1:{round(1 / view.scale)}"
    )
    return tuple(out)


def pairs_of(stand: Stand, found: Sequence[SeatHole]) -> list[tuple[SeatHole, SeatHole]]:
    """Return the pairs of the machine's holes whose distance is measured, longest first."""
    pattern = pattern_of(stand)
    if pattern is None:
        return []
    holes = pattern.holes
    pairs = [(i, j) for j in range(len(holes)) for i in range(j)]
    if len(holes) > ALL_PAIRS:
        far = pattern.longest()
        pairs = [*pattern.links, *([far] if far and far not in pattern.links else [])]
    ranked = sorted(pairs, key=lambda p: (-round(pattern.distance(*p), 3), p))
    return [(holes[i], holes[j]) for i, j in ranked]


def _words(stand: Stand, found: list[SeatHole], flow: Flow, size: float) -> None:
    words = length_words(stand)
    flow.heading("Holes in the seat", keep=20.0)
    flow.note("Datum: outer left front corner of the frame; x to the right, y to the back. Seen from above.", size)
    slots = any(h.cut.slot for h in found)
    if slots:
        flow.note(SLOT_NOTE, size)
    flow.table(("No.", "x", "y", "Dia.", "For"), hole_rows(found, words), "rrrll" if slots else "rrrrl", size)
    pairs = pairs_of(stand, found)
    if pairs:
        flow.heading("Distances between the machine's holes", keep=20.0)
        flow.note("Centre to centre. Measure them between the punch marks and again when drilled.", size)
        rows = [(f"{a.number} to {b.number}", words(math.dist(a.at, b.at)), "________") for a, b in pairs]
        flow.table(("Holes", "Distance", "I read"), rows, "lrr", size)
    flow.gap(1.5)
    flow.note("Where the machine's own holes measure otherwise, the machine holds.", size)


def _plan(stand: Stand, found: list[SeatHole], room: Box, inch: bool) -> tuple[list[Primitive], ViewPlacement]:
    """The steel under the machine, the holes, their places from the datum and the longest distances."""
    words = length_words(stand)
    under = steel_under(stand)
    points = np.array([(0.0, 0.0), (stand.frame.length, stand.frame.depth), *(h.at for h in found)]
                      + [p for _, rim in under for p in rim])  # fmt: skip
    (a0, b0), (a1, b1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    xs, ys = (_places(found, k) for k in (0, 1))
    left, below = (max(text_width(words(v), SIZE) for v in (0.0, *p)) + 12.0 for p in (ys, xs))
    n = choose_scale(max((a1 - a0) / (room[2] - room[0] - left - 6.0), (b1 - b0) / (room[3] - room[1] - below - 14.0)), inch)
    s = 1 / n
    spare = (room[3] - room[1] - below - 10.0 - (b1 - b0) * s) / 2
    at = (room[0] + left - a0 * s, room[3] - 10.0 - min(spare, 20.0) - b1 * s)

    def place(p: Point2) -> Point2:
        return at[0] + p[0] * s, at[1] + p[1] * s

    out: list[Primitive] = [
        Line(points=tuple(place(p) for p in rim), closed=True, layer="thin") for _, rim in under
    ]
    for h in found:
        small = Cut(diameter=max(h.cut.diameter * s, 1.0), slot=h.cut.slot * s, way=h.cut.way)
        out += small.rims(place(h.at))
        out += [Line(points=side) for side in small.sides(place(h.at))]
        out += _cross(place(h.at), small.reach)
    origin = place((0.0, 0.0))
    out += _datum(origin)
    for k, edge in ((0, place((a0, b0))[1]), (1, place((a0, b0))[0])):
        out += _ordinates([(p, words(p)) for p in (0.0, *(xs, ys)[k])], origin[k], s, edge, k)
    pairs = pairs_of(stand, found)
    shown = pairs[:2]
    out += [Line(points=(place(a.at), place(b.at)), layer="dimension") for a, b in shown]
    out += _numbers(found, place, s, out)
    for a, b in shown:
        out += _distance(place(a.at), place(b.at), words(math.dist(a.at, b.at)), out)
    middle = (place((a0, 0.0))[0] + place((a1, 0.0))[0]) / 2
    out.append(Text(at=(middle, place((0.0, b1))[1] + 5.0), text="back", height=2.5, align="centre"))
    view = ViewPlacement(name="top", at=at, scale=s, box=(room[0], room[1], room[2], room[3]))
    return out, view


def _places(found: Sequence[SeatHole], k: int) -> list[float]:
    """The different places one way, mm from the datum."""
    return sorted({round(h.at[k], 1) for h in found})


def _ordinates(values: Sequence[tuple[float, str]], datum: float, scale: float, edge: float, k: int) -> list[Primitive]:
    """Running sizes from the datum beside the view: below it for x (``k`` 0), left of it for y.

    Numbers that would touch are pushed apart; a bent line leads each to its place.
    """
    out: list[Primitive] = []
    true = [datum + v * scale for v, _ in values]
    for (_, text), at, to in zip(values, true, spread(true, 1.7 * SIZE), strict=True):
        path = ((edge - 1.0, at), (edge - 3.5, at), (edge - 7.0, to), (edge - 9.0, to))
        if k == 0:
            out.append(Line(points=tuple((b, a) for a, b in path), layer="dimension"))
            turned = Text(at=(to + SIZE / 2, edge - 10.0), text=text, height=SIZE, align="right", angle=math.pi / 2)
            out.append(turned)
        else:
            out.append(Line(points=path, layer="dimension"))
            out.append(Text(at=(edge - 10.0, to - SIZE / 2), text=text, height=SIZE, align="right"))
    return out


def _cross(at: Point2, reach: Point2) -> list[Line]:
    (x, y), (rx, ry) = at, (reach[0] + 1.5, reach[1] + 1.5)
    return [
        Line(points=((x - rx, y), (x + rx, y)), layer="centre"),
        Line(points=((x, y - ry), (x, y + ry)), layer="centre"),
    ]


def _datum(at: Point2) -> list[Primitive]:
    """A black corner at the datum."""
    x, y = at
    corner = ((x, y), (x + 4.0, y), (x, y + 4.0))
    return [Line(points=corner, closed=True, layer="thin", fill=0.0)]


def _touched(text: Text, drawn: Sequence[Primitive]) -> tuple[int, int]:
    """How many texts, then how many lines and texts, a text would lie on."""
    box = text_box(text)
    return crossings(box, [p for p in drawn if not isinstance(p, Line)]), crossings(box, drawn)


def _distance(a: Point2, b: Point2, text: str, drawn: Sequence[Primitive]) -> list[Text]:
    """The distance of two holes along the line between them, where least is in the way; none where there is no room."""
    angle = upright(math.atan2(b[1] - a[1], b[0] - a[0]))
    lift = (-math.sin(angle) * 0.9, math.cos(angle) * 0.9)
    tries = [
        Text(
            at=(a[0] + (b[0] - a[0]) * t + lift[0], a[1] + (b[1] - a[1]) * t + lift[1]), text=text, height=2.5,
            align="centre", angle=angle,
        )
        for t in (0.35, 0.65, 0.3, 0.7, 0.4, 0.6, 0.25, 0.75, 0.2, 0.8, 0.5)
    ]  # fmt: skip
    best = min(tries, key=lambda t: _touched(t, drawn))
    return [best] if _touched(best, drawn)[0] == 0 else []  # the table has it all the same


def _numbers(
    found: Sequence[SeatHole], place: Callable[[Point2], Point2], scale: float, drawn: Sequence[Primitive]
) -> list[Primitive]:
    """Number of each hole in the free corner beside it."""
    out: list[Primitive] = []
    for h in found:
        x, y = place(h.at)
        rx, ry = (max(r * scale, 0.5) + 1.0 for r in h.cut.reach)
        tries = [
            Text(
                at=(x + side * rx, y + (ry if up else -ry - 2.5)), text=str(h.number), bold=True,
                align="left" if side > 0 else "right",
            )
            for side in (1.0, -1.0, 1.6, -1.6, 2.4, -2.4, 3.4, -3.4)
            for up in (True, False)
        ]  # fmt: skip
        out.append(min(tries, key=lambda t: _touched(t, [*drawn, *out])))
    return out
