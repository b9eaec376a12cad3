"""One page on a desk: paper with a margin round it, zoom with the wheel, drag to move."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.sheetview.pen import ScreenPen
from app.theme import palette
from app.words import tr
from framecore.sheets.drawing.model import Sheet

STEP = 1.2


class PageView(QWidget):
    """Shows a sheet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(320, 240)
        self.setAccessibleName(tr("Sheet"))
        self._sheet: Sheet | None = None
        self.zoom = 0.0  # pixels a millimetre; 0: fit
        self._offset = QPointF()
        self._grab: QPointF | None = None

    def show_sheet(self, sheet: Sheet | None) -> None:
        """Show another page and keep the zoom."""
        self._sheet = sheet
        self.update()

    def fit(self) -> None:
        """Show the whole page."""
        self.zoom = 0.0
        self._offset = QPointF()
        self.update()

    def _scale(self) -> float:
        if self._sheet is None:
            return 1.0
        if self.zoom:
            return self.zoom
        w, h = self._sheet.size
        return min((self.width() - 32) / w, (self.height() - 32) / h)

    def magnify(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point of the widget."""
        old = self._scale()
        new = min(max(old * factor, 0.3), 40.0)
        centre = QPointF(self.width() / 2, self.height() / 2)
        lever = (about if about is not None else centre) - centre - self._offset
        self._offset -= lever * (new / old - 1)
        self.zoom = new
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the desk, the paper and its lines."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(palette().desk))
        if self._sheet is None:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        w, h = self._sheet.size
        scale = self._scale()
        painter.translate(
            self.width() / 2 + self._offset.x() - w * scale / 2,
            self.height() / 2 + self._offset.y() - h * scale / 2,
        )
        painter.scale(scale, scale)
        painter.fillRect(QRectF(0.6, 0.8, w, h), QColor(0, 0, 0, 40))
        painter.fillRect(QRectF(0, 0, w, h), QColor("white"))
        ScreenPen(painter, h).play(self._sheet)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom under the pointer."""
        self.magnify(STEP ** (event.angleDelta().y() / 120), event.position())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the paper."""
        self._grab = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the paper."""
        if self._grab is not None:
            self.zoom = self._scale()
            self._offset += event.position() - self._grab
            self._grab = event.position()
            self.update()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go."""
        self._grab = None

    def keyPressEvent(self, event: Any) -> None:
        """Plus and minus zoom, 0 fits."""
        text = event.text()
        if text in "+-" and text:
            self.magnify(STEP if text == "+" else 1 / STEP)
        elif text == "0":
            self.fit()
        else:
            super().keyPressEvent(event)
