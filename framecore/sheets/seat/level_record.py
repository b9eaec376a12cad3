"""The record to fill in at the machine: where the screws and stations are, three steps, tables with room to write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from framecore.catalogue import thread as find_thread
from framecore.figures.words import quantity
from framecore.seat.influence import FOOT, KIND_OF_SEATING
from framecore.seat.jacking import SHIMS, rise
from framecore.seat.level import LEVEL_ENOUGH
from framecore.seat.record_sheet import level_heads, level_ways, moved_thread, moved_words, readings_heads
from framecore.sheets.drawing.blocks import scale_of
from framecore.sheets.drawing.columns import drafts
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import (
    SMALL,
    TITLE_HEIGHT,
    TITLE_WIDTH,
    Draft,
    drawing_space,
    rectangle,
)
from framecore.sheets.seat.record_plan import SIZE, STATIONS, plan, twists
from framecore.stand.model import Stand
from framecore.units import INCH

EDGE, GUTTER = 6.0, 9.0
WRITE = 9.0  # mm high: room for a hand with a pencil
ROUNDS = (5, 4, 3, 2)
FIRST = 17.0  # mm, the column of the round
ON = {"lathe": "on the ways across the bed", "mill": "across the table, over its ways,"}
TICK = 4.5
PLAN_HIGH, PLAN_SMALL = 112.0, 60.0  # mm that the plan may be high
Box = tuple[str, float]  # label and share of the width


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the record; none where nothing on the stand is set level."""
    names, points = screws_of(stand)
    if not names:
        return ()
    # As many rounds as one page has room for; with less than two nothing is levelled.
    tries = (_filled(stand, names, points, paper, rounds) for rounds in ROUNDS)
    flow, views = next((t for t in tries if len(t[0].pages) == 1), None) or _filled(stand, names, points, paper, ROUNDS[1])
    out = []
    for n, draft in enumerate(drafts(flow, "levelling record", "Record"), 1):
        seen = tuple(v for v, on in views if on == n)
        out.append(replace(draft, views=seen, scale_text=scale_of(seen)))
    return tuple(out)


def _filled(
    stand: Stand, names: Sequence[str], points: Sequence[Point2], paper: str, count: int
) -> tuple[Flow, list[tuple[ViewPlacement, int]]]:
    """The record with room for ``count`` rounds, and its views with their pages."""
    flow, views = Flow(_columns(paper)), []
    brief = stand.brief
    rounds = [str(k) for k in range(1, count + 1)]
    unit = quantity(1.0, "mm/m", brief.units).rsplit(" ", 1)[-1]
    flow.heading("Levelling record", keep=30.0)
    flow.line(brief.machine.name or brief.title, SIZE)
    _boxes(flow, (("Date", 1.0), ("Temperature", 1.0), ("By", 1.2)))
    since = "Machine warm since" if "mount.torque" in stand.figures else "Loaded since"
    _boxes(flow, (("Level: 1 division", 1.0), ("+ means bubble to", 1.0), (since, 1.2)))
    flow.gap(2.0)
    # On small paper the plan is better large than its names long.
    short = [n.removeprefix("foot ") for n in names] if paper in SMALL else names
    views.append(plan(stand, short, points, flow, PLAN_SMALL if paper in SMALL else PLAN_HIGH))
    _rise(stand, flow)
    _steps(stand, names, flow)
    if flow.column == 0:
        flow.next_column()
    high = WRITE * (len(rounds) + 1) + 4.0
    ways = level_ways(brief)
    for pair in ways:
        flow.heading(f"Readings {'corner to corner' if pair is not ways[0] else 'of the level'}, {unit}", keep=high)
        _table(flow, level_heads(pair), rounds)
    if twists(stand):
        flow.heading(f"Readings of the twist, {unit}", keep=high)
        _table(flow, readings_heads(STATIONS), rounds)
    flow.heading(f"Moved: {'mm' if brief.units == 'metric' else 'in'} or flats, + raises the machine", keep=high)
    _table(flow, ("Round", *names), rounds)
    _after(stand, flow)
    return flow, views


def screws_of(stand: Stand) -> tuple[tuple[str, ...], tuple[tuple[float, float], ...]]:
    """Return the names and places, x and y in mm, of what is turned or shimmed to level the machine."""
    brief, frame = stand.brief, stand.frame
    if brief.machine.mass <= 0 and not frame.mounts:
        return (), ()
    if KIND_OF_SEATING[brief.mounting.seating] == FOOT or not frame.mounts:
        return tuple(f.name for f in frame.feet), tuple((f.base[0], f.base[1]) for f in frame.feet)
    return tuple(m.name for m in frame.mounts), tuple((m.point[0], m.point[1]) for m in frame.mounts)


def _columns(paper: str) -> list[tuple[float, float, float, float]]:
    x0, y0, x1, y1 = drawing_space(paper)
    x0, x1, y1 = x0 + EDGE, x1 - EDGE, y1 - EDGE
    low = y0 + TITLE_HEIGHT + 4.0
    if paper in SMALL:
        left = 0.44 * (x1 - x0)
        return [(x0, low, left, y1), (x0 + left + GUTTER, low, x1 - x0 - left - GUTTER, y1)]
    split = x1 + EDGE - TITLE_WIDTH - 14.0
    return [(x0, y0 + EDGE, split - GUTTER - x0, y1), (split, low, x1 - split, y1)]


def _boxes(flow: Flow, boxes: Sequence[Box], high: float = WRITE + 2.0) -> None:
    """A row of boxes to write in, each with a small label."""

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        total = sum(share for _, share in boxes)
        out: list[Primitive] = []
        for label, share in boxes:
            w = wide * share / total
            out += [rectangle((x, y - high, x + w, y)), Text(at=(x + 1.2, y - 3.3), text=_fit(label, w - 2.4), height=SIZE)]
            x += w
        return tuple(out)

    flow.put(high, draw)


def _fit(text: str, room: float) -> str:
    """The words, or as many of them as fit."""
    return wrap(text, room, SIZE)[0]


def _rise(stand: Stand, flow: Flow) -> None:
    """What a turn does."""
    brief = stand.brief
    flow.heading(f"Moved at each {moved_words(brief)}", keep=14.0)
    thread = moved_thread(brief)
    if not thread:
        flow.line("Leaves as sold: " + ", ".join(f"{t:g}" for t in SHIMS) + " mm.", SIZE)
        return
    pitch = find_thread(thread).pitch
    ways = (("one turn", 360.0), ("a flat (60°)", 60.0), ("10°", 10.0))
    inch = brief.units != "metric"
    amounts = [rise(pitch, d) / INCH if inch else rise(pitch, d) for _, d in ways]
    row = tuple(f"{a:.4f} in" if inch else f"{a:.3f} mm" for a in amounts)
    flow.table(tuple(w for w, _ in ways), (row,), "lll", SIZE)


def _steps(stand: Stand, names: Sequence[str], flow: Flow) -> None:
    units, limit = stand.brief.units, stand.brief.limits.bed_twist
    flow.heading("Three steps", keep=3 * WRITE)
    flow.line("1  All bear: none can be turned or pulled out by hand. Tick:", SIZE)
    _ticks(flow, names)
    enough = f"2  Level enough: within {quantity(LEVEL_ENOUGH, 'mm/m', units)}."
    if level_ways(stand.brief):
        alike = f"; corner to corner alike within {quantity(limit, 'mm/m', units)}" if len(level_ways(stand.brief)) > 1 else ""
        flow.line(f"{enough} As laid and turned end for end; the mean of both counts{alike}.", SIZE)
    else:
        flow.line(f"{enough} What was left:", SIZE, keep=WRITE)
        _boxes(flow, (("across", 1.0), ("along", 1.0)), WRITE)
        flow.gap(1.5)
    if twists(stand):
        flow.line(
            f"3  Twist: the level {ON[stand.brief.machine.kind]} at each station, as laid and turned end for end; twist is the "
            f"mean at the right less the mean at the left. Good within {quantity(limit, 'mm/m', units)}.", SIZE,
        )  # fmt: skip
    else:
        flow.line("3  Load it as it will be used, read again, and again after a day.", SIZE)


def _ticks(flow: Flow, names: Sequence[str]) -> None:
    """A square to tick for every name, as many in a row as fit."""
    step = max(text_width(n, SIZE) for n in names) + TICK + 7.0
    each = max(1, int((flow.width - 2.0) // step))
    rows = [names[k : k + each] for k in range(0, len(names), each)]

    def draw(x: float, y: float, _: float) -> tuple[Primitive, ...]:
        out: list[Primitive] = []
        for k, row in enumerate(rows):
            low = y - 1.5 - TICK - k * (TICK + 2.5)
            for n, name in enumerate(row):
                at = x + 4.0 + n * step
                out.append(rectangle((at, low, at + TICK, low + TICK)))
                out.append(Text(at=(at + TICK + 1.5, low + 1.0), text=name, height=SIZE))
        return tuple(out)

    flow.put(len(rows) * (TICK + 2.5) + 1.5, draw)


def _table(flow: Flow, heads: Sequence[str], firsts: Sequence[str]) -> None:
    """A ruled table: heads, then rows with only their first cell filled in."""

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        first = FIRST
        rest = (wide - first) / (len(heads) - 1)
        edges = [x, x + first, *(x + first + rest * k for k in range(1, len(heads)))]
        rows = [wrap(h, b - a - 1.6, SIZE, True) for h, (a, b) in zip(heads, pairwise(edges), strict=True)]
        head = max(len(r) for r in rows) * 3.8 + 2.4
        bottom = y - head - WRITE * len(firsts)
        out: list[Primitive] = [rectangle((x, bottom, x + wide, y), "visible")]
        for words, (a, b) in zip(rows, pairwise(edges), strict=True):
            for k, word in enumerate(words):
                at = ((a + b) / 2, y - 1.4 - SIZE - 3.8 * k)
                out.append(Text(at=at, text=word, height=SIZE, align="centre", bold=True))
        out += [Line(points=((e, y), (e, bottom)), layer="thin") for e in edges[1:-1]]
        for k, word in enumerate(firsts):
            row = y - head - WRITE * k
            out.append(Line(points=((x, row), (x + wide, row)), layer="thin" if k else "visible"))
            out.append(Text(at=(x + first / 2, row - WRITE / 2 - SIZE / 2), text=word, height=SIZE, align="centre"))
        return tuple(out)

    # The head may take more lines in a narrow column: ask what it comes to before it is put.
    wide = (flow.width - FIRST) / (len(heads) - 1)
    lines = max([len(wrap(heads[0], FIRST - 1.6, SIZE, True)), *(len(wrap(h, wide - 1.6, SIZE, True)) for h in heads[1:])])
    flow.put(lines * 3.8 + 2.4 + WRITE * len(firsts), draw)


def _after(stand: Stand, flow: Flow) -> None:
    """Turning test, bolts, signature."""
    if stand.brief.machine.kind == "lathe":
        flow.heading("Turning test, no tailstock", keep=2 * WRITE + 4.0)
        _boxes(flow, (("ø at the chuck", 1.0), ("ø at the free end", 1.0), ("between collars", 1.0)))
        _boxes(flow, (("Jaws to free collar", 1.0), ("bar", 1.0), ("cut", 1.0)))
    torque = stand.figures.get("mount.torque")
    flow.heading("Afterwards", keep=2 * WRITE + 4.0)
    if torque is not None:
        words = quantity(torque.value, torque.unit, stand.brief.units)
        flow.line(f"Holding-down bolts: up to {words}; held on screws or shims, half is plenty.", SIZE)
    # What lies unscrewed has no bolts that could twist it.
    first = f"{'Twist' if twists(stand) else 'Level'}, bolts tight" if torque is not None else "Level under its load"
    _boxes(flow, ((first, 1.0), ("after a week", 1.0), ("Signature", 1.2)))
