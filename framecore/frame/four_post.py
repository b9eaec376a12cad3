"""Layout ``four-post``: two rings and four legs."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Profile
from framecore.frame._angle_ring import angle_ring, angle_ring_joints
from framecore.frame._build import box_bar
from framecore.frame._foot import add_foot
from framecore.frame._posts import ROWS, Posts, add_legs, bays, branch_fit, joint_name, lower_joints, lower_rails
from framecore.frame._ring import rails_between, whole_ring
from framecore.frame._seat import RingRoom, SeatParts, build_seat, has_bearers
from framecore.frame._shelf import add_shelf, top_plate
from framecore.frame._top import top_build_up
from framecore.frame.checks import four_post_findings
from framecore.frame.draft import Draft
from framecore.frame.fitup import angle_root
from framecore.frame.model import FitUp, Joint, Member, Role, Vector

NAME = "four-post"
# Corner, side of x, side of y, and the axes that turn an angle's legs inwards (heel outside).
_CORNERS: tuple[tuple[str, int, int, Vector, Vector], ...] = (
    ("FL", -1, -1, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    ("FR", 1, -1, (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    ("BL", -1, 1, (0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    ("BR", 1, 1, (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
)
_RAILS_OF = {"FL": ("front", "left"), "FR": ("front", "right"), "BL": ("back", "left"), "BR": ("back", "right")}
_SIDES = ("front", "back", "left", "right")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measures:
    """Levels and sizes that the parts share, mm."""

    brief: Brief
    leg: Profile
    top_rail: Profile
    lower_rail: Profile
    bearer: Profile
    slat: Profile
    stretcher: Profile
    seat: float
    top_thickness: float
    ring_top: float
    leg_bottom: float
    ring_length: float
    ring_depth: float
    style: str

    @property
    def leg_top(self) -> float:
        """Where the legs end."""
        return self.ring_top - (self.top_rail.height if self.style == "under the ring" else 0.0)

    @property
    def wrapped(self) -> bool:
        """Whether the legs are angles round the ring corners."""
        return self.style == "wrapped angle"

    @property
    def leg_points(self) -> dict[str, tuple[float, float]]:
        """x, y of the corner legs' centroid lines."""
        f, leg = self.brief.frame, self.leg
        if not leg.is_angle:
            x, y = (f.length - leg.width) / 2, (f.depth - leg.height) / 2
            return {c: (sx * x, sy * y) for c, sx, sy, *_ in _CORNERS}
        # From the heel the centroid lies half a box plus the box's own offset inwards, equal legs or not.
        w, h = leg.width / 2 - leg.box_centre[0], leg.height / 2 - leg.box_centre[1]
        return {
            c: (sx * (f.length / 2 - (h if c in ("FR", "BL") else w)), sy * (f.depth / 2 - (w if c in ("FR", "BL") else h)))
            for c, sx, sy, *_ in _CORNERS
        }

    @property
    def posts(self) -> Posts:
        """The legs and the lower ring; within wrapped angles that ring is all that counts."""
        f, wrap = self.brief.frame, self.leg.wall if self.wrapped else 0.0
        return Posts(
            brief=self.brief, leg=self.leg, rail=self.lower_rail, stretcher=self.stretcher, slat=self.slat,
            length=self.ring_length, depth=self.ring_depth, middle=0 if self.wrapped else f.middle_legs,
            bottom=self.leg_bottom, corner_top=self.leg_top, middle_top=self.ring_top - self.top_rail.height,
            level=f.lower_ring, toe=max(0.0, f.toe_room - wrap) if f.lower_ring else 0.0,
        )  # fmt: skip


def measure(brief: Brief, height: float) -> Measures:
    """Work out the levels from the seat down to the floor."""
    f = brief.frame
    own = f.sections
    leg, top_rail, lower_rail, bearer, slat, stretcher = (
        find_profile(p) for p in (own.legs, own.top_rails, own.lower_rails, own.bearers, own.slats, own.stretchers)
    )
    top = 0.0 if brief.top.kind == "none" else brief.top.thickness
    over = f.bearer_place == "over the ring" and has_bearers(brief)
    ring_top = height - top_build_up(brief) - (bearer.height if over else 0.0)
    wrap = 2 * leg.wall if f.legs == "wrapped angle" else 0.0
    return Measures(
        brief=brief, leg=leg, top_rail=top_rail, lower_rail=lower_rail, bearer=bearer, slat=slat,
        stretcher=stretcher, seat=height,
        top_thickness=top, ring_top=ring_top, leg_bottom=brief.feet.height + brief.feet.pad_thickness,
        ring_length=f.length - wrap, ring_depth=f.depth - wrap, style=f.legs,
    )  # fmt: skip


def draft(brief: Brief, height: float) -> Draft:
    """Draft the frame of a stand whose seat is ``height`` mm above the floor."""
    m = measure(brief, height)
    f, p = brief.frame, m.posts
    d = Draft(layout=NAME, brief=brief, seat=m.seat, ring_top=m.ring_top, length=f.length, depth=f.depth,
              style=(m.style, f.corners, bool(p.toe)))  # fmt: skip
    if m.wrapped:
        _add_angle_legs(d, m)
    else:
        add_legs(d, p)
    d.members += _top_ring(m)
    if f.lower_ring:
        d.members += angle_ring(p, mitred=f.corners == "mitred") if m.wrapped else lower_rails(p)
    has_top = brief.top.kind in ("sheet", "wood")  # a tray hangs on afterwards, on every layout
    clearance = float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class))
    room = RingRoom(
        length=m.ring_length, depth=m.ring_depth, width=m.top_rail.width, corner=m.top_rail.corner, top=m.ring_top
    )
    seat = build_seat(
        brief, m.bearer, room, seat=m.seat, clearance=clearance, has_top=has_top, top_thickness=m.top_thickness
    )
    d.members += seat.bearers
    tops = {p.tag(row, k): joint_name("top rail", p.tag(row, k)) for row, *_ in ROWS for k in range(p.middle + 2)}
    d.joints += _top_joints(m)
    if f.lower_ring:
        d.joints += angle_ring_joints(p, m.leg_points, m.leg.root) if m.wrapped else lower_joints(p)
    d.joints += _bearer_joints(m, seat)
    add_shelf(d, p, notched=not m.wrapped)
    if has_top:
        d.plates.append(top_plate(brief, f.length, f.depth, m.ring_top))
    d.seat_joints += [f"top rail corner {c}" for c, *_ in _CORNERS]
    d.holes += seat.holes
    d.mounts += seat.mounts
    d.findings += [*four_post_findings(m), *seat.findings]
    if not m.wrapped:  # angle legs have no flat inner faces that a brace could stand on
        d.bays += bays(p, m.ring_top - m.top_rail.height, tops, {s: f"top rail {s}" for s in _SIDES})
    return d


def _add_angle_legs(d: Draft, m: Measures) -> None:
    f, leg, side = m.brief.frame, m.leg, m.brief.feet.pad
    # The upright edge of a ring corner is sharp, mitred or butted: a tube is rounded only along its length.
    chamfer = angle_root(0.0, leg.root).chamfer
    note = "the ring's ground corners sit in its root" if chamfer else ""
    for corner, sx, sy, y_axis, z_axis in _CORNERS:
        # Width lies along whichever of x and y the local y axis points to.
        wide_x = abs(y_axis[0]) > 0.5
        size_x, size_y = (leg.width, leg.height) if wide_x else (leg.height, leg.width)
        x, y = sx * (f.length - size_x) / 2, sy * (f.depth - size_y) / 2
        d.members.append(
            box_bar(f"leg {corner}", Role.LEG, leg, start=(x, y, m.leg_bottom), end=(x, y, m.leg_top),
                    y_axis=y_axis, z_axis=z_axis, note=note)
        )  # fmt: skip
        # The pad's outer edges are flush with the heel.
        add_foot(d, corner, f"leg {corner}", sx * (f.length - side) / 2, sy * (f.depth - side) / 2)


def _top_ring(m: Measures) -> tuple[Member, ...]:
    f = m.brief.frame
    if m.style == "rails between":
        return rails_between("top rail", Role.TOP_RAIL, m.top_rail, f.length, f.depth, m.ring_top, m.leg)
    return whole_ring(
        "top rail", Role.TOP_RAIL, m.top_rail, m.ring_length, m.ring_depth, m.ring_top, mitred=f.corners == "mitred"
    )


def _top_joints(m: Measures) -> tuple[Joint, ...]:
    out: list[Joint] = []
    z = m.ring_top - m.top_rail.height / 2
    fits: tuple[FitUp, ...]
    if m.wrapped:
        kind, fits = "ring in angle", (angle_root(0.0, m.leg.root),)
    elif m.style == "under the ring":
        kind, fits = "ring corner on leg", ()
    else:
        kind, fits = "rails on leg", branch_fit(m.brief, m.top_rail, m.leg, m.leg.height, m.top_rail.width)
    for corner, (x, y) in m.leg_points.items():
        names = (f"leg {corner}", *(f"top rail {side}" for side in _RAILS_OF[corner]))
        out.append(Joint(name=f"top rail corner {corner}", kind=kind, members=names, point=(x, y, z), fit_ups=fits))
    p = m.posts
    fits = branch_fit(m.brief, m.leg, m.top_rail, m.top_rail.width, m.leg.height)
    for row, side, sign in ROWS:
        for k in range(1, p.middle + 1):
            tag = p.tag(row, k)
            out.append(
                Joint(name=joint_name("top rail", tag), kind="leg under rail", members=(f"leg {tag}", f"top rail {side}"),
                      point=(p.xs[k], p.y(sign), z), fit_ups=fits)
            )  # fmt: skip
    return tuple(out)


def _bearer_joints(m: Measures, seat: SeatParts) -> tuple[Joint, ...]:
    y = m.ring_depth / 2 - m.top_rail.width / 2
    fits = branch_fit(m.brief, m.bearer, m.top_rail, m.top_rail.height, m.bearer.height)
    return tuple(
        Joint(
            name=f"{bar.name} {side}", kind="bearer on rail", members=(f"top rail {side}", bar.name),
            point=(bar.start.point[0], sign * y, m.ring_top - m.top_rail.height / 2), fit_ups=fits,
        )
        for bar in seat.bearers
        for _, side, sign in ROWS
    )  # fmt: skip
