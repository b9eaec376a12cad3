"""The canvas on a graphics card: an OpenGL widget that draws straight to the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtOpenGLWidgets import QOpenGLWidget
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.view3d.canvas import SMOOTH, Canvas, make_buffer, shrink
from app.view3d.words import paint_words

if TYPE_CHECKING:
    from PySide6.QtOpenGL import QOpenGLFramebufferObject

    from app.view3d.camera import Camera
    from app.view3d.gl import Renderer
    from app.view3d.scene import Scene


class _Screen(QOpenGLWidget):
    """The OpenGL widget itself; draws what its canvas holds."""

    def __init__(self, canvas: Canvas) -> None:
        super().__init__(canvas)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        form = self.format()
        form.setDepthBufferSize(24)
        self.setFormat(form)
        self._canvas = canvas
        self._renderer: Renderer | None = None
        self._large: QOpenGLFramebufferObject | None = None

    def initializeGL(self) -> None:
        self._large = None
        try:
            from app.view3d.gl import Renderer

            self._renderer = Renderer()
        except Exception:
            # Drivers fail in every way; the widget must not be taken away while it is being made ready.
            self._renderer = None
            QTimer.singleShot(0, self._canvas.failed.emit)

    def paintGL(self) -> None:
        if self._renderer is None:
            return
        try:
            self._paint(self._renderer)
        except Exception:
            # A context that is lost stays lost; a painted stand is better than none.
            self._renderer = None
            QTimer.singleShot(0, self._canvas.failed.emit)

    def _paint(self, renderer: Renderer) -> None:
        camera = self._canvas.camera
        if camera is not None:
            ratio = self.devicePixelRatioF()
            size = round(self.width() * ratio), round(self.height() * ratio)
            if self._large is None or self._large.size() != QSize(*size) * SMOOTH:
                self._large = make_buffer(QSize(*size) * SMOOTH)
            self._large.bind()
            renderer.draw(
                self._canvas.scene, camera.matrix, self._large.width(), self._large.height(), line=SMOOTH
            )
            self._large.release()
            shrink(None, self._large)
            with QPainter(self) as painter:
                paint_words(painter, self._canvas.scene, camera, self.font(), self._canvas.framed)


class CardCanvas(Canvas):
    """Holds the OpenGL widget."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._screen = _Screen(self)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self._screen)

    def show_scene(self, scene: Scene | None, camera: Camera, moving: bool) -> None:
        """Take over what is to be seen and ask for a repaint."""
        super().show_scene(scene, camera, moving)
        self._screen.update()

    def picture_of(self, size: QSize) -> QImage:
        """Read the screen's picture back."""
        return self._screen.grabFramebuffer().scaled(size)

    def write(self, image: QImage) -> None:
        """Nothing: the words are on the screen that was read."""

    def paintEvent(self, event: object) -> None:
        """Nothing: the OpenGL widget covers all of it."""


def card_canvas(parent: QWidget) -> Canvas:
    """Make the canvas."""
    return CardCanvas(parent)
