"""The view: the stand in three dimensions, turned, moved and picked with the mouse or the keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt, QTimer, Signal
from PySide6.QtGui import QEnterEvent, QFocusEvent, QImage, QKeyEvent, QMouseEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.view3d.camera import Camera
from app.view3d.canvas import Canvas, make_canvas
from app.view3d.ghosts import Ghosts
from app.view3d.grips import Grips
from app.view3d.keys import moved, next_part, place_of
from app.view3d.pick import pick
from app.view3d.scene import Scene, build_scene
from app.view3d.swing import Swing
from app.view3d.swinging import Swinging
from app.words import tr

if TYPE_CHECKING:
    from framecore.stand.model import Stand

CLICK = 4.0  # a press that travels less than this is a click, px
STRIP = 100  # no strip below the view takes more of its height, px
REST_MS = 150  # after the last move the picture is drawn once more with smooth edges


class StandView(QWidget):
    """Shows a stand.

    Signals
    -------
    part_clicked(name) : "" for a click beside everything
    part_hovered(name)
    """

    part_clicked = Signal(str)
    part_hovered = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName(tr("View of the stand"))
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        self._canvas = make_canvas(self)
        self._canvas.failed.connect(self._paint_instead)
        box.addWidget(self._canvas)
        self.ghosts = Ghosts(self, self._sized)
        self.swinging = Swinging(self, self._sized, lambda: self._scene)
        self.grips = Grips(self, self._sized)
        self._name = QLabel(self)
        self._name.setObjectName("partName")
        self._name.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._name.hide()
        self._stand: Stand | None = None
        self._scene: Scene | None = None
        self._lit: frozenset[str] = frozenset()
        self._camera = Camera()
        self._fitted, self._whole = False, 0.0  # the distance from which all of it is seen
        self._pressed: QPointF | None = None
        self._last = QPointF()
        self._dragged = False
        self._hovered = ""
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._show_at_rest)

    # -- what is shown -----------------------------------------------------------------------------------

    def set_stand(self, stand: Stand, *, moving: bool = False) -> None:
        """Show a stand; ``moving`` while the hand is still dragging. The camera stays where it is."""
        self._stand = stand
        self.ghosts.set_present(stand)
        self._rebuild(moving)

    def set_highlight(self, parts: frozenset[str]) -> None:
        """Light parts up."""
        if parts != self._lit:
            self._lit = parts
            self._rebuild(False)

    def refresh(self) -> None:
        """Draw again in the colours of the theme in use."""
        self._rebuild(False)

    def preset(self, name: str) -> None:
        """Look from the front, side, top or three-quarter, at all of it."""
        self._camera = self._camera.turned(name)
        self.fit()

    def fit(self) -> None:
        """Show all of the stand."""
        if self._scene is not None:
            self._camera = self._sized().fit(self._scene.points).holding(self._scene.bounds)
            self._fitted, self._whole = True, self._camera.distance
        self._show()

    def keep_whole(self) -> None:
        """Where all of the stand is shown, show all of it after the next change of size too, however small that is."""
        if self._camera.distance == self._whole:
            self._fitted = False

    def set_parallel(self, on: bool) -> None:
        """Draw in parallel instead of perspective."""
        from dataclasses import replace

        self._camera = replace(self._camera, parallel=bool(on))
        self._show()

    def show_swing(self, swing: Swing | None, words: str = "") -> None:
        """Show a mode over the stand, held at its farthest; None shows the stand as it stands."""
        self.swinging.setGeometry(self.rect())
        self.swinging.show_swing(swing, words)
        if swing is None:
            self._show()  # the stand may have changed under the swing

    def play(self, on: bool) -> None:
        """Let the shown mode swing, or hold it."""
        self.swinging.play(on)

    @property
    def camera(self) -> Camera:
        """Where the view looks from."""
        return self._camera

    def picture(self) -> QImage:
        """Return what is seen."""
        self._canvas.show_scene(self._scene, self._sized(), False)
        return self._canvas.picture()

    def _sized(self) -> Camera:
        self._camera = self._camera.sized(self.width(), self.height())
        return self._camera

    def _rebuild(self, moving: bool) -> None:
        if self._stand is None:
            return
        self._scene = build_scene(self._stand, self._lit)
        self._camera = self._camera.holding(self._scene.bounds)
        if not self._fitted and self.isVisible():
            self.fit()
            return
        self._show(moving)

    def _show(self, moving: bool = False) -> None:
        if self.grips.on:
            self.grips.update()
        if not self.swinging.isHidden():
            self.swinging.update()  # it covers the canvas
            return
        if not self.ghosts.isHidden():
            self.ghosts.update()
        if moving:
            self._rest.start()
        self._canvas.show_scene(self._scene, self._sized(), moving)

    def _paint_instead(self) -> None:
        """Go on without OpenGL."""
        failed, self._canvas = self._canvas, Canvas(self)
        failed.failed.disconnect(self._paint_instead)
        self.layout().replaceWidget(failed, self._canvas)
        failed.hide()
        failed.deleteLater()
        self._canvas.lower()  # under the name of a part
        self._canvas.show()
        self._show()

    def _show_at_rest(self) -> None:
        self._show()

    # -- picking -----------------------------------------------------------------------------------------

    def part_at(self, x: float, y: float) -> str:
        """Return the name of the part under a pixel, "" for none."""
        if self._scene is None:
            return ""
        origin, direction = self._sized().ray(x, y)
        k, _ = pick(origin, direction, self._scene.triangles)
        return self._scene.parts[int(self._scene.face_part[k])] if k >= 0 else ""

    def _hover(self, at: QPointF) -> None:
        name = self.part_at(at.x(), at.y())
        if name != self._hovered:
            self._hovered = name
            self.part_hovered.emit(name)
        self._name_part(name, at)

    def _name_part(self, name: str, at: QPointF) -> None:
        """Write a part's name beside a place, or nothing."""
        said = tr(name)
        if said != self._name.text():
            self._name.setText(said)
            self._name.adjustSize()
        self._name.setVisible(bool(name))
        if name:
            self._name.move(
                max(0, min(int(at.x()) + 14, self.width() - self._name.width())), max(0, int(at.y()) - self._name.height() - 6)
            )

    # -- hands -------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a click or a drag."""
        if self.grips.press(event):
            self._pressed = None
            return
        self._pressed = self._last = event.position()
        self._dragged = False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn with the left button, shift with the middle one or with Shift; name the part otherwise."""
        here = event.position()
        if self.grips.move(event):
            self._name.hide()
            self._hovered = ""
            return
        if self._pressed is None:
            self._hover(here)
            return
        way = here - self._pressed
        if not self._dragged and abs(way.x()) + abs(way.y()) < CLICK:
            return
        self._dragged = True
        step = here - self._last
        self._last = here
        shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if event.buttons() & Qt.MouseButton.LeftButton and not shift:
            self._camera = self._camera.orbit(step.x(), step.y())
        else:
            self._camera = self._sized().pan(step.x(), step.y())
        self._show(moving=True)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A press that went nowhere is a click."""
        if self.grips.release(event):
            return
        if self._pressed is not None and not self._dragged and event.button() == Qt.MouseButton.LeftButton:
            self.part_clicked.emit(self.part_at(event.position().x(), event.position().y()))
        self._pressed = None

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """On a grip, type its values; on the seat, one more."""
        if not self.grips.double(event):
            self.mousePressEvent(event)

    def leaveEvent(self, event: QEnterEvent) -> None:
        """No part is under the mouse any more."""
        self._hovered = ""
        self._name.hide()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come nearer or go away, keeping what is under the mouse in its place."""
        factor = 1.0015 ** event.angleDelta().y()
        x, y = event.position().x() - self.width() / 2, event.position().y() - self.height() / 2
        camera = self._sized().pan(-x, -y).zoom(factor)
        self._camera = camera.pan(x, y)
        self._show(moving=True)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys turn or shift, plus and minus come and go, Home shows it all, Page Down lights the next part."""
        if self.grips.key(event):
            return
        part = next_part(self._scene, self._lit, event.key()) if self._scene is not None else None
        if part is not None:
            self._choose(part)
            return
        if event.key() == Qt.Key.Key_Home:
            self.fit()
            return
        camera = moved(self._sized(), event.key(), shift=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        if camera is None:
            super().keyPressEvent(event)
            return
        self._camera = camera
        self._show()

    def _choose(self, part: str) -> None:
        """Light a part by the keys, and name it where it is seen."""
        self.part_clicked.emit(part)
        self._name_part(part, place_of(self._scene, self._sized(), part) if part and self._scene is not None else QPointF())

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab goes from grip to grip while there are any, then on."""
        return self.grips.next(1 if next else -1) or super().focusNextPrevChild(next)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keys go, to a hand that is at the keys."""
        reason = Qt.FocusReason
        self._frame(event.reason() in (reason.TabFocusReason, reason.BacktabFocusReason, reason.ShortcutFocusReason))

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The keys go elsewhere."""
        self._frame(False)

    def _frame(self, on: bool) -> None:
        self._canvas.framed = on
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the picture sharp."""
        super().resizeEvent(event)
        for over in (self.ghosts, self.swinging):
            over.setGeometry(self.rect())
        self.grips.setGeometry(self.rect())
        if self._scene is not None and (not self._fitted or self._still_whole(event)):
            self.fit()
        self._show()

    def _still_whole(self, event: QResizeEvent) -> bool:
        """Whether the window was made another size while all of the stand was shown; a strip that comes or goes is none."""
        grown = event.size() - event.oldSize()
        return bool(grown.width() or abs(grown.height()) > STRIP) and self._camera.distance == self._whole
