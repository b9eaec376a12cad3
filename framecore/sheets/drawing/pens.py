"""What a pen is: line widths, dashes, and how marks and dimensions break down into strokes.

Every pen plays the output of :func:`strokes`, so an arrow is the same arrow in each file.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files

from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Point2, Primitive, Text
from framecore.words import as_made, say

Stroke = Line | Arc | Text

WIDE, NARROW = 0.5, 0.25  # mm, ratio 2:1 (ISO 128-2)
WIDTHS = {"visible": WIDE, "cut": 0.7, "frame": 0.7}
DASHES: dict[str, tuple[float, ...]] = {
    # 12 d dash, 3 d gap; 24 d, 3 d, half d dot, 3 d (ISO 128-2), d the narrow width
    "hidden": (12 * NARROW, 3 * NARROW),
    "centre": (24 * NARROW, 3 * NARROW, 0.5 * NARROW, 3 * NARROW),
}
LAYERS = ("visible", "hidden", "centre", "dimension", "text", "frame", "thin", "hatch", "cut")
ARROW = 2.5
DOT = 0.5  # mm, radius of the dot a leader ends with on a face; on an outline it has an arrow (ISO 128-2, from memory)
CAP = 1493 / 2048  # capital height over the em of the drawing face
FACE, FACE_BOLD = "DejaVuSans", "DejaVuSans-Bold"


def width(layer: str) -> float:
    """Line width of a layer, mm."""
    return WIDTHS.get(layer, NARROW)


@lru_cache(maxsize=1)
def fonts() -> str:
    """Register the drawing faces with the PDF library once; return the name of the plain one."""
    import io

    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    rl_config.useA85 = 0  # plain bytes: a fifth shorter, and no time is spent to spell them in letters

    for name in (FACE, FACE_BOLD):
        data = files("resources").joinpath("fonts", f"{name}.ttf").read_bytes()
        pdfmetrics.registerFont(TTFont(name, io.BytesIO(data)))
    return FACE


class _Advances(dict[str, float]):
    """Advance of each character of a face at size 1, asked of the face once."""

    def __init__(self, face: str) -> None:
        from reportlab.pdfbase import pdfmetrics

        fonts()
        super().__init__()
        self._of: Callable[[str, str, float], float] = pdfmetrics.stringWidth
        self._face = face

    def __missing__(self, character: str) -> float:
        found = self[character] = float(self._of(character, self._face, 1.0))
        return found


@lru_cache(maxsize=2)
def _advances(face: str) -> _Advances:
    return _Advances(face)


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Advance width, mm, of ``text`` as it is said, with capital height ``height`` mm, by the face's own metrics."""
    return _width_of(say(text), height, bold)


@lru_cache(maxsize=8192)
def _width_of(text: str, height: float, bold: bool) -> float:
    return sum(map(_advances(FACE_BOLD if bold else FACE).__getitem__, text)) * height / CAP


def strokes(primitive: Primitive) -> tuple[Stroke, ...]:
    """Break a dimension or leader into lines, arcs and texts, said in the language that is spoken."""
    if isinstance(primitive, Dimension):
        broken = _dimension(primitive)
    elif isinstance(primitive, Leader):
        broken = _leader(primitive)
    else:
        broken = (primitive,)
    if as_made():
        return broken
    return tuple(replace(s, text=say(s.text)) if isinstance(s, Text) else s for s in broken)


def _arrow(tip: Point2, direction: float, length: float, layer: str) -> Line:
    a, b = (
        (tip[0] + length * math.cos(direction + h), tip[1] + length * math.sin(direction + h))
        for h in (0.16, -0.16)
    )
    return Line(points=(tip, a, b), closed=True, fill=0.0, layer=layer)


def _dot(at: Point2, layer: str) -> Line:
    turns = [2 * math.pi * k / 12 for k in range(12)]
    ring = tuple((at[0] + DOT * math.cos(t), at[1] + DOT * math.sin(t)) for t in turns)
    return Line(points=ring, closed=True, fill=0.0, layer=layer)


def upright(angle: float) -> float:
    """Turn a direction so that text along it reads from below or from the right."""
    angle = math.remainder(angle, math.pi)
    return angle + math.pi if angle <= -math.pi / 2 + 1e-9 else angle


def feet(dim: Dimension) -> tuple[Point2, Point2]:
    """Where the extension lines meet the dimension line."""
    c, s = math.cos(dim.angle), math.sin(dim.angle)
    out = []
    for p in (dim.a, dim.b):
        t = (p[0] - dim.base[0]) * c + (p[1] - dim.base[1]) * s
        out.append((dim.base[0] + t * c, dim.base[1] + t * s))
    return out[0], out[1]


def _dimension(dim: Dimension) -> tuple[Stroke, ...]:
    out: list[Stroke] = []
    ends = feet(dim)
    for p, foot in zip((dim.a, dim.b), ends, strict=True):
        dx, dy = foot[0] - p[0], foot[1] - p[1]
        far = math.hypot(dx, dy)
        if far > 1.0:
            ux, uy = dx / far, dy / far
            out.append(
                Line(
                    points=((p[0] + ux, p[1] + uy), (foot[0] + 1.5 * ux, foot[1] + 1.5 * uy)),
                    layer=dim.layer,
                )
            )
    a, b = ends
    span = math.hypot(b[0] - a[0], b[1] - a[1])
    along = math.atan2(b[1] - a[1], b[0] - a[0]) if span else dim.angle
    inside = span >= 3 * ARROW
    reach = 0.0 if inside else 2 * ARROW
    c, s = math.cos(along), math.sin(along)
    line = ((a[0] - reach * c, a[1] - reach * s), (b[0] + reach * c, b[1] + reach * s))
    out.append(Line(points=line, layer=dim.layer))
    out.append(_arrow(a, along if inside else along + math.pi, ARROW, dim.layer))
    out.append(_arrow(b, along + math.pi if inside else along, ARROW, dim.layer))
    angle = upright(dim.angle)
    drop = dim.height / 2
    at = (dim.text_at[0] + drop * math.sin(angle), dim.text_at[1] - drop * math.cos(angle))
    out.append(Text(at=at, text=dim.text, height=dim.height, align="centre", angle=angle))
    return tuple(out)


def _leader(leader: Leader) -> tuple[Stroke, ...]:
    points, end = leader.points, leader.points[-1]
    out: list[Stroke] = []
    if len(points) > 1:
        out.append(Line(points=points, layer=leader.layer))
        turn = math.atan2(points[1][1] - points[0][1], points[1][0] - points[0][0])
        out.append(_dot(points[0], leader.layer) if leader.dot else _arrow(points[0], turn, 2.0, leader.layer))
    h = leader.height
    if leader.circled:
        centre, radius = balloon(leader)
        out.append(Arc(centre=centre, radius=radius, layer=leader.layer))
        out.append(Text(at=(centre[0], centre[1] - h / 2), text=leader.text, height=h, align="centre"))
        return tuple(out)
    left = len(points) > 1 and points[-2][0] > end[0]
    at = (end[0] + (-1 if left else 1), end[1] - h / 2)
    out.append(Text(at=at, text=leader.text, height=h, align="right" if left else "left"))
    return tuple(out)


def balloon(leader: Leader) -> tuple[Point2, float]:
    """Centre and radius of a circled mark: the circle begins where the leader line ends."""
    end = leader.points[-1]
    radius = leader.height * 1.1
    before = leader.points[-2] if len(leader.points) > 1 else (end[0] - 1, end[1])
    away = math.atan2(end[1] - before[1], end[0] - before[0])
    return (end[0] + radius * math.cos(away), end[1] + radius * math.sin(away)), radius
