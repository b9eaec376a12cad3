"""The geometry of a bay: its own axes, the faces of its uprights, where a bar of some depth fits across it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.catalogue.model import Profile, Shape
from framecore.frame.model import Bay, Member, Vector
from framecore.frame.vector import along, cross, dot, minus

_TUBES = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
NONE: Vector = (0.0, 0.0, 0.0)


def unit(a: Vector) -> Vector:
    """Return ``a`` at length 1."""
    size = math.sqrt(dot(a, a))
    return (a[0] / size, a[1] / size, a[2] / size)


def middle(a: Vector, b: Vector) -> Vector:
    """Return the point halfway between two points."""
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A point of a plane and its unit normal."""

    point: Vector
    normal: Vector

    def on(self, start: Vector, way: Vector) -> Vector:
        """Return where the line through ``start`` along ``way`` meets the plane."""
        return along(start, dot(minus(self.point, start), self.normal) / dot(way, self.normal), way)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The line of a bar's middle across a bay: from the left face to the right one.

    ``way`` unit vector from ``start`` to ``end``; ``across`` in the bay's plane, square to it; ``angle`` from
    level, rad.
    """

    start: Vector
    end: Vector
    way: Vector
    across: Vector
    angle: float


def axes(bay: Bay) -> tuple[Vector, Vector]:
    """Return the bay's u (to the right seen from outside, along its bottom edge) and v (up, in its plane)."""
    u = unit(minus(bay.corners[1], bay.corners[0]))
    return u, unit(cross(bay.normal, u))


def face_towards(member: Member, way: Vector) -> Plane:
    """Return the flat of a member's corner box that looks most nearly along ``way``."""
    p = member.profile
    sides = ((member.y_axis, p.width / 2, p.box_centre[0]), (member.z_axis, p.height / 2, p.box_centre[1]))
    axis, half, off = max(sides, key=lambda s: abs(dot(s[0], way)))
    sign = 1.0 if dot(axis, way) > 0 else -1.0
    return Plane(
        point=along(member.start.point, off + sign * half, axis), normal=(sign * axis[0], sign * axis[1], sign * axis[2])
    )


def reach_towards(member: Member, way: Vector) -> float:
    """Return how far a member's corner box reaches along ``way``, from the origin, mm."""
    p = member.profile
    middle_of_box = along(along(member.start.point, p.box_centre[0], member.y_axis), p.box_centre[1], member.z_axis)
    half = p.width / 2 * abs(dot(member.y_axis, way)) + p.height / 2 * abs(dot(member.z_axis, way))
    return dot(middle_of_box, way) + half


def width_across(member: Member, way: Vector) -> float:
    """Return the member's size across ``way`` and its own length: the width of the face that looks along it."""
    p = member.profile
    return p.width if abs(dot(member.z_axis, way)) > abs(dot(member.y_axis, way)) else p.height


def landings(bay: Bay, left: Member, right: Member) -> tuple[Plane, Plane]:
    """Return the inner faces of the two uprights, normals into the bay.

    A tube's own flat is taken, so that it is right where legs lean out of the bay too; on anything else the
    bay's edge with a face square to the bay.
    """
    u, _ = axes(bay)
    back = (-u[0], -u[1], -u[2])
    out = []
    for member, inward, low, high in ((left, u, 0, 3), (right, back, 1, 2)):
        if member.profile.shape in _TUBES:
            out.append(face_towards(member, inward))
            continue
        edge = unit(minus(bay.corners[high], bay.corners[low]))
        normal = unit(cross(edge, bay.normal))
        if dot(normal, inward) < 0:
            normal = (-normal[0], -normal[1], -normal[2])
        out.append(Plane(point=bay.corners[low], normal=normal))
    return out[0], out[1]


def span(bay: Bay, faces: tuple[Plane, Plane], depth: float, clear: float, *, rising: bool) -> Span | None:
    """Lay a bar ``depth`` deep across the bay, its toes ``clear`` above and below the rails' faces, mm.

    Seen from outside it rises to the right, or falls. None where the bay is too small for it.

    Notes
    -----
    A rising bar's lower edge meets the left face in its lowest point A and its upper edge the right face in its
    highest point B. Both are known, so the bar's direction is that of A to B turned down by asin(depth / AB).
    """
    u, v = axes(bay)
    if not rising:  # the same seen in a mirror
        u = (-u[0], -u[1], -u[2])
    low, high = (0, 2) if rising else (1, 3)
    feet = []
    for corner, other, sign in ((low, 3 - low, 1.0), (high, 3 - high, -1.0)):
        edge = unit(minus(bay.corners[other], bay.corners[corner]))
        rail = unit(minus(bay.corners[1], bay.corners[0]) if sign > 0 else minus(bay.corners[2], bay.corners[3]))
        upright_to_rail = abs(dot(unit(cross(bay.normal, rail)), edge))
        feet.append(along(bay.corners[corner], clear / upright_to_rail, edge))
    reach = minus(feet[1], feet[0])
    x, y = dot(reach, u), dot(reach, v)
    size = math.hypot(x, y)
    if x <= 0 or y <= 0 or size <= depth:
        return None
    angle = math.atan2(y, x) - math.asin(depth / size)
    c, s = math.cos(angle), math.sin(angle)
    way = along(along(NONE, c, u), s, v)
    centre = middle(feet[0], feet[1])
    ends = [face.on(centre, way) for face in faces]
    if not rising:
        ends.reverse()
    if angle <= 0 or dot(minus(ends[1], ends[0]), way) <= depth:
        return None
    return Span(start=ends[0], end=ends[1], way=way, across=along(along(NONE, -s, u), c, v), angle=angle)


def crossing(a: Span, b: Span) -> Vector:
    """Return where the middles of two bars of one bay cross."""
    t = dot(minus(b.start, a.start), b.across) / dot(a.way, b.across)
    return along(a.start, t, a.way)


def grown(bay: Bay, by: float) -> tuple[Vector, Vector, Vector, Vector]:
    """Return the bay's corners with every edge moved out by ``by`` mm."""
    c = bay.corners
    lines = []
    for k in range(4):
        edge = unit(minus(c[(k + 1) % 4], c[k]))
        out = cross(edge, bay.normal)  # corners run counter-clockwise seen from outside
        lines.append((along(c[k], by, out), edge, out))
    corners = []
    for k in range(4):
        start, edge, _ = lines[k - 1]
        point, _, out = lines[k]
        corners.append(along(start, dot(minus(point, start), out) / dot(edge, out), edge))
    return corners[0], corners[1], corners[2], corners[3]


def foot_on(member: Member, point: Vector) -> Vector:
    """Return the point of a member's centroid line next to ``point``."""
    return along(member.start.point, dot(minus(point, member.start.point), member.x_axis), member.x_axis)


def depth_and_width(profile: Profile) -> tuple[float, float]:
    """Return a brace's size in the bay's plane and across it, mm: the larger lies in the plane."""
    return max(profile.height, profile.width), min(profile.height, profile.width)
