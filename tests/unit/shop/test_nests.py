"""Plates from whole sheets."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore import evaluate
from framecore.brief import read_brief
from framecore.brief.model import Brief, Machine
from framecore.errors import CuttingError

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
BASE = Brief(machine=Machine(holes=HOLES))
SHELF = replace(BASE, frame=replace(BASE.frame, shelf="sheet"))


def whole(brief=SHELF, **more):
    return replace(brief, steel=replace(brief.steel, plates_from="whole sheets", **more))


def test_cut_to_size_stays_as_it_was():
    shop = evaluate(SHELF).shop
    assert shop.nests == ()
    assert all(not line.what.startswith("sheet") for line in shop.order)


def test_whole_sheets_are_ordered_and_hold_every_plate():
    brief = whole(sheets_up_to=20.0)
    shop = evaluate(brief).shop
    lines = [line for line in shop.order if line.what.startswith("sheet")]
    assert not [line for line in shop.order if line.what.startswith("plate")]
    assert sum(line.cost for line in lines) == pytest.approx(sum(plan.cost for _, plan in shop.nests))
    for p in shop.plates:
        plan = dict(shop.nests)[p.thickness]
        assert sum(x.mark == p.mark for x in plan.placements) == len(p.names)
    for line, (t, plan) in zip(lines, shop.nests, strict=True):
        sheet = plan.sheets[0]
        assert line.mass == pytest.approx(len(plan.sheets) * sheet.length * sheet.width * t * 7.85e-6)
        assert line.cost == pytest.approx(line.mass * brief.steel.sheet_price_kg)


def test_thick_plate_comes_cut_to_size_unless_such_a_sheet_is_sold():
    from framecore.brief.sheet_kinds import SoldSheet

    shop = evaluate(whole()).shop
    assert [t for t, _ in shop.nests] == [2.0]
    assert [line.what for line in shop.order if "12 mm" in line.what] == ["plate 12 mm"]
    sold = (SoldSheet(length=500, width=300, thickness=12.0, price=31.0), SoldSheet(length=2000, width=1000))
    shop = evaluate(whole(sheets=sold)).shop
    assert [t for t, _ in shop.nests] == [2.0, 12.0]
    (line,) = [line for line in shop.order if line.what == "sheet 12 mm"]
    assert (line.count, line.cost, line.price_assumed) == (1, 31.0, False)


def test_an_inch_brief_gets_sheets_of_feet_and_any_shape_lies_freely():
    shop = evaluate(whole(replace(SHELF, units="inch"), sheets_cut="any shape")).shop
    (_, plan), *_ = shop.nests
    assert plan.sheets[0].length in (2438.4, 1219.2) and plan.sheets[0].width == 1219.2
    assert plan.mode == "free"
    assert any(line.detail.startswith(("96 × 48 in", "48 × 48 in")) for line in shop.order)


def test_a_plate_larger_than_every_sheet_is_said():
    from framecore.brief.sheet_kinds import SoldSheet

    with pytest.raises(CuttingError, match="fits on no sheet"):
        evaluate(whole(sheets=(SoldSheet(length=300, width=200),)))


def test_sheets_are_read_in_either_unit_and_nonsense_is_refused():
    row = '{length = "8 ft", width = "4 ft", thickness = "11 ga", price = 90}'
    (sheet,) = read_brief(f"format = 1\n[steel]\nsheets = [{row}]\n").brief.steel.sheets
    assert (sheet.length, sheet.width, sheet.price) == pytest.approx((2438.4, 1219.2, 90.0))
    assert sheet.thickness == pytest.approx(3.04, abs=0.01)
    for bad, told in (("{length = 2000}", "length, width, thickness, price"), ("{length = 2, width = 1}", "100 mm to 6500 mm")):
        (finding,) = read_brief(f"format = 1\n[steel]\nsheets = [{bad}]\n").findings
        assert (finding.field, told in finding.message) == ("steel.sheets", True)
