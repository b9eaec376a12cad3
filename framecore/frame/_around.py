"""What surrounds a part: boxes of members in the stand's axes, and the outermost rails of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.frame.draft import Draft
from framecore.frame.model import Member, Plate, Role, Vector
from framecore.frame.vector import cross

# Low x, y, z and high x, y, z, mm.
Box = tuple[float, float, float, float, float, float]
FLUSH = 1.0  # faces nearer than this lie in one plane, mm
_CORNER = 25.0  # the box round a rail that meets another aslant is a little wide, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A side of the stand: the axis across it (0 x, 1 y) and the sign of that axis out of the stand."""

    name: str
    axis: int
    sign: int

    @property
    def out(self) -> Vector:
        """Unit vector out of the stand."""
        return (float(self.sign), 0.0, 0.0) if self.axis == 0 else (0.0, float(self.sign), 0.0)

    def at(self, out: float, along: float, z: float) -> Vector:
        """Return the point at ``out`` on the axis across the side, ``along`` on the other, ``z`` up."""
        return (out, along, z) if self.axis == 0 else (along, out, z)

    def face(self, box: Box) -> float:
        """Return where the outer face of a box lies on the axis across."""
        return box[self.axis + (3 if self.sign > 0 else 0)]


SIDES = {
    "front": Side(name="front", axis=1, sign=-1), "back": Side(name="back", axis=1, sign=1),
    "left": Side(name="left", axis=0, sign=-1), "right": Side(name="right", axis=0, sign=1),
}  # fmt: skip


@lru_cache(maxsize=512)
def member_box(m: Member) -> Box:
    """Return the box round a member; exact where it runs along an axis, a little wide where it leans."""
    (yx, yy, yz), (zx, zy, zz), (xx, xy, xz) = m.y_axis, m.z_axis, m.x_axis
    a, b, profile = m.start.point, m.end.point, m.profile
    past = max(0.0, (m.length - math.dist(a, b)) / 2)  # a mitre's longest fibre reaches past the centroid line
    w, h = profile.width / 2, profile.height / 2
    p, q = profile.box_centre
    i = w * abs(yx) + h * abs(zx) + past * abs(xx)
    j = w * abs(yy) + h * abs(zy) + past * abs(xy)
    k = w * abs(yz) + h * abs(zz) + past * abs(xz)
    x0, x1 = (a[0], b[0]) if a[0] < b[0] else (b[0], a[0])
    y0, y1 = (a[1], b[1]) if a[1] < b[1] else (b[1], a[1])
    z0, z1 = (a[2], b[2]) if a[2] < b[2] else (b[2], a[2])
    x, y, z = p * yx + q * zx, p * yy + q * zy, p * yz + q * zz
    return (x0 + x - i, y0 + y - j, z0 + z - k, x1 + x + i, y1 + y + j, z1 + z + k)


@lru_cache(maxsize=512)
def plate_box(p: Plate) -> Box:
    """Return the box round a plate."""
    u, v, o = p.u_axis, p.v_axis, p.origin
    w, points = cross(u, v), p.outline.tolist()
    low, high = [], []
    for i in range(3):
        ui, vi, deep = u[i], v[i], p.thickness * w[i]
        spread = [a * ui + b * vi for a, b in points]
        low.append(o[i] + min(spread) + min(deep, 0.0))
        high.append(o[i] + max(spread) + max(deep, 0.0))
    return (low[0], low[1], low[2], high[0], high[1], high[2])


def outer_rails(d: Draft, side: Side, role: Role) -> tuple[tuple[Member, Box], ...]:
    """Return the rails of that role that run along the side and lie farthest out, with their boxes.

    None where rails that run aslant reach farther out: the side has a corner there, not a face.
    """
    every = [(m, member_box(m)) for m in d.members if m.role is role]
    own = [(m, box) for m, box in every if abs(m.x_axis[1 - side.axis]) > 0.999]
    if not own:
        return ()
    far = max(side.sign * side.face(box) for _, box in own)
    if max(side.sign * side.face(box) for _, box in every) > far + _CORNER:
        return ()
    return tuple((m, box) for m, box in own if side.sign * side.face(box) > far - FLUSH)


def support_box(d: Draft) -> Box | None:
    """Return the box round all members and head plates whose upper face carries a top; None if there is none."""
    boxes = [member_box(m) for m in d.members if m.role not in (Role.SLAT, Role.BRACE, Role.POST)]
    boxes += [plate_box(p) for p in d.plates if p.role == "head plate"]
    boxes = [b for b in boxes if abs(b[5] - d.ring_top) < FLUSH]
    if not boxes:
        return None
    low, high = [min(b[i] for b in boxes) for i in range(3)], [max(b[i] for b in boxes) for i in range(3, 6)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])
