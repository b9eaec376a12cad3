"""An inch packet reads inches: no millimetre stands where a rule or a tin in the other system would be needed."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.catalogue import thread
from framecore.sheets.assemblies import assembly_sheets, general
from framecore.sheets.compose import compose_with
from framecore.sheets.lists import cover, work_sheet
from framecore.sheets.parts import piece_sheets, plates
from framecore.sheets.parts.part import drill_words
from framecore.sheets.welds import weld_map
from framecore.sheets.words import length_words
from framecore.units import format_weld

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
SHEETS = (cover, general, assembly_sheets, piece_sheets, plates, weld_map, work_sheet)
METRIC = re.compile(r"\d ?(mm|cm|m|m²|µm|kg|l|litres?|mm/m)\b(?!\))")


@cache
def said(path, units):
    """Every text, but for the names that were typed into the brief."""
    brief = load_brief(path)
    made = evaluate(replace(brief, units=units))
    typed = (brief.machine.name, brief.title, "two 200 mm wheels")  # a name may be broken over two lines
    sheets = compose_with([s.pages for s in SHEETS], made, "Tabloid")
    texts = [getattr(p, "text", "") for s in sheets for p in s.primitives]
    for name in filter(None, typed):
        texts = [t.replace(name, "") for t in texts]
    return texts


@pytest.mark.parametrize("units", ["inch", "inch decimal"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_no_metric_measure_is_left(path, units):
    drill = re.compile(r"tap drill ø[\d.]+ mm")  # a metric thread is tapped after a drill that is bought in millimetres
    left = [t for t in said(path, units) if METRIC.search(drill.sub("", t))]
    assert not left


def test_a_metric_packet_has_no_inches():
    for path in SAMPLES:
        if load_brief(path).units == "metric":
            left = [t for t in said(path, "metric") if re.search(r"\d ?(in|ft|lb|lbf|ft²|mil|US)\b(?! all)", t)]
            assert not left


def test_drills_are_named_as_they_are_bought():
    """27/64 in for 1/2-13 UNC (ASME B1.1 tap drill tables, from memory): a sixteenth off would strip the thread."""
    mill = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "bench-mill")))
    words = length_words(mill)
    assert drill_words(thread("1/2-13"), words) == "27/64"
    assert drill_words(thread("M12"), words) == "10.2 mm"
    lathe = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "bench-lathe")))
    assert drill_words(thread("M12"), length_words(lathe)) == "10.2"


def test_weld_legs_are_sixteenths_never_smaller_than_meant():
    assert [format_weld(mm, "inch") for mm in (3.0, 5.0, 6.0, 8.0)] == ["1/8 in", "3/16 in", "1/4 in (6 mm)", "5/16 in"]
    assert [format_weld(mm, "inch") for mm in (4.2, 3.7, 6.35)] == ["3/16 in (4.2 mm)", "3/16 in (3.7 mm)", "1/4 in"]
    assert (format_weld(4.2, "metric"), format_weld(3.0, "metric")) == ("4.2 mm", "3 mm")
    assert format_weld(3.175, "inch decimal") == "0.125 in"
