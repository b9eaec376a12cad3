"""The sheet for the saw: what is cut, and every bar to scale with its cuts in the order they are made."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from framecore.cutting.model import FLUSH, CutBar, CutPlan
from framecore.sheets.drawing.columns import TICK, columns, drafts, text_size
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Line, Primitive, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import Draft, rectangle
from framecore.sheets.words import length_words, mass_unit
from framecore.shop.buying import Parted, long_bars
from framecore.stand.model import Stand

BAR = 6.0  # mm high on paper
DASHES = 3  # of a merchant's cut
HATCH = 2.4  # mm from stroke to stroke over what is left
ALIKE = 0.05  # mm; lengths nearer than this share a stop
SAW_NOTE = "Saw to: what the stop is set to. Welds shrink and take the piece back to its finished length"
WOOD = "wood: bought, see the order"
ABOUT_NOTE = "A ~ before a length: rounded to the nearest 1/32."
Words = Callable[[float], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the saw's stop: cuts ``first`` to ``last`` of a bar at ``stop`` mm, and the marks that fall."""

    first: int
    last: int
    stop: float
    marks: tuple[str, ...]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the cut list and the cut plan."""
    flow, size = Flow(columns(paper)), text_size(paper)
    _pieces(stand, flow, size)
    _plates(stand, flow, size)
    _plans(stand, flow, size)
    return drafts(flow, "cut list and cut plan", "Parts list")


def settings(bar: CutBar) -> tuple[Setting, ...]:
    """Return the stops of one bar in the order it is sawn; cut 1 takes the mill end off where there is one."""
    number = 1 + (bar.bar.trim > 0.0)
    out = []
    for _, run in groupby(bar.cuts, key=lambda c: round(c.length / ALIKE)):
        own = list(run)
        out.append(
            Setting(
                first=number, last=number + len(own) - 1, stop=own[0].length,
                marks=tuple(c.mark for c in own),
            )
        )  # fmt: skip
        number += len(own)
    return tuple(out)


def setting_words(bar: CutBar, words: Words) -> str:
    """Return the order of the cuts in one line: "cut 1: trim 5; 2 to 4: stop at 748, A1 × 3; left 1204"."""
    out = [f"cut 1: take {words(bar.bar.trim)} off the mill end"] if bar.bar.trim > 0.0 else []
    flush = bar.cuts[-1].end >= bar.bar.length - FLUSH
    for k, s in enumerate(settings(bar)):
        count = s.last - s.first + 1
        marks = "; ".join(f"{m} × {s.marks.count(m)}" if s.marks.count(m) > 1 else m for m in dict.fromkeys(s.marks))
        span = f"{s.first}" if count == 1 else f"{s.first} to {s.last}"
        if flush and k == len(settings(bar)) - 1:
            # The last piece ends with the bar: it is what is left in the vice.
            before = f"{s.first}" if count == 2 else f"{s.first} to {s.last - 1}"
            span = "the rest" if count == 1 else f"{before} and the rest"
        out.append(f"{'cut ' if not out else ''}{span}: stop at {words(s.stop)}, {marks.replace('; ', ' and ')}")
    if not flush:
        out.append(f"left over {words(bar.offcut)}")
    return "; ".join(out)


def plan_words(name: str, plan: CutPlan, words: Words, currency: str) -> str:
    """Return what a plan takes and how good it is known to be."""
    rack = sum(b.bar.rack for b in plan.bars)
    new = len(plan.bars) - rack
    count = [f"{new} {'bar' if new == 1 else 'bars'}"] if new else []
    if rack:
        count.append(f"{rack} from the rack")
    share = plan.net / plan.gross if plan.gross else 0.0
    sure = "proven cheapest" if plan.proven else f"best found, cannot be under {plan.lower_bound:.2f} {currency}"
    return f"{name}: {' and '.join(count)}, {share:.0%} used, kerf {words(plan.kerf)}, {sure}"


def _pieces(stand: Stand, flow: Flow, size: float) -> None:
    words = length_words(stand)
    unit, called = mass_unit(stand)
    flow.heading("Cut list")
    rows = []
    for p in stand.shop.pieces:
        ends = f"both {p.ends[0]}" if p.ends[0] == p.ends[1] else " / ".join(p.ends)
        note = "; ".join(t for t in (f"chamfer {words(p.chamfer)} × 45°" if p.chamfer else "", p.note) if t)
        long, saw = words(p.length), words(p.sawn)
        if abs(p.length - p.short_length) > ALIKE:
            long += f" ({words(p.short_length)} short)"
            saw += f" ({words(p.short_length + p.longer)} short)"
        where = names_words(p.members)
        told = (ends, str(p.holes or "–"), f"{p.mass / unit:.2f}", where, note)
        rows.append([TICK, p.mark, str(len(p.members)), p.profile.id, long, saw, *told])
    heads = ["Cut", "Mark", "Qty", "Profile", "Finished", "Saw to", "Ends", "Holes", f"{called} each", "Where", "Note"]
    shrinks = any(p.longer > 0 for p in stand.shop.pieces)
    if not shrinks:
        heads, rows = [*heads[:4], "Length", *heads[6:]], [[*r[:4], *r[5:]] for r in rows]
    _listed(flow, heads, rows, "llrlrrlrrll" if shrinks else "llrlrlrrll", size)
    if shrinks:
        flow.gap(1.5)
        flow.note(f"{SAW_NOTE}.", size)
    if stand.brief.units == "inch":
        flow.gap(0.0 if shrinks else 1.5)
        flow.note(ABOUT_NOTE, size)


def _listed(flow: Flow, heads: Sequence[str], rows: Sequence[Sequence[str]], align: str, size: float) -> None:
    """A table whose last column, the notes, is left off where it is empty."""
    if any(r[-1] for r in rows):
        flow.table(heads, rows, align, size)
    else:
        flow.table(heads[:-1], [r[:-1] for r in rows], align[:-1], size)


def names_words(names: Sequence[str]) -> str:
    """Return names in short: what they begin with is said once, "leg FL, FR, BL, BR"."""
    out: list[str] = []
    for head, run in groupby(names, key=lambda n: n.rpartition(" ")[0]):
        ends = [n.rpartition(" ")[2] for n in run]
        out.append(f"{head} {', '.join(ends)}".strip())
    return "; ".join(out)


def _plates(stand: Stand, flow: Flow, size: float) -> None:
    if not stand.shop.plates:
        return
    words = length_words(stand)
    unit, called = mass_unit(stand)
    flow.heading("Plates")
    rows = [
        (
            TICK, q.mark, str(len(q.names)), q.label, f"{words(q.length)} × {words(q.width)} × {words(q.thickness)}",
            str(q.holes or "–"), f"{q.mass / unit:.2f}", names_words(q.names),
            q.note if q.steel else "; ".join(t for t in (WOOD, q.note) if t),
        )
        for q in stand.shop.plates
    ]  # fmt: skip
    heads = ("Cut", "Mark", "Qty", "What", "Size", "Holes", f"{called} each", "Where", "Note")
    _listed(flow, heads, rows, "llrllrrll", size)


def _plans(stand: Stand, flow: Flow, size: float) -> None:
    if not stand.shop.plans:
        return
    words = length_words(stand)
    high = [_height(b, flow.width, size, words) for _, plan in stand.shop.plans for b in plan.bars]
    more = "; what welds take off is in it" if any(p.longer > 0 for p in stand.shop.pieces) else ""
    flow.heading("Cut plan, bar by bar", keep=14.0 + max(high[:1]))
    flow.line(
        "Cuts are numbered from the left, in the order they are made. Set the stop once for all pieces of one length, to the "
        f"long point where an end is mitred{more}. Black: off the mill end. Hatched: left over, for the rack.", size,
    )  # fmt: skip
    longest = max(b.bar.length for _, plan in stand.shop.plans for b in plan.bars)
    for name, plan in stand.shop.plans:
        cut = dict(long_bars(stand.brief, plan))
        told = {n: merchant_line(p, stand.brief.steel.carry, words) for n, p in cut.items()}
        first = _height(plan.bars[0], flow.width, size, words, told.get(1, ""))
        flow.gap(2.0)
        flow.line(plan_words(name, plan, words, stand.shop.currency), 2.5, bold=True, keep=first + 0.6)
        flow.gap(0.6)
        for n, bar in enumerate(plan.bars, 1):

            def draw(
                x: float, y: float, wide: float, bar: CutBar = bar, n: int = n, cut: Mapping[int, Parted | None] = cut,
                said: str = told.get(n, ""),
            ) -> tuple[Primitive, ...]:  # fmt: skip
                scale = (wide - 2.0) / longest
                out = _bar(bar, n, (x, y), (wide, scale), size, words, said)
                found = cut.get(n)
                places = [x + c * scale for c in found.cuts] if found is not None else []
                return (*out, *_merchant_cuts(places, y - size - 1.3))

            flow.put(_height(bar, flow.width, size, words, told.get(n, "")), draw)


def merchant_line(found: Parted | None, carry: float, words: Words) -> str:
    """Return what is said under a bar that does not fit the car."""
    if found is None:
        return f"A piece of this bar is longer than the {words(carry)} you can carry: have it brought."
    where = " and ".join(words(c) for c in found.cuts)
    parts = ", ".join(words(p) for p in found.parts)
    text = f"At the merchant (thick dashed): cut at {where} from the left; parts {parts}"
    if found.rough:
        return f"{text}, {words(found.rough)} of each left on for your own saw."
    return f"{text}; cut exactly, never short."


def _merchant_cuts(places: Sequence[float], high: float) -> list[Primitive]:
    """A thick stroke in dashes through the bar at each place."""
    out: list[Primitive] = []
    for x in places:
        for k in range(DASHES):
            y = high - k * (BAR + 1.0) / (DASHES - 0.4)
            out.append(Line(points=((x, y), (x, y - 0.6 * (BAR + 1.0) / (DASHES - 0.4))), layer="cut"))
    return out


def _height(bar: CutBar, wide: float, size: float, words: Words, said: str = "") -> float:
    """Paper height of one bar with its words."""
    rows = len(_told(bar, 0, wide, size, words, said))
    return size + 1.4 + BAR + rows * size * 1.6 + 3.4


def _told(bar: CutBar, number: int, wide: float, size: float, words: Words, said: str) -> list[str]:
    """The lines under a bar: which it is and how it is sawn, then what the merchant cuts."""
    kind = "rack piece" if bar.bar.rack else "bar"
    text = f"{kind} {number}, {words(bar.bar.length)} – {setting_words(bar, words)}"
    return [*wrap(text, wide - 4.0, size), *(wrap(said, wide - 4.0, size) if said else [])]


def _bar(
    bar: CutBar, number: int, at: tuple[float, float], wide: tuple[float, float], size: float, words: Words, said: str
) -> tuple[Primitive, ...]:
    """One bar to scale; ``wide`` the column's width and paper mm a mm of steel."""
    (x, y), scale = at, wide[1]
    out: list[Primitive] = []
    high = y - size - 1.4
    low = high - BAR
    end = x + bar.bar.length * scale
    out.append(rectangle((x, low, end, high), "thin"))
    if bar.bar.trim > 0.0:
        out.append(rectangle((x, low, x + max(bar.bar.trim * scale, 0.5), high), "thin", 0.0))
    for cut in bar.cuts:
        out += _piece(cut.mark, words(cut.length), (x + cut.start * scale, low, x + cut.end * scale, high), size)
    rest = x + bar.cuts[-1].end * scale
    out += _hatched((rest, low, end, high))
    out += _cut_numbers(bar, x, scale, (low, high), size)
    y = low - 1.6
    for row in _told(bar, number, wide[0], size, words, said):
        out.append(Text(at=(x, y - size), text=row, height=size))
        y -= size * 1.6
    return tuple(out)


def _piece(mark: str, length: str, box: tuple[float, float, float, float], size: float) -> list[Primitive]:
    """A piece with its mark and length, as much of it as fits."""
    room = box[2] - box[0] - 1.0
    out: list[Primitive] = [rectangle(box, "visible", 1.0)]
    for text, bold in ((f"{mark}  {length}", False), (mark, False)):
        if text_width(text, size, bold) <= room:
            at = ((box[0] + box[2]) / 2, (box[1] + box[3] - size) / 2)
            out.append(Text(at=at, text=text, height=size, align="centre"))
            break
    return out


def _hatched(box: tuple[float, float, float, float]) -> list[Primitive]:
    """Slanting strokes over a rectangle."""
    x0, y0, x1, y1 = box
    high, out = y1 - y0, list[Primitive]()
    start = x0 - high + HATCH
    while start < x1:
        # From (start, y0) up to (start + high, y1), kept within the box.
        a, b = max(start, x0), min(start + high, x1)
        if b - a > 0.2:
            out.append(Line(points=((a, y0 + a - start), (b, y0 + b - start)), layer="thin"))
        start += HATCH
    return out


def _cut_numbers(
    bar: CutBar, x: float, scale: float, levels: tuple[float, float], size: float
) -> list[Primitive]:
    """Number over each cut, with its stroke; one that would touch the last is left out: the words below have all."""
    at = ([bar.bar.trim] if bar.bar.trim > 0.0 else []) + [c.end for c in bar.cuts if c.end < bar.bar.length - FLUSH]
    out: list[Primitive] = []
    free = x - 1.0
    for n, place in enumerate(at, 1):
        middle, text = x + place * scale, str(n)
        half = text_width(text, size) / 2
        # The first number may stand a little to the right of its cut rather than before the bar.
        middle_text = max(middle, x + half)
        if middle_text - half > free + 0.6:
            out.append(Text(at=(middle_text, levels[1] + 1.0), text=text, height=size, align="centre"))
            out.append(Line(points=((middle, levels[1]), (middle, levels[1] + 0.8)), layer="thin"))
            free = middle_text + half
    return out
