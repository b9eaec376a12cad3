"""Lists, seat, record and template of an inch packet: every measure is one that its reader can read off a rule or a scale."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from app.cli.lists_xlsx import tables
from framecore import evaluate, load_brief
from framecore.sheets.compose import compose_with
from framecore.sheets.lists import cut_sheet, order_sheet, sheet_plans
from framecore.sheets.seat import level_record, seat_sheet
from framecore.sheets.seat.template import template_pages, template_paper
from framecore.shop._say import in_units

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
SHEETS = (cut_sheet, sheet_plans, order_sheet, seat_sheet, level_record)
# A unit in brackets stands behind one that is read.
METRIC = re.compile(r"\d ?(mm|cm|m|m²|µm|kg|l|kN|N|N m|MPa|litres?|mm/m)\b(?!\))")
EMPTY = re.compile(r"\b(None|nan|inf)\b")


@cache
def made(path, units):
    return evaluate(replace(load_brief(path), units=units))


def said(path, units):
    stand = made(path, units)
    sheets = [*compose_with([s.pages for s in SHEETS], stand), *template_pages(stand, template_paper(stand))]
    texts = [getattr(p, "text", "") for s in sheets for p in s.primitives]
    # Names are as the maker typed them.
    for name in filter(None, (stand.brief.machine.name, stand.brief.title)):
        texts = [t.replace(name, "") for t in texts]
    return texts


@pytest.mark.parametrize("units", ["inch", "inch decimal"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_no_metric_measure_is_left(path, units):
    assert [t for t in said(path, units) if METRIC.search(t) or EMPTY.search(t)] == []


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_the_workbook_tells_what_it_lists_in_inches(path):
    for table in tables(made(path, "inch")):
        if table.name in ("Pieces", "Cut plan", "Order", "Bought"):
            cells = [*(head for head, _ in table.columns), *(c for row in table.rows for c in row if isinstance(c, str))]
            assert [c for c in cells if METRIC.search(c) or c.endswith((" mm", " kg"))] == []


def test_bars_are_ordered_by_the_foot_and_plates_by_their_mark():
    mill = made(next(p for p in SAMPLES if p.stem == "bench-mill"), "inch")
    texts = said(next(p for p in SAMPLES if p.stem == "bench-mill"), "inch")
    assert "240 (20 ft)" in texts
    pad = next(p for p in mill.shop.plates if p.label == "pad")
    assert any(t.startswith(f"{pad.mark}, pad 2 3/4 × 2 3/4 in") for t in texts)
    assert any(t.endswith("cu ft") for t in texts), "gas is sold by the cubic foot"


def test_tube_and_angle_are_asked_for_in_the_usual_grade_of_each():
    """ASTM A500 is a tube's; Gr B yields at 46 ksi, for shaped tube; A36 at 36 ksi (from memory)."""
    mill = next(p for p in SAMPLES if p.stem == "bench-mill")
    told = said(mill, "inch")
    grades = [t for t in told if "usual grade of each form" in t]
    assert len(grades) == 1 and "A500 Gr B, at least 46 ksi" in grades[0] and "A36, at least 36 ksi" in grades[0]
    assert any(t == "equal angle, A36" for t in told) and any(t == "square tube, A500 Gr B" for t in told)
    drill = next(p for p in SAMPLES if p.stem == "drill-press")
    assert not [t for t in said(drill, "metric") if "usual grade" in t], "S235 is every shape's"


def test_inch_bolts_and_nuts_are_of_sae_grades():
    """A grade 5 bolt of SAE J429 goes with a grade 5 nut of SAE J995 (from memory)."""
    told = said(next(p for p in SAMPLES if p.stem == "bench-mill"), "inch")
    assert any(t.startswith("1/2-13 × ") and t.endswith("SAE grade 5") for t in told)
    assert "1/2-13, SAE J995 grade 5" in told
    assert not [t for t in told if "class 8" in t]


def test_texts_of_the_shop_are_told_in_inches():
    assert in_units("lapping 20 mm, rated 4 kN", "metric") == "lapping 20 mm, rated 4 kN"
    assert in_units("lapping 25.4 mm all round", "inch") == "lapping 1 in all round"
    assert in_units("slots 9.525 x 38.1 mm", "inch") == "slots 3/8 × 1 1/2 in"
    assert in_units("2.61 mm off", "inch") == "0.103 in off", "a small size that is no fraction"
    assert in_units("rated 80 kg", "inch") == "rated 176.4 lb"
    assert in_units("1/4 in (6 mm)", "inch") == "1/4 in (6 mm)"
    assert in_units("0.05 mm/m", "inch") == "0.05 mm/m", "a slope is no length"
