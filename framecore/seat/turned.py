"""The seat's turned and small parts as sizes: jacking screw, lock nut, sleeve, shim, boss, holding-down bolt.

What a shop drawing, a bought list and the figures all read; every size follows from the brief and the frame.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of
from framecore.catalogue.model import Thread
from framecore.frame._blocks import BESIDE, ROUND
from framecore.frame.model import Frame, Hole, Mount
from framecore.seat.hardware import (
    INCH,
    Hexagon,
    bolt_head,
    bore_over,
    full_nut,
    sold_length,
    spanner_within,
    thin_nut,
    thread_length,
)
from framecore.seat.holes import Washer, hole_rooms, washer
from framecore.seat.jacking import FOOT_PRESSURE, HEAD, Jacks, jacks_of, shim_stack, weld_flatness
from framecore.seat.pads import countersink, pad_thread
from framecore.strength.model import Strength

FOOT_THICKNESS = 2.0  # of the bolt: the machine's foot under its head, where nobody measured it (common practice)
BEYOND = 2.0  # pitches that stand out of the nut (common practice: two or three)
FLATS = 0.75  # of the root: the most that two flats leave of a screw's end (common practice)
FLATS_LONG = 0.5  # of the diameter (common practice)
SHIM_SIDE = 2.0  # washers wide (common practice)
DISC_LEAST = 3.0  # mm, thickness of a hardened disc (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class JackScrew:
    """A jacking screw, upper end under the machine's foot. Lengths mm.

    Attributes
    ----------
    kind : "jacking screws" (solid) or "hollow jacking screws"; ``count`` on the stand, ``per_bolt`` at each foot
    thread, bolt_class : what it is cut from
    length : over all; ``head`` height of the hexagon that bears on the foot, 0 on a solid screw
    across_flats : of that hexagon, or of two flats at the upper end of a solid screw; ``flats`` their length
    bore : right through, 0 if solid; ``bore_over`` it may be wider by
    chamfer : leg of the 45 degree chamfer at the ends; ``end`` diameter left
    standing : from the block to the machine's foot at the middle setting; ``low``, ``high`` at the ends of the travel needed
    engaged : thread in the block at the highest setting
    blank_length : under the head of the bolt it is made from, as sold; ``blank_head`` that bolt's head
    """

    kind: str
    count: int
    per_bolt: int
    thread: Thread
    bolt_class: str
    length: float
    head: float
    across_flats: float
    flats: float
    bore: float
    bore_over: float
    chamfer: float
    end: float
    standing: float
    low: float
    high: float
    engaged: float
    blank_length: float
    blank_head: Hexagon

    @property
    def hollow(self) -> bool:
        """Whether it stands round the bolt."""
        return self.kind == ROUND


@dataclass(frozen=True, slots=True, kw_only=True)
class LockNut:
    """The thin nut on a jacking screw: ``thread``, hexagon ``size``, ``count``."""

    thread: Thread
    size: Hexagon
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A hardened disc between screw and foot: ``diameter``, ``thickness`` mm, ``count``; ``pressure`` left on the foot, MPa."""

    diameter: float
    thickness: float
    count: int
    pressure: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SleevePart:
    """A crush sleeve: ``outside``, ``bore``, ``length`` mm, in ``owner``s; ``count``."""

    outside: float
    bore: float
    length: float
    owners: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShimPart:
    """A horseshoe shim: square of ``side``, a slot ``slot`` wide from one side past the middle; mm.

    ``leaves`` of the thickest pack, thickest first; ``packing`` thickness of the plate under them, 0 none; ``feet`` packs.
    """

    side: float
    slot: float
    leaves: tuple[float, ...]
    packing: float
    feet: int

    @property
    def depth(self) -> float:
        """From the open side to the slot's round end, mm."""
        return self.side / 2 + self.slot / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Boss:
    """A round boss welded in for a foot's stud: ``outside``, ``length``, ``tap_drill``, ``chamfer`` across, mm; ``count``."""

    thread: Thread
    outside: float
    length: float
    tap_drill: float
    chamfer: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltSet:
    """A holding-down bolt with what it clamps, from its head down. Lengths mm.

    Attributes
    ----------
    count, thread, bolt_class : bolts alike
    head, nut : hexagons; ``washer`` one under each
    foot : of the machine, assumed where the brief has none; ``gap`` from seat to foot
    steel : that it passes through below the seat
    rise : that jacks or shims may still add
    clamp : under the head to the nut's face; ``needed`` under the head with nut and threads that stand out
    length : as sold; ``threaded`` its thread if it has a shank; ``full_thread`` where the shank would meet the nut
    mounts : names
    """

    count: int
    thread: Thread
    bolt_class: str
    head: Hexagon
    nut: Hexagon
    washer: Washer
    foot: float
    gap: float
    steel: float
    rise: float
    clamp: float
    needed: float
    length: float
    threaded: float
    full_thread: bool
    mounts: tuple[str, ...]

    @property
    def beyond(self) -> float:
        """What stands out of the nut at the middle setting, mm."""
        return self.length - self.clamp - self.nut.height


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatParts:
    """All of them; None or empty where the stand has none."""

    screw: JackScrew | None
    lock_nut: LockNut | None
    disc: Disc | None
    sleeves: tuple[SleevePart, ...]
    shim: ShimPart | None
    boss: Boss | None
    bolts: tuple[BoltSet, ...]


def seat_parts(brief: Brief, frame: Frame, strength: Strength) -> SeatParts:
    """Return the sizes of every small part of the seat."""
    held = [m for m in frame.mounts if m.hole]
    jacks = jacks_of(brief, frame, strength)
    screw = jack_screw(brief, jacks, len(held)) if jacks is not None and jacks.gap > 0 else None
    nut = LockNut(thread=screw.thread, size=thin_nut(screw.thread.id), count=screw.count) if screw else None
    rooms = hole_rooms(brief, frame)
    shim = None
    if brief.mounting.seating == "shims" and held:
        shim = _shim(brief, frame, strength, held[0].hole, min(r.across for r in rooms), len(held))
    rise = (screw.high - screw.standing) if screw else 0.0
    if shim is not None:
        rise = max(sum(shim.leaves) + shim.packing - brief.mounting.jack, 0.0)
    sleeves: dict[tuple[float, float, float], list[str]] = {}
    for room in rooms:
        if room.sleeve is not None:
            size = (room.sleeve.outside, room.sleeve.bore, round(room.sleeve.length, 3))
            sleeves.setdefault(size, []).append(room.owner)
    return SeatParts(
        screw=screw, lock_nut=nut, disc=_disc(jacks, len(held)) if screw and jacks else None,
        sleeves=tuple(
            SleevePart(outside=d, bore=b, length=long, owners=tuple(dict.fromkeys(o)), count=len(o))
            for (d, b, long), o in sleeves.items()
        ),
        shim=shim, boss=_boss(brief, frame), bolts=_bolts(brief, frame, held, rise),
    )  # fmt: skip


def jack_screw(brief: Brief, jacks: Jacks, feet: int) -> JackScrew:
    """Return the screw: the longest that at its lowest setting does not touch the rail under its block."""
    m, d, thread = brief.mounting, jacks.screw.diameter, jacks.screw
    half = min(jacks.have, jacks.need) / 2
    hollow = jacks.kind == ROUND
    length = _down(m.block_height + jacks.gap - half, thread)
    head = HEAD * d if hollow else 0.0
    blank = bolt_head(thread.id)
    leg = math.floor((d - thread.root_diameter) / 2 * 10 + 1e-9) / 10
    across = blank.across_flats if hollow else spanner_within(FLATS * thread.root_diameter, thread.system)
    return JackScrew(
        kind=jacks.kind, count=jacks.count * feet, per_bolt=jacks.count, thread=thread,
        bolt_class=class_of(thread, m.bolt_class), length=length, head=head,
        across_flats=across, flats=0.0 if hollow else FLATS_LONG * d, bore=jacks.bore,
        bore_over=bore_over(jacks.bore, m.hole_class) if hollow else 0.0, chamfer=leg, end=d - 2 * leg, standing=jacks.gap,
        low=jacks.gap - half, high=jacks.gap + half, engaged=length - jacks.gap - half,
        blank_length=sold_length(thread, length - head), blank_head=blank,
    )  # fmt: skip


def _down(length: float, thread: Thread, sixteenths: int = 1) -> float:
    """Round down to what is easily measured: whole millimetres, or sixteenths of an inch for inch threads."""
    step = 1.0 if thread.system == "metric" else sixteenths * INCH / 16
    return step * math.floor(length / step + 1e-6)


def _disc(jacks: Jacks, feet: int) -> Disc | None:
    """Where the screw's end would press into a cast foot, a disc that spreads it."""
    if jacks.kind != BESIDE or jacks.end_pressure <= FOOT_PRESSURE:
        return None
    wide = math.ceil(max(math.sqrt(4 * jacks.load / (math.pi * FOOT_PRESSURE)), jacks.screw.diameter))
    thick = max(DISC_LEAST, math.ceil((wide - jacks.screw.root_diameter) / 2))
    pressure = jacks.load / (math.pi / 4 * wide**2)
    return Disc(diameter=float(wide), thickness=float(thick), count=feet * jacks.count, pressure=pressure)


def _shim(brief: Brief, frame: Frame, strength: Strength, hole: float, across: float, feet: int) -> ShimPart:
    need = weld_flatness(max(frame.length, frame.depth))
    need += 0.0 if brief.feet.set == "levelled" else strength.floor.range_needed
    leaves = shim_stack(need)
    left = brief.mounting.jack - sum(leaves) / 2
    side = min(SHIM_SIDE * washer(brief.machine.bolt).diameter, across)
    bolt = find_thread(brief.machine.bolt)
    packing = _down(left, bolt) if left >= 2.0 else 0.0
    return ShimPart(side=_down(side, bolt, 2), slot=hole, leaves=leaves, packing=packing, feet=feet)


def _boss(brief: Brief, frame: Frame) -> Boss | None:
    """The boss of the working's cure, where pads hold too little thread for the feet's studs."""
    pads = {f.pad for f in frame.feet}
    thick = [p.thickness for p in frame.plates if p.name in pads]
    if not thick:
        return None
    pad, thread = pad_thread(brief, 0.0, min(thick)), find_thread(brief.feet.thread)
    if pad.engaged >= pad.needed - 1e-9:
        return None
    return Boss(
        thread=thread, outside=float(math.ceil(1.8 * thread.diameter)), length=float(math.ceil(pad.needed)),
        tap_drill=thread.tap_drill, chamfer=countersink(thread), count=len(frame.feet),
    )  # fmt: skip


def _below(mount: Mount, frame: Frame, holes: tuple[Hole, ...]) -> float:
    """What a bolt passes through below the seat down to its washer, mm."""
    heights = {m.name: m.profile.height if abs(m.z_axis[2]) > 0.5 else m.profile.width for m in frame.members}
    low = min((h.centre[2] - heights.get(h.owner, h.depth) for h in holes), default=mount.point[2])
    return mount.point[2] - low


def _bolts(brief: Brief, frame: Frame, held: list[Mount], rise: float) -> tuple[BoltSet, ...]:
    if not held:
        return ()
    purposes: dict[str, list[Hole]] = {}
    for hole in frame.holes:
        if hole.purpose.startswith("machine foot"):
            purposes.setdefault(hole.purpose.rsplit(" ", 1)[-1], []).append(hole)
    alike: dict[float, list[str]] = {}
    for mount in held:
        number = mount.name.rsplit(" ", 1)[-1]
        # Jacking blocks stand above the seat, in the gap.
        own = tuple(h for h in purposes.get(number, ()) if h.centre[2] <= mount.point[2] + 1e-6)
        alike.setdefault(round(_below(mount, frame, own), 3), []).append(mount.name)
    return tuple(bolt_set(brief, steel, rise, tuple(names)) for steel, names in sorted(alike.items()))


def bolt_set(brief: Brief, steel: float, rise: float, mounts: tuple[str, ...]) -> BoltSet:
    """Return the bolt that clamps the machine's foot through the gap and ``steel`` mm below the seat."""
    thread = find_thread(brief.machine.bolt)
    disc, nut, gap = washer(thread.id), full_nut(thread.id), brief.mounting.jack
    foot = brief.mounting.foot_thickness or FOOT_THICKNESS * thread.diameter
    clamp = disc.thickness + foot + gap + steel + disc.thickness
    needed = clamp + rise + nut.height + BEYOND * thread.pitch
    length = sold_length(thread, needed)
    threaded = thread_length(thread, length)
    return BoltSet(
        count=len(mounts), thread=thread, bolt_class=class_of(thread, brief.mounting.bolt_class), head=bolt_head(thread.id),
        nut=nut, washer=disc,
        foot=foot, gap=gap, steel=steel, rise=rise, clamp=clamp, needed=needed, length=length, threaded=threaded,
        full_thread=length - threaded > clamp - rise - 1e-9, mounts=mounts,
    )  # fmt: skip


