"""Figures of the machine's holes, bolts and jacking screws."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Thread
from framecore.figures._jacks import pad_figures, under_the_feet
from framecore.figures._judge import at_least, computed, given, look, origin
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.seat.holes import (
    OPEN_HEAD,
    SOCKET,
    HoleRoom,
    edge_needed,
    fixed_tolerance,
    floating_tolerance,
    hole_rooms,
    slot_washer,
)

PRACTICE = "common practice"
HOLE_SOURCE = {"metric": "ISO 273:1979", "inch": "ASME B18.2.8-1999"}


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield what the holes forgive, the steel round them, and what is under the machine's feet."""
    yield from pad_figures(answers)
    rooms = hole_rooms(answers.brief, answers.frame)
    if not rooms:  # a surface plate rests unscrewed
        return
    bolt = find_thread(answers.brief.machine.bolt)
    yield from _hole(answers, bolt)
    yield from _edges(answers, bolt, rooms)
    yield from _round_the_nut(answers, bolt, rooms)
    yield from under_the_feet(answers, bolt)


def bolt_input(answers: Answers, bolt: Thread) -> Input:
    """Return the holding-down bolt as an input."""
    return Input(symbol="d", label=f"bolt {bolt.id}", value=bolt.diameter, unit="mm",
                 origin=origin(answers.brief, "machine.bolt"), key="machine.bolt")  # fmt: skip


def _hole(answers: Answers, bolt: Thread) -> Iterator[Figure]:
    brief = answers.brief
    hole = next(m.hole for m in answers.frame.mounts if m.hole)
    table = HOLE_SOURCE[bolt.system]
    d = bolt_input(answers, bolt)
    series = f"fine {bolt.fine:.2f}, medium {bolt.medium:.2f}, coarse {bolt.coarse:.2f} mm"
    yield Figure(
        id="mount.hole", label=f"Clearance hole for {bolt.id}", value=hole, unit="mm", group="seat",
        work=lambda: Working(
            formula="d0 by table of d", source=table, inputs=(d,),
            steps=(f"{bolt.id}, {brief.mounting.hole_class} series: {hole:g} mm", series),
        ),
    )  # fmt: skip
    allowed, fixed = floating_tolerance(hole, bolt.diameter), fixed_tolerance(hole, bolt.diameter)
    need = 2 * max(brief.mounting.marking, brief.mounting.pattern_error)
    slot, slotted = brief.mounting.slot, [m for m in answers.frame.mounts if m.slot]
    drilled_through = brief.mounting.method in ("drill through the machine", "weld bearers last")
    yield Figure(
        id="mount.position_tolerance", label="Position tolerance of the machine's holes", value=allowed, unit="mm",
        group="seat", limit=None if drilled_through else need, limit_kind="" if drilled_through else "min",
        verdict=Verdict.NONE if drilled_through else look(at_least(allowed, need)),
        note="diameter of the zone, for either part" + (f"; along a slot {allowed + slot:.2f} mm" if slotted else ""),
        assumed=tuple(p for p in ("mounting.marking", "mounting.pattern_error") if p in brief.assumed),
        work=lambda: Working(
            formula="floating T = H - F; fixed, one part tapped: T = (H - F) / 2",
            inputs=(
                Input(symbol="H", label=f"hole, {brief.mounting.hole_class}", value=hole, unit="mm", origin="table",
                      source=table),
                d, given(brief, "mounting.marking", "m"), given(brief, "mounting.pattern_error", "q"),
                *([given(brief, "mounting.slot", "s")] if slotted else []),
            ),
            steps=(
                f"T = {hole:.2f} - {bolt.diameter:.2f} = {allowed:.2f} mm: each centre within {allowed / 2:.2f} mm",
                f"tapped instead: ({hole:.2f} - {bolt.diameter:.2f}) / 2 = {fixed:.2f} mm for each part",
                f"asked for: 2 max(m, q) = {need:.2f} mm",
                *([f"{len(slotted)} of {len(answers.frame.mounts)} holes are slots, {brief.mounting.slot_way}: along the slot "
                   f"H - F + s = {allowed:.2f} + {slot:.2f} = {allowed + slot:.2f} mm, across it and in the round ones "
                   f"{allowed:.2f} mm"] if slotted else []),
                series,
            ),
            source="ASME Y14.5 appendix B, floating and fixed fastener",
            note="the machine's own holes are taken as wide as the stand's; its pattern and the stand's share one datum",
        ),
    )  # fmt: skip


def _edges(answers: Answers, bolt: Thread, rooms: tuple[HoleRoom, ...]) -> Iterator[Figure]:
    brief = answers.brief
    d = bolt_input(answers, bolt)
    for mount, room in zip((m for m in answers.frame.mounts if m.hole), rooms, strict=True):
        need, source = edge_needed(bolt, mount.hole, brief.limits.code, mount.slot)
        edge = min(room.to_end, room.to_side)
        what, number = "Slot" if mount.slot else "Hole", mount.name.removeprefix("mount ")
        yield Figure(
            id=f"mount.edge.{number}", label=f"{what} of machine foot {number} to the edge", value=edge, unit="mm",
            group="seat", limit=need, limit_kind="min", verdict=at_least(edge, need), parts=(room.owner,),
            note=f"{room.owner}, to {'its end' if room.to_end < room.to_side else 'the side of its flat'}",
            work=partial(lambda need, source, room, hole, slot: Working(
                formula="min(e1, e2) >= e_min",
                inputs=(
                    d, Input(symbol="d0", label="hole", value=hole, unit="mm", origin="table", source=HOLE_SOURCE[bolt.system]),
                    *([given(brief, "mounting.slot", "s")] if slot else []),
                    computed("e1", f"to the end of {room.owner}", room.to_end, "mm"),
                    computed("e2", "to where its edge begins to round", room.to_side, "mm"),
                ),
                steps=(
                    f"e_min = {need:.1f} mm; e1 = {room.to_end:.1f}, e2 = {room.to_side:.1f} mm",
                    *(["both from the middle of the slot's end that is nearer"] if slot else []),
                    f"{room.wall:.1f} mm of steel under the foot",
                ),
                source=source, note="in a tube the wall goes on round the edge: e2 is on the safe side",
            ), need, source, room, mount.hole, mount.slot),
        )  # fmt: skip


def _round_the_nut(answers: Answers, bolt: Thread, rooms: tuple[HoleRoom, ...]) -> Iterator[Figure]:
    brief = answers.brief
    d, mounts = bolt_input(answers, bolt), {m.name: m for m in answers.frame.mounts}
    discs = {r.mount: slot_washer(bolt.id, mounts[r.mount].hole, r.slot) for r in rooms}
    tight = min(rooms, key=lambda r: r.across - discs[r.mount].diameter)
    disc, slot, hole = discs[tight.mount], tight.slot, mounts[tight.mount].hole
    thick = f"{disc.diameter:.3g} x {disc.thickness:.2g} mm washer"
    yield Figure(
        id="mount.washer", label=f"Flat for the washer of {bolt.id}", value=tight.across, unit="mm", group="seat",
        limit=disc.diameter, limit_kind="min", verdict=at_least(tight.across, disc.diameter), parts=(tight.owner,),
        note=f"{thick}{' that covers the slot' if slot else ''}, tightest at {tight.mount}",
        work=lambda: Working(
            formula="2 min(e1, e2) >= D", source=disc.source,
            inputs=(
                d, Input(symbol="D", label="washer", value=disc.diameter, unit="mm", origin="table", source=disc.source),
                *([given(brief, "mounting.slot", "s")] if slot else []),
                computed("e", f"{'slot' if slot else 'hole'} to the nearer edge at {tight.mount}", tight.across / 2, "mm"),
            ),
            steps=(
                *([f"over the whole slot from a bolt at its end: D >= 2 s + d0 = 2 x {slot:g} + {hole:g} = "
                   f"{2 * slot + hole:g} mm"] if slot else []),
                f"2 x {tight.across / 2:.1f} = {tight.across:.1f} mm beside {disc.diameter:.1f} mm",
                f"behind it {tight.wall:.1f} mm of steel",
            ),
        ),
    )  # fmt: skip
    sleeves = [r for r in rooms if r.sleeve is not None]
    if sleeves:
        room = max(sleeves, key=lambda r: r.slot)
        sleeve = room.sleeve
        assert sleeve is not None
        yield Figure(
            id="mount.sleeve", label="Crush sleeve in the tube, length", value=sleeve.length, unit="mm", group="seat",
            note=f"{sleeve.outside:g} outside, {sleeve.bore:.4g} bore, {len(sleeves)} of them",
            parts=tuple(dict.fromkeys(r.owner for r in sleeves)),
            work=lambda: Working(
                formula="L = h - 2 t; D = √(d0² + 4 F / (π f_y))",
                inputs=(
                    d, computed("F", "clamp load, 75 % of proof", sleeve.load, "N"),
                    computed("L", f"inside height of {room.owner}", sleeve.length, "mm"),
                ),
                steps=(sleeve.text,), source=PRACTICE + ": the sleeve bears the whole clamp load below yield",
                note="without it the bolt pulls the tube hollow and comes loose",
            ),
        )  # fmt: skip
    swing, socket = OPEN_HEAD[0] * bolt.across_flats + OPEN_HEAD[1], SOCKET[0] * bolt.across_flats + SOCKET[1]
    near = min(rooms, key=lambda r: r.free)
    if math.isfinite(near.free):
        only = near.free * 2 < swing and near.free * 2 >= socket
        yield Figure(
            id="mount.spanner", label="Room round the nut", value=2 * near.free, unit="mm", group="seat",
            limit=socket if only else swing, limit_kind="min", parts=(near.owner, near.beside),
            verdict=look(at_least(2 * near.free, socket if only else swing)),
            note=f"{near.mount} beside {near.beside}" + (": socket only" if only else ""),
            work=lambda: Working(
                formula="open end 2.2 s + 2; socket 1.4 s + 2", source=PRACTICE,
                inputs=(
                    d, Input(symbol="s", label="across flats", value=bolt.across_flats, unit="mm", origin="table",
                             source=bolt.source),
                    computed("a", f"bolt to {near.beside}", near.free, "mm"),
                ),
                steps=(
                    f"open end {swing:.0f} mm, socket {socket:.0f} mm, room {2 * near.free:.0f} mm at {near.mount}",
                    "an open end turned over each time wants 30° of swing, a ring 15°",
                ),
                note="members and plates; stored things and what hangs on the stand are not counted",
            ),
        )  # fmt: skip
