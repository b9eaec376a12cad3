"""Splash back, switch box bracket and motor plate: on every style, touching, clear of each other, weighing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.kinds import OutlineBox
from framecore.brief.model import Brief, Machine
from framecore.errors import Severity
from framecore.frame import LAYOUTS, build_frame
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.solids.shapes import built, loose, overlaps

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
STYLES = {"rails between": "SHS 50x50x3", "under the ring": "SHS 50x50x3", "wrapped angle": "L 50x50x5"}
ALL = {"splash_back": 350.0, "switch_box": "right", "motor_plate": "back"}


def brief(style="rails between", extras=None, machine=None, top="none", overhang=0.0, **frame):
    b = Brief(machine=Machine(holes=HOLES, **(machine or {})))
    sections = replace(b.frame.sections, legs=STYLES[style])
    thickness = 1.5 if top == "tray" else 3.0
    return replace(
        b, frame=replace(b.frame, legs=style, sections=sections, **frame), extras=replace(b.extras, **(extras or {})),
        top=replace(b.top, kind=top, thickness=thickness, overhang=overhang),
    )  # fmt: skip


def hung(frame):
    names = {m.name for m in frame.members if m.role == "post"}
    return names | {p.name for p in frame.plates if p.role in ("bracket", "splash back", "tray", "block")}


def box_of(frame, name):
    s = built(frame)
    points = s.vertices[s.layout.vertex_part == s.layout.parts.index(name)]
    return points.min(0), points.max(0)


COMBINATIONS = [
    (style, top, overhang, motor, switch)
    for style in STYLES
    for top, overhang in (("none", 0.0), ("sheet", 0.0), ("wood", 25.0), ("tray", 0.0), ("tray", 40.0))
    for motor, switch in (("back", "right"), ("left", "left"))
]


@pytest.mark.parametrize(("style", "top", "overhang", "motor", "switch"), COMBINATIONS)
def test_every_combination_touches_and_does_not_overlap(style, top, overhang, motor, switch):
    extras = {"splash_back": 350.0, "switch_box": switch, "motor_plate": motor}
    # Both on one short end leave too little room for the plate: 500 deep, post 30, legs 50 each: still enough.
    f = build_frame(brief(style, extras, top=top, overhang=overhang, shelf="sheet"), 800.0)
    assert not f.findings
    assert {"splash back", "switch box plate", "motor plate"} <= {p.name for p in f.plates}
    assert not overlaps(f, hung(f))
    assert not loose(f, hung(f))


@pytest.mark.parametrize("brace", ["sheet panel", "crossed", "diagonal", "gussets"])
@pytest.mark.parametrize("style", ["rails between", "under the ring"])
def test_braced_sides_carry_them_or_say_why_not(style, brace):
    b = brief(style, ALL | {"motor_plate": "left"}, top="tray", overhang=30.0)
    b = replace(b, braces=replace(b.braces, back=brace, left=brace, right=brace))
    f = build_frame(b, 800.0)
    assert not overlaps(f, hung(f))
    assert not loose(f, hung(f))
    told = [x for x in f.findings if x.field == "extras.motor_plate"]
    assert ("motor plate" in {p.name for p in f.plates}) != bool(told)
    assert bool(told) == (brace == "sheet panel")
    assert all(x.severity is Severity.LOOK for x in told)


@pytest.mark.parametrize("layout", sorted(LAYOUTS))
def test_every_layout_carries_them_or_says_why_not(layout):
    b = brief(extras=ALL)
    f = build_frame(replace(b, frame=replace(b.frame, layout=layout)), 800.0)
    fields = {"splash back": "extras.splash_back", "switch box plate": "extras.switch_box", "motor plate": "extras.motor_plate"}
    for name, field in fields.items():
        here = name in {p.name for p in f.plates}
        assert here != any(x.field == field for x in f.findings), name
    assert not overlaps(f, hung(f))
    assert not loose(f, hung(f))


def test_splash_back_stands_behind_and_above():
    f = build_frame(brief(extras={"splash_back": 350.0}, top="tray", overhang=40.0), 800.0)
    low, high = box_of(f, "splash back")
    # Over the tray's rear lip: flush with its outer face, from its upper edge to 350 above the seat.
    assert high[1] == pytest.approx(250.0 + 40.0)
    assert low[2] == pytest.approx(f.ring_top + 40.0)
    assert high[2] == pytest.approx(1150.0)
    assert (low[0], high[0]) == pytest.approx((-500.0, 500.0))
    post, _ = box_of(f, "splash back post left")
    assert post[1] == pytest.approx(290.0)
    arm_low, arm_high = box_of(f, "splash back post left arm")
    assert (arm_low[1], arm_high[1]) == pytest.approx((250.0, 290.0))


def test_posts_stand_on_the_rail_where_nothing_overhangs():
    f = build_frame(brief(extras={"splash_back": 350.0}), 800.0)
    joint = next(j for j in f.joints if j.name == "splash back post left on top rail back")
    assert joint.members == ("top rail back", "splash back post left")
    low, high = box_of(f, "splash back post left")
    assert low[1] == pytest.approx(250.0)
    assert (low[2], high[2]) == pytest.approx((800.0 - 50.0, 1150.0))


def test_a_machine_that_reaches_back_is_told_how_far():
    box = OutlineBox(name="headstock", at=(0.0, 0.0, 40.0), size=(200.0, 340.0, 200.0))
    # Pattern middle at y = 90 of the datum: it reaches to 250; the sheet's face stands at 248.5, 5 mm of air.
    b = brief(extras={"splash_back": 350.0}, machine={"outline": (box,)})
    found = [x for x in build_frame(b, 800.0).findings if x.code == "frame.splash_back_in_machine"]
    assert [x.nearest for x in found] == ["513 mm"]
    assert found[0].field == "frame.depth"
    assert found[0].severity is Severity.STOP
    deep = replace(b, frame=replace(b.frame, depth=513.1))
    assert not [x for x in build_frame(deep, 800.0).findings if x.code == "frame.splash_back_in_machine"]


@pytest.mark.parametrize(("side", "sign"), [("left", -1), ("right", 1)])
def test_the_switch_box_is_at_the_front_corner_beyond_the_end(side, sign):
    f = build_frame(brief(extras={"switch_box": side}, top="sheet", overhang=30.0), 800.0)
    low, high = box_of(f, "switch box plate")
    inner, outer = sorted((sign * low[0], sign * high[0]))
    assert inner == pytest.approx(530.0)
    assert outer == pytest.approx(650.0)
    assert high[1] < -150.0  # in the front third of a stand 500 deep
    assert low[2] > 800.0
    plate = f.plate("switch box plate")
    normal = np.cross(plate.u_axis, plate.v_axis)
    np.testing.assert_allclose(normal, (0, -1, 0))  # it looks at the operator


@pytest.mark.parametrize(("side", "out"), [("back", (0, 1, 0)), ("left", (-1, 0, 0)), ("right", (1, 0, 0))])
def test_the_motor_plate_looks_outwards_and_its_slots_run_up(side, out):
    f = build_frame(brief(extras={"motor_plate": side}), 800.0)
    plate = f.plate("motor plate")
    np.testing.assert_allclose(np.cross(plate.u_axis, plate.v_axis), out)
    slots = [h for h in f.holes if h.owner == "motor plate"]
    assert len(slots) == 4
    low, high = box_of(f, "motor plate")
    bars = [box_of(f, f"motor plate bar {n}") for n in (1, 2)]
    along = 1 if side in ("left", "right") else 0
    for h in slots:
        assert h.slot > 0
        assert h.slot_axis == (0.0, 0.0, 1.0)
        assert low[2] < h.centre[2] - h.slot / 2 - h.diameter / 2
        assert h.centre[2] + h.slot / 2 + h.diameter / 2 < high[2]
        r = h.diameter / 2
        assert all(h.centre[along] + r < b[0][along] or h.centre[along] - r > b[1][along] for b in bars)


def test_the_motor_hangs_near_the_heavy_end():
    left = build_frame(brief(extras={"motor_plate": "back"}, machine={"centre_of_mass": (100.0, 90.0, 150.0)}), 800.0)
    right = build_frame(brief(extras={"motor_plate": "back"}, machine={"centre_of_mass": (500.0, 90.0, 150.0)}), 800.0)
    assert left.plate("motor plate").origin[0] == pytest.approx(-200.0)
    assert right.plate("motor plate").origin[0] == pytest.approx(200.0)


def test_without_a_lower_ring_the_bars_hang_on_the_top_rail():
    f = build_frame(brief(extras={"motor_plate": "back"}, lower_ring=0.0), 800.0)
    low, high = box_of(f, "motor plate bar 1")
    assert high[2] == pytest.approx(800.0)
    assert low[2] > 400.0
    assert not loose(f, hung(f))


def test_the_motor_weighs_where_it_hangs():
    with_motor = evaluate(brief(extras={"motor_plate": "right", "motor_mass": 40.0}))
    without = evaluate(brief(extras={"motor_plate": "right", "motor_mass": 0.0}))
    a, b = with_motor.strength, without.strength
    assert a.total_mass - b.total_mass == pytest.approx(40.0)
    assert with_motor.solids.mass == pytest.approx(without.solids.mass)
    # The reactions carry it, and their moments are those of 40 kg at the plate.
    more = a.foot_loads[:, 0] - b.foot_loads[:, 0]
    assert more.sum() == pytest.approx(40.0 * KILOGRAM_FORCE, rel=1e-6)
    feet = np.array([f.base for f in with_motor.frame.feet])
    plate = with_motor.frame.plate("motor plate")
    for axis in (0, 1):
        assert more @ feet[:, axis] == pytest.approx(40.0 * KILOGRAM_FORCE * plate.origin[axis], rel=1e-3, abs=500.0)
    shift = a.centre[0] * a.total_mass - b.centre[0] * b.total_mass
    assert shift == pytest.approx(40.0 * plate.origin[0], rel=1e-6)


@pytest.mark.parametrize("style", STYLES)
def test_a_dressed_stand_evaluates_and_its_feet_carry_all_of_it(style):
    b = brief(style, ALL, top="tray", overhang=30.0)
    s = evaluate(replace(b, casters=replace(b.casters, kind="four, lowered to roll")))
    assert s.strength.total_mass == pytest.approx(s.solids.mass + b.machine.mass + b.extras.motor_mass)
    assert s.strength.foot_loads[:, 0].sum() == pytest.approx(s.strength.total_mass * KILOGRAM_FORCE, rel=1e-6)
    bought = sum(m for m, k in zip(s.solids.masses, s.solids.layout.kinds, strict=True) if k in ("foot", "caster"))
    plates = sum(p.mass * len(p.names) for p in s.shop.plates)
    pieces = sum(p.mass * len(p.members) for p in s.shop.pieces)
    assert bought + plates + pieces == pytest.approx(s.solids.mass, rel=1e-9)


@pytest.mark.parametrize("posts", ["CHS 33.7x3.2", "L 30x30x3"])
def test_posts_are_flat_sided_tube(posts):
    b = brief(extras=ALL)
    sections = replace(b.frame.sections, posts=posts)
    found = [x.code for x in build_frame(replace(b, frame=replace(b.frame, sections=sections)), 800.0).findings]
    assert found == ["frame.post_shape"]


def test_a_short_end_has_no_room_for_a_motor():
    b = brief(extras={"motor_plate": "left"}, depth=320.0)
    f = build_frame(replace(b, machine=replace(b.machine, holes=((0.0, 0.0), (600.0, 0.0)))), 800.0)
    (found,) = (x for x in f.findings if x.field == "extras.motor_plate")
    assert "240 mm free" in found.message
    assert not [m for m in f.members if m.role == "post"]


@pytest.mark.parametrize(("brace", "fits"), [("none", True), ("crossed", False)])
def test_a_hung_motor_keeps_clear_of_braces_that_lean_out(brace, fits):
    b = brief(extras={"motor_plate": "back"}, layout="trestle", splay=8.0)
    f = build_frame(replace(b, braces=replace(b.braces, back=brace)), 800.0)
    assert ("motor plate" in {p.name for p in f.plates}) is fits
    assert any(x.code == "frame.motor_plate_left_out" for x in f.findings) is not fits
    assert not overlaps(f, hung(f))
