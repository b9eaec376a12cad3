"""Welded work: general tolerances of lengths and angles.

ISO 13920:1996 tables 1 and 2, read from a secondary web copy.
"""

from __future__ import annotations

import math

import pytest

from framecore.shop.tolerance import CLASSES, angular_tolerance, linear_tolerance
from tests.validation.record import agree

COPY = "ISO 13920:1996, web copy"
# Nominal length within the row, mm -> deviation either way, mm, classes A to D
LINEAR = {
    20: (1, 1, 1, 1), 75: (1, 2, 3, 4), 120: (1, 2, 3, 4), 250: (1, 2, 4, 7), 400: (1, 2, 4, 7), 700: (2, 3, 6, 9),
    1500: (3, 4, 8, 12), 3000: (4, 6, 11, 16),
}  # fmt: skip
# Shorter leg, mm -> minutes of arc, classes A to D
ANGLES = {300: (20, 45, 60, 90), 800: (15, 30, 45, 75), 1500: (10, 20, 30, 60)}
# The same as mm in a metre, as printed
SLOPES = {300: (6, 13, 18, 26), 800: (4.5, 9, 13, 22), 1500: (3, 6, 9, 18)}


@pytest.mark.parametrize("length", LINEAR)
@pytest.mark.parametrize("k", range(4), ids=CLASSES)
def test_lengths(length, k):
    agree(linear_tolerance(length, CLASSES[k]), LINEAR[length][k], abs=0.5, what=f"class {CLASSES[k]} {length} mm", source=COPY)


@pytest.mark.parametrize("leg", ANGLES)
@pytest.mark.parametrize("k", range(4), ids=CLASSES)
def test_angles(leg, k):
    slope = angular_tolerance(leg, CLASSES[k])
    agree(slope, SLOPES[leg][k], abs=0.05, what=f"class {CLASSES[k]} angle, leg {leg} mm, mm/m", source=COPY)
    # The table's two columns say the same, the slope rounded to whole or half millimetres.
    minutes = math.degrees(math.atan(slope / 1000)) * 60
    agree(minutes, ANGLES[leg][k], abs=2.0, what=f"class {CLASSES[k]} angle, leg {leg} mm, minutes", source=COPY)
