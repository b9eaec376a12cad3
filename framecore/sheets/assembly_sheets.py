"""The assemblies in the order they are welded: laid flat with places and diagonals, the stand drawn apart and measured.

Alike assemblies share a drawing. Large paper carries two drawings side by side, small paper one with its words beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from framecore.frame.model import PlateRole
from framecore.sheets.assembly_data import Kind, kinds, names_of, view_of
from framecore.sheets.assembly_views import Picture, flat_view, picture, scale_of
from framecore.sheets.assembly_words import is_whole, put_words, title_of
from framecore.sheets.exploded import exploded
from framecore.sheets.flow import Flow
from framecore.sheets.hidden import FRONT, TOP
from framecore.sheets.marks import tips_of
from framecore.sheets.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, Draft, drawing_space
from framecore.sheets.part_views import PartView
from framecore.shop.assemblies import STAND
from framecore.shop.work import Work
from framecore.stand.model import Stand
from framecore.stand.work import work_of

Box = tuple[float, float, float, float]
EDGE = 6.0  # mm kept to the frame
GUTTER = 10.0  # mm between two drawings
HEAD = 7.0  # mm for a heading
LEAST_VIEW = 75.0  # mm a view is high at least where words stand under it
BESIDE = 0.4  # share of the width that words take beside a view
Draw = Callable[[Box], tuple[list[ViewPlacement], list[Primitive], int]]
Put = Callable[[Flow, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """A heading, a drawing that fills the box it is given, and words under or beside it; n of 1:n, 0 without scale."""

    head: str
    draw: Draw
    words: Put | None


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every assembly; the last pages are of the stand itself."""
    work = work_of(stand)
    panels = [p for kind in kinds(stand, work) for p in _panels(stand, work, kind)]
    x0, y0, x1, y1 = drawing_space(paper)
    top, floor = y1 - EDGE, y0 + TITLE_HEIGHT + 4.0
    wide: Box = (x0 + EDGE, floor, x1 - EDGE, top)
    rows: list[tuple[_Panel, ...]]
    if paper in SMALL:
        rows = [(p,) for p in panels]
    else:
        rows = [tuple(panels[k : k + 2]) for k in range(0, len(panels), 2)]
    out = []
    for n, row in enumerate(rows, 1):
        primitives: list[Primitive] = []
        views: list[ViewPlacement] = []
        scales: set[int] = set()
        if len(row) == 2:
            middle = (wide[0] + wide[2]) / 2
            # The left one may come down beside the title block.
            boxes = [(wide[0], y0 + EDGE, middle - GUTTER / 2, top), (middle + GUTTER / 2, floor, wide[2], top)]
            boxes[0] = boxes[0] if middle <= x1 - 180.0 - EDGE else (wide[0], floor, middle - GUTTER / 2, top)
            primitives.append(Line(points=((middle, floor), (middle, top)), layer="thin"))
            drawn = [_under(p, b) for p, b in zip(row, boxes, strict=True)]
        else:
            drawn = [_beside(row[0], wide, 2.2 if paper in SMALL else 2.5)]
        for found, lines, scale in drawn:
            views += found
            primitives += lines
            scales |= {scale} - {0}
        title = "assemblies" if len(rows) == 1 else f"assemblies {n}"
        text = f"1:{scales.pop()}" if len(scales) == 1 else "as noted" if scales else ""
        out.append(
            Draft(title=title, kind="Assembly drawing", primitives=tuple(primitives), views=tuple(views), scale_text=text)
        )
    return tuple(out)


def _under(p: _Panel, box: Box) -> tuple[list[ViewPlacement], list[Primitive], int]:
    """Heading, view, and the words under it in full; the view takes what is left."""
    out, low = _heading(p.head, box)
    need = _height(p.words, box[2] - box[0], 2.5) if p.words else 0.0
    view_low = max(min(box[1] + need + 3.0, low - LEAST_VIEW), box[1])
    views, drawn, n = p.draw((box[0], view_low, box[2], low))
    out += drawn
    if p.words:
        flow = Flow([(box[0], box[1] - 1.0, box[2] - box[0], view_low - 2.0)])
        p.words(flow, 2.5)
        out += [q for page in flow.pages for q in page]
    return views, out, n


def _beside(p: _Panel, box: Box, height: float) -> tuple[list[ViewPlacement], list[Primitive], int]:
    """Heading, view on the left, words on the right."""
    out, low = _heading(p.head, box)
    split = box[2] - (box[2] - box[0]) * BESIDE if p.words else box[2]
    views, drawn, n = p.draw((box[0], box[1], split - 4.0, low))
    out += drawn
    if p.words:
        room = box[2] - split
        while height > 2.0 and _height(p.words, room, height) > low - box[1]:
            height -= 0.1
        flow = Flow([(split, box[1] - 1.0, room, low)])
        p.words(flow, round(height, 2))
        out += [q for page in flow.pages for q in page]
    return views, out, n


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


def _panels(stand: Stand, work: Work, kind: Kind) -> list[_Panel]:
    """The drawings of one kind: one, or for what is put together from others the parts drawn apart and the measures."""
    a = kind.assembly

    def words(flow: Flow, height: float) -> None:
        put_words(stand, work, kind, flow, height)

    if not is_whole(a):
        flat = picture(stand, a, _shaped(stand, names_of(a, work)), view_of(stand, a))
        return [_Panel(head=title_of(kind), draw=_flat(stand, flat), words=words)]

    def apart(box: Box) -> tuple[list[ViewPlacement], list[Primitive], int]:
        view, lines = exploded(stand, work, a, box)
        return [view], lines, 0

    out = [_Panel(head=title_of(kind), draw=apart, words=words)]
    pads = {p.name for p in stand.frame.plates if p.role is PlateRole.PAD}
    steel = {m.name for m in stand.frame.members} | pads
    names = [n for n in _shaped(stand, names_of(a, work)) if n in steel]
    if a.name == STAND:
        front = [c for c in a.checks if c.pair == "front diagonals" or c.text.startswith("height, front")]
        level = [c for c in a.checks if c.pair == "top diagonals"] or [c for c in a.checks if c.pair == "feet diagonals"]
    else:
        front, level = list(a.checks), list(a.checks)
    for view, checks, where in ((FRONT, front, "front"), (TOP, level, "from above")):
        note = f"{where}; places from the lower and left edges, thin lines are the diagonals to measure"
        p = picture(stand, a, names, view, caption=note if checks else f"{where}; places from the lower and left edges",
                    checks=checks, marked=())  # fmt: skip
        out.append(_Panel(head=f"{kind.number}  {a.name[:1].upper() + a.name[1:]}, {where}", draw=_flat(stand, p), words=None))
    return out


def _shaped(stand: Stand, names: Sequence[str]) -> tuple[str, ...]:
    """The names that have a shape."""
    parts = set(stand.solids.layout.parts)
    return tuple(n for n in names if n in parts)


def _flat(stand: Stand, p: Picture) -> Draw:
    inch = stand.brief.units != "metric"

    def tips(name: str, seen: PartView, view: ViewPlacement) -> list[Point2]:
        return tips_of(stand, [name], seen, view)

    def draw(box: Box) -> tuple[list[ViewPlacement], list[Primitive], int]:
        n = scale_of(stand, p, (box[2] - box[0], box[3] - box[1]), inch=inch)
        view, lines = flat_view(stand, p, box, n, tips)
        scale = Text(at=(box[2], box[3] - 2.5), text=f"1:{n}", height=2.5, align="right")
        return [view], [*lines, scale], n

    return draw
