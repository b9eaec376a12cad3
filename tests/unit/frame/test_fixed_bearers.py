"""Bearers fixed by the maker: where they lie, what lies on them, and what is told where something does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief.model import Brief, FrameBrief, Machine, Mounting
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame.model import Role

HOLES = ((0.0, 0.0), (300.0, 0.0), (0.0, 160.0), (300.0, 160.0))  # x = -150 and 150 in the stand
RINGS = ("four-post", "trestle", "pedestal pair", "workbench")


def brief(at, holes=HOLES, layout="four-post", mounting=None, middle=(0.0, 0.0), **more):
    return Brief(machine=Machine(holes=holes, at=middle), mounting=Mounting(**(mounting or {})),
                 frame=FrameBrief(layout=layout, bearers_at=at, **more))  # fmt: skip


def frame(at, **asked):
    return build_frame(brief(at, **asked), 800.0)


def bearers(f):
    return {m.name: m.start.point[0] for m in f.members if m.role is Role.BEARER}


def stops(f):
    return [k for k in f.findings if k.severity is Severity.STOP]


@pytest.mark.parametrize("layout", RINGS)
@pytest.mark.parametrize("place", ["between the rails", "over the ring"])
def test_bearers_lie_where_they_are_fixed_and_carry_the_holes_over_them(layout, place):
    f = frame((155.0, 0.0, -140.0), layout=layout, bearer_place=place, length=1200.0)
    assert stops(f) == []
    assert bearers(f) == {"bearer 1": -140.0, "bearer 2": 0.0, "bearer 3": 155.0}
    assert [m.member for m in f.mounts] == ["bearer 1", "bearer 3", "bearer 1", "bearer 3"]
    assert all(h.owner == m.member for h, m in zip((h for h in f.holes if h.purpose.startswith("machine")), f.mounts,
                                                   strict=True))  # fmt: skip
    joined = {name for j in f.joints for name in j.members}
    assert set(bearers(f)) <= joined


@pytest.mark.parametrize("layout", RINGS)
def test_without_holes_as_many_bearers_as_are_fixed(layout):
    f = frame((-80.0, 130.0), holes=(), layout=layout, bearers=4, length=1200.0)
    assert stops(f) == [] and list(bearers(f).values()) == [-80.0, 130.0]
    none = frame((-80.0,), holes=(), layout=layout, bearers=0, bearer_place="between the rails")
    assert list(bearers(none).values()) == [-80.0]


def test_over_the_ring_fixed_bearers_without_holes_carry_the_seat():
    over = frame((-80.0,), holes=(), bearers=0, bearer_place="over the ring")
    assert over.seat - over.ring_top == pytest.approx(over.member("bearer 1").profile.height)


def test_left_empty_bearers_follow_the_holes():
    assert list(bearers(frame(())).values()) == [-150.0, 150.0]


def test_an_end_rail_carries_the_holes_that_lie_on_it():
    # The ring is 1000 mm long, its rails 50 mm wide: their middles lie at 475.
    f = frame((200.0,), holes=((0.0, 0.0), (675.0, 0.0), (0.0, 160.0), (675.0, 160.0)), middle=(-137.5, 0.0))
    assert stops(f) == []
    assert [m.member for m in f.mounts] == ["top rail left", "bearer 1", "top rail left", "bearer 1"]
    over = frame((200.0,), holes=((0.0, 0.0), (675.0, 0.0)), middle=(-137.5, 0.0), bearer_place="over the ring")
    assert [k.code for k in stops(over)] == ["frame.hole_beside_bearer"]


@pytest.mark.parametrize("layout", RINGS)
def test_a_rail_that_crosses_the_ring_carries_too_and_takes_its_room(layout):
    more = {"four-post": {}, "trestle": {"middle_legs": 1, "length": 1200.0}, "pedestal pair": {"length": 1200.0},
            "workbench": {"overhang_left": 200.0, "length": 1200.0}}[layout]  # fmt: skip
    plain = frame((0.0 if layout != "trestle" else 200.0,), holes=(), layout=layout, **more)
    rails = [m for m in plain.members if m.role is Role.TOP_RAIL and abs(m.x_axis[1]) > 0.9]
    inner = [m for m in rails if abs(m.start.point[0]) < plain.length / 2 - 60.0]
    if layout == "four-post":
        assert not inner
        return
    x = inner[0].start.point[0]
    hit = frame((x + 10.0,), holes=(), layout=layout, **more)
    (found,) = [k for k in stops(hit) if k.code == "frame.bearer_in_rail"]
    assert found.field == "frame.bearers_at" and inner[0].name in found.message
    beside = float(found.nearest.removesuffix(" mm"))
    assert abs(beside - x) == pytest.approx(50.0, abs=0.06)
    moved = frame((beside + (0.1 if beside > x else -0.1),), holes=(), layout=layout, **more)
    assert "frame.bearer_in_rail" not in [k.code for k in moved.findings]
    held = frame((x + 200.0,), holes=((0.0, 0.0), (200.0, 0.0)), middle=(x + 100.0, 0.0), layout=layout, **more)
    assert [m.member for m in held.mounts] == [inner[0].name, "bearer 1"]


def test_a_hole_beside_its_bearer_is_told_once_with_the_place_that_cures_it():
    f = frame((-150.0, 170.0))
    found = stops(f)
    assert [k.code for k in found] == ["frame.hole_beside_bearer"] * 2
    assert [k.message.split(" at ")[0] for k in found] == ["Hole 2", "Hole 4"]
    assert all("bearer 2" in k.message and k.member == "bearer 2" and k.nearest == "150 mm" for k in found)
    assert all(k.field == "frame.bearers_at" for k in found)
    assert stops(frame((-150.0, 150.0))) == []


def test_the_place_named_keeps_the_other_holes_on_the_bearer():
    skew = ((0.0, 0.0), (300.0, 0.0), (0.0, 160.0), (320.0, 160.0))  # x = -160, 140, -160, 160
    (found,) = stops(frame((-160.0, 135.0), holes=skew))
    assert found.message.startswith("Hole 4 at x = 160 mm") and found.nearest == "150 mm"
    assert stops(frame((-160.0, 150.0), holes=skew)) == []


def test_holes_too_far_apart_for_one_bearer_want_another():
    skew = ((0.0, 0.0), (300.0, 0.0), (0.0, 160.0), (360.0, 160.0))  # x = -180, 120, -180, 180
    (found,) = stops(frame((-180.0, 120.0), holes=skew))
    assert "carries hole 2" in found.message and "one more bearer at x = 180 mm" in found.message
    assert stops(frame((-180.0, 120.0, 180.0), holes=skew)) == []


def test_a_slot_needs_the_flat_for_its_whole_length():
    # Flat 38 mm: a round 11 mm hole may lie 13.5 mm off the middle.
    at = (-163.0, 163.0)
    assert stops(frame(at)) == []
    across = frame(at, mounting={"slot": 4.0, "slot_way": "across the machine"})
    along = frame(at, mounting={"slot": 4.0, "slot_way": "along the machine"})
    assert stops(across) == [] and len(stops(along)) == 3


@pytest.mark.parametrize(("place", "limit"), [("between the rails", 425.0), ("over the ring", 475.0)])
def test_a_bearer_out_of_the_ring_is_told_with_the_room_there_is(place, limit):
    assert stops(frame((-limit, limit), holes=(), bearer_place=place)) == []
    f = frame((-limit - 1.0, 600.0), holes=(), bearer_place=place)
    found = stops(f)
    assert [k.code for k in found] == ["frame.bearer_not_in_ring"] * 2 and bearers(f) == {}
    assert [k.nearest for k in found] == [f"{-limit:.0f} mm", f"{limit:.0f} mm"]
    assert {k.allowed for k in found} == {f"{-limit:.0f} to {limit:.0f} mm"}


def test_the_room_told_is_never_wider_than_it_is():
    f = frame((900.0,), holes=(), length=1001.3)
    (found,) = stops(f)
    assert stops(frame((float(found.nearest.split(" ")[0]),), holes=(), length=1001.3)) == []


def test_bearers_fixed_on_each_other_are_told():
    (found,) = stops(frame((-150.0, 150.0, 190.0)))
    assert found.code == "frame.bearers_overlap" and found.field == "frame.bearers_at" and "40 mm apart" in found.message
    assert found.nearest == "200 mm"


def test_a_hole_on_a_bearer_that_has_no_place_is_not_told_twice():
    f = frame((-150.0, 440.0), holes=((0.0, 0.0), (590.0, 0.0)), middle=(145.0, 0.0))
    assert [k.code for k in stops(f)] == ["frame.bearer_not_in_ring"]
    assert [m.member for m in f.mounts] == list(bearers(f)) == ["bearer 1"]


def test_cross_pieces_on_a_box_beam_lie_where_they_are_fixed():
    b = brief((-140.0, 150.0, 300.0), layout="trestle", joined_by="box beam")
    f = build_frame(b, 800.0)
    assert stops(f) == [] and list(bearers(f).values()) == [-140.0, 150.0, 300.0]
    assert [m.member for m in f.mounts] == ["bearer 1", "bearer 2", "bearer 1", "bearer 2"]
    empty, half = f.member("bearer 3"), f.member("box beam").profile.width / 2
    assert empty.start.point[1] <= -half and empty.end.point[1] >= half
    off = build_frame(replace(b, frame=replace(b.frame, bearers_at=(-140.0, 200.0))), 800.0)
    assert [k.code for k in stops(off)] == ["frame.hole_beside_bearer"] * 2
    out = build_frame(replace(b, frame=replace(b.frame, bearers_at=(-150.0, 150.0, 490.0))), 800.0)
    assert [k.code for k in stops(out)] == ["frame.bearer_not_in_ring"] and stops(out)[0].nearest == "475 mm"


@pytest.mark.parametrize(("layout", "holes", "more"), [
    ("column", HOLES, {}), ("tripod", ((0.0, 0.0), (400.0, 0.0), (200.0, 350.0)), {}),
    ("trestle", ((0.0, 0.0), (300.0, 0.0)), {"joined_by": "box beam"}), ("trestle", (), {"joined_by": "box beam"}),
])  # fmt: skip
def test_layouts_without_bearers_say_so(layout, holes, more):
    f = frame((0.0,), holes=holes, layout=layout, **more)
    (found,) = [k for k in f.findings if k.code == "frame.no_bearers"]
    assert found.field == "frame.bearers_at" and found.severity is Severity.LOOK and bearers(f) == {}
    assert "frame.no_bearers" not in [k.code for k in frame((), holes=holes, layout=layout, **more).findings]
