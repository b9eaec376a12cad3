"""Tapped holes: how much thread it takes that the bolt breaks before the thread strips, and what to do in thin steel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import stud_class, tensile
from framecore.catalogue.model import Thread

_SHEAR = 0.6  # shear strength over tensile strength (VDI 2230 and FED-STD-H28 take 0.5 to 0.65)
_RANGES = (2.8, 5.6, 11.2, 22.4, 45.0)  # ISO 965-1 steps of diameter, mm
FORM_SOURCE = "thread strip areas as in FED-STD-H28 with least sizes by ISO 965-1 (6g, 6H), from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits:
    """The weakest screw and nut that still pass a gauge, mm.

    ``major`` least outside and ``pitch_screw`` least pitch diameter of the screw; ``minor`` widest core hole and
    ``pitch_nut`` widest pitch diameter of the nut.
    """

    major: float
    pitch_screw: float
    minor: float
    pitch_nut: float


@lru_cache(maxsize=64)
def thread_limits(diameter: float, pitch: float) -> ThreadLimits:
    """Return the weakest sizes of a 6g screw and a 6H nut.

    Source: ISO 965-1 formulas, from memory: es = 15 + 11 p, Td = 180 p^(2/3) - 3.15 / sqrt(p), Td2 = 90 p^0.4 d^0.1,
    TD2 = 1.32 Td2, TD1 = 230 p^0.7 (433 p - 190 p^1.22 below p = 1), all in thousandths, d the middle of its step.
    Inch threads of class 2A and 2B are within a few hundredths of it.
    """
    k = next((i for i in range(1, len(_RANGES)) if diameter <= _RANGES[i]), len(_RANGES) - 1)
    d = math.sqrt(_RANGES[k - 1] * _RANGES[k])
    es = 15 + 11 * pitch
    t_major = 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
    t_pitch = 90 * pitch**0.4 * d**0.1
    t_minor = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
    middle = diameter - 0.75 * math.sqrt(0.75) * pitch
    core = diameter - 1.25 * math.sqrt(0.75) * pitch
    return ThreadLimits(
        major=diameter - (es + t_major) / 1000, pitch_screw=middle - (es + t_pitch) / 1000,
        minor=core + t_minor / 1000, pitch_nut=middle + 1.32 * t_pitch / 1000,
    )  # fmt: skip


def nut_strip_area(length: float, pitch: float, major: float, pitch_nut: float) -> float:
    """Return the area of the nut's thread that shears off over ``length``, mm2.

    pi (L / p) d (p / 2 + (d - D2) / sqrt 3) with the screw's least outside d and the nut's widest D2.

    Source: FED-STD-H28, internal thread shear area.
    """
    return math.pi * length / pitch * major * (pitch / 2 + (major - pitch_nut) / math.sqrt(3))


def screw_strip_area(length: float, pitch: float, minor: float, pitch_screw: float) -> float:
    """Return the area of the screw's thread that shears off over ``length``, mm2.

    pi (L / p) D1 (p / 2 + (d2 - D1) / sqrt 3) with the nut's widest D1 and the screw's least d2.

    Source: FED-STD-H28, external thread shear area.
    """
    return math.pi * length / pitch * minor * (pitch / 2 + (pitch_screw - minor) / math.sqrt(3))


@lru_cache(maxsize=256)
def engagement_needed(thread: Thread, bolt_class: str, fu: float) -> float:
    """Return the tapped depth in steel of tensile strength ``fu`` MPa at which the bolt breaks first, mm.

    One pitch is added for the chamfered, unfinished turns at both ends.
    """
    lim = thread_limits(thread.diameter, thread.pitch)
    breaks = thread.stress_area * tensile(bolt_class)
    nut = nut_strip_area(1.0, thread.pitch, lim.major, lim.pitch_nut) * _SHEAR * fu
    screw = screw_strip_area(1.0, thread.pitch, lim.minor, lim.pitch_screw) * _SHEAR * tensile(bolt_class)
    return breaks / min(nut, screw) + thread.pitch


def strip_load(thread: Thread, length: float, bolt_class: str, fu: float) -> float:
    """Return the load that strips ``length`` mm of tapped thread, the weaker of screw and hole, N; a pitch is lost."""
    lim = thread_limits(thread.diameter, thread.pitch)
    full = max(length - thread.pitch, 0.0)
    nut = nut_strip_area(full, thread.pitch, lim.major, lim.pitch_nut) * fu
    screw = screw_strip_area(full, thread.pitch, lim.minor, lim.pitch_screw) * tensile(bolt_class)
    return _SHEAR * min(nut, screw)


def turns_in(thread: Thread, wall: float) -> float:
    """Return how many turns of thread a wall holds."""
    return wall / thread.pitch


def countersink(thread: Thread) -> float:
    """Return the width over the chamfer of a tapped hole, mm: a tenth over the thread, 90 degrees (common practice)."""
    return 1.1 * thread.diameter


def boss_for(thread: Thread, needed: float) -> str:
    """Return what to weld in where the wall is too thin for a thread."""
    side = 1.8 * thread.diameter
    return (
        f"weld in a round boss {math.ceil(side):d} mm across and {math.ceil(needed):d} mm long, a weld nut, or a plate "
        f"{math.ceil(needed):d} mm thick, and tap after welding"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PadThread:
    """The tapped hole of the feet's pads.

    Attributes
    ----------
    engaged, needed : tapped depth, and that at which the stud breaks first, mm
    breaks, strips : load that breaks the stud, that strips the thread, N
    drill, chamfer : tap drill and width over the chamfer, mm
    wall, turns : of a leg's wall, mm, and the turns of thread that it would hold by itself
    cure : what to weld in for want of depth
    """

    engaged: float
    needed: float
    breaks: float
    strips: float
    drill: float
    chamfer: float
    wall: float
    turns: float
    cure: str


def pad_thread(brief: Brief, wall: float, engaged: float) -> PadThread:
    """Return what the pads' thread holds; ``wall`` of the leg above, mm."""
    thread, fu = find_thread(brief.feet.thread), steel_of(brief.steel.grade, tube=False).fu
    stud = stud_class(thread)
    needed = engagement_needed(thread, stud, fu)
    return PadThread(
        engaged=engaged, needed=needed, breaks=thread.stress_area * tensile(stud),
        strips=strip_load(thread, engaged, stud, fu), drill=thread.tap_drill, chamfer=countersink(thread), wall=wall,
        turns=turns_in(thread, wall), cure=boss_for(thread, needed),
    )  # fmt: skip
