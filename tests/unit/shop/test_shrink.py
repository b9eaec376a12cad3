"""Shrinkage: intervals that add up, rows over all as a tape reads them, lean of frames by geometry."""

from __future__ import annotations

import math

import pytest

from framecore.shop.shrink import squareness
from framecore.shop.tolerance import angular_tolerance, diagonal_tolerance, linear_tolerance
from framecore.shop.work import Chain
from tests.unit.shop.work_samples import SAMPLES, stand, work


def chain(name, low, high, length=1000.0):
    return Chain(name=name, members=(name,), welds=2, length=length, low=low, high=high, leave=0.0, tolerance=3.0, text="")


@pytest.mark.parametrize("name", SAMPLES)
def test_rows(name):
    rows = work(name).chains
    assert [c.length for c in rows] == sorted((c.length for c in rows), reverse=True)
    seen = [m for c in rows for m in c.members]
    assert len(seen) == len(set(seen))
    sawn = {m: p.longer for p in stand(name).shop.pieces for m in p.members}
    for c in rows:
        assert 0 < c.low <= c.high
        assert c.high == pytest.approx(0.8 * c.welds) or c.high > 0.8 * c.welds
        assert c.leave == pytest.approx(sum(sawn[m] for m in c.members))
        assert abs(c.leave - (c.low + c.high) / 2) <= 0.25 * len(c.members) + 1e-9
        assert c.left == pytest.approx(max(c.high - c.leave, c.leave - c.low))
        assert c.tolerance == linear_tolerance(c.length)


def test_a_row_is_measured_with_the_legs_it_stands_between():
    s = stand("bench-lathe")
    rows = {c.name: c for c in work("bench-lathe").chains}
    assert rows["top rail front"].length == pytest.approx(s.frame.length)
    assert rows["lower rail left"].length == pytest.approx(s.frame.depth)
    assert rows["bearer 1"].length == pytest.approx(s.frame.member("bearer 1").length)


def test_a_mitred_rail_is_as_long_as_its_outer_side():
    rows = {c.name: c for c in work("bench-mill").chains}
    assert rows["top rail front"].length == pytest.approx(stand("bench-mill").frame.member("top rail front").length)


def test_pieces_in_one_line_make_one_row_only_where_they_meet():
    bench = {c.name: c for c in work("workbench").chains}
    row = bench["lower rail front 1 to lower rail front 2"]
    assert row.welds == 4 and row.high == pytest.approx(3.2)
    names = {c.name for c in work("long-lathe-pedestals").chains}
    assert {"lower rail front left", "lower rail front right"} <= names


def test_lean_of_a_frame():
    (found,) = squareness([chain("top", 0.4, 1.6), chain("low", 0.4, 1.6)], [("front", "top", "low", 600.0)])
    # One row 1.2 mm shorter than the other, half of it at either end.
    assert found.lean == pytest.approx(0.6 / 600 * 1000)
    assert found.allowed == angular_tolerance(600.0)
    assert found.quality == "A"
    lean = found.lean / 1000
    d = [math.hypot(1000 + s * 600 * math.sin(lean), 600 * math.cos(lean)) for s in (1, -1)]
    assert found.diagonal == pytest.approx(d[0] - d[1], rel=1e-3)


def test_a_bad_lean_keeps_no_class():
    (found,) = squareness([chain("top", 0.0, 30.0), chain("low", 0.0, 30.0)], [("front", "top", "low", 500.0)])
    assert found.lean == pytest.approx(30.0) and found.quality == ""
    assert squareness([chain("top", 0.4, 1.6)], [("front", "top", "low", 600.0)]) == ()


def test_diagonals_of_a_leaning_rectangle():
    eps = angular_tolerance(500.0) / 1000
    long, short = (math.sqrt(1000**2 + 500**2 + s * 2 * 1000 * 500 * math.sin(eps)) for s in (1, -1))
    assert diagonal_tolerance(1000.0, 500.0) == pytest.approx(long - short, rel=1e-4)


def test_leaning_legs_have_no_square():
    assert work("bench-lathe").squares
    assert not work("surface-plate").squares
    assert not work("bench-lathe-trestle").squares
