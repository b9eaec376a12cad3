"""Full bars against cut to length, and bars cut so that they fit the car: sums by hand, cuts against trying everything."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.brief.kinds import RackItem
from framecore.cutting.model import Bar, Cut, CutBar
from framecore.shop.buying import ROUGH, advice, billed, choices, long_bars, longest, parted
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"
KERF = 1.6


def bar_of(lengths, full=6000.0, trim=5.0, kerf=KERF):
    at, cuts = trim, []
    for n, length in enumerate(lengths):
        cuts.append(Cut(mark=f"A{n}", start=at, length=length))
        at += length + kerf
    return CutBar(bar=Bar(name="bar", length=full, price=40.0, trim=trim), cuts=tuple(cuts), offcut=full - at + kerf)


def priced(**steel):
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    return replace(brief, steel=replace(brief.steel, **steel))


def fewest(bar, kerf, carry):
    """Try every set of places between pieces; what is left over behind is cut as often as it must be."""
    ends, length = [c.end for c in bar.cuts], bar.bar.length
    best = None
    for count in range(len(ends)):
        for places in combinations(range(len(ends) - 1), count):
            starts = [0.0, *(ends[k] + kerf for k in places)]
            if any(ends[k] - a > carry + 1e-9 for a, k in zip(starts, (*places, len(ends) - 1), strict=True)):
                continue
            tail, at = 0, starts[-1]
            while length - at > carry + 1e-9:
                at += carry + kerf
                tail += 1
            best = count + tail if best is None else min(best, count + tail)
    return best


def test_a_merchant_counts_the_saw_cut_and_rounds_up():
    assert billed(1080.0, 1.6) == 1090.0
    assert billed(1078.4, 1.6) == 1080.0
    assert billed(1078.5, 1.6) == 1090.0


def test_both_ways_by_hand():
    brief = priced(cut_price_kg=3.0, cut_fee=1.5)
    stand = evaluate(brief)
    for choice in choices(brief, stand.shop):
        own = [p for p in stand.shop.pieces if p.profile.id == choice.profile]
        lengths = [math.ceil((p.length + brief.steel.kerf) / 10) * 10 for p in own for _ in p.members]
        assert choice.pieces == len(lengths)
        assert choice.length == sum(lengths)
        assert choice.cut == pytest.approx(sum(lengths) / 1000 * own[0].profile.kg_per_m * 3.0 + 1.5 * len(lengths))
        assert choice.full == pytest.approx(stand.shop.plan(choice.profile).cost)
    total = sum(c.cut for c in choices(brief, stand.shop))
    figure = stand.figures["steel.cut_to_length"]
    assert figure.value == pytest.approx(total) and f"{total:.2f}" in figure.working.steps[-1]
    full = sum(c.full for c in choices(brief, stand.shop))
    assert f"{abs(full - total):.2f}" in figure.note


def test_what_comes_from_the_rack_is_not_bought_cut():
    brief = priced(cut_price_kg=3.0, rack=(RackItem(profile="SHS 40x40x3", length=3100.0, count=1),))
    shop = evaluate(brief).shop
    assert all(b.bar.rack for b in shop.plan("SHS 40x40x3").bars), "all its pieces come off the rack"
    assert [c.profile for c in choices(brief, shop)] == ["SHS 60x60x3"]


def test_nothing_is_said_where_no_price_is_given():
    stand = evaluate(priced())
    assert choices(stand.brief, stand.shop) == () and advice((), "EUR") == ""
    assert "steel.cut_to_length" not in stand.figures and "steel.longest" not in stand.figures


@pytest.mark.parametrize(("price", "word"), [(2.3, "Cut to length is cheaper"), (9.0, "Full bars are cheaper")])
def test_the_cheaper_way_is_named(price, word):
    brief = priced(cut_price_kg=price)
    assert advice(choices(brief, evaluate(brief).shop), "EUR").startswith(word)


def test_mixed_is_told_where_it_is_cheapest():
    brief = priced(cut_price_kg=4.2)
    found = choices(brief, evaluate(brief).shop)
    assert {c.saves > 0 for c in found} == {True, False}, "one profile each way"
    assert f"{sum(min(c.full, c.cut) for c in found):.2f}" in advice(found, "EUR")


@pytest.mark.parametrize("seed", range(60))
def test_as_few_cuts_as_trying_everything(seed):
    rng = np.random.default_rng(seed)
    full, lengths, room = 6000.0, [], 5990.0
    while room > 150 and len(lengths) < 9:
        length = float(rng.integers(120, 1800))
        if length + KERF > room:
            break
        lengths.append(length)
        room -= length + KERF
    bar, carry = bar_of(lengths), float(rng.integers(900, 4000))
    found, least = parted(bar, KERF, carry), fewest(bar, KERF, carry)
    if least is None:
        assert found is None
        return
    assert found is not None
    assert max(found.parts) <= carry + 1e-6
    assert sum(found.parts) + KERF * len(found.cuts) == pytest.approx(full)
    # Room for the saw at home may cost a cut, never more than one a cut made.
    assert least <= len(found.cuts) <= least + (1 if found.rough else 0)
    check_pieces(bar, found)


def check_pieces(bar, found):
    """Every piece lies whole in one part, with its order kept, and every inner part has room for the saw at home."""
    edges = [0.0, *(c + KERF for c in found.cuts)]
    ends = [*found.cuts, bar.bar.length]
    behind = [0, *found.after]
    for part, (a, b) in enumerate(zip(edges, ends, strict=True)):
        first = behind[part]
        last = behind[part + 1] if part + 1 < len(behind) else len(bar.cuts)
        own = bar.cuts[first:last]
        if own:
            need = sum(c.length for c in own) + KERF * (len(own) - 1) + (bar.bar.trim if first == 0 else 0.0)
            assert b - a >= need - 1e-6
            if part < len(found.after) and found.after[part] < len(bar.cuts):
                assert b - a == pytest.approx(need + found.rough)


def test_exact_cuts_where_nothing_is_left_over():
    bar = bar_of([1993.8, 1993.8, 1993.8], full=5.0 + 3 * 1993.8 + 3 * KERF)
    found = parted(bar, KERF, 2100.0)
    assert found is not None and found.rough == 0.0
    assert found.cuts == pytest.approx((5.0 + 1993.8, 5.0 + 2 * 1993.8 + KERF))


def test_room_for_the_saw_where_the_bar_has_it():
    found = parted(bar_of([1000.0, 1000.0, 1000.0, 1000.0]), KERF, 3100.0)
    assert found is not None and found.rough == ROUGH
    assert found.cuts == pytest.approx((5.0 + 3 * 1000.0 + 2 * KERF + ROUGH,)) and found.after == (3,)


def test_what_is_left_over_stays_as_long_as_it_can():
    found = parted(bar_of([500.0, 500.0]), KERF, 3000.0)
    assert found is not None and len(found.cuts) == 1
    assert found.left == pytest.approx(3000.0)


def test_a_piece_that_is_too_long_is_said():
    assert parted(bar_of([3200.0]), KERF, 3000.0) is None
    stand = evaluate(priced(carry=1000.0))
    figure = stand.figures["steel.longest"]
    assert figure.verdict == "look" and figure.value > 1000.0 and "brought" in figure.note


def test_the_longest_part_of_a_stand_fits():
    brief = priced(carry=2500.0)
    stand = evaluate(brief)
    figure = stand.figures["steel.longest"]
    assert figure.verdict == "good" and figure.value == longest(brief, stand.shop) <= 2500.0
    cut = [p for _, plan in stand.shop.plans for _, p in long_bars(brief, plan)]
    assert len(cut) == 3 and figure.value == pytest.approx(max(max(p.parts) for p in cut))
    assert len([s for s in figure.working.steps if "cut at" in s]) == 3
