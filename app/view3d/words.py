"""What is written into the view: the elbow's mark and height, the frame of focus. Painted over the picture of any canvas."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from app.theme import palette
from app.view3d.camera import Camera
from app.view3d.scene import Scene
from app.words import tr

_DOT = 4.0  # radius, px


def paint_words(painter: QPainter, scene: Scene | None, camera: Camera, font: QFont, framed: bool) -> None:
    """Mark the elbow, and frame the view where the keys go to it; in logical pixels."""
    if framed:
        painter.setPen(QPen(QColor(palette().accent), 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(1, 1, camera.width - 2, camera.height - 2))
    if scene is None:
        return
    x, y, _ = camera.project(scene.elbow)[0].tolist()
    if not (np.isfinite(x) and 0 <= x <= camera.width and 0 <= y <= camera.height):
        return
    p = palette()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(p.paper), 1.5))
    painter.setBrush(QColor(p.accent))
    painter.drawEllipse(QPointF(x, y), _DOT, _DOT)
    size = QFontMetricsF(font)
    # Below the arm, where the level line does not run through the words; on a scrap of paper, so that no edge does.
    said = tr(scene.elbow_text)
    wide = size.horizontalAdvance(said) + 8
    box = QRectF(min(max(2.0, x - wide / 2), camera.width - wide - 2), y + _DOT + 4, wide, size.height())
    paper = QColor(p.paper)
    paper.setAlpha(215)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(paper)
    painter.drawRoundedRect(box, 2, 2)
    painter.setFont(font)
    painter.setPen(QColor(p.accent))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, said)
