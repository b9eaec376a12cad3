"""The plan of the levelling record: the stand from above with the machine, what is turned, and where the level is laid."""

from __future__ import annotations

from collections.abc import Sequence

from framecore.frame.machine import machine_datum
from framecore.seat.record_sheet import has_ways
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import choose_scale, rectangle
from framecore.sheets.seat.tiles import clip
from framecore.stand.model import Stand

SIZE = 2.5
STATIONS = ("left", "right")
MARK = 1.7  # radius of a screw on the plan, mm
Room = tuple[float, float, float, float]


def twists(stand: Stand) -> bool:
    """Return whether a twist of the bed is read."""
    return has_ways(stand.brief) and stand.strength is not None and stand.strength.bed is not None


def plan(
    stand: Stand, names: Sequence[str], points: Sequence[tuple[float, float]], flow: Flow, high: float
) -> tuple[ViewPlacement, int]:
    """The stand from above with the machine, what is turned, and where the level is laid; also its page."""
    brief, boxes = stand.brief, _machine(stand)
    rim = _outline(stand)
    xs = [*(p[0] for p in (*rim, *points)), *(b[k] for b in boxes for k in (0, 2))]
    ys = [*(p[1] for p in (*rim, *points)), *(b[k] for b in boxes for k in (1, 3))]
    inch = brief.units != "metric"
    over, under = 15.0, 14.0
    beside = 2 * (max(text_width(t, SIZE) for t in names) + 2.0 * MARK)
    n = choose_scale(max((max(xs) - min(xs)) / (flow.width - beside), (max(ys) - min(ys)) / (high - over - under)), inch)
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

        edge = tuple(to(*p) for p in rim)
        out: list[Primitive] = [Line(points=edge, closed=True), *(box(b, "thin") for b in boxes)]
        out.append(Text(at=(x, y - 4.0), text=f"From above, 1:{n}; the operator stands at the front", height=SIZE))
        for px, py in points:
            cx, cy = to(px, py)
            out.append(Arc(centre=(cx, cy), radius=MARK))
            out += [Line(points=((cx - 1.4 * MARK, cy), (cx + 1.4 * MARK, cy)), layer="thin"),
                    Line(points=((cx, cy - 1.4 * MARK), (cx, cy + 1.4 * MARK)), layer="thin")]  # fmt: skip
        rings = [edge, *((to(a, b), to(c, b), to(c, d), to(a, d)) for a, b, c, d in boxes)]
        edges = [side for ring in rings for side in zip(ring, (*ring[1:], ring[0]), strict=True)]
        edges += [(to(sx, min(ys) - 99.0), to(sx, max(ys) + 99.0)) for _, sx in _stations(stand)]
        out += _names(names, [to(*p) for p in points], edges, (x, x + wide))
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




def _outline(stand: Stand) -> tuple[Point2, ...]:
    """The stand from above: its rectangle, or what a tripod's feet span."""
    frame = stand.frame
    if len(frame.feet) == 3:
        return tuple((f.base[0], f.base[1]) for f in frame.feet)
    x, y = frame.length / 2, frame.depth / 2
    return (-x, -y), (x, -y), (x, y), (-x, y)


def _names(
    names: Sequence[str], places: Sequence[Point2], edges: Sequence[tuple[Point2, Point2]], between: tuple[float, float]
) -> list[Primitive]:
    """Each name beside its screw, where it meets no other and the fewest ``edges`` run through it."""
    middle = sum(p[0] for p in places) / len(places)
    r = 1.4 * MARK
    taken = [(x - r, y - r, x + r, y + r) for x, y in places]
    out: list[Primitive] = []
    for name, (x, y) in zip(names, places, strict=True):
        wide = text_width(name, SIZE)
        tries = []
        for off in (0.8, 2.0, 3.2, 4.4):
            sides = [x - wide - r - off, x + r + off]
            sides = sides if x < middle else sides[::-1]
            above, below = y + r + off + 0.2, y - r - off - 0.2 - SIZE
            tries += [(sides[0], y - SIZE / 2), (x - wide / 2, below), (x - wide / 2, above), (sides[1], y - SIZE / 2)]
            tries += [(side, level) for side in (*sides, x - 0.25 * wide, x - 0.75 * wide) for level in (above, below)]
        rooms = [(a, b - 0.6, a + wide, b + SIZE) for a, b in tries if between[0] <= a and a + wide <= between[1]]
        free = [q for q in rooms if not any(_meet(q, t) for t in taken)] or rooms[:1]
        room = min(free, key=lambda q: _crossed(q, edges))
        taken.append(room)
        out.append(Text(at=(room[0], room[1] + 0.6), text=name, height=SIZE))
    return out


def _meet(a: Room, b: Room) -> bool:
    return a[0] < b[2] + 0.3 and b[0] < a[2] + 0.3 and a[1] < b[3] + 0.3 and b[1] < a[3] + 0.3


def _crossed(room: Room, edges: Sequence[tuple[Point2, Point2]]) -> int:
    """How many edges run through a room or nearer to it than a pen is wide."""
    wider = (room[0] - 0.5, room[1] - 0.5, room[2] + 0.5, room[3] + 0.5)
    return sum(clip(p, q, wider) is not None for p, q in edges)


def _stations(stand: Stand) -> list[tuple[str, float]]:
    """Where the level is laid across the bed: over the end rows of the machine's feet."""
    if not twists(stand):
        return []
    xs = [m.point[0] for m in stand.frame.mounts]
    return [(STATIONS[0], min(xs)), (STATIONS[1], max(xs))]


def _machine(stand: Stand) -> list[tuple[float, float, float, float]]:
    """The machine's boxes from above, on the stand."""
    dx, dy, _ = machine_datum(stand.brief, 0.0)
    boxes = stand.brief.machine.outline if stand.frame.mounts else ()
    return [(b.at[0] + dx, b.at[1] + dy, b.at[0] + b.size[0] + dx, b.at[1] + b.size[1] + dy) for b in boxes]
