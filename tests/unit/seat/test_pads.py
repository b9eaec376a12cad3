"""Tapped holes: how much thread, and what thin steel holds."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Feet
from framecore.catalogue import thread, threads
from framecore.catalogue.bolts import tensile
from framecore.seat.pads import (
    engagement_needed,
    nut_strip_area,
    pad_thread,
    screw_strip_area,
    strip_load,
    thread_limits,
    turns_in,
)


@pytest.mark.parametrize("name", threads())
def test_the_weakest_sizes_lie_inside_the_basic_thread(name):
    t = thread(name)
    lim = thread_limits(t.diameter, t.pitch)
    middle = t.diameter - 0.6495 * t.pitch
    assert middle < lim.major < t.diameter
    assert lim.pitch_screw < middle < lim.pitch_nut
    assert t.diameter - 1.0825 * t.pitch < lim.minor < lim.pitch_screw


def test_strip_areas_of_a_sharp_thread_are_cylinders():
    # Half the pitch is steel at the pitch diameter; sqrt(3) / 2 p further out on the diameter all of it is.
    p, d = 2.0, 20.0
    assert nut_strip_area(10.0, p, d, d - math.sqrt(3) / 2 * p) == pytest.approx(math.pi * d * 10.0)
    assert screw_strip_area(10.0, p, d, d) == pytest.approx(math.pi * d * 10.0 / 2)


@pytest.mark.parametrize("name", ["M8", "M10", "M16", "1/2-13", "3/4-10"])
@pytest.mark.parametrize("cls", ["4.6", "8.8", "10.9"])
def test_at_the_depth_needed_bolt_and_thread_are_as_strong(name, cls):
    t = thread(name)
    need = engagement_needed(t, cls, 360.0)
    assert strip_load(t, need, cls, 360.0) == pytest.approx(t.stress_area * tensile(cls))
    assert strip_load(t, 0.9 * need, cls, 360.0) < t.stress_area * tensile(cls)
    assert engagement_needed(t, cls, 470.0) <= need


def test_soft_steel_wants_more_thread_only_while_it_is_the_weaker():
    t = thread("M12")
    assert engagement_needed(t, "4.6", 2000.0) == engagement_needed(t, "4.6", 1000.0)  # the stud's own thread decides
    assert engagement_needed(t, "10.9", 360.0) > engagement_needed(t, "8.8", 360.0) > engagement_needed(t, "4.6", 360.0)


def test_a_thin_wall_holds_two_turns_and_gets_a_boss():
    brief = Brief(feet=replace(Feet(), thread="M10"))
    pad = pad_thread(brief, 3.0, 3.0)
    assert pad.turns == turns_in(thread("M10"), 3.0) == 2.0
    assert pad.strips < pad.breaks / 3
    assert f"{math.ceil(pad.needed):d} mm long" in pad.cure
    assert pad.drill == thread("M10").tap_drill < pad.chamfer
    thick = pad_thread(brief, 3.0, 12.0)
    assert thick.strips > thick.breaks and thick.engaged > thick.needed


def test_no_thread_holds_nothing():
    assert strip_load(thread("M10"), 1.0, "8.8", 360.0) == 0.0
