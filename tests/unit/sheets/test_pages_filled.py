"""Pages of lists, seat, work plan, record and workings: clear of each other and of the frame, and none nearly empty."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.sheets import overlaps
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.blocks import bounds
from framecore.sheets.drawing.dims import outside
from framecore.sheets.lists import cut_sheet, order_sheet, sheet_plans, work_sheet, workings
from framecore.sheets.paper import SIZES, drawing_space, title_box
from framecore.sheets.seat import level_record, seat_sheet

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
LISTS = (cut_sheet, order_sheet, work_sheet, workings)
PICTURES = (sheet_plans, seat_sheet, level_record)
UNITS = ("metric", "inch", "inch decimal")
STEP = 6.0  # mm; a square of paper that ink passes through counts as used


@cache
def made(path, units):
    return evaluate(replace(load_brief(path), units=units))


def drafts(stand, paper, module):
    return module.pages(stand, paper)


def filled(draft, paper):
    """Share of the page's height that some column of it uses, from the top to its lowest ink."""
    x0, y0, x1, y1 = drawing_space(paper)
    low = min(bounds([p])[1] for p in draft.primitives)
    across = {round(k) for p in draft.primitives for k in (bounds([p])[0] // STEP, bounds([p])[2] // STEP)}
    wide = (max(across) - min(across)) * STEP / (x1 - x0)
    return (y1 - low) / (y1 - y0) * min(1.0, max(wide, 0.5))


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_no_page_of_a_list_is_nearly_empty_but_its_last(path, paper):
    for units in UNITS:
        for module in LISTS:
            pages = drafts(made(path, units), paper, module)
            for draft in pages[:-1]:
                assert filled(draft, paper) > 1 / 3, draft.title
            if len(pages) == 1:
                assert filled(pages[0], paper) > 1 / 4, pages[0].title


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_large_paper_holds_the_work_plan_on_few_pages_and_the_cut_plan_on_one(path):
    for units in UNITS:
        assert len(drafts(made(path, units), "A3", work_sheet)) <= 3
        assert len(drafts(made(path, units), "A3", cut_sheet)) == 1


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_nothing_overlaps_or_leaves_its_place(path, units):
    stand = made(path, units)
    for paper in SIZES:
        block, space = title_box(paper), drawing_space(paper)
        for sheet in compose_with([m.pages for m in (*LISTS, *PICTURES)], stand, paper):
            assert overlaps(sheet) == (), f"{paper} {sheet.title}"
            assert outside([p for p in sheet.primitives if p.layer != "frame"], space) == (), f"{paper} {sheet.title}"
        for module in (*LISTS, *PICTURES):
            for draft in module.pages(stand, paper):
                for p in draft.primitives:
                    _, y0, x1, _ = bounds([p])
                    assert not (x1 > block[0] + 0.1 and y0 < block[3] - 0.1), f"{paper} {draft.title}: into the title block"


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_text_ends_and_says_something(path):
    stand = made(path, "metric")
    for module in (*LISTS, *PICTURES):
        for draft in module.pages(stand, "A3"):
            for p in draft.primitives:
                text = getattr(p, "text", "x")
                assert text.strip(), draft.title
                assert not re.search(r"\b(None|nan|inf)\b|  \S+  \S+  \S+  |\( | \)| ;| ,|\{|\}", text), text
                assert not re.search(r"(?<![.\d])1 (bars|pieces|welds|turns|screws|people|sheets|holes)\b", text), text


def test_a_figure_stands_whole_in_its_column():
    """The working of no figure goes on in the next column or page, where its name would be missing."""
    for draft in workings.pages(made(SAMPLES[0], "metric"), "A3"):
        tops = {}
        for p in draft.primitives:
            column = round(p.at[0] // 120)
            if p.at[1] > tops.get(column, (0.0, None))[0]:
                tops[column] = (p.at[1], p)
        assert all(p.bold for _, p in tops.values()), draft.title
