"""Weld metal by hand, gas and time by process."""

from __future__ import annotations

import math

import pytest

from framecore.shop.filler import CONVEX, DENSITY, PROCESSES, filler, section
from framecore.shop.work import Weld
from tests.unit.shop.work_samples import SAMPLES, work


def weld(metal, length=100.0):
    return Weld(
        mark="W1", joint="j", parts=("a", "b"), kind="fillet", leg=3.0, throat=2.12, runs=(), length=length, faces=(),
        metal=metal,
    )  # fmt: skip


@pytest.mark.parametrize("degrees", [60, 90, 120, 135])
def test_a_fillet_is_a_triangle_of_two_equal_legs(degrees):
    a = math.radians(degrees)
    # Half base times height of the triangle with legs 4 and the angle between them.
    base, height = 2 * 4 * math.sin(a / 2), 4 * math.cos(a / 2)
    ours = section("fillet", leg=4.0, throat=4 * math.cos(a / 2), opening=a)
    assert ours == pytest.approx(CONVEX * base * height / 2)


def test_a_flare_bevel_is_the_room_beside_a_quarter_circle():
    r = 6.0
    # Down to the whole radius: the square less the quarter circle.
    assert section("flare-bevel", leg=0, throat=r, flare=r) == pytest.approx(r * r * (1 - math.pi / 4))
    # Counted in thin slices.
    t, n = 3.0, 20000
    depth = [(k + 0.5) * t / n for k in range(n)]
    sliced = sum((r - math.sqrt(r * r - (r - y) ** 2)) * t / n for y in depth)
    assert section("flare-bevel", leg=0, throat=t, flare=r) == pytest.approx(sliced, rel=1e-4)


def test_butt_and_corner():
    assert section("butt", leg=0, throat=3.0) == pytest.approx(CONVEX * 3.0 * 1.5)
    assert section("corner", leg=0, throat=3.0) == pytest.approx(CONVEX * 4.5)


@pytest.mark.parametrize("process", PROCESSES)
def test_mass_gas_and_hours(process):
    p = PROCESSES[process]
    found = filler([weld(4000.0), weld(6000.0)], process)
    assert found.deposit == pytest.approx(10000 * DENSITY)
    assert found.deposit == pytest.approx(0.0785)
    assert found.bought * p.share == pytest.approx(found.deposit)
    assert found.arc_hours * p.kg_hour == pytest.approx(found.deposit)
    assert found.gas_litres == pytest.approx(found.arc_hours * 60 * p.litres_minute)
    assert found.hours[0] < found.hours[1]
    assert found.hours[1] * p.arc[0] == pytest.approx(found.arc_hours)


def test_only_shielded_processes_use_gas():
    used = {name for name in PROCESSES if filler([weld(4000.0)], name).gas_litres > 0}
    assert used == {"solid wire and gas", "TIG"}


@pytest.mark.parametrize("name", SAMPLES)
def test_the_stands_filler_is_that_of_its_welds_in_plain_numbers(name):
    f = work(name).filler
    assert f.deposit == pytest.approx(sum(w.metal for w in work(name).welds) * DENSITY)
    assert {type(v) for v in (f.deposit, f.bought, f.gas_litres, f.arc_hours, *f.hours)} == {float}
