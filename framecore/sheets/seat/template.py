"""The drilling template: the machine's holes at full size, on as many small sheets as they need."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Sheet, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width, upright
from framecore.sheets.drawing.placing import Ink, free
from framecore.sheets.drawing.rulers import ruler, ruler_length, ruler_words
from framecore.sheets.paper import SIZES, fitted
from framecore.sheets.seat.pattern import Pattern, PatternHole, pattern_of
from framecore.sheets.seat.template_plan import plan_pages
from framecore.sheets.seat.tiles import Box, Row, clip, clip_arc, clip_path, lay
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

# mm of paper left, below, right of and above what a tile shows: rulers and words stand left and below.
LEFT, BELOW, RIGHT, ABOVE = 22.0, 22.0, 10.0, 10.0
ARM = 3.0  # mm that a centre cross stands out of its circle
CROSS = 3.0  # half of a glue cross, mm
CLEAR = 2.0  # mm between a hole's cross and what joins or ends a tile
INCH_PAPERS = ("Letter", "Tabloid")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """Tiles of a template: paper size, columns along x, rows along y (from the operator's side), mm."""

    size: Point2
    columns: Row
    rows: Row

    def names(self) -> list[list[str]]:
        """Names row by row: A1, A2 ... nearest the operator."""
        return [[f"{_letters(j)}{i + 1}" for i in range(len(self.columns.starts))] for j in range(len(self.rows.starts))]

    def window(self, i: int, j: int) -> Box:
        """What the tile in column ``i`` of row ``j`` shows, measured from the datum."""
        x, y = self.columns.starts[i], self.rows.starts[j]
        return x, y, x + self.columns.window, y + self.rows.window


def _letters(n: int) -> str:
    """A ... Z, AA ..."""
    return (_letters(n // 26 - 1) if n >= 26 else "") + chr(65 + n % 26)


def template_paper(stand: Stand) -> str:
    """Return the small paper that is at hand where the brief's drawing paper and units are."""
    inch = stand.brief.units != "metric" or stand.brief.sheet.paper in INCH_PAPERS
    return "Letter" if inch else "A4"


def reach(hole: PatternHole) -> float:
    """How far a hole and its cross reach from the centre, mm."""
    return max(hole.cut.reach) + ARM + CLEAR


def tiling(pattern: Pattern, paper: str) -> Tiling:
    """Choose upright or lying paper, whichever takes fewer tiles, and where the tiles lie.

    Raises
    ------
    ValueError
        ``paper`` is none of the known sizes.
    """
    if paper not in SIZES:
        raise ValueError(f"There is no paper “{paper}”; the sizes are {', '.join(SIZES)}.")
    long, short = SIZES[paper]
    made = []
    for size in ((long, short), (short, long)):
        spans = [[(h.at[k] - reach(h), h.at[k] + reach(h)) for h in pattern.holes] for k in (0, 1)]
        columns = lay(spans[0], size[0] - LEFT - RIGHT, 0.0)
        made.append(Tiling(size=size, columns=columns, rows=lay(spans[1], size[1] - BELOW - ABOVE, 0.0)))
    return min(made, key=lambda t: len(t.columns.starts) * len(t.rows.starts))


def template_pages(stand: Stand, paper: str = "A4") -> tuple[Sheet, ...]:
    """Draw the drilling template.

    Parameters
    ----------
    stand : evaluated stand
    paper : size of a tile; "A4", "Letter" or one of the larger sizes

    Returns
    -------
    tuple of Sheet
        how the tiles lie together, then every tile at 1:1, row by row from the operator's side; nothing where no
        machine is bolted down. Each tile has one view: paper = ``at`` + place from the datum of the pattern.

    Raises
    ------
    ValueError
        ``paper`` is none of the known sizes.
    """
    pattern = pattern_of(stand)
    if pattern is None:
        return ()
    tiles = tiling(pattern, paper)
    pages = [
        _tile(stand, pattern, tiles, i, j)
        for j in range(len(tiles.rows.starts))
        for i in range(len(tiles.columns.starts))
    ]
    windows = [(name, tiles.window(i, j)) for j, row in enumerate(tiles.names()) for i, name in enumerate(row)]
    return (*plan_pages(stand, pattern, windows, max(tiles.columns.lap, tiles.rows.lap), paper), *pages)


def _tile(stand: Stand, pattern: Pattern, tiles: Tiling, i: int, j: int) -> Sheet:
    name, window = tiles.names()[j][i], tiles.window(i, j)
    at = (LEFT - window[0], BELOW - window[1])
    ink = Ink(at=at, window=window)
    _steel(pattern, ink)
    _crosses(pattern, tiles, i, j, ink)
    _holes(stand, pattern, ink)
    _distances(stand, pattern, ink)
    _edges(pattern, tiles, i, j, ink)
    ink.write(free(ink, [Text(at=p, text=name, height=7.0, bold=True) for p in _grid(window)]))
    box = (LEFT, BELOW, tiles.size[0] - RIGHT, tiles.size[1] - ABOVE)
    page: list[Primitive] = [Line(points=_corners(box), closed=True, layer="thin")]
    words = f"Tile {name}: row {name.rstrip('0123456789')}, column {i + 1}"
    page += _strips(stand, tiles, words)
    view = ViewPlacement(name=name, at=at, scale=1.0, box=box)
    return Sheet(
        title=f"Template {name}", size=tiles.size, primitives=(*page, *ink.drawn), views=(view,), scale_text="1:1"
    )


def _corners(b: Box) -> tuple[Point2, ...]:
    return (b[0], b[1]), (b[2], b[1]), (b[2], b[3]), (b[0], b[3])


def _grid(window: Box) -> list[Point2]:
    """Places for a tile's name, the upper right first."""
    x0, y0, x1, y1 = window
    return [
        (x0 + 15.0 + (x1 - x0 - 45.0) * a / 9, y0 + 15.0 + (y1 - y0 - 40.0) * b / 9)
        for b in range(9, -1, -1)
        for a in range(9, -1, -1)
    ]


def _steel(pattern: Pattern, ink: Ink) -> None:
    """Outlines of the steel underneath; the frame's middle lines where they are in sight."""
    for _, points in pattern.outlines:
        ink.lines += clip_path(points, ink.window, "thin")
    middle = -pattern.datum.at[0], -pattern.datum.at[1]
    for k in (0, 1):
        low = (ink.window[0], middle[1]) if k else (middle[0], ink.window[1])
        high = (ink.window[2], middle[1]) if k else (middle[0], ink.window[3])
        part = clip(low, high, ink.window)
        if part:
            ink.lines.append(Line(points=part, layer="centre"))
    for x in (-6.0, 6.0):
        part = clip((x, 0.0), (0.0, 0.0), ink.window)
        up = clip((0.0, x), (0.0, 0.0), ink.window)
        ink.lines += [Line(points=p, layer="visible") for p in (part, up) if p]


def _holes(stand: Stand, pattern: Pattern, ink: Ink) -> None:
    words = length_words(stand)
    whole = []
    for hole in pattern.holes:
        (x, y), cut, (rx, ry) = hole.at, hole.cut, hole.cut.reach
        for rim in cut.rims(hole.at):
            ink.arcs += clip_arc(rim, ink.window)
        for p, q in cut.sides(hole.at):
            part = clip(p, q, ink.window)
            if part:
                ink.lines.append(Line(points=part, layer="visible"))
        for p, q in crosses(hole):
            part = clip(p, q, ink.window)
            if part:
                ink.lines.append(Line(points=part, layer="thin"))
        if _inside((x - rx, y - ry, x + rx, y + ry), ink.window):
            whole.append(hole)
    for hole in whole:
        ink.write(free(ink, _labels(hole, words)))


def crosses(hole: PatternHole) -> list[tuple[Point2, Point2]]:
    """Return the lines of the crosses that mark where to punch: the centre, or both end centres of a slot."""
    arm = hole.cut.diameter / 2 + ARM
    out = []
    for x, y in hole.cut.ends(hole.at):
        out += [((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))]
    return out


def _labels(hole: PatternHole, words: Callable[[float], str]) -> list[tuple[Text, ...]]:
    """Number, diameter and place of a hole in two rows, or in three or four narrow ones, in its four corners."""
    head = f"{hole.number}   {hole.cut.words(words)}"
    x, y = f"x {words(hole.at[0])}", f"y {words(hole.at[1])}"
    out = []
    for off in (2.0, 4.0, 7.0):
        rx, ry = hole.cut.reach[0] + off, hole.cut.reach[1] + off
        for rows in ((head, f"{x}   {y}"), (head, x, y), (str(hole.number), hole.cut.words(words), x, y)):
            sizes = [3.5 if n == 0 else 2.5 for n in range(len(rows))]
            wide = max(text_width(t, h, h > 3.0) for t, h in zip(rows, sizes, strict=True))
            for left in (hole.at[0] + rx, hole.at[0] - rx - wide):
                for low in (hole.at[1] + ry, hole.at[1] - ry - 4.0 * len(rows)):
                    out.append(
                        tuple(
                            Text(at=(left, low + 4.0 * (len(rows) - 1 - n)), text=t, height=h, bold=h > 3.0)
                            for n, (t, h) in enumerate(zip(rows, sizes, strict=True))
                        )
                    )
    return out


def _inside(box: Box, window: Box) -> bool:
    return box[0] >= window[0] and box[1] >= window[1] and box[2] <= window[2] and box[3] <= window[3]


def _distances(stand: Stand, pattern: Pattern, ink: Ink) -> None:
    """Centre lines from hole to hole; their length where enough of the line is in sight."""
    words = length_words(stand)
    for i, j in pattern.links:
        part = clip(pattern.holes[i].at, pattern.holes[j].at, ink.window)
        if part is None:
            continue
        ink.lines.append(Line(points=part, layer="centre"))
        a, b = pattern.holes[i].number, pattern.holes[j].number
        text = f"{a} – {b}:  {words(pattern.distance(i, j))}"
        tries = along(part, text, 2.5)
        if tries:
            ink.write(free(ink, tries))


def along(part: tuple[Point2, Point2], text: str, height: float, lifts: Sequence[float] = ()) -> list[Text]:
    """Places for a text beside a line, from its middle outwards; none where the line is too short."""
    (x0, y0), (x1, y1) = part
    size = math.hypot(x1 - x0, y1 - y0)
    wide = text_width(text, height)
    if size < wide + 6.0:
        return []
    turn = upright(math.atan2(y1 - y0, x1 - x0))
    shares = sorted((k / 16 for k in range(1, 16)), key=lambda t: abs(t - 0.5))
    out = []
    for share in shares:
        if min(share, 1 - share) * size < wide / 2:
            continue
        for lift in lifts or (1.2, -1.2 - height):
            x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
            at = (x - lift * math.sin(turn), y + lift * math.cos(turn))
            out.append(Text(at=at, text=text, height=height, align="centre", angle=turn))
    return out


def shared(pattern: Pattern, tiles: Tiling, i: int, j: int, across: bool) -> list[Point2]:
    """Glue crosses between the tile and its right (``across``) or its further neighbour: the same on both."""
    here = tiles.window(i, j)
    there = tiles.window(i + 1, j) if across else tiles.window(i, j + 1)
    box = (max(here[0], there[0]), max(here[1], there[1]), min(here[2], there[2]), min(here[3], there[3]))
    k = 1 if across else 0
    middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    out = []
    for share in (0.12, 0.5, 0.88):
        size = box[k + 2] - box[k]
        tries = [share * size + off for n in range(40) for off in (2.0 * n, -2.0 * n)]
        for t in (t for t in tries if 14.0 <= t <= size - 14.0):
            p = (middle[0], box[1] + t) if across else (box[0] + t, middle[1])
            if all(max(abs(p[0] - h.at[0]), abs(p[1] - h.at[1])) > reach(h) + CROSS for h in pattern.holes):
                out.append(p)
                break
    return out


def _crosses(pattern: Pattern, tiles: Tiling, i: int, j: int, ink: Ink) -> None:
    names = tiles.names()
    for across, a, b in ((True, i, j), (True, i - 1, j), (False, i, j), (False, i, j - 1)):
        if min(a, b) < 0 or (a + 1 >= len(names[0]) if across else b + 1 >= len(names)):
            continue
        for x, y in shared(pattern, tiles, a, b, across):
            ink.lines += [
                Line(points=((x - CROSS, y), (x + CROSS, y)), layer="visible"),
                Line(points=((x, y - CROSS), (x, y + CROSS)), layer="visible"),
            ]
            ink.arcs.append(Arc(centre=(x, y), radius=CROSS / 2, layer="thin"))


def _edges(pattern: Pattern, tiles: Tiling, i: int, j: int, ink: Ink) -> None:
    """Glue strips and cutting lines, the front, the datum."""
    names, (x0, y0, x1, y1) = tiles.names(), ink.window
    lap = tiles.columns.lap, tiles.rows.lap
    if i + 1 < len(names[0]):
        ink.lines.append(Line(points=((x1 - lap[0], y0), (x1 - lap[0], y1)), layer="hidden"))
        line = ((x1 - 1.0, y0), (x1 - 1.0, y1))
        ink.write(free(ink, along(line, f"glue: {names[j][i + 1]} lies on here", 2.0, (0.8, lap[0] - 3.8))))
    if j + 1 < len(names):
        ink.lines.append(Line(points=((x0, y1 - lap[1]), (x1, y1 - lap[1])), layer="hidden"))
        line = ((x0, y1 - lap[1]), (x1, y1 - lap[1]))
        ink.write(free(ink, along(line, f"glue: {names[j + 1][i]} lies on here", 2.0, (1.8, lap[1] - 3.8))))
    front = clip((x0, 0.0), (x1, 0.0), ink.window) if pattern.datum.of_frame else None
    if front:
        ink.lines.append(Line(points=front, layer="visible"))
        ink.write(free(ink, along(front, "front edge of the frame", 2.5)))
    if x0 <= 0.0 <= x1 and y0 <= 0.0 <= y1:
        tries = [
            Text(at=(a, b), text="datum: x 0, y 0", height=2.5) for a in (3.0, 8.0, 20.0, -32.0) for b in (-6.0, 4.0, -12.0)
        ]
        ink.write(free(ink, tries))
    for k in (0, 1):
        at = -pattern.datum.at[k]
        part = clip((x0, at), (x1, at), ink.window) if k else clip((at, y0), (at, y1), ink.window)
        ink.write(free(ink, along(part, "middle of the frame", 2.0)) if part else ())
    for name, points in pattern.outlines:
        sides = [q for p in clip_path(points, ink.window, "thin") for q in along((p.points[0], p.points[1]), name, 2.0)]
        ink.write(free(ink, sides))
    if j == 0:
        low = ((x0 + 12.0, y0 + 3.0), (x1 - 12.0, y0 + 3.0))
        ink.write(free(ink, along(low, "▼  operator side  ▼", 3.5)))


def _strips(stand: Stand, tiles: Tiling, words: str) -> list[Primitive]:
    """Rulers along both sides, the tile's name and what it belongs to; cut off where a neighbour lies."""
    inch = stand.brief.units != "metric"
    out: list[Primitive] = [*ruler((LEFT, 19.0), 0.0, inch), *ruler((17.0, BELOW), math.pi / 2, inch)]
    text = ruler_words(inch)
    out.append(Text(at=(LEFT, 8.5), text=text, height=2.5))
    out.append(Text(at=(8.0, BELOW), text=text, height=2.5, angle=math.pi / 2))
    x = tiles.size[0] - RIGHT
    size = fitted(words, x - LEFT - ruler_length(inch) - 12.0, 3.5, True)
    out.append(Text(at=(x, 14.5), text=words, height=size, bold=True, align="right"))
    title, room = stand.brief.title, x - LEFT - text_width(text, 2.5) - 8.0
    while title and text_width(title, 2.5) > room:
        title = title[:-2].rstrip() + "…" if len(title) > 2 else ""
    out.append(Text(at=(x, 8.5), text=title, height=2.5, align="right"))
    return out


__all__ = ["Tiling", "crosses", "reach", "shared", "template_pages", "template_paper", "tiling"]
