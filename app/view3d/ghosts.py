"""Other stands over the present one: what they have otherwise, see-through; painted on every canvas alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.theme import palette
from app.view3d.camera import Camera, Floats
from framecore.stand.model import Stand

SAME = 0.05  # mm: corners no farther apart are the same
GHOST, REFERENCE = "ghost", "reference"
_FILL = {GHOST: 54, REFERENCE: 0}  # how opaque, of 255


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Otherwise:
    """What a stand has otherwise than another: triangles (m, 3, 3) mm and inked edges (k, 2, 3); names of its parts."""

    triangles: Floats
    edges: Floats
    parts: tuple[str, ...]


def otherwise(one: Stand, other: Stand) -> Otherwise:
    """Return the parts of ``one`` that ``other`` has not, or has elsewhere or of another shape."""
    a, b = one.solids.layout, other.solids.layout
    mine = one.solids.vertices[a.faces]
    theirs = other.solids.vertices[b.faces]
    known = {name: theirs[b.face_part == k] for k, name in enumerate(b.parts)}
    odd = np.zeros(len(a.parts), bool)
    for k, name in enumerate(a.parts):
        own, there = mine[a.face_part == k], known.get(name)
        odd[k] = there is None or own.shape != there.shape or bool(np.abs(own - there).max(initial=0.0) > SAME)
    return Otherwise(
        triangles=mine[odd[a.face_part]], edges=one.solids.vertices[a.edges][odd[a.edge_part]],
        parts=tuple(n for n, o in zip(a.parts, odd.tolist(), strict=True) if o),
    )  # fmt: skip


@dataclass(slots=True)
class _Layer:
    stand: Stand
    words: str
    new: Otherwise = field(init=False)
    gone: Otherwise = field(init=False)

    def against(self, present: Stand) -> None:
        self.new, self.gone = otherwise(self.stand, present), otherwise(present, self.stand)


class Ghosts(QWidget):
    """Draws a ghost (tried, not taken yet) and a reference (kept to compare with) over the stand.

    A ghost is filled and has full lines, a reference is dashed and empty; what the ghost takes away is crossed by dots.
    """

    def __init__(self, parent: QWidget, camera: Callable[[], Camera]) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._camera = camera
        self._present: Stand | None = None
        self._layers: dict[str, _Layer] = {}
        self.hide()

    def set_present(self, stand: Stand) -> None:
        """Take over the stand under them."""
        self._present = stand
        for layer in self._layers.values():
            layer.against(stand)

    def show_layer(self, name: str, stand: Stand | None, words: str = "") -> None:
        """Show a stand as ``GHOST`` or ``REFERENCE``, or put it away with None."""
        if stand is None or self._present is None:
            self._layers.pop(name, None)
        else:
            layer = _Layer(stand, words)
            layer.against(self._present)
            self._layers[name] = layer
        self.setGeometry(self.parentWidget().rect())
        self.setVisible(bool(self._layers))
        self.update()

    def shown(self, name: str) -> Stand | None:
        """Return the stand of a layer."""
        layer = self._layers.get(name)
        return layer.stand if layer is not None else None

    def odd_parts(self, name: str) -> tuple[frozenset[str], frozenset[str]]:
        """Return the parts that a layer draws of its own stand, and those of the present one that it has not so."""
        layer = self._layers[name]
        return frozenset(layer.new.parts), frozenset(layer.gone.parts)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the reference, the ghost over it, then what they are called."""
        camera = self._camera()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            top = 10.0
            for name in (REFERENCE, GHOST):
                layer = self._layers.get(name)
                if layer is None:
                    continue
                if _FILL[name]:
                    _fill(painter, camera, layer.new.triangles, _colour(_FILL[name]))
                    _lines(painter, camera, layer.gone.edges, QPen(QColor(palette().soft), 1.0, Qt.PenStyle.DotLine))
                _lines(painter, camera, layer.new.edges, _pen(name))
                top = self._say(painter, name, layer.words, top)

    def _say(self, painter: QPainter, name: str, words: str, top: float) -> float:
        p, size = palette(), QFontMetricsF(self.font())
        room = self.width() - 24.0 - 44.0
        text = size.elidedText(words, Qt.TextElideMode.ElideRight, room)
        box = QRectF(12, top, size.horizontalAdvance(text) + 52, size.height() + 8)
        paper = QColor(p.paper)
        paper.setAlpha(230)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(paper)
        painter.drawRoundedRect(box, 3, 3)
        sign = QRectF(box.left() + 8, box.center().y() - 5, 26, 10)
        painter.setBrush(_colour(_FILL[name]) if _FILL[name] else Qt.BrushStyle.NoBrush)
        painter.setPen(_pen(name))
        painter.drawRect(sign)
        painter.setPen(QColor(p.ink))
        painter.drawText(box.adjusted(42, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, text)
        return box.bottom() + 4


def _colour(alpha: int) -> QColor:
    colour = QColor(palette().accent)
    colour.setAlpha(alpha)
    return colour


def _pen(name: str) -> QPen:
    if name == GHOST:
        return QPen(QColor(palette().accent), 1.6)
    pen = QPen(QColor(palette().look), 1.0)  # a dashed line that is wider takes twice as long: it is drawn in every drag
    pen.setDashPattern([6.0, 4.0])
    return pen


def _lines(painter: QPainter, camera: Camera, segments: Floats, pen: QPen) -> None:
    if len(segments):
        xy = camera.project(segments.reshape(-1, 3))[:, :2].reshape(-1, 4)
        painter.setPen(pen)
        painter.drawLines([QLineF(*row) for row in xy[np.isfinite(xy).all(1)].tolist()])


def _fill(painter: QPainter, camera: Camera, triangles: Floats, colour: QColor) -> None:
    """Fill the sides that face the eye as one shape, so that nothing is tinted twice."""
    if not len(triangles):
        return
    xy = camera.project(triangles.reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    a, b = xy[:, 1] - xy[:, 0], xy[:, 2] - xy[:, 0]
    seen = np.isfinite(xy).all((1, 2)) & (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0] < 0)  # y points down
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for corners in xy[seen].tolist():
        path.moveTo(QPointF(*corners[0]))
        path.lineTo(QPointF(*corners[1]))
        path.lineTo(QPointF(*corners[2]))
        path.closeSubpath()
    painter.fillPath(path, colour)
