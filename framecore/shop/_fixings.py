"""Screws and bolts of what is fixed on the frame: panels, tops, motor, switch box, and the tray's drain."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.brief.model import Brief
from framecore.catalogue.bolts import class_of, class_words, nut_words
from framecore.catalogue.model import Thread
from framecore.frame._around import member_box
from framecore.frame._motor import THICK as MOTOR_PLATE
from framecore.frame.model import Frame, Member, Plate, PlateRole, Role
from framecore.seat.hardware import INCH, full_nut, sold_length
from framecore.seat.holes import washer
from framecore.shop._say import about, bolt_words, own_thread
from framecore.shop.model import Bought
from framecore.units import format_length

MOTOR_BOLT, MOTOR_FOOT = "M8", 10.0  # what the plate's slots take; thickness of a motor's foot, assumed
TOP_BOLT, TOP_PITCH = "M8", 400.0  # of a wooden top on its rails (common practice)
BACKSTOP_SCREW, BACKSTOP_PITCH = "5 × 40", 300.0  # sheet on a board's edge (common practice)
# Self-drilling screws: size, most steel they drill through, length, mm. ISO 15480, from memory.
_SELF_DRILLING = (("4.8 × 19", 4.4), ("5.5 × 22", 5.25), ("6.3 × 25", 6.0))
# The same screws as they are sold in inches, from memory.
_IN_INCHES = {"4.8 × 19": "No. 10 × 3/4 in", "5.5 × 22": "No. 12 × 7/8 in", "6.3 × 25": "1/4 × 1 in"}
# Of a usual bench vice with jaws of 125 to 150 mm (common practice).
VICE_PLATE, VICE_BOLT, VICE_BOLTS, VICE_FOOT = "vice plate", "M12", 4, 15.0
BEARER_BOLT = "M10"  # one through each crossing of a bearer over a tray (common practice)
TRAY_SCREWS = 4  # one at each corner (common practice)
BACKSTOP_INCH = "No. 10 × 1-1/2 in"
THIN_SCREW, BOLT_CLASS = "M6", "8.8"
TOUCH = 0.5  # mm; parts that lie this near touch
RIVET_NUT, TAPPED = "rivet nut", "screw into a tapped hole"
THIN_WALL = 1.5  # mm: under it a screw's thread tears out, a rivet nut holds (common practice)


def fixings(brief: Brief, frame: Frame) -> Iterator[Bought]:
    """Yield what holds panels, top, motor and switch box, and the drain's tail."""
    yield from _sheets(brief.units, frame)
    yield from _wooden_top(brief, frame)
    yield from _vice(brief.units, frame)
    yield from _bearers_in_tray(brief.units, frame)
    yield from _loose_tray(brief.units, frame)
    motor = sum(h.purpose.startswith("motor foot") for h in frame.holes)
    if motor:
        yield from _through(
            "motor bolt", own_thread(brief.units, MOTOR_BOLT), MOTOR_FOOT + MOTOR_PLATE, motor, "motor plate",
            f"motor's foot {MOTOR_FOOT:g} mm thick, assumed",
        )  # fmt: skip
    box = sum(h.purpose.startswith("switch box") for h in frame.holes)
    yield Bought(
        what="screw with nut and washers", size=about(brief.units, "M5 × 16", "No. 10-24 × 5/8 in"), count=box,
        where="switch box on its plate",
    )  # fmt: skip
    drain = [h for h in frame.holes if h.purpose == "drain"]
    yield Bought(
        what="hose tail with lock nut and seal", size=f"1/2 in, for a hole ø{drain[0].diameter:g} mm" if drain else "",
        count=len(drain), where="drain of the tray",
    )  # fmt: skip


def short(mm: float, units: str) -> str:
    """Return a length as shown, whole millimetres without ".0"."""
    return format_length(mm, units).replace(".0 mm", " mm")


def _through(
    what: str, thread: Thread, grip: float, count: int, where: str, note: str, parts: tuple[str, ...] = ()
) -> Iterator[Bought]:
    """Through bolts with a nut and two washers each."""
    cls = class_of(thread, BOLT_CLASS)
    length = sold_length(thread, grip + 2 * washer(thread.id).thickness + full_nut(thread.id).height + 2 * thread.pitch)
    size = f"{bolt_words(thread, length)}, {class_words(cls)}"
    yield Bought(what=what, size=size, count=count, where=where, note=note, parts=parts)
    yield Bought(what="nut", size=f"{thread.id}, {nut_words(cls)}", count=count, where=where)
    yield Bought(what="washer", size=f"for {thread.id}", count=2 * count, where=where)


def _sheets(units: str, frame: Frame) -> Iterator[Bought]:
    """Screws of sheet panels and of a sheet top, one line a size."""
    walls = {m.name: m.profile.wall for m in frame.members}
    bays = {f"panel {b.name}": (b.left, b.right, b.bottom, b.top) for b in frame.bays}
    joints = {j.name: j.members for j in frame.joints}
    rails = {m.name for m in frame.members if m.role is Role.TOP_RAIL}
    lines: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for p in frame.plated:
        if p.kind != "panel" or p.fixing != "bolted":
            continue
        round_it = bays.get(p.plate) or [m for end in p.ends for m in joints.get(end, ()) if m in rails]
        wall = min((walls[m] for m in round_it if m in walls), default=0.0)
        lines.setdefault(_screw(units, p.thickness, wall), []).append((p.plate, p.count))
    for (what, size), found in lines.items():
        where = ", ".join(f"{plate} ({n})" for plate, n in found)
        count = sum(n for _, n in found)
        yield Bought(what=what, size=size, count=count, where=where, parts=tuple(plate for plate, _ in found))
        if what == "panel screw":
            size = f"{own_thread(units, THIN_SCREW).id}, steel"
            yield Bought(what=RIVET_NUT, size=size, count=count, where=where, note="thin wall: set them in the frame")


def _screw(units: str, sheet: float, wall: float) -> tuple[str, str]:
    if wall < THIN_WALL:
        return "panel screw", _short_screw(units)
    for size, most in _SELF_DRILLING:
        if sheet + wall <= most + 1e-9:
            return "self-drilling screw", f"{about(units, size, _IN_INCHES[size])}, hexagon head with washer"
    return TAPPED, _short_screw(units)


def _short_screw(units: str) -> str:
    long = INCH * 5 / 8 if units.startswith("inch") else 16.0
    return f"{bolt_words(own_thread(units, THIN_SCREW), long)}, with a washer"


def _wooden_top(brief: Brief, frame: Frame) -> Iterator[Bought]:
    """The board itself, since no steel merchant has it, its bolts, and the screws of a backstop on its edge."""
    top = next((p for p in frame.plates if p.name == "top" and not p.steel), None)
    if top is None:
        return
    under = _carriers(frame, top)
    count = sum(max(2, math.ceil(m.length / TOP_PITCH - 1e-9)) for m in under)
    if count:
        deep = max(b[5] - b[2] for b in map(member_box, under))
        thread = own_thread(brief.units, TOP_BOLT)
        need = top.thickness + deep + washer(thread.id).thickness + full_nut(thread.id).height + 2 * thread.pitch
        where = f"top on {', '.join(m.name for m in under)}"
        note = (
            f"heads let into the wood, at least two in each rail and at most {TOP_PITCH:g} mm apart (common practice); "
            "drill the steel 2 mm wider, wood moves"
        )
        yield Bought(what="coach bolt", size=bolt_words(thread, sold_length(thread, need)), count=count, where=where, note=note,
                     parts=("top",))  # fmt: skip
        yield Bought(what="nut", size=thread.id, count=count, where="on the coach bolts")
        yield Bought(what="washer", size=f"for {thread.id}", count=count, where="under the nuts of the coach bolts")
    size = " × ".join(short(s, brief.units).replace(" mm", "") for s in (*_sides(top), top.thickness))
    yield Bought(what="wooden board", size=size, count=1, where="top", parts=("top",))
    backstop = next((p for p in frame.plates if p.role is PlateRole.BACKSTOP), None)
    if backstop is not None:
        yield Bought(
            what="wood screw", size=f"{about(brief.units, BACKSTOP_SCREW, BACKSTOP_INCH)}, flat under the head",
            count=math.ceil(max(_sides(backstop)) / BACKSTOP_PITCH - 1e-9) + 1,
            where="backstop on the top's rear edge",
            note=f"at most {short(BACKSTOP_PITCH, brief.units)} apart (common practice); drill the sheet ø5.5 mm, "
            "lead holes ø3.5 mm",
        )  # fmt: skip


def _vice(units: str, frame: Frame) -> Iterator[Bought]:
    """Bolts of a vice on its corner, down through the board and the plate under it; the vice gives their places."""
    plate = next((p for p in frame.plates if p.name == VICE_PLATE), None)
    if plate is None:
        return
    board = next((p.thickness for p in frame.plates if p.name == "top"), 0.0)
    yield from _through(
        "vice bolt", own_thread(units, VICE_BOLT), VICE_FOOT + board + plate.thickness, VICE_BOLTS, "vice on its corner",
        f"{VICE_BOLTS} holes in a vice's foot {VICE_FOOT:g} mm thick, assumed: measure the vice before you buy", (VICE_PLATE,),
    )  # fmt: skip


def _bearers_in_tray(units: str, frame: Frame) -> Iterator[Bought]:
    """Bolts of bearers over the ring with a tray between: where no weld is laid, one through each crossing."""
    tray = next((p.thickness for p in frame.plates if p.role is PlateRole.TRAY), 0.0)
    members = {m.name: m for m in frame.members}
    crossings = [
        (members[j.members[0]], members[j.members[1]]) for j in frame.joints
        if tray and j.kind == "bearer on rail" and in_tray(members[j.members[0]], members[j.members[1]], tray)
    ]  # fmt: skip
    if not crossings:
        return
    grip = max(rail.profile.height + bearer.profile.height for rail, bearer in crossings) + tray
    names = dict.fromkeys(bearer.name for _, bearer in crossings)
    yield from _through(
        "bearer bolt", own_thread(units, BEARER_BOLT), grip, len(crossings),
        f"{', '.join(names)} on the rails, through the tray",
        "seal them in the tray; drill bearer, tray and rail together", tuple(names),
    )  # fmt: skip


def _loose_tray(units: str, frame: Frame) -> Iterator[Bought]:
    """Screws of a tray that no bolt goes through, into the rails it lies on."""
    tray = next((p for p in frame.plates if p.role is PlateRole.TRAY), None)
    if tray is None or through_tray(frame):
        return
    under = _carriers(frame, tray)
    wall = min((m.profile.wall for m in under), default=0.0)
    what, size = _screw(units, tray.thickness, wall)
    yield Bought(what=what, size=size, count=TRAY_SCREWS, where="corners of the tray, into what it lies on", note="sealed",
                 parts=(tray.name,))  # fmt: skip
    if what == "panel screw":
        size = f"{own_thread(units, THIN_SCREW).id}, steel"
        yield Bought(what=RIVET_NUT, size=size, count=TRAY_SCREWS, where="under the tray", note="set them in the frame")


def through_tray(frame: Frame) -> bool:
    """Return whether bolts of the machine or of bearers go through a tray and hold it."""
    tray = next((p for p in frame.plates if p.role is PlateRole.TRAY), None)
    if tray is None:
        return False
    return any(h.owner == tray.name and h.purpose.startswith("machine foot") for h in frame.holes) or any(
        True for _ in _bearers_in_tray("metric", frame)
    )


def in_tray(rail: Member, bearer: Member, tray: float) -> bool:
    """Return whether a bearer lies over a rail with a tray's sheet between them."""
    return abs(member_box(bearer)[2] - member_box(rail)[5] - tray) < TOUCH


def _sides(plate: Plate) -> tuple[float, float]:
    """Length and width of a plate's outline, mm."""
    us, vs = zip(*plate.outline, strict=True)
    return max(us) - min(us), max(vs) - min(vs)


def _carriers(frame: Frame, top: Plate) -> list[Member]:
    """The rails a top lies on; where it lies on none, the bearers."""
    for role in (Role.TOP_RAIL, Role.BEARER):
        own = (m for m in frame.members if m.role is role and abs(m.x_axis[2]) < 1e-6)
        touching = [m for m in own if abs(member_box(m)[5] - top.origin[2]) < TOUCH]
        if touching:
            return touching
    return []
