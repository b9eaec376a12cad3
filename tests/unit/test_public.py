"""The names that scripts start with."""

from __future__ import annotations

from pathlib import Path

import pytest

import framecore

SAMPLE = Path(__file__).parents[2] / "samples" / "bench-lathe.toml"


def test_three_lines_give_a_figure():
    from framecore import evaluate, load_brief

    stand = evaluate(load_brief(SAMPLE))
    assert stand.figures["mass.frame"].value > 0


def test_public_names():
    assert framecore.__all__ == ["evaluate", "load_brief"]
    with pytest.raises(AttributeError, match="no attribute 'solve'"):
        _ = framecore.solve


def test_cut_plans_stand_alone():
    from framecore.cutting import Bar, Piece, plan_cuts

    plan = plan_cuts([Piece(mark="a", length=900, count=6)], [Bar(name="6 m", length=6000, price=60)], kerf=2)
    assert plan.proven and plan.cost == plan.lower_bound == 60
