"""The template's first page: how the tiles lie together, what must be measured, where the holes are."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from framecore.sheets.compose import titles_of
from framecore.sheets.drawing.dims import crossings, text_box
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.drawing.model import Line, Point2, Primitive, Sheet, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.drawing.placing import meet
from framecore.sheets.drawing.rulers import must
from framecore.sheets.paper import SIZES, TITLE_HEIGHT, Draft, drawing_space, frame, title_block
from framecore.sheets.seat.holes import SLOT_NOTE, Cut, hole_rows
from framecore.sheets.seat.pattern import Pattern
from framecore.sheets.seat.tiles import Box, clip_path
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

EDGE = 6.0
MAP = 0.58  # share of the page's width that the tiles take
Windows = Sequence[tuple[str, Box]]


def plan_pages(stand: Stand, pattern: Pattern, windows: Windows, lap: float, paper: str) -> tuple[Sheet, ...]:
    """Draw the map of the tiles and the words beside it; as many pages as the list of holes needs."""
    x0, y0, x1, y1 = drawing_space(paper)
    split = x0 + MAP * (x1 - x0)
    low = y0 + TITLE_HEIGHT + 4.0
    flow = Flow([(split + EDGE, low, x1 - EDGE - split, y1 - 2.0)])
    _words(stand, pattern, windows, lap, flow)
    flow.pages[0] += _map(pattern, windows, (x0 + EDGE, low + 12.0, split - EDGE, y1 - EDGE))
    titles = titles_of(stand)
    out = []
    for n, page in enumerate(flow.pages, 1):
        title = "drilling template" if n == 1 else f"drilling template {n}"
        draft = Draft(title=title, kind="Drilling template", primitives=tuple(page))
        block = title_block(paper, titles, draft, n, len(flow.pages) + len(windows))
        out.append(
            Sheet(
                title=title[:1].upper() + title[1:], size=SIZES[paper],
                primitives=(*frame(paper), *block, *draft.primitives),
            )
        )  # fmt: skip
    return tuple(out)


def _words(stand: Stand, pattern: Pattern, windows: Windows, lap: float, flow: Flow) -> None:
    inch, words = stand.brief.units != "metric", length_words(stand)
    count = len(windows)
    flow.heading("Drilling template, full size")
    flow.note("Print every page at 100 % (actual size), no fit to page.")
    flow.note(f"Measure both rulers on every tile: each must be {must(inch)}. Do not use a print that measures otherwise.")
    if count > 1:
        flow.note(
            "Tiles are named by row, A at the operator's side, and column, 1 on the left. Begin with A1; cut each further "
            "tile along the left and lower line of its window where a neighbour lies there."
        )
        flow.note(
            f"Lay it on the strip of its neighbour ({words(lap)} wide) so that the crosses lie on each other, and glue. "
            + ("Go along row A, then lay row B on it, and so on." if any(n[0] != "A" for n, _ in windows) else "")
        )
    pair = pattern.longest()
    if pair is not None:
        a, b = (pattern.holes[k].number for k in pair)
        flow.note(f"Then measure from hole {a} to hole {b}: {words(pattern.distance(*pair))}.", bold=True)
    flow.note(
        "Seen from above, as the machine stands. Lay the outlines on the edges of the steel; punch the centres, take the "
        "paper off and measure once more before drilling: paper grows with damp."
    )
    flow.note("Where the machine's own holes measure otherwise, the machine holds.")
    flow.heading("Holes")
    flow.note(f"Datum: {pattern.datum.words}; x to the right, y to the back.")
    slots = any(h.cut.slot for h in pattern.holes)
    if slots:
        flow.note(SLOT_NOTE)
    rows = hole_rows(list(pattern.holes), words)
    flow.table(("No.", "x", "y", "Dia.", "For"), rows, "rrrll" if slots else "rrrrl", 2.0)


def _map(pattern: Pattern, windows: Windows, room: Box) -> list[Primitive]:
    """Tiles with their names, the holes and the steel under them, as large as fits."""
    x0, y0 = (min(w[k] for _, w in windows) for k in (0, 1))
    x1, y1 = (max(w[k] for _, w in windows) for k in (2, 3))
    scale = min((room[2] - room[0]) / (x1 - x0), (room[3] - room[1]) / (y1 - y0))
    top = room[3] - (room[3] - room[1] - (y1 - y0) * scale) / 4

    def place(p: Point2) -> Point2:
        return room[0] + (p[0] - x0) * scale, top + (p[1] - y1) * scale

    out: list[Primitive] = []
    for _, points in pattern.outlines:
        for line in clip_path(points, (x0, y0, x1, y1), "thin"):
            out.append(Line(points=tuple(place(p) for p in line.points), layer="thin"))
    taken: list[Box] = []
    numbered: list[tuple[Point2, Point2, str]] = []
    for hole in pattern.holes:
        (x, y), cut = place(hole.at), hole.cut
        small = Cut(diameter=max(cut.diameter * scale, 1.2), slot=cut.slot * scale, way=cut.way)
        out += small.rims((x, y))
        out += [Line(points=side) for side in small.sides((x, y))]
        numbered.append(((x, y), small.reach, str(hole.number)))
        taken.append((x - small.reach[0] - 1, y - small.reach[1] - 1, x + small.reach[0] + 1, y + small.reach[1] + 1))
    for _, w in windows:
        a, b = place((w[0], w[1])), place((w[2], w[3]))
        corners = (a, (b[0], a[1]), b, (a[0], b[1]), a)
        out += [Line(points=side, layer="visible") for side in pairwise(corners)]
    for at, reach, number in numbered:
        text = _number(at, reach, number, out)
        out.append(text)
        taken.append(text_box(text))
    for name, w in windows:
        out.append(_name(name, (*place((w[0], w[1])), *place((w[2], w[3]))), taken, out))
    middle, low = (place((x0, y0))[0] + place((x1, y0))[0]) / 2, place((x0, y0))[1]
    out.append(Text(at=(middle, low - 7.0), text="▼  operator side  ▼", height=3.5, align="centre"))
    return out


def _number(at: Point2, reach: Point2, number: str, drawn: Sequence[Primitive]) -> Text:
    """Number of a hole in the corner beside it that fewest lines run through."""
    (x, y), (rx, ry) = at, reach
    tries = [
        Text(
            at=(x + side * (rx + off), y + (ry + 0.4 if up else -ry - 2.6)), text=number, height=2.2,
            align="left" if side > 0 else "right",
        )
        for off in (0.8, 2.5)
        for side in (1.0, -1.0)
        for up in (True, False)
    ]  # fmt: skip
    return min(tries, key=lambda t: crossings(text_box(t), drawn))


def _name(name: str, tile: Box, taken: list[Box], drawn: Sequence[Primitive]) -> Text:
    """Name of a tile where neither hole nor line is, if it can be; small where the tile is small."""
    height = min(7.0, (tile[3] - tile[1]) / 4)
    height *= min(1.0, 0.6 * (tile[2] - tile[0]) / text_width(name, height, True))
    wide = text_width(name, height, True)
    shares = (0.5, 0.35, 0.65, 0.22, 0.78)
    tries = [
        (tile[0] + (tile[2] - tile[0]) * a - wide / 2, tile[1] + (tile[3] - tile[1]) * b - height / 2)
        for b in shares
        for a in shares
    ]

    def touched(p: Point2) -> tuple[int, int]:
        box = (p[0], p[1], p[0] + wide, p[1] + height)
        return sum(meet(box, t) for t in taken), crossings(box, drawn)

    return Text(at=min(tries, key=touched), text=name, height=height, bold=True)
