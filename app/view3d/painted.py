"""A scene by painter alone: convex pieces from far to near, each with its seen faces and their edges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.theme import palette
from app.view3d.camera import Camera
from app.view3d.figure import limb_points
from app.view3d.order import Partings, far_to_near, partings
from app.view3d.scene import GLASS, VEIL, Scene, edge_colour

Floats = NDArray[np.float64]
# Step, what, which tone, corners. Within a step faces come first, then their edges, then what sits on them.
_Job = tuple[int, int, int, list[int]]
_FACE, _EDGE, _HOLE, _STUD = range(4)
_WAYS = 28  # directions a limb's outline is felt for


class ScenePainter:
    """Paints scenes; keeps what does not depend on the eye from one picture to the next."""

    def __init__(self) -> None:
        self._scene: Scene | None = None
        self._known: Partings | None = None

    def paint(self, painter: QPainter, scene: Scene | None, camera: Camera, *, smooth: bool, paper: bool = True) -> None:
        """Paint in logical pixels, on paper or on what is there."""
        p = palette()
        if paper:
            painter.fillRect(QRectF(0, 0, camera.width, camera.height), QColor(p.paper))
        if scene is None:
            return
        if self._known is None or self._scene is None or self._scene.vertices is not scene.vertices:
            self._known = partings(scene.vertices, scene.pieces)
        self._scene = scene
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
        _lines(painter, camera, scene.floor, p.line)
        _steel(painter, scene, camera, far_to_near(self._known, camera), smooth)
        _glass(painter, scene, camera)
        _veil(painter, scene, camera)
        _lines(painter, camera, scene.elbow_line[None], p.accent)


def _lines(painter: QPainter, camera: Camera, segments: Floats, colour: str) -> None:
    if len(segments):
        xy = camera.project(segments.reshape(-1, 3))[:, :2].reshape(-1, 4)
        painter.setPen(QPen(QColor(colour), 1.0))
        painter.drawLines([QLineF(*row) for row in xy[np.isfinite(xy).all(1)].tolist()])


def _toward(camera: Camera, points: Floats) -> Floats:
    """From each point towards the eye."""
    return np.broadcast_to(camera.axes[2], points.shape) if camera.parallel else camera.eye - points


def _seen(camera: Camera, triangles: Floats) -> NDArray[np.bool_]:
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    return np.einsum("ij,ij->i", normal, _toward(camera, triangles[:, 0])) > 0


def _steel(painter: QPainter, scene: Scene, camera: Camera, order: list[int], smooth: bool) -> None:
    """Piece by piece; within a piece the walls of a bore before the outer faces."""
    pieces = scene.pieces
    seen = _seen(camera, scene.triangles)
    rank = np.empty(pieces.count, int)
    rank[order] = np.arange(pieces.count)
    xy = camera.project(scene.vertices)[:, :2]
    sound = np.isfinite(xy).all(1)
    spots = [QPointF(x, y) for x, y in np.where(sound[:, None], xy, 0.0).tolist()]
    step = 2 * rank[pieces.face_piece] + pieces.face_outer
    jobs: list[_Job] = []
    for corners, faces in ((pieces.quads, pieces.quad_face), (scene.faces[pieces.cap_face], pieces.cap_face)):
        wanted = seen[faces] & sound[corners].all(1)
        jobs += zip(step[faces[wanted]].tolist(), [_FACE] * int(wanted.sum()), faces[wanted].tolist(),
                    corners[wanted].tolist(), strict=True)  # fmt: skip
    # An edge is inked with the last of the seen faces beside it.
    beside = scene.edge_faces
    edge_step = np.where(seen[beside] & (beside >= 0), step[beside], -1).max(1)
    wanted = (edge_step >= 0) & sound[scene.edges].all(1)
    jobs += zip(edge_step[wanted].tolist(), [_EDGE] * int(wanted.sum()), [0] * int(wanted.sum()),
                scene.edges[wanted].tolist(), strict=True)  # fmt: skip
    tones = scene.face_colour.astype(int).tolist()
    jobs += _fitting_jobs(scene, camera, rank, spots, tones)
    jobs += _small_jobs(scene, camera, rank, seen, spots)
    jobs.sort(key=lambda job: job[:2])
    ink = QPen(QColor(edge_colour()), 1.0)
    for _, kind, face, corners in jobs:
        points = [spots[i] for i in corners]
        if kind in (_FACE, _STUD):
            colour = QColor(*tones[face])
            # Smooth edges leave a hair of ground between faces that meet: a pen of their own colour covers it.
            painter.setPen(QPen(colour, 0.7) if smooth else Qt.PenStyle.NoPen)
            painter.setBrush(colour)
            painter.drawConvexPolygon(points)
        elif kind == _EDGE:
            painter.setPen(ink)
            painter.drawLine(*points)
        else:
            painter.setPen(ink)
            painter.setBrush(ink.color())
            painter.drawConvexPolygon(points)


def _fitting_jobs(
    scene: Scene, camera: Camera, rank: NDArray[np.int_], spots: list[QPointF], tones: list[list[int]]
) -> list[_Job]:
    """Holes as dark spots on the face the drill enters, where it is seen, and studs on their feet.

    Their points are added to ``spots``, their colours to ``tones``.
    """
    nearest = np.zeros(len(scene.parts), int)
    np.maximum.at(nearest, scene.face_part[: len(scene.faces)], rank[scene.pieces.face_piece])
    turn = np.cross(scene.rims[:, 4] - scene.rims[:, 0], scene.rims[:, 8] - scene.rims[:, 0])
    above = (_toward(camera, scene.rims[:, 0]) * turn).sum(1) > 0
    pins = scene.studs.reshape(-1, 3, 3)
    pin_part = np.repeat(scene.stud_part, scene.studs.shape[1])
    seen = _seen(camera, pins)
    jobs: list[_Job] = []
    for kind, shapes, parts, first in (
        (_HOLE, scene.rims[above], scene.rim_part[above], 0),
        (_STUD, pins[seen], pin_part[seen], len(tones)),
    ):
        if not len(shapes):
            continue
        flat = camera.project(shapes)[:, :2].reshape(*shapes.shape[:2], 2)
        whole = np.isfinite(flat).all((1, 2)).tolist()
        for k, (part, xy) in enumerate(zip(parts.tolist(), flat.tolist(), strict=True)):
            if whole[k]:
                jobs.append((2 * int(nearest[part]) + 1, kind, first + k, list(range(len(spots), len(spots) + len(xy)))))
                spots += [QPointF(x, y) for x, y in xy]
    tones += scene.stud_colour[seen].astype(int).tolist()
    return jobs


def _small_jobs(
    scene: Scene, camera: Camera, rank: NDArray[np.int_], seen: NDArray[np.bool_], spots: list[QPointF]
) -> list[_Job]:
    """Bolts and nuts with the part they sit on: after it where its face beside them is seen, else before it.

    Bodies on one axis go by their place on it, axes from far to near. Their points are added to ``spots``.
    """
    small, first = scene.small, len(scene.faces)
    if not len(small.host):
        return []
    ranks = rank[scene.pieces.face_piece]
    part = scene.face_part[:first]
    low, high = np.full(len(scene.parts), scene.pieces.count), np.zeros(len(scene.parts), int)
    np.minimum.at(low, part, ranks)
    np.maximum.at(high, part, ranks)
    toward = _toward(camera, small.base)
    faces = toward[:, 2] * small.out > 0
    step = np.where(faces, 2 * high[small.host] + 1, 2 * low[small.host] - 1)
    near = small.base @ camera.axes[2] if camera.parallel else -np.linalg.norm(toward, axis=1)
    ends = np.zeros(int(small.stack.max()) + 1)
    ends[small.stack[small.level == 0]] = near[small.level == 0]
    order = np.lexsort((np.where(faces, small.level, -small.level), ends[small.stack]))
    place = np.empty(len(order), int)
    place[order] = np.arange(len(order))
    wanted = np.flatnonzero(seen[first:])
    flat = camera.project(small.triangles[wanted].reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    whole = np.isfinite(flat).all((1, 2))
    wanted, flat = wanted[whole], flat[whole]
    body = small.face_body[wanted]
    jobs: list[_Job] = []
    for k in np.argsort(place[body], kind="stable").tolist():
        jobs.append((int(step[body[k]]), _STUD, first + int(wanted[k]), list(range(len(spots), len(spots) + 3))))
        spots += [QPointF(x, y) for x, y in flat[k].tolist()]
    return jobs


def _glass(painter: QPainter, scene: Scene, camera: Camera) -> None:
    """The machine, seen through from both sides."""
    xy = camera.project(scene.ghost.reshape(-1, 3))[:, :2].reshape(-1, 6, 2)
    colour = QColor(palette().accent)
    colour.setAlpha(GLASS)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    # Two triangles, (a, b, c) and (a, c, d), make a side of a box.
    for side in xy[np.isfinite(xy).all((1, 2))][:, [0, 1, 2, 5]].tolist():
        painter.drawConvexPolygon([QPointF(*q) for q in side])
    _lines(painter, camera, scene.ghost_edges, palette().accent)


def _veil(painter: QPainter, scene: Scene, camera: Camera) -> None:
    """The operator as one see-through shape: every limb is convex, so its farthest points each way outline it."""
    limbs = limb_points(scene.person)
    xy = camera.project(limbs)[:, :2].reshape(len(limbs), -1, 2)
    xy = xy[np.isfinite(xy).all((1, 2))]
    turn = np.linspace(0, 2 * np.pi, _WAYS, endpoint=False)
    farthest = (xy @ np.stack([np.cos(turn), np.sin(turn)])).argmax(1)
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for limb, corners in zip(xy, farthest, strict=True):
        path.addPolygon(QPolygonF([QPointF(*q) for q in limb[corners].tolist()]))
    colour = QColor(palette().soft)
    colour.setAlpha(VEIL)
    painter.fillPath(path, colour)
