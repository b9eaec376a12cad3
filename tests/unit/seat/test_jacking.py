"""Jacking screws: where they stand, what they lift, and what is said when they cannot."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine, Mounting
from framecore.catalogue import thread
from framecore.errors import Severity
from framecore.figures.model import Verdict
from framecore.frame._blocks import BESIDE, LAND, ROUND
from framecore.seat.bolts import assembly_preload, torque_for
from framecore.seat.jacking import (
    PER_BOLT,
    WALL_LEAST,
    finer,
    hollow_screw_for,
    jacks_of,
    rise,
    shim_stack,
    weld_flatness,
)
from framecore.stand import evaluate

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def stand(holes=HOLES, feet=None, **mounting):
    b = Brief(machine=Machine(holes=holes, centre_of_mass=(250.0, 90.0, 150.0)), mounting=Mounting(**mounting))
    return evaluate(replace(b, feet=replace(b.feet, **(feet or {}))))


def jacks(**mounting):
    s = stand(**mounting)
    return jacks_of(s.brief, s.frame, s.strength)


def codes(s):
    return {f.code for f in s.findings if f.code.startswith("seat.")}


def test_two_screws_stand_on_the_diagonal_with_equal_land():
    j = jacks(seating=BESIDE, jack=50.0, screw="M10")
    assert j.count == 2
    to_hole = j.offset - (11.0 + 10.0) / 2
    to_side = 25.0 - j.offset / math.sqrt(2) - 5.0
    assert j.land == pytest.approx(to_hole) == pytest.approx(to_side)
    again = jacks(seating=BESIDE, jack=50.0, screw="M10", block=j.block_needed)
    assert again.land == pytest.approx(LAND * 10.0)


def test_a_screw_round_the_bolt_has_the_land_of_its_block():
    j = jacks(seating=ROUND, jack=60.0, screw="M20")
    assert (j.count, j.offset, j.bore) == (1, 0.0, 11.0)
    assert j.land == pytest.approx((50.0 - 20.0) / 2)
    assert jacks(seating=ROUND, jack=60.0, screw="M20", block=j.block_needed).land == pytest.approx(LAND * 20.0)
    assert j.wall == pytest.approx((thread("M20").root_diameter - 11.0) / 2)
    assert j.area == pytest.approx(math.pi / 4 * (thread("M20").root_diameter ** 2 - 121.0))


@pytest.mark.parametrize("kind", list(PER_BOLT))
def test_load_shares_and_travel(kind):
    j = jacks(seating=kind, jack=60.0, screw="M20")
    assert j.load * j.count == pytest.approx(j.clamp + 120.0 * 9.80665 / 4)
    assert j.stress * j.area == pytest.approx(j.load)
    enough = jacks(seating=kind, jack=j.jack_needed, screw="M20")
    assert enough.have == pytest.approx(enough.need)


def test_feet_left_as_set_down_leave_the_floor_to_the_screws():
    asked = {"seating": BESIDE, "jack": 50.0, "screw": "M10"}
    level, rough = stand(**asked), stand(feet={"set": "as set down"}, **asked)
    a, b = (jacks_of(s.brief, s.frame, s.strength) for s in (level, rough))
    assert a.floor == 0.0
    assert b.need - a.need == pytest.approx(rough.strength.floor.range_needed) and b.floor > 3.0


def test_rises_and_finer_threads():
    assert rise(1.5, 360) == 1.5 and rise(1.5, 60) == 0.25
    assert finer("M10").id == "M10x1" and finer("1/2-13").id == "1/2-20" and finer("M10x1") is None
    fit = hollow_screw_for(11.0, "metric")
    assert (fit.root_diameter - 11.0) / 2 >= WALL_LEAST
    assert (thread("M16").root_diameter - 11.0) / 2 < WALL_LEAST
    assert hollow_screw_for(30.0, "metric") is None


@pytest.mark.parametrize("thickness", [0.05, 0.4, 1.0, 3.0, 4.87])
def test_shims_come_nearest_from_below(thickness):
    leaves = shim_stack(thickness)
    assert 0 <= thickness - sum(leaves) < 0.05
    assert list(leaves) == sorted(leaves, reverse=True)


def test_longer_frames_are_less_flat():
    flat = [weld_flatness(x) for x in (100, 400, 401, 1000, 1500, 9000)]
    assert flat == sorted(flat) and flat[1] < flat[2]


def test_torque_and_clamp_by_class():
    t = thread("M10")
    four, eight = (assembly_preload(t, c) for c in ("4.6", "8.8"))
    assert eight / four == pytest.approx(580 / 225)
    s = stand(bolt_class="4.6")
    assert s.figures["mount.torque"].value == pytest.approx(torque_for(10.0, four) / 1000)
    weak = s.figures["mount.clamp"]
    assert weak.value == pytest.approx(0.75 * four)
    strong = stand(bolt_class="10.9").figures["mount.clamp"]
    assert strong.limit == pytest.approx(weak.limit) and strong.value > weak.value


def test_what_bolts_straight_down_has_no_jack_figures():
    figures = stand().figures
    assert not any(k.startswith("jack.") for k in figures) and "mount.shims" not in figures
    assert "mount.shims" in stand(seating="shims", jack=3.0).figures
    round_ = stand(seating=ROUND, jack=60.0, screw="M20").figures
    assert {"jack.rise", "jack.travel", "jack.thread", "jack.land", "jack.wall", "jack.stress", "jack.pressure"} <= set(round_)
    assert "jack.wall" not in stand(seating=BESIDE, jack=50.0, screw="M10").figures


@pytest.mark.parametrize(
    ("asked", "code", "severity"),
    [
        ({"seating": BESIDE, "screw": "M10"}, "seat.jack_gap", Severity.STOP),
        ({"seating": ROUND, "jack": 60.0, "screw": "M12"}, "seat.jack_bore", Severity.STOP),
        ({"seating": ROUND, "jack": 60.0, "screw": "M16"}, "seat.jack_bore", Severity.LOOK),
        ({"seating": BESIDE, "jack": 50.0, "screw": "M16"}, "seat.jack_land", Severity.LOOK),
        ({"seating": BESIDE, "jack": 50.0, "screw": "M20", "block": 30.0}, "seat.jack_land", Severity.STOP),
        ({"seating": BESIDE, "jack": 30.0, "screw": "M10", "block_height": 9.0}, "seat.jack_thread", Severity.LOOK),
        ({"seating": BESIDE, "jack": 50.0, "screw": "M10", "block": 60.0}, "seat.block_off_rail", Severity.LOOK),
        ({"seating": ROUND, "jack": 60.0, "screw": "M16", "bolt_class": "10.9"}, "seat.jack_screw_weak", Severity.LOOK),
        ({"jack": 12.0}, "seat.gap_unfilled", Severity.LOOK),
        ({"seating": "shims", "jack": 12.0}, "seat.shims_thick", Severity.LOOK),
        ({"seating": BESIDE, "holes": ()}, "seat.jacks_without_holes", Severity.LOOK),
    ],
)
def test_impossible_choices_are_told_with_a_cure(asked, code, severity):
    found = [f for f in stand(**asked).findings if f.code == code]
    assert [f.severity for f in found] == [severity]
    assert found[0].field and found[0].message.endswith(".") and (found[0].nearest or found[0].allowed)


def test_the_cures_cure():
    bad = stand(seating=BESIDE, jack=10.0, screw="M16", block_height=12.0)
    near = {f.code: f.nearest for f in bad.findings if f.code.startswith("seat.")}
    assert {"seat.jack_gap", "seat.jack_land", "seat.jack_thread"} <= set(near)
    mm = {k: float(v.split()[0]) for k, v in near.items()}
    height = mm["seat.jack_thread"]
    cured = stand(seating=BESIDE, screw="M16", block_height=height, block=mm["seat.jack_land"],
                  jack=mm["seat.jack_gap"] + height - 12.0)  # fmt: skip
    assert not codes(cured) & {"seat.jack_gap", "seat.jack_land", "seat.jack_thread"}
    judged = [cured.figures[k].verdict for k in ("jack.travel", "jack.thread", "jack.land")]
    assert judged == [Verdict.GOOD] * 3
    bore = next(f for f in stand(seating=ROUND, jack=60.0, screw="M14").findings if f.code == "seat.jack_bore")
    assert "seat.jack_bore" not in codes(stand(seating=ROUND, jack=60.0, screw=bore.nearest))


def test_good_jacks_are_not_talked_about():
    assert not codes(stand(seating=BESIDE, jack=50.0, screw="M10"))
    assert not codes(stand(seating=ROUND, jack=60.0, screw="M20"))


def test_every_jack_figure_writes_its_working_out():
    for asked in ({"seating": BESIDE, "jack": 50.0}, {"seating": ROUND, "jack": 60.0}, {"seating": "shims", "jack": 3.0}):
        for f in stand(**asked).figures.values():
            if f.id.startswith(("jack.", "mount.", "pads.")):
                work = f.working
                assert work.formula and work.inputs and work.source and all(work.steps), f.id
                assert bool(f.verdict) == (f.limit is not None), f.id


def test_setting_down_asks_no_clamp_of_bolts_that_are_not_in():
    s = stand()
    checks = s.strength.checks
    assert any(b.case == "set down" and b.tension > 0 for b in checks.bolts)  # it pulls hardest, yet before the bolts
    assert all(b.clamp_case != "set down" for b in checks.bolts)
    worst = max(checks.bolts, key=lambda b: b.clamp)
    assert worst.clamp == pytest.approx(worst.clamp_tension + worst.clamp_shear / 0.2)
    assert s.figures["mount.clamp"].limit == pytest.approx(checks.margin * worst.clamp) and worst.clamp > 0
