"""Screened stands are those of the full evaluation."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search.family import Families, Family
from framecore.search.space import Space, space_of
from framecore.stand import Evaluator

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
# Sums of single changes are exact where every size adds up; where something leans or is cut to meet, they are near.
NEAR = {"bench-lathe-trestle": 2e-3, "long-lathe-pedestals": 5e-3, "surface-plate": 5e-3}


def space_for(brief, vary=None) -> Space:
    return space_of(brief, build_frame(brief, working_height(brief).height), vary)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_present_stand_answers_as_the_full_evaluation(path):
    brief = load_brief(path)
    space = space_for(brief)
    _, family = Families(brief, space).of(space.present)
    assert isinstance(family, Family)
    found = family.look(np.array([space.present]))
    stand = Evaluator().evaluate(brief)
    s, a = stand.strength, found.answers
    for ours, theirs in (
        (a.sway_x, s.sway_x), (a.sway_y, s.sway_y), (a.twist, s.twist), (a.first, s.modes_hz[0]),
        (a.mass, stand.solids.mass), (found.cost, stand.shop.cost),
    ):  # fmt: skip
        assert ours[0] == pytest.approx(theirs, rel=1e-9)
    if s.bed is not None:
        assert a.bed[0] == pytest.approx(s.bed.share, rel=1e-9)
    assert found.cost_low[0] <= stand.shop.cost * (1 + 1e-12)
    if len(s.mount_sag):
        assert a.sag[0] == pytest.approx(s.mount_sag.max(), rel=0.02)  # weight between joints is left out


@pytest.mark.parametrize("name", ["bench-lathe", "bench-mill", "surface-plate", "long-lathe-pedestals", "drill-press"])
def test_changed_stands_answer_as_the_full_evaluation(name):
    brief = load_brief(next(p for p in SAMPLES if p.stem == name))
    space = space_for(brief)
    families, evaluator, rng = Families(brief, space), Evaluator(), np.random.default_rng(5)
    seen = 0
    for _ in range(40):
        stand = tuple(int(rng.integers(len(c.options))) for c in space.choices)
        family = families.of(space.present)[1]
        fixed = {i for i, c in enumerate(space.choices) if c.key.startswith("braces.")}
        stand = tuple(p if i in fixed else k for i, (k, p) in enumerate(zip(stand, space.present, strict=True)))
        assert isinstance(family, Family)
        if any((i, k) in family.odd for i, k in enumerate(stand)):
            continue
        try:
            whole = evaluator.evaluate(space.brief_at(brief, stand))
        except ValueError:
            continue
        found, s = family.look(np.array([stand])), whole.strength
        bound = NEAR.get(name, 1e-8)
        a = found.answers
        for ours, theirs in ((a.sway_x, s.sway_x), (a.sway_y, s.sway_y), (a.twist, s.twist), (a.mass, whole.solids.mass)):
            assert ours[0] == pytest.approx(theirs, rel=bound)
        assert a.first[0] == pytest.approx(s.modes_hz[0], rel=0.01)  # lumped mass
        if s.bed is not None:
            # of mounts alike to six digits the full one takes the first
            assert a.bed[0] == pytest.approx(s.bed.share, rel=bound, abs=1e-6)
        assert found.cost_low[0] * (1 - bound) <= whole.shop.cost <= found.cost[0] * (1 + bound)
        seen += 1
        if seen == 5:
            return
    pytest.fail("too few stands of the family can be built")


def test_a_braced_family_says_how_near_its_sums_are():
    brief = load_brief(next(p for p in SAMPLES if p.stem == "bench-lathe"))
    brief = replace(brief, braces=replace(brief.braces, back="diagonal"))
    space = space_for(brief, {"frame.sections.legs": None, "frame.sections.top_rails": None, "frame.lower_ring": None})
    _, family = Families(brief, space).of(space.present)
    assert isinstance(family, Family)
    assert 1e-9 < family.drift < 0.05
