"""Figures of tipping: to each side, in every direction, on casters, and the machine loose on its mounts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_least, computed, given, look
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.strength._base import Base, Edge
from framecore.strength._casters import BUMP, OnCasters
from framecore.strength._stability import SIDES, way_word

STATICS = "statics of a rigid stand"
CAUTION = "No certificate: people stand beside it. Keep to the machine's manual and local rules; hold what may go over."
_ROUND = tuple(
    (side, (math.cos(n * math.pi / 4), math.sin(n * math.pi / 4))) for n, side in enumerate(SIDES)
)  # fmt: skip


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the pushes and tilts that tip the stand."""
    yield from _sides(answers)
    yield from _round(answers)
    yield from _loose(answers)
    casters = answers.strength.stability.casters
    if casters is not None:
        yield from _casters(answers, casters)


def _limit(answers: Answers, value: float, limit: float) -> tuple[float | None, str, Verdict]:
    """Return limit, its kind and the verdict; anchors hold what would tip, so that a free stand's limit falls away."""
    if answers.brief.floor.anchor != "none":
        return None, "", Verdict.NONE
    return limit, "min", at_least(value, limit)


def _sides(answers: Answers) -> Iterator[Figure]:
    brief, s = answers.brief, answers.strength
    free = "" if brief.floor.anchor == "none" else "if its anchors let go"
    for side in s.tipping:
        lever = computed("d", "centre of mass to the edge of the feet", side.lever, "mm")
        limit, kind, verdict = _limit(answers, side.force, brief.limits.tipping_force)
        yield Figure(
            id=f"tipping.force.{side.side}", label=f"Push that tips it to the {side.side}", value=side.force, unit="N",
            group="standing", limit=limit, limit_kind=kind, verdict=verdict, note=free,
            work=partial(lambda side, lever: Working(
                formula="F = m g d / h",
                inputs=(
                    computed("m", "all that stands on the feet", side.mass, "kg"), lever,
                    computed("h", "height of the push", side.height, "mm"),
                ),
                steps=(f"F = {side.mass:.1f} x 9.807 x {side.lever:.1f} / {side.height:.1f} = {side.force:.0f} N",),
                source=STATICS, note=CAUTION,
            ), side, lever),
        )  # fmt: skip
        tilt = math.degrees(side.angle)
        limit, kind, verdict = _limit(answers, tilt, brief.limits.tipping_angle)
        yield Figure(
            id=f"tipping.angle.{side.side}", label=f"Tilt that tips it to the {side.side}", value=tilt, unit="deg",
            group="standing", limit=limit, limit_kind=kind, verdict=verdict, note=free,
            work=partial(lambda lever, side, tilt: Working(
                formula="α = atan(d / z)", source=STATICS, note=CAUTION,
                inputs=(lever, computed("z", "height of the centre of mass", side.centre_height, "mm")),
                steps=(f"α = atan({side.lever:.1f} / {side.centre_height:.1f}) = {tilt:.1f}°",),
            ), lever, side, tilt),
        )  # fmt: skip


def _state(names: tuple[str, ...]) -> str:
    return ", ".join(names) or "every load where it usually is"


def _push_working(base: Base, edge: Edge, way: tuple[float, float], push: float, where: str) -> Working:
    moment, facing = edge.moment, edge.facing(way)
    (ax, ay), (bx, by) = edge.start, edge.end
    return Working(
        formula="F = M / (h cos ψ), M = Σ m g d with each load at its worst",
        inputs=(
            computed("M", "moment that holds it on this edge", moment / 1000, "N m"),
            computed("h", "height of the push", base.height, "mm"),
            computed("cos ψ", "push against the edge's normal", facing, "1"),
        ),
        steps=(
            f"over the edge from ({ax:.0f}, {ay:.0f}) to ({bx:.0f}, {by:.0f}) mm, {_state(edge.names)}",
            f"F = {moment:.0f} / ({base.height:.0f} x {facing:.3f}) = {push:.0f} N {where}"
            if push > 0 else "it goes over by itself: nothing holds it on this edge",
        ),
        source=STATICS + "; exact for each edge and the ends of each travel", note=CAUTION,
    )  # fmt: skip


def _round(answers: Answers) -> Iterator[Figure]:
    brief, st = answers.brief, answers.strength.stability
    base, limits = st.feet, brief.limits
    for side, way in _ROUND:
        push, edge = base.push(way)
        limit, kind, verdict = _limit(answers, push, limits.tipping_force)
        yield Figure(
            id=f"stability.push.{side.replace(' ', '_')}", label=f"Push to the {side} that tips it, loads at their worst",
            value=push, unit="N", group="standing", limit=limit, limit_kind=kind, verdict=verdict,
            note=", ".join(edge.names),
            work=partial(lambda edge, way, push: _push_working(base, edge, way, push, "at the work line"), edge, way, push),
        )  # fmt: skip
    edge, push = base.weakest, base.least_push
    where = ", ".join((f"to the {way_word(edge)}", *edge.names))
    limit, kind, verdict = _limit(answers, push, limits.tipping_force)
    yield Figure(
        id="stability.worst", label="Least push that tips it, whatever side", value=push, unit="N", group="standing",
        limit=limit, limit_kind=kind, verdict=verdict, note=where,
        work=lambda: _push_working(base, edge, edge.normal, push, "at the work line"),
    )  # fmt: skip
    limit, kind, verdict = _limit(answers, st.top_push, limits.tipping_force)
    verdict = look(verdict)  # the limit is one for the work line
    yield Figure(
        id="stability.top", label="Least push that tips it, at its highest point", value=st.top_push, unit="N",
        group="standing", limit=limit, limit_kind=kind, verdict=verdict,
        work=lambda: Working(
            formula="F_top = F h / h_top", source=STATICS, note=CAUTION,
            inputs=(
                computed("F", "least push at the work line", push, "N"),
                computed("h", "work line", base.height, "mm"),
                computed("h_top", "top of machine or stand", st.top, "mm"),
            ),
            steps=(f"F_top = {push:.0f} x {base.height:.0f} / {st.top:.0f} = {st.top_push:.0f} N",),
        ),
    )  # fmt: skip
    tilt, lean = math.degrees(base.least_tilt), math.degrees(st.slope)
    left, state = tilt - lean, _state(base.leaning.tilt_names)
    limit, kind, verdict = _limit(answers, left, limits.tipping_angle)
    yield Figure(
        id="stability.slope", label="Least tilt that tips it, floor's slope taken off", value=left, unit="deg",
        group="standing", limit=limit, limit_kind=kind, verdict=verdict, note=state,
        work=lambda: Working(
            formula="tan α = M / Σ m g z, α - β",
            inputs=(
                computed("α", "tilt at which it goes over", tilt, "deg"),
                computed("β", "lean of the stand as it stands", lean, "deg"),
            ),
            steps=(
                f"{tilt:.1f} - {lean:.1f} = {left:.1f}°, {state}",
                "levelled feet take the floor's slope away" if not lean else "as set down it leans with the floor",
            ),
            source=STATICS, note=CAUTION,
        ),
    )  # fmt: skip
    if st.cutting_push is not None:
        cut = st.cutting_push
        anchored = brief.floor.anchor != "none"
        good = Verdict.GOOD if cut >= limits.tipping_force else Verdict.LOOK
        yield Figure(
            id="stability.cutting", label="Push that tips it while it cuts", value=cut, unit="N", group="standing",
            limit=None if anchored else limits.tipping_force, limit_kind="" if anchored else "min",
            verdict=Verdict.NONE if anchored else good,
            work=lambda: Working(
                formula="F = (M + F_c/√2 a - F_c/√2 h n_y) / h", source=STATICS,
                inputs=(
                    given(brief, "machine.cutting_force", "F_c"),
                    computed("h", "work line", base.height, "mm"),
                ),
                steps=(
                    f"least over the edges: F = {cut:.0f} N; the cut presses away from the operator and down in equal parts",
                ),
                note=f"the safe side: where one machine holds tool and work the cut closes inside it. {CAUTION}",
            ),
        )  # fmt: skip


def _loose(answers: Answers) -> Iterator[Figure]:
    st, limits = answers.strength.stability, answers.brief.limits
    base = st.machine
    if base is None:
        return
    hold = st.holds[0]
    edge, push = base.weakest, base.least_push
    bolted = any(m.hole for m in answers.frame.mounts)
    yield Figure(
        id="stability.machine_push", value=push, unit="N", group="standing",
        label="Push that tips the unbolted machine" if bolted else "Push that tips the machine as it rests",
        limit=limits.tipping_force, limit_kind="min", verdict=look(at_least(push, limits.tipping_force)), note=hold,
        work=lambda: _push_working(base, edge, edge.normal, push, "at its work line, on its mounts"),
    )  # fmt: skip
    tilt, edge = math.degrees(base.least_tilt), base.leaning
    state = _state(edge.tilt_names)
    yield Figure(
        id="stability.machine_angle", value=tilt, unit="deg", group="standing",
        label="Tilt that tips the unbolted machine" if bolted else "Tilt that tips the machine as it rests",
        limit=limits.tipping_angle, limit_kind="min", verdict=look(at_least(tilt, limits.tipping_angle)), note=state,
        work=lambda: Working(
            formula="tan α = M / Σ m g z",
            inputs=(computed("M", "moment that holds it on this edge", edge.moment / 1000, "N m"),),
            steps=(f"α = {tilt:.1f}° over its mounts, {state}",), source=STATICS, note=f"{hold} {CAUTION}",
        ),
    )  # fmt: skip


def _casters(answers: Answers, c: OnCasters) -> Iterator[Figure]:
    st, limits = answers.strength.stability, answers.brief.limits
    hold = st.holds[-1]
    if c.base is None:
        weight = computed("W", "stand and machine", st.weight, "N")
        yield Figure(
            id="stability.casters_lift", label="Lift at the far feet, on two casters", value=c.lift, unit="N", group="standing",
            note=hold,
            work=lambda: Working(
                formula="F = W a / l", source=STATICS, note=CAUTION,
                inputs=(weight, computed("l", "casters to the far feet", c.lever, "mm")),
                steps=(f"F = {c.lift:.0f} N, every load at its end farthest from the casters",),
            ),
        )  # fmt: skip
        return
    base = c.base
    edge, push = base.weakest, base.least_push
    yield Figure(
        id="stability.casters_push", label="Push that tips it on its casters", value=push, unit="N", group="standing",
        limit=limits.tipping_force, limit_kind="min", verdict=at_least(push, limits.tipping_force), note=hold,
        work=lambda: _push_working(base, edge, edge.normal, push, "at the work line, on the casters"),
    )  # fmt: skip
    tilt, grade = math.degrees(base.least_tilt), math.degrees(c.grade)
    yield Figure(
        id="stability.casters_angle", label="Tilt that tips it on its casters, floor's slope taken off", value=tilt - grade,
        unit="deg", group="standing", limit=limits.tipping_angle, limit_kind="min",
        verdict=at_least(tilt - grade, limits.tipping_angle),
        work=lambda: Working(
            formula="tan α = M / Σ m g z, α - β", source=STATICS, note=CAUTION,
            inputs=(
                computed("α", "tilt at which it goes over", tilt, "deg"),
                computed("β", "slope of the floor", grade, "deg"),
            ),
            steps=(f"{tilt:.1f} - {grade:.1f} = {tilt - grade:.1f}°; {c.roll:.0f} N hold it from rolling down",),
        ),
    )  # fmt: skip
    yield Figure(
        id="stability.casters_height", label=f"Highest push that takes it over a {BUMP:.0f} mm bump", value=c.push_height,
        unit="mm", group="standing", note=hold,
        work=lambda: Working(
            formula="h = r + d / tan φ, tan φ = √(2 r b - b²) / (r - b)",
            inputs=(
                computed("r", "wheel's radius", c.wheel, "mm"),
                Input(symbol="b", label="bump", value=BUMP, unit="mm", origin="assumed"),
                computed("d", "centre to the stopped wheels, on the slope", c.lever_to_edge, "mm"),
            ),
            steps=(
                f"tan φ = {c.climb:.3f}, h = {c.wheel:.1f} + {c.lever_to_edge:.1f} / {c.climb:.3f} = {c.push_height:.0f} mm"
                if math.isfinite(c.climb) else f"the wheel does not climb: h = r = {c.wheel:.1f} mm",
            ),
            source=STATICS + ", slow push, moments about the other wheels", note="Push low, never at the top. " + CAUTION,
        ),
    )  # fmt: skip
