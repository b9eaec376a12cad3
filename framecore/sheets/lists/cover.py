"""The first page: what it is, how it looks, what it answers, what is assumed, which sheet is where."""

from __future__ import annotations

from dataclasses import replace

from framecore.figures.model import Figure, Verdict
from framecore.figures.words import limit_words, quantity
from framecore.sheets.drawing.columns import EDGE, GUTTER, Column, columns, drafts, text_size
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.hidden import pictorial as three_quarter
from framecore.sheets.drawing.model import Line, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.drawing.signs import verdict_sign
from framecore.sheets.drawing.views import ink, look
from framecore.sheets.lists.assumed import assumed_keys, assumed_words
from framecore.sheets.lists.carrying import caution_block
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Box, Draft, drawing_space
from framecore.sheets.words import cautions, length_words, mass_words
from framecore.stand.model import Stand

# What is shown whatever its verdict, in this order.
HEADLINES = (
    "height.stand", "height.work_line", "mass.frame", "mass.total", "sway.stiffness_x", "sway.stiffness_y", "twist.stiffness",
    "modes.1", "bed.jack_share", "stability.worst", "steel.cost", "steel.mass",
)  # fmt: skip
LEAST_INDEX, LEAST_SMALL = 42.0, 80.0  # mm high, for the list of sheets
FEW = 20  # figures up to which they are written larger
BAD = {Verdict.STOP: 0, Verdict.LOOK: 1}


def key_figures(stand: Stand) -> list[Figure]:
    """Return every figure that is not good, the worst first, then the headline ones."""
    bad = sorted((f for f in stand.figures.values() if f.verdict in BAD), key=lambda f: BAD[f.verdict])
    rest = [stand.figures[k] for k in HEADLINES if k in stand.figures and stand.figures[k].verdict not in BAD]
    return [*bad, *rest]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the cover: one page on large paper, on small paper two where it needs them."""
    x0, y0, x1, y1 = drawing_space(paper)
    small, size = paper in SMALL, text_size(paper)
    wide = 118.0 if small else TITLE_WIDTH
    split, low = x1 - wide, y0 + TITLE_HEIGHT + 4.0
    left, right = x0 + EDGE, split - GUTTER
    head, y = _head(stand, (left, right), y1 - EDGE, small)
    # The picture takes what cautions and assumptions leave.
    floor = y - (y - y0) * (0.52 if small else 0.6)
    view, picture = _picture(stand, (left, floor, right, y))
    under = (left, low if small else y0 + EDGE, right - left, floor - 3.0)
    flow = Flow([(split + EDGE, low, x1 - 2 * EDGE - split, y1 - EDGE), *_halves(under, small)], later=columns(paper, 2))
    flow.pages[0] += [*head, *picture]
    _figures(stand, flow, size)
    # A list of every sheet needs more room than small paper leaves beside the figures: there it goes on the second page.
    index, on = (None, 0) if small else _index(flow)
    if flow.column == 0 and len(flow.pages) == 1:
        flow.next_column()
    for text, bold in cautions(stand):
        caution_block(flow, text, size, bold)
    _assumed(stand, flow, size)
    if index is None:
        while len(flow.pages) == 1 or flow.room() < LEAST_SMALL:
            flow.next_column()
        index, on = _index(flow)
    out = list(drafts(flow, "cover", "Cover"))
    out[0] = replace(out[0], title="cover", views=(view,))
    out[on] = replace(out[on], index=index)
    return tuple(out)


def _halves(under: Column, small: bool) -> list[Column]:
    """The room under the picture in one column on small paper, else in two."""
    x, low, wide, top = under
    if small:
        return [under]
    half = (wide - GUTTER) / 2
    return [(x, low, half, top), (x + half + GUTTER, low, half, top)]


def _head(stand: Stand, sides: tuple[float, float], top: float, small: bool) -> tuple[list[Primitive], float]:
    """The title, and in one line what the stand measures and carries; returns how far down they reach."""
    brief, frame, words = stand.brief, stand.frame, length_words(stand)
    wide, big, size = sides[1] - sides[0], 5.0 if small else 7.0, 2.5 if small else 3.5
    rows = wrap(brief.title, wide, big, True)
    if len(rows) > 2:
        rows = [rows[0], f"{rows[1][: max(len(rows[1]) - 2, 1)]}…"]
    out: list[Primitive] = []
    y = top
    for row in rows:
        y -= big
        out.append(Text(at=(sides[0], y), text=row, height=big, bold=True))
        y -= 0.6 * big
    sizes = " × ".join(words(v) for v in (frame.length, frame.depth, frame.seat))
    told = f"{sizes} to the seat (length × depth × height), {mass_words(stand, stand.solids.mass)}"
    if brief.machine.mass > 0.0:
        name = brief.machine.name or f"the {brief.machine.kind}"
        told += f"; carries {name}, {mass_words(stand, brief.machine.mass)}"
    for row in wrap(told, wide, size):
        y -= size
        out.append(Text(at=(sides[0], y), text=row, height=size))
        y -= 0.7 * size
    return out, y - 2.0


def _picture(stand: Stand, box: Box) -> tuple[ViewPlacement, list[Primitive]]:
    """The stand from three quarters, whole, as large as it goes into ``box``."""
    seen = look(stand, three_quarter())
    high = box[3] - box[1] - 6.0
    scale = max(min((box[2] - box[0] - 4.0) / seen.size[0], high / seen.size[1]), 0.01)
    middle = ((box[0] + box[2]) / 2, box[3] - 2.0 - high / 2)
    at = (
        middle[0] - (seen.box[0] + seen.box[2]) / 2 * scale,
        middle[1] - (seen.box[1] + seen.box[3]) / 2 * scale,
    )
    return ViewPlacement(name="cover", at=at, scale=scale, box=box), list(ink(seen, at, scale, hidden=False))


def _figures(stand: Stand, flow: Flow, size: float) -> None:
    """The key figures: what is not good first, each with its verdict in word and shape."""
    found = key_figures(stand)
    if not found:
        return
    if len(found) <= FEW and size > 2.0:
        size = 3.0
    flow.heading("Key figures", keep=20.0)
    for figure in found:
        _figure(stand, flow, figure, size)
    flow.gap(1.5)
    flow.line("Every figure with its working: see the workings at the end.", size)


def _figure(stand: Stand, flow: Flow, figure: Figure, size: float) -> None:
    units = stand.brief.units
    value = quantity(figure.value, figure.unit, units)
    bad = figure.verdict in BAD
    room = flow.width - size - 2.0 - _verdict(size) - text_width(value, size, bad) - 3.0
    rows = wrap(figure.label, room, size, bad)
    limit = limit_words(figure, units) if bad else ""
    more = [(row, size * 0.9) for row in wrap(f"good is {limit}", room, size)] if limit else []
    high = (len(rows) + len(more)) * size * 1.6 + 0.2 * size + 0.8

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        base = y - 1.35 * size
        out: list[Primitive] = list(verdict_sign(figure.verdict, (x, base), size))
        for k, row in enumerate([*rows, *(r for r, _ in more)]):
            out.append(Text(at=(x + size + 2.0, base - k * size * 1.6), text=row, height=size, bold=bad and k < len(rows)))
        end = x + wide - _verdict(size)
        out.append(Text(at=(end, base), text=value, height=size, align="right", bold=bad))
        out.append(Text(at=(end + 2.0, base), text=figure.verdict.value, height=size, bold=bad))
        out.append(Line(points=((x, y - high), (x + wide, y - high)), layer="thin"))
        return tuple(out)

    flow.put(high, draw)


def _verdict(size: float) -> float:
    """Room for the word of a verdict, the longest as it is said, mm."""
    return 2.0 + max(text_width(v.value, size, True) for v in Verdict)


def _index(flow: Flow) -> tuple[Box, int]:
    """Where the list of sheets goes: the rest of the column if that is enough, else the next one; and on which page."""
    if flow.room() < LEAST_INDEX:
        flow.next_column()
    flow.gap(5.0)
    x, low, wide, _ = flow.columns[flow.column]
    box = (x, low, x + wide, flow.y)
    flow.y = low
    return box, len(flow.pages) - 1


def _assumed(stand: Stand, flow: Flow, size: float) -> None:
    keys = assumed_keys(stand, key_figures(stand))
    if not keys:
        return
    _, low, _, top = flow.columns[flow.column]
    high = 6.0 + sum(len(wrap(assumed_words(stand, k), flow.width - 4.0, size)) for k in keys) * 1.75 * size
    if len(flow.pages) == 1 and flow.column + 1 < len(flow.columns) and flow.room() < high + 5.0 and high <= top - low:
        flow.next_column()  # the list stays whole, under its heading, beside the cautions
    flow.heading("Assumed, because it was not told", keep=12.0)
    for key in keys:
        flow.note(assumed_words(stand, key), size)
