"""Whole stands from every sample."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.errors import LayoutError, Severity
from framecore.stand import Evaluator, evaluate

SAMPLES = sorted(Path(__file__).parents[3].joinpath("samples").glob("*.toml"))
NEEDED = {
    "height.stand", "height.work_line", "height.elbow_gap", "mass.frame", "mass.total", "steel.pieces", "steel.bars",
    "steel.yield", "steel.cost", "steel.mass", "sway.stiffness_x", "sway.stiffness_y", "twist.stiffness", "modes.1",
    "modes.6", "members.utilisation", "buckling.factor", "tipping.force.front", "tipping.angle.left", "feet.load.FL",
    "paint.area",
}  # fmt: skip


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_sample_gives_a_buildable_stand_with_its_figures(path):
    stand = evaluate(load_brief(path))
    assert stand.buildable
    assert set(stand.figures) >= NEEDED
    assert all(f.working.steps and f.working.source for f in stand.figures.values())
    assert all(plan.proven for _, plan in stand.shop.plans)


def test_a_kept_evaluator_answers_as_a_fresh_one():
    brief = load_brief(SAMPLES[0])
    kept = Evaluator()
    kept.evaluate(replace(brief, frame=replace(brief.frame, height=790.0)))
    again = kept.evaluate(replace(brief, frame=replace(brief.frame, height=850.0)))
    fresh = evaluate(replace(brief, frame=replace(brief.frame, height=850.0)))
    for key, figure in fresh.figures.items():
        assert again.figures[key].value == pytest.approx(figure.value, rel=1e-6), key


def test_an_impossible_stand_raises_with_the_cure():
    brief = load_brief(SAMPLES[0])
    with pytest.raises(LayoutError, match="lower it to") as caught:
        evaluate(replace(brief, frame=replace(brief.frame, lower_ring=1200.0)))
    assert all(f.severity is Severity.STOP for f in caught.value.findings)


def test_a_push_that_lifts_a_foot_is_told():
    brief = load_brief(next(p for p in SAMPLES if p.stem == "drill-press"))
    stand = evaluate(replace(brief, limits=replace(brief.limits, push=600.0)))
    assert any(f.code == "standing.lifts" and f.severity is Severity.LOOK for f in stand.findings)
