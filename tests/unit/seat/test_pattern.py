"""Holes from measured distances, rubbings, and the nearest even pattern."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from framecore.seat._distances import Ties, apart, folded
from framecore.seat.pattern import Pair, PatternError, pattern_from_pairs, pattern_from_rubbing
from framecore.seat.symmetric import nearest_symmetric

SIX = ((0.0, 0.0), (300.0, 0.0), (610.0, 4.0), (605.0, 205.0), (302.0, 190.0), (-3.0, 200.0))
FOUR = ((0.0, 0.0), (500.0, 0.0), (490.0, 200.0), (5.0, 198.0))


def pairs_of(points, which=None, *, noise=0.0, seed=0):
    rng = np.random.default_rng(seed)
    chosen = list(combinations(range(1, len(points) + 1), 2)) if which is None else which
    return [
        Pair(a=a, b=b, distance=math.dist(points[a - 1], points[b - 1]) + noise * float(rng.standard_normal()))
        for a, b in chosen
    ]


def refused(*args, **more):
    with pytest.raises(PatternError) as caught:
        pattern_from_pairs(*args, **more)
    assert caught.value.finding.field == "machine.holes"
    return caught.value.finding.message


def test_all_distances_give_back_the_pattern():
    got = pattern_from_pairs(6, pairs_of(SIX))
    assert np.array(got.holes) == pytest.approx(np.array(SIX), abs=1e-6)
    assert got.misfits == pytest.approx([0.0] * 15, abs=1e-6)
    assert got.spare == 6 and got.suspect is None and "agree" in got.text
    assert "hole 3 is taken" not in got.side and "hole 4 is taken to lie behind" in got.side


def test_order_and_direction_of_the_measurements_do_not_matter():
    pairs = pairs_of(SIX, noise=0.3)
    one = pattern_from_pairs(6, pairs)
    other = pattern_from_pairs(6, [replace(p, a=p.b, b=p.a) for p in reversed(pairs)])
    assert np.array(one.holes) == pytest.approx(np.array(other.holes), abs=1e-6)
    assert one.misfits == pytest.approx(other.misfits[::-1], abs=1e-6)


def test_edges_are_turned_to_centres():
    diameters = (12.0, 10.0, 14.0, 12.0)
    pairs = pairs_of(FOUR)
    half = [(diameters[p.a - 1] + diameters[p.b - 1]) / 2 for p in pairs]
    way = [("centres", 0), ("outside edges", 1), ("inside edges", -1)]
    mixed = [
        replace(p, distance=p.distance + way[k % 3][1] * h, over=way[k % 3][0])
        for k, (p, h) in enumerate(zip(pairs, half, strict=True))
    ]
    got = pattern_from_pairs(4, mixed, edges=diameters)
    assert np.array(got.holes) == pytest.approx(np.array(FOUR), abs=1e-6)
    assert "diameters" in refused(4, mixed)


@settings(max_examples=15, deadline=None)
@given(st.integers(3, 6), st.integers(0, 10_000))
def test_any_pattern_well_off_a_line_is_found(count, seed):
    rng = np.random.default_rng(seed)
    points = [tuple(p) for p in rng.uniform(0, 600, (count, 2))]
    span = np.linalg.svd(np.array(points) - np.mean(points, axis=0), compute_uv=False)
    near = min(math.dist(a, b) for a, b in combinations(points, 2))
    assume(span[1] > 100 and near > 60)
    got = pattern_from_pairs(count, pairs_of(points))
    for i, j in combinations(range(count), 2):
        assert math.dist(got.holes[i], got.holes[j]) == pytest.approx(math.dist(points[i], points[j]), abs=1e-6)
    assert got.holes[0] == (0.0, 0.0) and got.holes[1][1] == pytest.approx(0.0, abs=1e-9) and got.holes[1][0] > 0


def test_standard_errors_are_those_of_many_measurings():
    which = [(1, 2), (2, 3), (3, 4), (1, 4), (1, 3), (2, 4)]
    told = pattern_from_pairs(4, pairs_of(FOUR, which), reading=0.3)
    want, offs = np.array(FOUR), []
    for seed in range(80):
        got = np.array(pattern_from_pairs(4, pairs_of(FOUR, which, noise=0.3, seed=seed), reading=0.3).holes)
        z, w = (got - got.mean(axis=0)) @ (1, 1j), (want - want.mean(axis=0)) @ (1, 1j)
        offs.append(np.abs(z * np.exp(1j * np.angle((w * z.conj()).sum())) - w))
    spread = np.sqrt((np.array(offs) ** 2).mean(axis=0))
    assert np.array(told.standard_errors) == pytest.approx(spread, rel=0.15)


@pytest.mark.parametrize("wrong", range(15))
@pytest.mark.parametrize("by", [-6.0, 40.0])
def test_the_wrong_one_of_many_is_named(wrong, by):
    pairs = pairs_of(SIX, noise=0.2, seed=wrong)
    true = pairs[wrong].distance
    pairs[wrong] = replace(pairs[wrong], distance=true + by)
    got = pattern_from_pairs(6, pairs)
    assert got.suspect is not None and got.suspect.index == wrong
    assert got.suspect.expected == pytest.approx(true, abs=1.5)
    assert got.suspect.misfit == pytest.approx(by, abs=1.5)
    assert f"hole {pairs[wrong].a} to hole {pairs[wrong].b}" in got.text


def test_good_measurements_raise_no_suspicion():
    named = sum(pattern_from_pairs(6, pairs_of(SIX, noise=0.3, seed=s)).suspect is not None for s in range(20))
    assert named <= 2


def test_one_spare_measurement_shows_that_but_not_which():
    pairs = pairs_of(FOUR)
    pairs[0] = replace(pairs[0], distance=pairs[0].distance + 8)
    got = pattern_from_pairs(4, pairs)
    assert got.spare == 1 and got.suspect is None and "contradict" in got.text
    assert got.reading > 1.0


def test_too_few_or_badly_chosen_distances_are_refused_with_what_to_measure():
    assert "at least 5 different pairs" in refused(4, pairs_of(FOUR, [(1, 2), (2, 3), (3, 4), (1, 4)]))
    assert "Hole 4 has 1 distance" in refused(4, pairs_of(FOUR, [(1, 2), (2, 3), (1, 3), (3, 4)]))
    assert "Hole 4 has no distances" in refused(4, pairs_of(FOUR, [(1, 2), (2, 3), (1, 3)]))
    # Enough in number, but holes 5 and 6 hang on the rest by one spare measurement too few.
    which = [*combinations(range(1, 5), 2), (4, 5), (5, 6), (6, 1)]
    text = refused(6, pairs_of(SIX, which))
    assert "loose" in text and "measure also hole" in text
    line = [(0.0, 0.0), (100.0, 0.0), (250.0, 0.0)]
    assert "line" in refused(3, pairs_of(line))


def test_two_patterns_are_told_apart_by_sides():
    which = [(1, 2), (1, 3), (2, 3), (1, 4), (2, 4)]
    pairs = pairs_of(FOUR, which)
    text = refused(4, pairs)
    assert "two different patterns" in text and "hole 3 to hole 4" in text
    same = pattern_from_pairs(4, pairs, sides={3: 1, 4: 1})
    assert np.array(same.holes) == pytest.approx(np.array(FOUR), abs=1e-6)
    other = pattern_from_pairs(4, pairs, sides={3: -1, 4: 1})
    assert other.holes[2] == pytest.approx((490.0, -200.0)) and other.holes[3] == pytest.approx((5.0, 198.0))
    mirrored = pattern_from_pairs(6, pairs_of(SIX), sides={4: -1})
    assert mirrored.holes[3][1] == pytest.approx(-205.0) and "as told" in mirrored.side
    assert "other side" in refused(6, pairs_of(SIX), sides={4: 1, 5: -1})


@pytest.mark.parametrize(
    ("pair", "says"),
    [
        (Pair(a=1, b=1, distance=10), "two different holes"),
        (Pair(a=1, b=9, distance=10), "two different holes"),
        (Pair(a=1, b=2, distance=-3), "leaves no distance"),
        (Pair(a=1, b=2, distance=math.nan), "leaves no distance"),
        (Pair(a=1, b=2, distance=5, over="outside edges"), "leaves no distance"),
        (Pair(a=1, b=2, distance=5, over="thumbs"), "must be over"),
    ],
)
def test_distances_that_cannot_be_are_refused(pair, says):
    assert says in refused(4, [*pairs_of(FOUR), pair], edges=(12.0,) * 4)


def test_bad_counts_and_sides_are_refused():
    assert "2 to 40 holes" in refused(1, [])
    assert "one diameter" in refused(4, pairs_of(FOUR), edges=(12.0,))
    assert "+1" in refused(4, pairs_of(FOUR), sides={2: 1})
    assert "reading" in refused(4, pairs_of(FOUR), reading=0.0)
    two = pattern_from_pairs(2, [Pair(a=1, b=2, distance=321.5)])
    assert two.holes[1] == pytest.approx((321.5, 0.0)) and "one line" in two.side


def test_a_rubbing_with_one_known_length_gives_the_pattern():
    c, s = math.cos(0.7), math.sin(0.7)
    drawn = [(0.1 * (c * x - s * y) + 3, 0.1 * (s * x + c * y) - 8) for x, y in FOUR]
    known = Pair(a=1, b=3, distance=math.dist(FOUR[0], FOUR[2]) + 12.0, over="outside edges")
    got = pattern_from_rubbing(drawn, known, edges=(12.0,) * 4)
    assert np.array(got.holes) == pytest.approx(np.array(FOUR), abs=1e-9)
    assert got.scale == pytest.approx(10.0)
    below = pattern_from_rubbing([(-x, y) for x, y in drawn], known, edges=(12.0,) * 4, from_below=True)
    assert np.array(below.holes) == pytest.approx(np.array(FOUR), abs=1e-9)
    for bad in (replace(known, a=3), replace(known, distance=10.0), replace(known, b=7)):
        with pytest.raises(PatternError):
            pattern_from_rubbing(drawn, bad, edges=(12.0,) * 4)
    with pytest.raises(PatternError):
        pattern_from_rubbing(drawn, known)


def placed_at(points, angle, shift):
    z = np.array(points) @ (1, 1j) * np.exp(1j * angle) + complex(*shift)
    return [(p.real, p.imag) for p in z]


@settings(max_examples=30, deadline=None)
@given(st.floats(-3, 3), st.floats(0.3, 2.9), st.permutations(range(4)))
def test_a_rectangle_and_a_trapezium_are_their_own_nearest(angle, wide, order):
    assume(abs(wide - 1) > 0.05)
    a, b = 200.0 * wide, 200.0
    box = [(0, 0), (a, 0), (a, b), (0, b)]
    even = placed_at([box[k] for k in order], angle, (30, -70))
    rectangle, trapezium = nearest_symmetric(even)
    assert rectangle.kind == "rectangle" and rectangle.worst < 1e-6 and trapezium.worst < 1e-6
    assert f"{max(a, b):.1f} x {min(a, b):.1f}" in rectangle.text
    narrow = placed_at([(0, 0), (a, 0), (a - 40, b), (40, b)], angle, (0, 5))
    rectangle, trapezium = nearest_symmetric(narrow)
    assert trapezium.kind == "trapezium" and trapezium.worst < 1e-6 and rectangle.worst > 5


def test_no_rectangle_turned_or_sized_a_little_is_nearer():
    rng = np.random.default_rng(3)
    for _ in range(5):
        points = np.array([(0, 0), (500, 0), (500, 200), (0, 200)]) + rng.normal(0, 4, (4, 2))
        got = nearest_symmetric([tuple(p) for p in points])[0]
        near = np.array(got.holes)
        assert got.off == pytest.approx(np.hypot(*(points - near).T))
        sides = [math.dist(near[i], near[j]) for i, j in ((0, 1), (1, 2), (0, 2))]
        assert math.hypot(*sides[:2]) == pytest.approx(sides[2])
        least, middle = sum(v * v for v in got.off), near.mean(axis=0)
        for angle in (-1e-3, 1e-3):
            c, s = math.cos(angle), math.sin(angle)
            assert (((near - middle) @ [[c, s], [-s, c]] + middle - points) ** 2).sum() > least
        for size in (0.999, 1.001):
            along = (near[1] - near[0]) / sides[0]
            off = near - middle
            assert ((near + (size - 1) * (off @ along)[:, None] * along - points) ** 2).sum() > least
        assert ((near + np.array((0.05, 0)) - points) ** 2).sum() > least


def test_more_holes_than_four_and_lone_ones():
    both, one = nearest_symmetric([(0, 0), (300, 0), (600, 0), (600, 200), (300, 200), (0, 200)])
    assert both.worst < 1e-9 and both.kind == "two mirror lines" and one.worst < 1e-9
    assert both.angle == pytest.approx(0.0, abs=1e-9) and both.middle == pytest.approx((300.0, 100.0))
    (three,) = nearest_symmetric([(0, 0), (0, 100), (90, 50)])
    assert three.mirrors == 1 and three.worst < 1e-9
    for bad in ([(0, 0)], [(0, 0), (math.nan, 1)]):
        with pytest.raises(ValueError, match="two holes"):
            nearest_symmetric(bad)


def test_a_contradiction_that_several_could_have_made_names_none():
    # Hole 5 hangs on three distances: leaving out any one of them cures it.
    points = (*FOUR, (250.0, 320.0))
    pairs = pairs_of(points, [*combinations(range(1, 5), 2), (1, 5), (2, 5), (3, 5)])
    pairs[-1] = replace(pairs[-1], distance=pairs[-1].distance + 8)
    got = pattern_from_pairs(5, pairs)
    assert got.spare == 2 and got.suspect is None and "contradict" in got.text


def test_folding_a_part_over_its_hinge_changes_no_measured_distance():
    points = np.array((*FOUR, (250.0, 320.0), (100.0, -90.0)))
    which = np.array([(0, 1), (0, 2), (1, 2), (0, 3), (1, 3), (2, 3), (2, 4), (3, 4), (0, 5), (1, 5)])
    length = np.hypot(*(points[which[:, 0]] - points[which[:, 1]]).T)
    ties = Ties(count=6, a=which[:, 0], b=which[:, 1], length=length)
    folds = list(folded(ties, points))
    assert len(folds) == 2  # hole 5 over the line 3-4, hole 6 over the line 1-2
    for fold in folds:
        assert ties.misfits(fold) == pytest.approx(0.0, abs=1e-9)
        assert apart(points, fold) > 20
