"""The view as a picture of any size for a file: points (PNG) or lines and areas (SVG), on paper or on nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QIODevice, QRect, QSize, Qt
from PySide6.QtGui import QFont, QImage, QPainter

from app.view3d.painted import ScenePainter
from app.view3d.words import paint_words
from app.words import tr

if TYPE_CHECKING:
    from app.view3d.camera import Camera
    from app.view3d.scene import Scene

LEAST, MOST = 100, 8000  # pixels a side
KINDS = ("png", "svg")


@dataclass(frozen=True, kw_only=True)
class Picture:
    """What is wanted: ``kind`` "png" or "svg", ``width`` and ``height`` in pixels, on ``paper`` or transparent."""

    kind: str
    width: int
    height: int
    paper: bool = True


def framed(camera: Camera, width: int, height: int) -> tuple[Camera, float]:
    """Return the camera that holds all that the view shows in a picture of that size, and pixels for each of its own.

    Lines and letters keep their size against the stand, however large the picture is.
    """
    scale = min(width / camera.width, height / camera.height)
    # The field of view goes across the width: a wider picture shows more to the sides, and no less above.
    wider = max(1.0, (width / height) / (camera.width / camera.height))
    half = math.atan(math.tan(math.radians(camera.fov) / 2) * wider)
    sized = camera.sized(round(width / scale), round(height / scale))
    return replace(sized, fov=math.degrees(2 * half)), scale


def picture_bytes(scene: Scene, camera: Camera, font: QFont, wanted: Picture) -> bytes:
    """Return the file's content."""
    return _svg(scene, camera, font, wanted) if wanted.kind == "svg" else _png(scene, camera, font, wanted)


def image(scene: Scene, camera: Camera, font: QFont, wanted: Picture) -> QImage:
    """Return the picture in points."""
    made = QImage(QSize(wanted.width, wanted.height), QImage.Format.Format_ARGB32_Premultiplied)
    made.fill(Qt.GlobalColor.transparent)
    with QPainter(made) as painter:
        _paint(painter, scene, camera, font, wanted)
    return made


def _paint(painter: QPainter, scene: Scene, camera: Camera, font: QFont, wanted: Picture) -> None:
    camera, scale = framed(camera, wanted.width, wanted.height)
    painter.scale(scale, scale)
    ScenePainter().paint(painter, scene, camera, smooth=True, paper=wanted.paper)
    paint_words(painter, scene, camera, font, False)


def _png(scene: Scene, camera: Camera, font: QFont, wanted: Picture) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image(scene, camera, font, wanted).save(buffer, "PNG")
    return bytes(buffer.data().data())


def _svg(scene: Scene, camera: Camera, font: QFont, wanted: Picture) -> bytes:
    from PySide6.QtSvg import QSvgGenerator

    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    generator = QSvgGenerator()
    generator.setOutputDevice(buffer)
    generator.setSize(QSize(wanted.width, wanted.height))
    generator.setResolution(96)  # pixels of the style sheets' inch, so that letters keep their size
    generator.setTitle(tr("Standwright"))
    generator.setDescription("")
    generator.setViewBox(QRect(0, 0, wanted.width, wanted.height))
    with QPainter(generator) as painter:
        _paint(painter, scene, camera, font, wanted)
    return bytes(buffer.data().data())
