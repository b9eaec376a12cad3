"""First page of the weld map: how to read it, what to buy, what shrinks, and what can hurt."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from framecore.sheets.drawing.columns import fitted
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space
from framecore.sheets.welds.spots import number
from framecore.sheets.welds.weld_symbols import AWS, WeldSign, weld_symbol
from framecore.sheets.welds.weld_table import LONG, few_words, groups, lean_words, sign_of, weld_words
from framecore.sheets.welds.weld_views import cross, dashes, dot
from framecore.sheets.words import length_words
from framecore.shop import cautions
from framecore.shop.tolerance import SOURCE as SQUARE_SOURCE
from framecore.shop.work import Weld, Work
from framecore.stand.model import Stand
from framecore.units import POUND

EDGE = 5.0
GAP = 1.2  # mm between a table's last rule and the words under it
CUBIC_FOOT = 28.3168  # litres


def overview(stand: Stand, work: Work, paper: str, height: float, drawn: Sequence[Sequence[str]]) -> tuple[Draft, ...]:
    """Compose the first page or pages; ``drawn`` names of assemblies, those drawn together in one."""
    x0, y0, x1, y1 = drawing_space(paper)
    x0, x1, y1, low = x0 + EDGE, x1 - EDGE, y1 - EDGE, y0 + TITLE_HEIGHT + 4.0
    half = (x1 - x0 - 8.0) / 2
    split = x1 + EDGE - TITLE_WIDTH
    columns = [(x0, low, half, y1), (x0 + half + 8.0, low, half, y1)]
    if paper not in SMALL:
        columns = [(x0, y0 + EDGE, split - 8.0 - x0, y1), (split, low, x1 - split, y1)]

    def lay(close: float) -> Flow:
        flow = Flow(columns, close=close)
        _totals(stand, work, flow, height)
        _order(stand, work, flow, height, drawn)
        _key(stand, work, flow, height)
        _rows(stand, work, flow, height)
        flow.heading("Cautions")
        units = stand.brief.units
        hurts = (cautions.SOLVENT, cautions.CLOSED, cautions.GRINDING, cautions.MANUAL)
        for text in (cautions.fume(units), cautions.zinc(units), *hurts):
            flow.note(text, height)
        return flow

    return tuple(
        Draft(title="weld map" if n == 1 else f"weld map {n}", kind="Weld map", primitives=tuple(p))
        for n, p in enumerate(fitted(lay).pages, 1)
    )


def _totals(stand: Stand, work: Work, flow: Flow, height: float) -> None:
    f, metric = work.filler, stand.brief.units == "metric"
    length = sum(w.length for w in work.welds)
    flow.put(6.0, lambda x, y, w: (Text(at=(x, y - 4.0), text="All welds together", height=3.5, bold=True),))
    rows = [
        ("weld", f"{length / 1000:.1f} m" if metric else f"{length / 304.8:.0f} ft"),
        ("filler to buy", f"{f.bought:.2f} kg" if metric else f"{f.bought / POUND:.2f} lb"),
    ]
    if f.gas_litres > 0:
        rows.append(("gas", f"{f.gas_litres:.0f} litres" if metric else f"{f.gas_litres / CUBIC_FOOT:.0f} cubic feet"))
    rows += [
        ("arc burns", f"{f.arc_hours:.1f} h"),
        ("at the bench", f"{f.hours[0]:.1f} to {f.hours[1]:.1f} h with fitting, tacking, turning over"),
        ("process", stand.brief.welding.process),
    ]
    flow.table(("What", "How much"), rows, "ll", height)
    flow.gap(GAP)
    flow.note(f"{f.text}. Common practice; tacks, trials and repairs come on top: buy the next larger pack.", height)


def _order(stand: Stand, work: Work, flow: Flow, height: float, drawn: Sequence[Sequence[str]]) -> None:
    flow.heading("In this order", keep=24.0)
    rows = []
    for n, names in enumerate(drawn, 1):
        own = [w for w in work.welds if w.assembly == names[0]]
        length = sum(w.length for w in own) * len(names)
        size = f"{length / 1000:.2f} m" if stand.brief.units == "metric" else f"{length / 304.8:.1f} ft"
        takes = next(a.takes for a in work.assemblies if a.name == names[0])
        marks = list(groups(own))
        rows.append((str(n), ", ".join(names), ", ".join(takes) or "–", str(len(own) * len(names)), size, ", ".join(marks)))
    flow.table(("", "Assembly", "Put together from", "Welds", "Length", "Marks"), rows, "rllrrl", height)
    flow.gap(GAP)
    thin = [f.message for f in stand.findings if f.code == "welds.leg_small"]
    for text in (
        "Tack everything at the crosses first, on opposite sides, measure the diagonals, then weld in the order of the "
        "numbers: they jump to the opposite corner so that pulls cancel.",
        "Weld no larger than the symbol says: a larger bead adds pull, not strength.",
        *thin,
    ):
        flow.note(text, height)


def _key(stand: Stand, work: Work, flow: Flow, height: float) -> None:
    flow.heading("How to read it", keep=20.0)
    samples = (
        (_bar_sample, "seam to weld, as long as drawn"),
        (_dash_sample, "seam behind: weld it from the other side"),
        (_dot_sample, "seam that runs away from you (ring: on the far side)"),
        (_cross_sample, "tack"),
    )
    for sample, text in samples:
        _explained(flow, sample, text, 5.2, 18.0, height)
    _explained(
        flow, lambda at: number(at, (at[0] + 8.0, at[1]), "7", height), "its place in the order of welding within the assembly",
        7.0, 18.0, height,
    )  # fmt: skip
    text = "mark of all welds alike; its symbol stands in the list. A1, P1: pieces, as on the general arrangement"
    _explained(flow, lambda at: [Text(at=(at[0], at[1] - height / 2), text="W1", height=height)], text, 5.2, 18.0, height)
    system = stand.brief.welding.symbols
    flow.gap(1.0)
    named = system if system == AWS else f"{system}, system A"
    flow.line(f"Symbols after {named}: the side the arrow touches is welded.", height, bold=True)
    words = weld_words(stand)
    for sign, text in _kinds(stand, work.welds):
        box = weld_symbol(sign, system, (0.0, 0.0), words, height=height).box

        def symbol(at: Point2, sign: WeldSign = sign, box: tuple[float, float, float, float] = box) -> list[Primitive]:
            middle = (at[0] - box[0], at[1] - (box[1] + box[3]) / 2)
            return list(weld_symbol(sign, system, middle, words, height=height).primitives)

        _explained(flow, symbol, text, box[3] - box[1] + 2.0, max(box[2] - box[0] + 8.0, 44.0), height)
    flow.line(_letters(system), height)
    flow.line(
        "A weld has one or more seams, told by the width of the face they cross; the total follows a tube's rounded edges and "
        "is a little less.",
        height,
    )


def _explained(
    flow: Flow, sample: Callable[[Point2], list[Primitive]], text: str, least: float, indent: float, height: float
) -> None:
    """Put a sample, drawn from the point given it to the right, and words beside it on as many lines as they need."""
    lines = wrap(text, min(c[2] for c in flow.columns) - indent - 2.0, height)
    high = max(least, (len(lines) - 1) * 1.5 * height + height + 2.0)

    def draw(x: float, y: float, _: float) -> tuple[Primitive, ...]:
        middle = y - high / 2
        first = middle + ((len(lines) - 1) * 1.5 * height - height) / 2
        words = (
            Text(at=(x + indent, first - n * 1.5 * height), text=line, height=height) for n, line in enumerate(lines)
        )
        return (*sample((x + 2.0, middle)), *words)

    flow.put(high, draw)


def _letters(system: str) -> str:
    if system == AWS:
        return (
            "Bare number: leg of a fillet. In brackets: effective throat. Length-pitch: stitches, centre to centre. "
            "Circle: all round. Bar with G: ground flush. No length: the whole seam. Tail: process."
        )
    return (
        "z: leg of a fillet. s: effective throat. Number × length (gap): stitches. Circle: all round. Bar: dressed flush. "
        "No length: the whole seam. Tail: process by ISO 4063."
    )


def _kinds(stand: Stand, welds: Sequence[Weld]) -> list[tuple[WeldSign, str]]:
    """One symbol of every kind that occurs, with plain words."""
    out: dict[tuple[str, bool], tuple[WeldSign, str]] = {}
    for w in welds:
        text = LONG[w.kind] + (", in stitches" if w.stitch else "")
        out.setdefault((w.kind, w.stitch > 0), (sign_of(w, stand.brief.welding.process), text))
    return list(out.values())


def _rows(stand: Stand, work: Work, flow: Flow, height: float) -> None:
    words = length_words(stand)
    if work.chains:
        flow.heading("What welding takes off", keep=20.0)
        rows: dict[tuple[str, ...], list[str]] = {}
        for c in work.chains:
            few = [few_words(mm, stand) for mm in (c.low, c.high, c.leave, c.tolerance)]
            rows.setdefault((str(c.welds), words(c.length), f"{few[0]} to {few[1]}", few[2], f"± {few[3]}"), []).append(c.name)
        heads = ("Row", "Joints", "Length", "Shorter by", "Sawn longer", "Class B")
        flow.table(heads, [(", ".join(names), *key) for key, names in rows.items()], "lrrrrr", height)
        flow.gap(GAP)
        flow.note(
            "Nobody can foretell it closely. Weld one corner of scrap first and measure it; saw longer by what your own "
            "welding takes.",
            height,
        )
    if work.squares:
        flow.heading("How square", keep=18.0)
        leans: dict[tuple[str, ...], list[str]] = {}
        for s in work.squares:
            leans.setdefault((lean_words(stand, s.lean), lean_words(stand, s.allowed), s.quality or "none"), []).append(s.name)
        columns = ("Frame", "Lean, at most", "Class B allows", "Class held")
        flow.table(columns, [(", ".join(names), *key) for key, names in leans.items()], "lrrl", height)
        flow.gap(GAP)
        flow.note(f"Lean: one row shrinks most, the opposite one least. {SQUARE_SOURCE}.", height)


def _bar_sample(at: Point2) -> list[Primitive]:
    x, y = at
    corners = ((x, y - 0.6), (x + 10.0, y - 0.6), (x + 10.0, y + 0.6), (x, y + 0.6))
    return [Line(points=corners, closed=True, fill=0.0, layer="thin")]


def _dash_sample(at: Point2) -> list[Primitive]:
    return dashes(at, (at[0] + 10.0, at[1]))


def _dot_sample(at: Point2) -> list[Primitive]:
    return [dot((at[0] + 2.0, at[1])), *dashes((at[0] + 7.0, at[1]), (at[0] + 7.0, at[1]))]


def _cross_sample(at: Point2) -> list[Primitive]:
    return cross((at[0] + 5.0, at[1]))
