"""Assemblies: every piece of steel once, each made from what was made before, masses that add up."""

from __future__ import annotations

import math

import pytest

from framecore.shop.assemblies import STAND
from framecore.shop.tolerance import diagonal_tolerance
from framecore.stand.work import work_of
from tests.unit.shop.work_samples import RANDOM, SAMPLES, random_stand, stand, work


def check_whole(s):
    parts = work_of(s).assemblies
    placed = [n for a in parts for n in (*a.members, *a.plates)]
    assert sorted(placed) == sorted([m.name for m in s.frame.members] + [p.name for p in s.frame.plates])
    seen: set[str] = set()
    for a in parts:
        assert a.name not in seen
        assert set(a.takes) <= seen
        seen.add(a.name)
    assert parts[-1].name == STAND
    # Each goes into exactly one later assembly.
    taken = [n for a in parts for n in a.takes]
    assert sorted(taken) == sorted(seen - {STAND})
    assert parts[-1].mass == pytest.approx(s.solids.mass, rel=1e-9)
    mass = dict(zip(s.solids.layout.parts, s.solids.masses.tolist(), strict=True))
    of = {a.name: a.mass for a in parts}
    for a in parts[:-1]:
        assert a.mass == pytest.approx(sum(mass[n] for n in (*a.members, *a.plates)) + sum(of[t] for t in a.takes))


@pytest.mark.parametrize("name", SAMPLES)
def test_every_piece_is_in_one_assembly(name):
    check_whole(stand(name))


def test_every_piece_of_random_stands_is_in_one_assembly():
    built = [s for s in map(random_stand, RANDOM) if s is not None]
    assert len(built) >= 50
    for s in built:
        check_whole(s)


def test_pedestals_are_made_of_their_frames_before_the_stand():
    parts = {a.name: a for a in work("long-lathe-pedestals").assemblies}
    assert parts["pedestal left"].takes == ("end frame left", "middle frame 1")
    assert parts["pedestal right"].takes == ("middle frame 2", "end frame right")
    assert set(parts["pedestal left"].members) == {"lower rail front left", "lower rail back left"}
    assert set(parts[STAND].takes) == {"top ring", "pedestal left", "pedestal right"}


def test_one_row_of_frames_is_no_pedestal():
    assert not [a for a in work("workbench").assemblies if a.name.startswith("pedestal")]
    assert not [a for a in work("bench-lathe").assemblies if a.name.startswith("pedestal")]


def test_end_frames_of_a_four_post_stand():
    left, right, whole = work("bench-lathe").assemblies
    assert (left.name, right.name, whole.name) == ("end frame left", "end frame right", STAND)
    assert set(left.members) == {"leg FL", "leg BL", "top rail left", "lower rail left"}
    assert set(left.plates) == {"pad FL", "pad BL"}
    s = stand("bench-lathe")
    high = s.frame.ring_top - min(p[2] for p in (m.start.point for m in s.frame.members))
    assert {round(c.value) for c in left.checks if c.kind == "over all"} == {520, round(high)}


@pytest.mark.parametrize("name", SAMPLES)
def test_measures_are_distances_and_pairs_agree(name):
    for a in work(name).assemblies:
        for c in a.checks:
            assert c.value == pytest.approx(math.dist(c.a, c.b))
            assert c.tolerance > 0
        for pair in {c.pair for c in a.checks if c.pair}:
            values = [c.value for c in a.checks if c.pair == pair]
            assert max(values) - min(values) < 0.5, (a.name, pair)


def test_a_frames_diagonal_is_that_of_its_rectangle():
    left = work("bench-lathe").assemblies[0]
    wide, high = sorted({round(c.value, 3) for c in left.checks if c.kind == "over all"})
    for c in left.checks:
        if c.kind == "diagonal":
            assert c.value == pytest.approx(math.hypot(wide, high), abs=1e-3)
            assert c.tolerance == pytest.approx(diagonal_tolerance(wide, high))


def test_posts_are_not_measured_as_corners():
    s = stand("saw-on-wheels")
    whole = work("saw-on-wheels").assemblies[-1]
    heights = [c.value for c in whole.checks if c.kind == "corner height"]
    pads = min(f.top[2] for f in s.frame.feet)
    assert heights == pytest.approx([s.frame.ring_top - pads] * 4)


def test_a_pedestal_is_measured_in_all_three_directions():
    left = next(a for a in work("long-lathe-pedestals").assemblies if a.name == "pedestal left")
    assert {c.pair for c in left.checks} == {"top diagonals", "feet diagonals", "front diagonals", "heights"}


def test_three_feet_are_measured_from_one_to_the_next():
    feet = {f.name: f.top for f in stand("surface-plate").frame.feet}
    told = {c.text: c.value for c in work("surface-plate").assemblies[-1].checks if c.kind == "centres"}
    assert told == {
        f"centres, foot {a} to {b}": pytest.approx(math.dist(feet[f"foot {a}"], feet[f"foot {b}"]))
        for a, b in (("FL", "FR"), ("FL", "BM"), ("FR", "BM"))
    }
