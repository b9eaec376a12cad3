"""The table of sheet sizes sold."""

from __future__ import annotations

from dataclasses import astuple

import pytest

from app.inputs.tables import TABLES
from framecore.brief import FIELDS, read_brief
from framecore.brief.sheet_kinds import Sheets, SoldSheet


@pytest.mark.parametrize(
    "cells", [["2000", "1000", "", ""], ["2000", "1000", "3", "75.5"], ["8 ft", "4 ft", "11 ga", "0"]]
)
def test_what_is_typed_is_what_the_brief_reads(cells):
    table = TABLES[Sheets]
    row = table.inward(cells)
    (field,) = [f for f in FIELDS if f.path == "steel.sheets"]
    (sheet,) = field.kind.read([row], "metric")
    assert isinstance(sheet, SoldSheet)
    again = table.inward(table.outward(sheet))
    (back,) = field.kind.read([again], "metric")
    assert astuple(back) == pytest.approx(astuple(sheet), rel=1e-5)  # cells show six digits
    assert table.outward(row)[0] == cells[0]
    text = ", ".join(f"{k} = {v!r}".replace("'", '"') for k, v in row.items())
    assert read_brief(f"format = 1\n[steel]\nsheets = [{{{text}}}]\n").brief.steel.sheets == (sheet,)
