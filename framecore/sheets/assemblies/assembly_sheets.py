"""The assemblies in the order they are welded: laid flat with places and diagonals, the stand drawn apart and measured.

Alike assemblies share a drawing. Large paper carries two drawings side by side, small paper one with its words beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from framecore.frame.model import PlateRole
from framecore.sheets.assemblies.assembly_data import Kind, names_of, view_of
from framecore.sheets.assemblies.assembly_kinds import kinds
from framecore.sheets.assemblies.assembly_views import (
    GUTTER,
    SET_IN,
    Picture,
    flat_view,
    needs,
    picture,
    scale_of,
    told_how,
)
from framecore.sheets.assemblies.assembly_words import is_whole, put_words, title_of
from framecore.sheets.assemblies.exploded import exploded
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.hidden import FRONT, TOP
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space
from framecore.shop.assemblies import STAND
from framecore.shop.work import Work
from framecore.stand.model import Stand
from framecore.stand.work import work_of

Box = tuple[float, float, float, float]
EDGE = 6.0  # mm kept to the frame
HEAD = 7.0  # mm for a heading
NOTE = 6.0  # mm for a line of words over a view
BESIDE_NOTE = 12.0  # mm kept for the scale beside it
LEAST_VIEW = 75.0  # mm a view is high at least where words stand under it
BESIDE = 0.4  # share of the width that words take beside a view
Drawn = tuple[list[ViewPlacement], list[Primitive], set[int], float]  # views, lines, n of 1:n, how far down
Draw = Callable[[Box], Drawn]
Put = Callable[[Flow, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """A heading, a drawing that fills the box it is given, and words under or beside it; n of 1:n, 0 without scale."""

    head: str
    draw: Draw
    words: Put | None


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every assembly; what is put together from others has pages of its own, drawn apart and measured."""
    work = work_of(stand)
    x0, y0, x1, y1 = drawing_space(paper)
    top, floor = y1 - EDGE, y0 + TITLE_HEIGHT + 4.0
    wide: Box = (x0 + EDGE, floor, x1 - EDGE, top)
    page = (wide[2] - wide[0], wide[3] - wide[1] - HEAD) if paper in SMALL else None
    rows = _rows([_panels(stand, work, kind, page) for kind in kinds(stand, work)], small=paper in SMALL)
    out = []
    for n, row in enumerate(rows, 1):
        primitives: list[Primitive] = []
        views: list[ViewPlacement] = []
        scales: set[int] = set()
        if len(row) == 2:
            middle = (wide[0] + wide[2]) / 2
            # The left one may come down beside the title block.
            low = y0 + EDGE if middle - GUTTER / 2 <= x1 - TITLE_WIDTH - 2.0 else floor
            boxes = ((wide[0], low, middle - GUTTER / 2, top), (middle + GUTTER / 2, floor, wide[2], top))
            primitives.append(Line(points=((middle, floor), (middle, top)), layer="thin"))
            drawn = [_under(p, b) for p, b in zip(row, boxes, strict=True)]
        else:
            drawn = [_beside(row[0], wide, 2.2 if paper in SMALL else 2.5)]
        for found, lines, scale, _ in drawn:
            views += found
            primitives += lines
            scales |= scale
        title = "assemblies" if len(rows) == 1 else f"assemblies {n}"
        text = f"1:{min(scales)}" if len(scales) == 1 else "as noted" if scales else ""
        out.append(
            Draft(title=title, kind="Assembly drawing", primitives=tuple(primitives), views=tuple(views), scale_text=text)
        )
    return tuple(out)


def _rows(panels: Sequence[Sequence[_Panel]], *, small: bool) -> list[tuple[_Panel, ...]]:
    """Panels page by page: one on small paper, else two; those of one assembly stay together."""
    out: list[tuple[_Panel, ...]] = []
    for own in panels:
        if small:
            out += [(p,) for p in own]
        elif len(own) == 1 and out and len(out[-1]) == 1:
            out[-1] = (*out[-1], *own)
        else:
            out.append(tuple(own))
    return out


def _under(p: _Panel, box: Box) -> Drawn:
    """Heading, view, and the words under it in full; the view takes what is left."""
    out, low = _heading(p.head, box)
    need = _height(p.words, box[2] - box[0], 2.5) if p.words else 0.0
    view_low = max(min(box[1] + need + 3.0, low - LEAST_VIEW), box[1])
    views, drawn, n, down = p.draw((box[0], view_low, box[2], low))
    out += drawn
    if p.words:
        flow = Flow([(box[0], box[1] - 1.0, box[2] - box[0], max(down - 5.0, box[1] + need))])
        p.words(flow, 2.5)
        out += [q for page in flow.pages for q in page]
    return views, out, n, box[1]


def _beside(p: _Panel, box: Box, height: float) -> Drawn:
    """Heading, view on the left, words on the right."""
    out, low = _heading(p.head, box)
    split = box[2] - (box[2] - box[0]) * BESIDE if p.words else box[2]
    views, drawn, n, _ = p.draw((box[0], box[1], split - 4.0, low))
    out += drawn
    if p.words:
        room = box[2] - split
        while height > 2.0 and _height(p.words, room, height) > low - box[1]:
            height -= 0.1
        flow = Flow([(split, box[1] - 1.0, room, low)])
        p.words(flow, round(height, 2))
        out += [q for page in flow.pages for q in page]
    return views, out, n, box[1]


def _heading(text: str, box: Box) -> tuple[list[Primitive], float]:
    """Put the heading at the top of the box; return where the rest begins."""
    flow = Flow([(box[0], -1e6, box[2] - box[0], box[3])])
    flow.line(text, 3.5, bold=True)
    return list(flow.pages[0]), flow.y - 1.5


def _height(words: Put, width: float, height: float) -> float:
    """How much room the words take down a column of that width, mm."""
    flow = Flow([(0.0, -1e6, width, 0.0)])
    words(flow, height)
    return -flow.y


def _panels(stand: Stand, work: Work, kind: Kind, page: Point2 | None) -> list[_Panel]:
    """The drawings of one kind: one, or for what is put together from others the parts drawn apart and the measures.

    ``page``: room on small paper, where front and plan part company when they can be drawn larger alone.
    """
    a = kind.assembly

    def words(flow: Flow, height: float) -> None:
        put_words(stand, work, kind, flow, height)

    if not is_whole(a):
        flat = picture(stand, a, _shaped(stand, names_of(a, work)), view_of(stand, a))
        return [_Panel(head=title_of(kind), draw=_flat(stand, flat), words=words)]

    def apart(box: Box) -> Drawn:
        view, lines = exploded(stand, work, a, box)
        return [view], lines, set(), box[1]

    steel = {m.name for m in stand.frame.members} | {p.name for p in stand.frame.plates if p.role in SET_IN}
    pads = {p.name for p in stand.frame.plates if p.role is PlateRole.PAD}
    names = _shaped(stand, names_of(a, work))
    if a.name == STAND:
        front = [c for c in a.checks if c.pair == "front diagonals" or c.text.startswith("height, front")]
        level = [c for c in a.checks if c.pair == "top diagonals"] or [c for c in a.checks if c.pair == "feet diagonals"]
    else:
        front, level = list(a.checks), list(a.checks)
    shown = []
    for view, checks, where, own in ((FRONT, front, "front", steel | pads), (TOP, level, "from above", steel)):
        kept = [n for n in names if n in own]
        shown.append(picture(stand, a, kept, view, caption=where, checks=checks, marked=()))
    if page is not None:
        inch, room = stand.brief.units != "metric", (page[0], page[1] - NOTE)
        both = min(scale_of(stand, shown, room, inch=inch, aside=aside) for aside in (True, False))
        if max(scale_of(stand, [p], room, inch=inch) for p in shown) < both:
            heads = (f"{title_of(kind)}: what to measure, {p.caption}" for p in shown)
            return [
                _Panel(head=title_of(kind), draw=apart, words=words),
                *(_Panel(head=h, draw=_both(stand, [p]), words=None) for h, p in zip(heads, shown, strict=True)),
            ]
    measured = _Panel(head=f"{title_of(kind)}: what to measure", draw=_both(stand, shown), words=None)
    return [_Panel(head=title_of(kind), draw=apart, words=words), measured]


def _shaped(stand: Stand, names: Sequence[str]) -> tuple[str, ...]:
    """The names that have a shape."""
    parts = set(stand.solids.layout.parts)
    return tuple(n for n in names if n in parts)


def _flat(stand: Stand, p: Picture) -> Draw:
    inch = stand.brief.units != "metric"

    def draw(box: Box) -> Drawn:
        note, top = _note(stand, [p], box)
        n = scale_of(stand, [p], (box[2] - box[0], top - box[1]), inch=inch)
        view, lines, low = flat_view(stand, p, (box[0], box[1], box[2], top), n)
        return [view], [*lines, *note, _scale(n, box)], {n}, low

    return draw


def _note(stand: Stand, shown: Sequence[Picture], box: Box) -> tuple[list[Text], float]:
    """The line over a drawing that says what its places are measured to, and where the room under it begins."""
    rows = wrap(told_how(stand, shown), box[2] - box[0] - BESIDE_NOTE, 2.5)
    texts = [Text(at=(box[0], box[3] - 2.5 - 4.0 * k), text=row, height=2.5) for k, row in enumerate(rows)]
    return texts, box[3] - NOTE - 4.0 * (len(rows) - 1)


def _scale(n: int, box: Box) -> Text:
    return Text(at=(box[2], box[3] - 2.5), text=f"1:{n}", height=2.5, align="right")


def _both(stand: Stand, shown: Sequence[Picture]) -> Draw:
    """Two views at one scale: one over the other, or side by side where the box is broad."""
    inch = stand.brief.units != "metric"

    def draw(box: Box) -> Drawn:
        note, top = _note(stand, shown, box)
        wide = box[2] - box[0]
        scales = [scale_of(stand, shown, (wide, top - box[1]), inch=inch, aside=aside) for aside in (True, False)]
        n, beside = min(scales), scales[0] < scales[1]
        shares = [needs(stand, p, 1 / n)[0] for p in shown]
        spare = max(wide - sum(shares) - GUTTER * (len(shown) - 1), 0.0) / len(shown)
        views: list[ViewPlacement] = []
        out: list[Primitive] = [*note, _scale(n, box)]
        left = box[0]
        for p, share in zip(shown, shares, strict=True):
            own = (left, box[1], left + share + spare, top) if beside else (box[0], box[1], box[2], top)
            view, lines, low = flat_view(stand, p, own, n)
            views.append(view)
            out += lines
            left, top = (left + share + spare + GUTTER, top) if beside else (left, low - GUTTER)
        return views, out, {n}, top

    return draw
