"""Sizes of the seat's small parts: bolts reach, screws move as far as they must, bores clear, sleeves fit."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.catalogue import thread
from framecore.seat.hardware import bolt_head, full_nut, sold_length, spanner_within, thin_nut, thread_length
from framecore.seat.jacking import FOOT_PRESSURE, WALL_LEAST
from framecore.seat.turned import bolt_set, seat_parts

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
SEATINGS = {
    "bolted down": {},
    "jacking screws": {"jack": 45.0, "screw": "M12"},
    "hollow jacking screws": {"jack": 56.0, "screw": "M20"},
    "shims": {"jack": 12.0},
}


@cache
def seat(sample="bench-lathe", seating="bolted down", **more):
    brief = load_brief(SAMPLES / f"{sample}.toml")
    mounting = replace(brief.mounting, seating=seating, **{**SEATINGS[seating], **more})
    stand = evaluate(replace(brief, mounting=mounting))
    return stand, seat_parts(stand.brief, stand.frame, stand.strength)


@pytest.mark.parametrize("seating", SEATINGS)
@pytest.mark.parametrize("sample", ["bench-lathe", "bench-mill", "grinder-column", "saw-on-wheels"])
def test_a_bolt_reaches_through_everything_and_out_of_its_nut(sample, seating):
    stand, parts = seat(sample, seating)
    for bolt in parts.bolts:
        top = stand.brief.mounting.jack + bolt.foot + 2 * bolt.washer.thickness + bolt.steel
        assert bolt.clamp == pytest.approx(top)
        out = bolt.length - bolt.clamp - bolt.rise - bolt.nut.height
        assert out >= 2 * bolt.thread.pitch - 1e-6, "two threads stand out at the highest setting too"
        step = 20.0 if bolt.thread.system == "metric" else 25.4
        assert out < 2 * bolt.thread.pitch + step
        shank = bolt.length - bolt.threaded
        assert bolt.full_thread or shank < bolt.clamp - bolt.rise, "the nut does not meet the shank"
    assert sum(b.count for b in parts.bolts) == sum(m.hole > 0 for m in stand.frame.mounts)


@pytest.mark.parametrize(
    ("sample", "steel"),
    [("bench-lathe", 60.0), ("bench-mill", 50.8), ("grinder-column", 12.0), ("saw-on-wheels", 35.0 + 1.5 + 50.0)],
)
def test_a_bolt_passes_what_stands_under_the_seat(sample, steel):
    (bolt,) = seat(sample)[1].bolts
    assert bolt.steel == pytest.approx(steel)


def test_a_short_clamp_wants_thread_up_to_the_head():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    assert not bolt_set(brief, 60.0, 0.0, ("mount 1",)).full_thread
    thin = bolt_set(brief, 4.0, 20.0, ("mount 1",))
    assert thin.length - thin.threaded > thin.clamp - 20.0
    assert thin.full_thread


@pytest.mark.parametrize("seating", ["jacking screws", "hollow jacking screws"])
@pytest.mark.parametrize("screw", ["M16", "M20", "5/8-11", "3/4-10"])
def test_a_screw_covers_its_travel_inside_the_block(seating, screw):
    stand, parts = seat(seating=seating, screw=screw, jack=60.0)
    q, m = parts.screw, stand.brief.mounting
    need = stand.figures["jack.travel"].limit
    assert q.high - q.low == pytest.approx(min(need, stand.figures["jack.travel"].value))
    assert (q.high + q.low) / 2 == pytest.approx(m.jack - m.block_height)
    below = m.block_height + q.low - q.length
    assert 0.0 <= below < 1.6, "the lower end stays in the block and is cut to an easy length"
    assert q.engaged == pytest.approx(q.length - q.high)
    assert q.low >= parts.lock_nut.size.height * 0.8 + q.head - 1e-9
    assert q.end >= q.thread.root_diameter - 1e-9, "the end that presses is what the figures reckon with"
    assert q.blank_length + q.head >= q.length


def test_a_hollow_screw_clears_its_bolt_and_keeps_its_wall():
    stand, parts = seat(seating="hollow jacking screws")
    q, (bolt,) = parts.screw, parts.bolts
    assert q.bore >= bolt.thread.medium and q.bore > bolt.thread.diameter
    assert (q.thread.root_diameter - q.bore) / 2 == pytest.approx(stand.figures["jack.wall"].value)
    assert (q.thread.root_diameter - q.bore - q.bore_over) / 2 > WALL_LEAST
    assert q.head < q.blank_head.height, "the head is faced down, not built up"
    assert q.count == 4 and q.per_bolt == 1
    assert parts.lock_nut.count == 4


def test_two_flats_leave_a_solid_screw_its_core():
    _, parts = seat(seating="jacking screws")
    q = parts.screw
    assert 0.5 * q.thread.root_diameter < q.across_flats <= 0.75 * q.thread.root_diameter
    assert q.bore == 0.0 and q.count == 8 and parts.lock_nut.count == 8


def test_a_disc_spreads_what_would_press_into_the_foot():
    _, few = seat(seating="jacking screws", bolt_class="8.8")
    assert few.disc is None
    stand, parts = seat(seating="jacking screws", bolt_class="10.9", screw="M8")
    assert stand.figures["jack.pressure"].value > FOOT_PRESSURE
    load = stand.figures["jack.pressure"].value * math.pi / 4 * thread("M8").root_diameter ** 2
    assert load / (math.pi / 4 * parts.disc.diameter**2) == pytest.approx(parts.disc.pressure)
    assert parts.disc.pressure <= FOOT_PRESSURE and parts.disc.count == 8


@pytest.mark.parametrize("sample", ["bench-lathe", "long-lathe-pedestals"])
def test_a_sleeve_fills_its_tube(sample):
    stand, parts = seat(sample)
    assert sum(s.count for s in parts.sleeves) == sum(m.hole > 0 for m in stand.frame.mounts)
    for s in parts.sleeves:
        for name in s.owners:
            p = stand.frame.member(name).profile
            assert s.length == pytest.approx(p.height - 2 * p.wall)
        assert s.bore == stand.frame.mounts[0].hole and s.outside - s.bore >= 3.0 - 1e-9


def test_no_sleeve_in_solid_steel():
    assert seat("grinder-column")[1].sleeves == ()


def test_shims_and_their_plate_reach_the_gap():
    stand, parts = seat(seating="shims")
    q = parts.shim
    assert sum(q.leaves) == pytest.approx(stand.figures["mount.shims"].working.inputs[0].value, abs=0.05)
    assert q.packing < 12.0 < q.packing + sum(q.leaves), "the gap lies within what the leaves can make"
    assert q.slot >= thread(stand.brief.machine.bolt).diameter
    assert q.depth > q.side / 2, "it slides on until the bolt is in the middle"
    flat = seat(seating="shims", jack=0.0)[1].shim
    assert flat.packing == 0.0


def test_a_boss_only_where_the_pad_is_too_thin():
    stand, parts = seat()
    assert parts.boss is None
    thin = replace(stand.brief, feet=replace(stand.brief.feet, pad_thickness=4.0))
    stand = evaluate(thin)
    boss = seat_parts(thin, stand.frame, stand.strength).boss
    assert boss.length >= stand.figures["pads.thread"].limit > 4.0
    assert boss.chamfer > boss.thread.diameter > boss.tap_drill
    assert boss.outside > boss.chamfer and boss.count == len(stand.frame.feet)


def test_lengths_as_sold():
    m10, half = thread("M10"), thread("1/2-13")
    assert [sold_length(m10, n) for n in (19.0, 20.0, 66.0, 71.0, 161.0, 700.0)] == [20, 20, 70, 80, 180, 700]
    assert [sold_length(half, n * 25.4) / 25.4 for n in (1.1, 5.9, 6.1)] == pytest.approx([1.25, 6.0, 6.5])
    assert thread_length(m10, 20.0) == 20.0


def test_a_spanner_is_never_wider_than_asked():
    assert spanner_within(10.2, "metric") == 10.0
    assert spanner_within(1.0, "metric") == 4.0
    assert spanner_within(10.2, "inch") == pytest.approx(0.375 * 25.4)


@pytest.mark.parametrize("name", ["M6", "M12", "M20", "M12x1.25", "1/4-20", "5/8-11"])
def test_a_lock_nut_is_no_higher_than_a_head_and_a_nut_higher_than_both(name):
    assert thin_nut(name).height <= bolt_head(name).height < full_nut(name).height < 1.01 * thread(name).diameter
