"""Rules of feet and floors against printed and hand-worked numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framecore.brief.model import Brief, Floor
from framecore.catalogue import thread
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
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
from framecore.units import parse_slope
from tests.validation.published import Published


# ISO 724, diameter at the thread's root d3, coarse series, mm.
@pytest.mark.parametrize(("size", "d3"), [("M10", "8.160"), ("M12", "9.853"), ("M16", "13.546"), ("M20", "16.933")])
def test_root_diameters(size, d3):
    Published(quantity=f"{size} d3", printed=d3, source="ISO 724, from memory").check(thread(size).root_diameter)


STUDS = "an extended stud as a cantilever, makers' hand table, E = 205 GPa, from memory"


# kN/mm at 25, 50 and 80 mm
@pytest.mark.parametrize(
    ("size", "printed"),
    [
        ("M10", ("8.6", "1.07", "0.26")), ("M12", ("18.2", "2.28", "0.56")),
        ("M16", ("65", "8.1", "2.0")), ("M20", ("159", "19.9", "4.8")),
    ],
)  # fmt: skip
def test_bending_of_an_extended_stud(size, printed):
    got = stud_stiffness(205_000.0, thread(size).root_diameter, np.array([25.0, 50.0, 80.0])) / 1000
    for value, text, length in zip(got.tolist(), printed, (25, 50, 80), strict=True):
        Published(quantity=f"{size} stud of {length} mm, kN/mm", printed=text, source=STUDS).check(value)


def test_four_long_studs_are_softer_than_four_legs():
    """Four M10 at 80 mm about 1.0 kN/mm beside four pinned 50 x 3 legs of 700 mm, 1.4 kN/mm: the same hand table."""
    studs = 4 * stud_stiffness(205_000.0, thread("M10").root_diameter, np.array([80.0]))[0] / 1000
    legs = 4 * 3 * 205_000.0 * 19.47e4 / 700**3 / 1000  # I = 19.47 cm4, EN 10219-2 table
    assert (studs, legs) == (pytest.approx(1.0, abs=0.05), pytest.approx(1.4, abs=0.05))


def test_lock_nuts_are_as_high_as_the_rule_says():
    """DIN 934 nuts, height m: M8 6.5, M10 8, M12 10, M16 13, M20 16; from memory. The rule is a round 0.8 d: to half a mm."""
    for size, m in (("M8", 6.5), ("M10", 8.0), ("M12", 10.0), ("M16", 13.0), ("M20", 16.0)):
        assert LOCK_NUT * thread(size).diameter == pytest.approx(m, abs=0.5)


WAC = "Washington WAC 51-51-0301, table R301.5 note a"


def test_a_wheel_on_a_garage_floor():
    """2,000 pound on 4-1/2 by 4-1/2 inches; the table gives 1 pound = 4.45 N and 1 square inch = 645 mm2 to convert."""
    Published(quantity="pound of the wheel load, N", printed="4.45", source=WAC).check(WHEEL_FORCE / 2000)
    Published(quantity="square inch of its area, mm2", printed="645", source=WAC).check(WHEEL_AREA / 4.5**2)


def test_floor_loads():
    """50 psf for garages, 40 for rooms, 1 psf = 0.0479 kPa; category A 1.5 to 2.0 kN/m2 and 2 to 3 kN."""
    Published(quantity="pound per square foot, kPa", printed="0.0479", source=WAC).check(GARAGE_LOAD / 50)
    category_a = ((1.5, 2.0), (2000.0, 3000.0))  # EN 1991-1-1 table 6.2, from memory
    for value, (low, high) in zip((ROOM_LOAD, ROOM_POINT), category_a, strict=True):
        assert low <= value <= high
    assert ROOM_LOAD <= 40 * 0.0479


@pytest.mark.parametrize(("depth", "printed"), [(60.0, "16.0"), (70.0, "20.2"), (85.0, "27.0")])
def test_concrete_cones(depth, printed):
    """Before the part factor of 1.5."""
    source = "European assessments of expansion anchors, cracked C20/25, from memory"
    Published(quantity=f"cone of an anchor {depth:.0f} mm deep, kN", printed=printed, source=source).check(
        cone_force(depth) * 1.5 / 1000
    )


def test_slab_for_an_anchor():
    """A 1/2 in anchor 3 1/4 in deep wants a slab of 5 3/4 in (a rack maker's page): our rule asks no less."""
    assert SLAB_DEPTHS >= 5.75 / 3.25
    assert EMBEDMENT["M10"] * 1.6 <= 100.0  # a garage slab takes M10 set shallow


@pytest.mark.parametrize(("typed", "mm_m", "deg"), [("1/8 in/ft", "10.4", "0.6"), ("1/4 in/ft", "20.8", "1.2")])
def test_tilt_of_a_foot_on_a_garage_floor(typed, mm_m, deg):
    """A levelled stand on floors that fall 1/8 and 1/4 in per ft: makers' hand table."""
    slope = parse_slope(typed)
    b = Brief(floor=Floor(slope=slope))
    frame = build_frame(b, 800.0)
    s = Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))
    Published(quantity=f"{typed}, mm/m", printed=mm_m, source="hand table").check(slope)
    Published(quantity=f"tilt on {typed}, deg", printed=deg, source="hand table").check(math.degrees(s.floor.tilt))
