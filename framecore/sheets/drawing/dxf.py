"""The DXF pen: the views at true size in model space, millimetres, with real dimensions.

A sheet with views gives the views only, each enlarged by its own scale: views of the same scale keep
their places, others are set to the right of them. A sheet without views is written as it is on paper.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Point2, Primitive, Sheet, Text, ViewPlacement
from framecore.sheets.drawing.pens import LAYERS, Stroke, strokes, width
from framecore.words import say

LINETYPES = {"hidden": "DASHED", "centre": "CENTER"}
GAP = 500.0


@dataclass(frozen=True, slots=True)
class _Place:
    """model = (paper - origin) / scale + shift."""

    origin: Point2
    scale: float
    shift: Point2

    def to_model(self, p: Point2) -> Point2:
        return (
            (p[0] - self.origin[0]) / self.scale + self.shift[0],
            (p[1] - self.origin[1]) / self.scale + self.shift[1],
        )


def write_dxf(sheet: Sheet, target: str | Path | IO[str]) -> None:
    """Write the views of one sheet at true size.

    Raises
    ------
    OSError
        the path cannot be written.
    """
    doc = new_document()
    for layer in LAYERS:
        dash = LINETYPES.get(layer, "Continuous")
        doc.layers.add(layer, linetype=dash, lineweight=round(width(layer) * 100))
    space = doc.modelspace()
    for primitive, place in _placed(sheet):
        if isinstance(primitive, Dimension):
            _dimension(space, primitive, place)
        else:
            for stroke in strokes(primitive):
                _stroke(space, stroke, place)
    save(doc, target)


@contextmanager
def _same_each_time() -> Iterator[None]:
    """The same drawing gives the same file: no time of making or writing, no random ids."""
    from ezdxf._options import options

    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = fixed


def new_document() -> Any:
    """Return an empty drawing in millimetres with the text style "drawing"."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    with _same_each_time():
        doc = new("R2010", setup=True)
    doc.units = units.MM
    doc.header["$MEASUREMENT"] = 1
    doc.styles.add("drawing", font="DejaVuSans.ttf")
    return doc


def lettering(text: str) -> str:
    """Return ``text`` as it is said, its signs for diameter and degrees as DXF writes them."""
    return say(text).replace("ø", "%%c").replace("°", "%%d")


def save(doc: Any, target: str | Path | IO[str]) -> None:
    """Write a drawing to a path or a text stream.

    Raises
    ------
    OSError
        the path cannot be written.
    """
    stream = io.StringIO()
    with _same_each_time():
        doc.write(stream)
    if isinstance(target, str | Path):
        Path(target).write_text(stream.getvalue(), encoding="utf-8", newline="\r\n")
    else:
        target.write(stream.getvalue())


def _placed(sheet: Sheet) -> list[tuple[Primitive, _Place]]:
    if not sheet.views:
        same = _Place((0.0, 0.0), 1.0, (0.0, 0.0))
        return [(p, same) for p in sheet.primitives]
    main = sheet.views[0].scale
    origin = sheet.views[0].at
    edge = max((v.box[2] - origin[0]) / main for v in sheet.views if v.scale == main)
    places: list[tuple[ViewPlacement, _Place]] = []
    for view in sheet.views:
        if view.scale == main:
            places.append((view, _Place(origin, main, (0.0, 0.0))))
        else:
            corner = (view.box[0], view.box[1])
            places.append((view, _Place(corner, view.scale, (edge + GAP, 0.0))))
            edge += GAP + (view.box[2] - view.box[0]) / view.scale
    out = []
    for primitive in sheet.primitives:
        x0, y0, x1, y1 = extent(primitive)
        for view, place in places:
            b = view.box
            if x0 >= b[0] - 0.01 and y0 >= b[1] - 0.01 and x1 <= b[2] + 0.01 and y1 <= b[3] + 0.01:
                out.append((primitive, place))
                break
    return out


def extent(primitive: Primitive) -> tuple[float, float, float, float]:
    """Box of a primitive's defining points, paper mm."""
    if isinstance(primitive, Line | Leader):
        points = list(primitive.points)
    elif isinstance(primitive, Arc):
        (x, y), r = primitive.centre, primitive.radius
        points = [(x - r, y - r), (x + r, y + r)]
    elif isinstance(primitive, Text):
        points = [primitive.at]
    else:
        points = [primitive.a, primitive.b, primitive.base, primitive.text_at]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _dimension(space: Any, dim: Dimension, place: _Place) -> None:
    k = 1 / place.scale
    plain = dim.text == f"{round(dim.value)}" and abs(dim.value - round(dim.value)) < 0.05
    override = {
        "dimtxt": dim.height * k,
        "dimasz": 2.5 * k,
        "dimexo": 1.0 * k,
        "dimexe": 1.5 * k,
        "dimgap": 0.8 * k,
        "dimdec": 0 if plain else 3,
        "dimtxsty": "drawing",
        "dimblk": "",
        "dimtsz": 0,
        "dimlfac": 1.0,
    }
    made = space.add_linear_dim(
        base=place.to_model(dim.base),
        p1=place.to_model(dim.a),
        p2=place.to_model(dim.b),
        angle=math.degrees(dim.angle),
        text="<>" if plain else say(dim.text),
        dimstyle="EZDXF",
        override=override,
        dxfattribs={"layer": dim.layer},
    )
    made.set_location(place.to_model(dim.text_at))
    made.render()
    made.dimension.dxf.actual_measurement = made.dimension.get_measurement()


def _stroke(space: Any, stroke: Stroke, place: _Place) -> None:
    at = {"layer": stroke.layer}
    if isinstance(stroke, Text):
        from ezdxf.enums import TextEntityAlignment as Align

        where = {"centre": Align.CENTER, "right": Align.RIGHT}.get(stroke.align, Align.LEFT)
        entity = space.add_text(
            stroke.text,
            height=stroke.height / place.scale,
            rotation=math.degrees(stroke.angle),
            dxfattribs={**at, "style": "drawing"},
        )
        entity.set_placement(place.to_model(stroke.at), align=where)
        return
    if isinstance(stroke, Arc):
        centre, radius = place.to_model(stroke.centre), stroke.radius / place.scale
        if stroke.end - stroke.start >= 2 * math.pi - 1e-9:
            space.add_circle(centre, radius, dxfattribs=at)
        else:
            space.add_arc(centre, radius, math.degrees(stroke.start), math.degrees(stroke.end), dxfattribs=at)
        return
    points = [place.to_model(p) for p in stroke.points]
    if len(points) == 2:
        space.add_line(points[0], points[1], dxfattribs=at)
    elif stroke.fill == 0.0 and len(points) == 3:
        space.add_solid([*points, points[-1]], dxfattribs=at)
    else:
        space.add_lwpolyline(points, close=stroke.closed, dxfattribs=at)
