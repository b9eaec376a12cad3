"""What touches and what overlaps, from the meshes of a stand's parts."""

from __future__ import annotations

import manifold3d
import numpy as np

from framecore.solids.model import Solids

# Volumes smaller than this are rounding, mm3.
CRUMB = 1.0
NEAR = 0.1  # faces nearer than this touch, mm


def bodies(s: Solids) -> dict[str, manifold3d.Manifold]:
    """Every part as a solid body."""
    out = {}
    for k, name in enumerate(s.layout.parts):
        own = np.flatnonzero(s.layout.vertex_part == k)
        new = np.full(len(s.vertices), -1)
        new[own] = np.arange(len(own))
        faces = new[s.layout.faces[s.layout.face_part == k]]
        body = manifold3d.Manifold(
            manifold3d.Mesh(s.vertices[own].astype(np.float32), faces.astype(np.uint32))
        )
        assert body.status() == manifold3d.Error.NoError, name
        out[name] = body
    return out


def _apart(a: tuple[float, ...], b: tuple[float, ...], gap: float) -> bool:
    return any(a[i] > b[i + 3] + gap or b[i] > a[i + 3] + gap for i in range(3))


def overlap(s: Solids) -> dict[tuple[str, str], float]:
    """Volumes of pairs of parts that run into each other, mm3."""
    all_of = bodies(s)
    boxes = {n: b.bounding_box() for n, b in all_of.items()}
    names = list(all_of)
    out = {}
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            if not _apart(boxes[a], boxes[b], -1e-3):
                volume = (all_of[a] ^ all_of[b]).volume()
                # Faces that lie in one plane leave a skin of rounding.
                if volume > CRUMB and volume > 1e-3 * min(all_of[a].volume(), all_of[b].volume()):
                    out[a, b] = volume
    return out


def touching(s: Solids, a: str, b: str) -> bool:
    """Whether two parts come nearer than ``NEAR`` to each other."""
    all_of = bodies(s)
    return bool(all_of[a].min_gap(all_of[b], 10.0) < NEAR)
