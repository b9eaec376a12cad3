"""The screen's pen: plays a sheet on a painter, in paper millimetres with y up."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Sheet, Text
from framecore.sheets.drawing.pens import CAP, DASHES, FACE, strokes, width

INK = QColor("#1d2227")
EM = 100  # pixels of the face while its outline is taken


@cache
def face() -> str:
    """Register the drawing face with the toolkit once; return its family."""
    family = "sans-serif"
    for name in (f"{FACE}-Bold", FACE):
        data = files("resources").joinpath("fonts", f"{name}.ttf").read_bytes()
        number = QFontDatabase.addApplicationFontFromData(data)
        found = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
        family = found[0] if found else family
    return family


class ScreenPen:
    """Draws one sheet.

    Parameters
    ----------
    painter : its transform maps paper millimetres, y down from the top edge, to pixels.
    height : of the sheet, mm.
    """

    def __init__(self, painter: QPainter, height: float) -> None:
        self.painter = painter
        self.height = height

    def play(self, sheet: Sheet) -> None:
        """Draw every primitive."""
        for primitive in sheet.primitives:
            self.draw(primitive)

    def draw(self, primitive: Primitive) -> None:
        """Draw one primitive, broken down into the strokes that every pen plays."""
        for stroke in strokes(primitive):
            if isinstance(stroke, Line):
                self._line(stroke)
            elif isinstance(stroke, Arc):
                self._arc(stroke)
            else:
                self._text(stroke)

    def _at(self, p: Point2) -> QPointF:
        return QPointF(p[0], self.height - p[1])

    def _pen(self, layer: str) -> QPen:
        wide = width(layer)
        pen = QPen(INK, wide)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap if layer in DASHES else Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if layer in DASHES:
            pen.setDashPattern([d / wide for d in DASHES[layer]])
        return pen

    def _line(self, line: Line) -> None:
        self.painter.setPen(self._pen(line.layer))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        if line.fill is not None:
            grey = round(255 * line.fill)
            self.painter.setBrush(INK if line.fill == 0 else QColor(grey, grey, grey))
        points = QPolygonF([self._at(p) for p in line.points])
        if line.closed or line.fill is not None:
            self.painter.drawPolygon(points)
        else:
            self.painter.drawPolyline(points)

    def _arc(self, arc: Arc) -> None:
        self.painter.setPen(self._pen(arc.layer))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        c, r = self._at(arc.centre), arc.radius
        box = QRectF(c.x() - r, c.y() - r, 2 * r, 2 * r)
        span = arc.end - arc.start
        if span >= 2 * math.pi - 1e-9:
            self.painter.drawEllipse(box)
        else:
            self.painter.drawArc(box, round(math.degrees(arc.start) * 16), round(math.degrees(span) * 16))

    def _text(self, text: Text) -> None:
        # Outlines, because a face of two or three pixels is hinted to nothing before the zoom applies.
        font = QFont(face())
        font.setPixelSize(EM)
        font.setBold(text.bold)
        scale = text.height / (EM * CAP)
        wide = QFontMetricsF(font).horizontalAdvance(text.text)
        shift = {"left": 0.0, "centre": -wide / 2, "right": -wide}[text.align]
        path = QPainterPath()
        path.addText(shift, 0.0, font, text.text)
        self.painter.save()
        self.painter.translate(self._at(text.at))
        self.painter.rotate(-math.degrees(text.angle))
        self.painter.scale(scale, scale)
        self.painter.fillPath(path, INK)
        self.painter.restore()
