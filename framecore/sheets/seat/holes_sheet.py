"""Holes of the seat: every one from one datum, drawn to scale, with the distances that prove the pattern."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from framecore.sheets.drawing.blocks import bounds, cell_around
from framecore.sheets.drawing.columns import text_size
from framecore.sheets.drawing.dims import crossings, text_box
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.packing import room
from framecore.sheets.drawing.pens import upright
from framecore.sheets.drawing.spreading import spread
from framecore.sheets.paper import INCH_SCALES, METRIC_SCALES, SMALL
from framecore.sheets.parts.plate_cells import Cell
from framecore.sheets.seat.holes import SLOT_NOTE, Cut, SeatHole, hole_rows, machine_holes
from framecore.sheets.seat.pattern import pattern_of
from framecore.sheets.seat.seat_steel import datum_of, rims_under
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

SIZE, ROW = 2.5, 4.2
HOLES = "holes"
WORDS, WORDS_SMALL = 112.0, 90.0  # mm wide, of the lists
CLEAR = 0.8  # mm round a mark
LEAST = 60.0  # mm; words over a narrower plan are not broken shorter
ALL_PAIRS = 6  # holes up to which every distance is listed
Words = Callable[[float], str]


def plan_cells(stand: Stand, paper: str) -> Iterator[Cell]:
    """Draw the holes at every scale that a page can take, the largest first; nothing where nothing is drilled in the seat."""
    found = machine_holes(stand)
    wide, high = room(paper)
    for n in METRIC_SCALES if stand.brief.units == "metric" else INCH_SCALES:
        if not found:
            return
        (a0, b0), (a1, b1) = _extent(stand, found)
        if (a1 - a0) / n < wide and (b1 - b0) / n < high:
            cell = _plan(stand, found, n)
            if cell.size[0] <= wide and cell.size[1] <= high:
                yield cell


def word_cells(stand: Stand, paper: str) -> list[Cell]:
    """Return the lists: where each hole lies, and the distances that prove the pattern."""
    found = machine_holes(stand)
    if not found:
        return []
    out = []
    for fill in (_list, _distances):
        flow = Flow([(0.0, -room(paper)[1], WORDS_SMALL if paper in SMALL else WORDS, 0.0)])
        fill(stand, found, flow, text_size(paper))
        out += [cell_around(HOLES, page, None) for page in flow.pages if page]
    return out


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


def _list(stand: Stand, found: list[SeatHole], flow: Flow, size: float) -> None:
    flow.heading("Places from the datum", keep=20.0)
    slots = any(h.cut.slot for h in found)
    if slots:
        flow.note(SLOT_NOTE, size)
    rows = hole_rows(found, length_words(stand))
    flow.table(("No.", "x", "y", "Dia.", "For"), rows, "rrrll" if slots else "rrrrl", size)


def _distances(stand: Stand, found: list[SeatHole], flow: Flow, size: float) -> None:
    words, pairs = length_words(stand), pairs_of(stand, found)
    if pairs:
        flow.heading("Distances between the machine's holes", keep=20.0)
        flow.note("Centre to centre. Measure them between the punch marks and again when drilled.", size)
        rows = [(f"{a.number} to {b.number}", words(math.dist(a.at, b.at)), "________") for a, b in pairs]
        flow.table(("Holes", "Distance", "I read"), rows, "lrr", size)
        flow.gap(1.5)
        flow.note("Where the machine's own holes measure otherwise, the machine holds.", size)


def _extent(stand: Stand, found: Sequence[SeatHole]) -> tuple[Point2, Point2]:
    """Lowest and highest place of what is drawn, from the datum, mm."""
    points = [(0.0, 0.0), *(h.at for h in found), *(p for _, rim in _rims(stand) for p in rim)]
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _rims(stand: Stand) -> list[tuple[str, tuple[Point2, ...]]]:
    """Outlines of the steel under the machine, from the datum."""
    rims = rims_under(stand)
    x0, y0 = datum_of(stand, rims).at
    return [(name, tuple((x - x0, y - y0) for x, y in rim)) for name, rim in rims]


def _plan(stand: Stand, found: list[SeatHole], n: int) -> Cell:
    """The steel under the machine, the holes, their places from the datum and the longest distances, at 1:n."""
    words, s = length_words(stand), 1 / n
    (a0, b0), (a1, _) = _extent(stand, found)
    xs, ys = (_places(found, k) for k in (0, 1))

    def place(p: Point2) -> Point2:
        return p[0] * s, p[1] * s

    rims = _rims(stand)
    # The first corner again, so that what looks for crossings sees every side.
    out: list[Primitive] = [Line(points=tuple(place(p) for p in (*rim, rim[0])), layer="thin") for _, rim in rims]
    for h in found:
        small = Cut(diameter=max(h.cut.diameter * s, 1.0), slot=h.cut.slot * s, way=h.cut.way)
        out += small.rims(place(h.at))
        out += [Line(points=side) for side in small.sides(place(h.at))]
        out += _cross(place(h.at), small.reach)
    out += _datum((0.0, 0.0))
    for k, edge in ((0, place((a0, b0))[1]), (1, place((a0, b0))[0])):
        out += _ordinates([(p, words(p)) for p in sorted({0.0, *(xs, ys)[k]})], 0.0, s, edge, k)
    shown = pairs_of(stand, found)[:2]
    out += [Line(points=(place(a.at), place(b.at)), layer="dimension") for a, b in shown]
    ink = _sides(out)  # and the words, as they come
    plain = len(ink)
    ink += _numbers(found, place, s, ink)
    ink += _marks(stand, rims, place, ink)
    for a, b in shown:
        ink += _distance(place(a.at), place(b.at), words(math.dist(a.at, b.at)), ink)
    out += ink[plain:]
    left, _, right, top = bounds(out)
    out.append(Text(at=((a0 + a1) / 2 * s, top + 2.0), text="back", height=SIZE, align="centre"))
    datum = datum_of(stand, rims_under(stand)).words
    told = [f"scale 1:{n}, seen from above", f"Datum: {datum}; x to the right, y to the back."]
    lines = [row for text in told for row in wrap(text, max(right - left, LEAST), SIZE)]
    y = top + 9.5 + ROW * len(lines)
    out.append(Text(at=(left, y + 1.5), text="Holes in the seat", height=3.5, bold=True))
    out += [Text(at=(left, y - ROW * (k + 1)), text=row, height=SIZE) for k, row in enumerate(lines)]
    view = ViewPlacement(name="top", at=(0.0, 0.0), scale=s, box=(0.0, 0.0, 0.0, 0.0))
    return cell_around(HOLES, out, view)


def _marks(
    stand: Stand, rims: Sequence[tuple[str, tuple[Point2, ...]]], place: Callable[[Point2], Point2], drawn: Sequence[Primitive]
) -> list[Primitive]:
    """The mark of each piece that is drilled, within its outline where no line runs through it; else the lists have it."""
    drilled = {h.owner for h in stand.frame.holes}
    out: list[Primitive] = []
    for name, rim in rims:
        if name not in drilled or name not in stand.shop.piece_of:
            continue
        (x0, y0), (x1, y1) = (place((f(p[0] for p in rim), f(p[1] for p in rim))) for f in (min, max))
        for share in (0.12, 0.25, 0.38, 0.62, 0.75, 0.88, 0.5):
            # Along the piece, in its middle.
            a, b = (0.5, share) if y1 - y0 > x1 - x0 else (share, 0.5)
            at = (x0 + (x1 - x0) * a, y0 + (y1 - y0) * b - SIZE / 2)
            text = Text(at=at, text=stand.shop.piece_of[name], height=SIZE, align="centre")
            box = text_box(text)
            wider = (box[0] - CLEAR, box[1] - CLEAR, box[2] + CLEAR, box[3] + CLEAR)
            if wider[0] > x0 and wider[2] < x1 and crossings(wider, [*drawn, *out]) == 0:
                out.append(text)
                break
    return out


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


def _sides(drawn: Sequence[Primitive]) -> list[Primitive]:
    """What is drawn with its paths broken into sides: what lies far from a word is then passed by at once."""
    out: list[Primitive] = []
    for p in drawn:
        out += [Line(points=side, layer=p.layer) for side in pairwise(p.points)] if isinstance(p, Line) else [p]
    return out


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
            for side in (1.0, -1.0, 1.6, -1.6, 2.4, -2.4, 3.4, -3.4, 4.6, -4.6)
            for up in (True, False)
        ]  # fmt: skip
        out.append(min(tries, key=lambda t: _touched(t, [*drawn, *out])))
    return out
