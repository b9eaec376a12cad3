"""What the exact shapes of a frame say: which parts run into each other, which joints do not close."""

from __future__ import annotations

from itertools import combinations

import manifold3d
import numpy as np

from framecore.frame.model import Frame
from framecore.solids import SolidsBuilder

NOTHING = 1e-3  # mm3: rounding of planes that coincide
CLOSED = 1e-6  # mm


def shapes(frame: Frame) -> dict[str, manifold3d.Manifold]:
    """Every part as a closed body."""
    solids = SolidsBuilder().build(frame, 7850.0)
    layout = solids.layout
    out = {}
    for k, name in enumerate(layout.parts):
        faces = layout.faces[layout.face_part == k]
        used = np.unique(faces)
        body = manifold3d.Manifold(
            manifold3d.Mesh64(solids.vertices[used], np.searchsorted(used, faces).astype(np.uint64))
        )
        assert body.status() == manifold3d.Error.NoError, name
        assert body.volume() > 0, name
        out[name] = body
    return out


def overlapping(bodies: dict[str, manifold3d.Manifold]) -> dict[tuple[str, str], float]:
    """Pairs of parts that share room, with how much, mm3."""
    boxes = {n: np.array(b.bounding_box()).reshape(2, 3) for n, b in bodies.items()}
    out = {}
    for a, b in combinations(bodies, 2):
        if (boxes[a][0] < boxes[b][1]).all() and (boxes[b][0] < boxes[a][1]).all():
            shared = (bodies[a] ^ bodies[b]).volume()
            if shared > NOTHING:
                out[a, b] = shared
    return out


def open_joints(frame: Frame, bodies: dict[str, manifold3d.Manifold]) -> dict[tuple[str, str], float]:
    """Members that touch no other member of a joint they belong to, with the gap, mm."""
    out = {}
    for joint in frame.joints:
        if len(joint.members) < 2:  # a plate's corner on one member
            continue
        for name in joint.members:
            gap = min(bodies[name].min_gap(bodies[other], 500.0) for other in joint.members if other != name)
            if gap > CLOSED:
                out[joint.name, name] = gap
    return out
