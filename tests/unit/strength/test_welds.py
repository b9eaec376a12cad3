"""Welds, pads and bolts of a stand: lines, forces, laws and findings."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile, thread
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst, Case
from framecore.strength._bolts import check_bolts, check_pads, pad_lever
from framecore.strength._model import build_model
from framecore.strength._welds import (
    ALL_ROUND,
    ALONG,
    GROOVES,
    check_welds,
    group_stress,
    outline_lines,
    plan_welds,
    weld_findings,
)

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
ONE = (Case(id="one", label="", text=""),)


def stand(legs="SHS 50x50x3", style="rails between", lower="SHS 40x40x3", **welding):
    b = Brief(machine=Machine(holes=HOLES))
    sections = replace(b.frame.sections, legs=legs, lower_rails=lower)
    b = replace(b, frame=replace(b.frame, legs=style, sections=sections), welding=replace(b.welding, **welding))
    frame = build_frame(b, 800.0)
    solids = SolidsBuilder().build(frame, 7850.0)
    masses = dict(zip(solids.layout.parts, solids.masses.tolist(), strict=True))
    model = build_model(b, frame, masses)
    return b, frame, model, plan_welds(b, frame, model)


def loaded(model, plan, joint, member, **parts):
    """Forces on the end of one branch at one joint, nothing elsewhere."""
    w = next(k for k, pair in enumerate(zip(plan.joints, plan.members, strict=True)) if pair == (joint, member))
    e, end = plan.first[w]
    forces = np.zeros((len(model.map.element_member), 12, 1))
    for name, value in parts.items():
        forces[e, 6 * end + ("n", "v_u", "v_v", "t", "m_u", "m_v").index(name), 0] = value
    return w, forces


def test_every_branch_of_every_joint_has_a_weld():
    _, frame, _, plan = stand()
    want = {(j.name, m) for j in frame.joints for m in j.members[1:]}
    assert set(zip(plan.joints, plan.members, strict=True)) == want


def test_a_leg_under_a_whole_ring_is_welded_too():
    _, _, _, plan = stand(style="under the ring")
    assert ("top rail corner FL", "leg FL") in zip(plan.joints, plan.members, strict=True)


def test_weld_length_of_a_tube_is_its_outline():
    """4 x 40 mm less the corners: 160 - 8 R + 2 pi R, R = 6."""
    _, _, _, plan = stand()
    k = plan.joints.index("lower rail corner FL")
    assert plan.kinds[k] == ALL_ROUND
    # The catalogue's arcs are chords: up to 0.2 % short.
    assert plan.lengths[k] == pytest.approx(160 - 48 + 12 * math.pi, rel=2e-3)


def test_axial_force_spreads_evenly_over_the_throats():
    b, _, model, plan = stand(leg=3.0)
    w, forces = loaded(model, plan, "lower rail corner FL", "lower rail front", n=10_000.0)
    got = check_welds(plan, ONE, forces, 1.5)[w]
    area = plan.lengths[w] * 3.0 / math.sqrt(2)
    assert got.stress == pytest.approx(1.5 * 10_000 / area, rel=1e-9)
    assert got.use == pytest.approx(got.stress / got.limit)
    assert got.forces[0] == pytest.approx(10_000.0)
    assert b.welding.leg == 3.0


def test_a_moment_presses_one_side_and_pulls_the_other():
    _, _, model, plan = stand()
    w, forces = loaded(model, plan, "lower rail corner FL", "lower rail front", m_u=1e5)
    got = check_welds(plan, ONE, forces, 1.0)[w]
    # A thin square line of side 40 has S = 4 / 3 d2 of unit throat; rounded corners leave less, at most a tenth.
    square = 1e5 / (4 / 3 * 40**2 * 3 / math.sqrt(2))
    assert square < got.stress < 1.12 * square


def test_a_larger_leg_bears_more():
    small, large = stand(leg=3.0), stand(leg=4.0)
    out = []
    for _, _, model, plan in (small, large):
        w, forces = loaded(model, plan, "lower rail corner FL", "lower rail front", m_u=1e5, v_v=500.0)
        out.append(check_welds(plan, ONE, forces, 1.0)[w].use)
    assert out[0] == pytest.approx(4 / 3 * out[1], rel=1e-9)


def test_equal_width_sides_take_the_grooves_throat():
    """50 on 50 tube: the two side walls have 5/8 R of gas-shielded wire, R = 6 mm; the others the fillet's throat."""
    b, frame, _, plan = stand()
    k = plan.joints.index("top rail corner FL")
    joint = next(j for j in frame.joints if j.name == "top rail corner FL")
    assert plan.kinds[k] == GROOVES and joint.fit_ups[0].throat == pytest.approx(5 / 8 * 6)
    fillet, groove = b.welding.leg / math.sqrt(2), joint.fit_ups[0].throat
    flats = 2 * (50 - 12)  # two walls' flats, the corners keep the fillet
    assert plan.areas[k] == pytest.approx((plan.lengths[k] - flats) * fillet + flats * groove, rel=2e-3)


def test_groove_walls_are_the_ones_over_the_runs_edges():
    """A rail along x on an upright leg: the walls square to y (u = y or v = y) fall off the leg's rounded edges."""
    ends, throats = outline_lines(profile("RHS 60x40x3"), 2.0, np.array([0.0, 1.0]), 5.0)
    run = ends[:, 1] - ends[:, 0]
    grooved = throats == 5.0
    assert np.abs(run[grooved][:, 2]).max() < 1e-9  # they run along u
    assert np.linalg.norm(run[grooved], axis=1).sum() > 50


def test_a_ring_in_angle_legs_is_welded_along_the_legs():
    """Two edges as long as the angle's leg is wide, and its toe over the rail's height: 50 + 50 + 40."""
    _, _, _, plan = stand("L 50x50x5", "wrapped angle")
    k = plan.joints.index("lower rail corner FL")
    assert plan.kinds[k] == ALONG
    assert plan.lengths[k] == pytest.approx(50 + 50 + 40)


def test_lines_turned_with_their_forces_give_the_same_stress():
    """The plane of the lines is square to x, u or v: the same group and load in each, axes swapped round."""
    rng = np.random.default_rng(4)
    flat = rng.normal(size=(5, 2, 2)) * 30
    throat = rng.uniform(2, 4, 5)
    force, moment = rng.normal(size=3), rng.normal(size=3)
    sizes = []
    for normal in range(3):
        ends = np.zeros((5, 2, 3))
        ends[:, :, (normal + 1) % 3], ends[:, :, (normal + 2) % 3] = flat[:, :, 0], flat[:, :, 1]
        load = np.concatenate([np.roll(force, normal), np.roll(moment, normal)])
        sizes.append(np.linalg.norm(group_stress((ends, throat), normal) @ load, axis=1))
    np.testing.assert_allclose(sizes[1], sizes[0], rtol=1e-10)
    np.testing.assert_allclose(sizes[2], sizes[0], rtol=1e-10)


def test_stress_of_the_lines_balances_the_force_and_moment():
    """Integrated over the throats the stress is the end force, and its moment about the end is the end moment."""
    rng = np.random.default_rng(7)
    ends = np.zeros((4, 2, 3))
    ends[:, :, 1:] = rng.normal(size=(4, 2, 2)) * 40
    throat = rng.uniform(2, 4, 4)
    load = rng.normal(size=6) * 100
    at = (group_stress((ends, throat), 0) @ load).reshape(4, 2, 3)
    total, turn = np.zeros(3), np.zeros(3)
    for (a, b), (s, t), thick in zip(ends, at, throat, strict=True):
        for x, w in zip((0.5 - math.sqrt(3) / 6, 0.5 + math.sqrt(3) / 6), (0.5, 0.5), strict=True):  # exact for squares
            f = (s + (t - s) * x) * thick * np.linalg.norm(b - a) * w
            total += f
            turn += np.cross(a + (b - a) * x, f)
    np.testing.assert_allclose(total, load[:3], rtol=1e-9)
    np.testing.assert_allclose(turn, load[3:], rtol=1e-9, atol=1e-9)


def test_findings_on_the_leg():
    b, _, _, plan = stand(leg=5.0)
    assert [f.code for f in weld_findings(plan, b)] == ["welds.leg_large"]
    b, _, _, plan = stand(leg=3.0)
    assert weld_findings(plan, b) == ()
    # All 4 mm walls: EN wants a throat of 3 mm, a leg of 4.2.
    b, frame, model, _ = stand("SHS 50x50x4", lower="SHS 40x40x4", leg=3.0)
    b = replace(b, frame=replace(b.frame, sections=replace(b.frame.sections, bearers="SHS 50x50x4", top_rails="SHS 50x50x4")))
    frame = build_frame(b, 800.0)
    solids = SolidsBuilder().build(frame, 7850.0)
    model = build_model(b, frame, dict(zip(solids.layout.parts, solids.masses.tolist(), strict=True)))
    found = weld_findings(plan_welds(b, frame, model), b)
    assert [f.code for f in found] == ["welds.leg_small"] and found[0].nearest == "4.5 mm"
    # The nearest value is no finding in its turn.
    larger = replace(b, welding=replace(b.welding, leg=4.5))
    assert weld_findings(plan_welds(larger, frame, model), larger) == ()


def test_pad_strip_by_hand():
    """50 mm tube on a 60 x 12 pad, 8 kN: M = 4 kN x 23.5 mm, W = 60 x 144 / 6, twice for the margin."""
    b, frame, model, _ = stand()
    loads = np.full((4, 1), 8000.0)
    got = check_pads(b, frame, ONE, np.zeros((4, 12, 1)), loads, 2.0)[0]
    assert got.lever == 23.5
    assert got.bending == pytest.approx(2 * 4000 * 23.5 / 1440)
    assert got.bending_use == pytest.approx(got.bending / 235)
    # Thread M12 in 12 mm: 7/8 pi d m, fy / sqrt 3.
    assert got.thread_use == pytest.approx(2 * 8000 / (0.875 * math.pi * 12 * 12 * 235 / math.sqrt(3)), rel=1e-3)
    assert model is not None


def test_an_angles_pad_carries_on_one_leg():
    assert pad_lever(profile("L 50x50x5"), 60.0) == (27.5, False)
    assert pad_lever(None, 60.0) == (0.0, False)


def test_stud_bending_by_hand():
    b, frame, _, _ = stand()
    forces = np.zeros((4, 12, 1))
    forces[1, 10, 0], forces[1, 6, 0] = 30_000.0, -2000.0
    got = check_pads(b, frame, ONE, forces, np.zeros((4, 1)), 1.0)[1]
    d = thread("M12").root_diameter
    assert got.stud_stress == pytest.approx(2000 / (math.pi * d * d / 4) + 30_000 / (math.pi * d**3 / 32))
    assert got.stud_use == pytest.approx(got.stud_stress / 240)


def test_bolts_by_hand():
    """M10, class 8.8: proof 580 As, shear 0.6 x 800 As / 1.25; a bolt that is pressed carries no tension."""
    b, frame, _, _ = stand()
    forces = np.zeros((4, 12, 1))
    forces[0, 6], forces[1, 7], forces[2, 6] = 10_000.0, 3000.0, -10_000.0
    pulled, sheared, pressed, free = check_bolts(b, frame, ONE, forces, 1.0)
    area = thread("M10").stress_area
    assert pulled.use == pytest.approx(10_000 / (580 * area))
    # Bearing in the 3 mm wall: 2.5 x 0.5 x 360 x 10 x 3 / 1.25 = 10.8 kN is less than the bolt's own shear.
    assert sheared.bearing_limit == pytest.approx(10_800) and sheared.use == pytest.approx(3000 / 10_800)
    assert pressed.use == free.use == 0.0
    assert pulled.sleeve  # through a tube


def test_lengths_by_joint_add_up():
    b, frame, _, _ = stand()
    checks = Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0)).checks
    assert sum(checks.weld_length.values()) == pytest.approx(sum(w.length for w in checks.welds))
    assert set(checks.weld_length) == {j.name for j in frame.joints}
