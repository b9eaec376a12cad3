"""Words where there is room for them: in sight, on no other word, across as few lines as can be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from framecore.sheets.drawing.dims import text_box
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Text
from framecore.sheets.seat.tiles import Box, clip

KEEP = 0.6  # mm between a word and what is beside it


@dataclass(slots=True)
class Ink:
    """What a window shows, in its own measures; ``at`` is where their zero lies on paper."""

    at: Point2
    window: Box
    lines: list[Line] = field(default_factory=list)
    arcs: list[Arc] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    def write(self, texts: Sequence[Text]) -> None:
        """Put words down."""
        self.texts += texts

    @property
    def drawn(self) -> list[Primitive]:
        """Everything in paper measures."""
        every: tuple[Primitive, ...] = (*self.lines, *self.arcs, *self.texts)
        return [_moved(p, self.at) for p in every]


def _moved(p: Primitive, by: Point2) -> Primitive:
    x, y = by
    if isinstance(p, Line):
        points = tuple((a + x, b + y) for a, b in p.points)
        return Line(points=points, layer=p.layer, closed=p.closed, fill=p.fill)
    if isinstance(p, Arc):
        at = (p.centre[0] + x, p.centre[1] + y)
        return Arc(centre=at, radius=p.radius, start=p.start, end=p.end, layer=p.layer)
    assert isinstance(p, Text)
    at = (p.at[0] + x, p.at[1] + y)
    return Text(at=at, text=p.text, height=p.height, align=p.align, angle=p.angle, layer=p.layer, bold=p.bold)


def free(ink: Ink, tries: Sequence[Text | tuple[Text, ...]]) -> tuple[Text, ...]:
    """Return the first of ``tries`` that crosses fewest lines; nothing where each touches a word or leaves the window."""
    best: tuple[Text, ...] = ()
    least = 10**9
    taken = [text_box(t) for t in ink.texts]
    for given in tries:
        words = given if isinstance(given, tuple) else (given,)
        boxes = [_wider(text_box(t)) for t in words]
        if not all(_within(b, ink.window) for b in boxes) or any(meet(b, t) for b in boxes for t in taken):
            continue
        count = sum(_hits(b, ink) for b in boxes)
        if count < least:
            best, least = words, count
        if count == 0:
            break
    return best


def _wider(b: Box) -> Box:
    return b[0] - KEEP, b[1] - KEEP, b[2] + KEEP, b[3] + KEEP


def _within(b: Box, window: Box) -> bool:
    return b[0] >= window[0] and b[1] >= window[1] and b[2] <= window[2] and b[3] <= window[3]


def meet(a: Box, b: Box) -> bool:
    """Whether two boxes share room."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _hits(box: Box, ink: Ink) -> int:
    """Lines across a box; a circle counts as three, for its rim is what is drilled to."""
    lines = sum(any(clip(p, q, box) for p, q in zip(k.points, k.points[1:], strict=False)) for k in ink.lines)
    round_ = sum(
        meet(box, (a.centre[0] - a.radius, a.centre[1] - a.radius, a.centre[0] + a.radius, a.centre[1] + a.radius))
        for a in ink.arcs
    )
    return lines + 3 * round_
