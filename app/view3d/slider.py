"""The height slider: a scale beside the view, the elbow band on it and a handle at the stand's height."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.numbers import length
from app.theme import palette
from app.words import tr
from framecore.units import INCH

if TYPE_CHECKING:
    from framecore.stand.model import Stand

LOW, HIGH = 300.0, 1300.0  # mm, what the scale shows when nothing lies outside it
TOP = 40.0  # pixels left free above and below the scale
SETTLE = 350  # ms without a turn of the wheel or a key: the gesture is over


class HeightSlider(QWidget):
    """Sets the floor to seat height.

    Signals
    -------
    moved(height, gesture) : mm; the same gesture number as long as one movement lasts
    released() : the movement is over
    """

    moved = Signal(float, int)
    released = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.SizeVerCursor)
        self.setAccessibleName(tr("Height of the stand"))
        self.setToolTip(tr("Height of the stand: drag, turn the wheel, or use the arrow keys"))
        self.units = "metric"
        self.height_mm = 0.0
        self.band = (0.0, 0.0)
        self.reference: float | None = None  # mm, the height of the stand that is kept to compare with
        self.low, self.high = LOW, HIGH
        self._gesture = 0
        self._dragging = False
        self._grip = 0.0
        self._turned = 0.0
        self._timer = QTimer(self, singleShot=True, interval=SETTLE)
        self._timer.timeout.connect(self._end)

    def set_stand(self, stand: Stand) -> None:
        """Show this stand's height and its elbow band."""
        height = stand.height
        self.units = stand.brief.units
        self.band = (height.band_low, height.band_high)
        if not self._moving:
            # The scale stands still under a moving hand; it only ever grows to hold what it must show.
            self.height_mm = height.height
            self._stretch()
        self.update()

    def set_reference(self, stand: Stand | None) -> None:
        """Mark the height of ``stand`` on the scale from now on."""
        self.reference = stand.height.height if stand is not None else None
        if not self._moving:
            self._stretch()
        self.update()

    def _stretch(self) -> None:
        shown = [self.height_mm, *(self.band if self.band[1] > self.band[0] else ())]
        shown += [] if self.reference is None else [self.reference]
        self.low = max(0.0, min(LOW, 100.0 * ((min(shown) - 50) // 100)))
        self.high = max(HIGH, 100.0 * ((max(shown) + 50) // 100 + 1))

    @property
    def _moving(self) -> bool:
        return self._dragging or self._timer.isActive()

    @property
    def step(self) -> float:
        """What a key or a notch of the wheel moves, mm."""
        return 5.0 if self.units == "metric" else INCH / 4

    # -- heights and pixels ------------------------------------------------------------------------------

    def y_of(self, height: float) -> float:
        """Return where a height stands, pixels from the top."""
        return TOP + (self.high - height) / (self.high - self.low) * max(self.height() - 2 * TOP, 1.0)

    def height_at(self, y: float) -> float:
        """Return the height at a pixel, mm."""
        return self.high - (y - TOP) / max(self.height() - 2 * TOP, 1.0) * (self.high - self.low)

    def _go(self, height: float) -> None:
        # The handle stops at the ends of its scale as anyone can see; other heights are typed.
        height = min(max(height, self.low), self.high)
        if height != self.height_mm:
            self.height_mm = height
            self.update()
            self.moved.emit(height, self._gesture)

    def _by(self, steps: float) -> None:
        if not self._moving:
            self._gesture += 1
        if not self._dragging:
            self._timer.start()
        self._go(round(self.height_mm / self.step + steps) * self.step)

    def _end(self) -> None:
        self._timer.stop()
        self.released.emit()

    # -- hands -------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the handle; elsewhere the handle comes to the mouse."""
        if event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
            return
        if self._timer.isActive():
            self._end()
        self._gesture += 1
        self._dragging = True
        off = event.position().y() - self.y_of(self.height_mm)
        self._grip = off if abs(off) <= 12 else 0.0
        self._drag(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the stand."""
        if self._dragging:
            self._drag(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if self._dragging and event.button() == Qt.MouseButton.LeftButton:
            self._dragging = False
            self._end()

    def _drag(self, event: QMouseEvent) -> None:
        y = event.position().y() - self._grip
        if abs(y - self.y_of(self.height_mm)) < 0.5:
            return  # taking the handle moves nothing
        fine = 1.0 if self.units == "metric" else INCH / 32
        self._go(round(self.height_at(y) / fine) * fine)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """One step a notch; a fine wheel adds up."""
        self._turned += event.angleDelta().y() / 120
        steps = int(self._turned)
        if steps:
            self._turned -= steps
            self._by(steps)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows move by a step, page keys by ten."""
        keys = Qt.Key
        steps = {keys.Key_Up: 1, keys.Key_Down: -1, keys.Key_PageUp: 10, keys.Key_PageDown: -10}.get(event.key())
        if steps is None:
            super().keyPressEvent(event)
        else:
            self._by(steps)

    # -- picture -----------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """Room for the scale and the height in words."""
        width = QFontMetricsF(self.font()).horizontalAdvance("~00 00/00 in") + 34
        return QSize(int(width), 400)

    def minimumSizeHint(self) -> QSize:
        """As wide as it wants, at least high enough to read."""
        return QSize(self.sizeHint().width(), 200)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw scale, band and handle."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(palette().paper))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            x = self.width() - 20.0
            self._paint_scale(painter, x)
            self._paint_reference(painter, x)
            self._paint_handle(painter, x)

    def _paint_scale(self, painter: QPainter, x: float) -> None:
        c, line = palette(), QFontMetricsF(self.font()).height()
        if self.band[1] > self.band[0]:
            top, low = self.y_of(self.band[1]), self.y_of(self.band[0])
            # A bracket besides the tint: the band is seen without its colour.
            painter.fillRect(QRectF(x - 8, top, 16, low - top), QColor(c.lit))
            painter.setPen(QPen(QColor(c.accent), 1.5))
            painter.drawPolyline([QPointF(x + 4, top), QPointF(x + 10, top), QPointF(x + 10, low), QPointF(x + 4, low)])
        painter.setPen(QPen(QColor(c.soft), 1))
        painter.drawLine(QPointF(x, self.y_of(self.high)), QPointF(x, self.y_of(self.low)))
        fine, coarse = (25.0, 4) if self.units == "metric" else (INCH, 4)
        taken = [self.y_of(self.height_mm), *([] if self.reference is None else [self.y_of(self.reference)])]
        for i in range(int(-(-self.low // fine)), int(self.high // fine) + 1):
            y, major = self.y_of(i * fine), i % coarse == 0
            painter.setPen(QPen(QColor(c.soft if major else c.line), 1))
            painter.drawLine(QPointF(x - (8 if major else 4), y), QPointF(x, y))
            if major and all(abs(y - t) > line for t in taken):
                words = f"{i * fine:.0f}" if self.units == "metric" else f"{i}"
                right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                painter.drawText(QRectF(0, y - line / 2, x - 12, line), right, tr(words))
        painter.setPen(QColor(c.soft))
        centre = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(0, 6, self.width(), line), centre, tr("Height"))

    def _paint_reference(self, painter: QPainter, x: float) -> None:
        """A dashed line and an open triangle where the reference stands; dashed as it is in the view."""
        if self.reference is None:
            return
        c, y, line = palette(), self.y_of(self.reference), QFontMetricsF(self.font()).height()
        painter.setBrush(QColor(c.paper))
        painter.setPen(QPen(QColor(c.look), 1.3))
        painter.drawPolygon([QPointF(x + 11, y - 5), QPointF(x + 2, y), QPointF(x + 11, y + 5)])
        pen = QPen(QColor(c.look), 1.3)
        pen.setDashPattern([4.0, 3.0])
        painter.setPen(pen)
        painter.drawLine(QPointF(x - 12, y), QPointF(x, y))
        off = y - self.y_of(self.height_mm)
        if abs(off) < 1:
            return
        # Beside its line, but never over the height itself: then above or below it.
        at = y if abs(off) > line else self.y_of(self.height_mm) + (line if off > 0 else -line)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(0, at - line / 2, x - 13, line), right, length(self.reference, self.units))

    def _paint_handle(self, painter: QPainter, x: float) -> None:
        c, y = palette(), self.y_of(self.height_mm)
        painter.setPen(QPen(QColor(c.ink), 2.0 if self.hasFocus() else 1.0))
        painter.setBrush(QColor(c.accent))
        painter.drawPolygon([QPointF(x - 10, y - 7), QPointF(x, y), QPointF(x - 10, y + 7)])
        line = QFontMetricsF(self.font()).height()
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.setPen(QColor(c.ink))
        painter.drawText(QRectF(0, y - line / 2, x - 13, line), right, length(self.height_mm, self.units))
