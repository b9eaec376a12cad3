"""Figures of feet, floor and tipping: their ids, verdicts and words on stands of every kind."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Floor, Machine
from framecore.figures.model import Verdict
from framecore.stand import evaluate

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def figures(**parts):
    b = Brief(machine=Machine(holes=HOLES, centre_of_mass=(250.0, 90.0, 150.0)), floor=Floor(slope=10.0))
    for name, values in parts.items():
        b = replace(b, **{name: replace(getattr(b, name), **values)})
    stand = evaluate(b)
    return stand, stand.figures


def test_every_foot_and_direction_has_its_figures():
    _, f = figures()
    for kind in ("load", "load_worst", "turn_out", "stud"):
        assert {f"feet.{kind}.{foot}" for foot in ("FL", "FR", "BL", "BR")} <= set(f)
    assert sum(k.startswith("stability.push.") for k in f) == 8
    assert sum(k.startswith("tipping.") for k in f) == 8
    assert all(f[k].group == "floor" for k in f if k.startswith(("floor.", "feet.")) and "load." not in k and "stud_u" not in k)
    # one source, one value
    s = evaluate(figures()[0].brief).strength
    least = min(f[f"stability.push.{way}"].value for way in ("front", "back"))
    assert f["stability.worst"].value == s.stability.feet.least_push == least


def test_travel_too_short_is_a_stop_and_says_what_it_needs():
    _, f = figures(floor={"slope": 40.0}, feet={"travel": 8.0})
    travel = f["feet.travel"]
    assert travel.verdict is Verdict.STOP
    assert travel.limit == 16.0
    assert any(f"= {travel.value:.2f} mm" in step for step in travel.working.steps)
    turned = [f[f"feet.turn_out.{foot}"].value for foot in ("FL", "FR", "BL", "BR")]
    assert max(turned) - min(turned) + 3.0 == pytest.approx(travel.value)


def test_rock_by_diagonal_sums_stands_in_the_working():
    _, f = figures(floor={"heights": (1.0, -2.0, 0.0, 1.0)}, feet={"set": "as set down"})
    rock, short = f["floor.rock_gap"], f["floor.short_foot"]
    assert rock.value == pytest.approx(4.0)
    assert "= 4.00 mm" in rock.working.steps[-1]
    assert short.verdict is Verdict.LOOK
    assert 0 < short.value < rock.value
    assert short.note.removeprefix("foot ") in ("FR", "BL")
    # One who levels it is told the same without a verdict on it.
    assert figures(floor={"heights": (1.0, -2.0, 0.0, 1.0)})[1]["floor.short_foot"].verdict is Verdict.NONE
    assert "not measured" in figures()[1]["floor.rock_gap"].note


def test_a_long_thin_stud_is_the_softest_spring():
    _, f = figures(feet={"thread": "M8", "height": 120.0})
    assert f["feet.stud.FL"].verdict is Verdict.LOOK
    assert "softer" in f["feet.stud.FL"].note
    share = f["feet.stud_share"]
    assert share.verdict is Verdict.LOOK
    assert share.value > 0.5
    assert figures()[1]["feet.stud_share"].verdict is Verdict.GOOD


def test_feet_that_bear_tilt_or_engage_too_little():
    _, f = figures(feet={"rating": 500.0, "tilt": 0.5, "pad_thickness": 6.0, "height": 30.0})
    assert f["feet.load_worst.FL"].verdict is Verdict.STOP
    assert f["feet.tilt"].value == pytest.approx(math.degrees(math.atan(0.01)))
    assert f["feet.tilt"].verdict is Verdict.LOOK
    assert f["feet.engagement"].verdict is Verdict.STOP
    assert f["feet.height_room"].verdict is Verdict.LOOK


def test_slippery_feet_slide_before_the_stand_tips():
    _, f = figures(feet={"friction": 0.1}, limits={"push": 300.0})
    assert f["feet.slide"].verdict is Verdict.LOOK
    assert "slides" in f["feet.slide"].note
    assert f["feet.grip"].note == "it slides before it tips"
    assert figures(feet={"friction": 1.2})[1]["feet.grip"].note == "it tips before it slides"


def test_wood_and_concrete_have_their_own_questions():
    _, wood = figures(floor={"kind": "wood", "joist_span": 3500.0})
    _, slab = figures(floor={"slab": 75.0})
    assert {"floor.area_load", "floor.joists"} <= set(wood)
    assert "floor.slab" not in wood
    assert not {"floor.area_load", "floor.joists"} & set(slab)
    assert slab["floor.slab"].verdict is Verdict.LOOK
    assert wood["floor.foot_load"].limit == 2.0
    assert slab["floor.foot_load"].limit == pytest.approx(8.896, abs=0.001)
    for f in (wood["floor.joists"], wood["floor.area_load"], slab["floor.pressure"], slab["floor.slab"]):
        assert "structural engineer" in f.working.note


def test_anchors_take_the_place_of_a_limit_on_tipping():
    stand, f = figures(machine={"mass": 30.0}, limits={"push": 900.0}, floor={"anchor": "M12", "slab": 100.0})
    pull = f["floor.anchor_pull"]
    assert pull.value > 0
    assert "push" in pull.note
    assert pull.limit == pytest.approx(7.7 * math.sqrt(20) * 70**1.5 / 1.5)
    assert f["floor.anchor_slab"].verdict is Verdict.STOP  # 140 mm wanted
    assert f["floor.anchor_edge"].value == 60.0
    assert f["floor.anchor_spacing"].limit == 120.0
    for name in ("tipping.force.front", "stability.worst", "feet.slide"):
        assert f[name].limit is None and f[name].verdict is Verdict.NONE
    assert f["tipping.force.front"].note == "if its anchors let go"
    assert not any(x.code in ("standing.tips", "standing.lifts") for x in stand.findings)
    assert "floor.anchor_pull" not in figures()[1]


def test_a_machine_that_falls_when_loosened_is_told_with_the_force_to_hold_it():
    _, f = figures(machine={"centre_of_mass": (250.0, 200.0, 150.0)})
    loose = f["stability.machine_push"]
    assert loose.value == 0.0
    assert loose.verdict is Verdict.LOOK
    assert "holds it with at least 78 N" in loose.note  # 120 kg x 9.807 x 20 mm / 300 mm
    assert "by itself" in loose.working.steps[-1]
    assert "No certificate" in f["stability.machine_angle"].working.note


def test_a_narrow_stand_is_stopped_in_every_direction_it_tips():
    _, f = figures(limits={"tipping_force": 600.0, "tipping_angle": 40.0})
    assert f["stability.push.front"].verdict is Verdict.STOP
    assert f["tipping.angle.front"].verdict is Verdict.STOP
    assert f["stability.slope"].verdict is Verdict.STOP
    assert f["stability.push.left"].verdict is Verdict.GOOD


def test_as_set_down_it_leans_with_the_floor():
    _, level = figures(floor={"slope": 20.0})
    _, down = figures(floor={"slope": 20.0}, feet={"set": "as set down"})
    lean = math.degrees(math.atan(0.02))
    assert level["stability.slope"].value - down["stability.slope"].value == pytest.approx(lean, abs=1e-9)
