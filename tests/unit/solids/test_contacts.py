"""Contacts and seams against what can be told by hand: perimeters, mitres, flush sides, parts that cover a seam."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from framecore.brief import read_brief
from framecore.catalogue import profile
from framecore.frame import build_frame
from framecore.frame._build import box_bar, flat_plate, rectangle
from framecore.frame._ring import rail_across, rail_along, whole_ring
from framecore.frame.model import Frame, PlateRole, Role
from framecore.solids import SolidsBuilder
from framecore.solids.contacts import contacts


def touching(members, plates=(), made=()):
    frame = Frame(
        members=tuple(members), plates=tuple(plates), holes=(), joints=(), feet=(), mounts=(), seat=0.0, ring_top=0.0,
        length=1000.0, depth=500.0, findings=(), topology=(tuple(m.name for m in members), len(plates)),
    )  # fmt: skip
    return contacts(frame, SolidsBuilder().build(frame, 7850.0), made)


def run(profile_id="SHS 60x60x4", top=0.0):
    return rail_along("run", Role.TOP_RAIL, profile(profile_id), -500.0, 500.0, 0.0, top)


def branch(profile_id="SHS 30x30x3", top=-15.0, half=30.0):
    return rail_across("branch", Role.BEARER, profile(profile_id), half, 400.0, 0.0, top)


def degrees(contact):
    return Counter(round(math.degrees(s.opening)) for s in contact.seams)


def rounded_perimeter(b, radius):
    return 4 * b - (8 - 2 * math.pi) * radius


def test_a_branch_on_the_flat_of_a_run_is_welded_all_round_its_rounded_perimeter():
    (found,) = touching([run(), branch()])
    assert degrees(found) == {90: 4}
    assert all(s.edges == (False, True) and s.flare == 0.0 for s in found.seams)
    assert found.area == pytest.approx(900.0)
    # The perimeter of EN 10219's rounded outside: corner radius twice the wall.
    assert sum(s.length for s in found.seams) == pytest.approx(rounded_perimeter(30.0, 6.0), abs=1e-6)
    assert found.normal == pytest.approx((0.0, 1.0, 0.0))


def test_a_branch_as_wide_as_the_run_has_two_flush_sides_on_its_rounded_corners():
    (found,) = touching([run("SHS 50x50x3"), branch("SHS 50x50x3", top=0.0, half=25.0)])
    flush = [s for s in found.seams if round(math.degrees(s.opening)) == 180]
    assert len(flush) == 2
    assert all(s.flare == 6.0 and s.edges == (True, True) for s in flush)
    assert {round(s.a[2]) for s in flush} == {0, -50}
    fillets = [s for s in found.seams if round(math.degrees(s.opening)) == 90]
    assert len(fillets) == 2


def test_a_mitred_corner_has_two_flush_faces_an_inner_fillet_and_an_outer_corner():
    p = profile("SHS 40x40x3")
    rails = whole_ring("rail", Role.TOP_RAIL, p, 600.0, 400.0, 0.0, mitred=True)
    found = touching(rails)
    assert len(found) == 4
    for contact in found:
        assert degrees(contact) == {180: 2, 90: 1, 270: 1}
        flush = [s for s in contact.seams if round(math.degrees(s.opening)) == 180]
        # Across the mitre a face is longer by the root of two.
        for s in flush:
            assert math.dist(s.a, s.b) == pytest.approx(40.0 * math.sqrt(2), abs=1e-6)


def test_a_leaning_branch_has_a_sharp_and_a_blunt_side_that_make_half_a_turn():
    a = math.radians(60.0)
    leg = box_bar(
        "leg", Role.LEG, profile("SHS 30x30x3"), start=(0.0, 0.0, 0.0), end=(300 * math.cos(a), 0.0, 300 * math.sin(a)),
        y_axis=(0.0, 1.0, 0.0), z_axis=(-math.sin(a), 0.0, math.cos(a)), start_normal=(0.0, 0.0, -1.0), end_normal=None,
    )  # fmt: skip
    (found,) = touching([run(), leg])
    openings = sorted(round(math.degrees(s.opening)) for s in found.seams)
    assert openings == [60, 90, 90, 120]


def test_what_another_part_covers_is_no_seam():
    first = touching([run(), branch()])[0]
    # A plate against the branch's right side and the run: that side is shut along the plate's reach.
    shut = flat_plate(
        "shut", PlateRole.GUSSET, outline=rectangle(80.0, 100.0), at=(15.0 + 40.0, 30.0 + 50.0), bottom=-60.0, thickness=60.0,
        density=7850.0,
    )  # fmt: skip
    found = {frozenset((c.one, c.other)): c for c in touching([run(), branch()], [shut])}
    covered = found[frozenset(("run", "branch"))]
    lost = sum(s.length for s in first.seams) - sum(s.length for s in covered.seams)
    assert len(covered.seams) == 3
    assert lost == pytest.approx(30.0 - 2 * (1 - math.pi / 4) * 6.0, abs=1e-6)


def test_a_flush_seam_is_welded_before_a_later_part_covers_it():
    p = profile("SHS 40x40x3")
    rails = whole_ring("rail", Role.TOP_RAIL, p, 600.0, 400.0, 0.0, mitred=True)
    leg = box_bar("leg", Role.LEG, p, start=(-280.0, -180.0, -500.0), end=(-280.0, -180.0, -40.0), y_axis=(1.0, 0.0, 0.0),
                  z_axis=(0.0, 1.0, 0.0))  # fmt: skip
    ring = [m.name for m in rails]
    corner = frozenset(("rail front", "rail left"))

    def seams(made):
        return next(c.seams for c in touching([*rails, leg], made=made) if {c.one, c.other} == corner)

    assert len(seams(())) == len(seams([["rail front", "leg"], [*ring, "leg"]])) == 3
    first = seams([ring, [*ring, "leg"]])
    (under,) = [s for s in first if s.under]
    assert len(first) == 4 and under.under == "leg"
    assert (under.a[2], under.b[2]) == pytest.approx((-40.0, -40.0))
    assert math.dist(under.a, under.b) == pytest.approx(40.0 * math.sqrt(2))
    # At the other corners nothing comes later.
    assert not [s for c in touching(rails, made=[ring]) for s in c.seams if s.under]


def test_a_fillet_that_a_later_part_stands_on_is_no_seam():
    shut = flat_plate(
        "shut", PlateRole.GUSSET, outline=rectangle(80.0, 100.0), at=(15.0 + 40.0, 30.0 + 50.0), bottom=-60.0, thickness=60.0,
        density=7850.0,
    )  # fmt: skip
    pair = frozenset(("run", "branch"))
    for made in ((), [["run", "branch"], ["run", "branch", "shut"]]):
        (found,) = [c for c in touching([run(), branch()], [shut], made) if {c.one, c.other} == pair]
        assert len(found.seams) == 3


def test_a_seam_that_is_covered_in_part_keeps_the_rest():
    low = flat_plate(
        "low", PlateRole.GUSSET, outline=rectangle(80.0, 100.0), at=(15.0 + 40.0, 30.0 + 50.0), bottom=-60.0, thickness=25.0,
        density=7850.0,
    )  # fmt: skip
    found = {frozenset((c.one, c.other)): c for c in touching([run(), branch()], [low])}
    side = [s for s in found[frozenset(("run", "branch"))].seams if s.a[0] > 14.9 and s.b[0] > 14.9]
    # The branch reaches from -45 to -15; the plate's top lies at -35 and a seam needs a little air over it.
    assert len(side) == 1
    reach = sorted((side[0].a[2], side[0].b[2]))
    assert reach == pytest.approx([-35.0, -15.0], abs=0.2)


def test_pads_are_welded_round_the_leg():
    pad = flat_plate(
        "pad", PlateRole.PAD, outline=rectangle(80.0, 80.0), at=(0.0, 215.0), bottom=-72.0, thickness=12.0, density=7850.0
    )
    post = rail_across("branch", Role.BEARER, profile("SHS 50x50x3"), 30.0, 400.0, 0.0, -10.0)
    found = touching([run(), post], [pad])
    (on_pad,) = [c for c in found if "pad" in (c.one, c.other)]
    assert on_pad.area == pytest.approx(80.0 * 50.0)
    long_sides = [s for s in on_pad.seams if s.flare]
    assert len(long_sides) == 2
    assert all(s.length == pytest.approx(80.0) for s in long_sides)


def test_apart_by_more_than_the_gap_nothing_touches():
    assert touching([run(), branch(half=30.4)]) == ()
    assert len(touching([run(), branch(half=30.2)])) == 1


def test_a_sheet_that_is_laid_on_afterwards_covers_no_seam_of_the_frame():
    parts = [run("SHS 50x50x3"), branch("SHS 50x50x3", top=0.0, half=25.0)]
    (bare,) = touching(parts)
    sheet = {"outline": rectangle(200.0, 200.0), "at": (0.0, 50.0), "bottom": 0.0, "thickness": 2.0, "density": 7850.0}
    over = {r: flat_plate("sheet", r, **sheet) for r in (PlateRole.SHELF, PlateRole.TOP, PlateRole.GUSSET)}

    def length(role):
        found = {frozenset((c.one, c.other)): c for c in touching(parts, [over[role]])}
        return sum(s.length for s in found[frozenset(("run", "branch"))].seams)

    whole = sum(s.length for s in bare.seams)
    assert length(PlateRole.SHELF) == pytest.approx(whole)
    assert length(PlateRole.TOP) == pytest.approx(whole)
    assert length(PlateRole.GUSSET) < whole - 30.0


def test_in_an_angles_root_there_is_no_seam_with_the_ring_corner():
    made = read_brief('[frame]\nlegs = "wrapped angle"\nsections.legs = "L 50x50x5"\n')
    assert made.brief is not None
    frame = build_frame(made.brief, 800.0)
    found = contacts(frame, SolidsBuilder().build(frame, 7850.0))
    legs = {m.name for m in frame.members if m.profile.is_angle}
    on_legs = [c for c in found if c.one in legs or c.other in legs]
    assert len(on_legs) >= 16
    # Rails lie along the legs' inner faces: right angles and flush ends, nothing between.
    assert {round(math.degrees(s.opening)) for c in on_legs for s in c.seams} <= {90, 180, 270}
