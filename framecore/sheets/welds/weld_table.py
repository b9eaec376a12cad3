"""Words of the weld map: one row a mark with its symbol drawn, what shrinks, and what holds for the whole stand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from framecore.sheets.drawing.flow import PAD, Flow, wrap
from framecore.sheets.drawing.model import Line, Primitive, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.welds.weld_seams import stitches, whole
from framecore.sheets.welds.weld_symbols import WeldSign, weld_symbol
from framecore.sheets.words import length_words
from framecore.shop.work import Assembly, Weld, Work
from framecore.stand.model import Stand

KINDS = {
    "fillet": "fillet",
    "flare-bevel": "flare-bevel",
    "butt": "square butt",
    "corner": "outside corner",
    "edge": "edge",
    "plug": "plug",
}
LONG = {
    "fillet": "fillet: a triangle in the corner",
    "flare-bevel": "flare-bevel: fill the groove beside the tube's rounded edge",
    "butt": "square butt: faces flush, through the whole wall",
    "corner": "outside corner: through the whole wall",
    "edge": "edge: along both edges",
    "plug": "plug: fill the hole",
}
JOINED = 18.0  # mm; runs whose ends come this near go round a corner together: tube is rounded there
HEADS = ("Mark", "Symbol", "Weld", "Seams of one", "Total", "Pieces", "No.")
LINES = 1.5  # heights of the lettering from line to line in a cell
Box = tuple[float, float, float, float]


def sign_of(w: Weld, process: str) -> WeldSign:
    """Return what the symbol of a weld says."""
    counts = {len(stitches(_size(run), w.stitch, w.pitch)) for run in w.runs} if w.stitch else {0}
    step = _step(w)
    return WeldSign(
        kind=w.kind, size=w.leg if w.kind == "fillet" else w.throat if w.kind == "flare-bevel" else 0.0,
        count=counts.pop() if len(counts) == 1 else 0, stitch=w.stitch, pitch=step, all_round=all_round(w), flush=w.flush,
        process=process,
    )  # fmt: skip


def _size(run: Sequence[Sequence[float]]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(run))


def _step(w: Weld) -> float:
    """Centre to centre of the stitches as they are set out, mm: the widest of all runs, at most the pitch."""
    steps = []
    for run in w.runs:
        own = stitches(_size(run), w.stitch, w.pitch)
        if w.stitch and len(own) > 1:
            steps.append((own[1][0] - own[0][0]) * _size(run))
    return max(steps, default=w.pitch)


def all_round(w: Weld) -> bool:
    """Whether the runs of a continuous weld close a ring."""
    if w.stitch or len(w.runs) < 3:
        return False
    left = [(r[0], r[-1]) for r in w.runs]
    first, at = left.pop()
    while left:
        near = min(
            ((_size((at, end)), k, other) for k, (a, b) in enumerate(left) for end, other in ((a, b), (b, a))),
            key=lambda n: n[:2],
        )
        if near[0] > JOINED:
            return False
        at = near[2]
        left.pop(near[1])
    return _size((first, at)) <= JOINED


def groups(welds: Sequence[Weld]) -> dict[str, list[Weld]]:
    """Welds by mark, in order of the marks' numbers."""
    out: dict[str, list[Weld]] = {}
    for w in sorted(welds, key=lambda w: (int(w.mark[1:]), w.order)):
        out.setdefault(w.mark, []).append(w)
    return out


def weld_words(stand: Stand) -> Callable[[float], str]:
    """Return how sizes and lengths of welds are written: nominal, so without a sign for about."""
    words = length_words(stand)
    return lambda mm: words(mm).lstrip("~")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One mark: its symbol, how large that is drawn, and the words of the other cells."""

    mark: str
    sign: WeldSign
    box: Box
    cells: tuple[str, ...]


def table_rows(stand: Stand, welds: Sequence[Weld], height: float) -> list[Row]:
    """Return one row for every mark."""
    words, system = weld_words(stand), stand.brief.welding.symbols
    rows = []
    for mark, own in groups(welds).items():
        sign = sign_of(own[0], stand.brief.welding.process)
        box = weld_symbol(sign, system, (0.0, 0.0), words, height=height).box
        rows.append(Row(mark=mark, sign=sign, box=box, cells=_cells(stand, own)))
    return rows


def put_table(stand: Stand, rows: Sequence[Row], flow: Flow, height: float) -> bool:
    """Put one row for every mark; False, and nothing drawn, where a column is too narrow for it."""
    words, system = weld_words(stand), stand.brief.welding.symbols
    if not rows:
        return True
    boxes = [r.box for r in rows]
    symbol = max(b[2] - b[0] for b in boxes) + 2 * PAD + 0.5
    every = [r.cells for r in rows]
    narrowest = min(c[2] for c in flow.columns)
    if sum(_widths(narrowest, symbol, every, height)) > narrowest + 1e-6:
        return False
    widths = _widths(flow.width, symbol, every, height)
    _head(flow, widths, height)
    for r in rows:
        mark, sign, cells, box = r.mark, r.sign, r.cells, r.box
        lines, high = _row(cells, widths, box, height)
        if flow.room() < high:
            flow.next_column()
            widths = _widths(flow.width, symbol, every, height)
            _head(flow, widths, height)
            lines, high = _row(cells, widths, box, height)

        def draw(
            x: float, y: float, _: float, mark: str = mark, lines: list[list[str]] = lines, high: float = high,
            sign: WeldSign = sign, box: Box = box, widths: list[float] = widths,
        ) -> tuple[Primitive, ...]:  # fmt: skip
            out: list[Primitive] = [Text(at=(x + PAD, y - PAD - height), text=mark, height=height, bold=True)]
            at = (x + widths[0] + PAD - box[0], y - (high - (box[3] - box[1])) / 2 - box[3])
            out += weld_symbol(sign, system, at, words, height=height).primitives
            left = x + widths[0] + widths[1]
            for own, wide in zip(lines, widths[2:], strict=True):
                for n, line in enumerate(own):
                    out.append(Text(at=(left + PAD, y - PAD - height - n * height * LINES), text=line, height=height))
                left += wide
            out.append(Line(points=((x, y - high), (x + sum(widths), y - high)), layer="thin"))
            return tuple(out)

        flow.put(high, draw)
    return True


def _row(cells: Sequence[str], widths: Sequence[float], box: Box, height: float) -> tuple[list[list[str]], float]:
    """Lines of the cells of a row, and how high it is."""
    lines = [wrap(c, w - 2 * PAD, height) for c, w in zip(cells, widths[2:], strict=True)]
    words = (max(len(c) for c in lines) - 1) * LINES * height + height
    return lines, max(words, box[3] - box[1]) + 2 * PAD


def _head(flow: Flow, widths: Sequence[float], height: float) -> None:
    def draw(x: float, y: float, _: float) -> tuple[Primitive, ...]:
        out: list[Primitive] = []
        high = height + 2 * PAD
        left = x
        for text, wide in zip(HEADS, widths, strict=True):
            out.append(Text(at=(left + PAD, y - PAD - height), text=text, height=height, bold=True))
            left += wide
        out.append(Line(points=((x, y - high), (x + sum(widths), y - high)), layer="visible"))
        return tuple(out)

    flow.put(height + 2 * PAD, draw, keep=14.0)


def _widths(room: float, symbol: float, cells: Sequence[Sequence[str]], height: float) -> list[float]:
    """Mark and symbol as they need; the rest by their longest word and share of the words."""
    fixed = [max(text_width("W99", height, True), text_width(HEADS[0], height, True)) + 2 * PAD, symbol]
    left = room - sum(fixed) - 0.5
    natural, least = [], []
    for k, head in enumerate(HEADS[2:]):
        own = [c[k] for c in cells]
        natural.append(max([text_width(head, height, True), *(text_width(c, height) for c in own)]) + 2 * PAD + 0.2)
        words = [w for c in own for w in c.split()]
        least.append(max([text_width(head, height, True), *(text_width(w, height) for w in words)]) + 2 * PAD + 0.2)
    if sum(natural) <= left:
        return [*fixed, *natural]
    spare = max(left - sum(least), 0.0)
    want = [n - m for n, m in zip(natural, least, strict=True)]
    return [*fixed, *(m + spare * w / max(sum(want), 1e-9) for m, w in zip(least, want, strict=True))]


def _cells(stand: Stand, own: Sequence[Weld]) -> tuple[str, ...]:
    words, first = weld_words(stand), own[0]
    return (
        what_words(stand, first),
        seam_words(stand, first),
        words(sum(w.length for w in own)),
        ", ".join(dict.fromkeys(_pair(stand, w) for w in own)),
        number_words([w.order for w in own]),
    )


def what_words(stand: Stand, w: Weld) -> str:
    """Say a weld in plain words with its size."""
    words = weld_words(stand)
    size = f"throat {words(w.throat)}"
    if w.kind == "fillet":
        size = f"leg {words(w.leg)}, {size}"
    elif w.kind != "flare-bevel":
        size = f"through {words(w.throat)}"
    text = f"{KINDS[w.kind]}, {size}"
    return f"{text}; then dress flat: {_marked(stand, w.why)}" if w.flush else text


def _marked(stand: Stand, why: str) -> str:
    """Put the mark behind a part's name."""
    for name, mark in sorted(stand.shop.piece_of.items(), key=lambda i: -len(i[0])):
        if why.startswith(f"{name} "):
            return why.replace(name, f"{name} ({mark})", 1)
    return why


def seam_words(stand: Stand, w: Weld) -> str:
    """Say the seams of one weld: how many of which length, or how many stitches on which length."""
    words = weld_words(stand)
    found = Counter(words(_size(r)) for r in w.runs)
    if not w.stitch:
        return " + ".join(f"{n} × {size}" for size, n in found.items())
    parts = []
    for size, n in found.items():
        run = next(r for r in w.runs if words(_size(r)) == size)
        count = len(stitches(_size(run), w.stitch, w.pitch))
        parts.append(f"{n} × {size}: {count} stitches of {words(w.stitch)} each")
    return "; ".join(parts)


def _pair(stand: Stand, w: Weld) -> str:
    run, branch = (stand.shop.piece_of.get(n, n) for n in w.parts)
    return f"{branch} on {run}" if run != branch else f"{run} to {run}"


def number_words(orders: Sequence[int]) -> str:
    """Join numbers, runs of three and more with a dash."""
    out: list[str] = []
    todo = sorted(orders)
    while todo:
        n = 1
        while n < len(todo) and todo[n] == todo[0] + n:
            n += 1
        out += [f"{todo[0]}–{todo[n - 1]}"] if n > 2 else [str(k) for k in todo[:n]]
        todo = todo[n:]
    return ", ".join(out)


def home_of(work: Work, names: Sequence[str]) -> str:
    """Name of the first assembly that holds all of some parts."""
    for a in work.assemblies:
        if set(names) <= {*a.members, *a.plates} | whole(work.assemblies, a):
            return a.name
    return work.assemblies[-1].name


def pull_lines(stand: Stand, work: Work, one: Assembly) -> list[str]:
    """What welding takes off this assembly's rows, and how square it may be expected; alike rows together."""
    unit = "mm" if stand.brief.units == "metric" else "in"
    rows: dict[str, list[str]] = {}
    for c in work.chains:
        if home_of(work, c.members) == one.name:
            marks = "+".join(dict.fromkeys(stand.shop.piece_of.get(m, m) for m in c.members))
            span, leave = f"{few_words(c.low, stand)} to {few_words(c.high, stand)}", few_words(c.leave, stand)
            text = f"{span} {unit} shorter by {c.welds} joints; sawn {leave} {unit} longer"
            rows.setdefault(text, []).append(f"{c.name} ({marks})")
    out = [f"Shrinkage: {', '.join(names)}: {'each ' if len(names) > 1 else ''}{text}." for text, names in rows.items()]
    squares: dict[str, list[str]] = {}
    for s in work.squares:
        if home_of(work, _square_parts(s.name)) == one.name:
            held = f"class {s.quality} of ISO 13920 holds" if s.quality else "no class of ISO 13920 holds"
            lean, allowed = lean_words(stand, s.lean), lean_words(stand, s.allowed)
            text = f"expect to lean up to {lean} where class B allows {allowed}; {held}"
            squares.setdefault(text, []).append(s.name)
    return out + [f"Square, {' and '.join(names)}: {text}." for text, names in squares.items()]


def lean_words(stand: Stand, lean: float) -> str:
    """Return a lean, mm in a metre, in the brief's units."""
    return f"{lean:.1f} mm in 1 m" if stand.brief.units == "metric" else f"{lean * 12 / 1000:.3f} in to the foot"


def _square_parts(name: str) -> list[str]:
    """Rails between which a frame is measured."""
    if name.endswith(" from above"):
        return [f"{name.removesuffix(' from above')} rail {side}" for side in ("front", "back")]
    return [f"{level} rail {name}" for level in ("top", "lower")]


def few_words(mm: float, stand: Stand) -> str:
    """A small length: tenths of a millimetre, or thousandths of an inch."""
    return f"{mm:.1f}" if stand.brief.units == "metric" else f"{mm / 25.4:.3f}"
