"""Rules of feet and floors against printed and hand-worked numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framecore.catalogue import thread
from framecore.strength._floor import LOCK_NUT, stud_stiffness
from framecore.strength._ground import (
    EMBEDMENT,
    GARAGE_LOAD,
    ROOM_LOAD,
    ROOM_POINT,
    SLAB_DEPTHS,
    WHEEL_AREA,
    WHEEL_FORCE,
    cone_force,
)


# ISO 724, minor diameter at the thread's root d3, coarse series; from memory.
@pytest.mark.parametrize(("size", "d3"), [("M10", 8.160), ("M12", 9.853), ("M16", 13.546), ("M20", 16.933)])
def test_root_diameters(size, d3):
    assert thread(size).root_diameter == pytest.approx(d3, abs=0.0005)


# An extended stud as a cantilever, kN/mm at 25, 50 and 80 mm: a makers' hand table, E = 205 GPa; from memory.
# M20 at 25 mm is 158.9 and M16 at 80 mm 1.985: printed as 159 and 2.0.
STUDS = [
    ("M10", (8.6, 1.07, 0.26), (0.05, 0.005, 0.005)),
    ("M12", (18.2, 2.28, 0.56), (0.05, 0.005, 0.005)),
    ("M16", (65, 8.1, 2.0), (0.5, 0.05, 0.05)),
    ("M20", (159, 19.9, 4.8), (0.5, 0.05, 0.05)),
]


@pytest.mark.parametrize(("size", "printed", "half"), STUDS)
def test_bending_of_an_extended_stud(size, printed, half):
    got = stud_stiffness(205_000.0, thread(size).root_diameter, np.array([25.0, 50.0, 80.0])) / 1000
    for value, want, digit in zip(got.tolist(), printed, half, strict=True):
        assert value == pytest.approx(want, abs=digit)


def test_four_long_studs_are_softer_than_four_legs():
    """Four M10 at 80 mm about 1.0 kN/mm beside four pinned 50 x 3 legs of 700 mm, 1.4 kN/mm: the same hand table."""
    studs = 4 * stud_stiffness(205_000.0, thread("M10").root_diameter, np.array([80.0]))[0] / 1000
    legs = 4 * 3 * 205_000.0 * 19.47e4 / 700**3 / 1000  # I = 19.47 cm4, EN 10219-2 table
    assert (studs, legs) == (pytest.approx(1.0, abs=0.05), pytest.approx(1.4, abs=0.05))


def test_lock_nuts_are_as_high_as_the_rule_says():
    """DIN 934 nuts, height m: M8 6.5, M10 8, M12 10, M16 13, M20 16; from memory. The rule is a round 0.8 d: to half a mm."""
    for size, m in (("M8", 6.5), ("M10", 8.0), ("M12", 10.0), ("M16", 13.0), ("M20", 16.0)):
        assert LOCK_NUT * thread(size).diameter == pytest.approx(m, abs=0.5)


def test_a_wheel_on_a_garage_floor():
    """2,000 pound on 4-1/2 by 4-1/2 inches, 1 pound = 4.45 N, 1 square inch = 645 mm2: Washington, WAC 51-51-0301 note a.

    The text's own 4.45 is rounded: 8.9 kN to half its last digit times 2000.
    """
    assert pytest.approx(2000 * 4.45, abs=2000 * 0.005) == WHEEL_FORCE
    assert pytest.approx(4.5 * 4.5 * 645, abs=20.25 * 0.5) == WHEEL_AREA


def test_floor_loads():
    """IRC table R301.5: 50 psf garages, 1 psf = 0.0479 kPa; EN 1991-1-1 table 6.2 category A 1.5 to 2.0, 2 to 3 kN, from memory."""
    assert pytest.approx(50 * 0.0479, abs=50 * 0.00005) == GARAGE_LOAD
    assert 1.5 <= ROOM_LOAD <= 2.0
    assert ROOM_LOAD <= 40 * 0.0479
    assert 2000.0 <= ROOM_POINT <= 3000.0


@pytest.mark.parametrize(("depth", "characteristic"), [(60.0, 16.0), (70.0, 20.2), (85.0, 27.0)])
def test_concrete_cones(depth, characteristic):
    """kN in cracked C20/25 as European assessments of expansion anchors print them, before the part factor 1.5; from memory."""
    assert cone_force(depth) * 1.5 / 1000 == pytest.approx(characteristic, abs=0.05)


def test_slab_for_an_anchor():
    """A 1/2 in anchor 3 1/4 in deep wants a slab of 5 3/4 in (a rack maker's page): our rule asks no less."""
    assert SLAB_DEPTHS >= 5.75 / 3.25
    assert EMBEDMENT["M10"] * 1.6 <= 100.0  # a garage slab takes M10 set shallow


@pytest.mark.parametrize(("per_foot", "mm_m", "deg"), [(1 / 8, 10.4, 0.6), (1 / 4, 20.8, 1.2)])
def test_slopes_of_garage_floors(per_foot, mm_m, deg):
    """1/8 and 1/4 in per ft: hand table."""
    slope = per_foot / 12
    assert 1000 * slope == pytest.approx(mm_m, abs=0.05)
    assert math.degrees(math.atan(slope)) == pytest.approx(deg, abs=0.05)
