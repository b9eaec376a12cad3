"""A sheet: frozen drawing primitives in paper millimetres, origin at the lower left corner, y up.

``layer`` decides line width and dash (see pens): "visible", "hidden", "centre", "dimension", "text",
"frame", "thin", "hatch", "cut". Every pen (PDF, DXF, SVG, screen) plays the same primitives.
"""

from __future__ import annotations

from dataclasses import dataclass

Point2 = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Polyline through ``points`` (closed when ``closed``; ``fill`` a grey 0 black .. 1 white or None)."""

    points: tuple[Point2, ...]
    layer: str = "visible"
    closed: bool = False
    fill: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """Circle or arc, counter-clockwise from ``start`` to ``end`` rad; full circle by default."""

    centre: Point2
    radius: float
    start: float = 0.0
    end: float = 6.283185307179586
    layer: str = "visible"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """Text at ``at``; ``height`` capital height mm; ``align`` "left", "centre", "right"; ``angle`` rad."""

    at: Point2
    text: str
    height: float = 2.5
    align: str = "left"
    angle: float = 0.0
    layer: str = "text"
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A linear dimension.

    ``a``, ``b`` feature points, ``base`` a point of the dimension line, ``angle`` its direction rad; ``value``
    mm true size, ``text`` as printed; ``text_at`` centre of the text.
    """

    a: Point2
    b: Point2
    base: Point2
    angle: float
    value: float
    text: str
    text_at: Point2
    height: float = 2.5
    layer: str = "dimension"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leader:
    """A mark or note with a leader line: ``points`` from the arrow, or the ``dot`` where it ends on a face, to the text."""

    points: tuple[Point2, ...]
    text: str
    circled: bool = False
    dot: bool = False
    height: float = 3.5
    layer: str = "dimension"


Primitive = Line | Arc | Text | Dimension | Leader


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewPlacement:
    """Where one view lies on the sheet: paper = ``at`` + ``scale`` x view coordinates (mm)."""

    name: str
    at: Point2
    scale: float
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One page. ``size`` (width, height) mm; ``scale_text`` "1:10"."""

    title: str
    size: tuple[float, float]
    primitives: tuple[Primitive, ...]
    views: tuple[ViewPlacement, ...] = ()
    scale_text: str = ""
