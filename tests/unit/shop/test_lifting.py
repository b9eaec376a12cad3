"""Lifting: more people carry more, the text says what to do, doors and hooks by geometry."""

from __future__ import annotations

import math

import pytest

from framecore.shop.lifting import (
    ALONE,
    DOOR_HEIGHT,
    EDGE,
    HOISTED,
    MOST_PEOPLE,
    TEAM,
    hook_height,
    lift,
    passage,
    recommended,
    sling_angle,
)
from tests.unit.shop.work_samples import SAMPLES, stand, work


def people(mass, depth=500.0):
    return lift("frame", mass, depth, 700.0, 800.0).people


def test_people_by_mass():
    at_edge = recommended(EDGE, 70.0, 80.0)
    alone = recommended(ALONE + 25.0, 70.0, 80.0)
    assert people(alone) == 1 and people(alone * 1.001) == 2
    for n in (2, 3, 4):
        most = n * TEAM[n] * at_edge
        assert people(most) == n
    assert people(MOST_PEOPLE * TEAM[MOST_PEOPLE] * at_edge * 1.001) == 0


def test_people_never_fall_as_mass_grows():
    told = [people(m) or MOST_PEOPLE + 1 for m in range(1, 80)]
    assert told == sorted(told) and len(set(told)) == 5


def test_a_deep_thing_is_heavier_for_one_alone_but_not_for_two():
    assert people(10.0, 100.0) == 1 and people(10.0, 800.0) == 2
    assert people(24.0, 100.0) == people(24.0, 800.0) == 2


def test_the_text_says_what_to_do():
    heavy = lift("stand", 57.0, 500.0, 700.0, 800.0)
    assert heavy.text.startswith("57 kg is more than the guideline of 38 kg for 4 people")
    assert "dolly" in heavy.text and "parts" in heavy.text
    assert lift("machine", 165.0, 500.0, 100.0, 800.0, otherwise=HOISTED).text.endswith(HOISTED)
    inch = lift("stand", 57.0, 500.0, 700.0, 800.0, "inch").text
    assert "126 lb" in inch and "kg" not in inch


def test_a_box_goes_through_a_door_by_its_two_smaller_sides():
    assert passage((1200.0, 800.0, 500.0)) == (500.0, 800.0)
    assert passage((2100.0, 2000.0, 500.0)) == (2000.0, 500.0)
    assert DOOR_HEIGHT < 2000.0


def test_hook_and_slings():
    assert hook_height(550.0, 500.0, 760.0) == 760 + 550 + 500 + 100
    assert math.degrees(sling_angle(500.0, 500.0)) == pytest.approx(30.0)
    assert sling_angle(2000.0, 500.0) == pytest.approx(math.pi / 2)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_assembly_and_the_machine_are_told(name):
    lifts = {x.name: x for x in work(name).lifts}
    for a in work(name).assemblies:
        assert lifts[a.name].mass == pytest.approx(a.mass)
    assert ("machine" in lifts) == (stand(name).brief.machine.mass > 0)
    box = sorted(work(name).assemblies[-1].size)
    assert (lifts["stand"].door, lifts["stand"].door_high) == pytest.approx((box[0], box[1]))
    assert all(x.source and x.text for x in lifts.values())
