"""Figures of what is under the machine's feet: torque and clamp of its bolts, jacking screws, shims, pads."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of, class_source, class_words, proof_load, stud_class
from framecore.catalogue.model import Thread
from framecore.figures._judge import at_least, at_most, computed, given, look
from framecore.figures.model import Answers, Figure, Input, Working
from framecore.frame._blocks import LAND, ROUND
from framecore.seat.bolts import (
    NUT_FACTOR,
    PRELOAD,
    SCATTER,
    TORQUE_SOURCE,
    assembly_preload,
    torque_for,
)
from framecore.seat.jacking import (
    FOOT_PRESSURE,
    LEVELLING,
    SHIM_LEAVES,
    WALL_LEAST,
    Jacks,
    differential_rise,
    finer,
    jacks_of,
    rise,
    shim_stack,
    weld_flatness,
)
from framecore.seat.pads import FORM_SOURCE, pad_thread
from framecore.strength._bolts import GRIP
from framecore.strength._seating import foot_bar

SCREWS_SHARE = 0.10  # of the sway, at most, in the jacking screws (common practice)
PRACTICE = "common practice"


def under_the_feet(answers: Answers, bolt: Thread) -> Iterator[Figure]:
    """Yield torque and clamp of the holding-down bolts, then the jacking screws or shims the brief asks for."""
    yield from _bolts(answers, bolt)
    j = jacks_of(answers.brief, answers.frame, answers.strength)
    if j is not None:
        yield from _reach(answers, j)
        yield from _screw(answers, j)
        yield _sideways(answers, j, bolt)
    elif answers.brief.mounting.seating == "shims":
        yield from _shims(answers)


def _of(thread: Thread, symbol: str, label: str, value: float, unit: str = "mm") -> Input:
    return Input(symbol=symbol, label=f"{label} of {thread.id}", value=value, unit=unit, origin="table", source=thread.source)


def _bolts(answers: Answers, bolt: Thread) -> Iterator[Figure]:
    brief, checks = answers.brief, answers.strength.checks
    cls = class_of(bolt, brief.mounting.bolt_class)
    proof, load = proof_load(bolt, cls), assembly_preload(bolt, cls)
    torque = torque_for(bolt.diameter, load)
    area = _of(bolt, "As", "stress area", bolt.stress_area, "mm2")
    d = _of(bolt, "d", "size", bolt.diameter)
    yield Figure(
        id="mount.torque", label=f"Tightening torque of {bolt.id}", value=torque / 1000, unit="N m", group="seat",
        note=f"{class_words(cls)}, dry; oiled a quarter less",
        assumed=tuple(p for p in ("mounting.bolt_class",) if p in brief.assumed),
        work=lambda: Working(
            formula="T = K d F, F = 0.75 Sp As", source=TORQUE_SOURCE + "; " + class_source(cls),
            inputs=(
                d, area, Input(symbol="Sp", label=f"proof stress of {class_words(cls)}", value=proof / bolt.stress_area,
                               unit="MPa", origin="table", source=class_source(cls)),
                Input(symbol="K", label="nut factor", value=NUT_FACTOR, unit="1", origin="assumed", source=PRACTICE),
            ),
            steps=(
                f"F = {PRELOAD:g} x {proof / bolt.stress_area:.0f} x {bolt.stress_area:.1f} = {load:.0f} N",
                f"T = {NUT_FACTOR:g} x {bolt.diameter:g} x {load:.0f} / 1000 = {torque / 1000:.1f} N m",
                f"F lies between {(1 - SCATTER) * load:.0f} and {(1 + SCATTER) * load:.0f} N; proof load {proof:.0f} N",
            ),
            note="a machine on screws or shims is held, not pressed: half the torque is plenty and bends its foot less; the "
                 "machine's manual goes before",
        ),
    )  # fmt: skip
    margin = checks.margin
    if not checks.bolts:
        return
    worst = max(checks.bolts, key=lambda b: b.clamp)
    need = margin * worst.clamp
    least = (1 - SCATTER) * load
    yield Figure(
        id="mount.clamp", label=f"Clamp load of {bolt.id}, least", value=least, unit="N", group="seat", limit=need,
        limit_kind="min", verdict=look(at_least(least, need)), note=f"{worst.mount}, {worst.clamp_case}",
        work=lambda: Working(
            formula="(1 - 0.25) F >= S (F_t + F_v / μ)", source="Coulomb friction; scatter " + TORQUE_SOURCE,
            inputs=(
                computed("F", "clamp load, 75 % of proof", load, "N"), given(brief, "limits.yield_margin", "S"),
                computed("F_t", f"pull on {worst.mount}, negative: pressed", worst.clamp_tension, "N"),
                computed("F_v", "sideways", worst.clamp_shear, "N"),
                Input(symbol="μ", label="friction under the foot", value=GRIP, unit="1", origin="assumed", source=PRACTICE),
            ),
            steps=(
                f"{1 - SCATTER:g} x {load:.0f} = {least:.0f} N",
                f"{margin:g} x ({worst.clamp_tension:.0f} + {worst.clamp_shear:.0f} / {GRIP:g}) = {need:.0f} N",
            ),
            note="the joint neither opens nor slides while this much is left",
        ),
    )  # fmt: skip


def _reach(answers: Answers, j: Jacks) -> Iterator[Figure]:
    brief, screw = answers.brief, j.screw
    cls, block = class_of(screw, brief.mounting.bolt_class), steel_of(brief.steel.grade, tube=False)
    pitch = _of(screw, "p", "pitch", screw.pitch)
    ten = rise(screw.pitch, 10)
    fine = finer(screw.id)
    other = f"{fine.id} gives {rise(fine.pitch, 10):.3f} mm" if fine else f"{screw.id} is the finest of its size here"
    two = differential_rise(1.5, 1.25)
    yield Figure(
        id="jack.rise", label=f"Rise of {screw.id} in 10 degrees", value=ten, unit="mm", group="seat",
        note=f"{screw.pitch:.3g} mm a turn, {rise(screw.pitch, 60):.3f} a flat",
        work=lambda: Working(
            formula="s = p α / 360", inputs=(pitch,), source="geometry of the thread",
            steps=(
                f"turn {screw.pitch:.3f}, flat (60°) {rise(screw.pitch, 60):.3f}, 10° {ten:.4f} mm", other,
                f"a screw with 1.5 above and 1.25 below moves {two:.2f} mm a turn, {rise(two, 10):.4f} mm in 10°",
            ),
            note="jack up to the reading, never down to it: slack and wind-up stay on one side",
        ),
    )  # fmt: skip
    parts = (
        given(brief, "mounting.jack", "j"), given(brief, "mounting.block_height", "b"),
        computed("n", "lock nut" + (" and hexagon" if j.kind == ROUND else ""), j.taken, "mm", PRACTICE),
        Input(symbol="f", label="welded frame out of flat", value=j.welded, unit="mm", origin="table",
              source="ISO 13920 class F"),
        computed("u", "floor under feet left as set down", j.floor, "mm"),
        Input(symbol="l", label="to level the bed by", value=LEVELLING, unit="mm", origin="assumed", source=PRACTICE),
    )  # fmt: skip
    assumed = tuple(p for p in ("mounting.jack", "mounting.block_height", "mounting.screw") if p in brief.assumed)
    yield Figure(
        id="jack.travel", label="Travel of the jacking screws", value=j.have, unit="mm", group="seat", limit=j.need,
        limit_kind="min", verdict=at_least(j.have, j.need), assumed=assumed,
        work=lambda: Working(
            formula="2 (j - b - n) >= f + u + l", inputs=parts, source=PRACTICE + "; ISO 13920 class F",
            steps=(
                f"2 x ({brief.mounting.jack:g} - {brief.mounting.block_height:g} - {j.taken:g}) = {j.have:.1f} mm",
                f"{j.welded:g} + {j.floor:.1f} + {LEVELLING:g} to level the bed by = {j.need:.1f} mm",
                f"a jacking gap of {j.jack_needed:.1f} mm is enough",
            ),
            note="levelled feet take the floor; feet left as set down leave it to these screws",
        ),
    )  # fmt: skip
    yield Figure(
        id="jack.thread", label=f"Thread of {screw.id} in its block", value=j.engaged, unit="mm", group="seat",
        limit=j.engaged_needed, limit_kind="min", verdict=at_least(j.engaged, j.engaged_needed),
        work=lambda: Working(
            formula="L >= As Rm / (0.6 fu A1) + p", inputs=(
                _of(screw, "As", "stress area", screw.stress_area, "mm2"), pitch, given(brief, "mounting.block_height", "L"),
                Input(symbol="fu", label=f"block of {block.id}", value=block.fu, unit="MPa",
                      origin="table", source=block.source),
            ), source=FORM_SOURCE,
            steps=(
                f"L_min = {j.engaged_needed:.1f} mm for {class_words(cls)}, {j.engaged:g} mm are tapped",
                f"tap drill {screw.tap_drill_name}",
            ),
            note="A1: sheared per mm of depth, the weaker of screw and block; a jack only presses, so this is strict",
        ),
    )  # fmt: skip
    where = "round the bolt" if j.kind == ROUND else f"{j.offset:.1f} mm from the bolt on the diagonal"
    yield Figure(
        id="jack.land", label="Steel left beside the jack's tapped hole", value=j.land, unit="mm", group="seat",
        limit=j.land_needed, limit_kind="min", verdict=at_least(j.land, j.land_needed), note=where,
        work=lambda: Working(
            formula="w = (b - d) / 2 >= 0.5 d" if j.kind == ROUND else "c = (b + d0) / (2 + √2), w = c - (d0 + d) / 2 >= 0.5 d",
            inputs=(given(brief, "mounting.block", "b"), _of(screw, "d", "size", screw.diameter)), source=PRACTICE,
            steps=(
                f"w = {j.land:.2f} mm, {LAND:g} x {screw.diameter:g} = {j.land_needed:.1f} mm, {where}",
                f"a block of {math.ceil(j.block_needed):d} mm leaves it",
            ),
        ),
    )  # fmt: skip


def _screw(answers: Answers, j: Jacks) -> Iterator[Figure]:
    brief, screw = answers.brief, j.screw
    loads = (
        computed("F", "clamp load of the bolt", j.clamp, "N"), computed("G", "the machine's share on it", j.weight, "N"),
        computed("n", "screws a bolt", float(j.count), "1"),
    )  # fmt: skip
    load = f"({j.clamp:.0f} + {j.weight:.0f}) / {j.count} = {j.load:.0f} N on a screw"
    if j.kind == ROUND:
        yield Figure(
            id="jack.wall", label=f"Wall of the hollow {screw.id}", value=j.wall, unit="mm", group="seat", limit=WALL_LEAST,
            limit_kind="min", verdict=at_least(j.wall, WALL_LEAST), note=f"{j.bore:.4g} mm bore",
            work=lambda: Working(
                formula="w = (d3 - D) / 2", source=PRACTICE,
                inputs=(_of(screw, "d3", "root", screw.root_diameter), computed("D", "bore, clears the bolt", j.bore, "mm")),
                steps=(f"w = ({screw.root_diameter:.2f} - {j.bore:.2f}) / 2 = {j.wall:.2f} mm",),
                note="bored in the lathe from a bolt; burrs off, so that bolt and screw turn by themselves",
            ),
        )  # fmt: skip
    # Where no steel is left there is no stress to tell; the wall, the land and the block say stop then.
    if j.area > 0:
        yield Figure(
            id="jack.stress", label=f"Stress in {screw.id}", value=j.stress, unit="MPa", group="seat", limit=j.stress_limit,
            limit_kind="max", verdict=at_most(j.stress, j.stress_limit),
            work=lambda: Working(
                formula="σ = (F + G) / (n A), A = π (d3² - D²) / 4 <= f_y / S",
                inputs=(*loads, given(brief, "limits.yield_margin", "S")),
                steps=(load, f"σ = {j.load:.0f} / {j.area:.1f} = {j.stress:.0f} MPa; {j.stress_limit:.0f} allowed"),
                source=class_source(class_of(screw, brief.mounting.bolt_class)) + "; screw of the bolts' class",
            ),
        )  # fmt: skip
    if math.isfinite(j.end_pressure):
        yield Figure(
            id="jack.pressure", label="Screw on the machine's foot", value=j.end_pressure, unit="MPa", group="seat",
            limit=FOOT_PRESSURE, limit_kind="max", verdict=look(at_most(j.end_pressure, FOOT_PRESSURE)),
            work=lambda: Working(
                formula="q = (F + G) / (n A_end)", inputs=loads,
                steps=(load, f"q = {j.end_pressure:.0f} MPa on cast iron, {FOOT_PRESSURE:g} taken as the most"),
                source="VDI 2230 table A9, 850 MPa for GJL-250, from memory; half of it",
                note="flat end, edges broken; a hardened washer under it spares the foot",
            ),
        )  # fmt: skip
    fy = steel_of(brief.steel.grade, tube=False).fy
    if math.isfinite(j.block_pressure):
        yield Figure(
            id="jack.block_pressure", label="Block on its rail", value=j.block_pressure, unit="MPa", group="seat", limit=fy,
            limit_kind="max", verdict=at_most(j.block_pressure, fy),
            work=lambda: Working(
                formula="q = (F + G) / (b² - π d0² / 4)", inputs=(*loads[:2], given(brief, "mounting.block", "b")),
                steps=(f"q = ({j.clamp:.0f} + {j.weight:.0f}) / area = {j.block_pressure:.1f} MPa, f_y = {fy:g} MPa",),
                source="statics", note="in a tube the crush sleeve under the bolt takes it on",
            ),
        )  # fmt: skip


def _sideways(answers: Answers, j: Jacks, bolt: Thread) -> Figure:
    """Return how stiff one foot's screws are sideways, against the stand's own sway."""
    brief, s = answers.brief, answers.strength
    held = [m for m in answers.frame.mounts if m.hole]
    n, gap = len(held), max(brief.mounting.jack, bolt.diameter)
    value = foot_bar(brief, held[0], gap, 0.0).sideways
    stand = max(s.sway_x, s.sway_y)
    share = stand / (stand + n * value)
    need = stand * (1 - SCREWS_SHARE) / SCREWS_SHARE / n
    return Figure(
        id="mount.screw_stiffness", label="Jacking screws of one foot, sideways", value=value, unit="N/mm", group="seat",
        limit=need, limit_kind="min", verdict=look(at_least(value, need)),
        note=f"{100 * share:.1f} % of the sway at the machine's feet is theirs",
        work=lambda: Working(
            formula="1 / k = (g³ / (12 E I) + g / (0.9 G A)) / n_s, share = k_stand / (k_stand + N k)",
            inputs=(
                given(brief, "mounting.jack", "j"), given(brief, "mounting.block_height", "b"),
                _of(j.screw, "d3", "root", j.screw.root_diameter), computed("n_s", "screws a foot", float(j.count), "1"),
                computed("N", "feet of the machine on screws", float(n), "1"),
                computed("k_stand", "stand's stiffer sway", stand, "N/mm"),
            ),
            steps=(
                f"g = j - b = {j.gap:g} mm free, both ends held; k = {value:.4g} N/mm a foot",
                f"share = {stand:.4g} / ({stand:.4g} + {n} x {value:.4g}) = {100 * share:.2f} %",
                f"at most {100 * SCREWS_SHARE:g} % asks for k >= {need:.4g} N/mm",
            ),
            source="beam with both ends held, statics; a tenth of the sway is " + PRACTICE,
            note="a higher block or a thicker screw; the free length counts with its cube",
        ),
    )  # fmt: skip


def _shims(answers: Answers) -> Iterator[Figure]:
    brief, frame = answers.brief, answers.frame
    need = weld_flatness(max(frame.length, frame.depth))
    need += 0.0 if brief.feet.set == "levelled" else answers.strength.floor.range_needed
    leaves = shim_stack(need)
    yield Figure(
        id="mount.shims", label="Leaves in the thickest pack of shims", value=float(len(leaves)), unit="1", group="seat",
        limit=float(SHIM_LEAVES), limit_kind="max", verdict=look(at_most(float(len(leaves)), float(SHIM_LEAVES))),
        note=f"{need:.2f} mm",
        work=lambda: Working(
            formula="Σ leaves = f + u", source="ISO 13920 class F; " + PRACTICE,
            inputs=(computed("f + u", "welded frame out of flat, and floor under feet as set down", need, "mm"),),
            steps=(
                " + ".join(f"{t:g}" for t in leaves) + f" = {sum(leaves):.2f} mm, thinnest leaf 0.05 mm",
                f"more than {SHIM_LEAVES} leaves are a spring: one thick washer and the rest in leaves",
            ),
            note="flat, free of burrs, as large as the foot, slotted round the bolt; thin warped washers pull it out",
        ),
    )  # fmt: skip


def pad_figures(answers: Answers) -> Iterator[Figure]:
    """Yield what the tapped pads of the feet hold."""
    brief, frame = answers.brief, answers.frame
    if not frame.feet:
        return
    stud = find_thread(brief.feet.thread)
    leg = next((m for m in frame.members if m.name == frame.feet[0].leg), None)
    wall = leg.profile.wall if leg else 0.0
    pad = pad_thread(brief, wall, answers.strength.floor.engaged)
    steel, grade = steel_of(brief.steel.grade, tube=False), class_words(stud_class(stud))
    yield Figure(
        id="pads.thread", label=f"Pad thread as strong as the stud {stud.id}", value=pad.engaged, unit="mm", group="seat",
        limit=pad.needed, limit_kind="min", verdict=look(at_least(pad.engaged, pad.needed)), parts=(frame.feet[0].pad,),
        note=f"tap drill {stud.tap_drill_name}",
        work=lambda: Working(
            formula="L >= As Rm / (0.6 fu A1) + p", source=FORM_SOURCE,
            inputs=(
                given(brief, "feet.pad_thickness", "L"), _of(stud, "As", "stress area", stud.stress_area, "mm2"),
                _of(stud, "p", "pitch", stud.pitch),
                Input(symbol="fu", label=f"pad of {steel.id}", value=steel.fu, unit="MPa", origin="table", source=steel.source),
            ),
            steps=(
                f"stud of {grade} breaks at {pad.breaks:.0f} N, {pad.engaged:g} mm strip at {pad.strips:.0f} N",
                f"L_min = {pad.needed:.1f} mm",
                f"tap drill {stud.tap_drill_name}, chamfer to {pad.chamfer:.1f} mm both sides",
                f"a wall of {pad.wall:g} mm would hold {pad.turns:.1f} turns: {pad.cure}" if pad.wall else pad.cure,
            ),
            note="tap after welding, or run the tap through again: the weld draws the hole out of round",
        ),
    )  # fmt: skip
