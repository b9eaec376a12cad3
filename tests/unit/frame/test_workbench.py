"""The workbench: ring past its legs, cross rails, bearers, backstop, vice corner, findings, shapes."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore import load_brief
from framecore.brief.model import Brief, Machine
from framecore.errors import LayoutError, Severity
from framecore.fem import assemble
from framecore.frame import LAYOUTS, build_frame
from framecore.frame._bench_checks import weight_of
from framecore.frame.model import Frame
from framecore.sheets import compose, overlaps
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.closing import open_joints, overlapping, shapes

HEIGHT = 910.0
HOLES = ((-200.0, -120.0), (200.0, -120.0), (-200.0, 120.0), (200.0, 120.0))
SAMPLE = Path(__file__).parents[3] / "samples" / "workbench.toml"


def brief(holes=(), top="wood", backstop=0.0, sections=(), **frame) -> Brief:
    mass = 90.0 if holes else 0.0
    b = Brief(machine=Machine(kind="workbench", holes=holes, mass=mass))
    b = replace(b, top=replace(b.top, kind=top, thickness=40.0 if top == "wood" else 3.0, overhang=20.0))
    b = replace(b, extras=replace(b.extras, backstop=backstop, sheet=3.0))
    s = replace(b.frame.sections, **dict(sections))
    f = {"layout": "workbench", "length": 1400.0, "depth": 650.0, "height": HEIGHT, **frame}
    return replace(b, frame=replace(b.frame, sections=s, **f))


def frame(*args, **more) -> Frame:
    return build_frame(brief(*args, **more), HEIGHT)


def box(bodies, name):
    return np.array(bodies[name].bounding_box()).reshape(2, 3)


def found(f: Frame, code: str):
    return [x for x in f.findings if x.code == code]


VARIANTS = [
    {},
    {"middle_legs": 2, "shelf": "slats", "toe_room": 80.0, "backstop": 60.0},
    {"overhang_left": 200.0, "overhang_right": 120.0, "middle_legs": 1, "vice_corner": "front left", "shelf": "sheet"},
    {"overhang_left": 200.0, "overhang_front": 150.0, "vice_corner": "front left", "top": "sheet", "backstop": 60.0},
    {"overhang_right": 200.0, "overhang_front": 150.0, "vice_corner": "front right", "corners": "butted", "top": "none",
     "backstop": 80.0},
    {"overhang_right": 40.0, "overhang_front": 30.0, "top": "none"},
    {"overhang_front": 120.0, "middle_legs": 1, "corners": "butted"},
    {"holes": HOLES, "vice_corner": "front right", "middle_legs": 1, "top": "sheet"},
    {"holes": HOLES, "overhang_left": 150.0, "bearer_place": "over the ring", "lower_ring": 0.0, "top": "none"},
]  # fmt: skip


def name_of(v):
    return "; ".join(f"{k} {'given' if k == 'holes' else x}" for k, x in v.items()) or "plain"


@pytest.mark.parametrize("variant", VARIANTS, ids=name_of)
def test_parts_meet_and_never_share_room(variant):
    f = frame(**variant)
    bodies = shapes(f)
    assert overlapping(bodies) == {}
    assert open_joints(f, bodies) == {}
    assert not [x for x in f.findings if x.severity is Severity.STOP]


@pytest.mark.parametrize("variant", VARIANTS, ids=name_of)
def test_joints_lie_on_the_line_of_their_first_member_and_are_named_once(variant):
    f = frame(**variant)
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


@pytest.mark.parametrize("variant", VARIANTS, ids=name_of)
def test_it_bears_its_weight_and_its_sheets_are_clean(variant):
    stand = evaluate(brief(**variant))
    weight = (stand.solids.mass + stand.brief.machine.mass) * KILOGRAM_FORCE
    assert stand.strength.foot_loads[:, 0].sum() == pytest.approx(weight, rel=1e-6)
    assert (stand.solids.volumes > 0).all()
    assert sum(len(p.members) for p in stand.shop.pieces) == len(stand.frame.members)
    for sheet in compose(stand):
        assert not overlaps(sheet)


def test_the_ring_reaches_past_the_legs_by_the_overhangs():
    f = frame(overhang_left=200.0, overhang_right=120.0, overhang_front=90.0)
    bodies = shapes(f)
    legs = [box(bodies, m.name) for m in f.members if m.role == "leg"]
    ring = [box(bodies, f"top rail {s}") for s in ("front", "back", "left", "right")]
    low, high = np.min([b[0] for b in legs], axis=0), np.max([b[1] for b in legs], axis=0)
    ring_low, ring_high = np.min([b[0] for b in ring], axis=0), np.max([b[1] for b in ring], axis=0)
    np.testing.assert_allclose(high[:2] - low[:2], (1400.0, 650.0))
    np.testing.assert_allclose(low[:2] - ring_low[:2], (200.0, 90.0))
    np.testing.assert_allclose(ring_high[:2] - high[:2], (120.0, 0.0), atol=1e-9)
    np.testing.assert_allclose(ring_low[:2] + ring_high[:2], 0.0, atol=1e-9)  # about the origin
    assert (f.length, f.depth) == (1720.0, 740.0)
    assert high[2] == pytest.approx(ring_low[2])  # square tops under the ring
    np.testing.assert_allclose(box(bodies, "top")[:, 0], (-860.0 - 20.0, 860.0 + 20.0))


def test_cross_rails_lie_over_the_legs_the_end_rails_do_not_reach():
    assert not [m for m in frame().members if m.name.startswith("cross rail")]
    f = frame(overhang_left=200.0, middle_legs=1)
    at = {m.name: m.start.point[0] for m in f.members if m.name.startswith("cross rail")}
    assert at == {
        "cross rail 1": pytest.approx(f.member("leg FL").start.point[0]),
        "cross rail 2": pytest.approx(f.member("leg FM1").start.point[0]),
    }
    joint = {j.name: j for j in f.joints}
    assert joint["top rail at FL"].members == ("leg FL", "top rail front", "cross rail 1")
    assert joint["top rail corner FL"].members == ("top rail front", "top rail left")
    assert joint["top rail corner FR"].members == ("leg FR", "top rail front", "top rail right")
    bay = {b.name: b for b in f.bays}
    assert (bay["left"].top, bay["right"].top, bay["front 1"].top) == ("cross rail 1", "top rail right", "top rail front")


def test_a_front_overhang_takes_the_front_legs_under_what_lies_across():
    f = frame(overhang_front=150.0, middle_legs=1)
    joint = {j.name: j for j in f.joints}
    assert joint["top rail at FL"].members == ("leg FL", "top rail left")
    assert joint["top rail at FM1"].members == ("leg FM1", "cross rail 1")
    assert joint["cross rail 1 front"].members == ("top rail front", "cross rail 1")
    assert joint["top rail at BM1"].members == ("leg BM1", "top rail back", "cross rail 1")
    assert next(b for b in f.bays if b.name == "front 1").top == ""


def test_bearers_go_where_the_top_is_widest_unsupported():
    f = frame(bearers=3, middle_legs=1)  # two bays of (1400 - 3 x 50) / 2 = 625 clear
    xs = sorted(m.start.point[0] for m in f.members if m.role == "bearer")
    left, right = -25.0 - 625.0, 25.0 + 625.0
    halves = ([left + 625 / 3, left + 1250 / 3, 25.0 + 312.5], [-25.0 - 312.5, right - 1250 / 3, right - 625 / 3])
    assert any(np.allclose(xs, h) for h in halves)


def test_backstop_stands_on_the_rear_edge_and_rises_past_the_top():
    f = frame(backstop=60.0)
    b = box(shapes(f), "backstop")
    np.testing.assert_allclose(b, [(-720.0, 345.0, HEIGHT - 40.0), (720.0, 348.0, HEIGHT + 60.0)])
    bare = frame(backstop=60.0, top="none")
    # On a bare ring it hangs on the flat of the back rail.
    rail = bare.member("top rail back").profile
    np.testing.assert_allclose(box(shapes(bare), "backstop")[:, 2], (HEIGHT - 50.0 + rail.corner, HEIGHT + 60.0))


def test_vice_corner_left_and_right_are_mirror_images():
    left, right = (
        shapes(frame(vice_corner=f"front {side}", bearers=0, **{f"overhang_{side}": 200.0, "overhang_front": 150.0}))
        for side in ("left", "right")
    )
    names = ("vice bearer 1", "vice bearer 2", "vice plate", "vice brace end", "vice brace front")
    for name in names:
        a, b = box(left, name), box(right, name)
        np.testing.assert_allclose(a[:, 1:], b[:, 1:], atol=1e-9)
        np.testing.assert_allclose(a[:, 0], -b[::-1, 0], atol=1e-9)
    ring = box(left, "top rail front")
    assert box(left, "vice plate")[1, 2] == pytest.approx(ring[1, 2])  # flush
    assert box(left, "vice plate")[0, 1] == pytest.approx(ring[1, 1])  # against the front rail


def test_vice_braces_run_at_45_degrees_from_the_leg_to_the_ring():
    f = frame(vice_corner="front left", overhang_left=200.0, overhang_front=150.0)
    joint = {j.name: j for j in f.joints}
    for name, run in (("vice brace end", 200.0 - 25.0), ("vice brace front", 150.0 - 25.0)):
        brace = f.member(name)
        assert math.dist(brace.start.point, brace.end.point) == pytest.approx(run * math.sqrt(2))
        assert brace.x_axis[2] == pytest.approx(math.sqrt(0.5))
        assert joint[f"{name} on leg"].members == ("leg FL", name)
    assert joint["vice brace end on ring"].members == ("top rail left", "vice brace end")
    # Above the head of the front brace a cross rail meets the front rail: one joint holds the three.
    assert joint["cross rail 1 front"].members == ("top rail front", "cross rail 1", "vice brace front")
    short = frame(vice_corner="front left", overhang_left=80.0)
    assert not [m for m in short.members if m.role == "brace"]


def test_the_vice_corner_is_stiff_under_a_load_on_the_overhang():
    def give(b: Brief) -> float:
        """How far the front left corner of the ring goes down under 1 kN, mm."""
        stand = evaluate(b)
        model = stand.strength.model
        corner = next(j.point for j in stand.frame.joints if j.name == "top rail corner FL")
        loads = np.zeros((model.n_nodes, 6, 1))
        n = int(np.linalg.norm(model.nodes - corner, axis=1).argmin())
        loads[n, 2, 0] = -1000.0
        return float(-assemble(model).solve(loads)[n, 2, 0])

    plain = brief(overhang_left=250.0, bearers=0)
    braced = replace(plain, frame=replace(plain.frame, vice_corner="front left"))
    assert 0 < give(braced) < 0.7 * give(plain)


@pytest.mark.parametrize(
    ("more", "code", "cure"),
    [
        ({"middle_legs": 3}, "frame.bench_legs_many", {"middle_legs": 2}),
        ({"legs": "wrapped angle"}, "frame.bench_legs", {"legs": "under the ring"}),
        ({"bearer_place": "over the ring"}, "frame.bench_bearers_over", {"bearer_place": "between the rails"}),
        ({"vice_corner": "front left", "length": 380.0}, "frame.vice_corner_room", {"length": 560.0}),
        ({"bearers": 12, "length": 600.0}, "frame.bearers_crowded", {"bearers": 9}),
        ({"holes": ((-10.0, 0.0), (-10.0, 80.0)), "middle_legs": 1}, "frame.bearer_on_cross_rail", {"middle_legs": 0}),
        ({"vice_corner": "front left", "middle_legs": 2, "length": 800.0}, "frame.vice_corner_taken", {"middle_legs": 0}),
        ({"top": "tray", "backstop": 50.0}, "frame.backstop_on_tray", {"backstop": 0.0}),
        ({"sections": {"bearers": "L 50x50x5"}}, "frame.bearer_shape", {"bearers": 0}),
    ],
)
def test_impossible_benches_are_told_and_cured(more, code, cure):
    wrong = found(frame(**more), code)
    assert wrong
    assert all(x.severity is Severity.STOP and x.message.endswith(".") and x.field for x in wrong)
    assert not found(frame(**{**more, **cure}), code)
    with pytest.raises(LayoutError):
        evaluate(brief(**more))


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"overhang_left": 40.0}, "frame.overhang_short"),
        ({"overhang_left": 480.0}, "frame.overhang_long"),
        ({"overhang_front": 230.0}, "frame.overhang_long"),
        ({"overhang_front": 300.0, "top": "none", "shelf": "none", "depth": 400.0}, "frame.overhang_tips"),
        ({"vice_corner": "front left", "overhang_left": 200.0, "sections": {"braces": "SHS 40x40x3"}},
         "frame.vice_brace_large"),
    ],
)  # fmt: skip
def test_doubtful_benches_are_a_second_look(more, code):
    assert [x.severity for x in found(frame(**more), code)] == [Severity.LOOK]
    assert not found(frame(), code)
    assert evaluate(brief(**more)).buildable


def test_a_panel_in_the_way_of_a_vice_brace_is_told():
    b = brief(vice_corner="front left", overhang_left=200.0)
    for side, told in (("left", True), ("right", False), ("front", False)):
        f = build_frame(replace(b, braces=replace(b.braces, **{side: "sheet panel"})), HEIGHT)
        assert bool(found(f, "frame.vice_brace_panel")) is told


def test_the_overhang_that_would_not_tip_is_named():
    f = frame(overhang_front=300.0, top="none", depth=400.0)
    (tips,) = found(f, "frame.overhang_tips")
    cured = float(tips.nearest.split()[0])
    # A shorter ring is lighter and stands otherwise, so the value is near, not exact.
    assert not found(frame(overhang_front=cured - 15.0, top="none", depth=400.0), "frame.overhang_tips")
    assert found(frame(overhang_front=cured + 15.0, top="none", depth=400.0), "frame.overhang_tips")


def test_the_sample_is_a_bench_on_six_feet_without_a_stop():
    stand = evaluate(load_brief(SAMPLE))
    assert stand.frame.layout == "workbench"
    assert len(stand.frame.feet) == 6
    assert stand.buildable


@pytest.mark.parametrize(
    "more", [{"overhang_left": 450.0, "middle_legs": 1}, {"holes": HOLES, "overhang_front": 200.0, "backstop": 100.0}]
)
def test_tipping_is_judged_with_the_weight_where_it_is(more):
    b = brief(**more)
    stand = evaluate(b)
    mass, x, y = weight_of(LAYOUTS["workbench"](b, HEIGHT))
    # Cuts, holes and feet are left out, mitres are weighed by their long side.
    assert mass == pytest.approx(stand.strength.total_mass, rel=0.03)
    np.testing.assert_allclose((x, y), stand.strength.centre[:2], atol=6.0)
