"""Square legs at the corners of a triangle: each stands on its diagonal, so that both its rails meet a flat face."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from framecore.catalogue.model import Profile
from framecore.frame._build import box_bar
from framecore.frame._splay import LEVEL, LEVEL_DOWN
from framecore.frame.model import Member, Role, Vector
from framecore.frame.vector import along, dot

_HALF = 1 / math.sqrt(2)
Plan = tuple[float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class CornerLeg:
    """A square leg that leans along its diagonal; its two inner faces look to either side of the triangle.

    Attributes
    ----------
    code : "FL"
    top : middle of the leg where it ends, level cut
    out : level unit vector away from the triangle, along which it leans to its foot
    angle : from upright, rad
    bottom : z where it ends below
    """

    code: str
    leg: Profile
    top: Vector
    out: Plan
    angle: float
    bottom: float

    @cached_property
    def up(self) -> Vector:
        """Unit vector up the leg."""
        s = math.sin(self.angle)
        return (-self.out[0] * s, -self.out[1] * s, math.cos(self.angle))

    @property
    def _radial(self) -> Vector:
        c = math.cos(self.angle)
        return (self.out[0] * c, self.out[1] * c, math.sin(self.angle))

    @cached_property
    def axes(self) -> tuple[Vector, Vector]:
        """Local y and z, half way between the diagonal outward and the level across it."""
        (a, b, c), (u, v) = self._radial, self.out
        return (
            (_HALF * (v + a), _HALF * (b - u), _HALF * c),
            (_HALF * (a - v), _HALF * (b + u), _HALF * c),
        )

    def middle(self, z: float) -> Vector:
        """Return the middle of the leg at level ``z``."""
        return along(self.top, (z - self.top[2]) / self.up[2], self.up)

    def face_towards(self, x: float, y: float) -> Vector:
        """Unit normal out of the inner face that looks towards x, y."""
        way = (x - self.top[0], y - self.top[1], 0.0)
        y_axis, z_axis = self.axes
        n = min(y_axis, z_axis, key=lambda a: dot(a, way))
        return (-n[0], -n[1], -n[2])

    def on_face(self, normal: Vector, z: float) -> Vector:
        """Return the point at level ``z`` of the middle line of the face with that normal."""
        p = along(self.top, self.leg.width / 2, normal)
        return along(p, (z - p[2]) / self.up[2], self.up)

    def section(self, z: float) -> tuple[Vector, ...]:
        """Corners of the leg's outside at level ``z``."""
        y_axis, z_axis = self.axes
        h = self.leg.width / 2
        out = []
        for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            p = along(along(self.top, i * h, y_axis), j * h, z_axis)
            out.append(along(p, (z - p[2]) / self.up[2], self.up))
        return tuple(out)

    def member(self) -> Member:
        """Return the leg, cut level at both ends."""
        y_axis, z_axis = self.axes
        return box_bar(
            f"leg {self.code}", Role.LEG, self.leg, start=self.middle(self.bottom), end=self.top, y_axis=y_axis,
            z_axis=z_axis, start_normal=LEVEL_DOWN, end_normal=LEVEL,
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Side:
    """One side of the triangle: its ``name`` and the legs on its ``left`` and ``right`` as seen from outside."""

    name: str
    left: CornerLeg
    right: CornerLeg

    @cached_property
    def normals(self) -> tuple[Vector, Vector]:
        """Return the normals of the faces the side's rails land on, left and right."""
        a, b = self.left, self.right
        return a.face_towards(b.top[0], b.top[1]), b.face_towards(a.top[0], a.top[1])

    def ends(self, z: float) -> tuple[Vector, Vector]:
        """Return the middles of both faces at level ``z``."""
        n, k = self.normals
        return self.left.on_face(n, z), self.right.on_face(k, z)

    def way(self, z: float) -> Plan:
        """Level unit vector from left to right at level ``z``."""
        (a, b, _), (c, d, _) = self.ends(z)
        size = math.hypot(c - a, d - b)
        return ((c - a) / size, (d - b) / size) if size else (1.0, 0.0)

    def skew(self, z: float) -> float:
        """Return the tangent of the larger angle, seen from above, between the side and its faces' normals."""
        x, y = self.way(z)
        return max(abs((n[1] * x - n[0] * y) / (n[0] * x + n[1] * y)) for n in self.normals)

    def rail(self, prefix: str, role: Role, profile: Profile, top: float) -> Member:
        """Return the rail of this side, cut to both faces, its upper face at ``top``."""
        z = top - profile.height / 2
        start, end = self.ends(z)
        (n, k), (x, y) = self.normals, self.way(z)
        return box_bar(
            f"{prefix} {self.name}", role, profile, start=start, end=end, y_axis=(-y, x, 0.0), z_axis=LEVEL,
            start_normal=(-n[0], -n[1], -n[2]), end_normal=(-k[0], -k[1], -k[2]), note=self._hand(),
        )  # fmt: skip

    def _hand(self) -> str:
        """Cuts that are mitred and tilted make a left and a right rail of the two that mirror each other."""
        other = {"left": "right", "right": "left"}.get(self.name, "")
        return f"sawn as the mirror image of the {other} one" if other and self.left.angle else ""

    def landing(self, profile: Profile, top: float) -> float:
        """Return the width of leg face that the rail's cut ends take up, both sides of its middle line, mm."""
        z = top - profile.height / 2
        x, y = self.way(z)
        widest = 0.0
        for leg, n in zip((self.left, self.right), self.normals, strict=True):
            across = next(a for a in leg.axes if abs(dot(a, n)) < 0.5)
            # Two opposite corners; the other two lie as far the other way.
            for j in (-1, 1):
                off = (-y * profile.width / 2, x * profile.width / 2, j * profile.height / 2)
                # Along the rail until the corner meets the face.
                t = -dot(off, n) / (x * n[0] + y * n[1])
                widest = max(widest, abs(dot((off[0] + t * x, off[1] + t * y, off[2]), across)))
        return 2 * widest
