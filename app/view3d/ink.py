"""Depths of inked edges: each pixel of an edge is as deep as the faces beside it, not as the line in between. No toolkit.

A line's own depth is right in its middle only; half a pixel beside it a face that is seen at a flat angle is
already nearer or farther by more than a sheet is thick, and the line would vanish in its own face or shine through
the sheet over it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.view3d.scene import Scene

Floats = NDArray[np.float64]
_STEEPEST = 0.004  # of the whole depth in a pixel; faces seen on edge would give any number


def edge_slopes(scene: Scene, matrix: Floats, width: int, height: int) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Return which edges have a face that is seen, and how deep their pixels are.

    Parameters
    ----------
    matrix : (4, 4) model to the cube -1..1
    width, height : device pixels

    Returns
    -------
    indices
        (k,) of the edges
    place : (k, 4)
        a point of the edge: pixels from the lower left corner, depth 0..1; then 1 where the deeper of the two faces
        is the one that is seen (they fall away from the edge), 0 where it is the nearer
    slope : (k, 4)
        depth a pixel across and up, of the faces on either side
    """
    level = -np.einsum("ij,ij->i", scene.normal, scene.triangles[:, 0])
    # A plane goes through a matrix by its inverse; towards the eye is -z of the cube.
    back = np.linalg.inv(matrix)
    plane = scene.normal @ back[:3] + level[:, None] * back[3]
    seen = plane[:, 2] < 0
    steep = np.where(np.abs(plane[:, 2]) > 1e-15, plane[:, 2], -1e-15)
    slope = -plane[:, :2] / steep[:, None] / (width, height)
    slope *= np.minimum(1.0, _STEEPEST / np.maximum(np.hypot(slope[:, 0], slope[:, 1]), 1e-15))[:, None]
    ends = scene.vertices[scene.edges] @ matrix[:, :3].T + matrix[:, 3]
    first = np.where(ends[:, :1, 3] > ends[:, 1:, 3], ends[:, 0], ends[:, 1])  # the end that is surely in front
    beside, pieces = scene.edge_faces, scene.pieces
    looks = seen[beside] & (beside >= 0)
    kept = np.flatnonzero(looks.any(1) & (first[:, 3] > 1e-6))
    beside, looks = beside[kept], looks[kept]
    # A face that is not seen counts only where it lies on another part's face, which is seen instead of it.
    counts = looks | pieces.face_touches[beside]
    beside = np.where(counts, beside, beside[:, ::-1])
    deeper = looks.all(1) & pieces.edge_convex[kept]
    point = first[kept, :3] / first[kept, 3:]
    place = (point + 1) / 2 * (width, height, 1.0)
    return kept, np.column_stack([place, deeper]), slope[beside].reshape(-1, 4)
