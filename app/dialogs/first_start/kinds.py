"""One button for each kind of machine, with its shape as the typical values have it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QGridLayout, QWidget

from app.theme import palette
from app.words import tr
from framecore.brief import default_for

# As the brief has them -> as they are called here.
NAMES = {
    "lathe": "Lathe", "mill": "Mill", "drill press": "Drill press", "saw": "saw", "grinder": "Grinder",
    "surface plate": "Surface plate", "workbench": "Bench",
}  # fmt: skip
_PICTURE = 40
# Where the typical outline is one plain box, or there is none: what the eye knows it by. Boxes as in a brief, mm.
_BOXES = {
    "workbench": (((-800, 0, 820), (1600, 700, 60)), ((-750, 0, 0), (70, 70, 820)), ((680, 0, 0), (70, 70, 820)),
                  ((-680, 0, 150), (1360, 40, 60))),
    "grinder": (((-60, 0, 0), (120, 150, 70)), ((-95, 0, 70), (190, 150, 120))),
    "saw": (((-450, 0, 0), (900, 340, 130)), ((-90, 10, 130), (180, 100, 110)), ((-290, 20, 380), (580, 60, 90))),
}  # fmt: skip
# Wheels: x, z, radius, mm.
_WHEELS = {"grinder": ((-150, 130, 75), (150, 130, 75)), "saw": ((-290, 350, 120), (290, 350, 120))}


class KindButton(QAbstractButton):
    """Shows the machine from the front over its name."""

    def __init__(self, kind: str) -> None:
        super().__init__()
        self.kind = kind
        name = tr(NAMES[kind])
        self.setText(name[:1].upper() + name[1:])  # "Saw" with a capital is what the steps of building begin with
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setAccessibleName(self.text())
        rows = default_for("machine.outline", kind) or ()
        self.boxes = _BOXES.get(kind) or tuple((tuple(r["at"]), tuple(r["size"])) for r in rows)
        self.wheels = _WHEELS.get(kind, ())

    def sizeHint(self) -> QSize:
        """Room for picture and name."""
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance(self.text()) + 22, _PICTURE + metrics.height() + 22)

    def minimumSizeHint(self) -> QSize:
        """The name is never cut."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint ground, picture, name, and the frame that says which one is chosen."""
        c = palette()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            painter.setBrush(QColor(c.lit if self.isChecked() else c.hover if self.underMouse() else c.paper))
            strong = self.isChecked() or self.hasFocus()
            painter.setPen(QPen(QColor(c.accent if strong else c.line), 2.0 if self.isChecked() else 1.0))
            painter.drawRoundedRect(box, 3, 3)
            if self.hasFocus():
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(QColor(c.accent), 1.0, Qt.PenStyle.DashLine))
                painter.drawRoundedRect(box.adjusted(4, 4, -4, -4), 2, 2)
            self._machine(painter, QRectF(box.left() + 12, box.top() + 9, box.width() - 24, _PICTURE))
            painter.setPen(QColor(c.ink))
            below = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
            painter.drawText(box.adjusted(0, 0, 0, -6), below, self.text())

    def _machine(self, painter: QPainter, room: QRectF) -> None:
        c = palette()
        left = min([at[0] for at, _ in self.boxes] + [x - r for x, _, r in self.wheels])
        right = max([at[0] + size[0] for at, size in self.boxes] + [x + r for x, _, r in self.wheels])
        high = max([at[2] + size[2] for at, size in self.boxes] + [z + r for _, z, r in self.wheels])
        scale = min(room.width() / (right - left), room.height() / high)
        x0 = room.center().x() - (left + right) / 2 * scale
        painter.setPen(QPen(QColor(c.ink), 1.0))
        painter.setBrush(QColor(c.panel))
        # From the back forwards, so that what stands in front covers what is behind it.
        for at, size in sorted(self.boxes, key=lambda b: -b[0][1]):
            painter.drawRect(
                QRectF(QPointF(x0 + at[0] * scale, room.bottom() - (at[2] + size[2]) * scale),
                       QPointF(x0 + (at[0] + size[0]) * scale, room.bottom() - at[2] * scale))
            )  # fmt: skip
        for x, z, r in self.wheels:
            for part in (1.0, 0.18):
                painter.drawEllipse(QPointF(x0 + x * scale, room.bottom() - z * scale), r * scale * part, r * scale * part)
        painter.setPen(QPen(QColor(c.soft), 1.0))
        painter.drawLine(room.bottomLeft(), room.bottomRight())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keys go."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The keys go elsewhere."""
        super().focusOutEvent(event)
        self.update()


class KindPicker(QWidget):
    """All kinds beside each other; one is chosen. The arrow keys go from one to the next.

    Signals
    -------
    chosen(kind) : by the maker
    """

    chosen = Signal(str)

    def __init__(self, kind: str) -> None:
        super().__init__()
        self.setAccessibleName(tr("What stands on it"))
        self.group = QButtonGroup(self)
        self.buttons = {k: KindButton(k) for k in NAMES}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(6)
        for n, button in enumerate(self.buttons.values()):
            self.group.addButton(button)
            grid.addWidget(button, 0, n)
            button.toggled.connect(lambda on, k=button.kind: on and self.chosen.emit(k))
        self.buttons[kind].setChecked(True)

    @property
    def kind(self) -> str:
        """The chosen kind."""
        return next(k for k, b in self.buttons.items() if b.isChecked())

    def focus(self) -> None:
        """Give the chosen button the keys."""
        self.buttons[self.kind].setFocus(Qt.FocusReason.TabFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right choose the next one, round the ends."""
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        kinds = list(self.buttons)
        self.buttons[kinds[(kinds.index(self.kind) + step) % len(kinds)]].setChecked(True)
        self.focus()
