"""The screen's pen: plays the primitives of a sheet on a painter, paper millimetres, y up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from framecore.sheets.model import Arc, Dimension, Leader, Line, Point2, Primitive, Sheet, Text

WIDTHS = {"visible": 0.5, "cut": 0.7, "frame": 0.7, "text": 0.25}
THIN = 0.25
DASHES: dict[str, list[float]] = {"hidden": [3.0, 1.5], "centre": [8.0, 1.5, 1.0, 1.5]}
INK = QColor("#1d2227")
CAP = 0.716  # capital height over the em of the screen face
ARROW = 2.5


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
        """Draw one primitive."""
        if isinstance(primitive, Line):
            self._line(primitive)
        elif isinstance(primitive, Arc):
            self._arc(primitive)
        elif isinstance(primitive, Text):
            self._text(
                primitive.at,
                primitive.text,
                primitive.height,
                primitive.align,
                primitive.angle,
                primitive.bold,
            )
        elif isinstance(primitive, Dimension):
            self._dimension(primitive)
        else:
            self._leader(primitive)

    def _at(self, p: Point2) -> QPointF:
        return QPointF(p[0], self.height - p[1])

    def _pen(self, layer: str) -> QPen:
        width = WIDTHS.get(layer, THIN)
        pen = QPen(INK, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap if layer in DASHES else Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if layer in DASHES:
            pen.setDashPattern([d / width for d in DASHES[layer]])
        return pen

    def _points(self, points: Sequence[Point2]) -> QPolygonF:
        return QPolygonF([self._at(p) for p in points])

    def _line(self, line: Line) -> None:
        self.painter.setPen(self._pen(line.layer))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        if line.fill is not None:
            grey = round(255 * line.fill)
            self.painter.setBrush(QColor(grey, grey, grey))
        if line.closed:
            self.painter.drawPolygon(self._points(line.points))
        else:
            self.painter.drawPolyline(self._points(line.points))

    def _arc(self, arc: Arc) -> None:
        self.painter.setPen(self._pen(arc.layer))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        c = self._at(arc.centre)
        box = QRectF(c.x() - arc.radius, c.y() - arc.radius, 2 * arc.radius, 2 * arc.radius)
        span = arc.end - arc.start
        if span >= 2 * math.pi - 1e-9:
            self.painter.drawEllipse(box)
        else:
            self.painter.drawArc(box, round(math.degrees(arc.start) * 16), round(math.degrees(span) * 16))

    def _text(
        self, at: Point2, text: str, height: float, align: str, angle: float, bold: bool = False
    ) -> None:
        # Glyph paths, because fonts of two or three "pixels" are hinted to nothing before the zoom applies.
        font = QFont(self.painter.font())
        font.setPixelSize(100)
        font.setBold(bold)
        scale = height / (100 * CAP)
        width = QFontMetricsF(font).horizontalAdvance(text)
        shift = {"left": 0.0, "centre": -width / 2, "right": -width}.get(align, 0.0)
        path = QPainterPath()
        path.addText(shift, 0.0, font, text)
        self.painter.save()
        self.painter.translate(self._at(at))
        self.painter.rotate(-math.degrees(angle))
        self.painter.scale(scale, scale)
        self.painter.fillPath(path, INK)
        self.painter.restore()

    def _arrow(self, tip: Point2, direction: float, length: float = ARROW) -> None:
        half = 0.16
        a = (tip[0] + length * math.cos(direction + half), tip[1] + length * math.sin(direction + half))
        b = (tip[0] + length * math.cos(direction - half), tip[1] + length * math.sin(direction - half))
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(INK)
        self.painter.drawPolygon(self._points((tip, a, b)))

    def _dimension(self, dim: Dimension) -> None:
        c, s = math.cos(dim.angle), math.sin(dim.angle)
        feet: list[Point2] = []
        self.painter.setPen(self._pen(dim.layer))
        for p in (dim.a, dim.b):
            t = (p[0] - dim.base[0]) * c + (p[1] - dim.base[1]) * s
            foot = (dim.base[0] + t * c, dim.base[1] + t * s)
            feet.append(foot)
            dx, dy = foot[0] - p[0], foot[1] - p[1]
            far = math.hypot(dx, dy)
            if far > 1.0:
                ux, uy = dx / far, dy / far
                self.painter.drawLine(
                    self._at((p[0] + ux, p[1] + uy)), self._at((foot[0] + 2 * ux, foot[1] + 2 * uy))
                )
        a, b = feet
        span = math.hypot(b[0] - a[0], b[1] - a[1])
        along = math.atan2(b[1] - a[1], b[0] - a[0]) if span else dim.angle
        inside = span >= 3 * ARROW
        ends: tuple[Point2, Point2] = (a, b)
        if not inside:
            out = 2 * ARROW
            ends = (
                (a[0] - out * math.cos(along), a[1] - out * math.sin(along)),
                (b[0] + out * math.cos(along), b[1] + out * math.sin(along)),
            )
        self.painter.drawLine(self._at(ends[0]), self._at(ends[1]))
        self._arrow(a, along if inside else along + math.pi)
        self._arrow(b, along + math.pi if inside else along)
        drop = dim.height / 2
        angle = math.remainder(dim.angle, math.pi)
        if angle <= -math.pi / 2 + 1e-9:
            angle += math.pi
        at = (dim.text_at[0] + drop * math.sin(angle), dim.text_at[1] - drop * math.cos(angle))
        self._text(at, dim.text, dim.height, "centre", angle)

    def _leader(self, leader: Leader) -> None:
        self.painter.setPen(self._pen(leader.layer))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        points = leader.points
        end = points[-1]
        if len(points) > 1:
            self.painter.drawPolyline(self._points(points))
            first, second = points[0], points[1]
            self._arrow(first, math.atan2(second[1] - first[1], second[0] - first[0]), 2.0)
        if leader.circled:
            radius = leader.height * 1.1
            self.painter.setPen(self._pen(leader.layer))
            self.painter.setBrush(QColor("white"))
            before = points[-2] if len(points) > 1 else (end[0] - 1, end[1])
            away = math.atan2(end[1] - before[1], end[0] - before[0])
            centre = (end[0] + radius * math.cos(away), end[1] + radius * math.sin(away))
            self.painter.drawEllipse(self._at(centre), radius, radius)
            self._text((centre[0], centre[1] - leader.height / 2), leader.text, leader.height, "centre", 0.0)
            return
        left = len(points) > 1 and points[-2][0] > end[0]
        at = (end[0] + (-1 if left else 1), end[1] - leader.height / 2)
        self._text(at, leader.text, leader.height, "right" if left else "left", 0.0)
