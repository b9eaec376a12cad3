"""The bottom: the cut plan, bar by bar, and beneath it whole sheets with their plates, painted in one widget."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QToolTip, QWidget

from app.numbers import length, shown
from app.panels import compared
from app.panels.figures import tabular
from app.theme import palette
from app.words import tr
from framecore.shop.differences import CutChanges, cut_changes

if TYPE_CHECKING:
    from framecore.cutting.model import CutBar, CutPlan
    from framecore.cutting.nest_model import Placement, SheetPlan
    from framecore.stand.model import Stand

LEFT = 14
NAME_WIDTH = 128
TAIL_GAP = 10  # before what is said behind a bar
BAR_HEIGHT = 20
ROW = 27
HEAD = 30
SHEET_HEIGHT = 170  # a whole sheet at most, in pixels
SHEETS_APART = 16


@dataclass(frozen=True)
class Slot:
    """One piece in one bar, or one plate on a sheet with its ``rim`` where it is no rectangle, on the screen."""

    box: QRectF
    mark: str
    note: str
    rim: QPolygonF | None = None

    def holds(self, point: QPointF) -> bool:
        """Whether a point lies in it."""
        if not self.box.contains(point):
            return False
        return self.rim is None or self.rim.containsPoint(point, Qt.FillRule.OddEvenFill)


@dataclass(frozen=True)
class Strip:
    """One bar on the screen; ``sign``: "+" one that the reference has not, "−" one that only the reference has."""

    y: float
    width: float
    what: str
    left: str
    sign: str = ""


@dataclass(frozen=True)
class Head:
    """The line above the bars of one profile, and how it differs from the reference."""

    y: float
    name: str
    text: str
    change: str


class CutPlanView(QWidget):
    """All bars of all plans, and all sheets where plates are cut from whole ones.

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
        self.setAccessibleName(tr("Cut plan"))
        self._stand: Stand | None = None
        self._reference: Stand | None = None
        self.total = ""  # how all plans together differ from the reference
        self.lit: frozenset[str] = frozenset()
        self.hover = ""
        self.stale = False
        self.slots: list[Slot] = []
        self._heads: list[Head] = []
        self._bars: list[Strip] = []
        self._sheets: list[QRectF] = []
        self._height, self._tail = 60, 0

    def show_stand(self, stand: Stand) -> None:
        """Show the plans of ``stand``."""
        self._stand = stand
        self._arrange()
        self.update()

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with ``stand`` from now on."""
        self._reference = stand
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

    def _tail_width(self, longest: str, changes: CutChanges | None) -> int:
        """Room for the words after a bar: for all that may stand there, so that bars keep their scale while a hand drags."""
        words = [tr(f"left over {longest}")]
        if changes is not None and any(p.added or p.dropped for p in changes.plans):
            words = [f"{words[0]}, {tr('added')}", tr("dropped")]
        return TAIL_GAP + max(map(self.fontMetrics().horizontalAdvance, words))

    def resizeEvent(self, event: Any) -> None:
        """Arrange the bars for the new width."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        self.slots, self._heads, self._bars, self._sheets = [], [], [], []
        stand = self._stand
        if stand is None:
            return
        units, shop = stand.brief.units, stand.shop
        changes = cut_changes(shop, self._reference.shop) if self._reference is not None else None
        currency = shop.currency if self._reference is not None and self._reference.shop.currency == shop.currency else ""
        self.total = compared.total_words(changes, currency) if changes is not None else ""
        dropped = [b for p in changes.plans for b in p.dropped] if changes is not None else []
        longest = max((b.bar.length for b in (*(b for _, p in shop.plans for b in p.bars), *dropped)), default=1.0)
        # Just short of the longest a length has most to say: an inch brief adds a fraction.
        self._tail = self._tail_width(length(longest - 1.0, units), changes)
        room = max(self.width() - 2 * LEFT - NAME_WIDTH - self._tail, 120)
        scale = room / longest
        y = 4.0 + (HEAD if self.total else 0)
        against = {p.name: p for p in changes.plans} if changes is not None else {}
        for name, plan in shop.plans:
            change = against.get(name)
            told = compared.plan_words(change, currency) if change is not None else ""
            self._heads.append(Head(y, name, plan_words(plan, shop.currency), told))
            y += HEAD
            for k, used in enumerate(plan.bars):
                sign = compared.PLUS if change is not None and k in change.added else ""
                self._bars.append(_strip(used, y, scale, units, sign))
                for cut in used.cuts:
                    box = QRectF(LEFT + NAME_WIDTH + cut.start * scale, y, max(cut.length * scale, 2.0), BAR_HEIGHT)
                    self.slots.append(Slot(box, cut.mark, f"{cut.mark}  {name}  {length(cut.length, units)}"))
                y += ROW
            y = self._arrange_dropped(change.dropped if change is not None else (), y, scale, units) + 4
        known = dict(shop.plans)
        for change in (c for name, c in against.items() if name not in known):
            self._heads.append(Head(y, change.name, tr("gone"), compared.plan_words(change, currency)))
            y = self._arrange_dropped(change.dropped, y + HEAD, scale, units) + 4
        y = self._arrange_sheets(stand, y, room, scale, changes, currency)
        self._height = int(y + 6)
        if self.minimumHeight() != self._height:
            self.setMinimumHeight(self._height)

    def _arrange_dropped(self, bars: tuple[CutBar, ...], y: float, scale: float, units: str) -> float:
        """Lay down bars that only the reference has; returns where they end."""
        for used in bars:
            self._bars.append(_strip(used, y, scale, units, compared.MINUS))
            y += ROW
        return y

    def _arrange_sheets(
        self, stand: Stand, y: float, room: float, scale: float, changes: CutChanges | None, currency: str
    ) -> float:
        """Lay the sheets of each thickness side by side beneath the bars; returns where they end."""
        units, nests = stand.brief.units, stand.shop.nests
        every = [s for _, plan in nests for s in plan.sheets]
        against = {n.thickness: n for n in changes.nests} if changes is not None else {}
        known = dict(nests)
        for gone in (n for t, n in against.items() if t not in known):
            self._heads.append(
                Head(y, f"sheet {length(gone.thickness, units)}", tr("gone"), compared.nest_words(gone, currency))
            )
            y += HEAD
        if not every:
            return y
        scale = min(scale, SHEET_HEIGHT / max(s.width for s in every), room / max(s.length for s in every))
        x0 = LEFT + NAME_WIDTH
        for thickness, plan in nests:
            text = sheets_words(plan, stand.shop.currency)
            change = against.get(thickness)
            told = compared.nest_words(change, currency) if change is not None else ""
            self._heads.append(Head(y, f"sheet {length(thickness, units)}", text, told))
            y += HEAD
            x, high = float(x0), 0.0
            for n, sheet in enumerate(plan.sheets):
                wide, tall = sheet.length * scale, sheet.width * scale
                if x > x0 and x + wide > x0 + room + self._tail:
                    x, y, high = float(x0), y + high + SHEETS_APART, 0.0
                box = QRectF(x, y, wide, tall)
                self._sheets.append(box)
                self.slots += [_plate(p, box, scale, units) for p in plan.placements if p.sheet == n]
                x, high = x + wide + SHEETS_APART, max(high, tall)
            y += high + 10
        return y

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
        middle = Qt.AlignmentFlag.AlignVCenter
        if self.total:
            painter.setFont(plain)
            painter.setPen(QColor(colours.faint) if self.stale else accent)
            painter.drawText(QRectF(LEFT, 4, self.width() - 2 * LEFT, HEAD), middle, self.total)
        for head in self._heads:
            painter.setFont(bold)
            painter.setPen(ink)
            painter.drawText(QRectF(LEFT, head.y, NAME_WIDTH, HEAD), middle, tr(head.name))
            painter.setFont(plain)
            metrics, wide = painter.fontMetrics(), self.width() - x0 - LEFT
            change = metrics.elidedText(head.change, Qt.TextElideMode.ElideRight, wide)
            taken = metrics.horizontalAdvance(change) + 14 if change else 0
            said = metrics.elidedText(tr(head.text), Qt.TextElideMode.ElideRight, wide - taken)
            painter.setPen(soft)
            painter.drawText(QRectF(x0, head.y, wide, HEAD), middle, said)
            painter.setPen(QColor(colours.faint) if self.stale else accent)
            painter.drawText(QRectF(x0 + metrics.horizontalAdvance(said) + 14, head.y, wide, HEAD), middle, change)
        hatch = QBrush(QColor(colours.line), Qt.BrushStyle.BDiagPattern)
        for bar in self._bars:
            gone = bar.sign == compared.MINUS
            painter.setPen(QColor(colours.faint) if gone else soft)
            painter.drawText(QRectF(LEFT, bar.y, NAME_WIDTH - 24, BAR_HEIGHT), middle, tr(bar.what))
            painter.drawText(QRectF(x0 + bar.width + TAIL_GAP, bar.y, self._tail, BAR_HEIGHT), middle, bar.left)
            if bar.sign:
                painter.setPen(QColor(colours.faint) if self.stale else accent)
                painter.drawText(QRectF(x0 - 20, bar.y, 14, BAR_HEIGHT), Qt.AlignmentFlag.AlignCenter, bar.sign)
            style = Qt.PenStyle.DashLine if gone else Qt.PenStyle.SolidLine
            painter.setPen(QPen(QColor(colours.faint if gone else colours.line), 1, style))
            painter.setBrush(Qt.BrushStyle.NoBrush if gone else hatch)
            painter.drawRect(QRectF(x0, bar.y, bar.width, BAR_HEIGHT))
        painter.setPen(QPen(QColor(colours.line), 1))
        painter.setBrush(hatch)
        for box in self._sheets:
            painter.drawRect(box)
        metrics = painter.fontMetrics()
        for slot in self.slots:
            lit, near = slot.mark in self.lit, slot.mark == self.hover
            painter.setPen(QPen(accent if lit or near else ink, 2 if lit else 1))
            painter.setBrush(QColor(colours.lit if lit else colours.hover if near else colours.panel))
            if slot.rim is None:
                painter.drawRect(slot.box)
            else:
                painter.drawPolygon(slot.rim)
            if slot.box.height() >= metrics.height() and slot.box.width() > metrics.horizontalAdvance(slot.mark) + 2:
                painter.setPen(ink)
                painter.drawText(slot.box, Qt.AlignmentFlag.AlignCenter, slot.mark)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(accent, 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def mark_at(self, point: QPoint) -> Slot | None:
        """Return the piece under ``point``."""
        return next((s for s in self.slots if s.holds(QPointF(point))), None)

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


def _strip(used: CutBar, y: float, scale: float, units: str, sign: str) -> Strip:
    what = f"{'rack ' if used.bar.rack else ''}{length(used.bar.length, units)}"
    rest = tr(f"left over {length(used.offcut, units)}")
    left = tr("dropped") if sign == compared.MINUS else f"{rest}, {tr('added')}" if sign else rest
    return Strip(y, used.bar.length * scale, what, left, sign)


def plan_words(plan: CutPlan, currency: str) -> str:
    """Say what a plan costs and how good it is known to be."""
    count = len(plan.bars)
    bars = f"{count} bar{'' if count == 1 else 's'}"
    share = 100 * plan.net / plan.gross if plan.gross else 0.0
    sure = "proven cheapest" if plan.proven else f"cannot be cheaper than {plan.lower_bound:.2f} {currency}"
    return shown(f"{bars}, {plan.cost:.2f} {currency}, {share:.0f} % used, {sure}")


def _plate(p: Placement, sheet: QRectF, scale: float, units: str) -> Slot:
    """A plate where it lies; the sheet's lower left corner is that of the box on the screen."""

    def at(x: float, y: float) -> QPointF:
        return QPointF(sheet.left() + x * scale, sheet.bottom() - y * scale)

    long, short = (p.width, p.length) if p.turned else (p.length, p.width)
    return Slot(
        QRectF(at(p.x, p.y + p.width), at(p.x + p.length, p.y)), p.mark,
        f"{p.mark}  {length(long, units)} x {length(short, units)}",
        QPolygonF([at(*q) for q in p.outline]) if p.outline else None,
    )  # fmt: skip


def sheets_words(plan: SheetPlan, currency: str) -> str:
    """Say how many sheets a plan takes, what they cost and how good it is known to be."""
    count = len(plan.sheets)
    sure = "proven cheapest" if plan.proven else f"cannot be cheaper than {plan.lower_bound:.2f} {currency}"
    sizes = ", ".join(dict.fromkeys(s.name for s in plan.sheets))
    return f"{count} sheet{'' if count == 1 else 's'} {sizes}, {plan.cost:.2f} {currency}, {sure}"
