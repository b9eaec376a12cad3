"""What is written beside a grip: its size, and why it goes no further."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from app.theme import palette

WIDE = 300.0  # px of a note's lines at most
OFF = 18.0  # from the middle of the grip


def paint_bubble(
    painter: QPainter, font: QFont, at: tuple[float, float], room: tuple[float, float], words: str, note: str
) -> None:
    """Write ``words``, and below them ``note`` in several lines, on a scrap of paper beside a point of the picture."""
    p, size = palette(), QFontMetricsF(font)
    flow = Qt.TextFlag.TextWordWrap
    head = QSizeF(size.horizontalAdvance(words), size.height())
    wide = max(min(WIDE, room[0] - 24), head.width())
    tail = size.boundingRect(QRectF(0, 0, wide, 1000), flow, note).size() if note else QSizeF()
    box = QSizeF(max(head.width(), tail.width()) + 14, head.height() + tail.height() + (10 if note else 6))
    left = at[0] + OFF if at[0] + OFF + box.width() < room[0] else at[0] - OFF - box.width()
    top = at[1] - box.height() - 8
    corner = QPointF(max(2.0, left), min(max(2.0, top), room[1] - box.height() - 2))
    painter.setFont(font)
    painter.setPen(QPen(QColor(p.line), 1.0))
    painter.setBrush(QColor(p.paper))
    painter.drawRoundedRect(QRectF(corner, box), 3, 3)
    inner = QRectF(corner + QPointF(7, 3), QSizeF(box.width() - 14, head.height()))
    painter.setPen(QColor(p.ink))
    painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
    if note:
        painter.setPen(QColor(p.soft))
        below = QRectF(inner.left(), inner.bottom() + 2, box.width() - 14, tail.height())
        painter.drawText(below, flow | Qt.AlignmentFlag.AlignLeft, note)
