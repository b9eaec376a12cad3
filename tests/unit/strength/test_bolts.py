"""Holding-down bolts: what the class of the brief holds is what the checks take."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import thread
from framecore.frame import build_frame
from framecore.strength import Case
from framecore.strength._bolts import check_bolts

ONE = (Case(id="one", label="", text=""),)
AREA = thread("M10").stress_area


def checked(cls: str, pull: float, shear: float):
    brief = Brief(machine=Machine(holes=((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0)), bolt="M10"))
    brief = replace(brief, mounting=replace(brief.mounting, bolt_class=cls))
    ends = np.zeros((4, 12, 1))
    ends[:, 6], ends[:, 7] = pull, shear
    return check_bolts(brief, build_frame(brief, 800.0), ONE, ends, 1.5)[0]


@pytest.mark.parametrize(("cls", "proof"), [("4.6", 225.0), ("5.6", 280.0), ("8.8", 580.0), ("10.9", 830.0)])
def test_pull_is_held_by_the_proof_load_of_the_class(cls, proof):
    b = checked(cls, 5000.0, 0.0)
    assert b.bolt_class == cls and b.proof == pytest.approx(proof * AREA)
    # Pull alone: proof load, or 1.4 x 0.9 fub As / 1.25 where that is less.
    limit = min(proof, 1.4 * 0.9 * 100 * float(cls.split(".")[0]) / 1.25) * AREA
    assert b.use == pytest.approx(1.5 * 5000.0 / limit)


@pytest.mark.parametrize(("cls", "share", "fub"), [("4.6", 0.6, 400.0), ("5.6", 0.6, 500.0), ("8.8", 0.6, 800.0),
                                                   ("10.9", 0.5, 1000.0)])  # fmt: skip
def test_shear_by_class(cls, share, fub):
    b = checked(cls, 1000.0, 3000.0)
    assert b.shear_limit == pytest.approx(share * fub * AREA / 1.25)
    mixed = 3000.0 / b.shear_limit + 1000.0 / (1.4 * 0.9 * fub * AREA / 1.25)
    assert b.use == pytest.approx(1.5 * max(mixed, 1000.0 / b.proof, 3000.0 / b.bearing_limit))


def test_what_the_steel_round_the_hole_bears_asks_no_class():
    assert checked("4.6", 0.0, 10.0).bearing_limit == checked("10.9", 0.0, 10.0).bearing_limit
