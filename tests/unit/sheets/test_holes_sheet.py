"""The hole sheet, measured back: places from the datum, distances, nothing where nothing is drilled."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.sheets.holes import machine_holes
from framecore.sheets.holes_sheet import pages, pairs_of
from framecore.sheets.model import Arc, Text
from framecore.sheets.spreading import spread
from framecore.sheets.words import length_words
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="bench-lathe"):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


@pytest.mark.parametrize("name", ["bench-lathe", "long-lathe-pedestals", "bench-mill"])
@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_holes_lie_where_they_are_from_the_datum(name, paper):
    page = pages(stand(name), paper)[0]
    view = page.views[0]
    middles = [p.centre for p in page.primitives if isinstance(p, Arc)]
    for hole in machine_holes(stand(name)):
        want = (view.at[0] + hole.at[0] * view.scale, view.at[1] + hole.at[1] * view.scale)
        assert any(math.dist(want, m) < 1e-6 for m in middles) or hole.cut.slot
    said = {p.text for p in page.primitives if isinstance(p, Text)}
    words = length_words(stand(name))
    assert {words(round(h.at[k], 1)) for h in machine_holes(stand(name)) for k in (0, 1)} | {words(0.0)} <= said


def test_every_distance_of_four_holes_is_listed_by_pythagoras():
    pattern = stand().brief.machine.holes
    want = sorted((math.dist(a, b) for n, a in enumerate(pattern) for b in pattern[:n]), reverse=True)
    found = [math.dist(a.at, b.at) for a, b in pairs_of(stand(), machine_holes(stand()))]
    assert found == pytest.approx(want, abs=0.01)
    said = [p.text for p in pages(stand(), "A3")[0].primitives if isinstance(p, Text)]
    for a, b in pairs_of(stand(), machine_holes(stand())):
        assert f"{a.number} to {b.number}" in said and f"{round(math.dist(a.at, b.at), 1):g}" in said


def test_nothing_is_drawn_where_nothing_is_drilled():
    bare = replace(stand(), frame=replace(stand().frame, holes=(), mounts=()))
    assert pages(bare, "A3") == ()


def test_pushed_places_keep_apart_and_in_order():
    assert spread([0.0, 1.0, 20.0], 4.0) == [-1.5, 2.5, 20.0]
    assert spread([0.0, 5.0], 4.0) == [0.0, 5.0]


@pytest.mark.parametrize("name", sorted(p.stem for p in SAMPLES.glob("*.toml")))
def test_a_hole_bears_the_number_of_the_foot_it_is_for(name):
    found = machine_holes(stand(name))
    feet = [h for h in found if h.what.startswith("machine foot ")]
    assert all(h.what.split(",")[0] == f"machine foot {h.number}" for h in feet)
    assert [h.number for h in found] == list(range(1, len(found) + 1))
    assert found[: len(feet)] == feet
