"""Feet on the floor: which is short, what each must bear and reach, what the ground and the anchors see."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import linprog

from framecore.brief.kinds import MovingLoad
from framecore.brief.model import Brief, Floor, Machine
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
from framecore.strength._floor import rest_on
from framecore.strength._loads import loads_on

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
G = 9.80665
CORNERS = [(-400.0, -200.0), (400.0, -200.0), (-400.0, 200.0), (400.0, 200.0)]


def brief(holes=HOLES, **parts):
    b = Brief(machine=Machine(holes=holes, centre_of_mass=(250.0, 60.0, 150.0)), floor=Floor(slope=0.0))
    for name, values in parts.items():
        b = replace(b, **{name: replace(getattr(b, name), **values)})
    return b


def analyse(b, height=800.0):
    frame = build_frame(b, height)
    return frame, Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))


@pytest.mark.parametrize(("centre", "rest", "short"), [((-50.0, 10.0), (0, 2, 3), 1), ((50.0, -10.0), (0, 1, 3), 2)])
def test_a_rectangle_rocks_by_the_difference_of_its_diagonal_sums(centre, rest, short):
    """The higher diagonal, FL to BR, always carries; the centre of mass says which of the others is in the air."""
    on, gaps = rest_on(CORNERS, [2.0, 0.0, 0.5, 0.0], centre)
    assert on == rest
    want = [0.0] * 4
    want[short] = (2.0 + 0.0) - (0.0 + 0.5)
    assert gaps == pytest.approx(want, abs=1e-12)


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8])
def test_rigid_rest_is_the_lowest_the_centre_can_sink(count):
    """The plane that lies above the floor everywhere and is lowest at the centre of mass, by linear programming."""
    rng = np.random.default_rng(count)
    stood = 0
    for _ in range(30):
        angle = np.sort(rng.uniform(0, 2 * math.pi, count))
        feet = np.column_stack([500 * np.cos(angle), 300 * np.sin(angle)])
        z, centre = rng.uniform(-3, 3, count), rng.uniform(-150, 150, 2)
        rows = np.column_stack([feet, np.ones(count)])
        best = linprog([*centre, 1.0], A_ub=-rows, b_ub=-z, bounds=(None, None))
        rest, gaps = rest_on([tuple(p) for p in feet.tolist()], z.tolist(), tuple(centre.tolist()))
        assert bool(rest) is best.success
        if rest:
            stood += 1
            assert gaps == pytest.approx(rows @ best.x - z, abs=1e-6)
    assert stood > 5


def test_a_centre_outside_the_feet_rests_on_nothing():
    assert rest_on(CORNERS, [0.0] * 4, (900.0, 0.0)) == ((), [0.0] * 4)


def test_a_stiff_stand_keeps_its_gap_and_a_small_one_closes():
    _, s = analyse(brief(floor={"heights": (0.0, 4.0, 4.0, 4.0)}))
    # FL is low, its diagonal is not the higher one, so with the centre on its side BR lifts.
    assert s.floor.short == 3
    assert s.floor.rock_gap == pytest.approx(4.0)
    assert 3.0 < s.floor.gaps_loaded[3] < 4.0
    assert not s.floor.gaps_loaded[:3].any()
    _, small = analyse(brief(floor={"heights": (0.0, 0.02, 0.02, 0.02)}))
    assert small.floor.rock_gap == pytest.approx(0.02)
    assert not small.floor.gaps_loaded.any()


def test_levelled_feet_make_up_for_the_floor_and_the_set_down_stand_is_still_told():
    heights = (6.0, -2.0, 0.0, -4.0)
    _, s = analyse(brief(floor={"heights": heights}))
    np.testing.assert_allclose(s.floor.turn_out, [-6, 2, 0, 4])
    assert s.floor.range_needed == 10.0  # measured heights hold the unevenness
    base = s.floor.stud_length
    np.testing.assert_allclose(base, 40.0 + np.array([-6, 2, 0, 4]))
    assert s.floor.rock_gap == pytest.approx(6 - 4 + 2)
    assert not s.foot_open[:, 0].any()


def test_slope_and_unevenness_ask_for_travel():
    b = brief(floor={"slope": 20.0, "falls_to": "right", "flatness": 5.0})
    frame, s = analyse(b)
    spread = 0.020 * (frame.feet[1].base[0] - frame.feet[0].base[0])
    assert s.floor.range_needed == pytest.approx(spread + 5.0)
    assert s.floor.turn_out[1] == pytest.approx(spread / 2)  # the floor falls to the right
    assert math.tan(s.floor.tilt) == pytest.approx(0.020)
    down = analyse(replace(b, feet=replace(b.feet, set="as set down")))[1]
    assert down.floor.tilt == 0.0


def test_a_foot_goes_in_no_further_than_its_base():
    _, s = analyse(brief(floor={"heights": (90.0, -30.0, -30.0, -30.0)}))
    assert s.floor.range_needed == 120.0
    assert s.floor.stud_length[0] == 15.0  # base thickness
    assert s.foot_loads[:, 0].sum() == pytest.approx(-s.loads[:, 2, 0].sum(), rel=1e-9)


@pytest.mark.parametrize("turned", [1, 2, 3])
def test_each_mount_gets_the_blow_of_setting_down(turned):
    """Naming another hole first makes it the mount of the ordinary case; the probe must have said the same."""
    plain = analyse(brief())[1]
    other = analyse(brief(holes=HOLES[turned:] + HOLES[:turned]))[1]
    k = next(k for k, c in enumerate(other.cases) if c.id == "set down")
    foot = int(other.foot_loads[:, k].argmax())
    assert plain.floor.worst_load[foot] == pytest.approx(other.foot_loads[foot, k], rel=1e-6)
    assert plain.floor.worst_case[foot] == f"set down on mount {turned + 1}"


def test_sliding_is_the_push_over_the_grip():
    b = brief(limits={"push": 400.0}, feet={"friction": 0.25})
    _, s = analyse(b)
    k = next(k for k, c in enumerate(s.cases) if c.id == "push left")
    assert s.floor.side[k] == pytest.approx(400.0, rel=1e-6)
    assert s.floor.slide[k] == pytest.approx(400.0 / (0.25 * s.total_mass * G), rel=0.005)
    assert s.floor.slide[0] < 1e-9


def test_fitted_and_stored_loads_weigh_where_they_are():
    """The floor's push goes through the centre of mass of all that stands on it."""
    vice = MovingLoad(name="vice", mass=20.0, at=(50.0, 20.0, 200.0), to=(50.0, 20.0, 200.0))
    drawer = MovingLoad(name="drawer", mass=30.0, at=(-250.0, 60.0, 400.0), to=(-250.0, -300.0, 400.0))
    far = MovingLoad(name="bin", mass=10.0, at=(800.0, 100.0, 300.0), to=(800.0, 100.0, 300.0))
    b = brief(machine={"fitted": (vice,)}, frame={"stored": (drawer, far), "shelf": "sheet"})
    frame, s = analyse(b)
    bare = analyse(brief(frame={"shelf": "sheet"}))[1]
    assert s.total_mass == pytest.approx(bare.total_mass + 60.0)
    assert (s.foot_loads - bare.foot_loads)[:, 0].sum() == pytest.approx(60.0 * G, rel=1e-9)
    feet = np.array([f.base[:2] for f in frame.feet])
    moved = (s.foot_loads - bare.foot_loads)[:, 0] @ feet / (60.0 * G)
    # datum of the machine: its hole pattern's middle stands over the middle of the ring
    want = (20 * np.array([50 - 300, 20 - 90]) + 30 * np.array([-250, 60]) + 10 * np.array([800, 100])) / 60
    np.testing.assert_allclose(moved, want, atol=0.5)
    assert len(loads_on(b, frame)) == 4


def test_anchored_feet_pull_and_the_worst_pull_is_told():
    loose = brief(machine={"mass": 30.0}, limits={"push": 900.0})
    held = replace(loose, floor=replace(loose.floor, anchor="M10"))
    frame, s = analyse(held)
    assert analyse(loose)[1].tips.any()
    assert not s.tips.any()
    pulled = s.foot_loads.min(0) < 0
    assert pulled.any() and not s.foot_open[:, pulled].any()
    np.testing.assert_allclose(s.reactions[:, :3].sum(0), -s.loads[:, :3].sum(0), atol=1e-5)
    anchors = s.floor.ground.anchors
    assert anchors.worst == pytest.approx(-s.foot_loads.min())
    k = next(k for k, c in enumerate(s.cases) if c.id == anchors.case)
    # Moments about the front feet: what the back pair pulls, less what weighs on it.
    depth = frame.feet[2].base[1] - frame.feet[0].base[1]
    high = frame.seat + held.machine.work_line
    push = {"push front": 1.0, "push back": -1.0}[anchors.case] * 900.0 * high
    weight = s.total_mass * G * (s.centre[1] - frame.feet[0].base[1])
    back = (weight - push) / depth
    assert s.foot_loads[2:, k].sum() == pytest.approx(back, abs=2.0)


def test_an_anchor_draws_its_foot_down_onto_the_floor():
    b = brief(floor={"anchor": "M12", "heights": (-2.0, 0.0, 0.0, 0.0)}, feet={"set": "as set down"})
    s = analyse(b)[1]
    u = s.displacements[s.map.foot_nodes, 2, 0]
    assert u[0] - u[1:].mean() == pytest.approx(-2.0, abs=0.1)
    assert s.foot_loads[0, 0] < 0
    assert s.foot_loads[:, 0].sum() == pytest.approx(-s.loads[:, 2, 0].sum(), rel=1e-9)
    assert s.floor.ground.anchors.worst >= -s.foot_loads[0, 0]


def test_before_its_anchors_are_drawn_down_a_foot_hangs_over_the_hollow():
    s = analyse(brief(floor={"anchor": "M12", "flatness": 3.0}))[1]
    k = next(k for k, c in enumerate(s.cases) if c.id == "low spot")
    assert s.foot_open[:, k].sum() == 1
    assert not s.foot_open[:, :k].any()
    assert s.foot_loads[:, k].min() >= 0.0


def test_ground_beside_the_codes():
    b = brief(floor={"kind": "wood", "joist_span": 4000.0})
    frame, s = analyse(b)
    g = s.floor.ground
    weight = s.total_mass * G
    assert g.area_load == pytest.approx(weight / (frame.length * frame.depth) * 1000)
    assert g.area_limit == 1.5
    assert g.pressure == pytest.approx(s.floor.worst_load.max() / (math.pi * 50**2 / 4))
    # The stand in the middle of 4 m joists 0.5 m wide beside 1.5 kN/m2 all over them.
    assert g.joists == pytest.approx((weight / 1000 * 4 / 4) / (1.5 * 0.5 * 4**2 / 8))
    assert analyse(brief(floor={"area_load": 3.0}))[1].floor.ground.area_limit == 3.0
