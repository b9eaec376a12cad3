"""Each turned part with its sizes and words in a room of its own, ready to be set on a page."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from framecore.catalogue.bolts import class_words
from framecore.seat.hardware import INCH
from framecore.seat.turned import Boss, Disc, JackScrew, SeatParts, ShimPart, SleevePart
from framecore.sheets.drawing import turning
from framecore.sheets.drawing.dims import Span, lanes_needed, overhang, stack
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Arc, Leader, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import ARROW, text_width
from framecore.sheets.drawing.turning import Onto, axis
from framecore.sheets.parts.part import drill_words

Words = Callable[[float], str]
Draw = Callable[[Onto], list[Primitive]]
End = Callable[[Point2, float], list[Primitive]]
TITLE, ROW, CALL = 3.5, 4.2, 5.0
APART = 10.0  # between the view along the axis and the end view, mm
TEXT_ROOM = 84.0  # width that the words of a part are broken to, mm
SIDE = 3.0  # kept free on both sides, for centre lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip:
    """Words at a place of the part, in its own millimetres."""

    at: Point2
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A part along its axis: ``length``, ``wide`` across, drawn by ``along`` and ``end``.

    ``lengths``: (from, to) of each size along it; ``across``: (size, word) in the end view; ``tips`` words at places.
    ``words``: lines under the title; ``corners`` how much wider the end view is than ``wide``.
    """

    mark: str
    name: str
    count: int
    length: float
    wide: float
    along: Draw
    end: End
    lengths: tuple[tuple[float, float], ...]
    across: tuple[tuple[float, str], ...]
    tips: tuple[Tip, ...]
    words: tuple[str, ...]
    corners: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A drawn part: ``draw`` puts it with its upper left corner at a place; ``size`` it takes, mm."""

    mark: str
    size: Point2
    scale: float
    draw: Callable[[Point2], tuple[ViewPlacement, list[Primitive]]]


def exact_words(units: str) -> Words:
    """Return how a size is written that is turned or bored: hundredths of a mm; a true fraction or thousandths of an inch."""

    def words(mm: float) -> str:
        if units == "metric":
            return f"{round(mm, 2):g}"
        steps = round(mm / INCH * 64)
        if units == "inch" and steps and abs(steps * INCH / 64 - mm) < 0.005:
            whole, part = divmod(Fraction(steps, 64), 1)
            return " ".join([str(whole)] * bool(whole) + [str(part)] * bool(part))
        return f"{mm / INCH:.3f}".rstrip("0").rstrip(".")

    return words


def scale_words(s: float) -> str:
    """Return "2:1", "1:1", "1:2"."""
    return f"{s:g}:1" if s >= 1 else f"1:{1 / s:g}"


def cell_of(shape: Shape, s: float, words: Words, flip: bool) -> Cell:
    """Return a part with its words at scale ``s``; ``flip`` turns the end that is seen to the left."""
    to = Onto(at=(0.0, 0.0), s=s, length=shape.length if flip else 0.0)
    calls = sorted(shape.tips, key=lambda t: -to(*t.at)[0])
    facts = (f"{shape.count} off, scale {scale_words(s)}", *shape.words)
    rows = [row for fact in facts for row in wrap(fact, TEXT_ROOM, 2.5)]
    head = TITLE + 3.0 + ROW * len(rows) + 1.5
    wide, high = shape.length * s, shape.wide * s
    names = _named(shape, words)
    lift = max([0.0, *(_above(v * s, names(v)) - high / 2 for v, _ in shape.across)])
    over = lift + CALL * len(calls) + (4.0 if calls else 2.0)
    below = _lengths(shape, to, -high / 2)
    left, right_of = overhang(below, words, 0.0, wide)
    left = max(left, SIDE)
    centre = wide + max(APART, right_of + 3.0) + _radius(shape) * s
    spans = _across(shape, centre, s)
    reach = centre + _radius(shape) * s + (lanes_needed(spans, "right", names) if spans else SIDE)
    texts = [left + to(*t.at)[0] + 5.0 + text_width(t.text, 2.5) for t in calls]
    title = f"{shape.mark}   {shape.name}"
    total = max([left + reach, *texts, *(text_width(r, 2.5) for r in rows), text_width(title, TITLE, True)])
    size = (total, head + over + high + lanes_needed(below, "below", words) + 2.0)

    def draw(at: Point2) -> tuple[ViewPlacement, list[Primitive]]:
        x, y = at
        out: list[Primitive] = [Text(at=(x, y - TITLE), text=title, height=TITLE, bold=True)]
        for k, row in enumerate(rows):
            out.append(Text(at=(x, y - TITLE - 3.0 - 2.5 - ROW * k), text=row, height=2.5))
        middle = y - head - over - high / 2
        onto = Onto(at=(x + left, middle), s=s, length=to.length)
        out += shape.along(onto)
        hub = (x + left + centre, middle)
        out += shape.end(hub, s)
        out += stack(_lengths(shape, onto, middle - high / 2), "below", middle - high / 2, words)
        placed = [Span((hub[0], hub[1] - v / 2 * s), (hub[0], hub[1] + v / 2 * s), v) for v, _ in shape.across]
        out += stack(placed, "right", hub[0] + _radius(shape) * s, names)
        for k, tip in enumerate(calls):
            point, row_y = onto(*tip.at), middle + high / 2 + lift + 5.0 + CALL * k
            elbow = (point[0] + 1.5, row_y)
            out.append(Leader(points=(point, elbow, (elbow[0] + 1.5, row_y)), text=tip.text, height=2.5))
        return ViewPlacement(name=shape.mark, at=onto.at, scale=s, box=(x, y - size[1], x + size[0], y)), out

    return Cell(mark=shape.mark, size=size, scale=s, draw=draw)


def _above(long: float, text: str) -> float:
    """How far above the axis a size across reaches: its words stand over the arrows where they do not fit between."""
    wide = text_width(text, 2.5)
    return 0.0 if wide + 1.0 <= long else long / 2 + 2 * ARROW + 0.8 + wide


def _radius(shape: Shape) -> float:
    """Half the end view's width: over the corners of a hexagon."""
    return shape.wide / 2 * shape.corners


def _lengths(shape: Shape, to: Onto, low: float) -> list[Span]:
    out = []
    for a, b in shape.lengths:
        x = sorted((to(a, 0.0)[0], to(b, 0.0)[0]))
        out.append(Span((x[0], low), (x[1], low), abs(b - a)))
    return out


def _across(shape: Shape, x: float, s: float) -> list[Span]:
    return [Span((x, -v / 2 * s), (x, v / 2 * s), v) for v, _ in shape.across]


def _named(shape: Shape, words: Words) -> Words:
    names = {round(v, 6): w for v, w in shape.across}
    return lambda v: names[round(v, 6)].replace("#", words(v))


def shapes_of(parts: SeatParts, words: Words, marks: dict[str, str]) -> tuple[Shape, ...]:
    """Return the parts that are turned or bored in the shop."""
    out = []
    if parts.screw is not None:
        out.append((_hollow if parts.screw.hollow else _solid)(parts.screw, parts, words, marks["screw"]))
    if parts.disc is not None:
        out.append(_disc(parts.disc, words, marks["disc"]))
    out += [_sleeve(q, words, marks[f"sleeve {k}"]) for k, q in enumerate(parts.sleeves)]
    if parts.boss is not None:
        out.append(_boss(parts.boss, words, marks["boss"]))
    return tuple(out)


def _solid(q: JackScrew, parts: SeatParts, words: Words, mark: str) -> Shape:
    d = q.thread.diameter
    free = q.standing - (parts.lock_nut.size.height if parts.lock_nut else 0.0)
    return Shape(
        mark=mark, name=f"jacking screw {q.thread.id}", count=q.count, length=q.length, wide=d,
        along=lambda to: turning.solid_screw(q, to), end=lambda c, s: turning.solid_end(q, c, s),
        lengths=((q.length - q.flats, q.length), (0.0, q.length)), across=((q.across_flats, "#"),),
        tips=(
            Tip(at=(q.length * 0.3, d / 2), text=f"{q.thread.id}, full length"),
            Tip(at=(q.chamfer / 2, (q.end / 2 + d / 2) / 2), text=f"{words(q.chamfer)} × 45° both ends, end ø{words(q.end)}"),
            Tip(at=(q.length - q.flats / 2, q.across_flats / 2), text=f"two flats, {words(q.across_flats)} across"),
            Tip(at=(q.length, q.across_flats / 4), text="flat and square, bears on the foot"),
        ),
        words=(
            f"From set screw {q.thread.id} × {words(q.blank_length)}, {q.blank_head.standard}, {class_words(q.bolt_class)}: "
            "saw off the head, face both ends, file two flats.",
            f"At the middle setting {words(free)} stand free over the lock nut: take a spanner no thicker than that.",
        ),
    )  # fmt: skip


def _hollow(q: JackScrew, parts: SeatParts, words: Words, mark: str) -> Shape:
    d, under = q.thread.diameter, q.length - q.head
    return Shape(
        mark=mark, name=f"hollow jacking screw {q.thread.id}", count=q.count, length=q.length, wide=q.across_flats,
        corners=2 / math.sqrt(3),
        along=lambda to: turning.hollow_screw(q, to), end=lambda c, s: turning.hollow_end(q, c, s),
        lengths=((under, q.length), (0.0, q.length)), across=((q.across_flats, "#"),),
        tips=(
            Tip(at=(q.length - q.head / 2, q.across_flats / 2), text=f"hexagon, {words(q.across_flats)} across flats"),
            Tip(at=(under * 0.55, d / 2), text=f"{q.thread.id}, up to the head"),
            Tip(at=(q.chamfer / 2, (q.end + d) / 4), text=f"{words(q.chamfer)} × 45°, end ø{words(q.end)}"),
            Tip(at=(under * 0.8, q.bore / 2), text=f"ø{words(q.bore)} through, up to {words(q.bore_over)} wider"),
        ),
        words=(
            f"From set screw {q.thread.id} × {words(q.blank_length)}, {q.blank_head.standard}, {class_words(q.bolt_class)}: "
            f"hold it in a split nut, face the head from {words(q.blank_head.height)} to {words(q.head)}, drill and bore it "
            "through in the lathe.",
            f"A wall of {words((q.thread.root_diameter - q.bore) / 2)} is left under the thread. Break the edges of the bore.",
        ),
    )  # fmt: skip


def _disc(q: Disc, words: Words, mark: str) -> Shape:
    return Shape(
        mark=mark, name="hardened disc", count=q.count, length=q.thickness, wide=q.diameter,
        along=lambda to: turning.ring(q.diameter, 0.0, q.thickness, to),
        end=lambda c, s: turning.ring_end(q.diameter, 0.0, c, s),
        lengths=((0.0, q.thickness),), across=((q.diameter, "ø#"),), tips=(),
        words=("Tool steel, hardened, faces flat; between the screw's end and the machine's foot.",),
    )  # fmt: skip


def _sleeve(q: SleevePart, words: Words, mark: str) -> Shape:
    return Shape(
        mark=mark, name="crush sleeve", count=q.count, length=q.length, wide=q.outside,
        along=lambda to: turning.ring(q.outside, q.bore, q.length, to),
        end=lambda c, s: turning.ring_end(q.outside, q.bore, c, s),
        lengths=((0.0, q.length),), across=((q.outside, "ø#"),),
        tips=(Tip(at=(q.length * 0.5, q.bore / 2), text=f"ø{words(q.bore)} through"),),
        words=(
            "Round steel tube or turned; ends faced square, no burrs. In from the tube's open end under the hole, held by "
            "a pin until the bolt comes.",
            f"Measure the tube inside: never longer, at most {words(0.2)} shorter.",
        ),
    )  # fmt: skip


def _boss(q: Boss, words: Words, mark: str) -> Shape:
    d = q.thread.diameter
    return Shape(
        mark=mark, name=f"boss {q.thread.id}", count=q.count, length=q.length, wide=q.outside,
        along=lambda to: turning.boss(q, to), end=lambda c, s: turning.boss_end(q, c, s),
        lengths=((0.0, q.length),), across=((q.outside, "ø#"),),
        tips=(
            Tip(at=(q.length * 0.6, q.tap_drill / 2), text=f"{q.thread.id} through, tap drill ø{drill_words(q.thread, words)}"),
            Tip(at=(0.0, (q.chamfer + d) / 4), text=f"chamfer ø{words(q.chamfer)} both ends"),
        ),
        words=("Steel bar that welds well. Weld it in, then run the tap through: the pad alone holds too little thread.",),
    )  # fmt: skip


def shim_cell(q: ShimPart, s: float, words: Words, mark: str) -> Cell:
    """Return the horseshoe shim on its flat with the list of its leaves."""
    side, slot, deep = q.side * s, q.slot * s, q.side / 2 * s
    pack = " + ".join(f"{t:g}" for t in q.leaves)
    lines = [
        f"{q.feet} packs, scale {scale_words(s)}", f"Thickest pack: {pack} mm. Steel, flat, no burrs; the thickest below.",
        *([f"Under the leaves one plate {words(q.packing)} thick of the same outline at every foot."] if q.packing else []),
    ]  # fmt: skip
    rows = [row for line in lines for row in wrap(line, TEXT_ROOM, 2.5)]
    head = TITLE + 3.0 + ROW * len(rows) + 1.5
    title = f"{mark}   horseshoe shim"

    def sizes(x: float, y: float) -> tuple[list[Span], list[Span]]:
        below = [Span((x + side / 2 - slot / 2, y), (x + side / 2 + slot / 2, y), q.slot), Span((x, y), (x + side, y), q.side)]
        beside = [
            Span((x + side, y), (x + side / 2, y + deep), q.side / 2), Span((x + side, y), (x + side, y + side), q.side),
        ]  # fmt: skip
        return below, beside

    below, beside = sizes(0.0, 0.0)
    left, over = overhang(below, words, 0.0, side)
    left = max(left, SIDE)
    wide = left + side + max(lanes_needed(beside, "right", words), over)
    size = (
        max([wide, text_width(title, TITLE, True), *(text_width(r, 2.5) for r in rows)]),
        head + 3.0 + side + lanes_needed(below, "below", words) + 2.0,
    )  # fmt: skip

    def draw(at: Point2) -> tuple[ViewPlacement, list[Primitive]]:
        x, y = at[0] + left, at[1] - head - 3.0 - side
        out: list[Primitive] = [Text(at=(at[0], at[1] - TITLE), text=title, height=TITLE, bold=True)]
        for k, row in enumerate(rows):
            out.append(Text(at=(at[0], at[1] - TITLE - 5.5 - ROW * k), text=row, height=2.5))
        a, b, top = x + side / 2 - slot / 2, x + side / 2 + slot / 2, y + deep
        corners = ((x, y), (x, y + side), (x + side, y + side), (x + side, y))
        out.append(Line(points=((a, top), (a, y), *corners, (b, y), (b, top))))
        out.append(Arc(centre=(x + side / 2, top), radius=slot / 2, start=0.0, end=math.pi))
        out.append(axis((x + side / 2, y), (x + side / 2, y + side)))
        out += [*stack(sizes(x, y)[0], "below", y, words), *stack(sizes(x, y)[1], "right", x + side, words)]
        box = (at[0], at[1] - size[1], at[0] + size[0], at[1])
        return ViewPlacement(name=mark, at=(x, y), scale=s, box=box), out

    return Cell(mark=mark, size=size, scale=s, draw=draw)


def best_scale(long: float, inch: bool, aim: float) -> float:
    """Return the largest standard scale at which ``long`` mm stay within ``aim``."""
    scales: Sequence[float] = (2.0, 1.0, 0.5, 0.25, 0.125) if inch else (2.0, 1.0, 0.5, 0.2, 0.1)
    return next((s for s in scales if long * s <= aim + 1e-9), scales[-1])
