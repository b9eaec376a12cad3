"""Bend allowance and deduction of folded sheet against a shop's tested table and a worked example.

The table's deductions were found by bending strips of cold rolled steel; its K is worked out from them. Ours is asked with
the printed K. Two of the table's rows are left out, because printed K and printed deduction do not give each other by the
table's own rule: 0.040 thick, radius 0.060 (0.080 from K, 0.075 printed) and 0.074, 0.030 (0.1107 and 0.112). A last
check tells how far the program's own K = 0.44 is from the strips where the inside radius is the thickness.
"""

from __future__ import annotations

import math

import pytest

from framecore.shop.flat import bend_allowance, setback
from framecore.shop.folded import K_FACTOR, RADIUS, bend_deduction
from tests.validation.published import Published

TABLE = "prototekmetals.com, Bend Deductions, cold rolled steel (inches)"
EXAMPLE = "calcady.com, bend allowance, worked example (inches)"
# thickness, inside radius, deduction, K, as printed
ROWS = (
    ("0.018", "0.030", "0.034", "0.5261"), ("0.020", "0.030", "0.039", "0.4417"), ("0.030", "0.015", "0.047", "0.4125"),
    ("0.030", "0.030", "0.047", "0.5491"), ("0.030", "0.060", "0.067", "0.3979"), ("0.036", "0.090", "0.085", "0.4532"),
    ("0.040", "0.030", "0.065", "0.4437"), ("0.048", "0.030", "0.072", "0.4891"), ("0.048", "0.060", "0.088", "0.4477"),
    ("0.048", "0.202", "0.151", "0.4204"), ("0.060", "0.030", "0.088", "0.4762"), ("0.060", "0.045", "0.095", "0.4702"),
    ("0.060", "0.060", "0.106", "0.4218"), ("0.048", "0.090", "0.101", "0.4460"), ("0.060", "1.000", "0.510", "0.4160"),
    ("0.030", "0.187", "0.122", "0.3875"), ("0.090", "0.030", "0.131", "0.4377"),
    ("0.090", "0.125", "0.172", "0.4361"), ("0.104", "0.030", "0.151", "0.4277"), ("0.120", "0.030", "0.180", "0.3866"),
    ("0.134", "0.030", "0.201", "0.3795"),
)  # fmt: skip
QUARTER = math.pi / 2


def deduction(t: float, r: float, k: float) -> float:
    return 2 * setback(QUARTER, r, t) - bend_allowance(QUARTER, r, t, k)


@pytest.mark.parametrize("row", ROWS)
def test_deduction_with_the_tables_k(row):
    t, r, printed, k = row
    got = deduction(float(t), float(r), float(k))
    Published(quantity="bend deduction, in", printed=printed, source=TABLE).check(got)


def test_allowance_of_the_worked_example():
    """90 degrees, 0.125 in thick, 0.125 in radius, K 0.44."""
    got = bend_allowance(QUARTER, 0.125, 0.125, 0.44)
    Published(quantity="bend allowance, in", printed="0.2827", source=EXAMPLE).check(got)


@pytest.mark.parametrize("row", [r for r in ROWS if r[0] == r[1] and float(r[0]) > 0.05])
def test_the_programs_own_bend_beside_a_strip(row):
    """Sheet of 1.5 mm folded over its own thickness, the program's usual tray."""
    t, _, printed, _ = row
    assert (K_FACTOR, RADIUS) == (0.44, 1.0)
    Published(
        quantity="bend deduction by K 0.44, in", printed=printed, source=TABLE, widen=0.02,
        note="2 % wider: the strips' K is 0.42, the program's is 0.44; 0.04 mm a bend",
    ).check(bend_deduction(float(t)))  # fmt: skip
