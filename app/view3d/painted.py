"""A scene by painter alone: faces from far to near, convex piece by convex piece."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from app.theme import palette
from app.view3d.camera import Camera
from app.view3d.scene import Scene

Floats = NDArray[np.float64]


def paint_scene(painter: QPainter, scene: Scene | None, camera: Camera, *, smooth: bool) -> None:
    """Paint in logical pixels."""
    p = palette()
    painter.fillRect(QRectF(0, 0, camera.width, camera.height), QColor(p.paper))
    if scene is None:
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
    _lines(painter, camera, scene.floor, p.line)
    _faces(painter, scene, camera)
    _lines(painter, camera, scene.person, p.soft, 1.5)
    _lines(painter, camera, scene.elbow_line[None], p.accent)
    _lines(painter, camera, scene.ghost_edges, p.accent)


def _lines(painter: QPainter, camera: Camera, segments: Floats, colour: str, width: float = 1.0) -> None:
    if not len(segments):
        return
    xy = camera.project(segments.reshape(-1, 3))[:, :2].reshape(-1, 4)
    painter.setPen(QPen(QColor(colour), width))
    painter.drawLines([QLineF(*row) for row in xy[np.isfinite(xy).all(1)].tolist()])


def _faces(painter: QPainter, scene: Scene, camera: Camera) -> None:
    """Faces that look at the eye, the farthest part first; inked edges with the part they belong to."""
    tri = scene.triangles
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    toward = camera.axes[2] if camera.parallel else camera.eye - tri[:, 0]
    seen = (normal * toward).sum(1) > 0
    order = part_order(scene, camera)
    rank = np.empty(len(order), int)
    rank[order] = np.arange(len(order))
    shown = np.flatnonzero(seen)
    depth = ((tri[shown].mean(1) - camera.eye) ** 2).sum(1)
    shown = shown[np.lexsort((-depth, rank[scene.face_part[shown]]))]
    flat = camera.project(tri[shown].reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    fine = np.isfinite(flat).all((1, 2))
    edges = camera.project(scene.edges.reshape(-1, 3))[:, :2].reshape(-1, 4)
    facing = _edge_seen(scene, seen)
    ink = QPen(QColor(palette().ink), 1.0)
    part = -1
    lines: list[QLineF] = []
    for k, (face, points) in enumerate(zip(shown.tolist(), flat.tolist(), strict=True)):
        owner = int(scene.face_part[face])
        if owner != part:
            if lines:
                painter.setPen(ink)
                painter.drawLines(lines)
            part = owner
            mine = np.flatnonzero((scene.edge_part == owner) & facing)
            lines = [QLineF(*e) for e in edges[mine].tolist() if np.isfinite(e).all()]
        if fine[k]:
            colour = QColor(*(int(c) for c in scene.face_colour[face]))
            # A thin pen of the same colour closes the hairline between neighbouring triangles.
            painter.setPen(QPen(colour, 0.6))
            painter.setBrush(QBrush(colour, Qt.BrushStyle.SolidPattern))
            painter.drawConvexPolygon(QPolygonF([QPointF(*q) for q in points]))
    if lines:
        painter.setPen(ink)
        painter.drawLines(lines)


def _edge_seen(scene: Scene, seen: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(k,): an edge shows when a face beside it looks at the eye."""
    beside = scene.edge_faces
    return np.asarray((seen[beside] & (beside >= 0)).any(1))


def part_order(scene: Scene, camera: Camera) -> NDArray[np.intp]:
    """Return part indices from far to near.

    For two parts a plane of either that has all of the other outside it says which is in front: the one on the
    eye's side. Parts that no such plane parts keep the order of their middles.
    """
    tri, owner = scene.triangles, scene.face_part
    n = len(scene.parts)
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    size = np.linalg.norm(normal, axis=1)
    keep = size > 1e-6
    unit, at = normal[keep] / size[keep][:, None], tri[keep, 0]
    level = (unit * at).sum(1)
    key = np.round(np.column_stack([owner[keep], unit * 1e3, level * 10]))
    _, first = np.unique(key, axis=0, return_index=True)
    unit, level, plane_part = unit[first], level[first], owner[keep][first]
    points = tri.reshape(-1, 3)
    starts = np.flatnonzero(np.r_[True, np.diff(np.repeat(owner, 3)) != 0])
    beyond = points @ unit.T - level
    low = np.minimum.reduceat(beyond, starts, axis=0).T  # (planes, parts)
    high = np.maximum.reduceat(beyond, starts, axis=0).T
    # A plane serves when its own part lies wholly behind it (a tube's inner walls do not).
    own = high[np.arange(len(unit)), plane_part] < 0.1
    eye = (unit @ camera.axes[2] > 0) if camera.parallel else (unit @ camera.eye - level > 0)
    parted = (low > -0.1) & own[:, None]
    front = np.zeros((n, n), bool)  # front[a, b]: a hides b, so b is painted first
    for sign in (True, False):
        rows = np.flatnonzero(eye == sign)
        hit = np.zeros((n, n), bool)
        np.logical_or.at(hit, plane_part[rows], parted[rows])
        # Eye outside the plane: what lies outside is in front of the plane's own part.
        front |= hit.T if sign else hit
    np.fill_diagonal(front, False)
    both = front & front.T
    front &= ~both
    middle = np.array([points[np.repeat(owner == k, 3)].mean(0) for k in range(n)])
    far = -((middle - camera.eye) ** 2).sum(1)
    waits = front.sum(1)
    done = np.zeros(n, bool)
    out = []
    for _ in range(n):
        ready = np.flatnonzero(~done & (waits == 0))
        pool = ready if len(ready) else np.flatnonzero(~done)
        k = int(pool[far[pool].argmin()])
        done[k] = True
        out.append(k)
        waits -= front[:, k]
    return np.array(out)
