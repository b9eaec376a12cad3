"""The bottom: the cut plan, bar by bar, painted in one widget."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPoint, QRectF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QToolTip, QWidget

from app.panels.figures import tabular
from app.theme import palette
from framecore.units import format_length as length

if TYPE_CHECKING:
    from framecore.cutting.model import CutPlan
    from framecore.stand.model import Stand

LEFT = 14
NAME_WIDTH = 128
TAIL_WIDTH = 120
BAR_HEIGHT = 20
ROW = 27
HEAD = 30


@dataclass(frozen=True)
class Slot:
    """One piece in one bar on the screen; ``label`` is its mark."""

    box: QRectF
    mark: str
    note: str


class CutPlanView(QWidget):
    """All bars of all plans.

    Signals
    -------
    chosen(mark) : a piece was clicked; "" for none
    """

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName("Cut plan")
        self._stand: Stand | None = None
        self.lit: frozenset[str] = frozenset()
        self.hover = ""
        self.stale = False
        self.slots: list[Slot] = []
        self._heads: list[tuple[float, str, str, bool]] = []
        self._bars: list[tuple[float, float, str, str, bool, float]] = []
        self._height = 60

    def show_stand(self, stand: Stand) -> None:
        """Show the plans of ``stand``."""
        self._stand = stand
        self._arrange()
        self.update()

    def set_stale(self, stale: bool) -> None:
        """Grey the plan while it belongs to an earlier brief."""
        self.stale = stale
        self.update()

    def light(self, marks: frozenset[str]) -> None:
        """Light the pieces with these marks."""
        if marks != self.lit:
            self.lit = marks
            self.update()

    def resizeEvent(self, event: Any) -> None:
        """Arrange the bars for the new width."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        self.slots, self._heads, self._bars = [], [], []
        stand = self._stand
        if stand is None:
            return
        units = stand.brief.units
        shop = stand.shop
        room = max(self.width() - 2 * LEFT - NAME_WIDTH - TAIL_WIDTH, 120)
        longest = max((b.bar.length for _, p in shop.plans for b in p.bars), default=1.0)
        scale = room / longest
        y = 4.0
        x0 = LEFT + NAME_WIDTH
        for name, plan in shop.plans:
            self._heads.append((y, name, plan_words(plan, shop.currency), plan.proven))
            y += HEAD
            for used in plan.bars:
                bar = used.bar
                what = f"{'rack ' if bar.rack else ''}{length(bar.length, units)}"
                self._bars.append(
                    (y, bar.length * scale, what, f"left {length(used.offcut, units)}", bar.rack, used.offcut)
                )
                for cut in used.cuts:
                    box = QRectF(x0 + cut.start * scale, y, max(cut.length * scale, 2.0), BAR_HEIGHT)
                    self.slots.append(Slot(box, cut.mark, f"{cut.mark}  {name}  {length(cut.length, units)}"))
                y += ROW
            y += 4
        self._height = int(y + 6)
        if self.minimumHeight() != self._height:
            self.setMinimumHeight(self._height)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint heads, bars, pieces."""
        colours = palette()
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(colours.paper))
        ink = QColor(colours.faint if self.stale else colours.ink)
        soft = QColor(colours.faint if self.stale else colours.soft)
        accent = QColor(colours.accent)
        x0 = LEFT + NAME_WIDTH
        bold = tabular(self.font())
        bold.setBold(True)
        plain = tabular(self.font())
        for y, name, text, _ in self._heads:
            painter.setFont(bold)
            painter.setPen(ink)
            painter.drawText(QRectF(LEFT, y, NAME_WIDTH, HEAD), Qt.AlignmentFlag.AlignVCenter, name)
            painter.setFont(plain)
            painter.setPen(soft)
            painter.drawText(
                QRectF(x0, y, self.width() - x0 - LEFT, HEAD), Qt.AlignmentFlag.AlignVCenter, text
            )
        hatch = QBrush(QColor(colours.line), Qt.BrushStyle.BDiagPattern)
        for y, width, what, left, _rack, _offcut in self._bars:
            painter.setPen(soft)
            painter.drawText(
                QRectF(LEFT, y, NAME_WIDTH - 10, BAR_HEIGHT), Qt.AlignmentFlag.AlignVCenter, what
            )
            painter.drawText(
                QRectF(x0 + width + 10, y, TAIL_WIDTH, BAR_HEIGHT), Qt.AlignmentFlag.AlignVCenter, left
            )
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.setBrush(hatch)
            painter.drawRect(QRectF(x0, y, width, BAR_HEIGHT))
        metrics = painter.fontMetrics()
        for slot in self.slots:
            lit, near = slot.mark in self.lit, slot.mark == self.hover
            painter.setPen(QPen(accent if lit or near else ink, 2 if lit else 1))
            painter.setBrush(QColor(colours.lit if lit else colours.hover if near else colours.panel))
            painter.drawRect(slot.box)
            if slot.box.width() > metrics.horizontalAdvance(slot.mark) + 4:
                painter.setPen(ink)
                painter.drawText(slot.box, Qt.AlignmentFlag.AlignCenter, slot.mark)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(accent, 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def mark_at(self, point: QPoint) -> Slot | None:
        """Return the piece under ``point``."""
        return next((s for s in self.slots if s.box.contains(point)), None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show what lies under the pointer."""
        slot = self.mark_at(event.position().toPoint())
        mark = slot.mark if slot else ""
        if mark != self.hover:
            self.hover = mark
            self.update()
            if slot:
                QToolTip.showText(event.globalPosition().toPoint(), slot.note, self)

    def leaveEvent(self, event: Any) -> None:
        """Forget the pointer."""
        self.hover = ""
        self.update()
        super().leaveEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the piece under the pointer."""
        slot = self.mark_at(event.position().toPoint())
        self.chosen.emit(slot.mark if slot else "")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step through the pieces with the arrow keys."""
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1}.get(
            Qt.Key(event.key())
        )
        marks = list(dict.fromkeys(s.mark for s in self.slots))
        if step is None or not marks:
            super().keyPressEvent(event)
            return
        now = next((i for i, m in enumerate(marks) if m in self.lit), -1 if step > 0 else 0)
        self.chosen.emit(marks[(now + step) % len(marks)])


def plan_words(plan: CutPlan, currency: str) -> str:
    """Say what a plan costs and how good it is known to be."""
    count = len(plan.bars)
    bars = f"{count} bar{'' if count == 1 else 's'}"
    share = 100 * plan.net / plan.gross if plan.gross else 0.0
    sure = "proven cheapest" if plan.proven else f"cannot be cheaper than {plan.lower_bound:.2f} {currency}"
    return f"{bars}, {plan.cost:.2f} {currency}, {share:.0f} % used, {sure}"
