"""The moving shape over the view: painted, on every canvas alike; hidden and idle until a mode is chosen."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QElapsedTimer, QLineF, QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.theme import palette
from app.view3d.camera import Camera
from app.view3d.scene import _LIGHT, Scene, _tone
from app.view3d.swing import Swing
from app.words import tr

SWINGS_A_SECOND = 0.8  # slow enough for the eye, whatever the frequency
PICTURE_MS = 33
_OVER = 40.0  # mm nearer: a sheet lies on its rails and hides their upper faces
_TONES = 24  # steps of light, so that brushes can be kept


class Swinging(QWidget):
    """Draws a swing; plays it, or holds it at its farthest."""

    def __init__(self, parent: QWidget, camera: Callable[[], Camera], scene: Callable[[], Scene | None]) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._camera, self._scene = camera, scene
        self.swing: Swing | None = None
        self.reach = 40.0
        self.words = ""
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setInterval(PICTURE_MS)
        self._timer.timeout.connect(self.update)
        self.hide()

    @property
    def playing(self) -> bool:
        """Whether it moves."""
        return self._timer.isActive()

    def show_swing(self, swing: Swing | None, words: str) -> None:
        """Show a mode held at its farthest, or go away with None."""
        self.swing, self.words = swing, words
        if swing is None:
            self.play(False)
        self.setVisible(swing is not None)
        self.update()

    def play(self, on: bool) -> None:
        """Let it swing, or hold it."""
        if on and self.swing is not None:
            self._clock.start()
            self._timer.start()
        else:
            self._timer.stop()
        self.update()

    def phase(self) -> float:
        """How far out it is now, -1 to 1; held it is all the way out."""
        return math.cos(2 * math.pi * SWINGS_A_SECOND * self._clock.elapsed() / 1000) if self.playing else 1.0

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint floor, the place at rest as faint lines, and the moved shape; on a slow machine rest as long as that took."""
        spent = QElapsedTimer()
        spent.start()
        self._picture()
        if self.playing:
            self._timer.start(max(PICTURE_MS - spent.elapsed(), spent.elapsed()))

    def _picture(self) -> None:
        camera, scene, swing = self._camera(), self._scene(), self.swing
        p = palette()
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(p.paper))
            if swing is None:
                return
            if scene is not None:
                _lines(painter, camera, scene.floor, QPen(QColor(p.line), 1.0))
                _lines(painter, camera, scene.vertices[scene.edges], QPen(QColor(p.line), 1.0))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, not self.playing)
            moved = swing.at(self.phase() * self.reach)
            _faces(painter, camera, swing, moved)
            accent = QPen(QColor(p.accent), 1.0)
            _lines(painter, camera, moved[swing.glass], accent)
            self._say(painter)

    def _say(self, painter: QPainter) -> None:
        p = palette()
        size = QFontMetricsF(self.font())
        box = QRectF(12, 10, size.horizontalAdvance(self.words) + 16, size.height() + 8)
        paper = QColor(p.paper)
        paper.setAlpha(225)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(paper)
        painter.drawRoundedRect(box, 3, 3)
        painter.setPen(QColor(p.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, tr(self.words))


def _lines(painter: QPainter, camera: Camera, segments: np.ndarray, pen: QPen) -> None:
    if len(segments):
        xy = camera.project(segments.reshape(-1, 3))[:, :2].reshape(-1, 4)
        painter.setPen(pen)
        painter.drawLines([QLineF(*row) for row in xy[np.isfinite(xy).all(1)].tolist()])


def _faces(painter: QPainter, camera: Camera, swing: Swing, moved: np.ndarray) -> None:
    """Fill the sides that face the eye from far to near; short lengths hide one another well enough in that order."""
    flat = camera.project(moved)
    corners = moved[swing.quads]
    xy = flat[swing.quads][:, :, :2]
    normal = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
    middle = corners.mean(1)
    toward = np.broadcast_to(camera.axes[2], middle.shape) if camera.parallel else camera.eye - middle
    seen = np.flatnonzero((np.einsum("ij,ij->i", normal, toward) > 0) & np.isfinite(xy).all((1, 2)))
    far = (middle[seen] - camera.eye) @ camera.axes[2] + _OVER * (swing.kind[seen] == 2)
    order = seen[np.argsort(far, kind="stable")]
    facing = normal[order] @ _LIGHT / np.maximum(np.linalg.norm(normal[order], axis=1), 1e-9)
    step = np.clip(((facing + 1) / 2 * _TONES).astype(int), 0, _TONES - 1)
    # The same light as on the stand at rest.
    brushes = {
        (sheet, k): QColor(*np.clip(_tone(kind) * (0.82 + 0.22 * ((k + 0.5) / _TONES * 2 - 1)), 0, 255).astype(int).tolist())
        for sheet, kind in enumerate(("member", "plate", "sheet", "sheet")) for k in range(_TONES)
    }  # fmt: skip
    ink = QPen(QColor(palette().ink), 0.8)
    outlined = [[QPointF(x, y) for x, y in quad] for quad in xy[order].tolist()]
    for points, sheet, k in zip(outlined, swing.kind[order].tolist(), step.tolist(), strict=True):
        colour = brushes[sheet, k]
        painter.setPen(QPen(colour, 0.8))
        painter.setBrush(colour)
        painter.drawConvexPolygon(QPolygonF(points))
        if sheet == 2:
            continue
        painter.setPen(ink)
        if sheet == 1:
            painter.drawPolyline(QPolygonF([*points, points[0]]))
        else:
            along = 0 if sheet == 3 else 1  # a tube's sides begin with the step round it
            painter.drawLine(points[along], points[along + 1])
            painter.drawLine(points[along + 2], points[(along + 3) % 4])
