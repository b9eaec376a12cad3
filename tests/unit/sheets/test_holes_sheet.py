"""The hole sheet, measured back: places from the datum, distances, nothing where nothing is drilled."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.sheets.drawing.model import Arc, Text
from framecore.sheets.drawing.spreading import spread
from framecore.sheets.seat.holes import machine_holes
from framecore.sheets.seat.holes_sheet import pairs_of
from framecore.sheets.seat.seat_sheet import pages
from framecore.sheets.seat.seat_steel import datum_of, rims_under
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
    view = next(v for v in page.views if v.name == "top")
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


@pytest.mark.parametrize("name", sorted(p.stem for p in SAMPLES.glob("*.toml")))
def test_the_datum_is_a_corner_of_steel(name):
    rims = rims_under(stand(name))
    datum = datum_of(stand(name), rims)
    if stand(name).frame.mounts and any(m.hole for m in stand(name).frame.mounts):
        assert min(math.dist(datum.at, p) for _, rim in rims for p in rim) < 1.0
        assert all(h.at[0] > 0 and h.at[1] > 0 for h in machine_holes(stand(name)) if h.what.startswith("machine foot"))


def test_a_head_plate_bears_its_own_datum_and_is_drawn_large():
    column = stand("grinder-column")
    mark = column.shop.piece_of["head plate"]
    assert datum_of(column, rims_under(column)).words == f"left front corner of the head plate ({mark})"
    plate = column.frame.plate("head plate")
    low = plate.outline.min(axis=0)
    holes = [h for h in column.frame.holes if h.owner == "head plate"]
    want = sorted((round(h.centre[0] - low[0], 1), round(h.centre[1] - low[1], 1)) for h in holes)
    assert sorted((round(h.at[0], 1), round(h.at[1], 1)) for h in machine_holes(column)) == want
    view = next(v for v in pages(column, "A3")[0].views if v.name == "top")
    assert view.scale >= 0.5


@pytest.mark.parametrize("name", ["bench-lathe", "grinder-column", "drill-press", "bench-mill"])
def test_the_seat_is_one_page_on_large_paper(name):
    for paper in ("A3", "Tabloid"):
        assert len(pages(stand(name), paper)) == 1
