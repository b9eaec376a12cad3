"""OpenGL without a graphics card: drawn into a buffer of its own, then shown as a picture.

A widget that is itself OpenGL would make the whole window be put together by the slow renderer. What is drawn is drawn
by threads of the renderer's own, so a picture is begun as soon as it is known and fetched as late as may be.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from app.theme import palette
from app.view3d.canvas import SMOOTH, Canvas, make_buffer

if TYPE_CHECKING:
    from PySide6.QtOpenGL import QOpenGLFramebufferObject

    from app.view3d.camera import Camera
    from app.view3d.scene import Scene

_FETCH_MS = 40  # given to the renderer's threads for a smooth picture while the window stays awake


class SoftwareCanvas(Canvas):
    """Shows a plain picture at once, and at rest the smooth one when it is there."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        from app.view3d.gl import Renderer
        from app.view3d.probe import software_context

        self._context, self._surface = software_context()
        self._current()
        self._renderer = Renderer()
        self._context.doneCurrent()
        self._buffers: dict[bool, QOpenGLFramebufferObject] = {}
        self._begun: tuple[object, ...] = ()  # what the renderer is at
        self._pictures: dict[bool, tuple[tuple[object, ...], QImage]] = {}  # the last plain and the last smooth one
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_FETCH_MS)
        self._later.timeout.connect(self._fetch_smooth)

    def show_scene(self, scene: Scene | None, camera: Camera, moving: bool) -> None:
        """Take over what is to be seen; while the hand moves drawing begins before the paint event comes."""
        super().show_scene(scene, camera, moving)
        if moving and not self._begun and self.isVisible():
            self._try(lambda: self._begin(self.pixels, smooth=False))

    def picture_of(self, size: QSize) -> QImage:
        """Draw the scene; with smooth edges at rest, plainly while the hand moves."""
        return self._picture(size, smooth=not self.moving)

    def next_picture(self) -> QImage:
        """Return the smooth picture at rest if it is there, else the plain one; the smooth one follows."""
        size = self.pixels
        kept = self._pictures.get(True)
        if not self.moving and kept is not None and kept[0] == self._key(size, smooth=True):
            return self.finished(QImage(kept[1]))
        picture = self.finished(QImage(self._picture(size, smooth=False)))
        if not self.moving:
            self._begin(size, smooth=True)
            self._later.start()
        return picture

    def _key(self, size: QSize, *, smooth: bool) -> tuple[object, ...]:
        eye = self.camera.matrix.tobytes() if self.camera is not None else b""
        return smooth, self.scene, eye, size.width(), size.height(), palette()

    def _picture(self, size: QSize, *, smooth: bool) -> QImage:
        """Return the picture of the present scene: the kept one, the begun one, or a new one."""
        key = self._key(size, smooth=smooth)
        kept = self._pictures.get(smooth)
        if kept is not None and kept[0] == key:
            return kept[1]
        if self._begun != key:
            self._begin(size, smooth=smooth)
        self._begun = ()
        self._current()
        try:
            buffer = self._buffer(size, smooth=smooth)
            buffer.bind()
            image = QImage(buffer.size(), QImage.Format.Format_RGB32)
            self._renderer.read(np.frombuffer(image.bits(), np.uint8).reshape(image.height(), image.width(), 4))
            buffer.release()
        finally:
            self._context.doneCurrent()
        if smooth:
            image = image.scaled(size, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation)
        self._pictures[smooth] = key, image
        return image

    def _begin(self, size: QSize, *, smooth: bool) -> None:
        """Let the renderer begin."""
        self._current()
        try:
            scale = SMOOTH if smooth else 1
            buffer = self._buffer(size, smooth=smooth)
            buffer.bind()
            if self.camera is not None:
                self._renderer.draw(
                    self.scene, self.camera.matrix, buffer.width(), buffer.height(), top_first=True, line=scale
                )
            buffer.release()
        finally:
            self._context.doneCurrent()
        self._begun = self._key(size, smooth=smooth)

    def _fetch_smooth(self) -> None:
        """The smooth picture is due: show it, unless the hand moves again."""
        size = self.pixels
        if not self.moving and self._begun == self._key(size, smooth=True):
            self._try(lambda: self._picture(size, smooth=True))
            self.update()

    def _try(self, work: Callable[[], object]) -> None:
        try:
            work()
        except Exception:
            self.failed.emit()  # drivers fail in every way; a painted stand is better than none

    def _current(self) -> None:
        if not self._context.makeCurrent(self._surface):
            raise RuntimeError("the OpenGL context is lost")

    def _buffer(self, size: QSize, *, smooth: bool) -> QOpenGLFramebufferObject:
        """Return the kept buffer, made anew when the size changed."""
        kept, wanted = self._buffers.get(smooth), size * (SMOOTH if smooth else 1)
        if kept is None or kept.size() != wanted:
            kept = self._buffers[smooth] = make_buffer(wanted)
        return kept
