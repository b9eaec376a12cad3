"""The composed sheets: nothing touches, nothing leaves the page, views stand where they belong."""

import io
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from framecore.sheets import compose, overlaps, write_dxf, write_pdf
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Text
from framecore.sheets.paper import SIZES, drawing_space, title_box
from framecore.units import parse_length
from tests.unit.sheets.handmade import BRIEF, handmade
from tests.unit.sheets.test_pens import groups

PROJECTIONS = ("first angle", "third angle")
FRAMES = {
    "lathe": BRIEF,
    "small": replace(BRIEF, frame=replace(BRIEF.frame, length=420.0, depth=380.0, shelf="none")),
    "long": replace(BRIEF, frame=replace(BRIEF.frame, length=2600.0, depth=700.0)),
    "low ring off": replace(BRIEF, frame=replace(BRIEF.frame, lower_ring=0.0, shelf="none"),
                            top=replace(BRIEF.top, kind="none")),
}  # fmt: skip


def size_of(dimension):
    """What a dimension says, without the marks of the pieces it leads to."""
    return re.sub(r"(?: [A-Z]\d+,?)+$", "", dimension.text)


@cache
def sheets(name="lathe", paper="A3", projection="first angle"):
    brief = replace(FRAMES[name], sheet=replace(FRAMES[name].sheet, projection=projection))
    return compose(handmade(brief), paper)


def arranged(name="lathe", paper="A3", projection="first angle"):
    """Return the first sheet with the flat views."""
    return next(s for s in sheets(name, paper, projection) if any(v.name == "front" for v in s.views))


@pytest.mark.parametrize("projection", PROJECTIONS)
@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", FRAMES)
def test_no_text_touches_another_or_a_dimension_and_nothing_leaves_the_frame(name, paper, projection):
    for sheet in sheets(name, paper, projection):
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()


@pytest.mark.parametrize("paper", SIZES)
def test_nothing_is_drawn_into_the_title_block(paper):
    box = title_box(paper)
    for sheet in sheets(paper=paper):
        fields = {"Owner", "Title", "No.", "Drawn", "Approved", "Date of issue", "Type", "Sheet", "Scale"}
        texts = [p for p in sheet.primitives if isinstance(p, Text)]
        inside = [t for t in texts if box[0] < t.at[0] < box[2] and box[1] < t.at[1] < box[3]]
        labels = {t.text for t in inside if not t.bold}
        assert fields <= labels and labels <= fields | {"Units", "General tolerances", "–"}


def test_the_check_finds_what_touches():
    sheet = arranged()
    text = next(p for p in sheet.primitives if isinstance(p, Text))
    dim = next(p for p in sheet.primitives if isinstance(p, Dimension))
    for extra in (text, Text(at=dim.base, text="on the line")):
        assert overlaps(replace(sheet, primitives=(*sheet.primitives, extra)))
    far = Text(at=(sheet.size[0] - 3.0, 100.0), text="too far right")
    assert outside((far,), (0.0, 0.0, *sheet.size))


@pytest.mark.parametrize("projection", PROJECTIONS)
def test_views_stand_in_line_and_on_the_side_of_their_projection(projection):
    views = {v.name: v for v in arranged(projection=projection).views}
    side = "left" if projection == "first angle" else "right"
    assert views["front"].at[1] == pytest.approx(views[side].at[1]), "levels are in line"
    assert views["front"].at[0] == pytest.approx(views["top"].at[0]), "the plan is in line"
    assert views[side].at[0] > views["front"].at[0]
    assert (views["top"].at[1] < views["front"].at[1]) == (projection == "first angle")


def view_at(sheet, point):
    """The view a paper point lies in."""
    around = (v for v in sheet.views if v.box[0] <= point[0] <= v.box[2] and v.box[1] <= point[1] <= v.box[3])
    return next(around, sheet.views[0])


@pytest.mark.parametrize("name", FRAMES)
def test_dimensions_say_what_they_span(name):
    for sheet in sheets(name):
        for d in (p for p in sheet.primitives if isinstance(p, Dimension)):
            along = np.array([np.cos(d.angle), np.sin(d.angle)])
            first = last = view_at(sheet, d.a)
            if sheet.title.startswith("Pieces"):
                last = view_at(sheet, d.b)  # a broken piece is a view on either side of its break
            a, b = ((np.array(p) - v.at) / v.scale for p, v in ((d.a, first), (d.b, last)))
            assert abs((b - a) @ along) == pytest.approx(d.value, abs=0.01)
            assert float(size_of(d).lstrip("ø")) == pytest.approx(d.value, abs=0.051)


def test_overall_sizes_are_on_the_arrangement():
    texts = {p.text for p in arranged().primitives if isinstance(p, Dimension)}
    assert {"1000", "1050", "500", "550", "780", "200", "40", "25"} <= texts


@pytest.mark.parametrize("name", FRAMES)
def test_every_piece_is_marked_once(name):
    marks = [p.text for p in arranged(name).primitives if isinstance(p, Leader) and p.circled]
    assert sorted(marks) == sorted(set(handmade(FRAMES[name]).shop.piece_of.values()))


@pytest.mark.parametrize("paper", SIZES)
def test_text_is_large_enough_to_read(paper):
    least = 1.8 if paper in ("A4", "Letter") else 2.5
    for sheet in sheets(paper=paper):
        for p in sheet.primitives:
            if isinstance(p, Text) and p.text:
                # A long title may shrink to its field.
                assert p.height >= (1.8 if p.bold and p.text.startswith(BRIEF.title) else least)


def test_dxf_of_the_arrangement_holds_the_frame_at_true_size():
    stream = io.StringIO()
    write_dxf(arranged(), stream)
    entities = groups(stream.getvalue())
    found = {round(float(e[42][0]), 1) for kind, e in entities if kind == "DIMENSION"}
    assert {1050.0, 1000.0, 550.0, 780.0} <= found
    holes = [float(e[40][0]) for kind, e in entities if kind == "CIRCLE" and e[8] != ["dimension"]]
    assert holes == pytest.approx([5.5] * 4)


@pytest.mark.parametrize("paper", ["A3", "Letter"])
def test_pdf_has_every_page_with_its_number(paper):
    pymupdf = pytest.importorskip("pymupdf")
    stream = io.BytesIO()
    write_pdf(sheets(paper=paper), stream)
    with pymupdf.open(stream=stream.getvalue(), filetype="pdf") as doc:
        assert doc.page_count == len(sheets(paper=paper))
        for n, page in enumerate(doc, 1):
            assert f"{n}/{doc.page_count}" in page.get_text()
            assert page.rect.width * 25.4 / 72 == pytest.approx(SIZES[paper][0], abs=0.05)
        words = "".join(page.get_text() for page in doc)
        assert "Cut list" in words and "machine foot 4" in words and "Weld in moving air" in words


def test_holes_are_circles_in_the_view_from_above():
    sheet = arranged()
    view = next(v for v in sheet.views if v.name == "top")
    arcs = [p for p in sheet.primitives if isinstance(p, Arc)]
    found = [p for p in arcs if p.radius == pytest.approx(5.5 * view.scale)]
    centres = sorted(
        (round((a.centre[0] - view.at[0]) / view.scale, 3), round((a.centre[1] - view.at[1]) / view.scale, 3))
        for a in found
    )
    pattern = np.array(BRIEF.machine.holes)
    want = pattern - (pattern.min(axis=0) + pattern.max(axis=0)) / 2
    assert np.array(centres) == pytest.approx(np.array(sorted(map(tuple, want))))


@pytest.mark.parametrize("paper", SIZES)
def test_long_words_stay_in_their_fields(paper):
    long = "A stand with a name that nobody would want to write by hand on every single sheet of it " * 3
    brief = replace(BRIEF, title=long, sheet=replace(BRIEF.sheet, owner=long, number="1" * 60))
    for sheet in compose(handmade(brief), paper):
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()


@pytest.mark.parametrize("paper", ["Letter", "Tabloid", "A3"])
@pytest.mark.parametrize("units", ["inch", "inch decimal"])
def test_inch_drawings_speak_inches_and_keep_clear(paper, units):
    made = compose(handmade(replace(BRIEF, units=units)), paper)
    texts = {p.text for s in made for p in s.primitives if isinstance(p, Text | Dimension)}
    assert "inch" in texts and "1000" not in texts
    dims = [p for s in made for p in s.primitives if isinstance(p, Dimension)]
    for d in dims:
        assert parse_length(size_of(d).lstrip("~ø"), units) == pytest.approx(d.value, abs=25.4 / 64 + 0.01)
    arranged = next(s for s in made if not s.title.startswith("Cover"))  # a small cover goes on a second page
    assert arranged.scale_text in {f"1:{n}" for n in (1, 2, 4, 8, 12, 16, 24)}
    for sheet in made:
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()


def test_unknown_paper_is_refused_in_words():
    with pytest.raises(ValueError, match=r"A2.*A3, A4, Letter, Tabloid"):
        compose(handmade(), "A2")


def test_hidden_lines_are_drawn_in_the_flat_views_only():
    sheet = arranged()
    box = next(v for v in sheet.views if v.name == "pictorial").box
    hidden = [p for p in sheet.primitives if isinstance(p, Line) and p.layer == "hidden"]
    assert hidden
    assert not any(box[0] < x < box[2] and box[1] < y < box[3] for p in hidden for x, y in p.points)
