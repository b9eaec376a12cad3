"""What every canvas does, and the one that paints; the others draw by software OpenGL or on a graphics card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPaintEvent
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
        return self.finished(self.picture_of(self.pixels))

    @property
    def pixels(self) -> QSize:
        """Size in device pixels."""
        ratio = self.devicePixelRatioF()
        return QSize(max(1, round(self.width() * ratio)), max(1, round(self.height() * ratio)))

    def finished(self, picture: QImage) -> QImage:
        """Return a picture with the words over it, as it is shown."""
        picture.setDevicePixelRatio(self.devicePixelRatioF())
        self.write(picture)
        return picture

    def next_picture(self) -> QImage:
        """Return what to show now."""
        return self.picture()

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
            image = self.next_picture()
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


def make_canvas(parent: QWidget) -> Canvas:
    """Return the best canvas this screen takes."""
    from app.view3d.probe import way

    found = way()
    try:
        if found == "software":
            from app.view3d.software import SoftwareCanvas

            return SoftwareCanvas(parent)
        if found == "gl":
            from app.view3d.card import card_canvas

            return card_canvas(parent)
    except Exception:
        # Whatever the driver did, the stand can still be painted.
        pass
    return Canvas(parent)
