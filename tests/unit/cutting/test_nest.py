"""Laws of sheet plans."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecore.cutting import SheetPart, SheetStock, plan_sheets
from framecore.errors import CuttingError
from tests.unit.cutting.nests import check

SOLD = (
    SheetStock(name="2 x 1", length=2000, width=1000, price=60),
    SheetStock(name="2.5 x 1.25", length=2500, width=1250, price=90),
    SheetStock(name="1 x 1", length=1000, width=1000, price=35),
)
GUSSET = ((8.0, 0.0), (120.0, 0.0), (0.0, 120.0), (0.0, 8.0))


def part(mark, length, width, count=1, **more):
    return SheetPart(mark=mark, length=length, width=width, count=count, **more)


sizes = st.tuples(st.integers(40, 900), st.integers(40, 700), st.integers(1, 4))


@settings(max_examples=40, deadline=None)
@given(st.lists(sizes, min_size=1, max_size=5), st.sampled_from(["guillotine", "free"]), st.sampled_from([0.0, 3.0, 8.0]),
       st.sampled_from([0.0, 10.0]))  # fmt: skip
def test_every_plan_keeps_the_laws(rows, mode, gap, edge):
    parts = [part(f"p{i}", float(a), float(b), n) for i, (a, b, n) in enumerate(rows)]
    check(plan_sheets(parts, SOLD, gap=gap, edge=edge, mode=mode, effort=0.2), parts)


@pytest.mark.parametrize("mode", ["guillotine", "free"])
def test_free_is_never_dearer_and_the_same_task_gives_the_same_plan(mode):
    rng = random.Random(5)
    parts = [part(f"p{i}", rng.randint(60, 800), rng.randint(60, 600)) for i in range(9)]
    one, two = (plan_sheets(parts, SOLD, gap=5, edge=10, mode=mode) for _ in range(2))
    assert one == two
    assert plan_sheets(parts, SOLD, gap=5, edge=10, mode="free").cost <= one.cost


def test_an_exact_fit_is_found_with_and_without_a_gap():
    sheet = (SheetStock(name="s", length=1005, width=1005, price=1),)
    plan = plan_sheets([part("a", 500, 500, 4)], sheet, gap=5)
    assert (len(plan.sheets), plan.proven, plan.remnants) == (1, True, ())
    assert len(plan.cuts) == 3  # one through the middle, one through each half
    assert len(plan_sheets([part("a", 500, 500.01, 4)], sheet, gap=5).sheets) > 1
    assert len(plan_sheets([part("a", 502.5, 502.5, 4)], sheet, gap=0).sheets) == 1


def test_a_pinwheel_needs_free_cuts():
    """Four 60 x 40 round a square hole fit on 100 x 100, but no straight cut goes through."""
    sheet = (SheetStock(name="s", length=100, width=100, price=1),)
    parts = [part("a", 60, 40, 4), part("b", 20, 20)]
    free = plan_sheets(parts, sheet, gap=0, mode="free")
    cut = plan_sheets(parts, sheet, gap=0, mode="guillotine")
    assert (free.cost, cut.cost, cut.proven, free.proven) == (1, 2, True, True)
    check(free, parts)
    check(cut, parts)


def test_parts_that_must_not_turn_stay_as_they_are():
    sheet = (SheetStock(name="s", length=1000, width=500, price=1),)
    turned = plan_sheets([part("a", 480, 990)], sheet, gap=0)
    assert turned.placements[0].turned
    with pytest.raises(CuttingError, match="part a, 480 x 990 mm, fits on no sheet"):
        plan_sheets([part("a", 480, 990, turns=False)], sheet, gap=0)


def test_the_cheaper_of_two_sizes_and_no_more_than_there_are():
    few = (SheetStock(name="rest", length=600, width=400, price=0, available=1), *SOLD)
    plan = plan_sheets([part("a", 500, 300, 2)], few, gap=5)
    assert sorted(s.name for s in plan.sheets) == ["1 x 1"], "one small sheet beats a rest that holds but one"
    assert [s.name for s in plan_sheets([part("a", 500, 300)], few, gap=5).sheets] == ["rest"]
    with pytest.raises(CuttingError, match="do not hold all parts"):
        plan_sheets([part("a", 500, 300, 2)], few[:1], gap=5)


def test_two_triangles_lie_in_one_rectangle():
    parts = [part("g", 120.0, 120.0, 7, outline=GUSSET)]
    strip = (SheetStock(name="s", length=600, width=132, price=10), SheetStock(name="t", length=1000, width=132, price=14))
    free = plan_sheets(parts, strip, gap=4, mode="free")
    boxes = plan_sheets(parts, strip, gap=4, mode="guillotine")
    check(free, parts)
    check(boxes, parts)
    assert free.cost < boxes.cost
    assert sorted(p.turn for p in free.placements).count(180) + sum(p.turn == 270 for p in free.placements) == 3


def test_the_bound_counts_shaped_parts_by_their_true_area():
    """Two right triangles fit where two boxes do not: a bound by boxes would be above the cost."""
    parts = [part("g", 100.0, 100.0, 2, outline=((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)))]
    plan = plan_sheets(parts, (SheetStock(name="s", length=100, width=100, price=1),), gap=0, mode="free")
    assert (plan.cost, plan.proven) == (1, True)
    check(plan, parts)


def test_what_is_left_is_in_one_piece():
    plan = plan_sheets([part("a", 400, 300, 5)], (SheetStock(name="s", length=2000, width=1000, price=1),), gap=0)
    (rest,) = plan.remnants
    assert rest.area >= 0.5 * 2000 * 1000  # five of 400 x 300 take 30 %


@pytest.mark.parametrize(
    ("parts", "stock", "more", "match"),
    [
        ([part("a", 10, 10)], [], {}, "no sheet is sold"),
        ([part("a", 0, 10)], SOLD, {}, "above 0 mm"),
        ([part("a", float("nan"), 10)], SOLD, {}, "above 0 mm"),
        ([part("a", 10, 10)], SOLD, {"gap": -1}, "gap must be 0 mm or more"),
        ([part("a", 10, 10)], SOLD, {"edge": 600}, "twice the edge"),
        ([part("a", 10, 10)], SOLD, {"mode": "round"}, "mode must be"),
        ([part("a", 10, 10)], SOLD, {"effort": 0}, "effort"),
        ([part("a", 10, 10, 500)], SOLD, {}, "at most 400"),
        ([part("a", 10, 10)], [SheetStock(name="s", length=100, width=100, price=-1)], {}, "price"),
    ],
)
def test_what_makes_no_sense_is_said_in_a_sentence(parts, stock, more, match):
    with pytest.raises(CuttingError, match=match):
        plan_sheets(parts, stock, **{"gap": 5, **more})


def test_nothing_to_lay_costs_nothing():
    plan = plan_sheets([part("a", 10, 10, 0)], SOLD, gap=5)
    assert (plan.cost, plan.sheets, plan.proven, plan.stages) == (0, (), True, 0)
