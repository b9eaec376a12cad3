"""Sizes beside a view: the plan is the cheapest of all ways, tried one by one on small cases."""

import random
from itertools import product

import pytest

from framecore.sheets.drawing.dims import Span, place, rooms
from framecore.sheets.drawing.lanes import CROSS, FIRST, OUT, STEP, Size, arrange, cost_of, lower_bound
from framecore.sheets.drawing.model import Sheet


def every_way(sizes):
    """Least cost of all sides, lanes and places of the words."""
    own = [
        [(side, lane, out) for side in range(len(s.over)) for lane in range(len(sizes)) for out in (False, True)]
        for s in sizes
    ]
    return min(cost_of(sizes, ways) for ways in product(*own))


def drawn_by_lot(rng, count, sides):
    out = []
    for _ in range(count):
        low = rng.choice([0.0, 0.0, 5.0, 12.0, 30.0, 44.0])
        wide = rng.choice([4.0, 9.0, 14.0])
        over = tuple(rng.choice([0.0, 0.0, 40.0]) for _ in range(sides))
        out.append(Size(low, low + rng.choice([4.0, 8.0, 15.0, 30.0, 60.0]), wide, over))
    return out


@pytest.mark.parametrize(("count", "sides"), [(2, 1), (3, 1), (2, 2), (3, 2)])
def test_no_other_way_is_cheaper(count, sides):
    rng = random.Random(count * 10 + sides)
    for _ in range(15):
        sizes = drawn_by_lot(rng, count, sides)
        plan = arrange(sizes, nodes=100_000)
        best = every_way(sizes)
        assert plan.proven
        assert plan.cost == pytest.approx(best)
        assert plan.bound <= best + 1e-9


def test_the_cost_told_is_that_of_the_places_told():
    rng = random.Random(4)
    for _ in range(20):
        sizes = drawn_by_lot(rng, 5, 1)
        plan = arrange(sizes)
        ways = [(p.side, p.lane, p.out) for p in plan.places]
        start = min(s.low for s in sizes)
        moved = [Size(s.low - start, s.high - start, s.wide, s.over) for s in sizes]
        assert cost_of(moved, ways) == pytest.approx(plan.cost)


def test_what_a_crossing_and_words_outside_cost():
    lapping = [Size(0.0, 40.0, 6.0), Size(20.0, 60.0, 6.0)]
    # 40 mm over 20 .. 40 cannot share a lane: one end of the outer one runs through the inner one.
    assert arrange(lapping).cost >= FIRST + 2 * STEP + CROSS
    assert lower_bound([Size(0.0, 4.0, 9.0)]) >= FIRST + STEP + OUT
    assert cost_of([Size(0.0, 4.0, 9.0)], [(0, 0, False)]) == float("inf"), "its words do not fit inside"


def test_a_chain_stands_in_one_lane_and_nested_sizes_short_ones_nearest():
    chain = arrange([Size(0.0, 30.0, 6.0), Size(30.0, 70.0, 6.0)])
    assert [p.lane for p in chain.places] == [0, 0]
    nested = arrange([Size(0.0, 90.0, 6.0), Size(0.0, 30.0, 6.0), Size(0.0, 60.0, 6.0)])
    assert [p.lane for p in nested.places] == [2, 0, 1]
    assert nested.cost == pytest.approx(FIRST + 3 * STEP)


def test_a_size_far_up_the_view_goes_above_it_and_a_lapping_one_where_it_is_not_crossed():
    near, far = Size(0.0, 40.0, 6.0, (0.0, 400.0)), Size(20.0, 60.0, 6.0, (400.0, 0.0))
    plan = arrange([near, far])
    assert [p.side for p in plan.places] == [0, 1]
    spans = [Span((0.0, 0.0), (40.0, 0.0), 40.0), Span((20.0, 400.0), (60.0, 400.0), 40.0)]
    edges = {"below": 0.0, "above": 400.0}
    dims = place(spans, edges, lambda mm: f"{mm:g}")
    assert dims[0].base[1] == pytest.approx(-FIRST)
    assert dims[1].base[1] == pytest.approx(400.0 + FIRST)
    used = rooms(spans, ("below", "above"), lambda mm: f"{mm:g}", edges)
    assert used == {"below": FIRST + STEP, "above": FIRST + STEP}


def test_the_plan_does_not_depend_on_where_the_sizes_lie_and_texts_touch_nothing():
    from framecore.sheets.drawing.dims import overlaps

    rng = random.Random(9)
    for _ in range(10):
        ends = sorted(rng.sample(range(0, 150, 12), 5))
        spans = [Span((0.0, 0.0), (float(e), 0.0), float(e)) for e in ends if e]
        dims = place(spans, {"below": 0.0}, lambda mm: f"{mm:g}")
        there = place([Span((s.a[0] + 77.0, 3.0), (s.b[0] + 77.0, 3.0), s.value) for s in spans], {"below": 3.0},
                      lambda mm: f"{mm:g}")  # fmt: skip
        for a, b in zip(dims, there, strict=True):
            assert b.text_at[0] - a.text_at[0] == pytest.approx(77.0, abs=1e-3)
            assert b.base[1] - a.base[1] == pytest.approx(3.0)
        assert overlaps(Sheet(title="", size=(400.0, 400.0), primitives=dims)) == ()
