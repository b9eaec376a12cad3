"""The pattern from above, to scale: numbered holes, datum, sizes, misfits; holes can be dragged."""

from __future__ import annotations

import math
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.numbers import shown as as_shown
from app.theme import palette
from app.view3d.holes import Points
from app.view3d.written import small, snapped
from app.words import tr
from framecore.units import format_length

Arrow = tuple[int, float, float]  # a hole and what is off at it, mm
LONGEST = 34.0  # the longest arrow, px
REACH = 14.0
MOST = 200.0  # times as long an arrow is drawn at most: less than that is nobody's to see
NARROW = 0.03  # columns nearer than this share of the pattern are meant to be one
SAME = 0.05  # mm; sizes this near are one


class PatternPicture(QWidget):
    """The holes seen from above.

    Signals
    -------
    taken(k) : hole k (from 0) is held
    moved(k, x, y) : it was dragged there, mm
    """

    taken = Signal(int)
    moved = Signal(int, float, float)

    def __init__(self) -> None:
        super().__init__()
        self.holes: Points = ()
        self.arrows: tuple[Arrow, ...] = ()
        self.units = "metric"
        self._held = -1
        self._frame = (1.0, QPointF())  # px a mm, where the datum is
        self.setMinimumSize(330, 240)
        self.setMouseTracking(True)
        self.setAccessibleName(tr("Hole pattern from above"))

    def sizeHint(self) -> QSize:
        """Room for a pattern longer than deep."""
        return QSize(430, 320)

    def show_holes(self, holes: Points, arrows: tuple[Arrow, ...] = ()) -> None:
        """Draw these holes, and what is off at them."""
        self.holes, self.arrows = holes, arrows
        places = (f"hole {k}: x {x:.1f}, y {y:.1f} mm" for k, (x, y) in enumerate(holes, 1))
        self.setAccessibleDescription(tr("; ".join(places)))
        self.update()

    # -- places and pixels ---------------------------------------------------------------------------------

    def frame(self) -> tuple[float, QPointF]:
        """Return px a mm and the pixel of the datum; they stay while a hole is held."""
        if self._held < 0 and self.holes:
            # The datum is shown where it does not make the pattern tiny.
            xs, ys = [h[0] for h in self.holes], [h[1] for h in self.holes]
            size = max(max(xs) - min(xs), max(ys) - min(ys), 1.0)
            if max(abs(v) for v in (*xs, *ys)) < 2.5 * size:
                xs, ys = [*xs, 0.0], [*ys, 0.0]
            room = QRectF(self.rect()).adjusted(88, 34, -72, -74)
            wide, deep = max(max(xs) - min(xs), 1.0), max(max(ys) - min(ys), 1.0)
            scale = min(room.width() / wide, room.height() / deep)
            self._frame = scale, QPointF(
                room.center().x() - scale * (min(xs) + max(xs)) / 2, room.center().y() + scale * (min(ys) + max(ys)) / 2
            )
        return self._frame

    def spot(self, x: float, y: float) -> QPointF:
        """Return the pixel of a place."""
        scale, zero = self.frame()
        return QPointF(zero.x() + scale * x, zero.y() - scale * y)

    def _near(self, at: QPointF) -> int:
        off = [math.hypot(*(self.spot(*h) - at).toTuple()) for h in self.holes]
        best = min(range(len(off)), key=off.__getitem__, default=-1)
        return best if best >= 0 and off[best] <= REACH else -1

    # -- hands ---------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a hole."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held = self._near(event.position())
            if self._held >= 0:
                self.taken.emit(self._held)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag it to the next step of the rule; with Shift or Alt anywhere."""
        at = event.position()
        if self._held < 0:
            self.setCursor(Qt.CursorShape.SizeAllCursor if self._near(at) >= 0 else Qt.CursorShape.ArrowCursor)
            return
        scale, zero = self._frame
        x, y = (at.x() - zero.x()) / scale, (zero.y() - at.y()) / scale
        if not event.modifiers() & (Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.AltModifier):
            x, y = snapped(x, self.units), snapped(y, self.units)
        self.moved.emit(self._held, x, y)

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go; the picture fits again."""
        self._held = -1
        self.update()

    # -- picture -------------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint datum, sizes, holes and arrows."""
        colours = palette()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(colours.paper))
            if not self.holes:
                painter.setPen(QColor(colours.soft))
                painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, tr("the pattern shows here"))
                return
            self._paint_datum(painter)
            self._paint_sizes(painter)
            for number, (x, y) in enumerate(self.holes, 1):
                at = self.spot(x, y)
                painter.setPen(QPen(QColor(colours.ink), 1.2))
                painter.drawEllipse(at, 6, 6)
                painter.drawLine(at - QPointF(10, 0), at + QPointF(10, 0))
                painter.drawLine(at - QPointF(0, 10), at + QPointF(0, 10))
                painter.setPen(QColor(colours.accent))
                painter.drawText(at + QPointF(9, -9), str(number))
            self._paint_arrows(painter)

    def _paint_datum(self, painter: QPainter) -> None:
        at = self.spot(0.0, 0.0)
        if not QRectF(self.rect()).contains(at):
            return
        painter.setPen(QPen(QColor(palette().accent), 1.6))
        for way in (QPointF(7, 7), QPointF(7, -7)):
            painter.drawLine(at - way, at + way)
        on_hole = any(math.hypot(x, y) < SAME for x, y in self.holes)
        painter.drawText(at + (QPointF(-48, 20) if on_hole else QPointF(9, 16)), tr("datum"))

    def _paint_sizes(self, painter: QPainter) -> None:
        """Distances between neighbouring columns below and rows at the left; along the sides where there are none."""
        xs, ys = _distinct([h[0] for h in self.holes]), _distinct([h[1] for h in self.holes])
        span = max(xs[-1] - xs[0], ys[-1] - ys[0])
        if any(b - a < NARROW * span for places in (xs, ys) for a, b in pairwise(places)):
            self._paint_sides(painter)
            return
        zero = self.spot(0.0, 0.0)
        shown = QRectF(self.rect()).contains(zero)
        low = max(self.spot(xs[0], ys[0]).y(), zero.y() if shown else 0.0) + 34
        left = min(self.spot(xs[0], ys[0]).x(), zero.x() if shown else 1e9) - 34
        painter.setPen(QPen(QColor(palette().soft), 1.0))
        size = QFontMetricsF(self.font())
        for places, level in ((xs, True), (ys, False)):
            for a, b in pairwise(places):
                one, other = (self.spot(v, ys[0]) if level else self.spot(xs[0], v) for v in (a, b))
                p, q = (QPointF(e.x(), low) if level else QPointF(left, e.y()) for e in (one, other))
                painter.drawLine(p, q)
                tick = QPointF(4, -4)
                for end in (p, q):
                    painter.drawLine(end - tick, end + tick)
                text = as_shown(format_length(b - a, self.units, unit=False))
                wide = size.horizontalAdvance(text)
                room = math.hypot(*(q - p).toTuple())
                if level and room > wide + 4:
                    painter.drawText(QPointF((p.x() + q.x() - wide) / 2, low + size.height()), text)
                elif not level and room > size.height():
                    painter.drawText(QPointF(left - wide - 6, (p.y() + q.y() + size.ascent()) / 2), text)

    def _paint_sides(self, painter: QPainter) -> None:
        """Distances from hole to hole round the outside."""
        around = _around(self.holes)
        if len(around) < 2:
            return
        size = QFontMetricsF(self.font())
        spots = [self.spot(*self.holes[k]) for k in around]
        middle = QPointF(sum(p.x() for p in spots), sum(p.y() for p in spots)) / len(spots)
        for (i, p), (j, q) in list(pairwise([*zip(around, spots, strict=True), (around[0], spots[0])]))[: len(around) or 1]:
            painter.setPen(QPen(QColor(palette().line), 1.0))
            painter.drawLine(p, q)
            text = as_shown(format_length(math.dist(self.holes[i], self.holes[j]), self.units, unit=False))
            at, wide = (p + q) / 2, size.horizontalAdvance(text)
            out = at - middle
            far = math.hypot(out.x(), out.y()) or 1.0
            at += QPointF(out.x() / far * (wide / 2 + 8), out.y() / far * 14)
            painter.setPen(QColor(palette().soft))
            painter.drawText(QRectF(at.x() - wide / 2 - 2, at.y() - 10, wide + 4, 20), Qt.AlignmentFlag.AlignCenter, text)

    def _paint_arrows(self, painter: QPainter) -> None:
        longest = max((math.hypot(dx, dy) for _, dx, dy in self.arrows), default=0.0)
        if longest < 0.005:
            return
        colours = palette()
        much = min(LONGEST / longest, MOST * self._frame[0])
        if longest * much < 8:
            return
        painter.setPen(QPen(QColor(colours.look), 1.6))
        for k, dx, dy in self.arrows:
            if k >= len(self.holes) or math.hypot(dx, dy) * much < 2:
                continue
            start = self.spot(*self.holes[k])
            way = QPointF(dx * much, -dy * much)
            painter.drawLine(start, start + way)
            angle = math.atan2(way.y(), way.x())
            for turn in (2.6, -2.6):
                painter.drawLine(
                    start + way, start + way + QPointF(6 * math.cos(angle + turn), 6 * math.sin(angle + turn))
                )
        exaggerated = much / self._frame[0]
        painter.drawText(
            QPointF(10, self.height() - 8),
            tr(f"arrows: what is off, longest {small(longest, self.units)}"
            + (f", drawn {exaggerated:.0f} times as long" if exaggerated >= 1.5 else "")),
        )


def _distinct(values: list[float]) -> list[float]:
    out: list[float] = []
    for v in sorted(values):
        if not out or v - out[-1] > SAME:
            out.append(v)
    return out


def _around(holes: Points) -> list[int]:
    """Return the holes round the outside, counter-clockwise (monotone chain), those on a side included."""
    order = sorted(range(len(holes)), key=lambda k: holes[k])

    def half(line: list[int]) -> list[int]:
        out: list[int] = []
        for k in line:
            while len(out) > 1:
                (ax, ay), (bx, by), (cx, cy) = holes[out[-2]], holes[out[-1]], holes[k]
                if (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) >= 0:
                    break
                out.pop()
            out.append(k)
        return out

    return half(order)[:-1] + half(order[::-1])[:-1]
