"""A motor plate on two bars outside one side of the stand, slotted for belt tension."""

from __future__ import annotations

from framecore.catalogue import steel as find_steel
from framecore.catalogue.model import Profile
from framecore.errors import Finding, Severity
from framecore.frame._around import FLUSH, Box, Side, member_box, outer_rails, plate_box
from framecore.frame._build import box_bar, rectangle
from framecore.frame._outpost import free_along, point_on, post_profile, sizes
from framecore.frame.draft import Draft
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Hole, Joint, Member, Plate, PlateRole, Role, Vector
from framecore.frame.vector import cross
from framecore.units import format_round

# Plate for the feet of a motor up to about 1.5 kW, its slots left long for the belt (common practice), mm.
WIDE, HIGH, THICK = 240.0, 200.0, 6.0
SLOT, SLOT_LENGTH = 10.0, 40.0
FEET_ACROSS, FEET_UP = 90.0, 100.0
_UP: Vector = (0.0, 0.0, 1.0)
_HANG = 60.0  # of bars without a lower rail, below the top rail before the plate begins, mm


def _left_out(d: Draft, side: Side, why: str, cure: str) -> None:
    d.findings.append(
        Finding(
            code="frame.motor_plate_left_out", field="extras.motor_plate", severity=Severity.LOOK, nearest="none",
            message=f"The motor plate on the {side.name} is left out: {why}; {cure}.",
        )
    )  # fmt: skip


def add_motor_plate(d: Draft, side: Side) -> None:
    """Add two bars outside the rails of a side and the plate on them, as near the machine's heavy end as fits.

    The bars reach from the lower to the top rail where their outer faces are flush; else they hang on the top
    rail.
    """
    rails = outer_rails(d, side, Role.TOP_RAIL)
    if not rails:
        _left_out(d, side, f"the {d.layout} layout has no top rail there", "choose another side or a layout with a ring")
        return
    profile = post_profile(d, "motor plate bar 1")
    if profile is None:
        return
    outer = side.sign * side.face(rails[0][1])
    if any(p.role is PlateRole.PANEL and side.sign * side.face(plate_box(p)) > outer + 1e-6 for p in d.plates):
        _left_out(d, side, "a sheet panel covers the rails there", "choose another side, or another brace on this one")
        return
    wish = centre_on_stand(d.brief, d.seat)[1 - side.axis]
    wide, _ = sizes(profile, side)
    best: tuple[float, float, Member, Box] | None = None
    for rail, box in rails:
        for first, last in _rooms(d, side, box):
            if last - first >= WIDE:
                at = min(max(wish, first + WIDE / 2), last - WIDE / 2)
                if best is None or abs(at - wish) < abs(best[1] - wish):
                    best = (abs(at - wish), at, rail, box)
    if best is None:
        _left_out(d, side, f"no rail there has {WIDE:.0f} mm free", "choose another side, or a longer stand")
        return
    _, at, rail, box = best
    face = side.face(box)
    lows = [(m, b) for m, b in outer_rails(d, side, Role.LOWER_RAIL) if abs(side.face(b) - face) < FLUSH
            and b[1 - side.axis] <= at - WIDE / 2 and b[4 - side.axis] >= at + WIDE / 2]  # fmt: skip
    low = lows[0][1][2] if lows else box[2] - _HANG - HIGH
    if lows and box[2] - lows[0][1][5] < HIGH + 20.0:
        _left_out(d, side, f"between the rails there is no room for a plate {HIGH:.0f} mm high", "lower the lower ring")
        return
    apart = WIDE - wide - 20.0
    places = (at - apart / 2, at + apart / 2)
    if not lows and _something_leans(d, side, face, at, low, box[2]):
        _left_out(d, side, "where it would hang a leg or brace leans out", "choose another side, or another brace there")
        return
    bars = _add_bars(d, side, profile, rail, lows[0][0] if lows else None, face, places, low, box[5])
    middle = (lows[0][1][5] + 0.6 * (box[2] - lows[0][1][5])) if lows else box[2] - _HANG - HIGH / 2
    middle = min(middle, box[2] - 10.0 - HIGH / 2)
    _add_plate(d, side, bars, at, middle)


def _something_leans(d: Draft, side: Side, face: float, at: float, low: float, high: float) -> bool:
    """Return whether any member below the top rail reaches out past ``face`` where the plate and its bars hang."""
    a = 1 - side.axis
    for m in d.members:
        b = member_box(m)
        before = side.sign * (side.face(b) - face) > 1e-6
        if before and b[a] < at + WIDE / 2 and b[a + 3] > at - WIDE / 2 and b[2] < high and b[5] > low:
            return True
    return False


def _rooms(d: Draft, side: Side, box: Box) -> list[tuple[float, float]]:
    """Return the free lengths along a rail's outer face, between legs that stand before it and other posts."""
    a = 1 - side.axis
    first, last = free_along(d, side, box, 0.0)
    face = side.face(box)
    taken = []
    for m in d.members:
        if m.role is Role.POST or (m.role is Role.LEG and "M" in m.name):
            b = member_box(m)
            if side.sign * (side.face(b) - face) > 1e-6 and b[5] > box[2] and b[a] < last and b[a + 3] > first:
                taken.append((b[a], b[a + 3]))
    rooms = []
    for start, stop in sorted(taken):
        rooms.append((first, start))
        first = max(first, stop)
    return [*rooms, (first, last)]


def _add_bars(
    d: Draft, side: Side, profile: Profile, rail: Member, lower: Member | None, face: float,
    places: tuple[float, float], low: float, high: float,
) -> tuple[Member, ...]:  # fmt: skip
    _, deep = sizes(profile, side)
    middle = face + side.sign * deep / 2
    bars = []
    for n, at in enumerate(places):
        bar = box_bar(f"motor plate bar {n + 1}", Role.POST, profile, start=side.at(middle, at, low),
                      end=side.at(middle, at, high), y_axis=(1.0, 0.0, 0.0), z_axis=(0.0, 1.0, 0.0))  # fmt: skip
        d.members.append(bar)
        bars.append(bar)
        for word, run in (("top rail", rail), ("lower rail", lower)):
            if run is not None:
                point = point_on(run, at, side)
                d.joints.append(
                    Joint(name=f"{bar.name} on {word}", kind="post on rail", members=(run.name, bar.name), point=point)
                )
    return tuple(bars)


def _size(d: Draft, mm: float) -> str:
    return format_round(mm, d.brief.units)


def _add_plate(d: Draft, side: Side, bars: tuple[Member, ...], at: float, middle: float) -> None:
    box = member_box(bars[0])
    face = side.face(box)
    u = cross(_UP, side.out)
    on = []
    for bar in bars:
        p = bar.start.point
        on.append(f"motor plate on {bar.name.removeprefix('motor plate ')}")
        d.joints.append(Joint(name=on[-1], kind="plate on post", members=(bar.name,), point=(p[0], p[1], middle)))
    d.plates.append(
        Plate(
            name="motor plate", role=PlateRole.BRACKET, thickness=THICK, outline=rectangle(WIDE, HIGH),
            origin=side.at(face, at, middle), u_axis=u, v_axis=_UP, density=find_steel(d.brief.steel.grade).density,
            on=tuple(on), load_kg=d.brief.extras.motor_mass,
            note=(
                f"slots {_size(d, SLOT)} x {_size(d, SLOT_LENGTH)} for belt tension: mark them out from the motor in hand; "
                "guard the belt"
            ),
        )
    )  # fmt: skip
    outer = face + side.sign * THICK
    inwards = (-side.out[0], -side.out[1], 0.0)
    for n, (a, z) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1))):
        d.holes.append(
            Hole(owner="motor plate", centre=side.at(outer, at + a * FEET_ACROSS / 2, middle + z * FEET_UP / 2), axis=inwards,
                 diameter=SLOT, depth=THICK, purpose=f"motor foot {n + 1}", slot=SLOT_LENGTH - SLOT, slot_axis=_UP)
        )  # fmt: skip
