"""Tipping in every direction, on casters, and of the machine loose on its mounts."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from framecore.brief.kinds import MovingLoad
from framecore.brief.model import Brief, Floor, Machine
from framecore.frame import build_frame
from framecore.frame.model import Caster
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
from framecore.strength._base import base, polygon
from framecore.strength._casters import BUMP, rolling
from framecore.strength._loads import Load
from framecore.strength._stability import stability, tipping

G = 9.80665
HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
SQUARE = [(-400.0, -200.0), (400.0, -200.0), (-400.0, 200.0), (400.0, 200.0)]


def load(name, mass, at, to=None, **more):
    return Load(name=name, mass=mass, at=at, to=to or at, **more)


def brief(**machine):
    centre = machine.pop("centre_of_mass", (250.0, 60.0, 150.0))
    return Brief(machine=Machine(holes=HOLES, centre_of_mass=centre, **machine), floor=Floor(slope=0.0))


def analyse(b, height=800.0):
    frame = build_frame(b, height)
    return frame, Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))


def test_the_polygon_is_the_hull_of_the_feet():
    inner = [(0.0, 0.0), (0.0, -200.0), (100.0, 50.0)]
    assert polygon(inner + SQUARE) == [(-400, -200), (400, -200), (400, 200), (-400, 200)]
    assert len(polygon([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)])) < 3


def test_a_slanting_push_goes_over_the_edge_it_meets_first():
    b = base(SQUARE, (100.0, (100.0, 20.0, 500.0)), (), height=1000.0)
    w = 100 * G
    for deg in (5.0, 20.0, 60.0, 135.0, 250.0):
        c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
        over_x = w * ((400 - 100) if c > 0 else (400 + 100)) / (1000 * abs(c))
        over_y = w * ((200 - 20) if s > 0 else (200 + 20)) / (1000 * abs(s))
        push, edge = b.push((c, s))
        assert push == pytest.approx(min(over_x, over_y))
        assert abs(edge.normal[0 if over_x < over_y else 1]) == pytest.approx(1.0)
    assert b.least_push == pytest.approx(w * 180 / 1000)
    assert b.least_tilt == pytest.approx(math.atan(180 / 500))


def test_the_sweep_agrees_with_single_directions():
    b = base([(0.0, 300.0), (-260.0, -150.0), (260.0, -150.0)], (50.0, (10.0, -5.0, 400.0)), (), height=900.0)
    turn, push, tilt = b.polar()
    assert len(turn) == len(push) == len(tilt) == 72
    for k in range(0, 72, 5):
        way = (math.cos(turn[k]), math.sin(turn[k]))
        assert (push[k], tilt[k]) == pytest.approx((b.push(way)[0], b.tilt(way)[0]))
    assert push.min() >= b.least_push * (1 - 1e-12)


def worst_by_trial(points, own, loads, way, height):
    """Every combination of ends and missing loads as one rigid body: how far its centre is from the rim along the push."""
    hull = polygon(points)
    least_push = least_tan = math.inf
    for pick in product(*[(0, 1, 2) if k.optional else (0, 1) for k in loads]):
        chosen = list(zip(loads, pick, strict=True))
        bodies = [own] + [(k.mass, k.at if p == 0 else k.to) for k, p in chosen if p < 2 and not k.shift]
        moved = [(k.mass, k.to) for k, p in chosen if k.shift and p == 1]
        mass = sum(m for m, _ in bodies)
        x, y, z = (sum(m * p[n] for m, p in bodies + moved) / mass for n in range(3))
        rim = math.inf
        for (ax, ay), (bx, by) in zip(hull, hull[1:] + hull[:1], strict=True):
            # centre + s way = a + t (b - a), 0 <= t <= 1
            det = way[0] * (ay - by) - way[1] * (ax - bx)
            if abs(det) < 1e-12:
                continue
            s = ((ax - x) * (ay - by) - (ay - y) * (ax - bx)) / det
            t = (way[0] * (ay - y) - way[1] * (ax - x)) / det
            if s > 0 and -1e-9 <= t <= 1 + 1e-9:
                rim = min(rim, s)
        least_push = min(least_push, mass * G * rim / height)
        least_tan = min(least_tan, rim / z)
    return least_push, math.atan(least_tan)


@pytest.mark.parametrize("seed", range(4))
def test_loads_at_their_worst_against_every_combination(seed):
    rng = np.random.default_rng(seed)
    turns = np.sort(rng.uniform(0, 2 * math.pi, 3 + seed))
    turns = np.concatenate([turns, [0.3, 2.4, 4.5]])  # the middle is always inside
    points = [(600 * math.cos(t), 500 * math.sin(t)) for t in turns]

    def place(low, high):
        return tuple(np.append(rng.uniform(-150, 150, 2), rng.uniform(low, high)).tolist())

    loads = (
        load("machine", 120.0, place(700, 900)),
        load("table", 25.0, (0.0, 0.0, 0.0), place(-50, 50), shift=True),
        load("vice", 30.0, place(900, 1100), optional=True),
        load("drawer", 35.0, place(200, 400), place(200, 400), optional=True),
        load("tank", 20.0, place(50, 150), optional=True),
    )
    own = (60.0, (5.0, -3.0, 400.0))
    b = base(points, own, loads, height=1100.0)
    for deg in range(0, 360, 40):
        way = (math.cos(math.radians(deg)), math.sin(math.radians(deg)))
        push, tilt = worst_by_trial(points, own, loads, way, 1100.0)
        assert b.push(way)[0] == pytest.approx(push, rel=1e-9)
        assert b.tilt(way)[0] == pytest.approx(tilt, rel=1e-9)


def test_the_working_names_what_is_out_and_what_is_missing():
    loads = (
        load("drawer", 40.0, (0.0, 100.0, 300.0), (0.0, -500.0, 300.0), optional=True),
        load("bin", 20.0, (0.0, 150.0, 200.0), optional=True),
    )
    b = base(SQUARE, (100.0, (0.0, 0.0, 500.0)), loads, height=1000.0)
    front = next(e for e in b.edges if e.normal[1] < -0.9)
    back = next(e for e in b.edges if e.normal[1] > 0.9)
    assert front.names == ("drawer out", "bin missing")
    assert front.moment == pytest.approx(G * (100 * 200 + 40 * (200 - 500)))
    # Standing in the stand they hold it down, even at the back.
    assert back.names == ("drawer missing", "bin missing")


def test_what_goes_over_by_itself_needs_no_push():
    b = base(SQUARE, (100.0, (0.0, 230.0, 500.0)), (), height=1000.0)
    assert b.push((0.0, 1.0))[0] == b.push((0.0, -1.0))[0] == 0.0
    assert b.least_tilt == 0.0
    assert not b.polar()[1].any()


def test_three_feet_in_the_sides_order():
    """Feet at (0, 300), (-260, -150), (260, -150): to the front the flat edge, to the right a slanting one."""
    frame = build_frame(brief(), 800.0)
    feet = tuple(
        replace(f, base=(x, y, 0.0)) for f, (x, y) in zip(frame.feet, [(0, 300), (-260, -150), (260, -150)], strict=False)
    )
    sides = {t.side: t for t in tipping(replace(frame, feet=feet), 100.0, (0.0, 0.0, 500.0), 1000.0)}
    assert sides["front"].lever == pytest.approx(150.0)
    assert sides["back"].lever == pytest.approx(300.0)  # through the corner
    # the right edge from (260, -150) to (0, 300) is met at y = 0
    assert sides["right"].lever == pytest.approx(260 * 300 / 450)
    assert sides["left"].force == pytest.approx(100 * G * (260 * 300 / 450) / 1000)


def test_the_stand_and_its_parts_of_the_brief():
    b = brief()
    b = replace(
        b,
        machine=replace(
            b.machine,
            moving=(MovingLoad(name="tailstock", mass=15.0, at=(500.0, 60.0, 200.0), to=(500.0, -60.0, 200.0)),),
            fitted=(MovingLoad(name="vice", mass=20.0, at=(250.0, -140.0, 300.0), to=(250.0, -140.0, 300.0)),),
        ),
        frame=replace(
            b.frame,
            stored=(MovingLoad(name="drawer", mass=25.0, at=(0.0, 0.0, 500.0), to=(0.0, -400.0, 500.0)),),
        ),
    )
    frame, s = analyse(b)
    plain = analyse(brief())[1]
    front = next(e for e in s.stability.feet.edges if e.normal[1] < -0.9)
    alone = next(e for e in plain.stability.feet.edges if e.normal[1] < -0.9)
    edge = frame.feet[0].base[1]
    assert front.names == ("tailstock out", "drawer out")
    # tailstock 120 mm forwards, the drawer at -400, the vice at -140 - 90 = -230: beyond the feet at -225
    want = alone.moment - G * (15 * 120) + G * 25 * (-400 - edge) + G * 20 * (-230 - edge)
    assert front.moment == pytest.approx(want)
    assert s.stability.weight == pytest.approx((plain.total_mass + 45.0) * G)
    back = next(e for e in s.stability.feet.edges if e.normal[1] > 0.9)
    assert "vice missing" in back.names


def test_a_push_at_the_top_of_the_machine_takes_less():
    from framecore.brief.kinds import OutlineBox

    b = brief(outline=(OutlineBox(name="head", at=(0.0, 0.0, 0.0), size=(300.0, 200.0, 700.0)),))
    s = analyse(b)[1]
    assert s.stability.top == pytest.approx(1500.0)
    assert s.stability.top_push == pytest.approx(s.stability.feet.least_push * 1100 / 1500)


def test_the_cut_takes_from_what_holds_it_at_the_back():
    b = brief(cutting_force=400.0)
    frame, s = analyse(b)
    part = 400 / math.sqrt(2)
    back = next(e for e in s.stability.feet.edges if e.normal[1] > 0.9)
    heart = s.model.nodes[s.model.mass_nodes[-1]]
    want = (back.moment + part * (frame.feet[2].base[1] - heart[1]) - part * 1100) / 1100
    assert s.stability.cutting_push == pytest.approx(want)


@pytest.mark.parametrize(("y", "falls"), [(60.0, False), (200.0, True)])
def test_the_loose_machine_stands_on_its_mounts(y, falls):
    s = analyse(brief(centre_of_mass=(300.0, y, 150.0)))[1]
    back = next(e for e in s.stability.machine.edges if e.normal[1] > 0.9)
    assert back.moment == pytest.approx(120 * G * (180 - y))
    sentence = s.stability.holds[0]
    if falls:
        assert f"at least {120 * G * 20 / 300:.0f} N at its work line" in sentence
        assert s.stability.machine.least_push == 0.0
    else:
        assert "to the front" in sentence and f"at {120 * G * 60 / 300:.0f} N" in sentence
        # its centre of mass is 150 mm above its own feet, whatever it stands on
        assert math.tan(s.stability.machine.least_tilt) == pytest.approx(60 / 150)
    assert analyse(brief(mass=0.0))[1].stability.machine is None


def caster(x, y, wheel=75.0):
    return Caster(name=f"caster {x} {y}", ground=(x, y, 0.0), wheel=wheel, axis=(1.0, 0.0, 0.0), on="", lift=10.0, rating=80.0)


@pytest.mark.parametrize("slope", [0.0, 0.02])
def test_the_highest_push_that_climbs_a_bump(slope):
    """At that height the wheels behind are just lifting: moments and forces of the whole stand by hand."""
    frame = replace(build_frame(brief(), 800.0), casters=tuple(caster(x, y) for x, y in SQUARE))
    own = (200.0, (0.0, 0.0, 900.0))
    c = rolling(frame, own, (), 1100.0, 200 * G, math.atan(slope))
    r = 37.5
    along = math.sqrt(r**2 - (r - BUMP) ** 2)  # contact ahead of the axle
    lever = 200.0 - 900 * slope  # the narrow way, gravity leaning downhill
    # Wheels behind bear nothing: about the bump's edge the weight turns back by W (lever + along), the push turns
    # over by F (h - b); the wheel is on the point of leaving the floor, so its line of force passes its axle.
    f = along / (r - BUMP)  # push per weight from that line
    height = r + lever / f
    assert c.push_height == pytest.approx(height)
    assert f * (height - BUMP) == pytest.approx(lever + along)
    assert c.roll == pytest.approx(200 * G * math.sin(math.atan(slope)))


def test_a_wheel_no_higher_than_twice_the_bump_never_climbs():
    frame = replace(build_frame(brief(), 800.0), casters=tuple(caster(x, y, 2 * BUMP) for x, y in SQUARE))
    c = rolling(frame, (200.0, (0.0, 0.0, 900.0)), (), 1100.0, 200 * G, 0.0)
    assert c.push_height == BUMP


def test_two_casters_share_the_weight_with_the_hands():
    frame = build_frame(brief(), 800.0)
    wheels = (caster(-480.0, -200.0), caster(-480.0, 200.0))
    drawer = load("drawer", 30.0, (0.0, 0.0, 400.0), (200.0, 0.0, 400.0), optional=True)
    own = (100.0, (20.0, 0.0, 500.0))
    c = rolling(replace(frame, casters=wheels), own, (drawer,), 1100.0, 130 * G, 0.0)
    far = frame.feet[1].base[0] + 480.0
    assert c.base is None
    assert c.lever == pytest.approx(far)
    assert c.lift == pytest.approx(G * (100 * 500 + 30 * 680) / far)


def test_feet_in_one_line_are_refused():
    frame = build_frame(brief(), 800.0)
    feet = tuple(replace(f, base=(100.0 * n, 0.0, 0.0)) for n, f in enumerate(frame.feet))
    with pytest.raises(ValueError, match="one line"):
        stability(brief(), replace(frame, feet=feet), (50.0, (0.0, 0.0, 400.0)), (), push_height=1000.0, work=None)
