"""Cut list, plates, holes, cut plan, order, bought parts and notes."""

from __future__ import annotations

from collections.abc import Callable

from framecore.cutting.model import CutBar
from framecore.sheets.flow import Flow
from framecore.sheets.holes import SLOT_NOTE, hole_rows, machine_holes
from framecore.sheets.model import Line, Primitive, Text
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space, rectangle
from framecore.sheets.pens import text_width
from framecore.sheets.words import length_words, notes
from framecore.stand.model import Stand

EDGE = 5.0
BAR = 5.5


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the lists; as many pages as they need."""
    flow = Flow(_columns(paper))
    size = 2.0 if paper in SMALL else 2.5
    _pieces(stand, flow, size)
    _plates(stand, flow, size)
    _holes(stand, flow, size)
    _plans(stand, flow)
    _order(stand, flow, size)
    _bought(stand, flow, size)
    flow.heading("Notes and cautions")
    for text in notes(stand):
        flow.note(text)
    last = len(flow.pages)
    return tuple(
        Draft(
            title="lists" if last == 1 else f"lists {n}",
            kind="Parts list",
            primitives=tuple(p),
        )
        for n, p in enumerate(flow.pages, 1)
    )


def _columns(paper: str) -> list[tuple[float, float, float, float]]:
    x0, y0, x1, y1 = drawing_space(paper)
    x0, x1, y1 = x0 + EDGE, x1 - EDGE, y1 - EDGE
    low = y0 + TITLE_HEIGHT + 4.0
    if paper in SMALL:
        return [(x0, low, x1 - x0, y1)]
    split = x1 + EDGE - TITLE_WIDTH
    return [(x0, y0 + EDGE, split - 8.0 - x0, y1), (split, low, x1 - split, y1)]


def _pieces(stand: Stand, flow: Flow, size: float) -> None:
    words = length_words(stand)
    flow.heading("Cut list")
    rows = []
    for p in stand.shop.pieces:
        ends = p.ends[0] if p.ends[0] == p.ends[1] else " / ".join(p.ends)
        if p.ends[0] == p.ends[1]:
            ends = f"both {ends}"
        note = "; ".join(
            t for t in (f"chamfer {words(p.chamfer)} × 45°" if p.chamfer else "", p.note) if t
        )
        long = words(p.length)
        if abs(p.length - p.short_length) > 0.05:
            long += f" ({words(p.short_length)} short)"
        rows.append(
            [
                p.mark,
                str(len(p.members)),
                p.profile.id,
                long,
                ends,
                str(p.holes or "–"),
                f"{p.mass:.2f}",
                note,
            ]
        )
    heads = ["Mark", "Qty", "Profile", "Length", "Ends", "Holes", "kg each", "Note"]
    if not any(r[-1] for r in rows):
        heads, rows = heads[:-1], [r[:-1] for r in rows]
    flow.table(heads, rows, "lrlrlrrl"[: len(heads)], size)


def _plates(stand: Stand, flow: Flow, size: float) -> None:
    if not stand.shop.plates:
        return
    words = length_words(stand)
    flow.heading("Plates")
    rows = [
        (
            q.mark,
            str(len(q.names)),
            q.label,
            f"{words(q.length)} × {words(q.width)} × {words(q.thickness)}",
            str(q.holes or "–"),
            f"{q.mass:.2f}",
            q.note,
        )
        for q in stand.shop.plates
    ]
    flow.table(("Mark", "Qty", "What", "Size", "Holes", "kg each", "Note"), rows, "lrllrrl", size)


def _holes(stand: Stand, flow: Flow, size: float) -> None:
    found = machine_holes(stand)
    if not found:
        return
    words = length_words(stand)
    flow.heading("Holes in the seat", keep=20.0)
    flow.note(
        "Datum: outer left front corner of the frame; x to the right, y to the back. "
        "Numbers as in the view from above."
    )
    slots = any(h.cut.slot for h in found)
    if slots:
        flow.note(SLOT_NOTE)
    flow.table(("No.", "x", "y", "Dia.", "For"), hole_rows(found, words), "rrrll" if slots else "rrrrl", size)


def _plans(stand: Stand, flow: Flow) -> None:
    if not stand.shop.plans:
        return
    words = length_words(stand)
    flow.heading("Cut plan", keep=24.0)
    longest = max(b.bar.length for _, plan in stand.shop.plans for b in plan.bars)
    for name, plan in stand.shop.plans:
        proof = "proven cheapest" if plan.proven else "best found"
        count = "1 bar" if len(plan.bars) == 1 else f"{len(plan.bars)} bars"
        title = f"{name}: {count}, kerf {words(plan.kerf)}, {proof}"

        def head(x: float, y: float, _: float, title: str = title) -> tuple[Primitive, ...]:
            return (Text(at=(x, y - 4.0), text=title, height=2.5, bold=True),)

        flow.put(5.5, head, keep=BAR + 7.0)
        for n, bar in enumerate(plan.bars, 1):
            kind = "rack" if bar.bar.rack else "bar"
            left = f", offcut {words(bar.offcut)}" if bar.offcut > 0.05 else ""
            label = f"{kind} {n}: {words(bar.bar.length)}{left}"

            def draw(
                x: float, y: float, wide: float, bar: CutBar = bar, label: str = label
            ) -> tuple[Primitive, ...]:
                return _bar(bar, label, (x, y), (wide - 2.0) / longest, words)

            flow.put(BAR + 6.5, draw)


def _bar(
    bar: CutBar, label: str, at: tuple[float, float], scale: float, words: Callable[[float], str]
) -> tuple[Primitive, ...]:
    """One bar to scale: pieces with mark and length, the offcut grey."""
    (x, y), size = at, 2.5
    out: list[Primitive] = [Text(at=(x, y - 3.4), text=label, height=2.5)]
    low, high = y - 4.4 - BAR, y - 4.4
    out.append(rectangle((x, low, x + bar.bar.length * scale, high), "thin", 0.85))
    for cut in bar.cuts:
        a, b = x + cut.start * scale, x + (cut.start + cut.length) * scale
        out.append(rectangle((a, low, b, high), "visible", 1.0))
        full, short = f"{cut.mark}  {words(cut.length)}", cut.mark
        text = next((t for t in (full, short) if text_width(t, size) <= b - a - 1.0), "")
        if text:
            middle = ((a + b) / 2, (low + high - size) / 2)
            out.append(Text(at=middle, text=text, height=size, align="centre"))
        else:
            out.append(Line(points=((a, low), (b, high)), layer="thin"))
    return tuple(out)


def _order(stand: Stand, flow: Flow, size: float) -> None:
    shop, words = stand.shop, length_words(stand)
    flow.heading("Order")
    rows = [
        (
            str(o.count),
            o.what,
            words(o.length) if o.length else "",
            o.detail,
            f"{o.mass:.1f}",
            f"{o.cost:.2f}" + ("*" if o.price_assumed else ""),
        )
        for o in shop.order
    ]
    rows.append(("", "total", "", "", f"{shop.order_mass:.1f}", f"{shop.cost:.2f}"))
    flow.table(("Qty", "What", "Length", "Detail", "kg", shop.currency), rows, "rlrlrr", size)
    if any(o.price_assumed for o in shop.order):
        flow.note("* price assumed.")


def _bought(stand: Stand, flow: Flow, size: float) -> None:
    """What comes by the piece: no prices, those have to be asked for."""
    if not stand.shop.bought:
        return
    flow.heading("Bought parts", keep=16.0)
    flow.note("Bought by the piece; their prices are not in the total above: ask.")
    rows = [
        (b.mark, str(b.count), b.what, b.size, "; ".join(t for t in (b.where, b.note) if t))
        for b in stand.shop.bought
    ]
    flow.table(("Mark", "Qty", "What", "Size", "Where and note"), rows, "lrlll", size)
