"""Order, cost and yield."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine, RackItem, SoldLength
from framecore.frame import build_frame
from framecore.shop import build_shop
from framecore.solids import SolidsBuilder

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def shop(**steel):
    b = Brief(machine=Machine(holes=HOLES))
    b = replace(b, steel=replace(b.steel, **steel))
    frame = build_frame(b, 800.0)
    return frame, build_shop(b, frame, SolidsBuilder().build(frame, 7850.0))


def test_everything_is_cut_once_and_paid():
    frame, s = shop()
    cut = sum(len(b.cuts) for _, plan in s.plans for b in plan.bars)
    assert cut == len(frame.members)
    assert all(plan.proven for _, plan in s.plans)
    assert s.cost == pytest.approx(sum(line.cost for line in s.order))
    assert 0 < s.yield_share < 1


def test_bar_price_is_mass_times_price():
    _, s = shop(price_kg=2.0)
    line = next(x for x in s.order if x.what == "SHS 50x50x3")
    assert line.cost == pytest.approx(2.0 * line.mass)


def test_rack_offcuts_cost_nothing():
    _, plain = shop(sold=(SoldLength(length=3000),))
    _, rack = shop(sold=(SoldLength(length=3000),), rack=(RackItem(profile="SHS 40x40x3", length=2900, count=1),))
    assert rack.cost < plain.cost
    assert any(b.bar.rack for b in rack.plan("SHS 40x40x3").bars)
