"""Whole stands from every sample."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
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


CHANGES = {
    "height": {"height": 850.0},
    "length": {"length": 1350.0},
    "depth": {"depth": 640.0},
    "lower ring": {"lower_ring": 300.0},
}


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_kept_evaluator_answers_as_a_fresh_one(sample, change):
    """Whatever is kept between evaluations belongs to the topology alone, not to sizes."""
    brief = load_brief(sample)
    kept = Evaluator()
    kept.evaluate(brief)
    # A new length or depth must hold the machine: grow by what the change adds to an ordinary stand.
    ((key, value),) = change.items()
    usual = {"length": 1200.0, "depth": 520.0}
    if key in usual:
        value = getattr(brief.frame, key) + value - usual[key]
    changed = replace(brief, frame=replace(brief.frame, **{key: value}))
    again, fresh = kept.evaluate(changed), evaluate(changed)
    np.testing.assert_allclose(again.solids.vertices, fresh.solids.vertices, atol=1e-9)
    assert list(again.figures) == list(fresh.figures)
    for key, figure in fresh.figures.items():
        assert again.figures[key].value == pytest.approx(figure.value, rel=1e-5), key


@pytest.mark.parametrize("part", [{"top": {"overhang": 120.0}}, {"feet": {"pad": 90.0}}, {"feet": {"base": 80.0}}])
def test_plates_and_feet_follow_their_sizes(part):
    brief = load_brief(next(p for p in SAMPLES if p.stem == "workbench"))
    kept = Evaluator()
    kept.evaluate(brief)
    ((section, keys),) = part.items()
    changed = replace(brief, **{section: replace(getattr(brief, section), **keys)})
    again, fresh = kept.evaluate(changed), evaluate(changed)
    np.testing.assert_allclose(again.solids.vertices, fresh.solids.vertices, atol=1e-9)
    assert again.solids.mass == pytest.approx(fresh.solids.mass, rel=1e-12)


def test_an_impossible_stand_raises_with_the_cure():
    brief = load_brief(next(p for p in SAMPLES if p.stem == "bench-lathe"))
    with pytest.raises(LayoutError, match="lower it to") as caught:
        evaluate(replace(brief, frame=replace(brief.frame, lower_ring=1200.0)))
    assert all(f.severity is Severity.STOP for f in caught.value.findings)


def test_a_push_that_lifts_a_foot_is_told():
    brief = load_brief(next(p for p in SAMPLES if p.stem == "drill-press"))
    pushed = [evaluate(replace(brief, limits=replace(brief.limits, push=p))) for p in (100.0, 300.0, 2000.0)]
    told = [{f.code for f in s.findings if f.severity is Severity.LOOK} for s in pushed]
    assert "standing.tips" in told[2] and "standing.tips" not in told[0]
    assert [bool(s.strength.tips.any()) for s in pushed] == ["standing.tips" in t for t in told]
    assert [bool(s.strength.foot_open[:, :5].any()) for s in pushed] == ["standing.lifts" in t for t in told]
