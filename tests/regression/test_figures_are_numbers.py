"""Briefs that once gave a figure without a number."""

from __future__ import annotations

import math

import pytest

from framecore.brief import read_brief
from framecore.stand import evaluate
from tests.unit.stand.random_briefs import random_reading


@pytest.mark.parametrize("seed", [225, 826, 1450])
def test_a_hollow_screw_without_a_wall_says_stop_and_no_infinite_stress(seed):
    stand = evaluate(random_reading(seed).brief)
    assert {f.id for f in stand.figures.values() if not math.isfinite(f.value)} == set()
    assert any("wall under the thread" in f.message for f in stand.findings)


def test_a_screw_with_a_wall_has_its_stress():
    text = 'format = 1\n[machine]\nbolt = "M10"\nholes = [[0, 0], [400, 0], [0, 200], [400, 200]]\n[mounting]\n'
    stand = evaluate(read_brief(text + 'seating = "hollow jacking screws"\nscrew = "M20"\n').brief)
    assert 0 < stand.figures["jack.stress"].value < math.inf
