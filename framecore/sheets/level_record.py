"""The record to fill in at the machine: where the screws and stations are, three steps, tables with room to write."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from framecore.catalogue import thread as find_thread
from framecore.figures.words import quantity
from framecore.seat.influence import FOOT, KIND_OF_SEATING
from framecore.seat.jacking import SHIMS, rise
from framecore.seat.level import LEVEL_ENOUGH
from framecore.seat.record_sheet import moved_thread, moved_words, readings_heads
from framecore.sheets.flow import Flow, wrap
from framecore.sheets.model import Arc, Line, Primitive, Text, ViewPlacement
from framecore.sheets.paper import (
    SMALL,
    TITLE_HEIGHT,
    TITLE_WIDTH,
    Draft,
    choose_scale,
    drawing_space,
    rectangle,
)
from framecore.sheets.pens import text_width
from framecore.stand.model import Stand
from framecore.units import INCH

EDGE, GUTTER = 6.0, 9.0
WRITE = 9.0  # mm high: room for a hand with a pencil
SIZE = 2.5
ROUNDS, ROUNDS_SMALL = 5, 4
FIRST = 17.0  # mm, the column of the round
STATIONS = ("left", "right")
TICK = 4.5
PLAN_HIGH, PLAN_SMALL = 112.0, 60.0  # mm that the plan may be high
MARK = 1.7  # radius of a screw on the plan, mm
Box = tuple[str, float]  # label and share of the width


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the record; none where nothing on the stand is set level."""
    names, points = screws_of(stand)
    if not names:
        return ()
    flow, views = Flow(_columns(paper)), []
    brief = stand.brief
    rounds = [str(k) for k in range(1, 1 + (ROUNDS_SMALL if paper in SMALL else ROUNDS))]
    unit = quantity(1.0, "mm/m", brief.units).rsplit(" ", 1)[-1]
    flow.heading("Levelling record", keep=30.0)
    flow.line(brief.machine.name or brief.title, SIZE)
    _boxes(flow, (("Date", 1.0), ("Temperature", 1.0), ("By", 1.2)))
    since = "Machine warm since" if "mount.torque" in stand.figures else "Loaded since"
    _boxes(flow, (("Level: 1 division", 1.0), ("+ means bubble to", 1.0), (since, 1.2)))
    flow.gap(2.0)
    views.append(_plan(stand, names, points, flow, PLAN_SMALL if paper in SMALL else PLAN_HIGH))
    _rise(stand, flow)
    _steps(stand, names, flow)
    if flow.column == 0:
        flow.next_column()
    high = WRITE * (len(rounds) + 1) + 4.0
    if stand.strength is not None and stand.strength.bed is not None:
        flow.heading(f"Readings of the twist, {unit}", keep=high)
        _table(flow, readings_heads(STATIONS), rounds)
    called = "mm" if stand.brief.units == "metric" else "in"
    flow.heading(f"Moved: {called} or flats, + raises the machine", keep=high)
    _table(flow, ("Round", *names), rounds)
    _after(stand, flow)
    title = "levelling record"
    out = []
    for n, page in enumerate(flow.pages, 1):
        seen = tuple(v for v, on in views if on == n)
        out.append(
            Draft(title=title if len(flow.pages) == 1 else f"{title} {n}", kind="Record", primitives=tuple(page), views=seen,
                  scale_text=f"1:{round(1 / seen[0].scale)}" if seen else "")
        )  # fmt: skip
    return tuple(out)


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


def _plan(
    stand: Stand, names: Sequence[str], points: Sequence[tuple[float, float]], flow: Flow, high: float
) -> tuple[ViewPlacement, int]:
    """The stand from above with the machine, what is turned, and where the level is laid; also its page."""
    frame, brief = stand.frame, stand.brief
    boxes = _machine(stand)
    xs = [-frame.length / 2, frame.length / 2, *(p[0] for p in points), *(b[k] for b in boxes for k in (0, 2))]
    ys = [-frame.depth / 2, frame.depth / 2, *(p[1] for p in points), *(b[k] for b in boxes for k in (1, 3))]
    inch = brief.units != "metric"
    over, under = 15.0, 14.0
    n = choose_scale(max((max(xs) - min(xs)) / (flow.width - 24.0), (max(ys) - min(ys)) / (high - over - under)), inch)
    s, middle = 1 / n, ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
    tall = (max(ys) - min(ys)) * s
    at: list[tuple[float, float]] = []

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        ox, oy = x + wide / 2 - middle[0] * s, y - over - tall / 2 - middle[1] * s
        at.append((ox, oy))

        def to(px: float, py: float) -> tuple[float, float]:
            return ox + px * s, oy + py * s

        def box(b: tuple[float, float, float, float], layer: str) -> Line:
            (x0, y0), (x1, y1) = to(b[0], b[1]), to(b[2], b[3])
            return rectangle((x0, y0, x1, y1), layer)

        half = (frame.length / 2, frame.depth / 2)
        out: list[Primitive] = [box((-half[0], -half[1], half[0], half[1]), "visible"), *(box(b, "thin") for b in boxes)]
        out.append(Text(at=(x, y - 4.0), text=f"From above, 1:{n}; the operator stands at the front", height=SIZE))
        for px, py in points:
            cx, cy = to(px, py)
            out.append(Arc(centre=(cx, cy), radius=MARK))
            out += [Line(points=((cx - 1.4 * MARK, cy), (cx + 1.4 * MARK, cy)), layer="thin"),
                    Line(points=((cx, cy - 1.4 * MARK), (cx, cy + 1.4 * MARK)), layer="thin")]  # fmt: skip
        edges = [*((to(b[0], b[1]), to(b[2], b[3])) for b in (*boxes, (-half[0], -half[1], half[0], half[1])))]
        edges += [(to(sx, min(ys) - 99.0), to(sx, max(ys) + 99.0)) for _, sx in _stations(stand)]
        out += _names(names, [to(*p) for p in points], edges)
        low = y - over - tall - 3.5
        for word, sx in _stations(stand):
            top, foot = to(sx, max(ys)), to(sx, min(ys))
            out.append(Line(points=((top[0], top[1] + 2.0), (foot[0], low - 3.0)), layer="centre"))
            side = "right" if word == STATIONS[0] else "left"
            out.append(Text(at=(foot[0], low - 6.5), text=f"station {word}", height=SIZE, align=side))
        return tuple(out)

    flow.put(over + tall + under, draw)
    (ox, oy), (left, _, wide, _) = at[0], flow.columns[flow.column]
    view = ViewPlacement(name="plan", at=(ox, oy), scale=s, box=(left, flow.y, left + wide, flow.y + over + tall + under))
    return view, len(flow.pages)


Corners = tuple[tuple[float, float], tuple[float, float]]
Room = tuple[float, float, float, float]


def _names(names: Sequence[str], places: Sequence[tuple[float, float]], edges: Sequence[Corners]) -> list[Primitive]:
    """Each name beside its screw, where it meets no other and the fewest ``edges`` of rectangles run through it."""
    middle = sum(p[0] for p in places) / len(places)
    r = 1.4 * MARK
    taken = [(x - r, y - r, x + r, y + r) for x, y in places]
    out: list[Primitive] = []
    for name, (x, y) in zip(names, places, strict=True):
        wide = text_width(name, SIZE)
        sides = [x - wide - r - 0.8, x + r + 0.8]
        sides = sides if x < middle else sides[::-1]
        above, below = y + r + 1.0, y - r - 1.0 - SIZE
        tries = [(sides[0], y - SIZE / 2), (x - wide / 2, below), (x - wide / 2, above), (sides[1], y - SIZE / 2)]
        tries += [(side, level) for side in sides for level in (above, below)]
        rooms = [(a, b - 0.6, a + wide, b + SIZE) for a, b in tries]
        free = [q for q in rooms if not any(_meet(q, t) for t in taken)] or rooms[:1]
        room = min(free, key=lambda q: _crossed(q, edges))
        taken.append(room)
        out.append(Text(at=(room[0], room[1] + 0.6), text=name, height=SIZE))
    return out


def _meet(a: Room, b: Room) -> bool:
    return a[0] < b[2] + 0.3 and b[0] < a[2] + 0.3 and a[1] < b[3] + 0.3 and b[1] < a[3] + 0.3


def _crossed(room: Room, edges: Sequence[Corners]) -> int:
    """How many sides of the rectangles run through a room."""
    sides = [(x, y0, x, y1) for (x0, y0), (x1, y1) in edges for x in (x0, x1)]
    sides += [(x0, y, x1, y) for (x0, y0), (x1, y1) in edges for y in (y0, y1)]
    return sum(_meet(room, side) for side in sides)


def _stations(stand: Stand) -> list[tuple[str, float]]:
    """Where the level is laid across the bed: over the end rows of the machine's feet."""
    if stand.strength is None or stand.strength.bed is None:
        return []
    xs = [m.point[0] for m in stand.frame.mounts]
    return [(STATIONS[0], min(xs)), (STATIONS[1], max(xs))]


def _machine(stand: Stand) -> list[tuple[float, float, float, float]]:
    """The machine's boxes from above, on the stand."""
    machine, mounts = stand.brief.machine, stand.frame.mounts
    if not mounts or not machine.holes or not machine.outline:
        return []
    dx, dy = mounts[0].point[0] - machine.holes[0][0], mounts[0].point[1] - machine.holes[0][1]
    return [(b.at[0] + dx, b.at[1] + dy, b.at[0] + b.size[0] + dx, b.at[1] + b.size[1] + dy) for b in machine.outline]


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
    flow.line(f"2  Level enough: within {quantity(LEVEL_ENOUGH, 'mm/m', units)}. What was left:", SIZE)
    _boxes(flow, (("across", 1.0), ("along", 1.0)), WRITE)
    flow.gap(1.5)
    if stand.strength is not None and stand.strength.bed is not None:
        flow.line(
            "3  Twist: the level on the ways across the bed at each station, as laid and turned end for end; twist is the "
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
    first = "Twist, bolts tight" if torque is not None else "Level under its load"
    _boxes(flow, ((first, 1.0), ("after a week", 1.0), ("Signature", 1.2)))
