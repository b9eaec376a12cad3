"""Layout ``pedestal pair``: two narrow pedestals at the ends, spanned by one ring that carries the machine.

Each pedestal is four legs with a lower ring of their own. The top ring lies whole over all eight legs: its
long rails are the spanning rails, its ends and the two rails over the inner legs close each pedestal's top.
Legs and feet are named F front, B back, L left, R right; those with an M are the inner ones, towards the
middle: "leg FML" is the front inner leg of the left pedestal.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame import _braces
from framecore.frame._pedestal_checks import pedestal_findings
from framecore.frame._posts import ROWS, Posts, add_legs, bays, branch_fit, lower_joints, lower_rails
from framecore.frame._ring import rail_across, whole_ring
from framecore.frame._seat import RingRoom, SeatParts, build_seat
from framecore.frame._shelf import add_shelf, top_plate
from framecore.frame.draft import Draft
from framecore.frame.four_post import Measures
from framecore.frame.four_post import measure as measure_four_post
from framecore.frame.model import Bay, Joint, Role

NAME = "pedestal pair"
CABINETS = "cabinets"
# Name, sign of x, number, and what a pedestal's own corners and side rails are called on the stand.
_CORNERS = {
    "left": {"FL": "FL", "FR": "FML", "BL": "BL", "BR": "BML"},
    "right": {"FL": "FMR", "FR": "FR", "BL": "BMR", "BR": "BR"},
}
_PEDESTALS = (("left", -1, 1), ("right", 1, 2))
_FEET = ("FL", "FML", "FMR", "FR", "BL", "BML", "BMR", "BR")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairMeasures:
    """``one``: a pedestal measured as a four-post stand of its own; ``brief`` is the whole stand's."""

    brief: Brief
    one: Measures

    @property
    def middle(self) -> float:
        """How far the middle of a pedestal stands from the middle of the stand, mm."""
        return (self.brief.frame.length - self.brief.frame.pedestal) / 2

    @property
    def inner_rail(self) -> float:
        """How far the top rail over the inner legs lies from the middle of the stand, flush with them, mm."""
        f = self.brief.frame
        return f.length / 2 - f.pedestal + self.one.top_rail.width / 2

    def posts(self, sign: int) -> Posts:
        """Legs and lower ring of the left (-1) or right (+1) pedestal."""
        return replace(self.one.posts, cx=sign * self.middle)


def measure(brief: Brief, height: float) -> PairMeasures:
    """Work out the levels; a pedestal has its legs under the ring and none in between."""
    f = brief.frame
    own = replace(brief, frame=replace(f, length=f.pedestal, legs="under the ring", middle_legs=0))
    return PairMeasures(brief=brief, one=measure_four_post(own, height))


def draft(brief: Brief, height: float) -> Draft:
    """Draft the frame of a pedestal pair whose seat is ``height`` mm above the floor."""
    m = measure(brief, height)
    f, one = brief.frame, m.one
    d = Draft(layout=NAME, brief=brief, seat=one.seat, ring_top=one.ring_top, length=f.length, depth=f.depth,
              style=(f.corners, f.pedestals, bool(one.posts.toe)))  # fmt: skip
    closed: list[Bay] = []
    for name, sign, number in _PEDESTALS:
        closed += _add_pedestal(d, m, name, sign, number)
    d.feet.sort(key=lambda foot: _FEET.index(foot.name.removeprefix("foot ")))
    rail = one.top_rail
    d.members += whole_ring(
        "top rail", Role.TOP_RAIL, rail, f.length, f.depth, one.ring_top, mitred=f.corners == "mitred"
    )
    y = f.depth / 2 - rail.width
    d.members += [
        rail_across(f"top rail inner {name}", Role.TOP_RAIL, rail, -y, y, sign * m.inner_rail, one.ring_top)
        for name, sign, _ in _PEDESTALS
    ]
    has_top = brief.top.kind in ("sheet", "wood")  # a tray hangs on afterwards, on every layout
    room = RingRoom(
        length=f.length, depth=f.depth, width=rail.width, corner=rail.corner, top=one.ring_top,
        across=tuple((f"top rail inner {name}", sign * m.inner_rail) for name, sign, _ in _PEDESTALS),
    )  # fmt: skip
    seat = build_seat(
        brief, one.bearer, room, seat=one.seat, has_top=has_top, top_thickness=one.top_thickness,
        clearance=float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class)),
    )  # fmt: skip
    d.members += seat.bearers
    d.joints += _top_joints(m, seat)
    if has_top:
        d.plates.append(top_plate(brief, f.length, f.depth, one.ring_top))
    d.seat_joints += [f"top rail corner {c}" for c in ("FL", "FR", "BL", "BR")]
    d.holes += seat.holes
    d.mounts += seat.mounts
    stops = pedestal_findings(m)
    d.findings += [*stops, *seat.findings]
    if not stops:
        members = {part.name: part for part in d.members}
        for bay in closed:
            _braces.add_panel(d, bay, members, brief.braces)
    return d


def _add_pedestal(d: Draft, m: PairMeasures, name: str, sign: int, number: int) -> list[Bay]:
    """Add legs, feet, lower ring, shelf and bays of one pedestal; returns the bays that a cabinet closes."""
    p, one = m.posts(sign), m.one
    f = m.brief.frame
    own = Draft(layout=NAME, brief=d.brief, seat=d.seat, ring_top=d.ring_top, length=f.pedestal, depth=f.depth)
    add_legs(own, p)
    if f.lower_ring:
        own.members += lower_rails(p)
        own.joints += lower_joints(p)
    add_shelf(own, p)
    call = _caller(name, sign)
    d.members += [replace(part, name=call(part.name)) for part in own.members]
    d.plates += [replace(part, name=call(part.name), on=tuple(call(n) for n in part.on)) for part in own.plates]
    d.holes += [replace(h, owner=call(h.owner), purpose=call(h.purpose)) for h in own.holes]
    d.feet += [replace(foot, name=call(foot.name), leg=call(foot.leg), pad=call(foot.pad)) for foot in own.feet]
    d.joints += [replace(j, name=call(j.name), members=tuple(call(n) for n in j.members)) for j in own.joints]
    corners = _CORNERS[name]
    tops = {c: f"top rail corner {new}" for c, new in corners.items()}
    outer, inner = ("left", "right") if sign < 0 else ("right", "left")
    rails = {"front": "top rail front", "back": "top rail back", outer: f"top rail {name}", inner: f"top rail inner {name}"}
    names = {"front": f"front {number}", "back": f"back {number}", outer: name, inner: f"inner {name}"}
    closed = []
    for bay in bays(p, one.ring_top - one.top_rail.height, tops, rails):
        moved = replace(
            bay, name=names[bay.side], left=call(bay.left), right=call(bay.right), bottom=call(bay.bottom),
            # Both end frames of the left pedestal are the stand's left side.
            side=bay.side if bay.side in ("front", "back") else name,
            joints=(call(bay.joints[0]), call(bay.joints[1]), bay.joints[2], bay.joints[3]),
        )  # fmt: skip
        if f.pedestals == CABINETS and moved.side != "front" and f.lower_ring:
            closed.append(moved)
        else:
            d.bays.append(moved)
    return closed


def _caller(name: str, sign: int) -> Callable[[str], str]:
    """Return what gives a part of a pedestal its name on the stand."""
    outer, inner = ("left", "right") if sign < 0 else ("right", "left")
    table = {
        "lower rail front": f"lower rail front {name}",
        "lower rail back": f"lower rail back {name}",
        f"lower rail {outer}": f"lower rail {name}",
        f"lower rail {inner}": f"lower rail inner {name}",
        f"lower rail front on {outer}": f"lower rail front {name} on outer",
        f"lower rail front on {inner}": f"lower rail front {name} on inner",
        "shelf": f"shelf {name}",
    }
    for old, new in _CORNERS[name].items():
        table |= {f"{word} {old}": f"{word} {new}" for word in ("leg", "pad", "foot", "lower rail corner")}

    def call(part: str) -> str:
        if part.startswith("slat "):
            return f"slat {name} {part.removeprefix('slat ')}"
        return table.get(part, part)

    return call


def _top_joints(m: PairMeasures, seat: SeatParts) -> list[Joint]:
    f, one = m.brief.frame, m.one
    rail, weld = one.top_rail, m.brief
    z = one.ring_top - rail.height / 2
    on_leg = branch_fit(weld, one.leg, rail, rail.width, one.leg.height)
    on_rail = branch_fit(weld, rail, rail, rail.height, rail.height)
    out = []
    for name, sign, _ in _PEDESTALS:
        p = m.posts(sign)
        for row, side, way in ROWS:
            for k, x in enumerate(p.xs):
                corner = _CORNERS[name][p.tag(row, k)]
                inner = "M" in corner
                across = f"top rail inner {name}" if inner else f"top rail {name}"
                out.append(
                    Joint(name=f"top rail corner {corner}", kind="rails on leg" if inner else "ring corner on leg",
                          members=(f"leg {corner}", f"top rail {side}", across), point=(x, p.y(way), z),
                          fit_ups=(*on_leg, *on_rail) if inner else on_leg)
                )  # fmt: skip
    y = f.depth / 2 - rail.width / 2
    fits = branch_fit(weld, one.bearer, rail, rail.height, one.bearer.height)
    out += [
        Joint(name=f"{bar.name} {side}", kind="bearer on rail", members=(f"top rail {side}", bar.name),
              point=(bar.start.point[0], way * y, z), fit_ups=fits)
        for bar in seat.bearers for _, side, way in ROWS
    ]  # fmt: skip
    return out
