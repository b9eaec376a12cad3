"""The first page: what is not good comes first, each with word and shape; what is assumed; every sheet with its page."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.figures.model import Verdict
from framecore.figures.words import quantity
from framecore.sheets import compose, overlaps
from framecore.sheets.drawing.dims import outside, text_box
from framecore.sheets.drawing.model import Line, Text
from framecore.sheets.lists.contents import contents, entries
from framecore.sheets.lists.cover import HEADLINES, key_figures, pages
from framecore.sheets.paper import drawing_space
from framecore.stand import evaluate
from framecore.words.language import speaking

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="bench-lathe"):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


def texts(paper="A3"):
    return [p for page in pages(stand(), paper) for p in page.primitives if isinstance(p, Text)]


def test_what_is_not_good_comes_first_and_nothing_of_it_is_missing():
    found = key_figures(stand())
    bad = [f.id for f in stand().figures.values() if f.verdict in (Verdict.LOOK, Verdict.STOP)]
    assert {f.id for f in found[: len(bad)]} == set(bad)
    ranks = [f.verdict is Verdict.LOOK for f in found[: len(bad)]]
    assert ranks == sorted(ranks), "stops before looks"
    assert [f.id for f in found[len(bad) :]] == [k for k in HEADLINES if k in stand().figures and k not in bad]


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_every_key_figure_has_its_value_and_its_verdict_in_word_and_shape(paper):
    said = [t.text for t in texts(paper)]
    found = key_figures(stand())
    for f in found:
        assert quantity(f.value, f.unit, stand().brief.units) in said
    for verdict, corners in ((Verdict.GOOD, 24), (Verdict.LOOK, 3), (Verdict.STOP, 4)):
        count = sum(f.verdict is verdict for f in found)
        assert said.count(verdict.value) == count
        filled = [
            p for page in pages(stand(), paper) for p in page.primitives
            if isinstance(p, Line) and p.fill == 0.0 and len(p.points) == corners and p.layer == "thin"
        ]  # fmt: skip
        assert len(filled) == count


def test_assumed_values_are_told_with_their_keys_and_typed_ones_are_not():
    said = " ".join(t.text for t in texts())
    assert "(floor.flatness)" in said and "(feet.rating)" in said
    assert "machine.mass" not in said, "it is typed"
    mass = replace(stand(), brief=replace(stand().brief, assumed=stand().brief.assumed | {"machine.mass"}))
    told = " ".join(p.text for page in pages(mass, "A3") for p in page.primitives if isinstance(p, Text))
    assert "(machine.mass)" in told


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_the_list_of_sheets_tells_the_truth(paper):
    made = compose(stand(), paper)
    front = [s for s in made if s.title.startswith("Cover")]
    rows = {p.text: p for s in front for p in s.primitives if isinstance(p, Text)}
    for entry in entries([s.title for s in made]):
        if entry.title in rows and entry.title != "Cover":  # the title block has that word too
            row = rows[entry.title]
            beside = [p.text for s in front for p in s.primitives if isinstance(p, Text) and p.at[1] == row.at[1]]
            assert entry.pages in beside
            assert made[entry.first - 1].title.startswith(entry.title)
    assert ("Build steps, finish, carrying" in rows and "General arrangement" in rows) or paper == "A4"


def test_long_lists_join_and_stay_in_their_box():
    listed = entries([f"{word} {k} end" for word in ("Piece", "Plate") for k in range(40)])
    drawn = contents(listed, (0.0, 0.0, 80.0, 60.0))
    assert outside(drawn, (0.0, 0.0, 80.0, 60.0)) == ()
    assert {"Piece …", "1–40", "Plate …", "41–80"} <= {p.text for p in drawn if isinstance(p, Text)}


@pytest.mark.parametrize("name", ["grinder-column", "saw-on-wheels", "workbench"])
@pytest.mark.parametrize("paper", ["A3", "A4", "Letter", "Tabloid"])
def test_the_cover_keeps_clear(name, paper):
    for s in compose(stand(name), paper):
        if s.title.startswith("Cover"):
            assert overlaps(s) == ()
            assert outside([p for p in s.primitives if p.layer != "frame"], drawing_space(paper)) == ()


@pytest.mark.parametrize("code", ["en", "de"])
def test_a_verdict_ends_within_the_rule_under_it(code):
    """A word of one language may be half as long again in another: the room is that of the longest as it is said."""
    with speaking(code):
        found = list(pages(stand(), "A3")[0].primitives)
        words = [p for p in found if isinstance(p, Text) and p.text in {v.value for v in Verdict} and p.bold]
        lines = [p.points for p in found if isinstance(p, Line) and p.layer == "thin" and len(p.points) == 2]
        rules = [(a[0], b[0]) for a, b in lines if a[1] == b[1]]
        assert words
        for w in words:
            assert text_box(w)[2] <= max(end for start, end in rules if start < w.at[0]) + 0.01
