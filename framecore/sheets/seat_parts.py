"""Plates that are drilled or tapped, each kind once and to scale: pads, blocks, head and base plates, brackets."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.frame.model import PlateRole
from framecore.sheets.dims import Span, lanes_needed, overhang, overlaps, stack
from framecore.sheets.flow import wrap
from framecore.sheets.model import Leader, Point2, Primitive, Sheet, Text, ViewPlacement
from framecore.sheets.paper import (
    INCH_SCALES,
    METRIC_SCALES,
    SMALL,
    TITLE_HEIGHT,
    Draft,
    choose_scale,
    drawing_space,
)
from framecore.sheets.part import Callout, Part, callouts, edge_view, face_view, part_of
from framecore.sheets.pens import text_width
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

ROLES = (PlateRole.PAD, PlateRole.BLOCK, PlateRole.HEAD, PlateRole.BASE, PlateRole.CAP, PlateRole.BRACKET)
EDGE = 8.0
BIGGEST, BIGGEST_SMALL = 85.0, 62.0  # longest side on paper that is aimed at, mm
APART = 10.0  # between the edge view and the face, mm; arrows and words of the thickness stand there
BETWEEN = 12.0  # between parts, mm
TITLE, ROW = 3.5, 4.2
DROP = 9.0  # mm that sizes below stand lower where words of both sides meet in the corner
ASIDE = 7.0  # from the part to its words on the right, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """A part at its scale with the room it takes, mm: left of the face, between it and the sizes below, in all."""

    mark: str
    part: Part
    head: tuple[str, ...]
    n: int
    left: float
    drop: float
    size: Point2
    calls: tuple[Callout, ...]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every kind of drilled flat plate; as many pages as they need, none where there is none."""
    x0, y0, x1, y1 = drawing_space(paper)
    room = (x1 - x0 - 2 * EDGE, y1 - y0 - TITLE_HEIGHT - 4.0 - EDGE)
    cells = [c for c in (_cell(stand, k, paper, room) for k in range(len(stand.shop.plates))) if c]
    if not cells:
        return ()
    out: list[list[tuple[_Cell, Point2]]] = [[]]
    x, y, high = x0 + EDGE, y1 - EDGE, 0.0
    for cell in cells:
        if x > x0 + EDGE and x + cell.size[0] > x1 - EDGE + 1e-6:
            x, y, high = x0 + EDGE, y - high - BETWEEN, 0.0
        if out[-1] and y - cell.size[1] < y0 + TITLE_HEIGHT + 4.0:
            out.append([])
            x, y, high = x0 + EDGE, y1 - EDGE, 0.0
        out[-1].append((cell, (x, y)))
        x, high = x + cell.size[0] + BETWEEN, max(high, cell.size[1])
    drafts = []
    for k, placed in enumerate(out, 1):
        primitives: list[Primitive] = []
        views = []
        for cell, at in placed:
            view, drawn = _draw(stand, cell, at)
            primitives += drawn
            views.append(view)
        scales = {cell.n for cell, _ in placed}
        title = "plates with holes" if len(out) == 1 else f"plates with holes {k}"
        drafts.append(
            Draft(
                title=title, kind="Part drawing", primitives=tuple(primitives), views=tuple(views),
                scale_text=f"1:{placed[0][0].n}" if len(scales) == 1 else "as noted",
            )
        )  # fmt: skip
    return tuple(drafts)


def _cell(stand: Stand, k: int, paper: str, room: Point2) -> _Cell | None:
    """The part of one kind of plate at the largest scale at which it fits; None where it is none of these."""
    kind = stand.shop.plates[k]
    plate = stand.frame.plate(kind.names[0])
    if plate.role not in ROLES or plate.sheet:
        return None
    part = part_of(stand.frame, plate)
    if not part.holes:
        return None
    inch = stand.brief.units != "metric"
    aim = BIGGEST_SMALL if paper in SMALL else BIGGEST
    first = choose_scale(max(part.size) / aim, inch)
    series = INCH_SCALES if inch else METRIC_SCALES
    # The scale aimed at; else a larger one, where words find room between the lines; else a smaller one.
    order = [first, *(n for n in reversed(series) if n < first), *(n for n in series if n > first)]
    best: _Cell | None = None
    for n in order:
        for drop in (0.0, DROP):
            cell = _sized(stand, k, part, n, room[0], drop)
            fits = cell.size[0] <= room[0] and cell.size[1] <= room[1]
            if fits and _clear(stand, cell):
                return cell
            best = best or (cell if fits or n == series[-1] else None)
    return best


def _clear(stand: Stand, cell: _Cell) -> bool:
    """Whether no word of the drawn part touches another or a line of a size."""
    drawn = tuple(_draw(stand, cell, (0.0, 0.0))[1])
    return not overlaps(Sheet(title="", size=cell.size, primitives=drawn))


def _sized(stand: Stand, k: int, part: Part, n: int, most: float, drop: float) -> _Cell:
    kind, words, s = stand.shop.plates[k], length_words(stand), 1 / n
    left, below = _spans(part, (0.0, 0.0), s)
    over = overhang(below, words, 0.0, part.size[0] * s)
    aside = max(over[0], lanes_needed(left, "left", words))
    calls = callouts(part, words)
    beside = max([0.0, *(ASIDE + 3.0 + text_width(c.text, 2.5) for c in calls)])
    wide = aside + part.size[0] * s + max(beside, over[1])
    count = f"{len(kind.names)} off"
    title = f"{kind.mark}   {kind.label}"
    facts = f"{count}, {words(part.thickness)} thick, {'steel' if kind.steel else 'wood'}, scale 1:{n}"
    wide = max(wide, text_width(title, TITLE, True), text_width(facts, 2.5))
    head = (title, facts, *(wrap(kind.note, min(max(wide, 70.0), most), 2.5) if kind.note else ()))
    wide = max([wide, *(text_width(row, 2.5) for row in head[1:])])
    over_edge = _over(part.thickness * s, words(part.thickness))
    high = TITLE + 3.0 + ROW * (len(head) - 1) + over_edge + part.thickness * s + APART + part.size[1] * s
    size = (wide, high + drop + lanes_needed(below, "below", words) + 2.0)
    return _Cell(mark=kind.mark, part=part, head=head, n=n, left=aside, drop=drop, size=size, calls=calls)


def _over(thick: float, text: str) -> float:
    """Room above the edge view: arrows and words of the thickness stand there where they do not fit into it."""
    wide = text_width(text, 2.5)
    return 4.0 if wide + 1.0 <= thick else 7.8 + wide


def _spans(part: Part, at: Point2, s: float) -> tuple[list[Span], list[Span]]:
    """Sizes left of and below the face whose lower left corner lies at ``at``: of holes, over all, thickness."""
    x, y = at
    w, h, t = part.size[0], part.size[1], part.thickness
    base = y + h * s + APART
    left = [Span((x, base), (x, base + t * s), t)]
    below: list[Span] = []
    for k, spans in ((1, left), (0, below)):
        places: dict[float, Point2] = {}
        for hole in part.holes:
            places.setdefault(round(hole.at[k], 1), (hole.at[k], hole.at[1 - k]))
        for place, other in sorted(places.values()):
            if place > 0.5:
                tip = (x + place * s, y + other * s) if k == 0 else (x + other * s, y + place * s)
                spans.append(Span(at, tip, place))
        spans.append(Span(at, (x + w * s, y) if k == 0 else (x, y + h * s), (w, h)[k]))
    return left, below


def _draw(stand: Stand, cell: _Cell, at: Point2) -> tuple[ViewPlacement, list[Primitive]]:
    """Draw a part with its words; ``at`` is the upper left corner of its room."""
    words, s, part = length_words(stand), 1 / cell.n, cell.part
    x, y = at
    out: list[Primitive] = [Text(at=(x, y - TITLE), text=cell.head[0], height=TITLE, bold=True)]
    y -= TITLE + 3.0
    for row in cell.head[1:]:
        out.append(Text(at=(x, y - 2.5), text=row, height=2.5))
        y -= ROW
    y -= _over(part.thickness * s, words(part.thickness))
    face = (x + cell.left, y - APART - part.thickness * s - part.size[1] * s)
    out += face_view(part, face, s)
    out += edge_view(part, (face[0], face[1] + part.size[1] * s + APART), s)
    left, below = _spans(part, face, s)
    out += stack(left, "left", face[0], words)
    out += stack(below, "below", face[1] - cell.drop, words)
    out += _calls(cell, face, s)
    box = (at[0], at[1] - cell.size[1], at[0] + cell.size[0], at[1])
    return ViewPlacement(name=cell.mark, at=face, scale=s, box=box), out


def _calls(cell: _Cell, face: Point2, s: float) -> list[Primitive]:
    """Words of the holes right of the face, each with its leader, from below upwards."""
    x = face[0] + cell.part.size[0] * s + ASIDE - 2.0
    wanted = sorted(cell.calls, key=lambda c: (c.at[1], c.at[0]))
    out: list[Primitive] = []
    low = -1e9
    for call in wanted:
        y = max(face[1] + call.at[1] * s, low)
        low = y + 5.0
        centre = (face[0] + call.at[0] * s, face[1] + call.at[1] * s)
        reach = ((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5
        share = min(call.radius * s / reach, 1.0) if reach > 0 else 0.0
        tip = (centre[0] + (x - centre[0]) * share, centre[1] + (y - centre[1]) * share)
        out.append(Leader(points=(tip, (x, y), (x + 2.0, y)), text=call.text, height=2.5))
    return out

