"""Middle legs, stretchers and toe room of the four-post layout: lengths, places, bays, findings, shapes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame.model import Frame
from framecore.sheets import compose, overlaps
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.closing import open_joints, overlapping, shapes

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
HEIGHT = 800.0


def brief(sections=(), **frame) -> Brief:
    b = Brief(machine=Machine(holes=HOLES))
    s = replace(b.frame.sections, **dict(sections))
    f = {"length": 1500.0, "height": HEIGHT, **frame}
    return replace(b, frame=replace(b.frame, sections=s, **f))


def frame(sections=(), **more) -> Frame:
    return build_frame(brief(sections, **more), HEIGHT)


def codes(f: Frame) -> set[str]:
    return {x.code for x in f.findings}


def box(bodies, name):
    return np.array(bodies[name].bounding_box()).reshape(2, 3)


def landing(bodies, f: Frame) -> dict[tuple[str, int], float]:
    """Share of each end's cut that lies on another part, by pushing the member 0.1 mm on."""
    out = {}
    for m in f.members:
        for k, end in enumerate((m.start, m.end)):
            pushed = bodies[m.name].translate([0.1 * n for n in end.normal])
            on = sum((pushed ^ b).volume() for name, b in bodies.items() if name != m.name)
            cut = bodies[m.name].volume() / m.length if not m.start.angle and not m.end.angle else np.nan
            out[m.name, k] = on / (0.1 * cut)
    return out


ANGLE = {"legs": "L 60x60x6"}
VARIANTS = [
    ({}, {"middle_legs": 1}),
    ({}, {"middle_legs": 1, "legs": "under the ring", "shelf": "sheet"}),
    ({}, {"middle_legs": 2, "toe_room": 80.0, "shelf": "slats", "shelf_slats": 7}),
    ({}, {"middle_legs": 2, "toe_room": 120.0, "shelf": "sheet", "legs": "under the ring", "corners": "butted"}),
    ({}, {"toe_room": 60.0, "shelf": "sheet"}),
    ({}, {"middle_legs": 3, "lower_ring": 0.0}),
    ({"legs": "RHS 60x40x3", "top_rails": "SHS 40x40x3"}, {"middle_legs": 2, "shelf": "sheet"}),
    ({"stretchers": "RHS 60x40x3"}, {"middle_legs": 1, "toe_room": 70.0}),
    (ANGLE, {"legs": "wrapped angle", "toe_room": 60.0, "shelf": "sheet"}),
    (ANGLE, {"legs": "wrapped angle", "toe_room": 60.0, "shelf": "slats", "corners": "butted"}),
]
IDS = ["; ".join([*s.values(), *(f"{k} {v}" for k, v in f.items())]) for s, f in VARIANTS]


@pytest.mark.parametrize(("sections", "more"), VARIANTS, ids=IDS)
def test_parts_meet_and_never_share_room(sections, more):
    f = frame(sections, **more)
    bodies = shapes(f)
    assert overlapping(bodies) == {}
    assert open_joints(f, bodies) == {}
    assert not [x for x in f.findings if x.severity is Severity.STOP]


@pytest.mark.parametrize(("sections", "more"), VARIANTS, ids=IDS)
def test_joints_lie_on_the_line_of_their_first_member_and_bays_name_them(sections, more):
    f = frame(sections, **more)
    names = {j.name for j in f.joints}
    assert len(names) == len(f.joints)
    for joint in f.joints:
        m = f.member(joint.members[0])
        np.testing.assert_allclose(np.cross(np.subtract(joint.point, m.start.point), m.x_axis), 0.0, atol=1e-9)
    assert set(f.seat_joints) <= names
    assert {j for bay in f.bays for j in bay.joints if j} <= names
    parts = {m.name for m in f.members}
    assert {part for bay in f.bays for part in (bay.left, bay.right, bay.bottom, bay.top) if part} <= parts
    assert {name for p in f.plates for name in p.on} <= names | {x.name for x in f.feet}


def test_every_square_end_lies_on_a_face():
    f = frame(middle_legs=2, toe_room=80.0, shelf="slats")
    share = landing(shapes(f), f)
    # The rounded edges of the run leave part of an equally wide branch in the air; corner legs end at the ring's top.
    open_tops = {(f"leg {c}", 1) for c in ("FL", "FR", "BL", "BR")}
    assert {k for k, v in share.items() if v < 0.55} == open_tops


def test_legs_stand_evenly_and_are_shorter_by_the_rail_they_carry():
    f = frame(middle_legs=2)
    xs = [f.member(f"leg {t}").start.point[0] for t in ("FL", "FM1", "FM2", "FR")]
    np.testing.assert_allclose(xs, [-725.0, -725.0 / 3, 725.0 / 3, 725.0])
    assert f.member("leg BM2").length == pytest.approx(HEIGHT - 52.0 - 50.0)
    assert f.member("top rail front").length == pytest.approx(1500.0 - 100.0)  # stays one bar
    assert f.member("lower rail back 2").length == pytest.approx(2 * 725.0 / 3 - 50.0)
    assert f.member("stretcher 1").length == pytest.approx(500.0 - 100.0)
    assert [x.name for x in f.feet] == [f"foot {t}" for t in ("FL", "FM1", "FM2", "FR", "BL", "BM1", "BM2", "BR")]
    assert f.plate("pad FM1").origin[0] == pytest.approx(-725.0 / 3)


def test_middle_joints_hold_leg_both_rails_and_stretcher():
    f = frame(middle_legs=1)
    joint = {j.name: j for j in f.joints}
    assert set(joint["lower rail at BM1"].members) == {"leg BM1", "lower rail back 1", "lower rail back 2", "stretcher 1"}
    assert joint["top rail at FM1"].members == ("leg FM1", "top rail front")
    # A leg as wide as the rail over it: its walls end on the rail's round edges.
    assert [x.kind for x in joint["top rail at FM1"].fit_ups] == ["equal width"]


def test_toe_room_sets_the_front_rail_back_on_the_end_rails():
    f = frame(toe_room=90.0)
    bodies = shapes(f)
    assert box(bodies, "lower rail front")[0, 1] == pytest.approx(-250.0 + 90.0)
    assert f.member("lower rail front").length == pytest.approx(1500.0 - 2 * 40.0)
    joint = {j.name: j for j in f.joints}
    assert joint["lower rail front on left"].members == ("lower rail left", "lower rail front")
    assert joint["lower rail corner FL"].members == ("leg FL", "lower rail left")
    assert joint["lower rail corner BL"].members == ("leg BL", "lower rail back", "lower rail left")
    assert [x.kind for x in joint["lower rail front on left"].fit_ups] == ["equal width"]


def test_toe_room_with_middle_legs_lands_on_the_stretchers():
    f = frame({"lower_rails": "SHS 30x30x3"}, middle_legs=1, toe_room=90.0)
    joint = {j.name: j for j in f.joints}
    on = joint["lower rail front on stretcher 1"]
    assert on.members == ("stretcher 1", "lower rail front 1", "lower rail front 2")
    assert joint["lower rail at FM1"].members == ("leg FM1", "stretcher 1")
    # 30 wide on the flat of a 40 stretcher with corners of 6: no flat beside it but less than the fillet.
    assert on.fit_ups[0].kind in ("fillet room", "equal width")
    assert f.member("lower rail front 1").length == pytest.approx(750.0 - 30.0 - 20.0)


def test_toe_room_is_measured_from_the_faces_of_angle_legs_too():
    f = frame(ANGLE, legs="wrapped angle", toe_room=75.0, shelf="sheet")
    bodies = shapes(f)
    assert box(bodies, "lower rail front")[0, 1] == pytest.approx(-250.0 + 75.0)
    assert box(bodies, "lower rail left")[0, 1] == pytest.approx(-250.0 + 6.0)
    assert box(bodies, "shelf")[0, 1] == pytest.approx(-250.0 + 75.0)


def test_the_shelf_leaves_the_toes_free_and_goes_round_the_legs():
    whole, set_back = frame(shelf="sheet", middle_legs=1), frame(shelf="sheet", middle_legs=1, toe_room=90.0)
    assert box(shapes(set_back), "shelf")[0, 1] == pytest.approx(-160.0)

    def area(f):
        x, y = f.plate("shelf").outline.T
        return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2

    # The sheet keeps 4 mm off the legs, 3 for the fillets' feet and 1 to spare: corner legs on two sides, middle ones on three.
    assert area(whole) == pytest.approx(1500 * 500 - 4 * 54 * 54 - 2 * 58 * 54)
    assert area(set_back) == pytest.approx(1500 * 410 - 2 * 54 * 54 - 58 * 54)


def test_slats_are_shared_between_the_bays():
    f = frame(middle_legs=1, shelf="slats", shelf_slats=5, toe_room=90.0)
    xs = [m.start.point[0] for m in f.members if m.role == "slat"]
    assert sorted((sum(x < 0 for x in xs), sum(x > 0 for x in xs))) == [2, 3]
    assert f.member("slat 1").length == pytest.approx(500.0 - 90.0 - 2 * 40.0)
    joint = next(j for j in f.joints if j.name == "slat 5 front")
    assert joint.members == ("lower rail front 2", "slat 5")


def test_bays_are_parted_by_middle_legs_and_open_below_where_toes_go():
    f = frame(middle_legs=1, toe_room=90.0)
    bay = {b.name: b for b in f.bays}
    assert list(bay) == ["front 1", "front 2", "back 1", "back 2", "left", "right"]
    assert (bay["front 1"].left, bay["front 1"].right, bay["front 1"].bottom) == ("leg FL", "leg FM1", "")
    # Seen from behind the stand's left is on the right hand.
    assert (bay["back 1"].left, bay["back 1"].right, bay["back 1"].bottom) == ("leg BM1", "leg BL", "lower rail back 1")
    u, v, w, _ = bay["back 1"].corners
    assert (u[0], v[0]) == pytest.approx((-25.0, -700.0))
    assert (u[2], w[2]) == pytest.approx((200.0, HEIGHT - 50.0))
    assert bay["back 1"].joints == ("lower rail at BM1", "lower rail corner BL", "top rail corner BL", "top rail at BM1")


@pytest.mark.parametrize(
    ("sections", "more", "code", "nearest"),
    [
        (ANGLE, {"legs": "wrapped angle", "middle_legs": 1}, "frame.middle_leg_shape", {"middle_legs": 0}),
        ({}, {"middle_legs": 4, "length": 700.0}, "frame.middle_legs_crowded", {"middle_legs": 3}),
        ({}, {"toe_room": 30.0}, "frame.toe_room", {"toe_room": 53.0}),
        ({}, {"toe_room": 240.0, "depth": 300.0}, "frame.toe_room", {"toe_room": 170.0}),
        ({}, {"shelf": "slats", "shelf_slats": 30, "length": 900.0}, "frame.slats_crowded", {"shelf_slats": 13}),
    ],
)
def test_impossible_rows_are_told_and_the_nearest_value_cures_them(sections, more, code, nearest):
    found = [x for x in frame(sections, **more).findings if x.code == code]
    assert [x.severity for x in found] == [Severity.STOP]
    assert found[0].message.endswith(".")
    ((key, value),) = nearest.items()
    assert found[0].nearest.split()[0] == f"{value:.0f}"
    assert found[0].field == f"frame.{key}"
    assert code not in codes(frame(sections, **{**more, **nearest}))


@pytest.mark.parametrize(
    ("sections", "more", "code"),
    [
        ({"lower_rails": "SHS 60x60x3"}, {}, "frame.lower_rail_wider_than_leg"),
        ({"stretchers": "SHS 60x60x3"}, {"middle_legs": 1}, "frame.stretcher_wider_than_leg"),
        ({"stretchers": "SHS 30x30x3"}, {"middle_legs": 1, "toe_room": 80.0}, "frame.stretcher_low"),
        ({"top_rails": "SHS 40x40x3"}, {"middle_legs": 1}, "frame.middle_leg_deep"),
        ({"stretchers": "L 40x40x4"}, {"middle_legs": 1}, "frame.rail_shape"),
        ({}, {"toe_room": 80.0, "lower_ring": 0.0}, "frame.toe_no_ring"),
    ],
)
def test_doubtful_rows_are_told(sections, more, code):
    assert code in codes(frame(sections, **more))
    assert code not in codes(frame())


def test_a_stand_on_six_feet_bears_its_weight_and_is_stiffer():
    six, four = evaluate(brief(middle_legs=1, toe_room=80.0)), evaluate(brief(toe_room=80.0))
    for stand in (six, four):
        weight = (stand.solids.mass + stand.brief.machine.mass) * KILOGRAM_FORCE
        assert stand.strength.foot_loads[:, 0].sum() == pytest.approx(weight, rel=1e-6)
    assert six.strength.foot_loads.shape[0] == 6
    assert six.strength.sway_x > 1.2 * four.strength.sway_x


def test_its_sheets_have_no_words_over_each_other():
    for sheet in compose(evaluate(brief(middle_legs=2, toe_room=80.0, shelf="slats"))):
        assert not overlaps(sheet)
