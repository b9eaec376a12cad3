"""Exact shapes for the 3D files: rounded corners, end cuts, drilled holes and ground corners, one closed mesh a part.

The live view draws sharp-cornered prisms; here every part is cut from its fine outline by its two end planes, and what a
drill or a grinder takes off is taken off. Slow beside the live shapes (some hundredths of a second), so it is worked out
when a file is written.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.catalogue.model import Profile, Shape
from framecore.frame.model import Foot, Frame, Hole, Vector
from framecore.frame.vector import along
from framecore.solids._layout import cap
from framecore.solids.build import part_planes

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Plane = tuple[Floats, float]
STEEL, WOOD, FITTING = "steel", "wood", "fitting"
_ROUND = 96  # corners of a round bar or tube: its area is then 0.07 % short
_DISC = 48  # corners of feet, wheels and drilled holes
# mm by which a drill stands out before and behind what it drills, so that no skin is left.
_OVER = 0.05


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExactPart:
    """One part as a closed mesh.

    Attributes
    ----------
    name : as in the frame: "leg FL", "pad FL", "foot FL"
    kind : "member", "plate", "foot" or "caster"
    material : "steel", "wood" or "fitting" (feet and casters, bought ready)
    vertices : (n, 3) mm, the stand's axes
    faces : (m, 3) indices, counter-clockwise from outside
    """

    name: str
    kind: str
    material: str
    vertices: Floats
    faces: Ints

    @property
    def volume(self) -> float:
        """Volume by the divergence theorem, mm3."""
        p = self.vertices - self.vertices.mean(0)
        a, b, c = (p[self.faces[:, k]] for k in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def exact_parts(frame: Frame) -> tuple[ExactPart, ...]:
    """Return every part of the frame as a closed mesh: members, plates, feet, casters, in the frame's order.

    Notes
    -----
    Tubes have the corners and the wall their section properties are computed with. Arcs are polygons with their corners
    on the arc: eight chords to a rounded corner, 96 to a round bar, 48 to a hole. A foot is its disc and its stud up to
    the pad, a caster its wheel, as they are drawn; what is tapped is bored to the tap drill.
    """
    lists = (("member", frame.members), ("plate", frame.plates), ("foot", frame.feet), ("caster", frame.casters))
    kinds = [kind for kind, parts in lists for _ in parts]
    names = [part.name for _, parts in lists for part in parts]
    rings = (
        *(fine_rings(m.profile) for m in frame.members), *((p.outline,) for p in frame.plates),
        *((_disc(),) for _ in (*frame.feet, *frame.casters)),
    )  # fmt: skip
    wood = {p.name for p in frame.plates if not p.steel}
    drilled: dict[str, list[Hole]] = defaultdict(list)
    for hole in frame.holes:
        drilled[hole.owner].append(hole)
    ground = ground_corners(frame)
    feet = {f.name: f for f in frame.feet}
    planes = part_planes(frame)
    out = []
    for k, name in enumerate(names):
        vertices, faces = _prism(rings[k], [a[k] for a in planes])
        if name in drilled or name in ground:
            vertices, faces = _cut(vertices, faces, drilled[name], ground.get(name, ()))
        if kinds[k] == "foot":
            vertices, faces = _with_stud(vertices, faces, feet[name])
        material = FITTING if kinds[k] in ("foot", "caster") else WOOD if name in wood else STEEL
        out.append(ExactPart(name=name, kind=kinds[k], material=material, vertices=vertices, faces=faces))
    return tuple(out)


@lru_cache(maxsize=512)
def fine_rings(profile: Profile) -> tuple[Floats, ...]:
    """Outline of a profile with its arcs, rounds finer than they are drawn."""
    if profile.shape not in (Shape.ROUND_TUBE, Shape.ROUND_BAR):
        return profile.outline_fine
    outer = profile.height / 2
    if profile.shape is Shape.ROUND_BAR:
        return (outer * _circle(_ROUND),)
    return outer * _circle(_ROUND), (outer - profile.wall_design) * _circle(_ROUND)[::-1]


@lru_cache
def _circle(count: int) -> Floats:
    a = 2 * np.pi * np.arange(count) / count
    return np.column_stack([np.cos(a), np.sin(a)])


@lru_cache
def _disc() -> Floats:
    return _circle(_DISC)


def _prism(rings: tuple[Floats, ...], planes: list[Floats]) -> tuple[Floats, Ints]:
    """Cut the prism over ``rings`` by two planes; ``planes`` as ``part_planes`` gives them, for one part."""
    p0, n0, p1, n1, y, z = planes
    w = np.cross(y, z)
    w /= np.linalg.norm(w)
    points = np.concatenate(rings)
    off = points[:, :1] * y + points[:, 1:] * z
    low = p0 + off - ((off @ n0) / (w @ n0))[:, None] * w
    high = p1 + off - ((off @ n1) / (w @ n1))[:, None] * w
    tri, total = cap(rings), len(points)
    faces = [tri[:, ::-1], tri + total]
    offset = 0
    for ring in rings:
        i = np.arange(len(ring)) + offset
        j = np.roll(i, -1)
        faces += [np.column_stack([i, j, j + total]), np.column_stack([i, j + total, i + total])]
        offset += len(ring)
    return np.concatenate([low, high]), np.concatenate(faces).astype(np.int32)


def _solid(vertices: Floats, faces: Ints) -> Any:
    import manifold3d

    return manifold3d.Manifold(manifold3d.Mesh64(np.ascontiguousarray(vertices), np.ascontiguousarray(faces, np.uint64)))


def _mesh(solid: Any) -> tuple[Floats, Ints]:
    mesh = solid.to_mesh64()
    return np.array(mesh.vert_properties[:, :3], float), np.array(mesh.tri_verts, np.int32)


def _cut(vertices: Floats, faces: Ints, holes: Iterable[Hole], planes: Iterable[Plane]) -> tuple[Floats, Ints]:
    solid = _solid(vertices, faces)
    for normal, offset in planes:
        solid = solid.trim_by_plane(tuple((-normal).tolist()), -offset)  # what lies against the normal stays
    for hole in holes:
        solid -= _solid(*_drill(hole))
    return _mesh(solid)


def _drill(hole: Hole) -> tuple[Floats, Ints]:
    """Return what the drill takes: a round or slotted prism from just before the face to just past its depth."""
    axis = np.asarray(hole.axis)
    first = np.asarray(hole.slot_axis if hole.slot > 0 else (1.0, 0.0, 0.0) if abs(axis[0]) < 0.7 else (0.0, 1.0, 0.0))
    first = first - (first @ axis) * axis
    first /= np.linalg.norm(first)
    ring = hole.diameter / 2 * _circle(_DISC)
    if hole.slot > 0:
        # A slot is the circle pulled apart; the quarter points belong to both halves.
        q = _DISC // 4
        half = np.array((hole.slot / 2, 0.0))
        right, left = np.concatenate([ring[-q:], ring[: q + 1]]), ring[q : 3 * q + 1]
        ring = np.concatenate([right + half, left - half])
    start = np.asarray(hole.centre) - _OVER * axis
    end = np.asarray(hole.centre) + (hole.depth + _OVER) * axis
    return _prism((ring,), [start, -axis, end, axis, first, np.cross(axis, first)])


def ground_corners(frame: Frame) -> dict[str, list[Plane]]:
    """Return per member the planes its sharp edge is ground to where it sits in an angle's root.

    A plane is its unit normal, out of the steel, and its distance from the origin along that normal, mm.
    """
    out: dict[str, list[Plane]] = defaultdict(list)
    members = {m.name: m for m in frame.members}
    for joint in frame.joints:
        size = max((f.chamfer for f in joint.fit_ups if f.kind == "angle root"), default=0.0)
        leg = members[joint.members[0]]
        if size <= 0 or not leg.profile.is_angle:
            continue
        p = leg.profile
        y, z = np.asarray(leg.y_axis), np.asarray(leg.z_axis)
        inner = np.array(p.box_centre) - (p.width / 2 - p.wall_design, p.height / 2 - p.wall_design)
        root = np.asarray(leg.start.point) + inner[0] * y + inner[1] * z
        normal = -(y + z) / math.sqrt(2)
        for name in joint.members[1:]:
            out[name].append((normal, float((root + size * y) @ normal)))
    return dict(out)


def _with_stud(vertices: Floats, faces: Ints, foot: Foot) -> tuple[Floats, Ints]:
    """Add the foot's stud, from within its disc up to the underside of the pad."""
    low = foot.base_height / 2
    if foot.top[2] - foot.base[2] - foot.base_height < _OVER:
        return vertices, faces
    radius = thread(foot.thread).diameter / 2
    start: Vector = along(foot.base, low, (0.0, 0.0, 1.0))
    x, y, up = np.eye(3)
    stud = _prism((_disc(),), [np.asarray(start), -up, np.asarray(foot.top), up, radius * x, radius * y])
    return _mesh(_solid(vertices, faces) + _solid(*stud))
