"""Modes in words, running speeds, and what would move a mode against frames that are really solved again."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.catalogue import profile, steel
from framecore.fem import FrameModel, assemble, modes
from framecore.strength import ranked, sensitivities
from framecore.strength._motion import mass_shares, motor_speed, rigid_motions, running_speeds, strain_energy

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="bench-lathe"):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


@cache
def changes(name="bench-lathe"):
    s = stand(name)
    return sensitivities(s.brief, s.frame, s.strength)


def change(key):
    return next(c for c in changes() if c.key == key)


def moved(brief):
    return evaluate(brief).strength.modes_hz


def with_seat(brief, seat, **feet):
    return replace(brief, frame=replace(brief.frame, height=seat), feet=replace(brief.feet, **feet))


@pytest.mark.parametrize("name", ["bench-mill", "grinder-column"])
def test_the_first_stand_is_as_right_as_those_after_it(name):
    # Started from its own answer twice over, a mode's error is squared each time.
    s = stand(name)
    assert not s.strength.foot_open[:, 0].any()
    built = assemble(s.strength.model)
    cold = modes(built)
    refined = modes(built, start=modes(built, start=cold.start).start)
    np.testing.assert_allclose(cold.frequencies_hz, refined.frequencies_hz, rtol=1e-8)


def mast(tip=0.02):
    """A bent mast on six springs with a lump beside its tip."""
    nodes = np.array([(0, 0, 0), (0, 0, 400), (150, 0, 800), (150, 260, 900.0)])
    ends = np.array([(0, 1), (1, 2), (2, 3)])
    x = nodes[ends[:, 1]] - nodes[ends[:, 0]]
    x /= np.linalg.norm(x, axis=1)[:, None]
    y = np.cross((0.3, 1.0, 0.2), x)
    y /= np.linalg.norm(y, axis=1)[:, None]
    return FrameModel(
        nodes=nodes, elements=ends, axes=np.stack([x, y, np.cross(x, y)], axis=1), area=600.0, i_y=2e5, i_z=3e5, j=4e5,
        e=210e3, g=81e3, density=7.85e-9, spring_nodes=np.array([0]), spring_stiffness=np.array([[4e3] * 3 + [5e8] * 3]),
        mass_nodes=np.array([3]), mass=np.array([tip]), mass_offset=np.array([(30.0, -40.0, 90.0)]),
        mass_inertia=np.array([(50.0, 60.0, 70.0)]),
    )  # fmt: skip


def test_mass_shares_of_all_modes_add_up_to_the_whole_mass_every_way():
    built = assemble(mast())
    found = modes(built, 6 * built.model.n_nodes)
    assert found.shapes.shape[2] == 24
    assert mass_shares(built, found.shapes).sum(0) == pytest.approx(np.ones(6), abs=1e-6)


def test_a_body_on_soft_springs_moves_as_a_whole():
    model = mast()
    soft = replace(model, spring_stiffness=np.array([[1.0, 2.0, 4.0, 8e4, 2e5, 9e5]]))
    found = modes(assemble(soft), 6)
    shares = mass_shares(assemble(soft), found.shapes)
    assert shares.sum(0) == pytest.approx(np.ones(6), abs=1e-4)


def test_rigid_motions_do_not_strain():
    model = mast()
    free = assemble(model).stiffness()
    turns = assemble(model).topology.inward(rigid_motions(model, np.array([5.0, -8.0, 300.0])))
    held = np.zeros_like(turns)
    at = assemble(model).topology.position[0] * 6 + np.arange(6)
    held[at] = model.stiffness[0][:, None] * turns[at]
    assert np.abs(free @ turns - held).max() < 1e-6 * np.abs(free @ np.abs(turns)).max()


def test_strain_energy_shares_add_up_and_follow_what_is_soft():
    built = assemble(replace(mast(), spring_stiffness=np.array([[1e9] * 3 + [1e13] * 3])))
    found = modes(built, 3)
    names, energy = strain_energy(built, ("low", "high", "high"), found.shapes)
    assert energy.sum(0) == pytest.approx(np.ones(3))
    assert dict(zip(names, energy[:, 0], strict=True))["feet"] < 1e-3
    # Twice the modal strain energy is the square of the angular frequency at unit modal mass.
    k = built.stiffness()
    flat = built.topology.inward(found.shapes)
    assert np.einsum("nk,nk->k", flat, k @ flat) == pytest.approx((2 * np.pi * found.frequencies_hz) ** 2, rel=1e-6)


@pytest.mark.parametrize("name", ["bench-lathe", "bench-mill", "drill-press", "workbench"])
def test_low_modes_are_named_by_the_way_the_top_goes(name):
    s = stand(name).strength
    model, shapes = s.model, s.mode_shapes
    high = model.nodes[:, 2] > 0.8 * model.nodes[:, 2].max()
    for k in range(2):
        x, y = (np.abs(shapes[high, axis, k]).mean() for axis in (0, 1))
        # Modes that do the same are numbered; one that goes as far along as across is said to sway at a slant.
        way = "sway sideways" if x > y else "sway front to back"
        assert s.motion.names[k].rstrip(" 12") in ((way,) if max(x, y) > 2 * min(x, y) else (way, "slanting sway"))
    assert "twist" in s.motion.names


def test_names_never_repeat():
    for name in ("bench-lathe", "bench-mill", "drill-press", "workbench"):
        names = stand(name).strength.motion.names
        assert len(set(names)) == len(names) == 6


def test_running_speeds_meet_the_nearest_mode():
    brief = stand().brief
    brief = replace(brief, machine=replace(brief.machine, speeds=(900.0, 600.0, 900.0), motor_speed=1440.0))
    brief = replace(brief, assumed=brief.assumed - {"machine.speeds", "machine.motor_speed"})
    found = running_speeds(brief, np.array([11.0, 16.0, 30.0]))
    assert [(s.what, s.rpm, s.nearest) for s in found] == [("spindle", 600, 0), ("spindle", 900, 1), ("motor", 1440, 2)]
    assert [s.gap for s in found] == pytest.approx([1 / 10, 1 / 15, 6 / 24])
    assert {s.origin for s in found} == {"typed"}


def test_the_motor_not_given_turns_by_the_mains_of_the_units():
    brief = stand().brief
    assert motor_speed(brief) == (1425.0, "assumed")
    assert motor_speed(replace(brief, units="inch")) == (1725.0, "assumed")
    assert motor_speed(replace(brief, machine=replace(brief.machine, kind="grinder")))[0] == 2850.0
    assert motor_speed(replace(brief, machine=replace(brief.machine, kind="surface plate")))[0] == 0.0
    assert running_speeds(replace(brief, machine=replace(brief.machine, mass=0.0)), np.array([10.0])) == ()


def test_the_clear_figure_is_the_narrowest_gap_and_says_which():
    s = stand("drill-press")
    gaps = {round(v.rpm): v.gap for v in s.strength.motion.speeds}
    figure = s.figures["modes.clear"]
    assert figure.value == min(gaps.values())
    for rpm, gap in gaps.items():
        assert (f"{rpm} rpm" in figure.note) == (gap < s.brief.limits.speed_band)


def test_a_spindle_speed_in_a_band_is_no_stop_but_the_motor_is():
    s = stand()
    hz = s.strength.modes_hz[0]
    near = replace(s.brief, machine=replace(s.brief.machine, speeds=(hz * 60,), motor_speed=60 * 40.0))
    figures = evaluate(near).figures
    assert figures["speeds.spindle"].verdict == "look" and figures["speeds.motor"].verdict == "good"
    near = replace(s.brief, machine=replace(s.brief.machine, speeds=(60 * 40.0,), motor_speed=hz * 60))
    figures = evaluate(near).figures
    assert figures["speeds.motor"].verdict == "stop" == figures["modes.clear"].verdict


# -- what would move a mode -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "part", "name", "step", "seat_goes"),
    [
        ("frame.lower_ring", "frame", "lower_ring", 0.5, 0.0),
        ("frame.height", "frame", "height", 0.5, 1.0),
        ("feet.height", "feet", "height", 0.1, 0.0),
    ],
)  # fmt: skip
def test_slopes_are_those_of_frames_solved_again(key, part, name, step, seat_goes):
    s = stand()
    base = with_seat(s.brief, s.frame.seat)
    hz = []
    for sign in (1, -1):
        section = getattr(base, part)
        hz.append(moved(replace(base, **{part: replace(section, **{name: getattr(section, name) + sign * step})})))
    slope = (hz[0] - hz[1]) / (2 * step)
    # The sample's six modes lie apart, so that sorted frequencies are the same modes.
    assert change(key).slope == pytest.approx(slope, rel=2e-3, abs=1e-5)


@pytest.mark.parametrize("key", ["frame.lower_ring", "frame.height", "feet.height"])
def test_a_whole_step_comes_near_the_frame_solved_again(key):
    s, found = stand(), change(key)
    base = with_seat(s.brief, s.frame.seat)
    part, name = key.split(".")
    section = getattr(base, part)
    true = moved(replace(base, **{part: replace(section, **{name: getattr(section, name) + found.step})}))
    assert found.after[:3] == pytest.approx(true[:3], rel=5e-3)
    assert abs(found.after[0] - found.before[0]) > 0.2


@pytest.mark.parametrize("key", ["legs", "top_rails", "lower_rails"])
def test_a_thicker_profile_comes_near_the_frame_solved_again(key):
    s, found = stand(), change(f"frame.sections.{key}")
    more = found.change.split(" instead")[0].split("SHS")[1]
    sections = replace(s.brief.frame.sections, **{key: f"SHS{more}"})
    base = with_seat(s.brief, s.frame.seat)
    true = moved(replace(base, frame=replace(base.frame, sections=sections)))
    assert found.after[:3] == pytest.approx(true[:3], rel=5e-3)


def test_the_slope_of_a_section_is_half_the_strain_energy_share_less_the_kinetic_one():
    s = stand()
    strength = s.strength
    legs = [k for k, m in enumerate(s.frame.members) if m.role == "leg"]
    mine = np.isin(strength.map.element_member, legs)

    def grown(share):
        g = {n: np.where(mine, strength.model.per_element(n) * (1 + share), strength.model.per_element(n))
             for n in ("area", "i_y", "i_z", "j", "shear_y", "shear_z")}  # fmt: skip
        return modes(assemble(replace(strength.model, **g)), 6).frequencies_hz

    def slope_over(step):
        return (grown(step) - grown(-step)) / (2 * step)

    # Steps so small that the bend drops out drown in the last digits of the frequencies: two larger ones, its square taken out.
    slope = (4 * slope_over(1e-2) - slope_over(2e-2)) / 3
    assert change("frame.sections.legs").slope == pytest.approx(slope, rel=1e-3, abs=1e-3)


def test_a_brace_comes_near_the_frame_with_that_bar():
    s = stand()
    for bay in s.frame.bays:
        found = next(c for c in changes() if c.kind == "brace" and c.key == bay.name)
        m = s.strength.model
        points = {j.name: np.array(j.point) for j in s.frame.joints}
        i, j = (int(np.abs(m.nodes - points[bay.joints[k]]).sum(1).argmin()) for k in (0, 2))
        x = m.nodes[j] - m.nodes[i]
        x /= np.linalg.norm(x)
        y = np.cross((0, 0, 1.0), x)
        y /= np.linalg.norm(y)
        p = profile(s.brief.frame.sections.braces).properties
        row = {"area": p.area, "i_y": p.iyy, "i_z": p.izz, "j": p.j, "shear_y": p.shear_y, "shear_z": p.shear_z,
               "density": steel(s.brief.steel.grade).density * 1e-12}  # fmt: skip
        more = {n: np.append(m.per_element(n), row.get(n, m.per_element(n)[0])) for n in (*row, "e", "g")}
        with_bar = replace(
            m, elements=np.vstack([m.elements, (i, j)]), axes=np.concatenate([m.axes, [(x, y, np.cross(x, y))]]),
            offsets=np.concatenate([m.end_offsets, np.zeros((1, 2, 3))]),
            shear_centre=np.vstack([m.shear_centres, (0, 0)]), **more,
        )  # fmt: skip
        true = modes(assemble(with_bar), 6).frequencies_hz
        # A mode may change its place among the others: every frequency named must be one of the frame's.
        for k in (0, 1):
            assert np.abs(true / found.after[k] - 1).min() < 5e-3
        assert found.after[:2].max() > 1.02 * found.before[:2].min()


def test_ranked_by_what_a_mode_gains_and_said_in_a_sentence():
    for mode in (0, 2):
        order = ranked(changes(), mode)
        gains = [abs(c.after[mode] - c.before[mode]) for c in order]
        assert gains == sorted(gains, reverse=True)
    ring = change("frame.lower_ring")
    assert ring.sentence(0, "sway sideways") == (
        f"Raising the lower ring by 100 mm moves sway sideways from {ring.before[0]:.1f} to {ring.after[0]:.1f} Hz"
    )


def test_an_inch_brief_takes_its_steps_in_round_inches():
    steps = {c.key: (c.step, c.change) for c in changes("bench-mill")}
    assert steps["frame.lower_ring"] == (pytest.approx(101.6), "Raising the lower ring by 4 in")
    assert steps["frame.height"] == (pytest.approx(-50.8), "Shortening the legs by 2 in")
    assert steps["feet.height"] == (pytest.approx(-9.525), "Standing 3/8 in lower on the foot studs")


def test_a_change_that_cannot_be_built_is_left_out():
    s = stand()
    brief = replace(s.brief, frame=replace(s.brief.frame, lower_ring=s.frame.ring_top - 120.0))
    high = evaluate(brief)
    found = sensitivities(high.brief, high.frame, high.strength)
    assert found and all(c.key != "frame.lower_ring" for c in found)


def test_turning_shares_are_about_the_centre_of_mass():
    built = assemble(mast())
    found = modes(built, 8)
    about = rigid_motions(built.model, np.zeros(3))
    mass, inward = built.mass, built.topology.inward
    whole = inward(about).T @ mass @ inward(about)
    # Where a push through it turns nothing, found by trying: the moments vanish about the centre of mass.
    centre = np.array([whole[1, 5], -whole[0, 5], whole[0, 4]]) / whole[0, 0]
    turns = inward(rigid_motions(built.model, centre))
    full = turns.T @ mass @ turns
    assert np.abs(full[:3, 3:]).max() < 1e-9 * np.abs(full).max()
    by_hand = (inward(found.shapes).T @ mass @ turns) ** 2 / np.diagonal(full)
    assert mass_shares(built, found.shapes) == pytest.approx(by_hand, abs=1e-9)
