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
from app.view3d.grip_words import paint_bubble
from app.view3d.handles import Change, Handle, Handles, Here, where
from app.view3d.spread import EDGE_ON, spread
from app.words import tr

RADIUS, HOVERED, SMALL = 9.0, 12.0, 5.0
REACH = 14.0  # a press this near takes a grip, px
PULL = 6.0  # a dragged point goes to a place it likes from as near as this, px
START = 3.0  # a press that travels less moves nothing, px
SETTLE = 700  # ms without a key: the movement is over
FROM_HERE = "It runs away from the eye: turn the view to pull it, or use the keys."
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

    def drawn(self) -> list[tuple[Handle, tuple[float, float], bool]]:
        """Return the handles with where each is drawn, so that none covers another, and whether it can be pulled from here.

        Those that move along the line of sight come first: they are drawn small, under the others.
        """
        if not self.shown:
            return []
        camera = self._camera()
        spots = camera.project(np.array([h.at for h in self.shown]))[:, :2]
        pulled = [can_pull(camera, h) for h in self.shown]
        order = sorted(range(len(self.shown)), key=lambda k: (pulled[k], self.shown[k].id == self.chosen))
        if self.family is None or not self.family.adds:  # holes stand where they are: their places are what is looked at
            spots = spread(spots, [RADIUS if p else SMALL for p in pulled])
        return [(self.shown[k], (float(spots[k, 0]), float(spots[k, 1])), pulled[k]) for k in order]

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
        for h, (x, y), pulled in self.drawn():
            off = float(np.hypot(x - at.x(), y - at.y())) + (0.0 if pulled else REACH / 2)
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

    def _go(self, change: Change) -> None:
        self._last = change
        self.changed.emit(change, Grips._gestures)

    # -- hands; each says whether the hand was for the grips ------------------------------------------------

    def press(self, event: QMouseEvent) -> bool:
        """Take the grip under the mouse; elsewhere let go of the chosen one."""
        if not self.on or event.button() != Qt.MouseButton.LeftButton:
            return self.dragging
        found = self._near(event.position())
        self.choose(found.id if found else "")
        if found is None:
            return False
        if not can_pull(self._camera(), found):
            return True
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
        camera = self._camera()
        to = where(self._held, *camera.ray(at.x() + self._off[0], at.y() + self._off[1]))
        if to is not None and self.family is not None and self._base is not None:
            reach = PULL / max(_scale(camera, self._held), 1e-3)
            self._go(self.family.moved(self._base, self._held, to, bool(event.modifiers() & FREE), reach))
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
        """Move along whichever way of the handle looks most like the arrow, from where the eye stands.

        Where none does, to the right and up is more of what it sets: the keys reach what the mouse cannot.
        """
        if self.family is None or self.here is None:
            return
        axes = self._camera().axes[:2] @ np.array(handle.ways).T  # (2, ways) in the picture, up positive
        share = axes[0] * arrow[0] - axes[1] * arrow[1]
        k = int(np.argmax(abs(share)))
        sign = float(np.sign(share[k]))
        if abs(share[k]) < 0.05:
            if len(handle.ways) > 1 or float(np.abs(axes).max()) > 0.05:
                return
            sign = float(np.sign(arrow[0] - arrow[1])) * (1.0 if handle.grows else -1.0)
        self._begin()
        self._rest.start()
        if self._base is not None:
            self._go(self.family.nudged(self._base, self.here, handle, k, sign, free))
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
            for h, (x, y), pulled in self.drawn():
                if not np.isfinite(x):
                    continue
                picked = h.id == self.chosen
                painter.setPen(QPen(QColor(p.accent if pulled else p.soft), 2.0 if pulled else 1.0))
                own = self.spot(h)
                if np.hypot(own[0] - x, own[1] - y) > 2.0:  # moved aside: a line leads to its place
                    painter.drawLine(QLineF(own[0], own[1], x, y))
                radius = HOVERED if h.id == self.hovered or picked else RADIUS if pulled else SMALL
                painter.setBrush(QColor(p.accent if picked else p.paper))
                painter.drawEllipse(QPointF(x, y), radius, radius)
                if radius == SMALL:
                    continue
                painter.setFont(font)
                painter.setPen(QColor(p.paper if picked else p.ink))
                painter.drawText(QRectF(x - 14, y - 10, 28, 20), Qt.AlignmentFlag.AlignCenter, h.mark)
            self._say(painter)

    def _say(self, painter: QPainter) -> None:
        """Write beside the chosen or hovered grip where it is."""
        h = self.handle(self.chosen if self._last is not None else self.hovered or self.chosen)
        if h is None:
            return
        x, y = next((at for shown, at, _ in self.drawn() if shown is h), (np.nan, np.nan))
        if np.isfinite(x):
            text, note = (self._last.words, self._last.note) if self._last is not None else (h.name, "")
            if self._last is None and not can_pull(self._camera(), h):
                note = FROM_HERE
            paint_bubble(painter, self.font(), (x, y), (self.width(), self.height()), tr(text), tr(note) if note else "")


def can_pull(camera: Camera, handle: Handle) -> bool:
    """Return whether a handle moves across the picture and not along the line of sight."""
    if len(handle.ways) > 1:
        return True
    sight = -camera.axes[2] if camera.parallel else np.array(handle.at) - camera.eye
    size = float(np.linalg.norm(sight))
    return size > 0 and float(np.linalg.norm(np.cross(sight / size, handle.ways[0]))) > EDGE_ON


def _scale(camera: Camera, handle: Handle) -> float:
    """Return how many pixels a handle moves in the picture for each mm along its way; the most of them where it has two."""
    at = np.array(handle.at)
    spots = camera.project(np.array([at, *(at + np.array(w) for w in handle.ways)]))[:, :2]
    moved = np.hypot(*(spots[1:] - spots[0]).T)
    return float(np.nan_to_num(moved).max())
