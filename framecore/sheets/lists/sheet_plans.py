"""Whole sheets to scale with the plates that are cut from them, the cuts in order, and what is left."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from framecore.catalogue import steel as find_steel
from framecore.cutting.nest_model import Placement, SheetCut, SheetPlan
from framecore.sheets.drawing.blocks import count_pages, page_of, scale_of
from framecore.sheets.drawing.dims import text_box
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.packing import pack, room
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.drawing.placing import meet
from framecore.sheets.paper import INCH_SCALES, METRIC_SCALES, SMALL, Draft, rectangle
from framecore.sheets.parts.plate_cells import Cell, head, written
from framecore.sheets.words import length_words, mass_words
from framecore.stand.model import Stand

LONGEST, LONGEST_SMALL = 255.0, 210.0  # a sheet on paper at most, mm
BETWEEN = 10.0
ROW, SIZE = 4.0, 2.2  # of the list of cuts
LIST_ROWS, LIST_ROWS_SMALL = 44, 26
ALONE = 20.0  # kg; a heavier sheet is handled by two (common practice)
PAIR = 40.0  # kg; and no heavier one by two (common practice)
COLUMNS = (0.0, 8.0, 22.0, 42.0, 56.0)
LIST_WIDE = 70.0
Words = Callable[[float], str]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every sheet of every thickness; none where plates come cut to size."""
    groups: list[list[Cell]] = []
    for thickness, plan in stand.shop.nests:
        for n in range(len(plan.sheets)):
            cells = [_sheet_cell(stand, thickness, plan, n, paper), *_lists(stand, thickness, plan, n, paper)]
            groups.append(cells)
    if not groups:
        return ()
    groups.append([_caution_cell(stand)])
    places = pack([[c.size for c in g] for g in groups], paper, BETWEEN)
    count = count_pages(places)
    drafts = []
    for page in range(count):
        _, ink, views = page_of(groups, places, page)
        title = "sheet plan" if count == 1 else f"sheet plan {page + 1}"
        drafts.append(
            Draft(title=title, kind="Cut plan", views=tuple(views), primitives=tuple(ink), scale_text=scale_of(views))
        )
    return tuple(drafts)


def share_used(plan: SheetPlan) -> float:
    """Return how much of the area of a plan's sheets becomes plates, 0 to 1."""
    return sum(_area(p) for p in plan.placements) / plan.gross if plan.gross else 0.0


def _area(p: Placement) -> float:
    if not p.outline:
        return p.length * p.width
    pairs = zip(p.outline, (*p.outline[1:], p.outline[0]), strict=True)
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairs)) / 2


def sheet_mass(stand: Stand, thickness: float, plan: SheetPlan, n: int) -> float:
    """Return the mass of one whole sheet, kg."""
    sheet = plan.sheets[n]
    return sheet.length * sheet.width * thickness * find_steel(stand.brief.steel.grade).density * 1e-9


def plan_words(stand: Stand, plan: SheetPlan) -> str:
    """Return what a plan takes and how good it is known to be."""
    count, currency = len(plan.sheets), stand.shop.currency
    sure = "proven cheapest" if plan.proven else f"best found, cannot be under {plan.lower_bound:.2f} {currency}"
    rest = ", the rest as large as it can be" if plan.rest_proven and plan.remnants else ""
    return f"{count} {'sheet' if count == 1 else 'sheets'}, {share_used(plan):.0%} used, {sure}{rest}"


def cut_words(cut: SheetCut, words: Words) -> tuple[str, str, str, str]:
    """Return which way a cut runs, where its middle lies from the sheet's lower left corner, and from where to where."""
    k = 0 if abs(cut.start[0] - cut.end[0]) < 1e-6 else 1
    low, high = sorted((cut.start[1 - k], cut.end[1 - k]))
    return ("across", "along")[k], words(cut.start[k]), words(low), words(high)


def _sheet_cell(stand: Stand, thickness: float, plan: SheetPlan, n: int, paper: str) -> Cell:
    words, sheet, space = length_words(stand), plan.sheets[n], room(paper)
    series = METRIC_SCALES if stand.brief.units == "metric" else INCH_SCALES
    most = (min(LONGEST_SMALL if paper in SMALL else LONGEST, space[0]), space[1] - 30.0)
    scale = 1 / next((k for k in series if sheet.length / k <= most[0] and sheet.width / k <= most[1]), series[-1])
    count = f" {n + 1} of {len(plan.sheets)}" if len(plan.sheets) > 1 else ""
    mass = mass_words(stand, sheet_mass(stand, thickness, plan, n))
    title = f"Sheet {words(thickness)} thick{count}: {words(sheet.length)} × {words(sheet.width)}"
    how = "straight cuts from edge to edge" if plan.mode == "guillotine" else "parts cut out freely"
    rows = (
        f"scale 1:{round(1 / scale)}, {mass}; all {words(thickness)} sheets: {plan_words(stand, plan)}",
        f"{how}; {words(plan.gap)} between parts, {words(plan.edge)} off every edge",
    )
    out, told, y = written(head(title, rows, "", sheet.length * scale, space[0]))
    y -= 5.0
    wide, high = sheet.length * scale, sheet.width * scale
    at = (6.0, y - high)
    out.append(rectangle((at[0], at[1], at[0] + wide, y), "visible"))
    texts: list[Text] = []

    def place(x: float, z: float) -> Point2:
        return at[0] + x * scale, at[1] + z * scale

    for p in (p for p in plan.placements if p.sheet == n):
        rim = p.outline or (
            (p.x, p.y), (p.x + p.length, p.y), (p.x + p.length, p.y + p.width), (p.x, p.y + p.width)
        )  # fmt: skip
        out.append(Line(points=tuple(place(*q) for q in rim), closed=True, fill=0.93))
        texts += _name(p, place, scale, words)
    for r in (r for r in plan.remnants if r.sheet == n):
        (x0, y0), (x1, y1) = place(r.x, r.y), place(r.x + r.length, r.y + r.width)
        out.append(rectangle((x0 + 0.4, y0 + 0.4, x1 - 0.4, y1 - 0.4), "hidden"))
        texts += _fitted(f"rest {words(r.length)} × {words(r.width)}", "rest", (x0, y0, x1, y1))
    for number, cut in enumerate((c for c in plan.cuts if c.sheet == n), 1):
        a, b = place(*cut.start), place(*cut.end)
        out.append(Line(points=(a, b), layer="thin"))
        texts += _number(str(number), a, b, texts, cut.stage <= 1)
    size = (max(wide + 12.0, told), -y + high + 5.0)
    view = ViewPlacement(name=f"sheet {thickness:g} {n + 1}", at=at, scale=scale, box=(0.0, -size[1], size[0], 0.0))
    return Cell(mark="", size=size, view=view, primitives=(*out, *texts))


def _name(p: Placement, place: Callable[[float, float], Point2], scale: float, words: Words) -> list[Text]:
    """Mark and size of a part, as much as fits."""
    (x0, y0), (x1, y1) = place(p.x, p.y), place(p.x + p.length, p.y + p.width)
    long, short = (p.width, p.length) if p.turned else (p.length, p.width)
    if p.outline:
        # A slanted part has its room about the middle of its outline.
        cx, cy = (sum(q[k] for q in p.outline) / len(p.outline) for k in (0, 1))
        mid, half = place(cx, cy), (0.3 * p.length * scale, 0.3 * p.width * scale)
        box = (mid[0] - half[0], mid[1] - half[1], mid[0] + half[0], mid[1] + half[1])
    else:
        box = (x0, y0, x1, y1)
    return _fitted(f"{p.mark}  {words(long)} × {words(short)}", p.mark, box)


def _fitted(full: str, brief: str, box: tuple[float, float, float, float]) -> list[Text]:
    x0, y0, x1, y1 = box
    mid = ((x0 + x1) / 2, (y0 + y1) / 2)
    for text in (full, brief):
        for height in (2.5, 2.0, 1.6):
            wide = text_width(text, height) + 1.6
            for level, (a, b) in ((True, (x1 - x0, y1 - y0)), (False, (y1 - y0, x1 - x0))):
                if wide <= a and height + 1.2 <= b:
                    at = (mid[0], mid[1] - height / 2) if level else (mid[0] + height / 2, mid[1])
                    return [Text(at=at, text=text, height=height, align="centre", angle=0.0 if level else math.pi / 2)]
    return [Text(at=(mid[0], mid[1] - 0.8), text=brief, height=1.6, align="centre")]


def _number(text: str, a: Point2, b: Point2, taken: Sequence[Text], outside: bool) -> list[Text]:
    """The number of a cut: past one of its ends, else beside it where it touches nothing."""
    upright = abs(a[0] - b[0]) < 1e-6
    half = text_width(text, 1.8) / 2
    spots: list[Point2] = []
    if outside:
        spots += [(a[0], max(a[1], b[1]) + 2.2), (a[0], min(a[1], b[1]) - 4.0)] if upright else [
            (min(a[0], b[0]) - half - 2.2, a[1] - 0.9), (max(a[0], b[0]) + half + 2.2, a[1] - 0.9)]  # fmt: skip
    for share in (0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95):
        x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
        spots += [(x + half + 1.1, y - 0.9), (x - half - 1.1, y - 0.9)] if upright else [(x, y + 0.6), (x, y - 2.4)]
    boxes = [text_box(t) for t in taken]
    for spot in spots:
        trial = Text(at=spot, text=text, height=1.8, align="centre")
        if not any(meet(text_box(trial), k) for k in boxes):
            return [trial]
    return []


def _lists(stand: Stand, thickness: float, plan: SheetPlan, n: int, paper: str) -> list[Cell]:
    """The cuts in order with where they lie; of parts laid freely their corners."""
    words = length_words(stand)
    sheet = f"{words(thickness)} thick" + (f", sheet {n + 1}" if len(plan.sheets) > 1 else "")
    rows: list[tuple[str, ...]]
    if plan.mode == "guillotine":
        title, heads = f"Cuts in order, {sheet}", ("Cut", "Way", "Middle at", "From", "To")
        cuts = [c for c in plan.cuts if c.sheet == n]
        rows = [(str(k), *cut_words(c, words)) for k, c in enumerate(cuts, 1)]
    else:
        title, heads = f"Parts, {sheet}", ("Part", "Turned", "Left at", "Below at", "")
        own = sorted((p for p in plan.placements if p.sheet == n), key=lambda p: (p.x, p.y))
        rows = [(p.mark, f"{p.turn}°" if p.turn else "–", words(p.x), words(p.y), "") for p in own]
    most = LIST_ROWS_SMALL if paper in SMALL else LIST_ROWS
    out = []
    for first in range(0, len(rows), most):
        drawn: list[Primitive] = [Text(at=(0.0, -3.0), text=title + (" (more)" if first else ""), height=2.5, bold=True)]
        y = -8.0
        for row, bold in ((heads, True), *((r, False) for r in rows[first : first + most])):
            drawn += [
                Text(at=(x, y), text=cell, height=SIZE, bold=bold) for x, cell in zip(COLUMNS, row, strict=True) if cell
            ]
            drawn.append(Line(points=((0.0, y - 0.9), (LIST_WIDE, y - 0.9)), layer="visible" if bold else "thin"))
            y -= ROW
        out.append(Cell(mark="", size=(LIST_WIDE, -y), view=None, primitives=tuple(drawn)))
    return out


def _caution_cell(stand: Stand) -> Cell:
    masses = [sheet_mass(stand, t, plan, n) for t, plan in stand.shop.nests for n in range(len(plan.sheets))]
    heavy = max(masses)
    free = any(plan.mode == "free" for _, plan in stand.shop.nests)
    rows = [
        "Mark out the whole sheet first, from its lower left corner as drawn. "
        + ("Keep the cut outside the lines of each part." if free else
           "Cut in the order of the numbers; a line is the middle of its cut, which may be as wide as the gap."),
        "Shapes are cut from their rectangle afterwards, corners of folded sheets too: see the plates.",
        "Sheet edges are sharp: gloves, sleeves and stout shoes; take the edge off every part at once. Hold narrow strips with "
        "clamps, never by hand.",
    ]  # fmt: skip
    if heavy > ALONE:
        who = ("two people" if heavy <= PAIR else
               "too heavy for two people: by hoist or on a trolley, or have it cut smaller where it is bought")
        rows.append(f"A whole sheet is up to {mass_words(stand, heavy)}: {who}; upright, never in wind; lean it so "
                    "that it cannot slide or fall.")  # fmt: skip
    lines = ["How to cut them"]
    for k, row in enumerate(rows, 1):
        lines += wrap(f"{k}  {row}", 125.0, 2.5)
    drawn, told, y = written(tuple(lines))
    return Cell(mark="", size=(told, 2.0 - y), view=None, primitives=tuple(drawn))
