"""The pedestal pair: where its parts stand, what meets, bays, cabinets, findings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame.model import PlateRole
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.meeting import overlap, touching

HOLES = ((-700.0, -100.0), (-700.0, 100.0), (600.0, -100.0), (600.0, 100.0))
FEET = ("FL", "FML", "FMR", "FR", "BL", "BML", "BMR", "BR")


def brief(holes=HOLES, feet=None, braces=None, sections=None, **more):
    b = Brief(machine=Machine(kind="lathe", mass=300.0, holes=holes, bolt="M12"))
    more = {"length": 1700.0, "depth": 450.0, "pedestal": 400.0, "layout": "pedestal pair"} | more
    more["sections"] = replace(b.frame.sections, **(sections or {}))
    return replace(b, frame=replace(b.frame, **more), feet=replace(b.feet, **(feet or {})),
                   braces=replace(b.braces, **(braces or {})))  # fmt: skip


def frame(height=760.0, **more):
    return build_frame(brief(**more), height)


def solids(**more):
    return SolidsBuilder().build(frame(**more), 7850.0)


def test_eight_feet_front_row_first_each_from_the_left():
    f = frame()
    assert tuple(foot.name for foot in f.feet) == tuple(f"foot {c}" for c in FEET)
    xs = [foot.base[0] for foot in f.feet]
    # 1700 long, pedestals of 400 and legs of 50: 825, then 825 - 350 = 475.
    np.testing.assert_allclose(xs, [-825, -475, 475, 825] * 2)
    np.testing.assert_allclose([foot.base[1] for foot in f.feet], [-200] * 4 + [200] * 4)
    assert {foot.leg for foot in f.feet} == {m.name for m in f.members if m.name.startswith("leg")}


def test_lengths_that_are_sawn():
    f = frame()
    assert f.member("top rail front").length == pytest.approx(1700.0)
    assert f.member("top rail inner left").length == pytest.approx(450.0 - 2 * 50)
    # Seat, less the ring, less foot and pad.
    assert f.member("leg FML").length == pytest.approx(760 - 50 - 40 - 12)
    assert f.member("lower rail front left").length == pytest.approx(400 - 2 * 50)
    assert f.member("lower rail inner right").length == pytest.approx(450 - 2 * 50)


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"pedestals": "cabinets", "shelf": "sheet", "toe_room": 80.0},
        {"shelf": "slats", "shelf_slats": 3, "corners": "butted"},
        {"braces": {"back": "crossed", "left": "diagonal", "right": "sheet panel"}, "bearer_place": "over the ring"},
        {"holes": (), "bearers": 9},  # two of them would lie over the inner legs
    ],
)
def test_no_part_runs_into_another(more):
    s = solids(**more)
    assert (s.volumes > 0).all()
    assert overlap(s) == {}


def test_what_is_joined_touches():
    f = frame(shelf="sheet", toe_room=80.0, pedestals="cabinets")
    s = SolidsBuilder().build(f, 7850.0)
    pairs = {
        (j.members[0], m) for j in f.joints for m in j.members[1:]
        if not ("ring corner" in j.kind and m.split()[-1] in ("left", "right"))  # a mitre may end beside a slim leg
    }  # fmt: skip
    assert len(pairs) > 30
    for a, b in pairs | {("shelf left", "lower rail left"), ("panel left", "leg FL"), ("panel back 1", "top rail back")}:
        assert touching(s, a, b), (a, b)


def test_every_joint_lies_on_its_first_member():
    f = frame(shelf="slats", toe_room=80.0)
    for j in f.joints:
        m = f.member(j.members[0])
        off = np.cross(np.subtract(j.point, m.start.point), m.x_axis)
        assert np.linalg.norm(off) == pytest.approx(0, abs=1e-9), j.name


def test_toe_room_sets_the_front_lower_rails_back():
    f = frame(toe_room=80.0)
    for side in ("left", "right"):
        m = f.member(f"lower rail front {side}")
        assert m.start.point[1] == pytest.approx(-225 + 80 + 40 / 2)
        assert m.length == pytest.approx(400 - 2 * 40)  # between the side rails, not the legs
    assert {j.members[0] for j in f.joints if j.name.startswith("lower rail front")} == {
        "lower rail left", "lower rail inner left", "lower rail inner right", "lower rail right",
    }  # fmt: skip


def test_bays_look_outwards_and_their_corners_are_at_their_legs():
    f = frame()
    assert [b.name for b in f.bays] == [
        "front 1", "back 1", "left", "inner left", "front 2", "back 2", "inner right", "right",
    ]  # fmt: skip
    joints = {j.name: np.array(j.point) for j in f.joints}
    for b in f.bays:
        assert b.side in ("front", "back", "left", "right")
        c = np.array(b.corners)
        np.testing.assert_allclose(np.cross(c[1] - c[0], c[3] - c[0]) / np.linalg.norm(
            np.cross(c[1] - c[0], c[3] - c[0])), b.normal, atol=1e-12)  # fmt: skip
        for name, corner in zip(b.joints, c, strict=True):
            assert np.linalg.norm(joints[name] - corner) < 50.0, (b.name, name)
        pedestal = np.sign(c[:, 0].mean()) * 650.0
        centre = np.array([pedestal, 0.0, c[:, 2].mean()])
        assert np.dot(c.mean(0) - centre, b.normal) > 0
        for upright, corner in ((b.left, c[0]), (b.right, c[1])):
            assert np.linalg.norm(np.subtract(f.member(upright).start.point, corner)[:2]) == pytest.approx(25.0)


def test_cabinets_are_closed_at_ends_back_and_inside_and_open_to_the_front():
    f = frame(pedestals="cabinets", braces={"panel_thickness": 2.0, "panel_fixing": "welded", "panel_pitch": 90.0})
    panels = [p for p in f.plates if p.role is PlateRole.PANEL]
    assert {p.name.removeprefix("panel ") for p in panels} == {
        "left", "inner left", "inner right", "right", "back 1", "back 2",
    }  # fmt: skip
    assert [b.name for b in f.bays] == ["front 1", "front 2"]
    held = {p.plate: p for p in f.plated}
    assert set(held["panel inner left"].ends) == {
        "lower rail corner FML", "lower rail corner BML", "top rail corner FML", "top rail corner BML",
    }  # fmt: skip
    assert {(p.thickness, p.fixing, p.pitch) for p in held.values()} == {(2.0, "welded", 90.0)}
    # The inner panel looks into the gap between the pedestals.
    at = f.plate("panel inner left").origin[0]
    assert at == pytest.approx(-450.0)


def test_cabinets_hold_better_than_open_frames():
    def stiffness(**more):
        f = frame(**more)
        return Analyst().analyse(brief(**more), f, SolidsBuilder().build(f, 7850.0))

    plain, closed = stiffness(), stiffness(pedestals="cabinets")
    assert closed.sway_y > 1.1 * plain.sway_y
    s = SolidsBuilder().build(frame(), 7850.0)
    assert plain.reactions[:, 2, 0].sum() == pytest.approx((s.mass + 300.0) * KILOGRAM_FORCE, rel=1e-9)


def test_a_hole_over_the_inner_legs_goes_through_the_rail_there():
    f = frame(holes=((-475.0, -90.0), (-475.0, 90.0), (475.0, -90.0), (475.0, 90.0)))
    assert [m.member for m in f.mounts] == ["top rail inner left"] * 2 + ["top rail inner right"] * 2
    assert not [m for m in f.members if m.name.startswith("bearer")]
    off = frame(holes=((-450.0, -90.0), (450.0, 90.0)))
    assert "frame.hole_off_flat" in {x.code for x in off.findings}


@pytest.mark.parametrize(
    ("more", "code", "field", "severity"),
    [
        ({"pedestal": 840.0}, "pedestals.too_long", "frame.pedestal", Severity.STOP),
        ({"pedestal": 850.0}, "pedestals.too_long", "frame.pedestal", Severity.STOP),
        ({"pedestal": 200.0, "sections": {"legs": "SHS 100x100x4"}}, "frame.too_narrow", "frame.pedestal", Severity.STOP),
        ({"pedestal": 200.0, "feet": {"pad": 160.0}}, "pedestals.pads_meet", "frame.pedestal", Severity.STOP),
        ({"pedestal": 820.0, "feet": {"pad": 120.0}}, "pedestals.pads_meet", "feet.pad", Severity.STOP),
        ({"pedestals": "cabinets", "lower_ring": 0.0}, "pedestals.cabinet_open", "frame.lower_ring", Severity.STOP),
        ({"middle_legs": 1}, "pedestals.middle_legs", "frame.middle_legs", Severity.LOOK),
        ({"legs": "wrapped angle"}, "pedestals.legs", "frame.legs", Severity.LOOK),
    ],
)
def test_each_finding_is_told_and_goes_with_its_cause(more, code, field, severity):
    found = {(f.code, f.field): f for f in frame(**more).findings}
    assert (code, field) in found
    assert found[code, field].severity is severity
    assert code not in {f.code for f in frame().findings}


def test_the_nearest_pedestal_named_is_one_that_fits():
    found = next(f for f in frame(pedestal=850.0).findings if f.code == "pedestals.too_long")
    cured = frame(pedestal=float(found.nearest.split()[0]), feet={"pad": 50.0})
    assert "pedestals.too_long" not in {f.code for f in cured.findings}


def test_a_panel_needs_the_rail_that_toe_room_takes_away():
    f = frame(toe_room=80.0, braces={"front": "sheet panel"})
    assert "braces.panel_open" in {x.code for x in f.findings}
    assert not [p for p in f.plates if p.role is PlateRole.PANEL]


def test_a_side_that_a_cabinet_closes_takes_no_brace_and_says_so():
    found = [x for x in frame(pedestals="cabinets", braces={"back": "crossed"}).findings if x.code == "braces.no_bay"]
    assert len(found) == 1
    assert "sheet closes" in found[0].message


def test_a_cabinet_whose_rails_lie_on_each_other_has_nothing_to_close():
    made = frame(height=280.0, pedestals="cabinets", lower_ring=200.0)
    under = next(m.start.point[2] - m.profile.height / 2 for m in made.members if m.name == "top rail front")
    gap = frame(height=280.0 + 200.0 - under, pedestals="cabinets", lower_ring=200.0)  # no room at all between the rings
    assert not [p for p in gap.plates if p.role is PlateRole.PANEL]
    assert [p for p in frame(height=480.0, pedestals="cabinets", lower_ring=200.0).plates if p.role is PlateRole.PANEL]
