"""A scene by painter alone: faces from far to near, convex piece by convex piece."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

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
    _veil(painter, camera, scene)
    _lines(painter, camera, scene.elbow_line[None], p.accent)
    _lines(painter, camera, scene.ghost_edges, p.accent)


def _lines(painter: QPainter, camera: Camera, segments: Floats, colour: str, width: float = 1.0) -> None:
    if not len(segments):
        return
    xy = camera.project(segments.reshape(-1, 3))[:, :2].reshape(-1, 4)
    painter.setPen(QPen(QColor(colour), width))
    painter.drawLines([QLineF(*row) for row in xy[np.isfinite(xy).all(1)].tolist()])


def _veil(painter: QPainter, camera: Camera, scene: Scene) -> None:
    """The operator as one see-through shape."""
    tri = scene.person
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    toward = camera.axes[2] if camera.parallel else camera.eye - tri[:, 0]
    flat = camera.project(tri[(normal * toward).sum(1) > 0].reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for points in flat[np.isfinite(flat).all((1, 2))].tolist():
        path.addPolygon(QPolygonF([QPointF(*q) for q in points]))
    colour = QColor(palette().soft)
    colour.setAlpha(46)
    painter.fillPath(path, colour)


def _faces(painter: QPainter, scene: Scene, camera: Camera) -> None:
    """Faces that look at the eye, the farthest part first; within a part inner walls before outer faces."""
    tri, owner = scene.triangles, scene.face_part
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    toward = camera.axes[2] if camera.parallel else camera.eye - tri[:, 0]
    seen = (normal * toward).sum(1) > 0
    order, outer = part_order(scene, camera, normal)
    rank = np.empty(len(order), int)
    rank[order] = np.arange(len(order))
    beside = scene.edge_faces
    edge_seen = (seen[beside] & (beside >= 0)).any(1)
    # An edge belongs to the outside when an outer face that is seen lies beside it.
    edge_outer = (outer[beside] & seen[beside] & (beside >= 0)).any(1)
    step = 2 * rank[owner] + outer
    edge_step = 2 * rank[scene.edge_part] + edge_outer
    shown, inked = np.flatnonzero(seen), np.flatnonzero(edge_seen)
    shown, inked = shown[np.argsort(step[shown], kind="stable")], inked[np.argsort(edge_step[inked], kind="stable")]
    flat = camera.project(tri[shown].reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    lines = camera.project(scene.edges[inked].reshape(-1, 3))[:, :2].reshape(-1, 4)
    ink = QPen(QColor(palette().ink), 1.0)
    steps = np.unique(step[shown])
    face_from, face_to = np.searchsorted(step[shown], steps), np.searchsorted(step[shown], steps, "right")
    line_from, line_to = np.searchsorted(edge_step[inked], steps), np.searchsorted(edge_step[inked], steps, "right")
    colours = scene.face_colour[shown].astype(int)
    for a, b, c, d in zip(face_from, face_to, line_from, line_to, strict=True):
        # Triangles of one colour are one face: painted as one path there is no seam between them.
        faces: dict[tuple[int, ...], QPainterPath] = {}
        for colour, points in zip(colours[a:b].tolist(), flat[a:b].tolist(), strict=True):
            path = faces.setdefault(tuple(colour), QPainterPath())
            path.setFillRule(Qt.FillRule.WindingFill)
            path.addPolygon(QPolygonF([QPointF(*q) for q in points]))
        for shade, path in faces.items():
            painter.setPen(QPen(QColor(*shade), 0.5))
            painter.setBrush(QColor(*shade))
            painter.drawPath(path)
        painter.setPen(ink)
        painter.drawLines([QLineF(*e) for e in lines[c:d].tolist()])


def part_order(scene: Scene, camera: Camera, normal: Floats) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    """Return part indices from far to near, and which triangles are on the outside of their part.

    For two parts a plane of either that has all of the other outside it says which is in front: the one on the
    eye's side. Parts that no such plane parts keep the order of their middles.
    """
    tri, owner = scene.triangles, scene.face_part
    n = len(scene.parts)
    size = np.linalg.norm(normal, axis=1)
    unit = normal / np.where(size > 0, size, 1.0)[:, None]
    level = (unit * tri[:, 0]).sum(1)
    # Triangles in one plane of one part stand for one plane.
    key = owner * 1e9 + np.round((unit @ (1.0, 17.0, 311.0)) * 1e4) + np.round(level) * 1e-5
    _, first, back = np.unique(key, return_index=True, return_inverse=True)
    unit, level, plane_part = unit[first], level[first], owner[first]
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
    return np.array(out), own[back]
