"""Index work of the merged mesh: done once per topology, kept while only positions change."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Profile
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
    before, after : (k, 2) section points of members, and of feet and casters: those that no height changes
    """

    layout: MeshLayout
    point_part: Ints
    part_of: dict[str, int]
    before: Floats
    after: Floats


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


def section_points(frame: Frame, template: Template) -> Floats:
    """(v, 2): section points of every part in local y, z (members) or u, v (plates), in the template's order."""
    return np.concatenate([template.before, *(p.outline for p in frame.plates), template.after])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Pattern:
    """Index arrays of one part, counted from its own first point and face; ``*_top`` is 1 where the end's point is meant."""

    points: int
    faces: Ints
    faces_top: Ints
    edges: Ints
    edges_top: Ints
    edge_faces: Ints


def _pattern(loops: tuple[Floats, ...], round_part: bool) -> _Pattern:
    """Index work of a prism on these rings."""
    tri = cap(loops)
    # Cap faces that own each outline edge, to know silhouettes: edge (i, j) of the start and end caps.
    owner = {e: t for t, (i, j, k) in enumerate(tri.tolist()) for e in ((i, j), (j, k), (k, i))}
    faces: list[NDArray[Any]] = [tri[:, ::-1], tri]
    tops: list[NDArray[Any]] = [np.zeros_like(tri), np.ones_like(tri)]
    edges: list[NDArray[Any]] = []
    edge_tops: list[NDArray[Any]] = []
    edge_faces: list[NDArray[Any]] = []
    side_start, offset = 2 * len(tri), 0
    for loop in loops:
        n = len(loop)
        i = np.arange(n) + offset
        j = np.roll(i, -1)
        quads = np.stack([np.column_stack([i, j, j]), np.column_stack([i, j, i])], 1)
        faces.append(quads.reshape(-1, 3))
        tops.append(np.tile(np.array([[0, 0, 1], [0, 1, 1]]), (n, 1)))
        side = side_start + 2 * np.arange(n)
        own = np.array([owner[e] for e in zip(i.tolist(), j.tolist(), strict=True)])
        edges += [np.column_stack([i, j])] * 2
        edge_tops += [np.zeros((n, 2)), np.ones((n, 2))]
        edge_faces += [np.column_stack([own, side]), np.column_stack([len(tri) + own, side + 1])]
        if not round_part:
            edges.append(np.column_stack([i, i]))
            edge_tops.append(np.tile([0, 1], (n, 1)))
            edge_faces.append(np.column_stack([np.roll(side, 1), side + 1]))
        side_start += 2 * n
        offset += n

    def whole(parts: list[NDArray[Any]]) -> Ints:
        return np.concatenate(parts).astype(np.int32)

    return _Pattern(
        points=offset, faces=whole(faces), faces_top=whole(tops), edges=whole(edges), edges_top=whole(edge_tops),
        edge_faces=whole(edge_faces),
    )  # fmt: skip


@lru_cache(maxsize=512)
def _profile_pattern(profile: Profile) -> _Pattern:
    return _pattern(profile.outline, round_part=False)


@lru_cache(maxsize=512)
def _loop_pattern(ring: bytes, round_part: bool) -> _Pattern:
    return _pattern((np.frombuffer(ring).reshape(-1, 2),), round_part)


def make_template(frame: Frame) -> Template:
    """Build the index arrays of a frame's merged mesh."""
    lists = (("member", frame.members), ("plate", frame.plates), ("foot", frame.feet), ("caster", frame.casters))
    names = [part.name for _, parts in lists for part in parts]
    kinds = tuple(kind for kind, parts in lists for _ in parts)
    count = len(frame.members)
    others = zip(part_rings(frame)[count:], kinds[count:], strict=True)
    patterns = [
        *(_profile_pattern(m.profile) for m in frame.members),
        *(_loop_pattern(np.asarray(ring, float).tobytes(), kind in ROUND_SIDES) for (ring,), kind in others),
    ]
    sizes = np.array([(p.points, len(p.faces), len(p.edges)) for p in patterns])
    points, face_counts, edge_counts = sizes.T
    base, first = np.cumsum(points) - points, np.cumsum(face_counts) - face_counts
    total = int(points.sum())
    part = np.arange(len(patterns), dtype=np.int32)
    face_part, edge_part, owner_of = (np.repeat(part, n) for n in (face_counts, edge_counts, points))

    def joined(name: str, start: NDArray[Any], of: Ints, top: str = "") -> Ints:
        out = np.concatenate([getattr(p, name) for p in patterns]) + start[of][:, None]
        if top:
            out += total * np.concatenate([getattr(p, top) for p in patterns])
        return np.asarray(out.astype(np.int32))

    layout = MeshLayout(
        parts=tuple(names),
        kinds=kinds,
        faces=joined("faces", base, face_part, "faces_top"),
        face_part=face_part,
        edges=joined("edges", base, edge_part, "edges_top"),
        edge_part=edge_part,
        edge_faces=joined("edge_faces", first, edge_part),
        vertex_part=np.concatenate([owner_of, owner_of]),
    )
    return Template(
        layout=layout,
        point_part=owner_of,
        part_of={name: k for k, name in enumerate(names)},
        before=_stacked(part_rings(frame)[: len(frame.members)]),
        after=_stacked(part_rings(frame)[len(frame.members) + len(frame.plates) :]),
    )


def _stacked(rings: tuple[tuple[Floats, ...], ...]) -> Floats:
    return np.concatenate([np.zeros((0, 2)), *(loop for loops in rings for loop in loops)])
