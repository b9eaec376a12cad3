"""The fillet that the weld map asks for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief import read_brief
from framecore.strength._welds import laid_leg

INCH = 25.4


def brief(code: str, units: str = "metric", leg: float = 3.0):
    own = read_brief(f'format = 1\nunits = "{units}"\n').brief
    return replace(own, limits=replace(own.limits, code=code), welding=replace(own.welding, leg=leg))


@pytest.mark.parametrize(
    ("wall", "leg"),
    [(3.0, 3.0), (2.0, 2.0), (4.0, 4.5), (12.0, 4.5)],  # EN 1993-1-8 4.5.2(2): throat 3 mm, leg 4.24, from 4 mm on
)
def test_the_least_of_en_1993(wall, leg):
    assert laid_leg(brief("EN 1993-1-1"), wall) == leg


@pytest.mark.parametrize(
    ("wall", "leg"),
    [(1.5, 1.5), (INCH / 8, INCH / 8), (INCH / 4, INCH / 8), (INCH / 2, 3 * INCH / 16), (3 * INCH / 4, INCH / 4)],
)  # AISC 360-16 table J2.4: 1/8 to 1/4 in, 3/16 to 1/2, 1/4 to 3/4 (from memory); never more than the thinner part
def test_the_least_of_aisc_in_inch_sizes(wall, leg):
    assert laid_leg(brief("AISC 360-16", "inch", INCH / 8), wall) == pytest.approx(leg)
