"""Layout ``trestle``: end frames, upright or splayed, joined by stretchers or by one box beam.

Each end frame is two legs with a rail across over them and a lower rail between them. Splayed legs lean in y
alone and are cut level at pad and rail; ``frame.depth`` is then measured outside the legs at the floor, on the
pads, and the top is shallower. Middle legs are further end frames between the two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Profile
from framecore.frame._beam import BeamSeat, build_beam_seat, crosses_beam
from framecore.frame._build import flat_plate, rectangle
from framecore.frame._foot import add_foot, leg_bottom
from framecore.frame._ring import rail_across, rail_along
from framecore.frame._seat import RingRoom, SeatParts, build_seat, has_bearers
from framecore.frame._shelf import WOOD_DENSITY
from framecore.frame._splay import LegPair
from framecore.frame._top import top_build_up
from framecore.frame._trestle_checks import trestle_findings
from framecore.frame._trestle_joints import add_bays, add_joints
from framecore.frame._trestle_shelf import add_shelf
from framecore.frame.draft import Draft
from framecore.frame.model import Member, Plate, PlateRole, Role

NAME = "trestle"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndFrame:
    """One end frame: ``name`` "left", "middle 1", "right"; ``code`` "L", "M1", "R"; ``x`` of its legs' middles."""

    name: str
    code: str
    x: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measures:
    """Levels, sizes and profiles that the parts share, mm.

    ``ring_top`` is the upper face of the rails or of the beam, ``frame_top`` that of the end frames' rails;
    ``clear`` the diameter of the machine's holes. ``stretchers``: side name -> y, from front to back.
    """

    brief: Brief
    pair: LegPair
    top_rail: Profile
    lower_rail: Profile
    stretcher: Profile
    bearer: Profile
    slat: Profile
    beam: Profile | None
    seat: float
    ring_top: float
    frame_top: float
    frames: tuple[EndFrame, ...]
    clear: float
    stretchers: dict[str, float]
    front_on_legs: bool

    @property
    def ring_depth(self) -> float:
        """Depth of the top: outside of the legs where they end."""
        return 2 * self.pair.outer(self.pair.top)

    def on_legs(self, side: str) -> bool:
        """Whether a lower stretcher lands on the legs; else it lands on the lower rails."""
        return side == "back" or (side == "front" and self.front_on_legs)

    def rail_x(self, frame: EndFrame) -> float:
        """Return x of the middle of an end frame's top rail: outer faces flush with the legs'."""
        inwards = (self.pair.leg.width - self.top_rail.width) / 2
        return frame.x + {"L": -inwards, "R": inwards}.get(frame.code, 0.0)

    def spans(self, side: str) -> tuple[tuple[str, EndFrame, EndFrame], ...]:
        """Return the stretchers of one side: name and the end frames on both their ends."""
        pairs = tuple(pairwise(self.frames))
        return tuple(
            (f"stretcher {side}" + (f" {k + 1}" if len(pairs) > 1 else ""), a, b) for k, (a, b) in enumerate(pairs)
        )


def measure(brief: Brief, height: float) -> Measures:
    """Work out the levels from the seat down to the floor."""
    f, s = brief.frame, brief.frame.sections
    leg, top_rail, lower_rail, stretcher, bearer, slat = (
        find_profile(p) for p in (s.legs, s.top_rails, s.lower_rails, s.stretchers, s.bearers, s.slats)
    )
    beam = find_profile(s.beam) if f.joined_by == "box beam" else None
    clear = float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class))
    if beam is None:
        over = f.bearer_place == "over the ring" and has_bearers(brief)
    else:
        over = crosses_beam(brief, beam, clear)
    ring_top = height - top_build_up(brief) - (bearer.height if over else 0.0)
    frame_top = ring_top - (beam.height if beam else 0.0)
    pair = LegPair(
        leg=leg, depth=f.depth, bottom=brief.feet.height + brief.feet.pad_thickness,
        top=frame_top - top_rail.height, angle=math.radians(f.splay),
    )  # fmt: skip
    x = (f.length - leg.width) / 2
    n = f.middle_legs
    middles = tuple(
        EndFrame(name=f"middle {k + 1}", code=f"M{k + 1}", x=-x + 2 * x * (k + 1) / (n + 1)) for k in range(n)
    )
    frames = (EndFrame(name="left", code="L", x=-x), *middles, EndFrame(name="right", code="R", x=x))
    z = f.lower_ring - stretcher.height / 2
    stretchers: dict[str, float] = {}
    if f.lower_ring and (beam is None or f.shelf != "none"):
        # Set back for toes it lands on the lower rails; flush it lands on the legs.
        front = -pair.outer(z) + f.toe_room + stretcher.width / 2 if f.toe_room else -pair.middle(z)
        stretchers = {"front": front, "back": pair.middle(z)}
    elif f.lower_ring:
        stretchers = {"middle": 0.0}
    return Measures(
        brief=brief, pair=pair, top_rail=top_rail, lower_rail=lower_rail, stretcher=stretcher, bearer=bearer, slat=slat,
        beam=beam, seat=height, ring_top=ring_top, frame_top=frame_top, frames=frames, clear=clear,
        stretchers=stretchers, front_on_legs=not f.toe_room,
    )  # fmt: skip


def draft(brief: Brief, height: float) -> Draft:
    """Draft a trestle whose seat is ``height`` mm above the floor."""
    m = measure(brief, height)
    f = brief.frame
    d = Draft(layout=NAME, brief=brief, seat=height, ring_top=m.ring_top, length=f.length, depth=f.depth,
              style=(f.joined_by, m.front_on_legs))  # fmt: skip
    for word, side in (("F", -1), ("B", 1)):
        for frame in m.frames:
            corner = word + frame.code
            d.members.append(m.pair.member(f"leg {corner}", side, frame.x))
            add_foot(d, corner, f"leg {corner}", frame.x, side * m.pair.middle(leg_bottom(d)))
    d.members += _rails(m)
    d.members += _stretchers(m)
    seat = _seat(d, m)
    shelf = add_shelf(d, m)
    if m.beam is None and brief.top.kind in ("sheet", "wood"):
        d.plates.append(_top(m))
    add_joints(d, m, seat.bearers, shelf)
    add_bays(d, m)
    d.findings += trestle_findings(m)
    return d


def _rails(m: Measures) -> list[Member]:
    f, rail, half = m.brief.frame, m.top_rail, m.ring_depth / 2
    out = []
    for frame in m.frames:
        # A middle frame's rail fits between the long rails, which lie on its legs themselves.
        y = half if m.beam or frame.code in "LR" else half - rail.width
        out.append(rail_across(f"top rail {frame.name}", Role.TOP_RAIL, rail, -y, y, m.rail_x(frame), m.frame_top))
    if m.beam:
        out.append(rail_along("box beam", Role.BEAM, m.beam, -f.length / 2, f.length / 2, 0.0, m.ring_top))
    else:
        x = f.length / 2 - rail.width
        for side, y in (("front", -half + rail.width / 2), ("back", half - rail.width / 2)):
            out.append(rail_along(f"top rail {side}", Role.TOP_RAIL, rail, -x, x, y, m.ring_top))
    if f.lower_ring:
        out += [
            m.pair.rail(f"lower rail {e.name}", Role.LOWER_RAIL, m.lower_rail, e.x, f.lower_ring) for e in m.frames
        ]
    return out


def _stretchers(m: Measures) -> list[Member]:
    out = []
    for side, y in m.stretchers.items():
        back = (m.pair.leg.width if m.on_legs(side) else m.lower_rail.width) / 2
        for name, a, b in m.spans(side):
            out.append(
                rail_along(name, Role.STRETCHER, m.stretcher, a.x + back, b.x - back, y, m.brief.frame.lower_ring)
            )
    return out


def _seat(d: Draft, m: Measures) -> SeatParts | BeamSeat:
    brief = m.brief
    seat: SeatParts | BeamSeat
    if m.beam:
        seat = build_beam_seat(brief, m.bearer, m.beam, seat=m.seat, clearance=m.clear)
    else:
        room = RingRoom(
            length=brief.frame.length, depth=m.ring_depth, width=m.top_rail.width, corner=m.top_rail.corner,
            top=m.ring_top, narrowing=brief.frame.depth - m.ring_depth,
            across=tuple((f"top rail {e.name}", e.x) for e in m.frames[1:-1]),
        )  # fmt: skip
        seat = build_seat(
            brief, m.bearer, room, seat=m.seat, clearance=m.clear, has_top=brief.top.kind in ("sheet", "wood"),
            top_thickness=brief.top.thickness,
        )  # fmt: skip
    d.members += seat.bearers
    d.holes += seat.holes
    d.mounts += seat.mounts
    d.findings += seat.findings
    return seat


def _top(m: Measures) -> Plate:
    top, wood = m.brief.top, m.brief.top.kind == "wood"
    return flat_plate(
        "top", PlateRole.TOP, outline=rectangle(m.brief.frame.length + 2 * top.overhang, m.ring_depth + 2 * top.overhang),
        at=(0.0, 0.0), bottom=m.ring_top, thickness=top.thickness,
        density=WOOD_DENSITY if wood else find_steel(m.brief.steel.grade).density, steel=not wood,
        note="" if wood else "fix it with screws or plug welds, never a continuous weld: it would buckle",
    )  # fmt: skip
