"""A seat that is one joint alone: it takes the torque itself and its own turning is read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile, steel
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst

HOLES = ((-90.0, -80.0), (-90.0, 80.0), (90.0, -80.0), (90.0, 80.0))


def twist(height):
    b = Brief(machine=Machine(kind="grinder", mass=30.0, holes=HOLES, bolt="M8"))
    b = replace(b, frame=replace(b.frame, layout="column", length=500.0, depth=500.0, base="plate"))
    frame = build_frame(b, height)
    assert len(frame.seat_joints) == 1
    return Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0)).twist


def test_a_longer_column_is_softer_in_twist_by_its_own_length_alone():
    # Two columns differ by a length of tube: 1/k2 - 1/k1 = dh / (G J), whatever base and head are.
    j = profile(Brief().frame.sections.column).properties.j
    flexibility = 1 / twist(1100.0) - 1 / twist(800.0)
    assert flexibility == pytest.approx(300.0 / (steel("S235").g * j), rel=1e-6)
