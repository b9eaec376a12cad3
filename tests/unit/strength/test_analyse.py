"""Laws every analysed stand obeys."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Floor, Machine
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
G = 9.80665


def answer(style="rails between", leg="SHS 50x50x3", height=800.0, **machine):
    centre = machine.pop("centre_of_mass", (250.0, 90.0, 150.0))
    b = Brief(machine=Machine(holes=HOLES, centre_of_mass=centre, **machine), floor=Floor(slope=0.0))
    b = replace(b, frame=replace(b.frame, legs=style, sections=replace(b.frame.sections, legs=leg)))
    frame = build_frame(b, height)
    solids = SolidsBuilder().build(frame, 7850.0)
    return b, frame, solids, Analyst().analyse(b, frame, solids)


STYLES = [("rails between", "SHS 50x50x3"), ("under the ring", "SHS 50x50x3"), ("wrapped angle", "L 50x50x5")]


@pytest.mark.parametrize(("style", "leg"), STYLES)
def test_floor_carries_every_case(style, leg):
    b, _, _, s = answer(style, leg)
    applied = s.loads.sum(0)
    np.testing.assert_allclose(s.reactions[:, :3].sum(0), -applied[:3], atol=1e-5)
    push = next(k for k, c in enumerate(s.cases) if c.id == "push back")
    assert s.reactions[:, 1, push].sum() == pytest.approx(-b.limits.push, rel=1e-9)


def test_set_down_puts_twice_the_weight_on_mount_one_and_none_on_the_bed():
    b, _, _, s = answer()
    down = next(k for k, c in enumerate(s.cases) if c.id == "set down")
    stand_only = s.reactions[:, 2, 0].sum() - b.machine.mass * G
    assert s.reactions[:, 2, down].sum() == pytest.approx(stand_only + 2.0 * b.machine.mass * G, rel=1e-9)
    # The blow acts at mount 1: moments about the y axis through the middle agree with plain statics.
    x = np.array([f.base[0] for f in answer()[1].feet])
    left = float((s.reactions[:, 2, down] * x).sum())
    own = float((s.reactions[:, 2, 0] * x).sum()) - b.machine.mass * G * (-50.0)
    assert left == pytest.approx(own + 2.0 * b.machine.mass * G * (-300.0), rel=1e-6)


def test_a_foot_over_a_deep_low_spot_bears_nothing_and_the_rest_bear_all():
    _, _, _, s = answer()
    k = next(k for k, c in enumerate(s.cases) if c.id == "low spot")
    assert np.abs(s.foot_loads[:, k]).min() < 1e-9
    assert s.foot_loads[:, k].sum() == pytest.approx(s.foot_loads[:, 0].sum(), rel=1e-9)


def test_symmetric_stand_stands_evenly_front_and_back():
    _, _, _, s = answer()
    front = [k for k, n in enumerate(s.foot_names) if "F" in n.split()[-1]]
    back = [k for k, n in enumerate(s.foot_names) if "B" in n.split()[-1]]
    np.testing.assert_allclose(s.foot_loads[front, 0], s.foot_loads[back, 0], rtol=1e-6)


def test_a_taller_stand_sways_and_twists_more():
    low, high = answer(height=700.0)[3], answer(height=1000.0)[3]
    assert high.sway_x < low.sway_x
    assert high.sway_y < low.sway_y
    assert high.twist < low.twist
    assert high.modes_hz[0] < low.modes_hz[0]


def test_tipping_levers_run_from_the_centre_of_mass_to_each_line_of_feet():
    _, frame, _, s = answer(centre_of_mass=(250.0, 40.0, 150.0))
    x, y, _ = s.centre
    half_x, half_y = frame.feet[1].base[0], frame.feet[2].base[1]
    assert (half_x, half_y) == (475.0, 225.0)
    levers = {t.side: t.lever for t in s.tipping}
    assert levers == pytest.approx({"front": half_y + y, "back": half_y - y, "left": half_x + x, "right": half_x - x})
    assert x < -1.0 and y < -1.0  # off the middle, so that the sides differ


def test_tipping_is_the_lever_over_the_push_height():
    b, _, solids, s = answer()
    total = solids.mass + b.machine.mass
    side = next(t for t in s.tipping if t.side == "front")
    assert side.lever == pytest.approx(225.0, abs=1e-6)
    assert side.force == pytest.approx(total * G * 225.0 / (800.0 + b.machine.work_line), rel=1e-9)
    assert math.tan(side.angle) == pytest.approx(225.0 / s.centre[2], rel=1e-9)


def test_every_member_is_checked_and_holds():
    _, frame, _, s = answer()
    assert [m.member for m in s.members] == [m.name for m in frame.members]
    assert all(0 < m.utilisation < 1 for m in s.members)


@pytest.mark.parametrize("jack", [0.0, 60.0])
def test_the_analysed_machine_stands_where_tipping_has_it(jack):
    """The masses of the model have the centre that statics by hand gives, with or without jacking screws."""
    b = Brief(machine=Machine(holes=HOLES, centre_of_mass=(250.0, 40.0, 150.0), at=(20.0, 10.0)))
    b = replace(b, mounting=replace(b.mounting, jack=jack))
    frame = build_frame(b, 800.0)
    s = Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))
    heart = s.model.mass_nodes[-1]
    at = s.model.nodes[heart] + s.model.mass_offset[-1]
    # The pattern's middle is (300, 90) from the datum and stands at (20, 10).
    np.testing.assert_allclose(at, (250 - 300 + 20, 40 - 90 + 10, 800 + jack + 150), atol=1e-9)
