"""Figures of what lies under the feet: slab, wooden floor, anchors."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures._judge import at_least, at_most, computed, given
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.strength._ground import CONCRETE, EDGE_DIAMETERS, PART_CONCRETE, ROOM_LOAD, SPACING_DIAMETERS, Anchors

CAUTION = "No certificate: what a floor bears is for the local code and a structural engineer to say."
ANCHOR_CAUTION = "No certificate: the anchor maker's sheet and the local code decide; drill clear of pipes, cables and edges."
SLAB_USUAL = 100.0  # a garage slab, 4 in
_WHEEL = "one wheel of a car, 2000 lbf on 4 1/2 in square: IRC table R301.5 note a, as WAC 51-51-0301"
_AXLE = "EN 1991-1-1 table 6.8 has axles of 10 to 20 kN for garages, from memory; ASCE 7 3000 lbf, from memory"
_ROOM = "EN 1991-1-1 table 6.2 category A, 2 to 3 kN on 50 mm square, from memory"


def ground_figures(answers: Answers) -> Iterator[Figure]:
    """Yield pressure, point and area load, slab, joists and anchors."""
    brief, g = answers.brief, answers.strength.floor.ground
    wood = brief.floor.kind == "wood"
    force = computed("F", "worst load of a foot", g.foot_force, "N")
    yield Figure(
        id="floor.pressure", label="Pressure under a foot", value=g.pressure, unit="MPa", group="floor",
        limit=g.pressure_limit, limit_kind="max", verdict=at_most(g.pressure, g.pressure_limit),
        note="spread it with a plate" if g.pressure > g.pressure_limit else "",
        work=lambda: Working(
            formula="p = 4 F / (π D²)", inputs=(force, given(brief, "feet.base", "D")),
            steps=(f"p = 4 x {g.foot_force:.0f} / (π x {brief.feet.base:g}²) = {g.pressure:.3f} MPa",),
            source="soft wood C16 across the grain for good, 2.2 x 0.6 / 1.3, EN 338 and EN 1995-1-1, from memory" if wood
            else "concrete C20/25, 20 / 1.5, EN 1992-1-1 3.1.6",
            note=CAUTION,
        ),
    )  # fmt: skip
    yield Figure(
        id="floor.foot_load", label="Heaviest foot beside a usual point load", value=g.foot_force / 1000, unit="kN",
        group="floor", limit=g.foot_limit / 1000, limit_kind="max", verdict=at_most(g.foot_force, g.foot_limit),
        work=lambda: Working(
            formula="F <= Q_k",
            inputs=(force, Input(symbol="Q_k", label="usual point load", value=g.foot_limit, unit="N", origin="table")),
            steps=(f"{g.foot_force / 1000:.2f} kN beside {g.foot_limit / 1000:.2f} kN",),
            source=_ROOM if wood else f"{_WHEEL}; {_AXLE}", note=CAUTION + " The codes' tables leave heavy equipment out.",
        ),
    )  # fmt: skip
    if wood or brief.floor.area_load > 0:
        yield _area(answers)
    if g.joists > 0:
        span, weight = brief.floor.joist_span / 1000, g.weight / 1000
        yield Figure(
            id="floor.joists", label="Bending of the joists beside their design load", value=g.joists, unit="1",
            group="floor", limit=1.0, limit_kind="max", verdict=at_most(g.joists, 1.0),
            note="stand it near a wall or a beam, across many joists" if g.joists > 1 else "",
            work=lambda: Working(
                formula="η = (W L / 4) / (q b L² / 8) = 2 W / (q b L)",
                inputs=(
                    computed("W", "stand and machine", g.weight, "N"),
                    _design_load(answers, "q"),
                    computed("b", "short side of the stand", g.joist_width, "m"),
                    given(brief, "floor.joist_span", "L"),
                ),
                steps=(f"η = 2 x {weight:.2f} / ({g.area_limit:g} x {g.joist_width:.3f} x {span:.2f}) = {g.joists:.2f}",),
                source="beam on two supports, the stand in the middle of the span as one point, its short side's joists alone",
                note=CAUTION,
            ),
        )  # fmt: skip
    if not wood and brief.floor.slab > 0:
        slab = brief.floor.slab
        yield Figure(
            id="floor.slab", label="Slab", value=slab, unit="mm", group="floor", limit=SLAB_USUAL, limit_kind="min",
            verdict=Verdict.GOOD if slab >= SLAB_USUAL else Verdict.LOOK,
            assumed=("floor.slab",) if "floor.slab" in brief.assumed else (),
            work=lambda: Working(
                formula="h >= 100 mm", inputs=(given(brief, "floor.slab", "h"),),
                steps=(f"{slab:.0f} mm beside the usual garage slab of {SLAB_USUAL:.0f} mm, 4 in",),
                source="common practice", note=CAUTION,
            ),
        )  # fmt: skip
    if g.anchors is not None:
        yield from _anchors(answers, g.anchors)


def _design_load(answers: Answers, symbol: str) -> Input:
    brief = answers.brief
    if brief.floor.area_load > 0:
        return given(brief, "floor.area_load", symbol)
    limit = answers.strength.floor.ground.area_limit
    return Input(symbol=symbol, label="floor's design load", value=limit, unit="kN/m2", origin="table", source="the usual one")


def _area(answers: Answers) -> Figure:
    g = answers.strength.floor.ground
    return Figure(
        id="floor.area_load", label="Load over the stand's own area", value=g.area_load, unit="kN/m2", group="floor",
        limit=g.area_limit, limit_kind="max", verdict=at_most(g.area_load, g.area_limit),
        work=lambda: Working(
            formula="q = W / (l b)",
            inputs=(
                computed("W", "stand and machine", g.weight, "N"),
                computed("l b", "area of the stand", g.footprint, "m2"),
                _design_load(answers, "q_k"),
            ),
            steps=(f"q = {g.weight / 1000:.2f} kN / {g.footprint:.3f} m2 = {g.area_load:.2f} kN/m2",),
            source=f"EN 1991-1-1 table 6.2 category A, {ROOM_LOAD:g} to 2.0 kN/m2, from memory; US rooms 40 psf, IRC R301.5",
            note=CAUTION + " A stand is a small load on a large floor: above the figure ask, do not guess.",
        ),
    )  # fmt: skip


def _anchors(answers: Answers, a: Anchors) -> Iterator[Figure]:
    brief = answers.brief
    slab = brief.floor.slab
    depth = Input(symbol="h_ef", label=f"depth of an {a.size} anchor", value=a.embedment, unit="mm", origin="table",
                  source="common practice, from memory")  # fmt: skip
    d = Input(symbol="d", label="anchor", value=a.diameter, unit="mm", origin="typed", key="floor.anchor")
    yield Figure(
        id="floor.anchor_pull", label="Pull on an anchor", value=a.worst, unit="N", group="floor",
        limit=a.cone, limit_kind="max", verdict=at_most(a.worst, a.cone),
        note=f"{a.foot}, {a.case}" if a.worst > 0 else "no case pulls",
        work=lambda: Working(
            formula="N <= k1 √f_ck h_ef^1.5 / γ",
            inputs=(
                computed("N", "pull of the worst foot, springs both ways", a.worst, "N"),
                depth, Input(symbol="f_ck", label="concrete taken", value=CONCRETE, unit="MPa", origin="assumed"),
            ),
            steps=(f"7.7 x √{CONCRETE:g} x {a.embedment:g}^1.5 / {PART_CONCRETE:g} = {a.cone:.0f} N far from edges, cracked",),
            source="EN 1992-4 7.2.1.4, k1 = 7.7, from memory", note=ANCHOR_CAUTION,
        ),
    )  # fmt: skip
    if slab > 0 and brief.floor.kind != "wood":
        yield Figure(
            id="floor.anchor_slab", label="Slab for the anchors", value=slab, unit="mm", group="floor",
            limit=a.slab_needed, limit_kind="min", verdict=at_least(slab, a.slab_needed),
            work=lambda: Working(
                formula="h >= 2 h_ef", inputs=(given(brief, "floor.slab", "h"), depth),
                steps=(f"2 x {a.embedment:g} = {a.slab_needed:.0f} mm beside {slab:.0f} mm",),
                source="common practice, from memory", note=ANCHOR_CAUTION,
            ),
        )  # fmt: skip
    yield Figure(
        id="floor.anchor_spacing", label="Nearest two anchors", value=a.least_spacing, unit="mm", group="floor",
        limit=a.spacing, limit_kind="min", verdict=at_least(a.least_spacing, a.spacing),
        work=lambda: Working(
            formula="s >= 10 d", inputs=(d,), source="common practice", note=ANCHOR_CAUTION,
            steps=(f"{SPACING_DIAMETERS:g} x {a.diameter:g} = {a.spacing:.0f} mm; one anchor beside each foot",),
        ),
    )  # fmt: skip
    yield Figure(
        id="floor.anchor_edge", label="Anchors stay off edges and joints by", value=a.edge, unit="mm", group="floor",
        work=lambda: Working(
            formula="c >= 5 d", inputs=(d,), source="common practice", note=ANCHOR_CAUTION,
            steps=(f"{EDGE_DIAMETERS:g} x {a.diameter:g} = {a.edge:.0f} mm",),
        ),
    )  # fmt: skip
