"""Member checks: known end forces on a known leg, and the laws they obey."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import steel
from framecore.fem import assemble, gravity
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst, Case, _aisc360, _en1993, code_module
from framecore.strength._checks import Checker, amplification
from framecore.strength._model import build_model

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
CODES = ("EN 1993-1-1", "AISC 360-16")
ONE = (Case(id="one", label="", text=""), Case(id="two", label="", text=""))
# SHS 50x50x3: A 5.41 cm2, I 19.5 cm4, Wpl 9.39 cm3, Ct 11.8 cm3. Source: EN 10219-2 annex (from memory).
AREA, PLASTIC, TORSION, RADIUS = 541.0, 9390.0, 11_800.0, math.sqrt(19.5e4 / 541.0)
FY = 235.0


class Stand:
    """A lathe stand whose checks can be asked under any end forces."""

    def __init__(self, code="EN 1993-1-1", margin=1.0, grade="S235", legs="SHS 50x50x3", layout="rails between"):
        b = Brief(machine=Machine(holes=HOLES))
        sections = replace(b.frame.sections, legs=legs)
        b = replace(b, frame=replace(b.frame, legs=layout, sections=sections), steel=replace(b.steel, grade=grade))
        self.brief = replace(b, limits=replace(b.limits, code=code, yield_margin=margin))
        self.frame = build_frame(self.brief, 800.0)
        self.solids = SolidsBuilder().build(self.frame, 7850.0)
        masses = dict(zip(self.solids.layout.parts, self.solids.masses.tolist(), strict=True))
        self.model = build_model(self.brief, self.frame, masses)

    def rows(self, member):
        return [e for e, part in enumerate(self.model.map.element_part) if part == member]

    def check(self, forces, sway=math.inf):
        feet = np.zeros((len(self.frame.feet), forces.shape[2]))
        return Checker().check(self.brief, self.frame, self.model, ONE[: forces.shape[2]], forces, feet, sway)

    def of(self, member, **parts):
        """Check one member whose every element carries the same inner forces at both ends."""
        forces = np.zeros((len(self.model.map.element_member), 12, 1))
        for e in self.rows(member):
            for k, value in enumerate(parts.get(name, 0.0) for name in ("n", "v_u", "v_v", "t", "m_u", "m_v")):
                forces[e, k], forces[e, 6 + k] = -value, value
        return next(m for m in self.check(forces).members if m.member == member)


@pytest.mark.parametrize("code", CODES)
def test_tension_is_force_over_yield(code):
    got = Stand(code).of("leg FL", n=50_000.0)
    # H1-1a from a fifth on is Pr / Pc itself. Half the last printed digit of A: 0.1 %.
    assert got.use == pytest.approx(50_000 / (AREA * FY), rel=1.1e-3)
    assert got.n == pytest.approx(50_000 if got.kind == "section" else -50_000)


def test_compression_by_curve_c_over_the_length_between_joints():
    """EN: phi = 0.5 (1 + 0.49 (l - 0.2) + l2), chi = 1 / (phi + sqrt(phi2 - l2)), by hand on the printed section."""
    got = Stand().of("leg FL", n=-50_000.0)
    slender = got.length / RADIUS / (math.pi * math.sqrt(210_000 / FY))
    phi = 0.5 * (1 + 0.49 * (slender - 0.2) + slender**2)
    chi = 1 / (phi + math.sqrt(phi**2 - slender**2))
    assert got.kind == "span" and chi < 0.97
    assert got.use == pytest.approx(50_000 / (chi * AREA * FY), rel=2e-3)


def test_compression_by_e3():
    """AISC: 0.658^(Fy / Fe) Fy, H1-1a."""
    got = Stand("AISC 360-16").of("leg FL", n=-50_000.0)
    fe = math.pi**2 * 210_000 / (got.length / RADIUS) ** 2
    assert got.use == pytest.approx(50_000 / (0.658 ** (FY / fe) * FY * AREA), rel=2e-3)


def test_the_buckling_length_runs_from_joint_to_joint():
    """A leg from the pad over the lower ring to the top ring: 52 mm, 200 - 20 mm and 775 mm above the floor."""
    stand = Stand()
    got = stand.of("leg FL", n=-50_000.0)
    z = sorted(float(stand.model.model.nodes[n, 2]) for n in {*stand.model.model.elements[stand.rows("leg FL")].ravel()})
    assert got.length == pytest.approx(max(b - a for a, b in pairwise(z)))
    assert got.length == pytest.approx(775.0 - 180.0)


def test_a_machine_foot_on_a_bearer_does_not_hold_it():
    stand = Stand()
    name = next(m.name for m in stand.frame.members if m.role == "bearer")
    rows = stand.rows(name)
    assert len(rows) >= 3  # the mounts part it in the model
    between = stand.model.map.stations[rows]
    got = stand.of(name, n=-50_000.0)
    joints = [j.point for j in stand.frame.joints if name in j.members]
    assert got.length == pytest.approx(math.dist(*joints), rel=1e-9)
    assert got.length > 1.5 * float((between[:, 1] - between[:, 0]).max())


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("part", ["m_u", "m_v"])
def test_bending_is_moment_over_plastic_strength(code, part):
    got = Stand(code).of("leg FL", **{part: 1e6})
    # Half the last printed digit of Wpl: 0.06 %; its table rounds the corner radii: 0.2 %.
    assert got.use == pytest.approx(1e6 / (PLASTIC * FY), rel=3e-3)


def test_torsion_is_over_the_torsion_modulus():
    got = Stand().of("leg FL", t=1e6)
    assert got.kind == "shear"
    assert got.use == pytest.approx(1e6 / (TORSION * FY / math.sqrt(3)), rel=4.3e-3)


def test_shear_by_half_the_area():
    """A_v = A h / (b + h) = A / 2, V_pl = A_v fy / sqrt 3; AISC: 2 (50 - 9) 3 mm2 x 0.6 Fy."""
    assert Stand().of("leg FL", v_u=10_000.0).use == pytest.approx(10_000 / (AREA / 2 * FY / math.sqrt(3)), rel=1.1e-3)
    assert Stand("AISC 360-16").of("leg FL", v_v=10_000.0).use == pytest.approx(10_000 / (246 * 0.6 * FY), rel=1e-9)


def test_shear_above_half_takes_bending_strength_away():
    """rho = (2 V / Vpl - 1)2 of 6.2.8, at V = 0.8 Vpl: 0.36."""
    stand = Stand()
    v_pl = AREA / 2 * FY / math.sqrt(3)
    got = stand.of("leg FL", v_u=0.8 * v_pl, m_u=1.5e6)
    assert got.use == pytest.approx(1.5e6 / (PLASTIC * FY) / (1 - 0.36), rel=6e-3)


def test_torsion_over_a_fifth_joins_the_rest_by_h3():
    stand = Stand("AISC 360-16")
    t_n = 0.6 * FY * (2 * 47 * 47 * 3 - 4.5 * (4 - math.pi) * 27)
    got = stand.of("leg FL", t=0.5 * t_n, v_u=0.1 * 246 * 0.6 * FY, m_u=0.3 * PLASTIC * FY)
    assert got.clause == "H3-6"
    assert got.use == pytest.approx(0.3 + 0.6**2, rel=2e-3)
    weak = stand.of("leg FL", t=0.15 * t_n, m_u=0.3 * PLASTIC * FY)
    assert weak.clause == "H1-1" and weak.use == pytest.approx(0.3, rel=2e-3)


@pytest.mark.parametrize("code", CODES)
def test_the_margin_is_on_the_loads(code):
    plain = Stand(code).of("leg FL", m_u=1e6)
    double = Stand(code, margin=2.0).of("leg FL", m_u=1e6)
    assert double.use == pytest.approx(2 * plain.use)
    assert double.m_u == pytest.approx(2 * plain.m_u)


def test_the_worst_case_and_end_are_found():
    stand = Stand()
    forces = np.zeros((len(stand.model.map.element_member), 12, 2))
    low, high = stand.rows("leg BR")[0], stand.rows("leg BR")[-1]
    forces[low, 4, 0], forces[high, 10, 1] = 1e6, 3e6
    checks = stand.check(forces)
    got = next(m for m in checks.members if m.member == "leg BR")
    assert (got.case, checks.worst_member, checks.worst_case) == ("two", "leg BR", "two")
    assert got.at == pytest.approx(float(stand.model.map.stations[high, 1]))


def test_sway_multiplies_moments_below_ten():
    assert amplification(10.0) == 1.0
    assert amplification(5.0) == pytest.approx(1.25)
    stand = Stand()
    forces = np.zeros((len(stand.model.map.element_member), 12, 1))
    forces[stand.rows("leg FL")[0], 10] = 1e6
    far, near = stand.check(forces), stand.check(forces, sway=5.0)
    use = [next(m.use for m in c.members if m.member == "leg FL") for c in (far, near)]
    assert (far.amplification, near.amplification) == (1.0, pytest.approx(1.25))
    assert use[1] == pytest.approx(1.25 * use[0])


@pytest.mark.parametrize("code", CODES)
def test_an_angle_leg_bears_less_than_its_squash_load(code):
    """Torsional-flexural buckling and the weak axis: less than Euler's and the yield load alone."""
    module = code_module(code)
    table = module.table(("L 50x50x5",), steel("S235"))
    span = module.span(table, np.array([700.0]))
    got = float((span.chi_v * table.n_k)[0] if code.startswith("EN") else span.n[0])
    euler = math.pi**2 * 210_000 * 480.0 * 9.73**2 / 700.0**2  # A 4.80 cm2, i_v 0.973 cm (EN 10056, from memory)
    assert 0.3 * 480 * 235 < got < min(euler, 480 * 235 * 0.9)


def test_open_shapes_lose_to_lateral_buckling_and_tubes_do_not():
    profiles = ("SHS 50x50x3", "L 50x50x5", "FL 50x6")
    length = np.full(3, 1500.0)
    en = _en1993.span(_en1993.table(profiles, steel("S235")), length).chi_lt
    assert en[0] == 1.0 and (en[1:] < 0.85).all()
    aisc = _aisc360.table(profiles, steel("S235"))
    share = _aisc360.span(aisc, length).m_u / aisc.m_u
    assert share[0] == 1.0 and (share[1:] < 0.95).all()


@pytest.mark.parametrize("code", CODES)
def test_a_real_stand_is_checked_whole_and_its_colours_follow(code):
    b = Stand(code, margin=1.67).brief
    frame = build_frame(b, 800.0)
    s = Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))
    c = s.checks
    assert c.code == code and [m.member for m in c.members] == [m.name for m in frame.members]
    assert [m.utilisation for m in s.members] == [m.use for m in c.members]
    assert all(0 < m.use < 1 for m in c.members) and all(0 < w.use < 1 for w in c.welds)
    assert c.worst_member == max(c.members, key=lambda m: m.use).member
    assert c.worst_joint == max(c.welds, key=lambda w: w.use).joint
    assert {m.case for m in c.members} <= {k.id for k in s.cases}


def test_end_forces_of_the_analysis_are_the_ones_checked():
    """A leg's checked axial force is one of its own elements', with the margin, and at most what its foot bears."""
    stand = Stand(margin=2.0)
    built = assemble(stand.model.model)
    weight, fixed = gravity(stand.model.model)
    u = built.solve(weight[:, :, None])
    forces = built.end_forces(u, fixed)
    got = next(m for m in stand.check(forces).members if m.member == "leg FL")
    own = forces[stand.rows("leg FL")][:, [0, 6], 0].ravel()
    assert np.abs(np.abs(own) * 2.0 - abs(got.n)).min() < 1e-6
    assert 0 < abs(got.n) <= 2.0 * float(built.reactions(u)[0, 2, 0])
