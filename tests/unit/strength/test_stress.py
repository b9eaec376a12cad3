"""Stresses of one leg under known end forces, against the section's printed moduli."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.fem import assemble
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst, Case
from framecore.strength._stress import check_members

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
# SHS 50x50x3 cold formed: A 5.41 cm2, Wel 7.79 cm3, Ct 11.8 cm3. Source: EN 10219-2 annex tables (from memory).
AREA, MODULUS, TORSION_MODULUS = 541.0, 7790.0, 11_800.0


@pytest.fixture(scope="module")
def lathe():
    b = Brief(machine=Machine(holes=HOLES))
    frame = build_frame(b, 800.0)
    return b, frame, Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))


def leg_under(lathe, part, value, margin=1.0, fy=235.0):
    """The check of the leg whose first element carries one end force at its second end."""
    _, frame, s = lathe
    forces = np.zeros((len(s.map.element_member), 12, 1))
    element = s.map.element_part.index("leg FL")
    forces[element, 6 + part, 0] = value
    case = (Case(id="one", label="", text=""),)
    checks = check_members(frame, s.map, forces, case, [fy] * len(frame.members), margin)
    return next(c for c in checks if c.member == "leg FL")


@pytest.mark.parametrize(("part", "value", "stress"), [(0, 10_000.0, 10_000 / AREA), (4, 1e6, 1e6 / MODULUS)])
def test_axial_and_bending_stress_by_the_printed_section(lathe, part, value, stress):
    # Half the last printed digit: 0.005 of 5.41 and of 7.79.
    assert leg_under(lathe, part, value).stress == pytest.approx(stress, rel=1e-3)


def test_torsion_is_root_three_of_shear_over_the_torsion_modulus(lathe):
    # Half the last printed digit: 0.05 of 11.8.
    assert leg_under(lathe, 3, 1e6).stress == pytest.approx(math.sqrt(3) * 1e6 / TORSION_MODULUS, rel=4.3e-3)


def test_utilisation_is_margin_times_stress_over_yield(lathe):
    plain = leg_under(lathe, 0, 10_000.0)
    assert leg_under(lathe, 0, 10_000.0, margin=2.0, fy=470.0).utilisation == pytest.approx(plain.stress / 235.0)


def test_the_case_and_the_place_are_the_worst_ones(lathe):
    check = leg_under(lathe, 4, -1e6)
    _, _, s = lathe
    element = s.map.element_part.index("leg FL")
    assert check.at == pytest.approx(float(s.map.stations[element, 1]))
    assert check.case == "one"


@pytest.mark.parametrize("axis", [0, 1])
def test_sway_stiffness_is_force_over_the_rings_movement(lathe, axis):
    """The same question put to the model by hand: 400 N pushed evenly into the four corners of the top ring."""
    _, _, s = lathe
    corners = [k for k, p in enumerate(s.model.nodes) if abs(p[2] - 775.0) < 1e-6 and abs(p[0]) > 470 and abs(p[1]) > 220]
    assert len(corners) == 4
    loads = np.zeros((s.model.n_nodes, 6))
    loads[corners, axis] = 100.0
    moved = assemble(s.model).solve(loads)[corners, axis].mean()
    assert (s.sway_x, s.sway_y)[axis] == pytest.approx(400.0 / moved, rel=1e-9)


def test_twist_stiffness_by_two_equal_couples(lathe):
    """Forces square to the arms at the corners turn the ring; its turn is the mean of the corners' own."""
    _, _, s = lathe
    corners = [k for k, p in enumerate(s.model.nodes) if abs(p[2] - 775.0) < 1e-6 and abs(p[0]) > 470 and abs(p[1]) > 220]
    arms = s.model.nodes[corners, :2]
    loads = np.zeros((s.model.n_nodes, 6))
    loads[corners, 0], loads[corners, 1] = -arms[:, 1], arms[:, 0]
    torque = float((arms**2).sum())
    u = assemble(s.model).solve(loads)[corners, :2]
    turn = np.mean([(a[0] * v[1] - a[1] * v[0]) / (a @ a) for a, v in zip(arms, u, strict=True)])
    assert s.twist == pytest.approx(torque / turn, rel=1e-9)


def test_a_deeper_push_presses_the_far_feet_more(lathe):
    b, frame, s = lathe
    harder = replace(b, limits=replace(b.limits, push=2 * b.limits.push))
    other = Analyst().analyse(harder, frame, SolidsBuilder().build(frame, 7850.0))
    k = next(k for k, c in enumerate(s.cases) if c.id == "push back")
    still = s.foot_loads[:, 0]
    np.testing.assert_allclose(other.foot_loads[:, k] - still, 2 * (s.foot_loads[:, k] - still), atol=1e-4)
