"""Posts on the outside of a rail: what splash back and switch box stand on."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.catalogue import profile as find_profile
from framecore.catalogue.model import Profile, Shape
from framecore.errors import Finding
from framecore.frame._around import Box, Side, member_box, plate_box
from framecore.frame._build import box_bar
from framecore.frame._ring import UP
from framecore.frame.draft import Draft
from framecore.frame.model import Joint, Member, PlateRole, Role, Vector

_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
_X: Vector = (1.0, 0.0, 0.0)
_Y: Vector = (0.0, 1.0, 0.0)
_NEAR = 1e-6
_BESIDE = 30.0  # a panel whose inner edge lies nearer to the rail's face laps it, mm
# Length of weld down a rail's face that a light post needs, mm (common practice).
LEAST_SEAT = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A post that stands: its name, its inner and outer face across the side, where its middle is along it."""

    name: str
    inner: float
    outer: float
    along: float


def post_profile(d: Draft, what: str) -> Profile | None:
    """Return the posts' profile, None with a finding where it is no tube with flat faces."""
    profile = find_profile(d.brief.frame.sections.posts)
    if profile.shape in _BOX:
        return profile
    if not any(f.code == "frame.post_shape" for f in d.findings):
        d.findings.append(
            Finding(
                code="frame.post_shape", field="frame.sections.posts", member=what,
                message=(
                    f"Posts of brackets and splash back are square or rectangular tube, but {profile.id} is a "
                    f"{profile.shape}; take tube such as SHS 30x30x3."
                ),
                allowed="square or rectangular tube", nearest="SHS 30x30x3",
            )
        )  # fmt: skip
    return None


def sizes(profile: Profile, side: Side) -> tuple[float, float]:
    """Return the post's size along the side and across it: its width lies along x."""
    return (profile.width, profile.height) if side.axis == 1 else (profile.height, profile.width)


def outer_plane(d: Draft, side: Side, face: float) -> float:
    """Return where the outermost of rail, top and tray lies on the axis across the side."""
    tops = [side.face(plate_box(p)) for p in d.plates if p.role in (PlateRole.TOP, PlateRole.TRAY)]
    return side.sign * max(side.sign * value for value in (*tops, face))


def foot_of(d: Draft, side: Side, box: Box, low: float, high: float) -> float:
    """Return the level where a post between ``low`` and ``high`` along the side may begin: above a panel's lap."""
    a, face = 1 - side.axis, side.face(box)
    laps = (plate_box(p) for p in d.plates if p.role is PlateRole.PANEL)
    tops = [
        b[5] for b in laps
        if side.sign * (side.face(b) - face) > _NEAR and side.sign * (_inner(side, b) - face) < _BESIDE
        and b[a] < high and b[a + 3] > low and b[2] < box[5] and b[5] > box[2]
    ]  # fmt: skip
    return max([box[2], *tops])


def _inner(side: Side, box: Box) -> float:
    return box[side.axis + (0 if side.sign > 0 else 3)]


def has_seat(d: Draft, side: Side, box: Box, profile: Profile) -> bool:
    """Return whether a panel's lap leaves enough of the rail's face for a post or its arm."""
    a = 1 - side.axis
    return box[5] - foot_of(d, side, box, box[a], box[a + 3]) > max(LEAST_SEAT, profile.height) - _NEAR


def free_along(d: Draft, side: Side, box: Box, width: float) -> tuple[float, float]:
    """Return the range along the side for the middle of a post ``width`` wide on the face of the rail ``box``.

    Legs that stand before the face at the rail's ends are kept clear of.
    """
    a, face = 1 - side.axis, side.face(box)
    first, last = box[a], box[a + 3]
    middle = (first + last) / 2
    for m in d.members:
        if m.role is not Role.LEG:
            continue
        b = member_box(m)
        if b[5] < box[2] + _NEAR or side.sign * (side.face(b) - face) < _NEAR or b[a] > last or b[a + 3] < first:
            continue
        if (b[a] + b[a + 3]) / 2 < middle:
            first = max(first, b[a + 3])
        else:
            last = min(last, b[a])
    return first + width / 2, last - width / 2


def add_post(
    d: Draft, name: str, side: Side, rail: Member, box: Box, profile: Profile, *, along: float, top: float, plane: float
) -> Post:
    """Stand a post on the outer face of a rail, or on an arm where its inner face ``plane`` lies farther out.

    Parameters
    ----------
    box : of the rail
    along : where its middle stands along the side
    top : z of its upper end
    """
    wide, deep = sizes(profile, side)
    face = side.face(box)
    middle = plane + side.sign * deep / 2
    low = foot_of(d, side, box, along - wide / 2, along + wide / 2)
    run, point, kind = rail.name, point_on(rail, along, side), "post on rail"
    if side.sign * (plane - face) > _NEAR:
        level = max(low + profile.height / 2, min((low + box[5]) / 2, d.ring_top - profile.height / 2))
        ends = sorted((face, plane))
        across = _Y if side.axis == 0 else (-1.0, 0.0, 0.0)
        arm = box_bar(f"{name} arm", Role.POST, profile, start=side.at(ends[0], along, level),
                      end=side.at(ends[1], along, level), y_axis=across, z_axis=UP)  # fmt: skip
        d.members.append(arm)
        d.joints.append(Joint(name=f"{arm.name} on rail", kind=kind, members=(run, arm.name), point=point))
        low, run, kind, point = level - profile.height / 2, arm.name, "post on arm", side.at(plane, along, level)
    d.members.append(
        box_bar(name, Role.POST, profile, start=side.at(middle, along, low), end=side.at(middle, along, top), y_axis=_X,
                z_axis=_Y)
    )  # fmt: skip
    d.joints.append(Joint(name=f"{name} on {run}", kind=kind, members=(run, name), point=point))
    return Post(name=name, inner=plane, outer=plane + side.sign * deep, along=along)


def point_on(rail: Member, along: float, side: Side) -> Vector:
    """Return the point of the rail's centroid line at ``along``."""
    p = rail.start.point
    return (along, p[1], p[2]) if side.axis == 1 else (p[0], along, p[2])


def sheet_joint(d: Draft, post: Post, name: str, level: float, side: Side) -> str:
    """Add the place where a sheet's weight hangs on a post; returns its name."""
    point = side.at((post.inner + post.outer) / 2, post.along, level)
    d.joints.append(Joint(name=name, kind="sheet on post", members=(post.name,), point=point))
    return name
