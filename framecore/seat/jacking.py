"""Jacking screws under the machine's feet: beside each bolt in a block, or hollow and round the bolt."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.brief.model import Brief
from framecore.catalogue import steel_of, threads
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of, yield_stress
from framecore.catalogue.model import Thread
from framecore.frame._blocks import BESIDE, LAND, ROUND, jack_place
from framecore.frame.model import Frame
from framecore.seat.bolts import assembly_preload
from framecore.seat.pads import engagement_needed
from framecore.strength.model import Strength
from framecore.units import KILOGRAM_FORCE

PER_BOLT = {BESIDE: 2, ROUND: 1}
WALL_LEAST = 1.5  # mm of steel under the thread of a hollow screw (common practice)
THIN_NUT = 0.5  # of the diameter: a lock nut as ISO 4035 makes them
HEAD = 0.5  # of the diameter: the hexagon of a hollow screw (common practice)
LEVELLING = 0.5  # mm that turning tests and level readings ask for besides (common practice)
# Flatness of a welded frame by its longer side, mm. ISO 13920 class F.
_FLATNESS = ((120.0, 1.0), (400.0, 1.5), (1000.0, 3.0), (2000.0, 4.5), (math.inf, 6.0))
# Bearing pressure that a surface takes at rest, MPa. VDI 2230 table A9 for grey iron, from memory: 850; half of it.
FOOT_PRESSURE = 425.0
SHIMS = (2.0, 1.0, 0.5, 0.3, 0.2, 0.1, 0.05)  # leaves as sold, mm (common practice)
SHIM_LEAVES = 4  # more in a stack are a spring (common practice)


def rise(pitch: float, degrees: float) -> float:
    """Return how far a screw moves in so many degrees of turn, mm."""
    return pitch * degrees / 360.0


def differential_rise(coarse: float, fine: float) -> float:
    """Return the rise of one turn of a screw with two pitches, mm: it winds up by one and down by the other."""
    return coarse - fine


def shim_stack(thickness: float) -> tuple[float, ...]:
    """Return the leaves, thickest first, that come nearest below a thickness by less than the thinnest leaf."""
    left, leaves = round(thickness, 6), []
    for leaf in SHIMS:
        while left >= leaf - 1e-9:
            leaves.append(leaf)
            left -= leaf
    return tuple(leaves)


def weld_flatness(length: float) -> float:
    """Return how far a welded frame of that length is out of flat, mm. Source: ISO 13920 class F."""
    return next(f for limit, f in _FLATNESS if length <= limit)


@lru_cache(maxsize=64)
def finer(thread_id: str) -> Thread | None:
    """Return the finest thread of the same diameter in the catalogue, None where it is the finest."""
    own = find_thread(thread_id)
    same = [find_thread(t) for t in threads()]
    found = [t for t in same if abs(t.diameter - own.diameter) < 0.01 and t.pitch < own.pitch - 1e-9]
    return min(found, key=lambda t: t.pitch) if found else None


@lru_cache(maxsize=256)
def hollow_screw_for(bore: float, system: str) -> Thread | None:
    """Return the smallest thread that leaves enough wall round a bore, None where the catalogue has none."""
    fit = [t for t in map(find_thread, threads()) if t.system == system and t.root_diameter - bore >= 2 * WALL_LEAST - 1e-9]
    return min(fit, key=lambda t: (t.diameter, -t.pitch)) if fit else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Jacks:
    """The jacking screws of one machine foot.

    Attributes
    ----------
    kind : "jacking screws" (beside) or "hollow jacking screws" (round the bolt); ``count`` a bolt
    screw : its thread; ``bore`` through it, 0 if solid; ``wall`` steel between bore and root, mm
    offset : bolt to screw along the block's diagonal, mm; 0 round the bolt
    land, land_needed : steel left beside the tapped hole, mm; ``block_needed`` side of the block that leaves it
    engaged, engaged_needed : tapped depth of the block and that at which the screw breaks first, mm
    gap : between block and machine foot, mm; ``taken`` of it by lock nut and head
    have, need : travel between lowest and highest setting, mm; ``welded``, ``floor`` parts of the need
    jack_needed : seat to machine feet that gives that travel, mm
    clamp, weight, load : of the bolt, of the machine's share, on one screw, N
    area, stress, stress_limit : of the screw's core, mm2, MPa
    end_pressure : screw on the machine's foot, ``block_pressure`` block on the rail, MPa
    """

    kind: str
    count: int
    screw: Thread
    bore: float
    wall: float
    offset: float
    land: float
    land_needed: float
    block_needed: float
    engaged: float
    engaged_needed: float
    gap: float
    taken: float
    have: float
    need: float
    welded: float
    floor: float
    jack_needed: float
    clamp: float
    weight: float
    load: float
    area: float
    stress: float
    stress_limit: float
    end_pressure: float
    block_pressure: float


def jacks_of(brief: Brief, frame: Frame, strength: Strength) -> Jacks | None:
    """Return the jacking screws the brief asks for; None for other seatings or a machine without holes."""
    m = brief.mounting
    held = [k for k in frame.mounts if k.hole]
    if m.seating not in PER_BOLT or not held:
        return None
    bolt, screw = find_thread(brief.machine.bolt), find_thread(m.screw)
    hole, count = held[0].hole, PER_BOLT[m.seating]
    hollow = m.seating == ROUND
    bore = hole if hollow else 0.0
    # A slot takes room from the screws: the block that is left least counts.
    offset, land, block = min(
        (jack_place(m.seating, m.block, hole, screw.diameter, k.slot, k.slot_axis) for k in held), key=lambda p: p[1]
    )
    welded = weld_flatness(max(frame.length, frame.depth))
    floor = 0.0 if brief.feet.set == "levelled" else strength.floor.range_needed
    need = welded + floor + LEVELLING
    taken = (THIN_NUT + (HEAD if hollow else 0.0)) * screw.diameter
    gap = m.jack - m.block_height
    clamp = assembly_preload(bolt, class_of(bolt, m.bolt_class))
    screw_class = class_of(screw, m.bolt_class)
    weight = brief.machine.mass * KILOGRAM_FORCE / len(held)
    load = (clamp + weight) / count
    area = math.pi / 4 * max(screw.root_diameter**2 - bore**2, 0.0)
    # A solid screw presses with its root circle, a hollow one with its hexagon.
    end = math.pi / 4 * ((screw.across_flats if hollow else screw.root_diameter) ** 2 - bore**2)
    foot = m.block**2 - math.pi / 4 * hole**2 - hole * max(k.slot for k in held)
    return Jacks(
        kind=m.seating, count=count, screw=screw, bore=bore, wall=(screw.root_diameter - bore) / 2 if hollow else 0.0,
        offset=offset, land=land, land_needed=LAND * screw.diameter, block_needed=block, engaged=m.block_height,
        engaged_needed=engagement_needed(screw, screw_class, steel_of(brief.steel.grade, tube=False).fu), gap=gap, taken=taken,
        have=max(2 * (gap - taken), 0.0), need=need, welded=welded, floor=floor,
        jack_needed=m.block_height + taken + need / 2, clamp=clamp, weight=weight, load=load, area=area,
        stress=load / area if area > 0 else math.inf, stress_limit=yield_stress(screw_class) / brief.limits.yield_margin,
        end_pressure=load / end if end > 0 else math.inf, block_pressure=(clamp + weight) / foot if foot > 0 else math.inf,
    )  # fmt: skip
