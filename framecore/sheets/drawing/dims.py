"""Dimensions in lanes beside a view, where they cost least paper and crossings; and the check that nothing touches."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.sheets.drawing.lanes import FIRST as FIRST
from framecore.sheets.drawing.lanes import STEP as STEP
from framecore.sheets.drawing.lanes import Plan, Size, arrange
from framecore.sheets.drawing.model import Dimension, Leader, Line, Point2, Primitive, Sheet, Text
from framecore.sheets.drawing.pens import ARROW, strokes, text_width

HEIGHT = 2.5
GAP = 1.0  # between text and dimension line; clears the arrow heads

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Span:
    """One size to show: feature points on paper, true size in mm, the mark of the piece it leads to ("": plain to see)."""

    a: Point2
    b: Point2
    value: float
    mark: str = ""

    def said(self, words: Callable[[float], str]) -> str:
        """Return the size as printed."""
        return f"{words(self.value)} {self.mark}" if self.mark else words(self.value)


def lanes_needed(spans: Sequence[Span], side: str, words: Callable[[float], str]) -> float:
    """Room, mm, that ``stack`` takes beside the view."""
    return rooms(spans, (side,), words)[side]


def rooms(
    spans: Sequence[Span], sides: Sequence[str], words: Callable[[float], str], edges: Mapping[str, float] | None = None
) -> dict[str, float]:
    """Room, mm, that ``place`` takes on each side of the view."""
    out = dict.fromkeys(sides, 0.0)
    for p in _plan(spans, sides, words, edges).places:
        out[sides[p.side]] = max(out[sides[p.side]], FIRST + STEP * (p.lane + 1))
    return out


def _across(side: str) -> int:
    """Which coordinate runs along the lanes of a side."""
    return 0 if side in ("below", "above") else 1


def _along(span: Span, side: str) -> tuple[float, float]:
    k = _across(side)
    return min(span.a[k], span.b[k]), max(span.a[k], span.b[k])


def _plan(
    spans: Sequence[Span], sides: Sequence[str], words: Callable[[float], str], edges: Mapping[str, float] | None = None
) -> Plan:
    """Sides, lanes and places of the words, the cheapest of all."""
    sizes = []
    for span in spans:
        low, high = _along(span, sides[0])
        k = 1 - _across(sides[0])
        over = tuple(
            round(max(abs(span.a[k] - edges[s]), abs(span.b[k] - edges[s])), 3) if edges and len(sides) > 1 else 0.0
            for s in sides
        )
        sizes.append(Size(low, high, text_width(span.said(words), HEIGHT), over))
    return arrange(sizes)


def overhang(
    spans: Sequence[Span], words: Callable[[float], str], low: float, high: float, side: str = "below"
) -> Point2:
    """Room, mm, that dimensions below or above a view take to the left of ``low`` and to the right of ``high``."""
    left = right = 0.0
    for span, p in zip(spans, _plan(spans, (side,), words).places, strict=True):
        a, b = _along(span, side)
        half = text_width(span.said(words), HEIGHT) / 2
        tail = 0.0 if b - a >= 3 * ARROW and not p.out else 2 * ARROW
        left, right = max(left, low - min(a - tail, p.middle - half)), max(right, max(b + tail, p.middle + half) - high)
    return left, right


def stack(spans: Sequence[Span], side: str, edge: float, words: Callable[[float], str]) -> tuple[Dimension, ...]:
    """Place dimensions in the lanes of one side.

    Parameters
    ----------
    spans : what to show; equal ones are shown once by the caller
    side : "below", "above" (horizontal), "left" or "right" (vertical)
    edge : paper y (below, above) or x (left, right) where the view ends
    words : true size to text
    """
    return place(spans, {side: edge}, words)


def place(spans: Sequence[Span], edges: Mapping[str, float], words: Callable[[float], str]) -> tuple[Dimension, ...]:
    """Place dimensions on the sides of a view where they cost least; see ``lanes``.

    Parameters
    ----------
    edges : side -> where the view ends there; "below" and "above", or "left" and "right", the preferred one first
    """
    sides = tuple(edges)
    out: list[Dimension] = []
    for span, p in zip(spans, _plan(spans, sides, words, edges).places, strict=True):
        side, text = sides[p.side], span.said(words)
        away = 1.0 if side in ("right", "above") else -1.0
        at = edges[side] + away * (FIRST + STEP * p.lane)
        lift = 0.0 if p.out else GAP + HEIGHT / 2
        low, _ = _along(span, side)
        if _across(side) == 0:
            base, text_at, angle = (low, at), (p.middle, at + lift), 0.0
        else:
            base, text_at, angle = (at, low), (at - lift, p.middle), math.pi / 2
        out.append(
            Dimension(
                a=span.a, b=span.b, base=base, angle=angle, value=span.value, text=text, text_at=text_at, height=HEIGHT
            )
        )
    return tuple(out)


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
    lines: list[tuple[Point2, Point2]] = []
    owner: list[int] = []  # of each piece of line: its stroke
    of: list[int] = []  # of each stroke: its primitive
    for n, primitive in enumerate(sheet.primitives):
        for stroke in strokes(primitive):
            if isinstance(stroke, Text) and stroke.text:
                texts.append((stroke, text_box(stroke), n))
            elif isinstance(stroke, Line) and isinstance(primitive, Dimension | Leader):
                pieces = list(zip(stroke.points, stroke.points[1:], strict=False))
                lines += pieces
                owner += [len(of)] * len(pieces)
                of.append(n)
    segments, strokes_of = np.array(lines, float).reshape(-1, 2, 2), np.array(owner, np.intp)
    out = []
    for i, (text, box, _) in enumerate(texts):
        for other, b, _ in texts[i + 1 :]:
            if box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]:
                out.append(f"“{text.text}” touches “{other.text}”")
        hit = np.unique(strokes_of[cuts(segments, box)]).tolist()
        out += [f"“{text.text}” touches a line of primitive {of[k]}" for k in hit]
    return tuple(out)


def cuts(lines: NDArray[np.float64], box: Box) -> NDArray[np.bool_]:
    """Which segments, (k, 2, 2), enter the box (slab test)."""
    t0, t1 = np.zeros(len(lines)), np.ones(len(lines))
    for k in (0, 1):
        p, d = lines[:, 0, k], lines[:, 1, k] - lines[:, 0, k]
        level = np.abs(d) < 1e-12
        safe = np.where(level, 1.0, d)
        u, v = (box[k] - p) / safe, (box[k + 2] - p) / safe
        lo, hi = np.minimum(u, v), np.maximum(u, v)
        miss = level & ((p <= box[k]) | (p >= box[k + 2]))
        t0 = np.where(level, t0, np.maximum(t0, lo))
        t1 = np.where(miss, -1.0, np.where(level, t1, np.minimum(t1, hi)))
    return np.asarray(t1 - t0 > 1e-9)


class Crowd:
    """Lines and texts of a drawing, laid out once so that many boxes can be tried among them."""

    def __init__(self, primitives: Sequence[Primitive]) -> None:
        lines: list[tuple[Point2, Point2]] = []
        boxes: list[Box] = []
        for primitive in primitives:
            for stroke in strokes(primitive):
                if isinstance(stroke, Line):
                    lines += zip(stroke.points, stroke.points[1:], strict=False)
                elif isinstance(stroke, Text):
                    boxes.append(text_box(stroke))
        self._lines = np.array(lines, float).reshape(-1, 2, 2)
        self._boxes = np.array(boxes, float).reshape(-1, 4)

    def enters(self, box: Box) -> bool:
        """Whether a line or a text enters ``box``."""
        b = self._boxes
        words = (box[0] < b[:, 2]) & (b[:, 0] < box[2]) & (box[1] < b[:, 3]) & (b[:, 1] < box[3])
        return bool(words.any() or cuts(self._lines, box).any())


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
        if _far(primitive, box):
            continue
        for stroke in strokes(primitive):
            if isinstance(stroke, Line):
                count += any(_cuts(p, q, box) for p, q in zip(stroke.points, stroke.points[1:], strict=False))
            elif isinstance(stroke, Text):
                b = text_box(stroke)
                count += box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]
    return count


def _far(primitive: Primitive, box: Box) -> bool:
    """Whether it is plain without looking closely that a primitive keeps clear of a box: most of a drawing does."""
    if isinstance(primitive, Line):
        points, reach = primitive.points, 0.0
    elif isinstance(primitive, Text):
        points, reach = (primitive.at,), text_width(primitive.text, primitive.height, primitive.bold) + primitive.height
    elif isinstance(primitive, Dimension) and abs(math.sin(2 * primitive.angle)) < 1e-6:
        points = (primitive.a, primitive.b, primitive.base, primitive.text_at)
        reach = text_width(primitive.text, primitive.height) + 3 * ARROW
    else:
        return False
    x0, y0, x1, y1 = box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach
    return (
        all(p[0] < x0 for p in points) or all(p[0] > x1 for p in points)
        or all(p[1] < y0 for p in points) or all(p[1] > y1 for p in points)
    )  # fmt: skip


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
