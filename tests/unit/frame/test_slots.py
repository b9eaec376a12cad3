"""Slotted holes for the machine: which are slotted, which way, and what the slots take room from."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, FrameBrief, Machine, Mounting, Sections, Top
from framecore.frame import LAYOUTS, build_frame
from framecore.frame._blocks import BESIDE, LAND, jack_place
from framecore.frame.slotted import machine_slots
from framecore.solids import SolidsBuilder

HOLES = ((0.0, 0.0), (300.0, 0.0), (0.0, 160.0), (300.0, 160.0))
WAYS = ("along the machine", "across the machine", "towards hole 1")


def brief(holes=HOLES, layout="four-post", top="none", bearers="SHS 50x50x3", frame=None, **mounting):
    return Brief(
        machine=Machine(holes=holes), mounting=Mounting(**mounting), top=Top(kind=top),
        frame=FrameBrief(layout=layout, sections=Sections(bearers=bearers), **(frame or {})),
    )  # fmt: skip


def frame(**asked):
    return build_frame(brief(**asked), 800.0)


def feet(f):
    return [h for h in f.holes if h.purpose.startswith("machine foot")]


def codes(f):
    return [k.code for k in f.findings]


@pytest.mark.parametrize("way", WAYS)
def test_every_way_points_where_it_says_and_hole_1_stays_round(way):
    cuts = machine_slots(brief(slot=4.0, slot_way=way))
    assert [c.slot for c in cuts] == [0.0, 4.0, 4.0, 4.0]
    for cut, hole in zip(cuts[1:], HOLES[1:], strict=True):
        want = {WAYS[0]: (1.0, 0.0), WAYS[1]: (0.0, 1.0), WAYS[2]: np.array(hole) / math.hypot(*hole)}[way]
        assert cut.axis == pytest.approx((*want, 0.0))
    spared = machine_slots(brief(slot=4.0, slot_way=way, round_holes="none"))[0].slot
    assert spared == (0.0 if way == "towards hole 1" else 4.0)


def test_without_slots_nothing_is_slotted():
    assert not any(h.slot for h in frame().holes) and not any(m.slot for m in frame().mounts)


@pytest.mark.parametrize(("layout", "top", "seating"), [
    ("four-post", "none", "bolted down"), ("four-post", "sheet", "bolted down"), ("four-post", "tray", "bolted down"),
    ("four-post", "none", "jacking screws"), ("trestle", "wood", "bolted down"), ("pedestal pair", "none", "shims"),
    ("workbench", "sheet", "bolted down"), ("column", "none", "bolted down"), ("column", "tray", "jacking screws"),
])  # fmt: skip
def test_a_bolt_finds_the_same_slot_in_everything_it_passes_through(layout, top, seating):
    f = frame(layout=layout, top=top, slot=6.0, slot_way="towards hole 1", seating=seating, jack=70.0)
    assert [m.slot for m in f.mounts] == [0.0, 6.0, 6.0, 6.0]
    for mount in f.mounts:
        own = [h for h in feet(f) if h.purpose == f"machine foot {mount.name[-1]}"]
        assert {h.centre[:2] for h in own} == {mount.point[:2]}
        assert {(h.diameter, h.slot, h.slot_axis if h.slot else None) for h in own} == {
            (mount.hole, mount.slot, mount.slot_axis if mount.slot else None)
        }
    owners = {h.owner for h in feet(f)}
    assert ("top" in owners) == (top in ("sheet", "wood"))
    assert ("jacking block 2" in owners) == (seating == "jacking screws")
    assert ("tray bottom" in owners) == (top == "tray")


def test_box_beam_is_slotted_and_crosses_where_slots_run_off_it():
    on = ((0.0, 0.0), (300.0, 0.0))
    kept = {"joined_by": "box beam", "sections": Sections(beam="RHS 120x80x5")}
    flat = build_frame(replace(brief(on, slot=10.0), frame=FrameBrief(layout="trestle", **kept)), 800.0)
    assert {h.owner for h in feet(flat)} == {"box beam"} and {h.slot for h in feet(flat)} == {0.0, 10.0}
    # 80 mm wide with a 10 mm corner leaves 30 mm each side; a hole 24.4 mm off the middle just fits, slotted it does not.
    off = ((0.0, 0.0), (300.0, 48.8))
    for slot, owners in ((0.0, {"box beam"}), (2.0, {"bearer 1", "bearer 2"})):
        b = replace(brief(off, slot=slot, slot_way=WAYS[1]), frame=FrameBrief(layout="trestle", **kept))
        assert {h.owner for h in feet(build_frame(b, 800.0))} == owners


def test_a_slot_counts_in_its_own_direction_only():
    # Flat 38 mm: a hole 13 mm off the middle of its bearer reaches 18.5 of 19 mm.
    holes = ((0.0, 0.0), (300.0, 0.0), (24.0, 160.0), (300.0, 160.0))
    assert "frame.hole_off_flat" not in codes(frame(holes=holes))
    assert "frame.hole_off_flat" not in codes(frame(holes=holes, slot=8.0, slot_way=WAYS[1]))
    found = [k for k in frame(holes=holes, slot=8.0, slot_way=WAYS[0]).findings if k.code == "frame.hole_off_flat"]
    assert [k.message.split(" ")[:5] for k in found] == [["Slotted", "hole", "3", "runs", "2.5"]]


def test_a_slot_along_its_bearer_may_run_past_its_end():
    deep = ((0.0, 0.0), (300.0, 0.0), (0.0, 386.0), (300.0, 386.0))  # 193 of 200 mm to the rail
    assert "frame.hole_off_bearer" not in codes(frame(holes=deep))
    assert "frame.hole_off_bearer" not in codes(frame(holes=deep, slot=6.0, slot_way=WAYS[0]))
    assert codes(frame(holes=deep, slot=6.0, slot_way=WAYS[1])).count("frame.hole_off_bearer") == 3


def test_the_head_plate_grows_with_the_slots():
    small = ((0.0, 0.0), (300.0, 0.0), (0.0, 200.0), (300.0, 200.0))
    plain = frame(holes=small, layout="column").plate("head plate").outline
    slotted = frame(holes=small, layout="column", slot=10.0).plate("head plate").outline
    # Hole 1 is round but hole 3 stands over it: all four sides grow along x alone.
    assert np.ptp(slotted, axis=0) - np.ptp(plain, axis=0) == pytest.approx((10.0, 0.0), abs=1.0)


@pytest.mark.parametrize("turn", [0.0, 20.0, 45.0, 90.0, 118.0, 135.0])
@pytest.mark.parametrize("slot", [2.0, 9.0, 25.0])
def test_jacking_screws_keep_equal_land_to_slot_and_side(turn, slot):
    axis = (math.cos(math.radians(turn)), math.sin(math.radians(turn)), 0.0)
    hole, d, block = 11.0, 16.0, 70.0
    c, land, need = jack_place(BESIDE, block, hole, d, slot, axis)
    s = c / math.sqrt(2)
    # Measured by walking along the slot, on whichever diagonal is the better one.
    walk = np.linspace(-slot / 2, slot / 2, 2001)[:, None] * np.array(axis[:2])
    off = max(np.hypot(*(np.array((s, k * s)) - walk).T).min() for k in (1, -1))
    assert land == pytest.approx(block / 2 - s - d / 2, abs=1e-6)
    assert off - (hole + d) / 2 == pytest.approx(land, abs=1e-3)
    again = jack_place(BESIDE, need, hole, d, slot, axis)
    assert again[1] == pytest.approx(LAND * d, abs=1e-6)
    assert jack_place(BESIDE, block, hole, d, 1e-9, axis)[:2] == pytest.approx(jack_place(BESIDE, block, hole, d)[:2], abs=1e-6)


def test_jack_holes_lie_on_the_diagonal_across_the_slot():
    f = frame(slot=8.0, slot_way="towards hole 1", seating="jacking screws", jack=70.0, block=80.0)
    block = {h.purpose: h for h in f.holes if h.owner == "jacking block 4"}
    a, b, hole = (block[p] for p in ("jack 4 a", "jack 4 b", "machine foot 4"))
    across = np.subtract(a.centre, b.centre)
    assert abs(across @ np.array(hole.slot_axis)) < 0.5 * np.linalg.norm(across)
    assert not a.slot and not b.slot


def test_solids_weigh_what_the_slots_leave():
    plain, slotted = frame(), frame(slot=10.0)
    masses = [SolidsBuilder().build(f, 7850.0).masses.sum() for f in (plain, slotted)]
    wall = 2 * plain.member("bearer 1").profile.wall_design
    assert masses[0] - masses[1] == pytest.approx(3 * 10.0 * 11.0 * wall * 7850e-9)


@pytest.mark.parametrize(("asked", "word"), [
    ({"holes": ()}, "no holes"), ({"holes": ((0.0, 0.0),)}, "only hole"),
    ({"seating": "hollow jacking screws", "jack": 70.0}, "bore"),
    ({"layout": "tripod", "holes": ((0.0, 0.0), (400.0, 0.0), (200.0, 350.0))}, "unscrewed"),
])  # fmt: skip
def test_slots_that_cannot_be_made_are_told(asked, word):
    f = frame(slot=5.0, **asked)
    (found,) = [k for k in f.findings if k.code == "frame.slots_idle"]
    assert word in found.message and found.field == "mounting.slot" and not any(h.slot for h in feet(f))
    assert "frame.slots_idle" not in codes(frame(slot=0.0, **asked))


@pytest.mark.parametrize("layout", LAYOUTS)
def test_slots_that_are_made_are_not_told_as_idle(layout):
    f = frame(slot=5.0, layout=layout)
    assert ("frame.slots_idle" in codes(f)) == (not any(m.slot for m in f.mounts))
