"""Laws of cut plans, and agreement with brute force."""

from __future__ import annotations

import itertools
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecore.cutting import Bar, Piece, plan_cuts, quick_plan
from framecore.errors import CuttingError

SOLD = (
    Bar(name="6 m", length=6000, price=100),
    Bar(name="3 m", length=3000, price=55),
    Bar(name="2 m", length=2000, price=38),
)


def check(plan, pieces, kerf):
    want = Counter()
    for p in pieces:
        want[p.mark, p.length] += p.count
    assert Counter((c.mark, c.length) for b in plan.bars for c in b.cuts) == want
    for b in plan.bars:
        at = b.bar.trim
        for c in b.cuts:
            assert c.start == pytest.approx(at)
            at = c.start + c.length + kerf
        assert at - kerf <= b.bar.length - b.bar.trim + 1e-6
    assert plan.lower_bound <= plan.cost + 1e-9
    assert plan.proven == (plan.lower_bound >= plan.cost - 1e-9)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(100, 1900), min_size=1, max_size=25),
    st.sampled_from([0.0, 1.6, 3.0]),
    st.lists(st.integers(300, 2500), max_size=3),
)
def test_laws(lengths, kerf, rack):
    pieces = [Piece(mark=f"p{k}", length=n) for k, n in enumerate(lengths)]
    bars = [*SOLD, *(Bar(name=f"r{k}", length=n, price=0, available=1, rack=True) for k, n in enumerate(rack))]
    best, quick = plan_cuts(pieces, bars, kerf=kerf), quick_plan(pieces, bars, kerf=kerf)
    check(best, pieces, kerf)
    check(quick, pieces, kerf)
    assert best.cost <= quick.cost + 1e-9


def brute(lengths, bars, kerf):
    """Cheapest cost over all ways to split the pieces into groups, each in its cheapest bar."""
    n = len(lengths)
    price = {}
    for mask in range(1, 1 << n):
        need = sum(lengths[k] + kerf for k in range(n) if mask >> k & 1) - kerf
        price[mask] = min((b.price for b in bars if b.length - 2 * b.trim >= need), default=float("inf"))
    best = {0: 0.0}
    for mask in range(1, 1 << n):
        low = mask & -mask
        sub = mask
        best[mask] = float("inf")
        while sub:
            if sub & low:
                best[mask] = min(best[mask], price[sub] + best[mask ^ sub])
            sub = (sub - 1) & mask
    return best[(1 << n) - 1]


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(200, 1900), min_size=1, max_size=7), st.sampled_from([0.0, 2.5]), st.sampled_from([0, 5]))
def test_equals_brute_force(lengths, kerf, trim):
    bars = [Bar(name=b.name, length=b.length, price=b.price, trim=trim) for b in SOLD]
    plan = plan_cuts([Piece(mark=str(k), length=n) for k, n in enumerate(lengths)], bars, kerf=kerf)
    assert plan.proven
    assert plan.cost == pytest.approx(brute(lengths, bars, kerf))


def test_last_piece_flush_needs_no_cut():
    plan = plan_cuts([Piece(mark="a", length=999, count=2)], [Bar(name="2 m", length=2001, price=1)], kerf=3.0)
    assert len(plan.bars) == 1
    two = plan_cuts([Piece(mark="a", length=999.1, count=2)], [Bar(name="2 m", length=2001, price=1)], kerf=3.0)
    assert len(two.bars) == 2


@pytest.mark.parametrize(
    ("pieces", "bars", "kerf", "word"),
    [
        ([Piece(mark="a", length=7000)], SOLD, 2.0, "longest bar gives 6000.0 mm"),
        ([Piece(mark="a", length=-1)], SOLD, 2.0, "above 0 mm"),
        ([Piece(mark="a", length=10, count=0)], SOLD, 2.0, "at least once"),
        ([Piece(mark="a", length=10)], SOLD, float("nan"), "kerf"),
        ([Piece(mark="a", length=900, count=3)], [Bar(name="r", length=1000, price=0, available=2)], 2.0, "at hand"),
    ],
)
def test_bad_tasks_get_one_sentence(pieces, bars, kerf, word):
    with pytest.raises(CuttingError, match=word):
        plan_cuts(pieces, bars, kerf=kerf)


def test_the_same_task_gives_the_same_plan():
    pieces = [Piece(mark=f"{k}", length=300 + 37 * k, count=2) for k in range(8)]
    plans = [plan_cuts(order, SOLD, kerf=1.6) for order in itertools.islice(itertools.permutations(pieces), 3)]
    assert plans[0] == plans[1] == plans[2]
