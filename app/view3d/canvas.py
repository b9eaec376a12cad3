"""Three canvases that show a scene: on a graphics card, by software OpenGL into a picture, and painted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QImage, QOffscreenSurface, QOpenGLContext, QPainter, QPaintEvent, QSurfaceFormat
from PySide6.QtWidgets import QWidget

from app.view3d.painted import ScenePainter
from app.view3d.words import paint_words

if TYPE_CHECKING:
    from PySide6.QtOpenGL import QOpenGLFramebufferObject

    from app.view3d.camera import Camera
    from app.view3d.scene import Scene

# Smooth edges: drawn so many times larger and shrunk. Samples within a pixel would not do, as the depths of inked
# edges are worked out for the pixel's middle.
SMOOTH = 2


class Canvas(QWidget):
    """A plain canvas without OpenGL; the others replace ``picture_of``.

    ``show_scene`` takes what is to be seen; ``picture_of`` makes the picture of it.

    Signals
    -------
    failed() : this canvas cannot draw any more and another has to take its place
    """

    failed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.scene: Scene | None = None
        self.camera: Camera | None = None
        self.moving = False
        self.framed = False  # the keys go here and this should be seen
        self._painter = ScenePainter()

    def show_scene(self, scene: Scene | None, camera: Camera, moving: bool) -> None:
        """Take over what is to be seen and ask for a repaint."""
        self.scene, self.camera, self.moving = scene, camera, moving
        self.update()

    def picture(self) -> QImage:
        """Return the picture as shown, in device pixels."""
        ratio = self.devicePixelRatioF()
        size = QSize(max(1, round(self.width() * ratio)), max(1, round(self.height() * ratio)))
        image = self.picture_of(size)
        image.setDevicePixelRatio(ratio)
        self.write(image)
        return image

    def write(self, image: QImage) -> None:
        """Write the words over the picture."""
        if self.camera is not None:
            with QPainter(image) as painter:
                paint_words(painter, self.scene, self.camera, self.font(), self.framed)

    def picture_of(self, size: QSize) -> QImage:
        """Draw the scene into a picture of ``size`` device pixels."""
        image = QImage(size, QImage.Format.Format_RGB32)
        with QPainter(image) as painter:
            ratio = size.width() / max(1, self.width())
            painter.scale(ratio, ratio)
            if self.camera is not None:
                self._painter.paint(painter, self.scene, self.camera, smooth=not self.moving)
        return image

    def paintEvent(self, event: QPaintEvent) -> None:
        """Show the picture."""
        try:
            image = self.picture()
        except Exception:
            # Drivers fail in every way; a painted stand is better than none.
            if type(self) is Canvas:
                raise
            self.failed.emit()
            return
        with QPainter(self) as painter:
            painter.drawImage(0, 0, image)


def make_buffer(size: QSize) -> QOpenGLFramebufferObject:
    """Return a buffer with depths, in the current context."""
    from PySide6.QtOpenGL import QOpenGLFramebufferObject, QOpenGLFramebufferObjectFormat

    form = QOpenGLFramebufferObjectFormat()
    form.setAttachment(QOpenGLFramebufferObject.Attachment.CombinedDepthStencil)
    return QOpenGLFramebufferObject(size, form)


def shrink(target: QOpenGLFramebufferObject | None, source: QOpenGLFramebufferObject) -> None:
    """Take the mean of every SMOOTH x SMOOTH pixels over into the target; None is the widget's own buffer."""
    from PySide6.QtOpenGL import QOpenGLFramebufferObject

    size = QSize(source.width() // SMOOTH, source.height() // SMOOTH)
    QOpenGLFramebufferObject.blitFramebuffer(
        target, QRect(QPoint(0, 0), size), source, QRect(QPoint(0, 0), source.size()), 0x4000, 0x2601
    )  # of the colours, linear


class SoftwareCanvas(Canvas):
    """OpenGL without a graphics card: drawn into a buffer of its own, then shown as a picture.

    A widget that is itself OpenGL would make the whole window be put together by the slow renderer.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        from app.view3d.gl import Renderer

        self._context = QOpenGLContext()
        self._context.setFormat(QSurfaceFormat.defaultFormat())
        if not self._context.create():
            raise RuntimeError("no OpenGL context")
        self._surface = QOffscreenSurface()
        self._surface.setFormat(self._context.format())
        self._surface.create()
        self._current()
        self._renderer = Renderer()
        self._context.doneCurrent()
        self._buffers: dict[str, QOpenGLFramebufferObject] = {}

    def _current(self) -> None:
        if not self._context.makeCurrent(self._surface):
            raise RuntimeError("the OpenGL context is lost")

    def picture_of(self, size: QSize) -> QImage:
        """Draw the scene; with smooth edges at rest, plainly while the hand moves."""
        self._current()
        try:
            width, height = size.width(), size.height()
            plain = self._buffer("plain", size)
            scale = 1 if self.moving else SMOOTH
            target = plain if self.moving else self._buffer("smooth", size * SMOOTH)
            target.bind()
            if self.camera is not None:
                self._renderer.draw(
                    self.scene, self.camera.matrix, scale * width, scale * height, top_first=True, line=scale
                )
            if target is not plain:
                shrink(plain, target)
                plain.bind()
            image = QImage(size, QImage.Format.Format_RGB32)
            self._renderer.read(np.frombuffer(image.bits(), np.uint8).reshape(height, width, 4))
            plain.release()
            return image
        finally:
            self._context.doneCurrent()

    def _buffer(self, name: str, size: QSize) -> QOpenGLFramebufferObject:
        """Return the kept buffer of that name, made anew when the size changed."""
        kept = self._buffers.get(name)
        if kept is None or kept.size() != size:
            kept = self._buffers[name] = make_buffer(size)
        return kept


def make_canvas(parent: QWidget) -> Canvas:
    """Return the best canvas this screen takes."""
    from app.view3d.probe import way

    found = way()
    try:
        if found == "software":
            return SoftwareCanvas(parent)
        if found == "gl":
            from app.view3d.card import card_canvas

            return card_canvas(parent)
    except Exception:
        # Whatever the driver did, the stand can still be painted.
        pass
    return Canvas(parent)
