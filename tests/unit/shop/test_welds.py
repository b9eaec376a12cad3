"""Welds: lengths by hand, every joint held, sheets only stitched, marks that mean one thing."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.frame._build import flat_plate
from framecore.frame.model import Member, PlateRole, Role
from framecore.seat.turned import seat_parts
from framecore.shop._over import SEAT, _Cover, dressed
from framecore.shop.assemblies import assemblies, wholes
from framecore.shop.welds import HOLDS, SQUARE, STITCH, _holding, stitches, welds
from framecore.solids import SolidsBuilder
from framecore.solids.contacts import FLUSH, contacts
from framecore.stand.work import work_of
from tests.unit.shop.work_samples import RANDOM, SAMPLES, of_text, random_stand, stand, work


def perimeter(side, radius):
    """Of a square tube with rounded corners."""
    return 4 * side - (8 - 2 * math.pi) * radius


def length(found):
    return sum(w.length for w in found)


def at(name, joint):
    return [w for w in work(name).welds if w.joint == joint]


def test_a_leg_on_its_pad_is_welded_along_its_rounded_perimeter():
    s = stand("bench-lathe")
    leg = s.frame.member("leg FL").profile
    (w,) = at("bench-lathe", "pad FL")
    assert w.kind == "fillet" and w.leg == 3.0
    assert w.throat == pytest.approx(3.0 / math.sqrt(2), abs=1e-3)
    assert w.length == pytest.approx(perimeter(leg.width, leg.corner), abs=0.01)
    assert w.parts == ("pad FL", "leg FL")


def test_a_rail_between_legs_is_welded_along_its_rounded_perimeter():
    rail = stand("bench-lathe").frame.member("lower rail left").profile
    own = [w for w in at("bench-lathe", "lower rail corner FL") if "lower rail left" in w.parts]
    assert {w.kind for w in own} == {"fillet", "flare-bevel"}
    assert length(own) == pytest.approx(perimeter(rail.width, rail.corner), abs=0.01)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_joint_of_two_members_has_a_weld(name):
    pairs = {frozenset(w.parts) for w in work(name).welds}
    plates = [p.name for p in stand(name).frame.plates]
    joints = [j for j in stand(name).frame.joints if len(j.members) > 1]
    assert joints
    for j in joints:
        run, *branches = j.members
        for b in branches:
            through = any({frozenset((run, p)), frozenset((p, b))} <= pairs for p in plates)
            others = any(frozenset((b, n)) in pairs for n in j.members if n != b)
            assert others or through, (j.name, b)


def check_sub_assemblies(s):
    """Put each assembly together alone: what touches in a joint is welded in it, every flush seam whatever comes later."""
    w = work_of(s)
    members, plates = {m.name: m for m in s.frame.members}, {p.name: p for p in s.frame.plates}
    joints = [set(j.members) for j in s.frame.joints]
    done: set[frozenset[str]] = set()
    asked = 0
    for a, own in zip(w.assemblies, wholes(w.assemblies), strict=True):
        alone = replace(
            s.frame, members=tuple(m for n, m in members.items() if n in own), joints=(), feet=(), mounts=(), holes=(),
            plates=tuple(p for n, p in plates.items() if n in own), casters=(), topology=(s.frame.topology, a.name),
        )  # fmt: skip
        for c in contacts(alone, SolidsBuilder().build(alone, 7850.0)):
            pair = frozenset((c.one, c.other))
            if c.other in plates or pair in done or not any(pair <= j for j in joints):
                continue
            if any(x.length >= 10.0 and x.opening >= math.radians(30) for x in c.seams):
                own_welds = [x for x in w.welds if frozenset(x.parts) == pair]
                assert own_welds and all(x.assembly == a.name for x in own_welds), (a.name, pair)
            flush = sum(x.length for x in c.seams if x.opening >= FLUSH and x.length >= 10.0)
            laid = [x for x in w.welds if frozenset(x.parts) == pair and x.kind != "fillet"]
            asked += flush > 0
            assert sum(x.length for x in laid) >= flush - 0.01, (a.name, pair)
        done |= {frozenset(p) for p in itertools.combinations(sorted(own), 2)}
    return asked


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_flush_in_an_assembly_is_welded_in_it(name):
    asked = check_sub_assemblies(stand(name))
    assert asked or name in ("bench-lathe-trestle", "grinder-column", "surface-plate")


def test_what_is_flush_in_assemblies_of_random_stands_is_welded_in_them():
    assert sum(check_sub_assemblies(s) for s in list(filter(None, map(random_stand, RANDOM)))[:40]) > 100


def test_mitres_under_the_legs_of_a_bench_are_welded_and_ground_before_the_legs_stand_on_them():
    under = {w.under: w for w in work("workbench").welds if w.under}
    assert set(under) == {"leg FR", "leg BR", "vice brace end"}
    rail = stand("workbench").frame.member("top rail front").profile
    for w in under.values():
        assert w.kind == "butt" and w.flush and w.assembly == "top ring"
        assert w.length == pytest.approx(rail.width * math.sqrt(2) - 2 * (1 - math.pi / 4) * rail.corner, abs=0.01)
    assert under["leg FR"].why == "the leg lies against it"


def test_every_member_of_random_stands_is_held_by_a_weld():
    for s in filter(None, map(random_stand, RANDOM)):
        held = {n for w in s.work().welds for n in w.parts}
        loose = [m.name for m in s.frame.members if m.name not in held]
        assert not loose, (s.frame.topology, loose)


@pytest.mark.parametrize("name", SAMPLES)
def test_a_weld_is_what_its_runs_are(name):
    for w in work(name).welds:
        whole = sum(math.dist(r[0], r[-1]) for r in w.runs)
        if w.pitch:
            assert w.length == pytest.approx(stitches(whole, w.pitch) * STITCH)
        else:
            # Rounded corners only shorten: at most the four of a tube's end.
            assert whole - 8 * 10.0 <= w.length <= whole + 1e-6
        assert len(w.faces) == len(w.runs)
        assert 0 < w.throat <= 7.0 and w.metal > 0
        assert (w.leg > 0) == (w.kind == "fillet")
        for one, other in w.faces:
            assert np.linalg.norm(one) == pytest.approx(1) and np.linalg.norm(other) == pytest.approx(1)


@pytest.mark.parametrize("name", SAMPLES)
def test_sheets_are_stitched_to_rails_at_most_on_four_sides(name):
    frame = stand(name).frame
    members = {m.name: m for m in frame.members}
    for plate in frame.plates:
        own = [w for w in work(name).welds if w.joint == plate.name]
        if plate.role in (PlateRole.SHELF, PlateRole.BACK):
            assert len(own) <= HOLDS
            for w in own:
                assert w.pitch > 0 and len(w.runs) == 1 and w.throat <= plate.thickness
                (on,) = (members[n] for n in w.parts if n in members)
                assert on.role is not Role.LEG
        if plate.role in (PlateRole.TOP, PlateRole.BACKSTOP) and not plate.steel:
            assert not own


def test_a_shelf_is_stitched_to_all_four_rails():
    own = {n for w in work("bench-lathe").welds if w.joint == "shelf" for n in w.parts}
    assert own == {"shelf", *(f"lower rail {side}" for side in ("front", "back", "left", "right"))}


def test_a_sheet_is_held_by_rails_before_legs_and_by_the_longest_seams():
    members = {m.name: m for m in stand("workbench").frame.members}

    def seam(on, size):
        run = ((0.0, 0.0, 0.0), (size, 0.0, 0.0))
        return replace(work("bench-lathe").welds[0], parts=(on, "sheet"), runs=(run,))

    legs = [seam(n, 900.0) for n in ("leg FL", "leg FR", "leg BL", "leg BR")]
    rails = [seam("lower rail left", 300.0), seam("lower rail right", 310.0)]
    parts = {**members, "sheet": stand("workbench").frame.plates[0]}
    assert {w.parts[0] for w in _holding([*legs, *rails], parts)} == {"lower rail left", "lower rail right"}
    assert len(_holding(legs, parts)) == 4
    slats = [seam(f"slat {k}", 100.0 + k) for k in range(1, 7)]
    assert [w.parts[0] for w in _holding([*slats, *rails], parts)] == [
        "lower rail right", "lower rail left", "slat 6", "slat 5",
    ]  # fmt: skip


def test_what_lies_in_a_notch_is_not_covered():
    corner = [(0, 0), (300, 0), (300, 150), (250, 150), (250, 200), (0, 200)]
    outline = np.array(corner, float)
    sheet = flat_plate("sheet", PlateRole.SHELF, outline=outline, at=(0.0, 0.0), bottom=0.0, thickness=2.0, density=7850.0)
    cover = _Cover(sheet)
    assert cover.lies_on([(100.0, 100.0, 0.0)]) and cover.lies_on([(100.0, 100.0, 2.0)])
    assert not cover.lies_on([(100.0, 100.0, 1.0)])
    assert not cover.lies_on([(275.0, 175.0, 0.0)])
    assert not cover.lies_on([(299.8, 100.0, 0.0)])


def test_stitches():
    assert [stitches(x, 150.0) for x in (30.0, 100.0, 175.0, 176.0, 325.0)] == [1, 2, 2, 3, 3]


@pytest.mark.parametrize("name", SAMPLES)
def test_one_mark_means_one_weld(name):
    marks: dict[str, list] = {}
    for w in work(name).welds:
        marks.setdefault(w.mark, []).append(w)
    for own in marks.values():
        assert len({(w.kind, w.leg, w.pitch, w.flush, w.why, len(w.runs)) for w in own}) == 1
        assert max(w.length for w in own) - min(w.length for w in own) <= 5.0
    assert set(marks) == {f"W{k}" for k in range(1, len(marks) + 1)}
    assert len(marks) <= 30


@pytest.mark.parametrize("name", SAMPLES)
def test_only_what_can_be_ground_is_dressed(name):
    for w in work(name).welds:
        assert not (w.flush and (w.kind == "fillet" or w.pitch))
        assert bool(w.why) or not w.flush


@pytest.mark.parametrize("name", SAMPLES)
def test_shelves_are_notched_clear_of_the_fillets_at_the_legs(name):
    assert not [w.mark for w in work(name).welds if w.why.startswith("notch the shelf")]


def test_a_shelf_that_is_notched_too_tight_is_told_deeper_at_its_corners_alone():
    s = stand("bench-lathe")
    (shelf,) = [p for p in s.frame.plates if p.role is PlateRole.SHELF]
    reach = np.abs(shelf.outline).max(axis=0)
    leg = s.frame.member("leg FL").profile.width
    inner = np.abs(shelf.outline) < reach - 1.0
    tight = replace(shelf, outline=np.where(inner, np.sign(shelf.outline) * (reach - leg), shelf.outline))
    frame = replace(s.frame, plates=tuple(tight if p is shelf else p for p in s.frame.plates))
    bare = [replace(w, why="", flush=False) for w in work("bench-lathe").welds]
    told = {w.joint for w in dressed(s.brief, frame, bare) if w.why.startswith("notch the shelf 4 mm")}
    assert told == {f"lower rail corner {c}" for c in ("FL", "FR", "BL", "BR")}
    assert not [w for w in dressed(s.brief, s.frame, bare) if w.why]


def test_welds_under_the_machine_are_dressed():
    flush = [w for w in work("bench-mill").welds if w.flush and not w.under]
    assert {w.joint for w in flush} == {f"bearer {k} {side}" for k in (1, 2) for side in ("front", "back")}
    assert {w.why for w in flush} == {SEAT}


def test_weld_lengths_agree_with_what_the_check_counts():
    for name in SAMPLES:
        s = stand(name)
        for c in s.strength.checks.welds:
            own = [w for w in work(name).welds if w.joint == c.joint and c.member in w.parts]
            # Less is told; of a joint on a plate the weld belongs to the plate.
            if own and length(own) < 0.9 * c.length:
                assert any(f"counts {c.length:.0f} mm" in n and f"{length(own):.0f} mm" in n for n in work(name).notes)
    assert work("surface-plate").notes and not work("bench-lathe").notes


def test_a_butt_is_no_deeper_than_one_sided_welding_reaches():
    assert all(w.throat <= SQUARE for name in SAMPLES for w in work(name).welds if w.kind == "butt")


def test_no_seam_is_welded_in_an_angles_root():
    legs = [m.name for m in stand("bench-mill").frame.members if m.profile.is_angle]
    own = [w for w in work("bench-mill").welds if w.kind == "fillet" and set(w.parts) & set(legs) and "pad" not in w.joint]
    assert own and all(w.throat == pytest.approx(25.4 / 8 / math.sqrt(2), abs=1e-3) for w in own)


def test_a_wall_over_the_runs_rounded_edge_takes_a_flare_bevel():
    kinds = {w.kind: w for w in at("bench-lathe-trestle", "lower rail corner FL") if "lower rail left" in w.parts}
    assert set(kinds) == {"fillet", "flare-bevel"}
    assert len(kinds["flare-bevel"].runs) == len(kinds["fillet"].runs) == 2


def test_bosses_are_welded_into_thin_pads():
    s = of_text('[feet]\npad_thickness = 5.0\nthread = "M16"\n')
    boss = seat_parts(s.brief, s.frame, s.strength).boss
    assert boss is not None
    own = [w for w in s.work().welds if any(n.startswith("foot ") for n in w.parts)]
    assert len(own) == len(s.frame.feet)
    assert own[0].length == pytest.approx(math.pi * boss.outside)
    assert not [w for w in work("bench-lathe").welds if any(n.startswith("foot ") for n in w.parts)]


def test_welds_are_made_where_their_parts_come_together():
    parts = {a.name: a for a in work("long-lathe-pedestals").assemblies}
    for w in work("long-lathe-pedestals").welds:
        own = {*parts[w.assembly].members, *parts[w.assembly].plates}
        inner = [parts[t] for t in parts[w.assembly].takes]
        while inner:
            a = inner.pop()
            own |= {*a.members, *a.plates}
            inner += [parts[t] for t in a.takes]
        assert set(w.parts) <= own
        for t in parts[w.assembly].takes:
            assert not set(w.parts) <= {*parts[t].members, *parts[t].plates}


def test_the_order_of_the_joints_in_the_frame_does_not_matter():
    s = stand("bench-lathe")
    parts = assemblies(s.frame, s.solids)
    touching = contacts(s.frame, s.solids, wholes(parts))
    turned = replace(s.frame, joints=s.frame.joints[::-1])
    one, other = welds(s.brief, s.frame, touching, parts), welds(s.brief, turned, touching, parts)
    assert {(w.parts, w.kind, round(w.length, 6)) for w in one} == {(w.parts, w.kind, round(w.length, 6)) for w in other}


def test_thin_parts_bound_the_leg():
    s = of_text('[welding]\nleg = 8.0\n')
    parts = {m.name: m for m in s.frame.members} | {p.name: p for p in s.frame.plates}
    for w in s.work().welds:
        own = [parts[n] for n in w.parts]
        walls = [p.profile.wall if isinstance(p, Member) else p.thickness for p in own]
        assert w.throat <= min(walls) + 1e-9 and w.leg <= min(walls) + 1e-9
