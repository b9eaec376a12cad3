"""Shapes, joints, seat and findings of the trestle."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.errors import LayoutError, Severity
from framecore.frame import build_frame
from framecore.sheets import compose, overlaps
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.closing import open_joints, overlapping, shapes

WIDE = ((-430.0, -80.0), (-430.0, 80.0), (430.0, -80.0), (430.0, 80.0))
SLIM = ((-430.0, -15.0), (-430.0, 15.0), (430.0, -15.0), (430.0, 15.0))
SECTIONS = {"legs": "SHS 60x60x4", "top_rails": "SHS 60x60x4", "lower_rails": "SHS 50x50x3", "bearers": "SHS 60x60x4"}
HEIGHT = 820.0


def brief(holes=WIDE, sections=(), **frame) -> Brief:
    b = Brief(machine=Machine(holes=holes, mass=180.0))
    s = replace(b.frame.sections, **{**SECTIONS, **dict(sections)})
    f = {"layout": "trestle", "length": 1200.0, "depth": 620.0, "height": HEIGHT, **frame}
    return replace(b, frame=replace(b.frame, sections=s, **f))


def codes(b: Brief, severity: Severity | None = None) -> set[str]:
    return {f.code for f in build_frame(b, HEIGHT).findings if severity in (None, f.severity)}


VARIANTS = [
    {"joined_by": joined, "splay": splay, "middle_legs": middle, "shelf": shelf, "toe_room": toe, "bearer_place": place}
    for joined, splay, middle, shelf, toe, place in (
        ("stretchers", 0.0, 0, "none", 0.0, "between the rails"),
        ("stretchers", 9.0, 0, "sheet", 0.0, "over the ring"),
        ("stretchers", 9.0, 1, "slats", 0.0, "between the rails"),
        ("stretchers", 7.0, 2, "sheet", 110.0, "between the rails"),
        ("stretchers", 0.0, 1, "sheet", 90.0, "over the ring"),
        ("box beam", 0.0, 0, "none", 0.0, "between the rails"),
        ("box beam", 9.0, 0, "sheet", 0.0, "between the rails"),
        ("box beam", 9.0, 1, "none", 0.0, "between the rails"),
        ("box beam", 5.0, 2, "slats", 90.0, "between the rails"),
        ("box beam", 5.0, 2, "slats", 0.0, "between the rails"),
    )
]


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda v: " ".join(str(x) for x in v.values()))
def test_parts_meet_and_never_share_room(variant):
    frame = build_frame(brief(**variant), HEIGHT)
    bodies = shapes(frame)
    assert overlapping(bodies) == {}
    assert open_joints(frame, bodies) == {}
    assert not [f for f in frame.findings if f.severity is Severity.STOP]


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda v: " ".join(str(x) for x in v.values()))
def test_joints_lie_on_the_line_of_their_first_member(variant):
    frame = build_frame(brief(**variant), HEIGHT)
    names = {j.name for j in frame.joints}
    assert len(names) == len(frame.joints)
    for joint in frame.joints:
        m = frame.member(joint.members[0])
        off = np.cross(np.subtract(joint.point, m.start.point), m.x_axis)
        np.testing.assert_allclose(off, 0.0, atol=1e-9)
    assert set(frame.seat_joints) <= names
    assert {j for bay in frame.bays for j in bay.joints if j} <= names


def test_depth_is_measured_outside_the_splayed_legs_on_their_pads():
    bodies = shapes(build_frame(brief(splay=9.0), HEIGHT))
    _, y0, z0, _, y1, z1 = bodies["leg BL"].bounding_box()
    assert y1 == pytest.approx(310.0)
    assert (z0, z1) == pytest.approx((52.0, HEIGHT - 60.0))
    # At the top the outer face has come in by the leg's rise times the tangent of the splay.
    rail = bodies["top rail left"].bounding_box()
    assert rail[4] == pytest.approx(310.0 - (z1 - z0) * math.tan(math.radians(9.0)))
    assert y0 < rail[4]


def test_a_splayed_leg_is_sawn_to_its_longest_fibre():
    leg = build_frame(brief(splay=9.0), HEIGHT).member("leg FL")
    rise, t = HEIGHT - 60.0 - 52.0, math.radians(9.0)
    # Both cuts are parallel: the longest fibre is the slant and one leg's width times the tangent.
    assert leg.length == pytest.approx(rise / math.cos(t) + 60.0 * math.tan(t))
    assert leg.start.angle == pytest.approx(t)
    assert (leg.start.kind, leg.end.kind) == ("mitre", "mitre")
    np.testing.assert_allclose(leg.start.normal, (0.0, 0.0, -1.0), atol=1e-12)


def test_the_rail_between_splayed_legs_is_longer_below():
    frame = build_frame(brief(splay=9.0, lower_ring=220.0), HEIGHT)
    rail, t = frame.member("lower rail left"), math.radians(9.0)
    clear = 620.0 - 2 * 60.0 / math.cos(t) - 2 * (170.0 - 52.0) * math.tan(t)  # at the rail's lower face, z = 170
    assert rail.length == pytest.approx(clear)
    assert rail.start.angle == pytest.approx(t)


def test_an_upright_trestle_has_square_cuts_alone():
    frame = build_frame(brief(), HEIGHT)
    assert {e.kind for m in frame.members for e in (m.start, m.end)} == {"square"}


def test_wide_feet_stand_on_cross_pieces_and_slim_ones_on_the_beam():
    wide = build_frame(brief(joined_by="box beam"), HEIGHT)
    assert {m.member for m in wide.mounts} == {"bearer 1", "bearer 2"}
    assert wide.ring_top == pytest.approx(HEIGHT - 60.0)
    slim = build_frame(brief(SLIM, joined_by="box beam"), HEIGHT)
    assert {m.member for m in slim.mounts} == {"box beam"}
    assert slim.ring_top == pytest.approx(HEIGHT)
    assert not [m for m in slim.members if m.role == "bearer"]
    assert {h.owner for h in slim.holes if h.purpose.startswith("machine")} == {"box beam"}
    # The end frames stand under the beam, not beside it.
    assert shapes(slim)["top rail left"].bounding_box()[5] == pytest.approx(HEIGHT - 120.0)


def test_a_pattern_off_the_middle_is_reached_by_longer_cross_pieces():
    b = brief(joined_by="box beam")
    b = replace(b, machine=replace(b.machine, at=(0.0, 100.0)))
    frame = build_frame(b, HEIGHT)
    bodies = shapes(frame)
    for name in ("bearer 1", "bearer 2"):
        _, y0, _, _, y1, _ = bodies[name].bounding_box()
        assert y1 > 180.0 + 11.0
        assert y0 <= -40.0 + 1e-9  # lies on the whole width of the beam
    assert open_joints(frame, bodies) == {}


def test_toe_room_sets_the_front_stretcher_back_on_the_lower_rails():
    frame = build_frame(brief(splay=6.0, toe_room=120.0, lower_ring=200.0), HEIGHT)
    bodies = shapes(frame)
    t = math.tan(math.radians(6.0))
    legs_outside = -310.0 + (180.0 - 52.0) * t  # at the stretcher's middle, z = 180
    assert bodies["stretcher front"].bounding_box()[1] == pytest.approx(legs_outside + 120.0)
    joint = next(j for j in frame.joints if j.name == "stretcher front on left")
    assert joint.members == ("lower rail left", "stretcher front")
    assert next(b for b in frame.bays if b.name == "front").bottom == ""


def test_bays_are_the_clear_openings_seen_from_outside():
    frame = build_frame(brief(splay=9.0, lower_ring=220.0), HEIGHT)
    bodies = shapes(frame)
    for bay in frame.bays:
        a, b, c, d = (np.array(p) for p in bay.corners)
        n = np.array(bay.normal)
        assert np.dot(np.cross(b - a, d - a), n) > 0  # counter-clockwise from outside
        np.testing.assert_allclose([np.dot(p - a, n) for p in (b, c, d)], 0.0, atol=1e-9)
        assert np.dot(n, a) > 0
    left = next(b for b in frame.bays if b.name == "left")
    assert left.left == "leg BL"
    # Its corners lie on the inner faces of the legs and between the rails' faces.
    assert left.corners[0][2] == pytest.approx(bodies["lower rail left"].bounding_box()[5])
    assert left.corners[2][2] == pytest.approx(bodies["top rail left"].bounding_box()[2])
    leg = frame.member("leg BL")
    for corner in (left.corners[0], left.corners[3]):
        off = np.dot(np.subtract(corner, leg.start.point), leg.z_axis)
        assert off == pytest.approx(-30.0)


@pytest.mark.parametrize(
    ("kind", "splay", "middle"), [("diagonal", 0.0, 0), ("crossed", 9.0, 0), ("diagonal", 9.0, 1), ("sheet panel", 9.0, 0)]
)
def test_braces_stand_in_the_bays_of_a_splayed_stand_too(kind, splay, middle):
    b = brief(splay=splay, middle_legs=middle, shelf="sheet")
    frame = build_frame(replace(b, braces=replace(b.braces, back=kind, left=kind)), HEIGHT)
    bodies = shapes(frame)
    assert overlapping(bodies) == {}
    assert open_joints(frame, bodies) == {}
    assert len(frame.members) + len(frame.plates) > len(bodies_without(b))


def bodies_without(b: Brief) -> list[str]:
    frame = build_frame(b, HEIGHT)
    return [p.name for p in (*frame.members, *frame.plates)]


def test_holes_over_a_middle_frame_go_through_its_rail():
    frame = build_frame(brief((*WIDE, (0.0, -80.0), (0.0, 80.0)), middle_legs=1), HEIGHT)
    assert [m.member for m in frame.mounts[4:]] == ["top rail middle 1"] * 2
    assert overlapping(shapes(frame)) == {}


def test_middle_frames_split_the_sides_into_bays():
    frame = build_frame(brief(middle_legs=1), HEIGHT)
    assert [b.name for b in frame.bays] == ["left", "right", "front 1", "front 2", "back 1", "back 2"]
    assert [f.name for f in frame.feet] == [f"foot {c}" for c in ("FL", "FM1", "FR", "BL", "BM1", "BR")]


IMPOSSIBLE = [
    ({"sections": {"legs": "L 50x50x5"}}, "frame.leg_shape"),
    ({"sections": {"stretchers": "FL 50x6"}}, "frame.rail_shape"),
    ({"joined_by": "box beam", "sections": {"beam": "L 50x50x5"}}, "frame.rail_shape"),
    ({"lower_ring": 790.0}, "frame.shelf_above_top"),
    ({"lower_ring": 70.0}, "frame.ring_too_low"),
    ({"splay": 18.0}, "frame.too_narrow"),
    ({"length": 250.0, "middle_legs": 2}, "frame.too_narrow"),
    ({"sections": {"lower_rails": "SHS 80x80x4"}}, "frame.rail_wider_than_leg"),
    ({"splay": 12.0, "sections": {"stretchers": "SHS 60x60x4"}}, "frame.rail_wider_than_leg"),
    ({"toe_room": 20.0}, "frame.toe_room"),
    ({"depth": 320.0, "toe_room": 240.0}, "frame.toe_room"),
    ({"toe_room": 100.0, "sections": {"stretchers": "RHS 100x50x4"}}, "frame.stretcher_high"),
    ({"joined_by": "box beam", "holes": ((-600.0, 0.0), (600.0, 0.0))}, "frame.bearer_outside"),
    ({"joined_by": "box beam", "holes": ((-590.0, 80.0), (590.0, 80.0), (590.0, -80.0))}, "frame.bearer_outside"),
    ({"joined_by": "box beam", "holes": ((-40.0, 80.0), (0.0, 80.0), (40.0, -80.0))}, "frame.bearers_overlap"),
    (
        {"joined_by": "box beam", "holes": ((-400.0, 80.0), (-381.0, 80.0), (40.0, -80.0)),
         "sections": {"bearers": "SHS 40x40x4"}}, "frame.hole_off_flat",
    ),
    ({"holes": ((-430.0, -300.0), (430.0, 300.0))}, "frame.hole_off_bearer"),
    ({"holes": ((-400.0, 80.0), (-360.0, 80.0), (400.0, -80.0))}, "frame.bearers_overlap"),
    ({"holes": (), "bearers": 12, "length": 560.0}, "frame.bearers_overlap"),
    ({"shelf": "slats", "shelf_slats": 30, "length": 900.0}, "frame.slats_crowded"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "code"), IMPOSSIBLE)
def test_what_cannot_be_built_is_told_with_its_place(change, code):
    b = brief(**change)
    with pytest.raises(LayoutError) as error:
        evaluate(b)
    found = [f for f in error.value.findings if f.code == code]
    assert found
    assert all(f.field and f.message.endswith(".") for f in found)


def test_a_beam_too_high_for_the_seat_names_the_seat_it_needs():
    b = brief(joined_by="box beam")
    (found,) = [f for f in build_frame(b, 260.0).findings if f.severity is Severity.STOP]
    assert found.code == "frame.too_low"
    need = float(found.nearest.split()[0])
    assert codes_at(b, need - 2) == {"frame.too_low"}
    assert codes_at(replace(b, frame=replace(b.frame, lower_ring=0.0)), need) == set()


def codes_at(b: Brief, height: float) -> set[str]:
    return {f.code for f in build_frame(b, height).findings if f.severity is Severity.STOP}


@pytest.mark.parametrize("key", ["depth", "toe_room"])
def test_the_nearest_value_told_is_allowed(key):
    change = {"splay": 18.0} if key == "depth" else {"toe_room": 20.0}
    b = brief(**change)
    told = [f for f in build_frame(b, HEIGHT).findings if f.field == f"frame.{key}"]
    (found,) = [f for f in told if f.code != "frame.hole_off_bearer"]
    cured = replace(b, frame=replace(b.frame, **{key: float(found.nearest.split()[0])}))
    assert found.code not in codes(cured)


def test_the_depth_that_holes_need_is_told_at_the_floor():
    b = brief(((-430.0, -240.0), (430.0, 240.0)), splay=9.0)
    found = [f for f in build_frame(b, HEIGHT).findings if f.code == "frame.hole_off_bearer"]
    need = max(float(f.nearest.split()[0]) for f in found)
    assert "frame.hole_off_bearer" not in codes(replace(b, frame=replace(b.frame, depth=need + 1)))
    assert "frame.hole_off_bearer" in codes(replace(b, frame=replace(b.frame, depth=need - 2)))


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"splay": 13.0, "depth": 900.0}, "frame.splay_wide"),
        ({"sections": {"top_rails": "SHS 40x40x3", "bearers": "SHS 40x40x3"}}, "frame.leg_wider_than_rail"),
        ({"splay": 5.0}, "frame.pad_small"),
    ],
)
def test_what_is_doubtful_is_told(change, code):
    assert code in codes(brief(**change), Severity.LOOK)


@pytest.mark.parametrize("kind", ["sheet", "wood", "tray"])
def test_a_beam_carries_no_top(kind):
    b = brief(joined_by="box beam")
    assert "frame.beam_top" in codes(replace(b, top=replace(b.top, kind=kind)), Severity.STOP)


def test_a_top_lies_on_the_rails_and_the_holes_go_through_it():
    b = brief(splay=5.0)
    b = replace(b, top=replace(b.top, kind="sheet", thickness=4.0))
    frame = build_frame(b, HEIGHT)
    bodies = shapes(frame)
    assert frame.ring_top == pytest.approx(HEIGHT - 4.0)
    assert overlapping(bodies) == {}
    assert bodies["top"].bounding_box()[2] == pytest.approx(bodies["top rail left"].bounding_box()[5])
    assert sum(h.owner == "top" for h in frame.holes) == 4


@pytest.mark.parametrize("joined", ["stretchers", "box beam"])
def test_the_whole_stand_answers(joined):
    b = brief(joined_by=joined, splay=8.0, shelf="sheet")
    stand = evaluate(replace(b, feet=replace(b.feet, pad=70.0)))
    assert stand.buildable
    weight = stand.strength.total_mass * KILOGRAM_FORCE
    # What the feet press with is what stands on them.
    assert float(stand.strength.foot_loads[:, 0].sum()) == pytest.approx(weight, rel=1e-6)
    shares = dict(zip(stand.strength.foot_names, stand.strength.foot_loads[:, 0].tolist(), strict=True))
    # Pattern, machine and frame are the same to both sides of the middle in y.
    assert shares["foot FL"] == pytest.approx(shares["foot BL"], rel=0.02)
    groups = {p.mark: len(p.members) for p in stand.shop.pieces}
    marks = {n: p.mark for p in stand.shop.pieces for n in p.members}
    assert groups[marks["leg FL"]] == 4
    assert groups[marks["lower rail left"]] == 2
    assert all(overlaps(sheet) == () for sheet in compose(stand))


def test_splayed_legs_stiffen_the_stand_against_sway_across():
    upright, splayed = (evaluate(brief(splay=s)).strength.sway_y for s in (0.0, 9.0))
    assert splayed > 1.5 * upright


def test_a_longer_stand_keeps_its_joints_where_it_was_kept():
    """The index work kept between evaluations follows the topology alone."""
    a, b = (build_frame(brief(splay=s, depth=d), HEIGHT) for s, d in ((5.0, 600.0), (8.0, 700.0)))
    assert a.topology == b.topology
    assert build_frame(brief(joined_by="box beam"), HEIGHT).topology != a.topology
