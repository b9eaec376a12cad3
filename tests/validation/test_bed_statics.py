"""The bed on its stand against statics done by hand.

Sources: two torsion springs in series, statics; torsion of a thin closed box J = 4 A^2 t / s and of an open section
J = sum b t^3 / 3 (Bredt; Saint-Venant; Young, Budynas, Roark's Formulas for Stress and Strain, 7th ed., table 10.1,
from memory); screw of length l between stiff ends bends with 12 E I / l^3 and stretches with E A / l.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.catalogue import profile
from framecore.fem import FrameModel, assemble
from tests.validation.record import agree

SAMPLES = Path(__file__).parents[2] / "samples"
JACKED = ("bench-lathe", "bench-lathe-trestle")


@cache
def strength(name, jack=60.0, bed_j=0.0, bed_i=0.0):
    brief = load_brief(SAMPLES / f"{name}.toml")
    machine = replace(brief.machine, bed_j=bed_j, bed_i=bed_i)
    return evaluate(replace(brief, mounting=replace(brief.mounting, jack=jack), machine=machine)).strength


def stand_alone(s):
    """The stand without its machine, N mm/rad: opposite couples of 1 N mm, each a pair of forces, on its end rows."""
    m, parts = s.model, np.array(s.map.element_part)
    kept = ~np.isin(parts, ["bed", "arm", "mount"])
    used = np.unique(m.elements[kept])
    number = np.full(m.n_nodes, -1)
    number[used] = np.arange(len(used))
    rows = ("area", "i_y", "i_z", "j", "e", "g", "shear_y", "shear_z")
    alone = FrameModel(
        nodes=m.nodes[used], elements=number[m.elements[kept]], axes=m.axes[kept], offsets=m.offsets[kept],
        shear_centre=m.shear_centre[kept], spring_nodes=number[m.spring_nodes], spring_stiffness=m.stiffness,
        **{n: m.per_element(n)[kept] for n in rows},
    )  # fmt: skip
    at = m.nodes[s.map.mount_nodes]
    load = np.zeros((alone.n_nodes, 6))
    load[number[s.map.mount_nodes], 2] = np.sign((at[:, 0] - at[:, 0].mean()) * (at[:, 1] - at[:, 1].mean())) / s.bed.row
    return 1.0 / float((load * assemble(alone).solve(load)).sum())


@pytest.mark.parametrize("name", JACKED)
def test_share_is_that_of_two_springs_in_series(name):
    s = strength(name)
    stand, bed = stand_alone(s), s.bed.bed_stiffness
    # By hand the screws are taken as hinged: what they bend is within 1 %.
    agree(s.bed.share, stand / (stand + bed), rel=1e-2)
    agree(s.bed.stand_stiffness, stand, rel=1e-2)


@pytest.mark.parametrize("name", JACKED)
def test_a_soft_bed_on_a_held_seat_is_a_shaft_on_four_springs(name):
    """G J / L in series with the stretch of four screws, 1 / k = L / (G J) + 4 l / (E A b^2)."""
    s = strength(name, jack=150.0, bed_j=2e6, bed_i=1e9)
    agree(s.bed.gj, 44_000 * 2e6, rel=1e-6)
    m, screw = s.model, s.map.element_part.index("mount")
    stretch = m.length[screw] / (m.per_element("e")[screw] * m.per_element("area")[screw])
    by_hand = 1 / (s.bed.length / s.bed.gj + 4 * stretch / s.bed.row**2)
    # Left out by hand: the screws' own bending and the give of the feet's arms.
    agree(s.bed.bed_stiffness, by_hand, rel=6e-2)


def test_bed_twist_for_a_jack_on_a_stand_that_gives_nothing():
    """A stiff-armed bed on long thin screws rolls by e / b at that end."""
    s = strength("bench-lathe", jack=150.0, bed_j=1e3, bed_i=1e9)
    agree(abs(s.bed.rigid), np.full(4, 1 / 150.0), rel=2e-2)


@pytest.mark.parametrize(
    ("name", "j"),
    [
        # 50 x 50 x 3: middle line 47 x 47 with corner radius 4.5, A = 2191.6 mm2, s = 180.3 mm.
        ("SHS 50x50x3", 4 * 2191.6**2 * 3 / 180.3),
        # 60 x 60 x 3: middle line 57 x 57, radius 4.5: A = 3231.6 mm2, s = 220.3 mm.
        ("SHS 60x60x3", 4 * 3231.6**2 * 3 / 220.3),
    ],
)
def test_torsion_constant_of_a_tube_by_bredt(name, j):
    # EN 10219-2 adds the wall's own small part, about t^3 s / 3.
    agree(profile(name).properties.j, j, rel=0.02)


def test_torsion_constant_of_an_angle_by_its_strips():
    # 50 x 50 x 5: (50 + 45) 5^3 / 3 = 3958 mm4, the root fillet adds to it.
    agree(profile("L 50x50x5").properties.j, (50 + 45) * 125 / 3, rel=0.25)
    assert profile("L 50x50x5").properties.j > (50 + 45) * 125 / 3


def test_closed_against_open_is_what_the_figure_says():
    s = strength("bench-lathe", jack=0.0)
    other = s.bed.other
    assert (other.profile, other.other) == ("SHS 60x60x3", "L 60x60x6")
    bredt = 4 * 3231.6**2 * 3 / 220.3
    strips = (60 + 54) * 6**3 / 3
    agree(other.j / other.j_other, bredt / strips, rel=0.15)
