"""Dimensions in lanes beside a view, short ones nearest, so that nothing is crossed; and the check of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from framecore.sheets.model import Dimension, Leader, Line, Point2, Primitive, Sheet, Text
from framecore.sheets.pens import ARROW, strokes, text_width

FIRST, STEP = 9.0, 7.0  # mm from the view to the first lane, and from lane to lane
HEIGHT = 2.5
GAP = 1.0  # between text and dimension line; clears the arrow heads

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Span:
    """One size to show: feature points on paper, true size in mm."""

    a: Point2
    b: Point2
    value: float


def lanes_needed(spans: Sequence[Span], side: str, words: Callable[[float], str]) -> float:
    """Room, mm, that ``stack`` takes beside the view."""
    if not spans:
        return 0.0
    return FIRST + STEP * (max(_packed(spans, side, words)) + 1)


def _along(span: Span, side: str) -> tuple[float, float]:
    k = 0 if side == "below" else 1
    return min(span.a[k], span.b[k]), max(span.a[k], span.b[k])


def _inside(span: Span, side: str, text: str) -> bool:
    low, high = _along(span, side)
    return text_width(text, HEIGHT) + 1.0 <= high - low


def overhang(spans: Sequence[Span], words: Callable[[float], str], low: float, high: float) -> Point2:
    """Room, mm, that dimensions below a view take to the left of ``low`` and to the right of ``high``."""
    reach = [_reach(s, "below", words(s.value), spans) for s in spans]
    return max([0.0, *(low - r[0] for r in reach)]), max([0.0, *(r[1] - high for r in reach)])


def _beyond(span: Span, side: str, text: str, spans: Sequence[Span]) -> float:
    """Middle of a text that stands outside: past the arrows, where no extension line of another size runs."""
    low, high = _along(span, side)
    lines = [x for s in spans for x in _along(s, side)]
    half = text_width(text, HEIGHT) / 2
    off = 2 * ARROW + 0.8 + half
    clear = half + 0.7
    tries = [high + off, low - off]
    tries += [x + clear for x in lines if x + clear > high + off]
    tries += [x - clear for x in lines if x - clear < low - off]
    good = [t for t in tries if all(abs(t - x) >= clear - 1e-6 for x in lines)]
    middle = (low + high) / 2
    return min(good, key=lambda t: round(abs(t - middle), 3)) if good else tries[0]


def _reach(span: Span, side: str, text: str, spans: Sequence[Span]) -> tuple[float, float]:
    """Stretch of the lane a dimension takes, outside arrows and text included."""
    low, high = _along(span, side)
    if _inside(span, side, text):
        out = 0.0 if high - low >= 3 * ARROW else 2 * ARROW
        return low - out, high + out
    middle, half = _beyond(span, side, text, spans), text_width(text, HEIGHT) / 2
    return min(low - 2 * ARROW, middle - half), max(high + 2 * ARROW, middle + half)


def _packed(spans: Sequence[Span], side: str, words: Callable[[float], str]) -> list[int]:
    """Lane of each span: a longer span never lies nearer than a shorter one it overlaps."""
    order = sorted(range(len(spans)), key=lambda i: spans[i].value)
    taken: list[list[tuple[float, float]]] = []
    lane = [0] * len(spans)
    for i in order:
        low, high = _reach(spans[i], side, words(spans[i].value), spans)
        clash = [n for n, row in enumerate(taken) if any(_crowd(low, high, s, h) for s, h in row)]
        lane[i] = max(clash) + 1 if clash else 0
        while len(taken) <= lane[i]:
            taken.append([])
        taken[lane[i]].append((low, high))
    return lane


def _crowd(low: float, high: float, start: float, end: float) -> bool:
    """Whether two stretches of a lane come too near; sizes in a chain share an end."""
    chained = abs(low - end) < 1e-3 or abs(high - start) < 1e-3
    return low < end + 1.0 and high > start - 1.0 and not chained


def stack(
    spans: Sequence[Span], side: str, edge: float, words: Callable[[float], str]
) -> tuple[Dimension, ...]:
    """Place dimensions in lanes.

    Parameters
    ----------
    spans : what to show; equal ones are shown once by the caller
    side : "below" (horizontal), "left" or "right" (vertical)
    edge : paper y (below) or x (left, right) where the view ends
    words : true size to text
    """
    lanes = _packed(spans, side, words)
    away = 1.0 if side == "right" else -1.0
    out: list[Dimension] = []
    for span, lane in zip(spans, lanes, strict=True):
        text = words(span.value)
        at = edge + away * (FIRST + STEP * lane)
        low, high = _along(span, side)
        width = text_width(text, HEIGHT)
        lift = GAP + HEIGHT / 2
        if _inside(span, side, text):
            outer = [
                p[0 if side == "below" else 1]
                for other, n in zip(spans, lanes, strict=True)
                if n > lane
                for p in (other.a, other.b)
            ]
            middle = _free((low + high) / 2, low + width / 2, high - width / 2, outer, width / 2 + 0.7)
        else:
            middle, lift = _beyond(span, side, text, spans), 0.0
        if side == "below":
            base, text_at, angle = (low, at), (middle, at + lift), 0.0
        else:
            base, text_at, angle = (at, low), (at - lift, middle), math.pi / 2
        out.append(
            Dimension(
                a=span.a, b=span.b, base=base, angle=angle, value=span.value, text=text, text_at=text_at,
                height=HEIGHT,
            )
        )  # fmt: skip
    return tuple(out)


def _free(middle: float, low: float, high: float, lines: Sequence[float], clear: float) -> float:
    """Nearest place to ``middle`` in [low, high] that keeps ``clear`` of every line; else the middle."""
    tries = [middle] + [x + s * clear for x in lines for s in (-1.0, 1.0)]
    good = [
        t for t in tries if low <= t <= high and all(abs(t - x) >= clear - 1e-6 for x in lines)
    ]
    return min(good, key=lambda t: abs(t - middle)) if good else middle


def text_box(text: Text) -> Box:
    """Axis-parallel box of a text: from a fifth of its height below the base line to its capitals' top."""
    wide = text_width(text.text, text.height, text.bold)
    start = {"left": 0.0, "centre": -wide / 2, "right": -wide}[text.align]
    c, s = math.cos(text.angle), math.sin(text.angle)
    low, high = -0.2 * text.height, text.height
    corners = [
        (text.at[0] + x * c - y * s, text.at[1] + x * s + y * c)
        for x in (start, start + wide)
        for y in (low, high)
    ]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    return min(xs), min(ys), max(xs), max(ys)


def overlaps(sheet: Sheet) -> tuple[str, ...]:
    """One sentence for each text that touches another text, or a line of a dimension or leader."""
    texts: list[tuple[Text, Box, int]] = []
    lines: list[tuple[Line, int]] = []
    for n, primitive in enumerate(sheet.primitives):
        for stroke in strokes(primitive):
            if isinstance(stroke, Text) and stroke.text:
                texts.append((stroke, text_box(stroke), n))
            elif isinstance(stroke, Line) and isinstance(primitive, Dimension | Leader):
                lines.append((stroke, n))
    out = []
    for i, (text, box, _) in enumerate(texts):
        for other, b, _ in texts[i + 1 :]:
            if box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]:
                out.append(f"“{text.text}” touches “{other.text}”")
        for line, n in lines:
            if any(_cuts(p, q, box) for p, q in zip(line.points, line.points[1:], strict=False)):
                out.append(f"“{text.text}” touches a line of primitive {n}")
    return tuple(out)


def _cuts(p: Point2, q: Point2, box: Box) -> bool:
    """Whether the segment enters the box (slab test)."""
    t0, t1 = 0.0, 1.0
    for k in (0, 1):
        d = q[k] - p[k]
        low, high = box[k] - p[k], box[k + 2] - p[k]
        if abs(d) < 1e-12:
            if low >= 0 or high <= 0:
                return False
            continue
        a, b = sorted((low / d, high / d))
        t0, t1 = max(t0, a), min(t1, b)
    return t1 - t0 > 1e-9


def crossings(box: Box, primitives: Sequence[Primitive]) -> int:
    """How many lines and texts enter ``box``."""
    count = 0
    for primitive in primitives:
        for stroke in strokes(primitive):
            if isinstance(stroke, Line):
                count += any(_cuts(p, q, box) for p, q in zip(stroke.points, stroke.points[1:], strict=False))
            elif isinstance(stroke, Text):
                b = text_box(stroke)
                count += box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]
    return count


def outside(primitives: Sequence[Primitive], box: Box) -> tuple[str, ...]:
    """Texts and lines that leave ``box``."""
    out = []
    for primitive in primitives:
        for stroke in strokes(primitive):
            if isinstance(stroke, Text):
                b = text_box(stroke)
            elif isinstance(stroke, Line):
                xs, ys = zip(*stroke.points, strict=True)
                b = (min(xs), min(ys), max(xs), max(ys))
            else:
                (x, y), r = stroke.centre, stroke.radius
                b = (x - r, y - r, x + r, y + r)
            if b[0] < box[0] - 0.01 or b[1] < box[1] - 0.01 or b[2] > box[2] + 0.01 or b[3] > box[3] + 0.01:
                out.append(f"{stroke} leaves the sheet")
    return tuple(out)
