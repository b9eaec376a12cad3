"""Figures of the analysis: ids, verdicts, arithmetic that comes out."""

from __future__ import annotations

from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.figures._judge import at_least, at_most
from framecore.figures.model import Verdict
from framecore.stand import evaluate

SAMPLE = Path(__file__).parents[3] / "samples" / "bench-lathe.toml"


def test_figures_of_the_lathe_stand():
    brief = load_brief(SAMPLE)
    stand = evaluate(brief)
    strength, figures = stand.strength, stand.figures
    assert {"sway.stiffness_x", "twist.stiffness", "modes.1", "tipping.force.front", "feet.load.FL"} <= set(figures)
    side = figures["tipping.force.front"]
    m, d, h = (i.value for i in side.working.inputs)
    assert side.value == pytest.approx(m * 9.80665 * d / h)
    total = sum(f.value for k, f in figures.items() if k.startswith("feet.load."))
    assert total == pytest.approx(
        strength.total_mass * 9.80665, rel=0.005
    )  # a foot's disc is in the mass, its stud in the model


def test_verdicts():
    assert [at_least(v, 100) for v in (100, 85, 79)] == [Verdict.GOOD, Verdict.LOOK, Verdict.STOP]
    assert [at_most(v, 100) for v in (100, 120, 126)] == [Verdict.GOOD, Verdict.LOOK, Verdict.STOP]
