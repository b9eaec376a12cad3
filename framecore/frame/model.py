"""The frame: where every piece of steel is. Frozen values, global axes, mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Profile
from framecore.errors import Finding

Vector = tuple[float, float, float]
NOTCH_SPARE = 1.0  # mm a notch is wider than the foot of the fillet in it (common practice)


class Role(StrEnum):
    """What a member is for; also the key of its profile in the brief."""

    LEG = "leg"
    TOP_RAIL = "top rail"
    LOWER_RAIL = "lower rail"
    BEARER = "bearer"
    SLAT = "slat"
    BRACE = "brace"
    STRETCHER = "stretcher"
    BEAM = "box beam"
    COLUMN = "column"
    BASE = "base"
    POST = "post"


class PlateRole(StrEnum):
    """What a plate is for."""

    PAD = "pad"
    TOP = "top"
    SHELF = "shelf"
    CAP = "cap"
    GUSSET = "gusset"
    PANEL = "panel"
    TRAY = "tray"
    BASE = "base plate"
    HEAD = "head plate"
    BACK = "splash back"
    BACKSTOP = "backstop"
    BRACKET = "bracket"
    BLOCK = "block"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndCut:
    """One end of a member: every fibre runs up to one plane.

    Attributes
    ----------
    point : where the member's centroid line meets the plane
    normal : unit normal, pointing out of the member
    kind : "square" or "mitre"
    angle : between the plane and a square cut, rad (pi/4 for a mitred corner)
    """

    point: Vector
    normal: Vector
    kind: str
    angle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole or slot through a member or plate.

    Attributes
    ----------
    owner : member or plate name
    centre : on the face the drill enters
    axis : unit vector along which the drill travels
    diameter : mm
    depth : how far it goes (through everything of the owner within that depth), mm
    purpose : "machine foot 1", "foot FL", "top screw"
    tapped : thread id when it is tapped, else ""
    slot : length between the two end centres along ``slot_axis``, 0 for a round hole
    """

    owner: str
    centre: Vector
    axis: Vector
    diameter: float
    depth: float
    purpose: str
    tapped: str = ""
    slot: float = 0.0
    slot_axis: Vector = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Member:
    """One straight piece.

    Its centroid line runs from ``start.point`` to ``end.point``. ``y_axis`` and ``z_axis`` are where the
    profile's local y and z point, so an outline point (a, b) lies at ``point + a*y_axis + b*z_axis``.
    ``x_axis`` = from start to end = y_axis x z_axis (right-handed).
    """

    name: str
    role: Role
    profile: Profile
    start: EndCut
    end: EndCut
    y_axis: Vector
    z_axis: Vector
    length: float  # over all, longest fibre, when it is finished
    chamfer: float = 0.0  # 45 deg edge to grind so that it sits in an angle's root; 0 none
    note: str = ""

    @property
    def x_axis(self) -> Vector:
        """Unit vector from start to end."""
        (a, b, c), (d, e, f) = self.y_axis, self.z_axis
        return (b * f - c * e, c * d - a * f, a * e - b * d)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plate:
    """A flat plate: ``outline`` (k, 2) counter-clockwise in (u, v), extruded by thickness along u x v.

    A corner (a, b) of the lower face lies at ``origin + a*u_axis + b*v_axis``.
    ``steel`` is False for a wooden top; ``density`` kg/m3. ``on``: names of the joints, feet or members that
    carry its weight in equal parts (empty: the corners of the top ring). ``sheet``: plates with the same
    non-empty name are one folded sheet. ``load_kg``: what is bolted on it and weighs where it does.
    """

    name: str
    role: PlateRole
    thickness: float
    outline: NDArray[np.float64]
    origin: Vector
    u_axis: Vector
    v_axis: Vector
    density: float
    steel: bool = True
    note: str = ""
    on: tuple[str, ...] = ()
    sheet: str = ""
    load_kg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A levelling foot: its stud stands in ``pad``; ``base`` is on the floor, ``top`` under the pad.

    ``leg`` is the member that stands on it, "" where it carries a plate by strips of the plate alone.
    """

    name: str  # "foot FL": F front, B back, L left, R right, M middle
    leg: str
    pad: str
    base: Vector
    top: Vector
    thread: str
    base_diameter: float
    base_height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FitUp:
    """How two shapes meet, computed from their radii.

    Attributes
    ----------
    kind : "angle root" (a corner in an angle's root), "equal width" (branch as wide as the run: open corner,
        flare-bevel groove), "fillet room" (flat left for the fillet beside the branch)
    stand_off : gap left on each face if nothing is ground, mm
    chamfer : 45 deg chamfer leg that removes it, mm
    opening : gap at the middle of the branch's wall to be filled by the groove weld, mm
    throat : effective throat of that groove, mm
    room : flat beside the branch available for a fillet, mm (negative: none)
    needed : leg of the fillet that has to fit, mm
    text : one sentence for the maker
    source : where the rule comes from
    """

    kind: str
    text: str
    source: str
    stand_off: float = 0.0
    chamfer: float = 0.0
    opening: float = 0.0
    throat: float = 0.0
    room: float = 0.0
    needed: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Members that are welded together at one place.

    ``point`` is a point of the first member's centroid line; each other member is tied to it from the
    nearest point of its own centroid line.
    """

    name: str
    kind: str  # "ring corner", "leg and rails", "rail on leg", "bearer on rail", "slat on rail", ...
    members: tuple[str, ...]
    point: Vector
    fit_ups: tuple[FitUp, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """Where one machine foot stands on the stand."""

    name: str  # "mount 1" ...
    point: Vector  # on the seat
    member: str  # the bearer or rail that carries it, "" where strips of a head plate do
    hole: float  # clearance hole, mm; 0 where it rests unscrewed
    slot: float = 0.0  # between the end centres of the slotted hole along ``slot_axis``, mm; 0 round
    slot_axis: Vector = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """An upright opening of one side of the stand, between two uprights and two rails, where a brace may stand.

    Attributes
    ----------
    name : "front", or "front 1" where middle legs part the side; ``side`` "front", "back", "left", "right"
    left, right : names of the uprights as seen from outside the stand
    bottom, top : names of the rails, "" where open
    corners : of the clear opening between the inner faces, in the plane of the uprights' middles, seen from
        outside: bottom left, bottom right, top right, top left
    normal : unit vector out of the stand
    joints : names of the joints at the corners in the same order, "" where there is none
    """

    name: str
    side: str
    left: str
    right: str
    bottom: str
    top: str
    corners: tuple[Vector, Vector, Vector, Vector]
    normal: Vector
    joints: tuple[str, str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plated:
    """A plate that holds as well as it covers; strength turns it into bars between ``ends``.

    Attributes
    ----------
    kind : "panel" (sheet in a bay or on a ring: two diagonals that carry its shear), "gusset" (a strut across
        a corner), "strip" (a radial strip of a base or head plate in bending)
    plate : name of the plate
    ends : names of joints, mounts or feet: four corners in order round a panel; two for gusset and strip
    width : effective width of the strip or strut, mm; 0 for a panel
    thickness : mm
    fixing : "welded" or "bolted"
    pitch : of screws or stitches, mm; ``count`` of them
    """

    kind: str
    plate: str
    ends: tuple[str, ...]
    width: float
    thickness: float
    fixing: str = "welded"
    pitch: float = 0.0
    count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Caster:
    """A wheel for moving: ``ground`` where it touches the floor when in use, ``wheel`` its diameter, mm.

    ``axis`` unit vector of its axle as drawn; ``on`` the member it is bolted to; ``lift`` how far it stands
    off the floor (positive) while the feet carry, mm; ``rating`` kg.
    """

    name: str
    ground: Vector
    wheel: float
    axis: Vector
    on: str
    lift: float
    rating: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frame:
    """All steel of the stand, the seat and the feet.

    ``seat`` z of the face the machine stands on; ``ring_top`` z of the top ring's upper face;
    ``topology`` is equal for two frames whose members, joints, plates and profiles correspond one to one
    (only positions differ), so meshes and matrices can keep their index work. ``seat_joints``: the joints
    that carry the seat, where sway and twist are read. ``length`` and ``depth`` are outside of the legs.
    """

    members: tuple[Member, ...]
    plates: tuple[Plate, ...]
    holes: tuple[Hole, ...]
    joints: tuple[Joint, ...]
    feet: tuple[Foot, ...]
    mounts: tuple[Mount, ...]
    seat: float
    ring_top: float
    length: float
    depth: float
    findings: tuple[Finding, ...]
    topology: tuple[object, ...]
    layout: str = "four-post"
    seat_joints: tuple[str, ...] = ()
    bays: tuple[Bay, ...] = ()
    plated: tuple[Plated, ...] = ()
    casters: tuple[Caster, ...] = ()

    def member(self, name: str) -> Member:
        """Return the member of that name."""
        return next(m for m in self.members if m.name == name)

    def plate(self, name: str) -> Plate:
        """Return the plate of that name."""
        return next(p for p in self.plates if p.name == name)
