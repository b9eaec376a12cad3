"""Index work of the merged mesh: done once per topology, kept while only positions change."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame
from framecore.solids.model import MeshLayout

ROUND_SIDES = {"foot": 12, "caster": 24}
Ints = NDArray[np.int32]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Template:
    """What belongs to the topology alone: indices, no sizes.

    Attributes
    ----------
    part_of : part name -> index
    point_part : (v,) part index of each section point; vertex ``i`` of the start end has its twin at ``i + v``
    """

    layout: MeshLayout
    point_part: Ints
    part_of: dict[str, int]


def cap(rings: tuple[Floats, ...]) -> Ints:
    """Triangulate a section with holes; returns (t, 3) indices into the stacked rings, counter-clockwise."""
    import manifold3d

    return np.asarray(manifold3d.triangulate([np.asarray(r, float) for r in rings]), dtype=np.int32)


def part_rings(frame: Frame) -> tuple[tuple[Floats, ...], ...]:
    """Return the section rings of every part: members, plates, feet, casters."""
    return (
        *(m.profile.outline for m in frame.members),
        *((p.outline,) for p in frame.plates),
        *((_circle("foot"),) for _ in frame.feet),
        *((_circle("caster"),) for _ in frame.casters),
    )


@lru_cache
def _circle(kind: str) -> Floats:
    a = np.linspace(0, 2 * np.pi, ROUND_SIDES[kind], endpoint=False)
    return np.column_stack([np.cos(a), np.sin(a)])


def section_points(frame: Frame) -> Floats:
    """(v, 2): section points of every part in local y, z (members) or u, v (plates), in the template's order."""
    return np.concatenate([loop for rings in part_rings(frame) for loop in rings])


def make_template(frame: Frame) -> Template:
    """Build the index arrays of a frame's merged mesh."""
    rings = part_rings(frame)
    lists = (("member", frame.members), ("plate", frame.plates), ("foot", frame.feet), ("caster", frame.casters))
    names = [part.name for _, parts in lists for part in parts]
    kinds = tuple(kind for kind, parts in lists for _ in parts)
    total = sum(len(r) for part in rings for r in part)
    faces, face_part, edges, edge_part, edge_faces, point_part = [], [], [], [], [], []
    base = face_count = 0
    caps: dict[int, Ints] = {}
    for part, loops in enumerate(rings):
        key = id(loops)
        if key not in caps:
            caps[key] = cap(loops)
        tri = caps[key] + base
        local_faces: list[NDArray[Any]] = [tri[:, ::-1], tri + total]
        side_start = face_count + 2 * len(tri)
        offset = base
        # Cap faces that own each outline edge, to know silhouettes: edge (i, j) of the start and end caps.
        owner = {}
        for t, (i, j, k) in enumerate(tri):
            for e in ((i, j), (j, k), (k, i)):
                owner[e] = t
        for loop in loops:
            n = len(loop)
            i = np.arange(n) + offset
            j = np.roll(i, -1)
            quads = np.stack([np.column_stack([i, j, j + total]), np.column_stack([i, j + total, i + total])], 1)
            local_faces.append(quads.reshape(-1, 3))
            side = side_start + 2 * np.arange(n)
            before = np.roll(side, 1)
            round_part = kinds[part] in ROUND_SIDES
            own = np.array([owner[(a, b)] for a, b in zip(i.tolist(), j.tolist(), strict=True)])
            edges += [np.column_stack([i, j]), np.column_stack([i + total, j + total])]
            edge_faces += [
                np.column_stack([face_count + own, side]),
                np.column_stack([face_count + len(tri) + own, side + 1]),
            ]
            edge_part.append(np.full(2 * n, part))
            if not round_part:
                edges.append(np.column_stack([i, i + total]))
                edge_faces.append(np.column_stack([before, side + 1]))
                edge_part.append(np.full(n, part))
            side_start += 2 * n
            offset += n
        count = sum(len(f) for f in local_faces)
        faces += local_faces
        face_part.append(np.full(count, part))
        point_part.append(np.full(offset - base, part))
        face_count += count
        base = offset
    owner_of = np.concatenate(point_part).astype(np.int32)
    layout = MeshLayout(
        parts=tuple(names),
        kinds=kinds,
        faces=np.concatenate(faces).astype(np.int32),
        face_part=np.concatenate(face_part).astype(np.int32),
        edges=np.concatenate(edges).astype(np.int32),
        edge_part=np.concatenate(edge_part).astype(np.int32),
        edge_faces=np.concatenate(edge_faces).astype(np.int32),
        vertex_part=np.concatenate([owner_of, owner_of]),
    )
    return Template(
        layout=layout,
        point_part=owner_of,
        part_of={name: k for k, name in enumerate(names)},
    )
