"""Screened stands are those of the full evaluation."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from framecore import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search.desk import Desk
from framecore.search.family import Families, Family, Fault
from framecore.search.screen import TOO_HIGH
from framecore.search.space import Space, space_of
from framecore.stand import Evaluator

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
SAME = 1e-9  # the same equations, solved in another order


def space_for(brief, vary=None) -> Space:
    return space_of(brief, build_frame(brief, working_height(brief).height), vary)


def family_of(brief, space, place) -> Family:
    _, family = Families(brief, space).of(place)
    assert isinstance(family, Family)
    return family


def brief_of(name):
    return load_brief(next(p for p in SAMPLES if p.stem == name))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_stands_with_everything_changed_answer_as_the_full_evaluation(path):
    """Every choice drawn at random, braces too; one row of arrays is held against a stand built and analysed whole."""
    brief = load_brief(path)
    space = space_for(brief)
    desk, evaluator, rng = Desk(brief, space, hours=False), Evaluator(), np.random.default_rng(11)
    stands, wholes = [space.present], [evaluator.evaluate(brief)]
    for _ in range(300):
        place = tuple(int(rng.integers(len(c.options))) for c in space.choices)
        try:
            wholes.append(evaluator.evaluate(space.brief_at(brief, place)))
        except Fault:
            continue
        stands.append(place)
        if len(stands) == 10:
            break
    assert len(stands) == 10
    found, drift = desk.look(stands)
    a = found.answers
    assert drift == 0.0
    for n, whole in enumerate(wholes):
        s = whole.strength
        for ours, theirs in ((a.sway_x, s.sway_x), (a.sway_y, s.sway_y), (a.twist, s.twist), (a.mass, whole.solids.mass)):
            assert ours[n] == pytest.approx(theirs, rel=SAME)
        if s.bed is not None:
            # Of mounts alike to six digits the full evaluation takes the first, the screening the least.
            assert a.bed[n] == pytest.approx(s.bed.share, rel=5e-6)
        assert found.cost_low[n] * (1 - SAME) <= whole.shop.cost <= found.cost[n] * (1 + SAME)
        assert not s.foot_open[:, 0].any() and a.rise[n] < 0
        high = a.hz[n] / s.modes_hz - 1
        assert (high > -1e-7).all() and (high < TOO_HIGH).all()


def test_products_and_roots_are_read_off_tables():
    """A brace's length is a root of the sizes of legs, rails and ring: sums alone are off, rows are not."""
    brief = brief_of("bench-lathe")
    space = space_for(brief, {
        "frame.sections.legs": None, "frame.sections.top_rails": None, "frame.lower_ring": None, "braces.back": ["diagonal"],
    })  # fmt: skip
    place = tuple(c.options.index("diagonal") if c.key == "braces.back" else len(c.options) - 1 for c in space.choices)
    family = family_of(brief, space, place)
    whole = family._build(place)
    assert not isinstance(whole, str)
    rows, alone = family.rows.rows(np.array([place]))
    assert not alone
    least = 1e-9 * np.abs(whole.row) + 1e-9
    assert (np.abs(rows[0] - whole.row) <= least).all()
    assert (np.abs(family.rows._sums(np.array([place]))[0] - whole.row) > 1e-6).any()


def test_options_that_change_the_joints_only_together_are_found():
    """A deep lower rail on a low ring has no room for its own joint: such stands are built whole."""
    brief = brief_of("drill-press")
    space = space_for(brief)
    family = family_of(brief, space, space.present)
    other = []
    rng = np.random.default_rng(2)
    fixed = {i for i, c in enumerate(space.choices) if c.key.startswith("braces.")}
    for _ in range(60):
        drawn = [int(rng.integers(len(c.options))) for c in space.choices]
        place = tuple(p if i in fixed else k for i, (k, p) in enumerate(zip(drawn, space.present, strict=True)))
        whole = family._build(place)
        if not isinstance(whole, str) and not whole.shape.same(family.rows.base.shape):
            other.append(place)
    assert other
    _, alone = family.rows.rows(np.array(other))
    assert len(alone) == len(other)


def test_a_stand_that_cannot_be_built_costs_infinitely_much():
    brief = brief_of("bench-lathe")
    space = space_for(brief, {"frame.lower_ring": [200, 700], "frame.sections.legs": None})
    desk = Desk(brief, space, hours=False)
    places = list(space)
    found, _ = desk.look(places)
    for place, cost in zip(places, found.cost, strict=True):
        if np.isinf(cost):
            with pytest.raises(Fault):
                Evaluator().evaluate(space.brief_at(brief, place))
