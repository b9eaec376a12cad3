"""The machine from above, to scale: which screw is turned, which way and how far, and where the level lies."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.dialogs.levelling.reading import tilt_words
from app.theme import palette
from app.words import tr
from framecore.frame.machine import machine_datum
from framecore.seat.readings import Level

if TYPE_CHECKING:
    from collections.abc import Sequence

    from framecore.seat.answer import Answer, Turn
    from framecore.seat.influence import Influence
    from framecore.seat.readings import StationReading
    from framecore.stand.model import Stand

RING = 9.0  # pixels
SIDE, GAP = 34.0, 6.0  # pixels kept free at the sides, between labels
_LINES = 4  # of a label, at most


class PlanPicture(QWidget):
    """A plan with its labels above and below it.

    Parameters
    ----------
    stand : what is drawn; ``screws`` those that level it
    """

    def __init__(self, stand: Stand, screws: Influence) -> None:
        super().__init__()
        self.setMinimumSize(420, 230)
        self.show_stand(stand, screws)

    def show_stand(self, stand: Stand, screws: Influence) -> None:
        """Draw another stand."""
        self._stand = stand
        self.show_answer(screws, None, ())

    def sizeHint(self) -> QSize:
        """Wider than high."""
        return QSize(620, 380)

    def show_answer(self, screws: Influence, told: Answer | None, stations: Sequence[StationReading]) -> None:
        """Draw these screws, what is to be done at each, and the level where it lies."""
        self.screws, self.told, self.stations = screws, told, tuple(stations)
        self.turns: dict[str, Turn] = {t.move.name: t for t in told.turns} if told else {}
        said = "; ".join(f"{name}: {t.short}, {t.words}" for name, t in self.turns.items())
        others = [n for n in screws.names if n not in self.turns]
        rest = f"leave {', '.join(others)}" if self.turns and others else ""
        self.setAccessibleName(tr("Plan from above"))
        self.setAccessibleDescription(tr("; ".join(w for w in (said, rest) if w) or "nothing is to be turned"))
        self.update()

    # -- painting ----------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint stand, machine, stations, screws and labels."""
        p = QPainter(self)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.fillRect(self.rect(), QColor(palette().paper))
        self._line = QFontMetricsF(p.font()).height()
        self._fit()
        self._stand_below(p)
        self._machine(p)
        p.save()
        self._stations(p)
        p.restore()
        self._screws(p)
        p.end()

    def _fit(self) -> None:
        frame = self._stand.frame
        xs = [*(m.point[0] for m in frame.mounts), *(f.base[0] for f in frame.feet), -frame.length / 2, frame.length / 2]
        ys = [*(m.point[1] for m in frame.mounts), *(f.base[1] for f in frame.feet), -frame.depth / 2, frame.depth / 2]
        boxes = self._boxes()
        xs += [v for x, _, w, _ in boxes for v in (x, x + w)]
        ys += [v for _, y, _, d in boxes for v in (y, y + d)]
        label = _LINES * self._line + 30
        room = QRectF(self.rect()).adjusted(SIDE, label, -SIDE, -label - self._line)
        self._scale = min(
            room.width() / max(max(xs) - min(xs), 1.0), max(room.height(), 60.0) / max(max(ys) - min(ys), 1.0)
        )
        self._x0 = room.center().x() - self._scale * (min(xs) + max(xs)) / 2
        self._y0 = room.center().y() + self._scale * (min(ys) + max(ys)) / 2
        self._top, self._low = self._y0 - self._scale * max(ys), self._y0 - self._scale * min(ys)

    def _boxes(self) -> list[tuple[float, float, float, float]]:
        x, y, _ = machine_datum(self._stand.brief, self._stand.frame.seat)
        return [(b.at[0] + x, b.at[1] + y, b.size[0], b.size[1]) for b in self._stand.brief.machine.outline]

    def at(self, x: float, y: float) -> QPointF:
        """Return where a point of the stand lies, pixels."""
        return QPointF(self._x0 + self._scale * x, self._y0 - self._scale * y)

    def _stand_below(self, p: QPainter) -> None:
        """Paint every member seen from above as a band of its width."""
        colours = palette()
        p.setPen(Qt.PenStyle.NoPen)
        p.setBrush(QColor(colours.hover))
        for m in self._stand.frame.members:
            a, b = self.at(*m.start.point[:2]), self.at(*m.end.point[:2])
            wide = max(0.5 * self._scale * min(m.profile.width, m.profile.height), 1.5)
            along = b - a
            size = math.hypot(along.x(), along.y())
            if size < 2:
                p.drawRect(QRectF(a.x() - wide, a.y() - wide, 2 * wide, 2 * wide))
                continue
            off = QPointF(-along.y(), along.x()) * (wide / size)
            p.drawPolygon(QPolygonF([a + off, b + off, b - off, a - off]))

    def _machine(self, p: QPainter) -> None:
        colours = palette()
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.setPen(QPen(QColor(colours.faint), 1, Qt.PenStyle.DashLine))
        for x, y, w, d in self._boxes():
            p.drawRect(QRectF(self.at(x, y + d), self.at(x + w, y)))
        mounts = [m.point for m in self._stand.frame.mounts]
        if mounts and self.screws.length:
            xs, ys = [m[0] for m in mounts], [m[1] for m in mounts]
            p.setPen(QPen(QColor(colours.soft), 1.4))
            p.drawRect(QRectF(self.at(min(xs), max(ys)), self.at(max(xs), min(ys))))
            p.setBrush(QColor(colours.soft))
            for x, y, _ in mounts:
                p.drawEllipse(self.at(x, y), 2, 2)
        p.setPen(QColor(colours.soft))
        line, wide = self._line, float(self.width())
        p.drawText(QRectF(0, 2, wide, line), Qt.AlignmentFlag.AlignCenter, tr("back"))
        words = "front: you stand here"
        p.drawText(QRectF(0, self.height() - line - 2, wide, line), Qt.AlignmentFlag.AlignCenter, tr(words))

    def _stations(self, p: QPainter) -> None:
        """Paint the level where it lies across the bed, its bubble on the higher side."""
        mounts = [m.point for m in self._stand.frame.mounts]
        if not self.stations or not mounts:
            return
        colours, inch = palette(), self._stand.brief.units.startswith("inch")
        left = min(m[0] for m in mounts)
        high, low = max(m[1] for m in mounts), min(m[1] for m in mounts)
        small = QFont(p.font())
        small.setPointSizeF(max(small.pointSizeF() - 1, 7))
        most = max((abs(s.value) for s in self.stations), default=0.0) or 1.0
        for s in self.stations:
            a, b = self.at(left + s.x, high), self.at(left + s.x, low)
            body = QRectF(a.x() - 6, a.y() - 4, 12, max(b.y() - a.y() + 8, 34))
            p.setPen(QPen(QColor(colours.ink), 1.2))
            p.setBrush(QColor(colours.paper))
            p.drawRoundedRect(body, 4, 4)
            p.setPen(QPen(QColor(colours.soft), 1))
            for off in (-8, 8):
                y = body.center().y() + off
                p.drawLine(QPointF(body.left() + 2, y), QPointF(body.right() - 2, y))
            p.setBrush(QColor(colours.accent))
            p.setPen(Qt.PenStyle.NoPen)
            bubble = QPointF(a.x(), body.center().y() - s.value / most * (body.height() / 2 - 7))
            p.drawEllipse(bubble, 4, 5)
            p.setFont(small)
            p.setPen(QColor(colours.ink))
            words = tilt_words(s.value, self.told.question.level if self.told else Level(), inch)
            wide = QFontMetricsF(small).horizontalAdvance(words) + 6
            to_left = a.x() + wide + 14 > self.width() or s.x > 0.5 * self.screws.length
            box = QRectF(a.x() - 9 - wide if to_left else a.x() + 9, body.center().y() - 9, wide, 18)
            p.fillRect(box, QColor(colours.paper))
            p.drawText(box, Qt.AlignmentFlag.AlignCenter, tr(words))

    def _screws(self, p: QPainter) -> None:
        colours = palette()
        points = self.screws.points
        middle = float(points[:, 1].mean())
        for back in (True, False):
            which = [k for k in range(len(points)) if bool(points[k, 1] >= middle) is back]
            self._labels(p, sorted(which, key=lambda k: float(points[k, 0])), back)
        for k, name in enumerate(self.screws.names):
            turn = self.turns.get(name)
            at = self.at(float(points[k, 0]), float(points[k, 1]))
            colour = QColor(colours.accent if turn else colours.faint if self.turns else colours.ink)
            p.setPen(QPen(colour, 2.2 if turn else 1.4))
            p.setBrush(QColor(colours.lit if turn else colours.paper))
            p.drawEllipse(at, RING, RING)
            if turn is not None:
                self._sign(p, at, turn)

    def _sign(self, p: QPainter, at: QPointF, turn: Turn) -> None:
        """Paint up or down in the ring and the way to turn about it."""
        colour = QColor(palette().accent)
        way = -1.0 if turn.up else 1.0
        p.setBrush(colour)
        p.setPen(Qt.PenStyle.NoPen)
        p.drawPolygon(QPolygonF([at + QPointF(0, 5 * way), at + QPointF(-5, -3 * way), at + QPointF(5, -3 * way)]))
        if "clockwise" not in turn.words:
            return
        round_ = RING + 7
        hand = 1.0 if "anticlockwise" in turn.words else -1.0  # of the angle as the painter counts it
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.setPen(QPen(colour, 1.8))
        begin, sweep = (-50.0, 250.0) if hand > 0 else (230.0, -250.0)
        p.drawArc(QRectF(at.x() - round_, at.y() - round_, 2 * round_, 2 * round_), round(16 * begin), round(16 * sweep))
        end = math.radians(begin + sweep)
        tip = at + QPointF(round_ * math.cos(end), -round_ * math.sin(end))
        ahead = QPointF(-math.sin(end), -math.cos(end)) * hand
        out = QPointF(math.cos(end), -math.sin(end))
        p.setBrush(colour)
        p.setPen(Qt.PenStyle.NoPen)
        p.drawPolygon(QPolygonF([tip + ahead * 6, tip + out * 4.5 - ahead * 2, tip - out * 4.5 - ahead * 2]))

    def _words(self, name: str) -> list[str]:
        short = name.removeprefix("foot ")
        turn = self.turns.get(name)
        if turn is None:
            return [short, "leave"] if self.turns else [short]
        first, _, rest = turn.short.partition(" · ")
        hand = turn.words.split(", ")[1] if ", " in turn.words else ""
        both = "both screws" if "both screws" in turn.words else ""
        return [w for w in (f"{short}  {first}", rest, hand.removesuffix(" seen from above"), both) if w]

    def _labels(self, p: QPainter, which: list[int], back: bool) -> None:
        """Write the labels of one row in a line above or below the plan, moved apart where they would meet."""
        colours = palette()
        bold = QFont(p.font())
        bold.setBold(True)
        metric = QFontMetricsF(bold)
        words = [self._words(self.screws.names[k]) for k in which]
        wide = [max(metric.horizontalAdvance(w) for w in lines) + 4 for lines in words]
        at = [self.at(*self.screws.points[k].tolist()) for k in which]
        left = [a.x() - w / 2 for a, w in zip(at, wide, strict=True)]
        for n in range(1, len(left)):
            left[n] = max(left[n], left[n - 1] + wide[n - 1] + GAP)
        edge = self.width() - 6.0
        for n in reversed(range(len(left))):
            left[n] = max(min(left[n], edge - wide[n]), 4.0)
            edge = left[n] - GAP
        plain = p.font()
        for k, a, x, w, lines in zip(which, at, left, wide, words, strict=True):
            high = len(lines) * self._line
            y = self._top - 22 - high if back else self._low + 22
            turned = self.screws.names[k] in self.turns
            p.setPen(QPen(QColor(colours.accent if turned else colours.line), 1))
            p.drawLine(QPointF(x + w / 2, y + high + 1 if back else y - 1), a + QPointF(0, -RING if back else RING))
            for n, line in enumerate(lines):
                p.setFont(bold if n == 0 and (turned or not self.turns) else plain)
                p.setPen(QColor(colours.ink if turned or not self.turns else colours.faint))
                p.drawText(QRectF(x, y + n * self._line, w, self._line), Qt.AlignmentFlag.AlignCenter, tr(line))
            p.setFont(plain)
