"""A folded sheet on paper: flat with its bend lines and sizes, its corner enlarged, and its lip in section."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise, product

from framecore.sheets.drawing.dims import Crowd, Span, crossings, overhang, rooms, stack, text_box
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import SMALL
from framecore.sheets.parts.flat_details import corner_cells, lip_cells
from framecore.sheets.parts.part import Part, PartHole, callouts, face_view
from framecore.sheets.parts.plate_cells import ASIDE, Cell, call_lines, clear, facts, head, scales, written
from framecore.sheets.words import length_words
from framecore.shop.flat import FlatBend, FlatPattern, flat_pattern
from framecore.shop.model import ShopPlate
from framecore.stand.model import Stand
from framecore.units import INCH

BIGGEST, BIGGEST_SMALL = 190.0, 120.0  # longest side on paper that is aimed at, mm
BESIDE = 1.2  # from a bend line to its words, mm
PLACES = (0.5, 0.38, 0.62, 0.27, 0.73, 0.18, 0.82)  # along a bend line, tried for its words in this order
MOST = 110.0  # mm that rows of words may be wide over a small drawing
BOX = 150.0  # mm wide, of the words on folding

Words = Callable[[float], str]


def flat_cells(stand: Stand, kind: ShopPlate, paper: str, room: Point2) -> list[Cell]:
    """Return the drawing of a folded sheet, each kind of its corners enlarged, and its lip.

    Raises
    ------
    LayoutError
        the sheet cannot be laid flat.
    """
    own = stand.frame.plate(kind.names[0])
    plates = [p for p in stand.frame.plates if p.sheet == own.sheet]
    flat = flat_pattern(plates, stand.frame.holes)
    part = flat_part(flat)
    corners = corner_cells(stand, kind.mark, part, flat, room)
    best: Cell | None = None
    told: tuple[str, ...] = ()
    for n in scales(max(part.size), BIGGEST_SMALL if paper in SMALL else BIGGEST, stand.brief.units != "metric"):
        if part.size[0] / n > room[0] or part.size[1] / n > room[1]:
            continue
        # Sizes of the holes nearer than the bends' is quick; where their words meet, the best way for all is looked for.
        # What is told over the drawing goes beside it where the page is too low.
        for apart, bare in product(("holes near", "bends near", "mixed"), (False, True)):
            cell = _drawn(stand, kind, flat, part, n, room[0], bool(corners), apart, bare)
            fits = cell.size[0] <= room[0] and cell.size[1] <= room[1]
            if fits and clear(cell):
                told = facts(stand, kind, part.thickness, n) if bare else ()
                break
            best = best or (cell if fits else None)
        else:
            continue
        best = cell
        break
    lips = lip_cells(stand, kind.mark, flat, plates)
    return [best or cell, *corners, *lips, _told(stand, kind, flat, room, told)]


def flat_part(flat: FlatPattern) -> Part:
    """Return a flat pattern as a part, from the lower left corner of its box."""
    low = (min(p[0] for p in flat.outline), min(p[1] for p in flat.outline))
    holes = tuple(
        PartHole(at=(h.at[0] - low[0], h.at[1] - low[1]), diameter=h.diameter, depth=flat.thickness, tapped=h.tapped,
                 slot=h.slot)
        for h in flat.holes
    )  # fmt: skip
    outline = tuple((a - low[0], b - low[1]) for a, b in flat.outline)
    return Part(outline=outline, size=flat.size, thickness=flat.thickness, holes=holes)


def fine_words(stand: Stand, mm: float) -> str:
    """Return a small length to a hundredth of a millimetre or a thousandth of an inch, with its unit."""
    return f"{mm:.2f} mm" if stand.brief.units == "metric" else f"{mm / INCH:.3f} in"


def bend_words(bend: FlatBend, words: Words) -> str:
    """Return what is done at a bend: "up 90° R1.5"."""
    return f"{'up' if bend.up else 'down'} {math.degrees(bend.angle):.0f}° R{words(bend.radius)}"


def fold_words(stand: Stand, flat: FlatPattern) -> tuple[str, ...]:
    """Return how the blank is cut and folded, and how a trial strip shows whether the bends come out."""
    words, b = length_words(stand), flat.bends[0]
    strip = 100.0 if stand.brief.units == "metric" else 4 * INCH
    leg = fine_words(stand, (strip + b.deduction) / 2)
    return (
        f"Bend a trial strip first: {words(strip)} long, folded across its middle. Both legs must measure {leg} outside; where "
        "yours do not, move the bend lines and the edges by the difference.",
        "Cut the rim and the corners, drill, take the sharp edges off, then fold.",
        "Chain lines are the middles of the bends: each lies in the middle of what is bent round.",
        f"A bend takes up {fine_words(stand, b.allowance)} of the sheet; {fine_words(stand, b.deduction)} come off the sum of "
        f"both outside lengths. Inside radius {words(b.radius)}, K {flat.k:g}: common practice.",
    )


def _told(stand: Stand, kind: ShopPlate, flat: FlatPattern, room: Point2, before: tuple[str, ...]) -> Cell:
    """How the sheet is folded, in a box of its own beside the drawing."""
    note = stand.frame.plate(kind.names[0]).note
    rows = [*before, *fold_words(stand, flat), *([note[:1].upper() + note[1:] + "."] if note else [])]
    wide = min(BOX, room[0])
    lines: list[str] = [f"{kind.mark}   how it is folded"]
    for k, row in enumerate(rows, 1):
        first, *more = wrap(f"{k}  {row}", wide, 2.5)
        lines += [first, *more]
    out, told, y = written(tuple(lines))
    return Cell(mark=kind.mark, size=(told, 2.0 - y), view=None, primitives=tuple(out))


def _drawn(
    stand: Stand, kind: ShopPlate, flat: FlatPattern, part: Part, n: int, most: float, detail: bool, apart: str, bare: bool
) -> Cell:
    words, s = length_words(stand), 1 / n
    w, h = part.size[0] * s, part.size[1] * s
    calls = callouts(part, words)
    left, below, above = _spans(flat, part, (0.0, 0.0), s, apart)
    over = [overhang(spans, words, 0.0, w) for spans in (below, above)]
    near = rooms(left[0], ("left",), words)["left"]
    aside = max(over[0][0], over[1][0], near + rooms(left[1], ("left",), words)["left"])
    beside = max([0.0, over[0][1], over[1][1], *(ASIDE + 3.0 + text_width(c.text, 2.5) for c in calls)])
    wide = aside + w + beside
    blank = f"blank {words(part.size[0])} × {words(part.size[1])}, seen from inside"
    rows = (*facts(stand, kind, part.thickness, n), f"{blank}; corners: see them enlarged" if detail else blank)
    title = f"{kind.mark}   {kind.label}, laid flat"
    # One row that breaks where it must: a page that lies across is short of height, not of width.
    over_it = head(title, (), "; ".join(rows), max(wide, MOST), most) if not bare else (f"{title}, 1:{n}; {blank}",)
    out, told, y = written(over_it)
    y -= 2.0 + rooms(above, ("above",), words)["above"]
    face = (aside, y - h)
    out += face_view(part, face, s)
    left, below, above = _spans(flat, part, face, s, apart)
    out += stack(left[0], "left", face[0], words)
    out += stack(left[1], "left", face[0] - near, words)
    out += stack(below, "below", face[1], words)
    out += stack(above, "above", face[1] + h, words)
    out += call_lines(calls, face, w, s)
    out += _bends(flat, face, s, out, words)
    size = (max(wide, told), h - y + rooms(below, ("below",), words)["below"] + 2.0)
    view = ViewPlacement(name=kind.mark, at=face, scale=s, box=(0.0, -size[1], size[0], 0.0))
    return Cell(mark=kind.mark, size=size, view=view, primitives=tuple(out))


def bend_lines(flat: FlatPattern) -> list[tuple[FlatBend, Point2, Point2]]:
    """Return the bends with their ends from the lower left corner of the blank."""
    low = (min(p[0] for p in flat.outline), min(p[1] for p in flat.outline))
    return [
        (b, (b.start[0] - low[0], b.start[1] - low[1]), (b.end[0] - low[0], b.end[1] - low[1])) for b in flat.bends
    ]


def _bends(flat: FlatPattern, face: Point2, s: float, drawn: list[Primitive], words: Words) -> list[Primitive]:
    """Bend lines with their words, each on the bottom's side of its line where nothing runs through them."""
    out: list[Primitive] = []
    crowd = Crowd(drawn)
    middle = (face[0] + flat.size[0] * s / 2, face[1] + flat.size[1] * s / 2)
    for bend, a, b in bend_lines(flat):
        p, q = ((face[0] + c[0] * s, face[1] + c[1] * s) for c in (a, b))
        out.append(Line(points=(p, q), layer="centre"))
        level = abs(q[1] - p[1]) < abs(q[0] - p[0])
        text = bend_words(bend, words)
        tries = []
        for share in PLACES:
            x, y = p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share
            if level:
                y += BESIDE if y < middle[1] else -BESIDE - 2.5
                tries.append(Text(at=(x, y), text=text, align="centre"))
            else:
                x += BESIDE + 2.5 if x < middle[0] else -BESIDE
                tries.append(Text(at=(x, y), text=text, align="centre", angle=math.pi / 2))
        boxes = ((t, text_box(t)) for t in tries)
        out.append(next((t for t, box in boxes if not crowd.enters(box) and not crossings(box, out)), tries[0]))
    return out


def _spans(
    flat: FlatPattern, part: Part, at: Point2, s: float, apart: str
) -> tuple[tuple[list[Span], list[Span]], list[Span], list[Span]]:
    """Sizes left (near ones, and ones outside these), below and above: bends in a chain and over all, holes from one edge."""
    x, y = at
    chains: list[list[Span]] = [[], []]
    lines = bend_lines(flat)
    for k, spans in enumerate(chains):
        reach = [(a[k], min(a[1 - k], b[1 - k])) for _, a, b in lines if abs(a[k] - b[k]) < 0.01]
        ends = _ends(part, k)
        chain = [ends[0], *sorted(reach), ends[1]]
        whole = [(chain[0], chain[-1])] if len(chain) > 2 else []
        spans += [Span(_at(p, k, x, y, s), _at(q, k, x, y, s), q[0] - p[0]) for p, q in (*pairwise(chain), *whole)]
    holes: list[list[Span]] = [[], []]
    for k, spans in enumerate(holes):
        places: dict[float, Point2] = {}
        for hole in part.holes:
            own = (hole.at[k], hole.at[1 - k])
            old = places.setdefault(round(hole.at[k], 1), own)
            places[round(hole.at[k], 1)] = max(old, own, key=lambda q: q[1]) if k == 0 else min(old, own, key=lambda q: q[1])
        zero = _ends(part, k, far=k == 0)[0]
        spans += [Span(_at(zero, k, x, y, s), _at(p, k, x, y, s), p[0]) for _, p in sorted(places.items())]
    left = {"holes near": (holes[1], chains[1]), "bends near": (chains[1], holes[1])}.get(apart, ([*chains[1], *holes[1]], []))
    return left, chains[0], holes[0]


def _ends(part: Part, k: int, far: bool = False) -> tuple[Point2, Point2]:
    """The outline's points on both sides of the box, (place, level), nearest to the sizes."""
    pick = max if far else min
    low = pick(p[1 - k] for p in part.outline if p[k] < 0.05)
    high = pick(p[1 - k] for p in part.outline if p[k] > part.size[k] - 0.05)
    return (0.0, low), (part.size[k], high)


def _at(p: Point2, k: int, x: float, y: float, s: float) -> Point2:
    return (x + p[0] * s, y + p[1] * s) if k == 0 else (x + p[1] * s, y + p[0] * s)
