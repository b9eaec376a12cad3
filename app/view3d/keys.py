"""What the keys do in the view besides the grips: where the camera goes, which part comes next."""

from __future__ import annotations

from collections.abc import Set

import numpy as np
from PySide6.QtCore import QPointF, Qt

from app.view3d.camera import Camera
from app.view3d.scene import Scene

TURN = 25.0  # pixels of a mouse's way that one stroke is worth
NEARER = 1.15
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1)}
_NEARER = {Qt.Key.Key_Plus: NEARER, Qt.Key.Key_Equal: NEARER, Qt.Key.Key_Minus: 1 / NEARER}
_STEPS = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


def moved(camera: Camera, key: int, *, shift: bool) -> Camera | None:
    """Return where the camera goes at a stroke: arrows turn, with Shift they shift, plus and minus come and go."""
    if key in _ARROWS:
        dx, dy = (TURN * step for step in _ARROWS[Qt.Key(key)])
        return camera.pan(-dx, -dy) if shift else camera.orbit(dx, dy)
    if key in _NEARER:
        return camera.zoom(_NEARER[Qt.Key(key)])
    return None


def next_part(scene: Scene, lit: Set[str], key: int) -> str | None:
    """Return the part after or before the lit one at Page Down and Page Up, round the ends; "" at Escape, else None."""
    if key == Qt.Key.Key_Escape:
        return "" if lit else None
    step = _STEPS.get(Qt.Key(key), 0)
    if not step or not scene.parts:
        return None
    here = [k for k, name in enumerate(scene.parts) if name in lit]
    at = (here[-1] if step > 0 else here[0]) + step if here else (0 if step > 0 else -1)
    return scene.parts[at % len(scene.parts)]


def place_of(scene: Scene, camera: Camera, name: str) -> QPointF:
    """Return where a part is seen: the middle of its corners in the picture."""
    corners = scene.triangles[scene.face_part == scene.parts.index(name)].reshape(-1, 3)
    x, y, _ = camera.project(corners.mean(0)[None])[0].tolist() if len(corners) else (0.0, 0.0, 0.0)
    return QPointF(x, y) if np.isfinite([x, y]).all() else QPointF()
