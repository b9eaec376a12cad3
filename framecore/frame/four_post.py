"""Layout ``four-post``: two rings and four legs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Profile
from framecore.frame._build import box_bar, flat_plate, rectangle
from framecore.frame._foot import add_foot
from framecore.frame._ring import rail_across, rails_between, whole_ring
from framecore.frame._seat import RingRoom, SeatParts, build_seat
from framecore.frame._top import top_build_up
from framecore.frame.checks import four_post_findings
from framecore.frame.draft import Draft
from framecore.frame.fitup import angle_root, tube_branch
from framecore.frame.model import Bay, FitUp, Joint, Member, Plate, PlateRole, Role, Vector

NAME = "four-post"
# Corner, side of x, side of y, and the axes that turn an angle's legs inwards (heel outside).
_CORNERS: tuple[tuple[str, int, int, Vector, Vector], ...] = (
    ("FL", -1, -1, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    ("FR", 1, -1, (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    ("BL", -1, 1, (0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    ("BR", 1, 1, (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
)
_RAILS_OF = {"FL": ("front", "left"), "FR": ("front", "right"), "BL": ("back", "left"), "BR": ("back", "right")}
# Wood for tops: beech and birch plywood lie near this, kg/m3 (common practice).
WOOD_DENSITY = 680.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measures:
    """Levels and sizes that the parts share, mm."""

    brief: Brief
    leg: Profile
    top_rail: Profile
    lower_rail: Profile
    bearer: Profile
    slat: Profile
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


def measure(brief: Brief, height: float) -> Measures:
    """Work out the levels from the seat down to the floor."""
    f = brief.frame
    leg, top_rail, lower_rail, bearer, slat = (
        find_profile(p)
        for p in (f.sections.legs, f.sections.top_rails, f.sections.lower_rails, f.sections.bearers, f.sections.slats)
    )
    top = 0.0 if brief.top.kind == "none" else brief.top.thickness
    over = f.bearer_place == "over the ring" and bool(brief.machine.holes or f.bearers)
    ring_top = height - top_build_up(brief) - (bearer.height if over else 0.0)
    wrap = 2 * leg.wall if f.legs == "wrapped angle" else 0.0
    return Measures(
        brief=brief, leg=leg, top_rail=top_rail, lower_rail=lower_rail, bearer=bearer, slat=slat, seat=height,
        top_thickness=top, ring_top=ring_top, leg_bottom=brief.feet.height + brief.feet.pad_thickness,
        ring_length=f.length - wrap, ring_depth=f.depth - wrap, style=f.legs,
    )  # fmt: skip


def draft(brief: Brief, height: float) -> Draft:
    """Draft the frame of a stand whose seat is ``height`` mm above the floor."""
    m = measure(brief, height)
    d = Draft(layout=NAME, brief=brief, seat=m.seat, ring_top=m.ring_top, length=brief.frame.length,
              depth=brief.frame.depth, style=(m.style, brief.frame.corners))  # fmt: skip
    _add_legs(d, m)
    d.members += _rings(m)
    has_top = brief.top.kind in ("sheet", "wood")  # a tray hangs on afterwards, on every layout
    clearance = float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class))
    room = RingRoom(
        length=m.ring_length, depth=m.ring_depth, width=m.top_rail.width, corner=m.top_rail.corner, top=m.ring_top
    )
    seat = build_seat(
        brief, m.bearer, room, seat=m.seat, clearance=clearance, has_top=has_top, top_thickness=m.top_thickness
    )
    slats, shelf = _shelf(m)
    d.members += [*seat.bearers, *slats]
    d.plates += shelf
    if has_top:
        d.plates.append(_top(m))
    d.joints += _joints(m, seat, slats)
    d.seat_joints += [f"top rail corner {c}" for c, *_ in _CORNERS]
    d.holes += seat.holes
    d.mounts += seat.mounts
    d.findings += [*four_post_findings(m), *seat.findings]
    d.bays += _bays(m)
    return d


def _add_legs(d: Draft, m: Measures) -> None:
    brief, leg = m.brief, m.leg
    # The upright edge of a ring corner is sharp, mitred or butted: a tube is rounded only along its length.
    chamfer = angle_root(0.0, leg.root).chamfer if m.style == "wrapped angle" else 0.0
    note = f"grind ring corners {chamfer:.1f} mm x 45° to sit in the root" if chamfer else ""
    for corner, sx, sy, y_axis, z_axis in _CORNERS:
        if not leg.is_angle:
            y_axis, z_axis = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
        # Width lies along whichever of x and y the local y axis points to.
        wide_x = abs(y_axis[0]) > 0.5
        size_x, size_y = (leg.width, leg.height) if wide_x else (leg.height, leg.width)
        x = sx * (brief.frame.length - size_x) / 2
        y = sy * (brief.frame.depth - size_y) / 2
        d.members.append(
            box_bar(f"leg {corner}", Role.LEG, leg, start=(x, y, m.leg_bottom), end=(x, y, m.leg_top),
                    y_axis=y_axis, z_axis=z_axis, note=note)
        )  # fmt: skip
        side = brief.feet.pad
        if leg.is_angle:  # the pad's outer edges are flush with the heel
            x, y = sx * (brief.frame.length - side) / 2, sy * (brief.frame.depth - side) / 2
        add_foot(d, corner, f"leg {corner}", x, y)


def _bays(m: Measures) -> tuple[Bay, ...]:
    """Four openings between tube legs; angle legs have no flat inner faces that a brace could stand on."""
    if m.style == "wrapped angle":
        return ()
    f = m.brief.frame
    top = m.ring_top - m.top_rail.height
    low = f.lower_ring or m.leg_bottom
    x, y = f.length / 2, f.depth / 2
    a, b = x - m.leg.width / 2, y - m.leg.height / 2  # the legs' middles
    p, q = x - m.leg.width, y - m.leg.height  # their inner faces
    sides = (
        ("front", "FL", "FR", (-p, -b), (p, -b), (0.0, -1.0, 0.0)),
        ("back", "BR", "BL", (p, b), (-p, b), (0.0, 1.0, 0.0)),
        ("left", "BL", "FL", (-a, q), (-a, -q), (-1.0, 0.0, 0.0)),
        ("right", "FR", "BR", (a, -q), (a, q), (1.0, 0.0, 0.0)),
    )
    return tuple(
        Bay(
            name=side, side=side, left=f"leg {left}", right=f"leg {right}",
            bottom=f"lower rail {side}" if f.lower_ring else "", top=f"top rail {side}",
            corners=((*u, low), (*v, low), (*v, top), (*u, top)), normal=normal,
            joints=(
                f"lower rail corner {left}" if f.lower_ring else "", f"lower rail corner {right}" if f.lower_ring else "",
                f"top rail corner {right}", f"top rail corner {left}",
            ),
        )
        for side, left, right, u, v, normal in sides
    )  # fmt: skip


def _rings(m: Measures) -> tuple[Member, ...]:
    f = m.brief.frame
    mitred = f.corners == "mitred"
    if m.style == "rails between":
        top = rails_between("top rail", Role.TOP_RAIL, m.top_rail, f.length, f.depth, m.ring_top, m.leg)
    else:
        top = whole_ring("top rail", Role.TOP_RAIL, m.top_rail, m.ring_length, m.ring_depth, m.ring_top, mitred=mitred)
    if not f.lower_ring:
        return top
    if m.style == "wrapped angle":
        low = whole_ring(
            "lower rail", Role.LOWER_RAIL, m.lower_rail, m.ring_length, m.ring_depth, f.lower_ring, mitred=mitred
        )
    else:
        low = rails_between("lower rail", Role.LOWER_RAIL, m.lower_rail, f.length, f.depth, f.lower_ring, m.leg)
    return (*top, *low)


def _shelf(m: Measures) -> tuple[tuple[Member, ...], tuple[Plate, ...]]:
    f = m.brief.frame
    if not f.lower_ring or f.shelf == "none":
        return (), ()
    if f.shelf == "slats":
        w = m.lower_rail.width
        y = m.ring_depth / 2 - w
        clear = m.ring_length - 2 * w
        xs = [-clear / 2 + clear * (k + 1) / (f.shelf_slats + 1) for k in range(f.shelf_slats)]
        return tuple(
            rail_across(f"slat {k + 1}", Role.SLAT, m.slat, -y, y, x, f.lower_ring) for k, x in enumerate(xs)
        ), ()
    if m.style == "wrapped angle":
        outline = rectangle(m.ring_length, m.ring_depth)
    else:
        outline = _notched(f.length, f.depth, m.leg.width, m.leg.height)
    plate = flat_plate(
        "shelf", PlateRole.SHELF, outline=outline, at=(0.0, 0.0), bottom=f.lower_ring, thickness=f.shelf_thickness,
        density=find_steel(m.brief.steel.grade).density,
        note="lies on the lower ring: fix it with screws or short stitches, never a continuous weld",
        on=tuple(f"lower rail corner {c}" for c, *_ in _CORNERS),
    )  # fmt: skip
    return (), (plate,)


def _notched(length: float, depth: float, a: float, b: float) -> NDArray[np.float64]:
    """Rectangle with an a x b notch at each corner, counter-clockwise."""
    x, y = length / 2, depth / 2
    return np.array(
        [
            (-x + a, -y), (x - a, -y), (x - a, -y + b), (x, -y + b), (x, y - b), (x - a, y - b),
            (x - a, y), (-x + a, y), (-x + a, y - b), (-x, y - b), (-x, -y + b), (-x + a, -y + b),
        ]
    )  # fmt: skip


def _top(m: Measures) -> Plate:
    f, top = m.brief.frame, m.brief.top
    wood = top.kind == "wood"
    return flat_plate(
        "top", PlateRole.TOP, outline=rectangle(f.length + 2 * top.overhang, f.depth + 2 * top.overhang),
        at=(0.0, 0.0), bottom=m.ring_top, thickness=top.thickness,
        density=WOOD_DENSITY if wood else find_steel(m.brief.steel.grade).density, steel=not wood,
        note="" if wood else "fix it with screws or plug welds, never a continuous weld: it would buckle",
    )  # fmt: skip


def _joints(m: Measures, seat: SeatParts, slats: tuple[Member, ...]) -> tuple[Joint, ...]:
    f, weld = m.brief.frame, m.brief.welding
    out: list[Joint] = []

    def fit(branch: Profile, run: Profile, face: float, width: float) -> tuple[FitUp, ...]:
        if not (branch.closed and run.closed):
            return ()
        return (tube_branch(width, branch.wall_design, run, face, weld.leg, weld.process),)

    rings = [("top rail", m.top_rail, m.ring_top)]
    if f.lower_ring:
        rings.append(("lower rail", m.lower_rail, f.lower_ring))
    legs = {c: _leg_point(m, c) for c, *_ in _CORNERS}
    for prefix, rail, top in rings:
        z = top - rail.height / 2
        for corner, *_ in _CORNERS:
            x, y = legs[corner]
            along, across = _RAILS_OF[corner]
            fits: tuple[FitUp, ...]
            if m.style == "wrapped angle":
                kind, fits = "ring in angle", (angle_root(0.0, m.leg.root),)
            elif m.style == "under the ring" and prefix == "top rail":
                kind, fits = "ring corner on leg", ()
            else:
                kind, fits = "rails on leg", fit(rail, m.leg, m.leg.height, rail.width)
            names = (f"leg {corner}", f"{prefix} {along}", f"{prefix} {across}")
            out.append(Joint(name=f"{prefix} corner {corner}", kind=kind, members=names, point=(x, y, z), fit_ups=fits))
    for group, kind in ((seat.bearers, "bearer on rail"), (slats, "slat on rail")):
        for bar in group:
            prefix, rail = ("top rail", m.top_rail) if kind.startswith("bearer") else ("lower rail", m.lower_rail)
            x = bar.start.point[0]
            for side, sy in (("front", -1), ("back", 1)):
                y = sy * (m.ring_depth / 2 - rail.width / 2)
                top = m.ring_top if prefix == "top rail" else f.lower_ring
                out.append(
                    Joint(
                        name=f"{bar.name} {side}", kind=kind, members=(f"{prefix} {side}", bar.name),
                        point=(x, y, top - rail.height / 2), fit_ups=fit(bar.profile, rail, rail.height, bar.profile.height),
                    )
                )  # fmt: skip
    return tuple(out)


def _leg_point(m: Measures, corner: str) -> tuple[float, float]:
    """Return x, y of the centroid line of a leg."""
    _, sx, sy, *_ = next(c for c in _CORNERS if c[0] == corner)
    if m.leg.is_angle:
        # From the heel the centroid lies half a box plus the box's own offset inwards, equal legs or not.
        inward_w = m.leg.width / 2 - m.leg.box_centre[0]
        inward_h = m.leg.height / 2 - m.leg.box_centre[1]
        swap = corner in ("FR", "BL")
        ix, iy = (inward_h, inward_w) if swap else (inward_w, inward_h)
        return sx * (m.brief.frame.length / 2 - ix), sy * (m.brief.frame.depth / 2 - iy)
    return sx * (m.brief.frame.length - m.leg.width) / 2, sy * (m.brief.frame.depth - m.leg.height) / 2
