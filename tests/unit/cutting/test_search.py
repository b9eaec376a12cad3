"""The parts of the search, each against plain enumeration."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from framecore.cutting import Bar, Piece
from framecore.cutting._columns import Columns
from framecore.cutting._demands import by_length, by_sums
from framecore.cutting._pack import Budget, Sums, best_fit, search
from framecore.cutting._sets import END, Sets
from framecore.cutting._task import prepare


def packs(sizes, counts, rooms):
    """Hand the pieces to the bars one by one, in every way."""
    states = {tuple(sorted(rooms))}
    for size, n in zip(sizes, counts, strict=True):
        for _ in range(n):
            states = {
                tuple(sorted((*s[:k], s[k] - size, *s[k + 1 :]))) for s in states for k in range(len(s)) if s[k] >= size
            }
    return bool(states)


tasks = st.tuples(
    st.dictionaries(st.integers(5, 60), st.integers(1, 3), min_size=1, max_size=4),
    st.lists(st.integers(20, 110), min_size=1, max_size=4),
)


@settings(max_examples=300, deadline=None)
@given(tasks)
def test_exact_packing_agrees_with_enumeration(task):
    wanted, rooms = task
    sizes = sorted(wanted, reverse=True)
    counts = [wanted[s] for s in sizes]
    fill, sure = search(Sums(sizes, counts, max(rooms)), counts, rooms, Budget(100_000))
    assert sure
    assert (fill is not None) == packs(sizes, counts, rooms)
    for found in (fill, best_fit(sizes, counts, rooms)):
        if found is not None:
            assert [sum(f[i] for f in found) for i in range(len(sizes))] == counts
            assert all(
                sum(s * n for s, n in zip(sizes, f, strict=True)) <= r for f, r in zip(found, rooms, strict=True)
            )


@settings(max_examples=100, deadline=None)
@given(tasks)
def test_coarse_cells_refute_nothing_that_is_possible(task):
    wanted, rooms = task
    # A large and awkward factor leaves no common step that divides a bar into few cells.
    sizes = sorted((s * 1_000_003 + s % 7 for s in wanted), reverse=True)
    counts = [wanted[s // 1_000_003] for s in sizes]
    big = [r * 1_000_003 for r in rooms]
    fill, sure = search(Sums(sizes, counts, max(big)), counts, big, Budget(100_000))
    assert sure
    assert (fill is not None) == packs(sizes, counts, big)


def test_search_says_when_it_gave_up():
    sizes, counts = [41, 37, 29, 23, 17], [3, 3, 3, 3, 3]
    fill, sure = search(Sums(sizes, counts, 100), counts, [100, 100, 100, 98, 44], Budget(1))
    assert fill is None
    assert not sure


lengths = st.lists(st.integers(200, 1900), min_size=1, max_size=7)
BARS = [Bar(name=f"{n}", length=n, price=p) for n, p in ((2500, 43), (2000, 38), (1000, 21))]
RACK = Bar(name="r", length=700, price=0, available=1, rack=True)


def sets_that_pack(task, most):
    for chosen in itertools.product(range(most + 1), repeat=len(task.sold)):
        rooms = [*task.free_rooms, *(r for r, n in zip(task.rooms, chosen, strict=True) for _ in range(n))]
        if sum(rooms) >= task.total and packs(task.sizes, task.counts, rooms):
            yield chosen


@settings(max_examples=25, deadline=None)
@given(lengths)
def test_demands_never_refute_a_set_that_packs(wanted):
    task = prepare([Piece(mark="p", length=n) for n in wanted], [*BARS, RACK], 3.0)
    demands = [by_length(task), *by_sums(task)]
    columns = Columns(task)
    for chosen in sets_that_pack(task, 2):
        assert all(d.short(chosen) <= 0 for d in demands)
        assert columns.refute(chosen)[0] is None


def test_programme_refutes_what_no_length_shows_and_its_demand_holds_for_all_sets():
    # 700 + 301 misses 1000 mm by one, and such gaps add up from bar to bar.
    task = prepare([Piece(mark="a", length=700, count=4), Piece(mark="b", length=301, count=4)], BARS, 0.0)
    columns = Columns(task)
    good = list(sets_that_pack(task, 3))
    told = 0
    for chosen in itertools.product(range(4), repeat=3):
        demand, fits = columns.refute(chosen)
        if demand is None:
            continue
        told += 1
        assert not fits
        assert chosen not in good
        assert all(demand.short(g) <= 1e-6 for g in good)
    assert told


@settings(max_examples=40, deadline=None)
@given(lengths)
def test_sets_come_in_order_and_none_is_left_out(wanted):
    task = prepare([Piece(mark="p", length=n) for n in wanted], [*BARS, RACK], 3.0)
    sets = Sets(task, [by_length(task)])
    last = (task.steps(150.0), 0)
    came = []
    while (chosen := sets.next(last, 10_000)) is not None:
        came.append(chosen)
    keys = [sets.key(c) for c in came]
    assert keys == sorted(keys)
    assert len(came) == len(set(came))
    everything = itertools.product(*(range(min(8, n) + 1) for n in task.limits))
    assert set(came) == {c for c in everything if sets.meets(c) and sets.key(c) < last}
    assert sets.bound() >= last or sets.bound() == END
