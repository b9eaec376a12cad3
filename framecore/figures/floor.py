"""Figures of the feet and the floor under them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.figures._ground import ground_figures
from framecore.figures._judge import at_least, at_most, computed, given, look
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.figures.strength import FRAME_SOURCE
from framecore.strength._floor import ENGAGED, LOCK_NUT

PRACTICE = "common practice"
CONTACT_SOURCE = "3D frame analysis, Timoshenko beams, with feet that press and never pull; computed"
_SOFT = 0.5  # share of the sway at which the studs are softer than all above them


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield what the feet must bear, reach and hold, and what lies under them."""
    yield from _as_set_down(answers)
    yield from _reach(answers)
    yield from _studs(answers)
    yield from _loads(answers)
    yield from _grip(answers)
    yield from ground_figures(answers)


def _corner(name: str) -> str:
    return name.removeprefix("foot ")


def _as_set_down(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    floor = s.floor
    names = [_corner(n) for n in s.foot_names]
    heights = tuple(
        Input(symbol=f"z_{n}", label=f"floor under foot {n} against the mean", value=z, unit="mm", origin="computed",
              source="measured heights" if floor.measured else "fall of the floor")
        for n, z in zip(names, floor.heights.tolist(), strict=True)
    )  # fmt: skip
    unknown = "" if floor.measured or len(names) < 4 else (
        f"heights are not measured: unevenness may leave a foot short by up to {brief.floor.flatness:g} mm besides"
    )  # fmt: skip
    if floor.rest:
        on = " ".join(names[k] for k in floor.rest)
        steps = [f"rigid, it stands on {on}: the only three round its centre of mass with no floor above their plane"]
        steps += [f"air under {n} = {g:.2f} mm" for n, g in zip(names, floor.gaps.tolist(), strict=True) if g > 0]
        if len(names) == 4 and floor.short >= 0:
            z = floor.heights
            steps.append(
                f"in a rectangle the gap is the difference of the diagonal sums, here |{z[0]:.2f} + {z[3]:.2f} - {z[1]:.2f} "
                f"- {z[2]:.2f}| = {abs(z[0] + z[3] - z[1] - z[2]):.2f} mm"
            )
    else:
        steps = ["the centre of mass lies outside the feet: it does not stand"]
    yield Figure(
        id="floor.rock_gap", label="Rock on the floor as it is", value=floor.rock_gap, unit="mm", group="floor",
        note=unknown or (f"foot {names[floor.short]} is short" if floor.short >= 0 else ""),
        work=lambda: Working(
            formula="g = plane through the three feet it stands on - z; four in a rectangle: g = |z1 + z3 - z2 - z4|",
            inputs=heights, steps=tuple(steps), source="statics of a rigid stand, all feet at mid travel",
            note=unknown,
        ),
    )  # fmt: skip
    short = int(floor.gaps_loaded.argmax())
    left = float(floor.gaps_loaded[short])
    as_is = brief.feet.set == "as set down"
    yield Figure(
        id="floor.short_foot", label="Air under the short foot", value=left, unit="mm", group="floor",
        limit=0.0 if as_is else None, limit_kind="max" if as_is else "",
        verdict=look(at_most(left, 0.0)) if as_is else Verdict.NONE,
        note=f"foot {names[short]}" if left > 0 else "every foot touches",
        work=lambda: Working(
            formula="g = u + plane - z where a foot hangs", inputs=heights, source=CONTACT_SOURCE,
            steps=(
                f"rigid {floor.rock_gap:.2f} mm; under its own weight the stand gives way and {left:.2f} mm stay",
                "all feet at mid travel, before anyone turns one",
            ),
        ),
    )  # fmt: skip


def _reach(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    floor, feet = s.floor, brief.feet
    stud = find_thread(feet.thread)
    travel = given(brief, "feet.travel", "t")
    uneven = 0.0 if floor.measured else brief.floor.flatness
    have = 2 * feet.travel
    yield Figure(
        id="feet.travel", label="Travel the feet need", value=floor.range_needed, unit="mm", group="floor",
        limit=have, limit_kind="max", verdict=at_most(floor.range_needed, have),
        assumed=tuple(p for p in ("floor.slope", "floor.flatness", "feet.travel") if p in brief.assumed),
        work=lambda: Working(
            formula="T = s w + f <= 2 t",
            inputs=(
                given(brief, "floor.slope", "s"),
                computed("s w", "highest less lowest floor under the feet", floor.spread, "mm"),
                given(brief, "floor.flatness", "f"), travel,
            ),
            steps=(
                f"T = {floor.spread:.2f} + {uneven:.2f} = {floor.range_needed:.2f} mm",
                f"the feet have 2 x {feet.travel:g} = {have:.1f} mm",
            ),
            source=PRACTICE, note="measured heights hold the unevenness already" if floor.measured else "",
        ),
    )  # fmt: skip
    pitch = Input(
        symbol="p", label=f"pitch of {stud.id}", value=stud.pitch, unit="mm", origin="table", source=stud.source
    )
    for name, turn, z in zip(s.foot_names, floor.turn_out.tolist(), floor.heights.tolist(), strict=True):
        corner = _corner(name)
        yield Figure(
            id=f"feet.turn_out.{corner}", label=f"Turn out {name}", value=turn, unit="mm", group="floor",
            note="to stand level, from mid travel",
            work=partial(lambda z, turn: Working(
                formula="v = -z, n = v / p", source="geometry",
                inputs=(
                    computed("z", "floor against the mean of all", z, "mm"),
                    pitch,
                ),
                steps=(f"v = {turn:+.2f} mm, n = {turn / stud.pitch:+.2f} turns",),
            ), z, turn),
        )  # fmt: skip
    d = Input(symbol="d", label=f"stud {stud.id}", value=stud.diameter, unit="mm", origin="table", source=stud.source)
    nut = LOCK_NUT * stud.diameter
    yield Figure(
        id="feet.height_room", label="Foot height at mid travel", value=feet.height, unit="mm", group="floor",
        limit=floor.height_needed, limit_kind="min", verdict=look(at_least(feet.height, floor.height_needed)),
        work=lambda: Working(
            formula="H >= b + t + 0.8 d", source=PRACTICE + "; nuts to DIN 934 are about 0.8 d high, to ISO 4032 up to 0.93 d",
            inputs=(given(brief, "feet.height", "H"), given(brief, "feet.base_height", "b"), travel, d),
            steps=(
                f"{feet.base_height:g} + {feet.travel:g} + {nut:.1f} = {floor.height_needed:.1f} mm: wound right in, the lock "
                f"nut still fits",
            ),
        ),
    )  # fmt: skip
    into = max(feet.pad_thickness, ENGAGED * stud.diameter)
    yield Figure(
        id="feet.stud_length", label="Stud above the foot's base", value=floor.stud_needed, unit="mm", group="floor",
        work=lambda: Working(
            formula="L = 2 t + 0.8 d + max(e, d)", source=PRACTICE,
            inputs=(travel, d, given(brief, "feet.pad_thickness", "e")),
            steps=(
                f"L = {have:.1f} + {nut:.1f} + {into:.1f} = {floor.stud_needed:.1f} mm, at least; the pad's thread is full "
                f"at every height",
            ),
        ),
    )  # fmt: skip
    yield Figure(
        id="feet.engagement", label="Thread in the pad", value=floor.engaged, unit="mm", group="floor",
        limit=ENGAGED * stud.diameter, limit_kind="min", verdict=at_least(floor.engaged, ENGAGED * stud.diameter),
        work=lambda: Working(
            formula="e >= 1 d", inputs=(given(brief, "feet.pad_thickness", "e"), d), source=PRACTICE,
            steps=(f"{floor.engaged:.1f} mm of thread, {floor.engaged / stud.pitch:.1f} turns, beside {stud.diameter:.1f} mm",),
        ),
    )  # fmt: skip


def _studs(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    floor = s.floor
    stud, steel = find_thread(brief.feet.thread), find_steel(brief.steel.grade)
    i = math.pi * stud.root_diameter**4 / 64
    e = Input(symbol="E", label="steel", value=steel.e, unit="MPa", origin="table", source=steel.source)
    root = Input(
        symbol="d3", label=f"root of {stud.id}", value=stud.root_diameter, unit="mm", origin="table", source=stud.source
    )
    values = (floor.stud_length, floor.stud_k, floor.leg_length, floor.leg_k)
    for name, length, k, h, leg in zip(s.foot_names, *(v.tolist() for v in values), strict=True):
        step = f"k = 3 x {steel.e:.0f} x {i:.1f} / {length:.1f}³ = {k:.0f} N/mm"
        yield Figure(
            id=f"feet.stud.{_corner(name)}", label=f"Bending of the stud of {name}", value=k, unit="N/mm", group="floor",
            limit=leg or None, limit_kind="min" if leg else "", verdict=look(at_least(k, leg)) if leg else Verdict.NONE,
            note="softer than its leg" if leg and k < leg else "",
            work=partial(lambda length, step, h, leg: Working(
                formula="k = 3 E I / L³, I = π d3⁴ / 64",
                inputs=(e, root, computed("L", "floor to pad as it stands", length, "mm")),
                steps=(step, f"its leg, {h:.0f} mm below rigid rails: 3 E I / h³ = {leg:.0f} N/mm") if leg else (step,),
                source="cantilever: Young, Budynas, Roark's Formulas, table 8.1 case 1a, from memory",
                note="counted down to the floor: the joint in the base is the safe side",
            ), length, step, h, leg),
        )  # fmt: skip
    sway, share = max((s.sway_x, floor.stud_share[0]), (s.sway_y, floor.stud_share[1]), key=lambda p: p[1])
    total = float(floor.stud_k.sum())
    yield Figure(
        id="feet.stud_share", label="Share of the sway that is in the studs", value=share, unit="1", group="floor",
        limit=_SOFT, limit_kind="max", verdict=look(at_most(share, _SOFT)),
        note="the studs are the softest spring: shorter or thicker ones" if share > _SOFT else "",
        work=lambda: Working(
            formula="η = k_sway / Σ k_stud",
            inputs=(
                computed("k_sway", "softer sway stiffness", sway, "N/mm", FRAME_SOURCE),
                computed("Σ k_stud", "all studs in bending", total, "N/mm"),
            ),
            steps=(f"η = {sway:.1f} / {total:.0f} = {share:.3f}; above {_SOFT:g} the studs give more than all above them",),
            source="springs one after another",
        ),
    )  # fmt: skip


def _loads(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    floor = s.floor
    rating, tilt = brief.feet.rating, math.degrees(floor.tilt)
    limit = given(brief, "feet.rating", "F_R")
    weight = s.total_mass * 9.80665
    mass = computed("m", "all that stands on the feet", s.total_mass, "kg")
    for name, load in zip(s.foot_names, s.foot_loads[:, 0].tolist(), strict=True):
        yield Figure(
            id=f"feet.load.{_corner(name)}", label=f"Load on {name}", value=load, unit="N", group="standing",
            limit=rating, limit_kind="max", verdict=at_most(load, rating),
            work=partial(lambda load: Working(
                formula="R = k (z - u), R >= 0", inputs=(mass, limit), source=CONTACT_SOURCE,
                steps=(f"R = {load:.0f} N standing, {100 * load / weight:.0f} % of {weight:.0f} N",),
            ), load),
        )  # fmt: skip
    blow = given(brief, "limits.impact", "φ")
    for name, load, case in zip(s.foot_names, floor.worst_load.tolist(), floor.worst_case, strict=True):
        yield Figure(
            id=f"feet.load_worst.{_corner(name)}", label=f"Worst load on {name}", value=load, unit="N", group="floor",
            limit=rating, limit_kind="max", verdict=at_most(load, rating), note=case,
            work=partial(lambda load, case: Working(
                formula="R_max over all cases; setting down φ m g on each mount in turn", source=CONTACT_SOURCE,
                inputs=(mass, blow, limit), steps=(f"R_max = {load:.0f} N, case {case}",),
                note="cases in which the stand falls over are not counted here" if s.tips.any() else "",
            ), load, case),
        )  # fmt: skip
    yield Figure(
        id="feet.tilt", label="Tilt of a foot's base", value=tilt, unit="deg", group="floor",
        limit=brief.feet.tilt, limit_kind="max", verdict=at_most(tilt, brief.feet.tilt),
        work=lambda: Working(
            formula="β = atan(s)", source="geometry",
            inputs=(given(brief, "floor.slope", "s"), given(brief, "feet.tilt", "β_max")),
            steps=(
                f"β = {tilt:.2f}°" if brief.feet.set == "levelled" else "β = 0°: as set down the stand leans with the floor",
            ),
            note="slope of the measured heights" if floor.measured else "",
        ),
    )  # fmt: skip


def _grip(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    slide = s.floor.slide
    worst = int(slide.argmax())
    ratio = float(slide[worst])
    anchored = brief.floor.anchor != "none"
    friction = given(brief, "feet.friction", "μ")
    case = s.cases[worst]
    normal = max(float(s.foot_loads[:, worst].sum()), 0.0)
    side = float(s.floor.side[worst])
    yield Figure(
        id="feet.slide", label="Sliding, sideways force over grip", value=ratio, unit="1", group="floor",
        limit=None if anchored else 1.0, limit_kind="" if anchored else "max",
        verdict=Verdict.NONE if anchored else look(at_most(ratio, 1.0)),
        note="held by its anchors" if anchored else case.label.lower() + (": the stand slides" if ratio > 1 else ""),
        work=lambda: Working(
            formula="η = H / (μ N)",
            inputs=(
                computed("H", f"sideways, {case.label.lower()}", side, "N"), friction,
                computed("N", "down on all feet", normal, "N"),
            ),
            steps=(f"η = {side:.0f} / ({brief.feet.friction:g} x {normal:.0f}) = {ratio:.2f}",),
            source="Coulomb friction; the coefficient is common practice for rubber or nylon on concrete, less on oil",
        ),
    )  # fmt: skip
    weight = float(s.foot_loads[:, 0].sum())
    grip = brief.feet.friction * weight
    tip = s.stability.feet.least_push
    yield Figure(
        id="feet.grip", label="Push that slides it", value=grip, unit="N", group="floor",
        note="it slides before it tips" if grip < tip else "it tips before it slides",
        work=lambda: Working(
            formula="F = μ N",
            inputs=(friction, computed("N", "standing", weight, "N")),
            steps=(f"F = {brief.feet.friction:g} x {weight:.0f} = {grip:.0f} N; at the work line {tip:.0f} N tip it",),
            source="Coulomb friction", note="on a hose, a mat's edge or a crack it trips instead: count on tipping",
        ),
    )  # fmt: skip
