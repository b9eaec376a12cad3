"""Two shops compared: rows of the cut list by their parts, bars and sheets by their lengths."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.cutting.model import Bar, Cut, CutBar, CutPlan
from framecore.search.space import with_value
from framecore.shop.differences import Kind, cut_changes, row_changes
from framecore.shop.model import Bought, ShopPiece

SAMPLES = Path(__file__).resolve().parents[3] / "samples"


@pytest.fixture(scope="module")
def lathe():
    return load_brief(SAMPLES / "bench-lathe.toml")


@pytest.fixture(scope="module")
def stand(lathe):
    return evaluate(lathe)


def row_of(shop, name):
    return next(p for p in shop.pieces if name in p.members)


def test_a_stand_differs_in_nothing_from_itself(stand):
    rows, cuts = row_changes(stand.shop, stand.shop), cut_changes(stand.shop, stand.shop)
    assert {c.kind for c in rows.of.values()} == {Kind.SAME} and not rows.gone
    assert all(p.same for p in cuts.plans) and (cuts.bars, cuts.sheets, cuts.cost, cuts.share) == (0, 0, 0.0, 0.0)


def test_rows_are_known_by_their_parts_and_not_by_their_marks(lathe, stand):
    longer = evaluate(with_value(lathe, "frame.length", 1400.0))
    rows = row_changes(longer.shop, stand.shop)
    front = rows.of[row_of(longer.shop, "top rail front").mark]
    assert front.kind is Kind.CHANGED and front.longer == pytest.approx(200.0) and not (front.more or front.what)
    assert rows.of[row_of(longer.shop, "leg FL").mark].kind is Kind.SAME
    back = row_changes(stand.shop, longer.shop).of[row_of(stand.shop, "top rail front").mark]
    assert back.longer == pytest.approx(-200.0)


def test_another_profile_is_told_and_a_shelf_left_out_is_gone(lathe, stand):
    other = evaluate(with_value(with_value(lathe, "frame.sections.legs", "SHS 70x70x3"), "frame.shelf", "none"))
    rows = row_changes(other.shop, stand.shop)
    legs = rows.of[row_of(other.shop, "leg FL").mark]
    assert legs.what and isinstance(legs.before, ShopPiece) and legs.before.profile.id == "SHS 60x60x3"
    assert "shelf" in {name for row in rows.gone for name in getattr(row, "names", ())}
    mark = next(p.mark for p in stand.shop.plates if "shelf" in p.names)
    assert row_changes(stand.shop, other.shop).of[mark].kind is Kind.NEW


def test_one_slat_more_is_one_more_of_its_row(lathe):
    slats = with_value(lathe, "frame.shelf", "slats")
    four, five = (evaluate(with_value(slats, "frame.shelf_slats", n)) for n in (4, 5))
    assert row_changes(five.shop, four.shop).of[row_of(five.shop, "slat 1").mark].more == 1
    assert row_changes(four.shop, five.shop).of[row_of(four.shop, "slat 1").mark].more == -1


def test_what_is_bought_tells_its_other_size(stand):
    shop = stand.shop
    bolt = next(b for b in shop.bought if b.parts)
    thicker = replace(bolt, size="M20 × 300, class 8.8")
    other = replace(shop, bought=tuple(thicker if b is bolt else b for b in shop.bought))
    change = row_changes(other, shop).of[bolt.mark]
    assert change.size and not change.what and isinstance(change.before, Bought) and change.before.size == bolt.size


def plan(*bars, each=30.0):
    """A plan of bars given as (length, what is left)."""
    made = tuple(
        CutBar(bar=Bar(name="bar", length=long, price=each), cuts=(Cut(mark="A1", start=0.0, length=long - left),), offcut=left)
        for long, left in bars
    )
    cost = each * len(made)
    return CutPlan(bars=made, kerf=0.0, cost=cost, lower_bound=cost, proven=True, method="by hand")


def with_plans(stand, *plans):
    return replace(stand.shop, plans=plans)


def test_bars_that_are_more_are_the_emptiest_of_their_length(stand):
    mine = with_plans(stand, ("SHS 40x40x3", plan((6000, 100), (3000, 500), (6000, 900), (6000, 40))))
    theirs = with_plans(stand, ("SHS 40x40x3", plan((6000, 50), (6000, 60))))
    (one,) = cut_changes(mine, theirs).plans
    assert one.added == {1, 2} and not one.dropped and one.bars == 2 and one.cost == pytest.approx(60.0)
    (back,) = cut_changes(theirs, mine).plans
    assert sorted((b.bar.length, b.offcut) for b in back.dropped) == [(3000, 500), (6000, 900)] and not back.added
    assert back.share == pytest.approx((12_000 - 110) / 12_000 - (21_000 - 1540) / 21_000)


def test_bars_of_another_length_are_one_added_and_one_dropped(stand):
    one, other = with_plans(stand, ("T", plan((6000, 10)))), with_plans(stand, ("T", plan((7000, 10))))
    (change,) = cut_changes(one, other).plans
    assert change.bars == 0 and change.added == {0} and [b.bar.length for b in change.dropped] == [7000] and not change.same


def test_a_profile_that_is_gone_stands_last_with_its_bars(stand):
    one = with_plans(stand, ("NEW", plan((6000, 10))))
    other = with_plans(stand, ("OLD", plan((6000, 10), (6000, 20))))
    changes = cut_changes(one, other)
    assert [p.name for p in changes.plans] == ["NEW", "OLD"]
    assert changes.plans[0].added == {0} and len(changes.plans[1].dropped) == 2
    assert changes.bars == -1 and changes.cost == pytest.approx(-30.0)
