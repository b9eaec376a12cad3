"""The sheet for the saw, read back: every piece where the plan has it, to scale, cuts numbered, stops in order."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.cutting.model import Bar, Cut, CutBar
from framecore.sheets.drawing.model import Line, Text
from framecore.sheets.lists.cut_sheet import merchant_line, names_words, pages, setting_words, settings
from framecore.shop.buying import parted
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="long-lathe-pedestals", carry=0.0):
    brief = load_brief(SAMPLES / f"{name}.toml")
    return evaluate(replace(brief, steel=replace(brief.steel, carry=carry)))


def words(value):
    return f"{round(value, 1):g}"


def bar_of(marks, full=2000.0, trim=5.0):
    at, cuts = trim, []
    for mark, length in marks:
        cuts.append(Cut(mark=mark, start=at, length=length))
        at += length + 2.0
    return CutBar(bar=Bar(name="bar", length=full, price=1.0, trim=trim), cuts=tuple(cuts), offcut=full - at)


@pytest.mark.parametrize("paper", ["A3", "Letter"])
def test_pieces_are_drawn_to_one_scale(paper):
    made = stand()
    boxes, longest = [], max(b.bar.length for _, plan in made.shop.plans for b in plan.bars)
    for page in pages(made, paper):
        boxes += [p for p in page.primitives if isinstance(p, Line) and p.closed and p.layer == "visible" and p.fill == 1.0]
    drawn = [b.points[1][0] - b.points[0][0] for b in boxes]
    cuts = [c for _, plan in made.shop.plans for b in plan.bars for c in b.cuts]
    assert len(drawn) == len(cuts)
    scale = drawn[0] / cuts[0].length
    assert drawn == pytest.approx([c.length * scale for c in cuts], abs=1e-6)
    assert longest * scale < 380.0


def test_every_piece_and_every_bar_is_told():
    made = stand()
    texts = [p.text for page in pages(made, "A3") for p in page.primitives if isinstance(p, Text)]
    for p in made.shop.pieces:
        assert p.mark in texts
        assert sum(t.startswith(f"{p.mark}  ") for t in texts) == len(p.members)
    assert sum(t.startswith("bar ") for t in texts) == sum(len(plan.bars) for _, plan in made.shop.plans)
    assert sum("proven cheapest" in t for t in texts) == sum(plan.proven for _, plan in made.shop.plans)


def test_one_stop_for_pieces_of_one_length():
    bar = bar_of([("A1", 500.0), ("A1", 500.0), ("A2", 500.0), ("B1", 300.0)])
    assert [(s.first, s.last, s.stop) for s in settings(bar)] == [(2, 4, 500.0), (5, 5, 300.0)]
    assert setting_words(bar, words) == (
        "cut 1: take 5 off the mill end; 2 to 4: stop at 500, A1 × 2 and A2; 5: stop at 300, B1; left over 187"
    )


def test_a_piece_that_ends_with_the_bar_needs_no_cut():
    bar = bar_of([("A1", 500.0), ("A1", 500.0)], full=1002.0, trim=0.0)
    assert setting_words(bar, words) == "cut 1 and the rest: stop at 500, A1 × 2"


def test_the_merchants_cuts_stand_on_the_sheet():
    made = stand(carry=2400.0)
    said = " ".join(p.text for page in pages(made, "A3") for p in page.primitives if isinstance(p, Text))
    strokes = [p for page in pages(made, "A3") for p in page.primitives if isinstance(p, Line) and p.layer == "cut"]
    count = 0
    for _, plan in made.shop.plans:
        for bar in plan.bars:
            found = parted(bar, plan.kerf, 2400.0)
            count += len(found.cuts)
            assert merchant_line(found, 2400.0, words) in said
    assert len({p.points[0] for p in strokes}) == 3 * count
    assert "have it brought" in merchant_line(None, 2400.0, words)


def test_names_say_once_what_they_begin_with():
    assert names_words(("leg FL", "leg FR", "bearer 1")) == "leg FL, FR; bearer 1"


def test_the_list_and_the_plan_say_what_welding_takes():
    drawn = " ".join(p.text for d in pages(stand("bench-lathe"), "A3") for p in d.primitives if isinstance(p, Text))
    assert "Welds shrink and take the piece back to its finished length" in drawn
    assert "what welds take off is in it" in drawn
    texts = [p for d in pages(stand("bench-lathe"), "A3") for p in d.primitives if isinstance(p, Text)]
    row = next(p.at[1] for p in texts if p.text == "A1")
    told = [p.text for p in sorted(texts, key=lambda p: p.at[0]) if abs(p.at[1] - row) < 0.1]
    piece = stand("bench-lathe").shop.pieces[0]
    assert piece.sawn > piece.length and told[4:6] == [f"{piece.length:g}", f"{piece.sawn:g}"]
    sawn = {c.mark: c.length for _, plan in stand("bench-lathe").shop.plans for b in plan.bars for c in b.cuts}
    assert f"stop at {sawn['A1']:g}" in drawn and sawn["A1"] == piece.sawn


def test_masses_are_pounds_where_sizes_are_inches():
    mill = stand("bench-mill")
    texts = [p.text for d in pages(mill, "Tabloid") for p in d.primitives if isinstance(p, Text)]
    assert "lb each" in texts and "kg each" not in texts
    assert f"{mill.shop.pieces[0].mass / 0.45359237:.2f}" in texts
