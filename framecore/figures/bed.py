"""Figures of bed and stand: how far the bed is twisted, and what a jack turn does to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_least, at_most, given
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.strength import PER_METRE, BedShare

SOURCE = "3D frame analysis by the direct stiffness method; computed"
BETTI = "Maxwell and Betti: the bed's twist for 1 mm at a jack or foot is what a unit couple on the bed does there; computed"
SERIES = "two springs in series: stand and bed share the turn; statics"
_DEGREE = math.pi / 180 / 1000  # N mm/rad -> N m/deg
# Set down: over when the hoist is gone. Low spot: what the feet are turned down for before the bed is levelled.
_PASSING = frozenset({"set down", "low spot"})
_ASSUMED = ("machine.bed_i", "machine.bed_j")


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the bed's twist in every case, the share of a jack turn, and the stiffnesses; nothing without a bed."""
    bed = answers.strength.bed
    if bed is None:
        return
    assumed = tuple(k for k in _ASSUMED if k in answers.brief.assumed)
    yield from _twists(answers, bed, assumed)
    yield _share(answers, bed, assumed)
    yield from _stiffnesses(answers, bed, assumed)
    yield _floor(answers, bed, assumed)
    if bed.other is not None:
        yield _rails(bed, assumed)


def _bed_inputs(answers: Answers, bed: BedShare) -> tuple[Input, ...]:
    typed = answers.brief.machine.bed_j > 0
    key = "machine.bed_j" if typed or "machine.bed_j" in answers.brief.assumed else ""
    return (
        Input(symbol="G J", label="torsional stiffness of the bed", value=bed.gj, unit="N mm2",
              origin="typed" if typed else "assumed", key=key,
              source="cast iron, G 44 GPa" + ("" if typed else "; a box of typical size for its span")),
        Input(symbol="L", label="bed between its end feet", value=bed.length, unit="mm", origin="computed"),
    )  # fmt: skip


def _twists(answers: Answers, bed: BedShare, assumed: tuple[str, ...]) -> Iterator[Figure]:
    limit = answers.brief.limits.bed_twist
    standing = float(bed.twist[0]) * PER_METRE
    for case, turn in zip(answers.strength.cases, bed.twist.tolist(), strict=True):
        value = abs(turn) * PER_METRE
        judged = case.id not in _PASSING
        yield Figure(
            id=f"bed.twist.{case.id.replace(' ', '_')}", label=f"Bed twist, {case.label.lower()}", value=value, unit="mm/m",
            group="bed", limit=limit if judged else None, limit_kind="max" if judged else "",
            verdict=at_most(value, limit) if judged else Verdict.NONE, assumed=assumed,
            note="Standing twist is levelled out at the jacks; what changes after that shows in the work."
            if case.id == "self weight" else case.text,
            work=partial(lambda turn, value: Working(
                formula="twist = |φ right - φ left|", source=SOURCE, inputs=_bed_inputs(answers, bed),
                steps=(
                    f"one end rolled against the other by {turn:.3e} rad = {value:.4f} mm/m on a level across the bed",
                    f"per metre of bed: {value / bed.length * 1000:.4f} mm/m",
                    f"standing alone {abs(standing):.4f} mm/m, change against that {turn * PER_METRE - standing:+.4f} mm/m",
                ),
            ), turn, value),
        )  # fmt: skip


def _share(answers: Answers, bed: BedShare, assumed: tuple[str, ...]) -> Figure:
    limit = answers.brief.limits.jack_share
    name = answers.frame.mounts[bed.worst].name
    real, rigid = abs(float(bed.per_jack[bed.worst])) * PER_METRE, abs(float(bed.rigid[bed.worst])) * PER_METRE
    stand, own = bed.stand_stiffness * _DEGREE, bed.bed_stiffness * _DEGREE
    return Figure(
        id="bed.jack_share", label="Jack turn that reaches the bed", value=bed.share, unit="1", group="bed",
        limit=limit, limit_kind="min", verdict=at_least(bed.share, limit), assumed=assumed,
        note=f"{name}; the rest twists the stand",
        work=lambda: Working(
            formula="η = twist on this stand / twist on a rigid one = k_stand / (k_stand + k_bed)", source=BETTI,
            inputs=(
                Input(symbol="k_stand", label="stand against twisting of its mounts", value=stand, unit="N m/deg",
                      origin="computed"),
                Input(symbol="k_bed", label="bed with its feet and screws", value=own, unit="N m/deg", origin="computed"),
                *_bed_inputs(answers, bed),
            ),
            steps=(
                f"1 mm at {name} twists the bed by {real:.4f} mm/m here and by {rigid:.4f} mm/m on a stand that gives nothing",
                f"η = {real:.4f} / {rigid:.4f} = {bed.share:.3f}",
                f"η = {stand:.4g} / ({stand:.4g} + {own:.4g}) = {bed.share:.3f}",
                f"to twist the bed by 0.1 mm/m turn out {0.1 / real:.3f} mm" if real > 0 else "no twist reaches the bed",
            ),
        ),
    )  # fmt: skip


def _stiffnesses(answers: Answers, bed: BedShare, assumed: tuple[str, ...]) -> Iterator[Figure]:
    own, stand = bed.bed_stiffness * _DEGREE, bed.stand_stiffness * _DEGREE
    alone = bed.gj / bed.length * _DEGREE
    yield Figure(
        id="bed.stiffness", label="Bed against twist", value=own, unit="N m/deg", group="bed", assumed=assumed,
        note="with its feet and screws, on a stand that gives nothing",
        work=lambda: Working(
            formula="k_bed = N b²", source=SOURCE,
            inputs=(
                Input(symbol="N", label="force of a jack for 1 mm, stand held", value=bed.bed_stiffness / bed.row**2,
                      unit="N/mm", origin="computed"),
                Input(symbol="b", label="feet front to back", value=bed.row, unit="mm", origin="computed"),
                *_bed_inputs(answers, bed),
            ),
            steps=(
                f"k_bed = {bed.bed_stiffness / bed.row**2:.4g} N/mm x ({bed.row:.4g} mm)² = {bed.bed_stiffness:.4g} N mm/rad "
                f"= {own:.4g} N m/deg",
                f"the bed alone, G J / L = {bed.gj:.4g} / {bed.length:.4g} = {alone:.4g} N m/deg",
            ),
        ),
    )  # fmt: skip
    yield Figure(
        id="bed.stand_stiffness", label="Stand against twist of the bed", value=stand, unit="N m/deg", group="bed",
        assumed=assumed, note=f"{stand / own:.2g} times the bed's" if math.isfinite(stand) else "",
        work=lambda: Working(
            formula="k_stand = k_bed η / (1 - η)", source=SERIES,
            inputs=(
                Input(symbol="k_bed", label="bed with its feet and screws", value=own, unit="N m/deg", origin="computed"),
                Input(symbol="η", label="share of a jack turn", value=bed.share, unit="1", origin="computed"),
            ),
            steps=(f"k_stand = {own:.4g} N m/deg x {bed.share:.4f} / (1 - {bed.share:.4f}) = {stand:.4g} N m/deg",),
            note="A stand as stiff as the bed passes half of every jack turn on, one five times as stiff five sixths.",
        ),
    )  # fmt: skip


def _floor(answers: Answers, bed: BedShare, assumed: tuple[str, ...]) -> Figure:
    turns = [abs(v) * PER_METRE for v in bed.per_foot.tolist()]
    worst = max(range(len(turns)), key=turns.__getitem__)
    name, value, uneven = answers.strength.foot_names[worst], turns[worst], answers.brief.floor.flatness
    return Figure(
        id="bed.floor_twist", label="Bed twist for 1 mm under a foot", value=value, unit="mm/m", group="bed",
        assumed=assumed, note=name,
        work=lambda: Working(
            formula="twist = k u", source=BETTI,
            inputs=(given(answers.brief, "floor.flatness", "e"), *_bed_inputs(answers, bed)),
            steps=(
                *(f"{f}: {t:.4f} mm/m for 1 mm" for f, t in zip(answers.strength.foot_names, turns, strict=True)),
                f"the floor's {uneven:g} mm under {name}, all feet pressed on it: {value * uneven:.4f} mm/m",
            ),
            note="A foot turned, or a floor that settles, twists the bed through the stand. Level again after moving.",
        ),
    )  # fmt: skip


def _rails(bed: BedShare, assumed: tuple[str, ...]) -> Figure:
    other = bed.other
    assert other is not None
    more = other.j / other.j_other
    words = f"{more:.0f} times" if more >= 1 else f"1/{1 / more:.0f}"
    return Figure(
        id="bed.if_angle", label=f"Jack turn that reaches the bed, rails of {'angle' if more >= 1 else 'tube'}",
        value=other.share,
        unit="1", group="bed", assumed=assumed,
        note=f"{other.profile} has {words} the torsion constant of {other.other} at like mass",
        work=lambda: Working(
            formula="closed: J = 4 A² t / s, open: J = Σ b t³ / 3",
            source="torsion constants of the catalogue; Saint-Venant, Bredt",
            inputs=(
                Input(symbol="J", label=other.profile, value=other.j, unit="mm4", origin="table"),
                Input(symbol="J'", label=other.other, value=other.j_other, unit="mm4", origin="table"),
            ),
            steps=(
                f"{other.profile}, {other.mass:.2f} kg/m: J = {other.j:.4g} mm4",
                f"{other.other}, {other.mass_other:.2f} kg/m: J' = {other.j_other:.4g} mm4",
                f"J / J' = {more:.3g}",
                f"share of a jack turn: {bed.share:.3f} as it is, {other.share:.3f} with every top rail, bearer and box beam "
                "turned less stiffly by its own J / J' and bending as before",
            ),
            note="Where the share hardly falls, the rails' torsion is not what holds the bed.",
        ),
    )  # fmt: skip
