"""Parts of a stand as closed bodies, to ask whether they overlap or touch."""

from __future__ import annotations

from itertools import combinations

import manifold3d
import numpy as np

from framecore.frame.model import Frame
from framecore.solids import Solids, SolidsBuilder

DENSITY = 7850.0


def built(frame: Frame) -> Solids:
    return SolidsBuilder().build(frame, DENSITY)


def bodies(frame: Frame) -> dict[str, manifold3d.Manifold]:
    """Every part as a body of its own."""
    s = built(frame)
    out = {}
    for k, name in enumerate(s.layout.parts):
        faces = s.layout.faces[s.layout.face_part == k]
        used, index = np.unique(faces, return_inverse=True)
        mesh = manifold3d.Mesh64(s.vertices[used], index.reshape(-1, 3).astype(np.uint64))
        out[name] = manifold3d.Manifold(mesh)
        assert out[name].status() == manifold3d.Error.NoError, name
    return out


def overlaps(frame: Frame, names: set[str], least: float = 1.0) -> list[tuple[str, str, float]]:
    """Pairs of parts, one at least of ``names``, that share more than ``least`` mm3."""
    parts = bodies(frame)
    boxes = {n: np.array(b.bounding_box()) for n, b in parts.items()}
    found = []
    for a, b in combinations(parts, 2):
        if not {a, b} & names or (boxes[a][:3] > boxes[b][3:]).any() or (boxes[b][:3] > boxes[a][3:]).any():
            continue
        volume = (parts[a] ^ parts[b]).volume()
        if volume > least:
            found.append((a, b, volume))
    return found


def loose(frame: Frame, names: set[str], reach: float = 0.01) -> list[str]:
    """Those of ``names`` that touch no other part."""
    parts = bodies(frame)
    boxes = {n: np.array(b.bounding_box()) for n, b in parts.items()}

    def near(a: str, b: str) -> bool:
        return bool((boxes[a][:3] <= boxes[b][3:] + reach).all() and (boxes[b][:3] <= boxes[a][3:] + reach).all())

    return [
        n for n in sorted(names)
        if not any(m != n and near(n, m) and parts[n].min_gap(parts[m], 1.0) <= reach for m in parts)
    ]  # fmt: skip
