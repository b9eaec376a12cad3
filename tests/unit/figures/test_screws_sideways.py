"""How stiff the jacking screws are sideways, beside the stand's own sway."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.catalogue import thread
from framecore.figures.model import Verdict
from framecore.stand import evaluate

LATHE = Path(__file__).parents[3] / "samples" / "bench-lathe.toml"


def found(**kw):
    brief = load_brief(LATHE)
    kw = {"seating": "jacking screws", "jack": 60.0, "block": 50.0, "block_height": 30.0, "screw": "M12"} | kw
    return evaluate(replace(brief, mounting=replace(brief.mounting, **kw)))


def test_share_of_the_sway_is_that_of_springs_one_above_the_other():
    stand = found()
    f, s = stand.figures["mount.screw_stiffness"], stand.strength
    d = thread("M12").root_diameter
    i, area = math.pi * d**4 / 64, math.pi * d * d / 4
    column = 1 / (30.0**3 / (12 * 205_000 * i) + 30.0 / (79_000 * 0.9 * area))
    assert f.value == pytest.approx(2 * column)
    sway, feet = max(s.sway_x, s.sway_y), len(stand.frame.mounts)
    share = sway / (sway + feet * f.value)
    assert f"{100 * share:.1f} %" in f.note and f.verdict is Verdict.GOOD
    # At its limit the screws take just a tenth.
    assert f.limit is not None and sway / (sway + feet * f.limit) == pytest.approx(0.1)


def test_tall_thin_screws_are_worth_a_look():
    f = found(jack=110.0, block_height=10.0, screw="M6").figures["mount.screw_stiffness"]
    assert f.verdict is Verdict.LOOK


def test_only_where_screws_stand():
    assert "mount.screw_stiffness" not in found(seating="shims", jack=3.0).figures
