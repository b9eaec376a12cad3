"""What is impossible or doubtful about the machine's seat: each rule one finding with its cure."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_words, stud_class
from framecore.errors import Finding, Severity
from framecore.frame._blocks import ROUND
from framecore.frame.model import Frame
from framecore.seat.holes import SOCKET, HoleRoom, edge_needed, hole_rooms, slot_washer
from framecore.seat.jacking import PER_BOLT, WALL_LEAST, Jacks, hollow_screw_for, jacks_of
from framecore.seat.pads import pad_thread
from framecore.strength.model import Strength

_THICK_SHIMS = 6.0  # mm; above it a block is packed, not leaves (common practice)


def seat_findings(brief: Brief, frame: Frame, strength: Strength) -> tuple[Finding, ...]:
    """Return everything that makes the machine's seat impossible or doubtful.

    Parameters
    ----------
    strength : its floor says how much travel the jacks need where the feet are left as set down
    """
    rooms = hole_rooms(brief, frame)
    jacks = jacks_of(brief, frame, strength)
    return (
        *_holes(brief, frame, rooms), *_seating(brief, bool(rooms)), *(_jacks(brief, frame, jacks, rooms) if jacks else ()),
        *_pads(brief, frame, strength),
    )  # fmt: skip


def _up(value: float, step: float = 1.0) -> float:
    return step * math.ceil(value / step - 1e-9)


def _least(code: str, field: str, message: str, need: float, *, stop: bool = False, member: str = "") -> Finding:
    return Finding(
        code=code, field=field, message=message, member=member, severity=Severity.STOP if stop else Severity.LOOK,
        allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
    )  # fmt: skip


def _holes(brief: Brief, frame: Frame, rooms: tuple[HoleRoom, ...]) -> Iterator[Finding]:
    if not rooms:
        return
    bolt = find_thread(brief.machine.bolt)
    hole = next(m.hole for m in frame.mounts if m.hole)
    socket = SOCKET[0] * bolt.across_flats + SOCKET[1]
    for room in rooms:
        edge = min(room.to_end, room.to_side)
        need, _ = edge_needed(bolt, hole, brief.limits.code, room.slot)
        disc = slot_washer(bolt.id, hole, room.slot).diameter
        what, cure = ("slot's end", "a shorter slot, ") if room.slot else ("hole", "")
        if edge < need - 1e-9:
            where = "the end" if room.to_end < room.to_side else "the side of the flat"
            yield Finding(
                code="seat.hole_near_edge", field="machine.holes", severity=Severity.LOOK, member=room.owner,
                message=(
                    f"The {what} of {room.mount} lies {edge:.1f} mm from {where} of {room.owner}, and {need:.1f} mm are "
                    f"wanted; take a wider section there, {cure}a smaller bolt, or move the machine."
                ),
                allowed=f"at least {need:.1f} mm",
            )  # fmt: skip
        elif room.across < disc - 1e-9:
            yield Finding(
                code="seat.washer_off_flat", field="machine.holes", severity=Severity.LOOK, member=room.owner,
                message=(
                    f"The {disc:.0f} mm washer of {room.mount} does not lie on the flat of {room.owner}, which leaves "
                    f"{room.across:.0f} mm; grind one side of it, or take a wider section."
                ),
                allowed=f"flat at least {disc:.0f} mm",
            )  # fmt: skip
        if 2 * room.free < socket - 1e-9:
            yield Finding(
                code="seat.no_spanner", field="machine.at", severity=Severity.LOOK, member=room.beside,
                message=(
                    f"Not even a socket passes between the nut of {room.mount} and {room.beside}: {2 * max(room.free, 0):.0f} "
                    f"mm beside {socket:.0f} mm; weld the nut in, put the bolt in from below, or move the machine."
                ),
                allowed=f"at least {socket:.0f} mm",
            )  # fmt: skip


def _seating(brief: Brief, held: bool) -> Iterator[Finding]:
    m = brief.mounting
    if m.seating in PER_BOLT and not held:
        yield Finding(
            code="seat.jacks_without_holes", field="mounting.seating", severity=Severity.LOOK, nearest="bolted down",
            message=f"No {m.seating} are placed: the machine has no holes for bolts; give its holes, or set it straight down.",
        )  # fmt: skip
    if m.seating == "bolted down" and m.jack > 0 and held:
        yield Finding(
            code="seat.gap_unfilled", field="mounting.seating", severity=Severity.LOOK, nearest="jacking screws",
            message=(
                f"The machine stands {m.jack:g} mm above the seat on bare bolts; choose jacking screws or shims, or a "
                f"jacking gap of 0."
            ),
            allowed="jacking screws, hollow jacking screws, shims",
        )  # fmt: skip
    if m.seating == "shims" and m.jack > _THICK_SHIMS:
        yield Finding(
            code="seat.shims_thick", field="mounting.jack", severity=Severity.LOOK, nearest=f"{_THICK_SHIMS:g} mm",
            message=(
                f"{m.jack:g} mm of shims is a spring: lay one thick washer or block under each foot and at most "
                f"{_THICK_SHIMS:g} mm of leaves, or take jacking screws (common practice)."
            ),
            allowed=f"up to {_THICK_SHIMS:g} mm",
        )  # fmt: skip


def _jacks(brief: Brief, frame: Frame, j: Jacks, rooms: tuple[HoleRoom, ...]) -> Iterator[Finding]:
    m = brief.mounting
    if m.jack < j.jack_needed - 1e-9:
        need = _up(j.jack_needed)
        yield _least(
            "seat.jack_gap", "mounting.jack",
            f"A jacking gap of {m.jack:g} mm leaves {max(j.gap, 0):.1f} mm over a {m.block_height:g} mm block, but nuts "
            f"({j.taken:.1f} mm) and {j.need:.1f} mm of travel want a gap of {need:.0f} mm; raise the gap or lower the block.",
            need, stop=j.gap < j.taken - 1e-9,
        )  # fmt: skip
    if j.kind == ROUND and j.wall < WALL_LEAST - 1e-9:
        fit = hollow_screw_for(j.bore, j.screw.system)
        cure = f"take {fit.id}" if fit else "take a smaller bolt, or screws beside the bolt"
        yield Finding(
            code="seat.jack_bore", field="mounting.screw", severity=Severity.STOP if j.wall <= 0 else Severity.LOOK,
            message=(
                f"A {j.bore:.4g} mm bore leaves {max(j.wall, 0):.1f} mm of wall under the thread of {j.screw.id}, and "
                f"{WALL_LEAST:g} mm are wanted; {cure}."
            ),
            allowed=f"at least {WALL_LEAST:g} mm of wall", nearest=fit.id if fit else "",
        )  # fmt: skip
    if j.area > 0 and j.stress > j.stress_limit:
        yield Finding(
            code="seat.jack_screw_weak", field="mounting.screw", severity=Severity.LOOK,
            message=(
                f"Fully tightened the bolt presses {j.screw.id} with {j.stress:.0f} MPa, and {j.stress_limit:.0f} MPa are "
                f"allowed; take a larger screw or a lower class of bolt."
            ),
            allowed=f"up to {j.stress_limit:.0f} MPa",
        )  # fmt: skip
    if j.engaged < j.engaged_needed - 1e-9:
        need = _up(j.engaged_needed)
        yield _least(
            "seat.jack_thread", "mounting.block_height",
            f"A {m.block_height:g} mm block holds too little thread of {j.screw.id}: it strips before the screw breaks; "
            f"make it {need:.0f} mm high.", need,
        )  # fmt: skip
    if j.land < j.land_needed - 1e-9:
        need = _up(j.block_needed, 5.0)
        yield _least(
            "seat.jack_land", "mounting.block",
            f"A {m.block:g} mm block leaves {j.land:.1f} mm beside the tapped hole of {j.screw.id}, and {j.land_needed:.1f} mm "
            f"are wanted; make it {need:.0f} mm, or take a smaller screw.", need, stop=j.land <= 0,
        )  # fmt: skip
    members = {k.name: k for k in frame.members}
    for room in rooms:
        member = members.get(room.owner)
        most = 2 * (room.to_side + room.slot_side + (member.profile.corner if member else 0.0))
        if m.block > most + 1e-9:
            yield Finding(
                code="seat.block_off_rail", field="mounting.block", severity=Severity.LOOK, member=room.owner,
                message=(
                    f"A {m.block:g} mm block under {room.mount} hangs over {room.owner}, which has {most:.0f} mm there; take a "
                    f"block up to {most:.0f} mm or a wider section."
                ),
                allowed=f"up to {most:.0f} mm", nearest=f"{math.floor(most):d} mm",
            )  # fmt: skip
            break


def _pads(brief: Brief, frame: Frame, strength: Strength) -> Iterator[Finding]:
    if not frame.feet:
        return
    pad = pad_thread(brief, 0.0, strength.floor.engaged)
    if pad.engaged < pad.needed - 1e-9:
        grade = class_words(stud_class(find_thread(brief.feet.thread)))
        yield _least(
            "seat.pad_thread", "feet.pad_thickness",
            f"{pad.engaged:g} mm of thread strips before a stud {brief.feet.thread} of {grade} breaks; make the pads "
            f"{_up(pad.needed):.0f} mm thick, or {pad.cure}.", _up(pad.needed), member=frame.feet[0].pad,
        )  # fmt: skip
