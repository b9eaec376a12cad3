"""Frame -> meshes and masses: every part a prism cut by two end planes, all in a few array operations."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Profile
from framecore.frame.model import Frame
from framecore.frame.vector import along, cross, crosses
from framecore.solids._layout import Template, make_template, section_points
from framecore.solids.model import Solids

Floats = NDArray[np.float64]
# Feet are bought; a steel disc with a stud is near enough for mass (common practice).
FOOT_DENSITY = 7850.0
# A caster is drawn as a disc; wheel, fork and plate together weigh about as much as that disc at this density,
# kg/m3: half a kilogram at 75 mm, one at 100 mm, two at 125 mm (common practice).
CASTER_DENSITY = 4500.0
# Width of a caster's wheel over its diameter (common practice).
CASTER_WIDTH = 0.3


class SolidsBuilder:
    """Keeps the index work of the last topology."""

    def __init__(self) -> None:
        self._topology: tuple[object, ...] | None = None
        self._template: Template | None = None

    def build(self, frame: Frame, density: float) -> Solids:
        """Return shapes and masses.

        Parameters
        ----------
        density : of the members' steel, kg/m3
        """
        template = self._template
        if template is None or self._topology != frame.topology:
            template = make_template(frame)
            self._template, self._topology = template, frame.topology
        vertices = _vertices(frame, template)
        volumes, centroids = _volumes(vertices, template)
        areas = _side_areas(frame, template)
        count = len(frame.members)
        # A member weighs what its true section weighs: rounded corners and design walls included.
        volumes[:count] *= [_true_share(m.profile) for m in frame.members]
        for hole in frame.holes:
            part = template.part_of[hole.owner]
            # Through a tube the drill meets two walls, through anything else the full thickness.
            if part < count:
                p = frame.members[part].profile
                thick = 2 * p.wall_design if p.closed else min(hole.depth, p.height)
            else:
                thick = min(hole.depth, frame.plates[part - count].thickness)
            volumes[part] -= (np.pi / 4 * hole.diameter**2 + hole.slot * hole.diameter) * thick
        densities = np.array(
            [density] * count + [p.density for p in frame.plates] + [FOOT_DENSITY] * len(frame.feet)
            + [CASTER_DENSITY] * len(frame.casters)
        )  # fmt: skip
        return Solids(
            layout=template.layout,
            vertices=vertices,
            volumes=volumes,
            masses=volumes * densities * 1e-9,
            centroids=centroids,
            paint_areas=areas * 1e-6,
        )


def part_planes(frame: Frame) -> tuple[Floats, ...]:
    """Return per part start and end plane points, normals and the y, z axes, each (parts, 3)."""
    rows: list[tuple[float, ...]] = []  # in one array: many small ones take longer to make than to reckon with
    for m in frame.members:
        rows.append((*m.start.point, *m.start.normal, *m.end.point, *m.end.normal, *m.y_axis, *m.z_axis))
    for p in frame.plates:
        w = cross(p.u_axis, p.v_axis)
        rows.append((*p.origin, -w[0], -w[1], -w[2], *along(p.origin, p.thickness, w), *w, *p.u_axis, *p.v_axis))
    for f in frame.feet:
        r, (a, b, c) = f.base_diameter / 2, f.base
        rows.append((a, b, c, 0.0, 0.0, -1.0, a, b, c + f.base_height, 0.0, 0.0, 1.0, r, 0.0, 0.0, 0.0, r, 0.0))
    for caster in frame.casters:
        r, half, axis = caster.wheel / 2, CASTER_WIDTH * caster.wheel / 2, caster.axis
        middle = (caster.ground[0], caster.ground[1], caster.lift + r)
        back = cross((0.0, 0.0, 1.0), axis)  # axis x up would point the other way: the ring must turn about +axis
        rows.append((
            *along(middle, -half, axis), -axis[0], -axis[1], -axis[2], *along(middle, half, axis), *axis,
            r * back[0], r * back[1], r * back[2], 0.0, 0.0, r,
        ))  # fmt: skip
    return tuple(np.ascontiguousarray(np.array(rows, dtype=float).reshape(-1, 6, 3).transpose(1, 0, 2)))


def _vertices(frame: Frame, template: Template) -> Floats:
    p0, n0, p1, n1, y, z = part_planes(frame)
    w = crosses(y, z)
    w /= np.sqrt(np.einsum("ij,ij->i", w, w))[:, None]
    k = template.point_part
    points = section_points(frame, template)  # plates change their outlines with the stand's sizes
    off = points[:, :1] * y[k] + points[:, 1:] * z[k]
    low = -np.einsum("ij,ij->i", off, n0[k]) / np.einsum("ij,ij->i", w, n0)[k]
    high = -np.einsum("ij,ij->i", off, n1[k]) / np.einsum("ij,ij->i", w, n1)[k]
    way = w[k]
    return np.concatenate([p0[k] + off + low[:, None] * way, p1[k] + off + high[:, None] * way])


def _volumes(vertices: Floats, template: Template) -> tuple[Floats, Floats]:
    """Volumes (parts,) and centroids (parts, 3) by the divergence theorem over the triangles."""
    layout = template.layout
    a, b, c = (vertices[layout.faces[:, i]] for i in range(3))
    six = np.einsum("ij,ij->i", a, crosses(b, c))
    n = len(layout.parts)
    volume = np.bincount(layout.face_part, six, n) / 6
    whole = six[:, None] * (a + b + c)
    moment = np.stack([np.bincount(layout.face_part, whole[:, i], n) for i in range(3)], axis=1) / 24
    return volume, moment / volume[:, None]


@lru_cache(maxsize=512)
def _true_share(profile: Profile) -> float:
    """Area of the true section over that of the sharp-cornered shape that is drawn."""
    return profile.properties.area / _ring_area(profile.outline)


def _ring_area(rings: tuple[Floats, ...]) -> float:
    """Area enclosed by the outer ring less the holes (clockwise rings count negative)."""
    total = 0.0
    for r in rings:
        points = r.tolist()
        total += sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2
    return total


def _side_areas(frame: Frame, template: Template) -> Floats:
    """Painted area of each part, mm2: outer perimeter times mean length, both faces and edges of plates."""
    out = [m.profile.properties.perimeter * _mean_length(m.start.point, m.end.point) for m in frame.members]
    for p in frame.plates:
        points = p.outline.tolist()
        edge = sum(math.dist(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))
        out.append(2 * _ring_area((p.outline,)) + edge * p.thickness)
    out += [0.0] * (len(frame.feet) + len(frame.casters))
    return np.array(out)


def _mean_length(a: tuple[float, float, float], b: tuple[float, float, float]) -> float:
    return math.dist(a, b)
