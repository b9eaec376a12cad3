"""Levels, the turning test and moves of the screws: geometry in coordinates, brute force on the whole frame model

The level's numbers are worked by hand to the digits shown. The turning test is followed by turning the tool point in
space; the moves are tried one after the other in the frame model with a lengthened screw as its load.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.fem import assemble
from framecore.seat.influence import influence
from framecore.seat.moves import find_moves
from framecore.seat.readings import arc_seconds, inch_per_foot, parse_level
from framecore.seat.turning_test import TurningTest, answer, bar_bending, taper_of_twist
from tests.validation.record import agree

SAMPLES = Path(__file__).parents[2] / "samples"
HAND = "by hand: 1 arc second = pi / 648000, 1 in/ft = 1/12"
COORDINATES = "the tool point turned in space about the line the bed twists about"
STATICS = "a stand that moves as a rigid body changes no force; statics"


@pytest.mark.parametrize(
    ("typed", "mm_m", "seconds", "in_ft", "digits"),
    [
        ("0.02 mm/m", 0.020, 4.1, 0.00024, (0.0005, 0.05, 5e-6)),
        ("0.0005 in/ft", 0.042, 8.6, 0.0005, (0.0005, 0.05, 5e-5)),
        ("0.0005 in/10 in", 0.050, 10.3, 0.0006, (0.0005, 0.05, 5e-5)),
        ("0.005 in/ft", 0.42, 86.0, 0.005, (0.005, 0.5, 5e-4)),
        ("10 arcsec", 0.048, 10.0, 0.0006, (0.0005, 0.05, 5e-5)),  # a shop manual for lathes asks for 0.0006 in/ft
    ],
)
def test_sensitivity_of_a_level(typed, mm_m, seconds, in_ft, digits):
    division = parse_level(typed).division
    agree(division, mm_m, abs=digits[0], what=f"{typed} in mm/m", source=HAND)
    agree(arc_seconds(division), seconds, abs=digits[1], what=f"{typed} in arc seconds", source=HAND)
    agree(inch_per_foot(division), in_ft, abs=digits[2], what=f"{typed} in in/ft", source=HAND)


def rolled(angle):
    """Rotation about the x axis."""
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


def turned_radius(x, radius, height, rate):
    """Radius cut at ``x`` along a bed that rolls by ``rate`` rad/mm: the tool tip rides on the bed, the axis does not."""
    axis = np.array([x, 0.0, height])
    tip = np.array([x, -radius, height])  # a tool at the front, on centre height
    now = rolled(rate * x) @ tip
    return float(np.linalg.norm((now - axis)[1:]))


@pytest.mark.parametrize("height", [90.0, 230.0])
@pytest.mark.parametrize("twist", [0.02, -0.10, 0.8])
def test_taper_by_coordinates_of_the_tool_point(height, twist):
    bed, near, between = 500.0, 60.0, 150.0
    rate = twist / 1000 / bed
    radii = [turned_radius(x, 12.5, height, rate) for x in (near, near + between)]
    taper = 2 * (radii[1] - radii[0])
    # Left out by the formula: the second order of the angle, radius x angle^2.
    agree(taper_of_twist(twist, height, between, bed), taper, rel=1e-6, what="taper of a twisted bed, mm", source=COORDINATES)
    test = TurningTest(near=2 * radii[0], free=2 * radii[1], between=between, overhang=200.0, bar=50.0, force=0.0, within=0.0)
    agree(answer(test, bed, (height, height)).twist, twist, rel=1e-6, what="twist from two collars, mm/m", source=COORDINATES)


def test_raising_the_front_foot_at_the_far_end_makes_the_free_end_smaller():
    """The rule of the shop, by the tool point and by the frame model together: which foot, and which way."""
    stand = evaluate(load_brief(SAMPLES / "bench-lathe.toml"))
    feet = influence(stand.brief, stand.frame, stand.strength)
    front_right = int(np.argmax(feet.points[:, 0] - feet.points[:, 1]))
    twist = float(feet.twist([0.0, feet.length])[0, front_right])  # mm/m for 1 mm
    cut = [turned_radius(x, 12.5, 200.0, twist / 1000 / feet.length) for x in (0.0, 200.0)]
    assert cut[1] < cut[0]
    test = TurningTest(near=2 * cut[0], free=2 * cut[1], between=100, overhang=100, bar=30, force=0.0)
    assert answer(test, feet.length, (200.0, 200.0)).twist < 0


@pytest.mark.parametrize(
    ("twist", "height", "microns", "digit"),
    [(0.02, 90, 1.1, 0.05), (0.02, 230, 2.8, 0.05), (0.10, 90, 5.4, 0.05), (0.10, 230, 13.8, 0.05)],
)
def test_what_a_division_of_the_level_is_in_the_cut(twist, height, microns, digit):
    got = taper_of_twist(twist, height, 150, 500) * 1000
    agree(got, microns, abs=digit, what="taper over 150 mm, micrometres", source="2 h phi' Lc by hand")


@pytest.mark.parametrize(("reach", "microns", "digit"), [(100, 1.7, 0.05), (200, 13.6, 0.05)])
def test_a_bar_bends_under_a_light_cut(reach, microns, digit):
    got = bar_bending(20.0, reach, 25.0) * 1000
    agree(got, microns, abs=digit, what="25 mm bar under 20 N, micrometres", source="F a^3 / (3 E I) by hand, E = 205 GPa")


@cache
def seated(name, seating, jack):
    brief = load_brief(SAMPLES / f"{name}.toml")
    mounting, floor = replace(brief.mounting, seating=seating, jack=jack), replace(brief.floor, slope=0.0)
    stand = evaluate(replace(brief, mounting=mounting, floor=floor))
    return stand, influence(stand.brief, stand.frame, stand.strength)


SEATS = [
    ("bench-lathe", "bolted down", 0.0),
    ("bench-lathe", "jacking screws", 40.0),
    ("long-lathe-pedestals", "bolted down", 0.0),
    ("long-lathe-pedestals", "shims", 0.0),
]


@pytest.mark.parametrize("seat", SEATS, ids=lambda s: f"{s[0]} {s[1]}")
def test_heave_pitch_and_roll_twist_nothing_and_press_nothing(seat):
    _, screws = seated(*seat)
    rigid = np.column_stack([np.ones(len(screws.names)), screws.points])
    # The feet stand on one plane and feel nothing; a screw with its bolt slack tilts under the foot, but shifts a little
    # with it; a boss bolted flat to the seat, so stiff that rounding leaves 1e-4 of the press, cannot tilt unshimmed.
    allowed = np.array({"foot": [1e-6, 1e-6, 1e-6], "screw": [1e-4, 0.02, 0.02], "shim": [1e-4]}[screws.kind])
    rigid = rigid[:, : len(allowed)]
    a = screws.twist([0.0, screws.length / 2, screws.length])
    per_mm = np.abs(a).max() * np.abs(rigid).max(0) * allowed
    agree((a @ rigid) / per_mm, 0.0, abs=1.0, what="twist by a plane move, of that allowed", source=STATICS)
    force = np.abs(screws.change).max() * np.abs(rigid).max(0) * allowed
    agree((screws.change @ rigid) / force, 0.0, abs=1.0, what="press by a plane move, of that allowed", source=STATICS)
    agree((rigid.T @ screws.change) / force[:, None], 0.0, abs=1.0, what="sum and moments of press changes, of that allowed",
          source=STATICS)  # fmt: skip


@cache
def with_ball_ends(strength):
    """The frame model with each mount's bar on a ball under the foot: three stiff rods that meet there and bend freely."""
    m = strength.model
    rows = np.array([k for k, p in enumerate(strength.map.element_part) if p == "mount"])
    top, new = m.elements[rows, 1], len(m.nodes) + np.arange(len(rows))
    elements = m.elements.copy()
    elements[rows, 1] = new
    axes = np.stack([np.roll(np.eye(3), -k, axis=0) for k in range(3)])
    rods, offsets = np.repeat(np.stack([new, top], axis=1), 3, axis=0), np.zeros((3 * len(rows), 2, 3))
    offsets[:, 0] = np.tile(-50.0 * axes[:, 0], (len(rows), 1))
    numbers = {"area": 1e9, "i_y": 1e-3, "i_z": 1e-3, "shear_y": 0.0, "shear_z": 0.0, "e": 205e3, "g": 79e3, "density": 0.0}
    wide = {k: np.append(m.per_element(k), np.full(len(rods), v)) for k, v in numbers.items()}
    turn = np.tile([1e-3, 1e-3, 1e10], len(rows))  # the upright one holds the foot from spinning on its screws
    return replace(
        m, nodes=np.vstack([m.nodes, m.nodes[top]]), elements=np.vstack([elements, rods]),
        axes=np.concatenate([m.axes, np.tile(axes, (len(rows), 1, 1))]), offsets=np.concatenate([m.offsets, offsets]),
        shear_centre=np.vstack([m.shear_centre, np.zeros((len(rods), 2))]), j=np.append(m.per_element("j"), turn), **wide,
    )  # fmt: skip


def moved_for_real(stand, screws, s, x):
    """Twist and presses of the whole frame model under its weight with every screw lengthened: solved anew."""
    st = stand.strength
    m = with_ball_ends(st) if screws.kind == "screw" else st.model
    built = assemble(m)
    load = np.zeros((len(m.nodes), 6))
    load[: len(st.loads)] = st.loads[:, :, 0]
    if screws.kind == "foot":
        for k, node in enumerate(m.spring_nodes):
            load[node, 2] += m.stiffness[k, 2] * s[k]
    else:
        rows = [k for k, p in enumerate(st.map.element_part) if p == "mount"]
        for k, row in enumerate(rows):
            i, j = m.elements[row]
            push = m.per_element("e")[row] * m.per_element("area")[row] / m.length[row] * s[k]
            load[i, 2] -= push
            load[j, 2] += push
    u = built.solve(load[:, :, None])[:, :, 0]
    bars = [k for k, p in enumerate(st.map.element_part) if p == "bed"]
    nodes = np.append(m.elements[bars, 0], m.elements[bars[-1], 1])
    roll = np.interp(x, m.nodes[nodes, 0] - m.nodes[nodes[0], 0], u[nodes, 3]) * 1000
    press = -m.stiffness[:, 2] * u[m.spring_nodes, 2] + (m.stiffness[:, 2] * s if screws.kind == "foot" else 0)
    return roll[1:] - roll[0], press


@pytest.mark.parametrize("seat", SEATS, ids=lambda s: f"{s[0]} {s[1]}")
def test_influence_against_the_whole_frame_with_its_screws_moved(seat):
    stand, screws = seated(*seat)
    x = [0.0, screws.length / 2, screws.length]
    rng = np.random.default_rng(7)
    s = rng.uniform(-0.05, 0.05, len(screws.names))
    still, _ = moved_for_real(stand, screws, np.zeros(len(s)), x)
    twist, press = moved_for_real(stand, screws, s, x)
    what = "whole frame model solved anew with the screws lengthened"
    agree(screws.twist(x) @ s, twist - still, abs=1e-6, what="twist after random moves, mm/m", source=what)
    if screws.kind == "foot":
        agree(screws.press + screws.change @ s, press, rel=1e-5, what="press of the feet after them, N", source=what)


@pytest.mark.parametrize("start", [0.06, -0.045])
def test_moves_against_every_pair_on_a_grid_in_the_whole_frame(start):
    """A grid of 0.005 mm over one and two feet finds nothing with fewer or smaller moves."""
    stand, screws = seated("bench-lathe", "bolted down", 0.0)
    x, tol, keep = [0.0, screws.length], 0.004, 50.0
    twist0, _ = moved_for_real(stand, screws, np.zeros(4), x)
    found = find_moves(np.array([start]), screws.twist(x), screws.press, screws.change, tol=tol, most=0.3, keep=keep)
    assert found.reached and (found.s != 0).sum() == 1
    after, press = moved_for_real(stand, screws, found.s, x)
    agree(start + after - twist0, 0.0, abs=tol, what="twist left in the whole frame, mm/m", source="whole frame solved anew")
    assert press.min() >= keep
    unit = np.array([moved_for_real(stand, screws, e, x)[0] - twist0 for e in np.eye(4)])[:, 0]
    steps = np.arange(-60, 61) * 0.005
    least = math.inf
    for i, j in combinations(range(4), 2):
        si, sj = np.meshgrid(steps, steps)
        good = np.abs(start + unit[i] * si + unit[j] * sj) <= tol
        change = screws.change[:, i][:, None, None] * si + screws.change[:, j][:, None, None] * sj
        good &= (screws.press[:, None, None] + change >= keep).all(0)
        least = min(least, float((np.abs(si) + np.abs(sj))[good].min()))
    # The grid stops on the edge of the tolerance, ours on no twist: the difference is tolerance over influence.
    edge = tol / float(np.abs(unit).max())
    agree(np.abs(found.s).sum(), least + edge, abs=0.005, what="sum of moves, mm", source="every pair on a grid of 0.005 mm")
