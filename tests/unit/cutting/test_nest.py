"""Laws of sheet plans."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecore.cutting import SheetPart, SheetStock, plan_sheets
from framecore.errors import CuttingError
from tests.unit.cutting.nests import check, separable

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


def every_layout(sizes, room):
    """Every way to lay few parts on a grid, each turned or not, as boxes x0, y0, x1, y1."""
    if not sizes:
        yield []
        return
    (a, b), rest = sizes[0], sizes[1:]
    for own in every_layout(rest, room):
        for w, h in {(a, b), (b, a)}:
            for x in range(room[0] - w + 1):
                for y in range(room[1] - h + 1):
                    if all(x >= q[2] or x + w <= q[0] or y >= q[3] or y + h <= q[1] for q in own):
                        yield [(x, y, x + w, y + h), *own]


def most_left(sizes, room, mode):
    """Area of the largest rectangle on a grid that any layout leaves whole, by trying all."""
    best = 0
    for own in every_layout(sizes, room):
        xs, ys = (sorted({0, room[i], *(v for q in own for v in q[i::2])}) for i in (0, 1))
        for x0, x1 in combinations(xs, 2):
            for y0, y1 in combinations(ys, 2):
                if (x1 - x0) * (y1 - y0) <= best or any(x0 < q[2] and x1 > q[0] and y0 < q[3] and y1 > q[1] for q in own):
                    continue
                if mode == "free" or separable([*own, (x0, y0, x1, y1)]):
                    best = (x1 - x0) * (y1 - y0)
    return best


@pytest.mark.parametrize("mode", ["guillotine", "free"])
def test_a_remnant_that_is_said_to_be_the_largest_is_the_largest_of_all_layouts(mode):
    r = random.Random(7)
    shown = 0
    for _ in range(25):
        room = (r.randint(5, 7), r.randint(4, 5))
        sizes = [(r.randint(1, 4), r.randint(1, 3)) for _ in range(r.randint(1, 3))]
        parts = [part(f"{k}", 100 * a, 100 * b) for k, (a, b) in enumerate(sizes)]
        sheet = SheetStock(name="s", length=100 * room[0], width=100 * room[1], price=1)
        plan = plan_sheets(parts, (sheet,), gap=0, mode=mode)
        check(plan, parts)
        if len(plan.sheets) != 1:
            continue
        most = most_left(sizes, room, mode)
        assert max((x.area for x in plan.remnants), default=0.0) <= 1e4 * most + 1
        if plan.rest_proven:
            shown += 1
            assert max((x.area for x in plan.remnants), default=0.0) == pytest.approx(1e4 * most, abs=1)
    assert shown > 15


@pytest.mark.parametrize(
    ("mode", "room", "sizes"),
    [
        ("guillotine", (7, 7), [(4, 4), (5, 2)]),
        ("guillotine", (5, 6), [(1, 4), (4, 4), (2, 3)]),
        ("guillotine", (9, 4), [(4, 3), (3, 2), (3, 3)]),
        ("free", (7, 5), [(1, 1), (3, 4), (4, 1)]),
        ("free", (9, 4), [(3, 4), (5, 2), (3, 1)]),
    ],
)
def test_what_the_rules_do_not_leave_is_found(mode, room, sizes):
    parts = [part(f"{k}", 100 * a, 100 * b) for k, (a, b) in enumerate(sizes)]
    plan = plan_sheets(parts, (SheetStock(name="s", length=100 * room[0], width=100 * room[1], price=1),), gap=0, mode=mode)
    check(plan, parts)
    (rest,) = plan.remnants
    # Sheets are let out by some 0.0002 mm.
    assert plan.rest_proven and rest.area == pytest.approx(1e4 * most_left(sizes, room, mode), abs=1)


def test_one_part_leaves_the_longest_strip():
    plan = plan_sheets([part("a", 400, 300)], (SheetStock(name="s", length=1000, width=800, price=1),), gap=4)
    (rest,) = plan.remnants
    # Upright in a corner it takes 304 of the length with its cut: 696 x 800; lying it takes 304 of the width: 1000 x 496.
    assert plan.rest_proven and rest.area == pytest.approx(696 * 800)


@pytest.mark.parametrize("mode", ["guillotine", "free"])
def test_a_long_sliver_is_no_remnant_where_a_shorter_piece_is_of_use(mode):
    plan = plan_sheets([part("a", 1900, 500)], (SheetStock(name="s", length=2000, width=545, price=1),), gap=0, mode=mode)
    (rest,) = plan.remnants
    # 2000 x 45 would be the larger area.
    assert (rest.length, rest.width) == pytest.approx((100.0, 545.0), abs=0.001)


def test_without_the_steps_for_it_nothing_is_said_about_what_is_left():
    parts = [part(f"{k}", 310 - 7 * k, 150 + 11 * k, 1) for k in range(8)]
    sheet = (SheetStock(name="s", length=1500, width=1000, price=1),)
    assert not plan_sheets(parts, sheet, gap=3, mode="free", effort=0.01).rest_proven
    assert plan_sheets(parts[:2], sheet, gap=3, mode="free").rest_proven


def test_shaped_parts_show_nothing_about_what_is_left():
    parts = [part("g", 100.0, 100.0, 2, outline=((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)))]
    plan = plan_sheets(parts, (SheetStock(name="s", length=300, width=100, price=1),), gap=0, mode="free")
    assert plan.proven and not plan.rest_proven
