"""Paint: area of tubes a metre and what a litre covers.

Tubes by EN 10219-2 tables, read from a secondary copy; the rules of spreading as paint makers' data sheets print them.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile
from framecore.frame import build_frame
from framecore.shop.finish import painted_area, spreading
from tests.validation.record import agree

# m2/m
TUBES = {
    "SHS 30x30x3": 0.110, "SHS 40x40x3": 0.150, "SHS 40x40x4": 0.146, "SHS 50x50x3": 0.190, "SHS 50x50x4": 0.186,
    "SHS 50x50x5": 0.183, "SHS 60x60x3": 0.230, "SHS 60x60x4": 0.226, "SHS 60x60x5": 0.223,
}  # fmt: skip


@pytest.mark.parametrize("name", TUBES)
def test_painted_sides_of_a_bar(name):
    holes = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
    frame = build_frame(Brief(machine=Machine(holes=holes)), 800.0)
    bar = replace(frame.member("leg FL"), profile=profile(name))
    one = replace(frame, members=(bar,), plates=(), holes=(), joints=(), feet=(), mounts=())
    metres = math.dist(bar.start.point, bar.end.point) / 1e3
    agree(painted_area(one, ()).sides / metres, TUBES[name], abs=0.0005, what=f"{name} painted surface m2/m",
          source="EN 10219-2 table, secondary copy")  # fmt: skip


def test_a_litre_of_half_solids_at_50_um():
    agree(spreading(50.0, 0.5), 10.0, abs=0.5, what="spreading rate m2/l",
          source="rule of paint makers' data sheets: 10 x volume solids % / dry film um")  # fmt: skip


@pytest.mark.parametrize(("solids", "mils"), [(0.5, 2.0), (0.45, 1.5), (0.62, 3.0)])
def test_a_gallon(solids, mils):
    ours = spreading(mils * 25.4, solids) * 3.785411784 / 0.3048**2
    agree(ours, 1604 * solids / mils, abs=0.5 * solids / mils, what="spreading rate ft2/gal",
          source="US rule: 1604 x volume solids / dry film in mils")  # fmt: skip
