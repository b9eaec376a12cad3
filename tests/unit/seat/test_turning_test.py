"""The two-collar test: sign, bending, interval, and what cannot have been measured."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.errors import UnitError
from framecore.seat.turning_test import STEEL_E, TurningTest, answer, bar_bending, taper_of_twist

TEST = TurningTest(near=25.0, free=25.02, between=75.0, overhang=100.0, bar=25.0, within=0.0, force=0.0)


def test_free_end_large_is_positive_twist_and_small_is_negative():
    large = answer(TEST, 880.0, (200.0, 200.0))
    small = answer(replace(TEST, free=24.98), 880.0, (200.0, 200.0))
    assert large.twist > 0 and small.twist == pytest.approx(-large.twist)


def test_there_and_back():
    found = answer(TEST, 880.0, (150.0, 150.0))
    assert taper_of_twist(found.twist, 150.0, 75.0, 880.0) == pytest.approx(TEST.free - TEST.near)


def test_the_interval_is_that_of_every_height_error_and_cut():
    test = replace(TEST, within=0.002, force=20.0)
    found = answer(test, 880.0, (100.0, 300.0))
    bend = 2 * (bar_bending(20.0, 100.0, 25.0) - bar_bending(20.0, 25.0, 25.0))
    assert found.bending == pytest.approx(bend) and bend > 0
    tapers = [0.02 + e - b for e in (-0.004, 0.004) for b in (0.0, bend)]
    twists = [t / (2 * h * 75.0) * 880.0 * 1000 for t in tapers for h in (100.0, 300.0)]
    assert (found.low, found.high) == pytest.approx((min(twists), max(twists)))
    assert found.low < found.twist < found.high


def test_a_taper_that_the_bar_itself_explains_is_no_twist():
    bend = 2 * (bar_bending(50.0, 200.0, 20.0) - bar_bending(50.0, 50.0, 20.0))
    test = TurningTest(near=20.0, free=20.0 + bend, between=150.0, overhang=200.0, bar=20.0, within=0.001, force=50.0)
    found = answer(test, 880.0, (120.0, 300.0))
    assert found.twist == pytest.approx(0.0, abs=1e-9) and found.low < 0 < found.high
    assert found.slender == pytest.approx(10.0)


def test_bending_grows_with_the_third_power_and_falls_with_the_fourth():
    one = bar_bending(20.0, 100.0, 25.0)
    assert bar_bending(20.0, 200.0, 25.0) == pytest.approx(8 * one)
    assert bar_bending(20.0, 100.0, 50.0) == pytest.approx(one / 16)
    assert one == pytest.approx(20.0 * 100**3 / (3 * STEEL_E * 3.14159265 * 25**4 / 64))


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"between": 150.0}, "do not fit on a bar"), ({"free": 27.0}, "allowed: up to 1 mm"), ({"bar": 0.0}, "nearest 3 mm"),
        ({"overhang": 5000.0}, "nearest 2000 mm"), ({"force": -1.0}, "0 to 2000 N"), ({"near": 0.0}, "the collar at the chuck"),
        ({"within": 2.0}, "measuring error"),
    ],
)  # fmt: skip
def test_what_cannot_have_been_measured(changed, words):
    with pytest.raises(UnitError, match=words):
        answer(replace(TEST, **changed), 880.0, (100.0, 300.0))


def test_an_axis_below_the_ways_is_refused():
    with pytest.raises(UnitError, match="more than 0 mm"):
        answer(TEST, 880.0, (0.0, 300.0))
