"""Grips over the view: painted in the picture's plane on every canvas alike, taken with the mouse or the keys."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum, auto

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.theme import palette
from app.view3d.camera import Camera, Floats
from app.view3d.handles import Change, Handle, Handles, Here, where

RADIUS, HOVERED = 9.0, 12.0
REACH = 14.0  # a press this near takes a grip, px
START = 3.0  # a press that travels less moves nothing, px
SETTLE = 700  # ms without a key: the movement is over
FREE = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ShiftModifier


class Ask(Enum):
    """What else a hand may want of a grip."""

    TYPE = auto()
    REMOVE = auto()
    ADD = auto()


class Grips(QWidget):
    """Draws the handles of one family and moves them.

    Signals
    -------
    changed(change, gesture) : a hand moved something; the same number as long as one movement lasts
    released() : the movement is over
    cancelled(gesture) : what the movement changed is to be as before
    asked(ask, handle or None, point or None) : type values, take out, add
    chose() : another one is chosen, or none
    """

    changed = Signal(object, int)
    released = Signal()
    cancelled = Signal(int)
    asked = Signal(object, object, object)
    chose = Signal()
    _gestures = 10_000_000  # a number no other hand counts up to

    def __init__(self, parent: QWidget, camera: Callable[[], Camera]) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._camera = camera
        self.family: Handles | None = None
        self.here: Here | None = None
        self.shown: tuple[Handle, ...] = ()
        self.hovered = self.chosen = ""
        self._base: Here | None = None
        self._held: Handle | None = None
        self._off = np.zeros(2)
        self._pressed = self._mouse = QPointF()
        self._last: Change | None = None
        self._shifted = False  # the view changed its size under the hand
        self._rest = QTimer(self, singleShot=True, interval=SETTLE)
        self._rest.timeout.connect(self._end)
        self.hide()

    # -- what is shown -----------------------------------------------------------------------------------

    def show_family(self, family: Handles | None) -> None:
        """Show these handles, or none."""
        self._end()
        self.family = family
        self.hovered = self.chosen = ""
        self.setVisible(family is not None)
        self.raise_()
        self.set_here(self.here)

    def set_here(self, here: Here | None) -> None:
        """Take over the state of the brief; handles follow it at once."""
        self.here = here
        self.shown = self.family.handles(here) if self.family is not None and here is not None else ()
        if self.chosen and self.handle(self.chosen) is None:
            self.chosen = ""
        self.update()

    @property
    def on(self) -> bool:
        """Whether handles are shown."""
        return self.family is not None and not self.isHidden()

    @property
    def dragging(self) -> bool:
        """Whether the mouse holds one."""
        return self._held is not None

    def handle(self, name: str) -> Handle | None:
        """Return the handle of an id."""
        return next((h for h in self.shown if h.id == name), None)

    def spot(self, handle: Handle) -> tuple[float, float]:
        """Return where a handle lies in the picture, px; nan behind the eye."""
        x, y, _ = self._camera().project(np.array(handle.at))[0].tolist()
        return x, y

    def choose(self, name: str) -> None:
        """Choose a handle, "" for none; it is read out."""
        if name != self.chosen:
            self._end()
            self.chosen = name
            self.chose.emit()
        self.tell()
        self.update()

    def tell(self) -> None:
        """Let a screen reader say which one is chosen and where it is."""
        chosen = self.handle(self.chosen)
        self.setAccessibleName(chosen.name if chosen else self.family.title if self.family else "")
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    def _near(self, at: QPointF) -> Handle | None:
        best, least = None, REACH
        for h in self.shown:
            x, y = self.spot(h)
            off = float(np.hypot(x - at.x(), y - at.y()))
            if off <= least:
                best, least = h, off
        return best

    # -- moving ------------------------------------------------------------------------------------------

    def _begin(self) -> None:
        if self._base is None:
            Grips._gestures += 1
            self._base = self.here

    def _end(self) -> None:
        self._rest.stop()
        moved = self._base is not None and self._last is not None
        self._base = self._held = self._last = None
        if moved:
            self.released.emit()
        self.update()

    def cancel(self) -> None:
        """Put everything back as it was before the movement."""
        moved = self._last is not None
        gesture = Grips._gestures
        self._last = None
        self._end()
        if moved:
            self.cancelled.emit(gesture)
            self.released.emit()

    def _go(self, handle: Handle, to: Floats, free: bool) -> None:
        if self.family is None or self._base is None:
            return
        self._last = self.family.moved(self._base, handle, to, free)
        self.changed.emit(self._last, Grips._gestures)

    # -- hands; each says whether the hand was for the grips ------------------------------------------------

    def press(self, event: QMouseEvent) -> bool:
        """Take the grip under the mouse; elsewhere let go of the chosen one."""
        if not self.on or event.button() != Qt.MouseButton.LeftButton:
            return self.dragging
        found = self._near(event.position())
        self.choose(found.id if found else "")
        if found is None:
            return False
        self._end()
        self._begin()
        self._held, self._pressed, self._shifted = found, event.position(), False
        self._mouse = event.globalPosition()
        x, y = self.spot(found)
        self._off = np.array([x - event.position().x(), y - event.position().y()])
        return True

    def move(self, event: QMouseEvent) -> bool:
        """Drag, or light the one under the mouse."""
        if not self.on:
            return False
        at = event.position()
        if self._held is None:
            found = self._near(at) if event.buttons() == Qt.MouseButton.NoButton else None
            name = found.id if found else ""
            if name != self.hovered:
                self.hovered = name
                self.update()
            return found is not None
        way = at - self._pressed
        if self._last is None and abs(way.x()) + abs(way.y()) < START:
            return True
        now = self.handle(self._held.id)
        if self._shifted and now is not None:
            # A sentence that comes or goes beside the view shifts the picture; what is held must not jump with it.
            x, y = self.spot(now)
            was = self.mapFromGlobal(self._mouse)
            self._off = np.array([x - was.x(), y - was.y()])
        self._shifted = False
        self._mouse = event.globalPosition()
        to = where(self._held, *self._camera().ray(at.x() + self._off[0], at.y() + self._off[1]))
        if to is not None:
            self._go(self._held, to, bool(event.modifiers() & FREE))
        return True

    def release(self, event: QMouseEvent) -> bool:
        """Let go."""
        if self._held is None:
            return False
        if event.button() == Qt.MouseButton.LeftButton:
            self._end()
        return True

    def double(self, event: QMouseEvent) -> bool:
        """On a grip: type its values. Beside them: one more, where the family has that."""
        if not self.on or self.here is None or self.family is None or event.button() != Qt.MouseButton.LeftButton:
            return False
        found = self._near(event.position())
        if found is not None:
            self._end()
            self.choose(found.id)
            self.asked.emit(Ask.TYPE, found, None)
            return True
        if not self.family.adds:
            return False
        level = Handle(id="", at=(0, 0, self.family.plane(self.here)), ways=((1, 0, 0), (0, 1, 0)), mark="", name="")
        at = where(level, *self._camera().ray(event.position().x(), event.position().y()))
        if at is None or max(abs(at[:2])) > 5000:
            return False
        self.asked.emit(Ask.ADD, None, at)
        return True

    def next(self, step: int) -> bool:
        """Choose the next one; False past the last one, so that the keys can go on to what follows the view."""
        if not self.on or not self.shown:
            return False
        ids = [h.id for h in self.shown]
        k = ids.index(self.chosen) + step if self.chosen in ids else (0 if step > 0 else len(ids) - 1)
        if not 0 <= k < len(ids):
            self.choose("")
            return False
        self.choose(ids[k])
        return True

    def key(self, event: QKeyEvent) -> bool:
        """Arrows move the chosen one, Enter types, Delete takes out, Insert adds, Escape lets go."""
        if not self.on or self.here is None or self.family is None:
            return False
        keys, key = Qt.Key, event.key()
        if key == keys.Key_Escape and self._base is not None and self._last is not None:
            self.cancel()
            return True
        if self.dragging:
            return True  # one hand at a time
        if key == keys.Key_Insert and self.family.adds:
            self.asked.emit(Ask.ADD, None, None)
            return True
        chosen = self.handle(self.chosen)
        if chosen is None:
            return False
        arrows = {keys.Key_Left: (-1, 0), keys.Key_Right: (1, 0), keys.Key_Up: (0, -1), keys.Key_Down: (0, 1)}
        if key in arrows:
            self._nudge(chosen, np.array(arrows[key], float), bool(event.modifiers() & FREE))
        elif key in (keys.Key_Return, keys.Key_Enter):
            self.asked.emit(Ask.TYPE, chosen, None)
        elif key in (keys.Key_Delete, keys.Key_Backspace):
            self._end()
            self.asked.emit(Ask.REMOVE, chosen, None)
        elif key == keys.Key_Escape:
            self.choose("")
        else:
            return False
        return True

    def _nudge(self, handle: Handle, arrow: Floats, free: bool) -> None:
        """Move along whichever way of the handle looks most like the arrow, from where the eye stands."""
        if self.family is None or self.here is None:
            return
        axes = self._camera().axes[:2] @ np.array(handle.ways).T  # (2, ways) in the picture, up positive
        share = axes[0] * arrow[0] - axes[1] * arrow[1]
        k = int(np.argmax(abs(share)))
        if abs(share[k]) < 0.05:
            return
        self._begin()
        self._rest.start()
        step = self.family.step(self.here) * (0.1 if free else 1.0)
        to = np.array(handle.at) + np.sign(share[k]) * step * np.array(handle.ways[k])
        # The handle has moved with the brief since the movement began; where it goes is given outright.
        self._go(handle, to, free)
        self.tell()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The picture moves under the mouse."""
        super().resizeEvent(event)
        self._shifted = True

    # -- picture -----------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint guide lines, grips and what the moving one says."""
        if self.family is None:
            return
        p = palette()
        camera = self._camera()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._last is not None and self._last.lines:
                ends = camera.project(np.array(self._last.lines).reshape(-1, 3))[:, :2].reshape(-1, 4)
                painter.setPen(QPen(QColor(p.accent), 1.2, Qt.PenStyle.DashLine))
                painter.drawLines([QLineF(*row) for row in ends[np.isfinite(ends).all(1)].tolist()])
            font = QFont(self.font())
            font.setPixelSize(11)
            font.setBold(True)
            for h in self.shown:
                x, y = self.spot(h)
                if not np.isfinite(x):
                    continue
                picked = h.id == self.chosen
                radius = HOVERED if h.id == self.hovered or picked else RADIUS
                painter.setPen(QPen(QColor(p.accent), 2.0))
                painter.setBrush(QColor(p.accent if picked else p.paper))
                painter.drawEllipse(QPointF(x, y), radius, radius)
                painter.setFont(font)
                painter.setPen(QColor(p.paper if picked else p.ink))
                painter.drawText(QRectF(x - 14, y - 10, 28, 20), Qt.AlignmentFlag.AlignCenter, h.mark)
            self._say(painter)

    def _say(self, painter: QPainter) -> None:
        """Write beside the chosen or hovered grip where it is."""
        h = self.handle(self.chosen if self._last is not None else self.hovered or self.chosen)
        if h is None:
            return
        text = self._last.words if self._last is not None else h.name
        x, y = self.spot(h)
        if not np.isfinite(x):
            return
        p = palette()
        painter.setFont(self.font())
        size = QFontMetricsF(self.font())
        wide, high = size.horizontalAdvance(text) + 14, size.height() + 6
        left = x + 18 if x + 18 + wide < self.width() else x - 18 - wide
        box = QRectF(max(2.0, left), min(max(2.0, y - high - 8), self.height() - high - 2), wide, high)
        painter.setPen(QPen(QColor(p.line), 1.0))
        painter.setBrush(QColor(p.paper))
        painter.drawRoundedRect(box, 3, 3)
        painter.setPen(QColor(p.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
