"""The drilling template, measured back from the files that are written."""

import io
import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from framecore.brief.model import SheetBrief
from framecore.sheets import overlaps, write_pdf
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.model import Arc, Line, Text
from framecore.sheets.seat.pattern import pattern_of
from framecore.sheets.seat.template import template_pages, template_paper, tiling
from framecore.sheets.seat.template_dxf import write_template_dxf
from framecore.sheets.seat.tiles import LAP, clip, clip_circle, lay
from tests.unit.sheets.handmade import BRIEF, handmade

POINT = 25.4 / 72
HOLES = {
    "lathe": BRIEF.machine.holes,
    "single": ((0.0, 0.0),),
    "square": ((-150.0, -145.0), (-150.0, 145.0), (150.0, -145.0), (150.0, 145.0)),
    "odd": ((-351.5, -92.25), (-340.0, 88.0), (12.0, -80.0), (300.25, 95.0), (322.0, -92.25)),
    "many": tuple((x, y) for x in np.linspace(-420.0, 430.0, 14).tolist() for y in (-150.0, 0.0, 160.0)),
}


@cache
def stand(name="lathe", units="metric"):
    brief = replace(BRIEF, units=units, machine=replace(BRIEF.machine, holes=HOLES[name]),
                    frame=replace(BRIEF.frame, length=1100.0, depth=560.0))  # fmt: skip
    return handmade(brief)


@cache
def pages(name="lathe", paper="A4", units="metric"):
    return template_pages(stand(name, units), paper)


def wanted(name):
    """The brief's holes from the frame's left front corner: the pattern stands in the middle of the ring."""
    given = np.array(HOLES[name])
    return given - (given.min(axis=0) + given.max(axis=0)) / 2 + [550.0, 280.0]


CASES = [(n, p) for n in HOLES for p in ("A4", "Letter")]


@pytest.mark.parametrize(("name", "paper"), CASES)
def test_circles_on_paper_are_the_holes_of_the_brief(name, paper):
    """Circles are read back from the PDF; every hole is found whole, every circle is a hole, in the right place."""
    pymupdf = pytest.importorskip("pymupdf")
    stream = io.BytesIO()
    write_pdf(pages(name, paper), stream)
    want, diameter = wanted(name), stand(name).frame.mounts[0].hole
    found = set()
    with pymupdf.open(stream=stream.getvalue(), filetype="pdf") as doc:
        for sheet, page in list(zip(pages(name, paper), doc, strict=True)):
            if not sheet.views:
                continue
            assert page.rect.width * POINT == pytest.approx(sheet.size[0], abs=0.01)
            (view,) = sheet.views
            assert view.scale == 1.0
            for drawing in page.get_drawings():
                if [i[0] for i in drawing["items"]].count("c") < 4:
                    continue
                box, high = drawing["rect"], page.rect.height
                if abs(box.width * POINT - diameter) > 0.05:
                    continue
                centre = np.array([(box.x0 + box.x1) / 2, high - (box.y0 + box.y1) / 2]) * POINT - view.at
                off = np.hypot(*(want - centre).T)
                assert off.min() < 0.05
                assert box.height * POINT == pytest.approx(diameter, abs=0.05)
                found.add(int(off.argmin()))
    assert found == set(range(len(want)))


@pytest.mark.parametrize(("name", "paper"), CASES)
def test_each_hole_is_whole_on_a_tile_with_its_cross(name, paper):
    want, reach = wanted(name), stand(name).frame.mounts[0].hole / 2 + 3.0
    boxes = [(np.subtract(v.box[:2], v.at), np.subtract(v.box[2:], v.at)) for s in pages(name, paper) for v in s.views]
    for hole in want:
        assert any((low <= hole - reach).all() and (hole + reach <= high).all() for low, high in boxes)


@pytest.mark.parametrize(("units", "length"), [("metric", 100.0), ("inch", 101.6)])
def test_both_rulers_of_every_tile_measure_what_they_say(units, length):
    pymupdf = pytest.importorskip("pymupdf")
    stream = io.BytesIO()
    write_pdf(pages("square", "A4", units), stream)
    says = {"metric": "it must be 100.0 mm", "inch": "it must be 4.000 in"}[units]
    with pymupdf.open(stream=stream.getvalue(), filetype="pdf") as doc:
        for sheet, page in zip(pages("square", "A4", units), doc, strict=True):
            if not sheet.views:
                continue
            text = page.get_text()
            assert text.count(says) == 2
            assert text.count("print at 100 %, no fit to page") == 2
            left, low = sheet.views[0].box[:2]
            lines = [i for d in page.get_drawings() for i in d["items"] if i[0] == "l" and d["width"] > 0.45]
            spans = [(abs(q.x - p.x) * POINT, abs(q.y - p.y) * POINT, p) for _, p, q in lines]
            # Outside of the window there is no other wide line.
            across = [s for s in spans if s[1] < 0.01 and page.rect.height * POINT - s[2].y * POINT < low - 1.0]
            up = [s for s in spans if s[0] < 0.01 and s[2].x * POINT < left - 1.0]
            assert [s[0] for s in across] == [pytest.approx(length, abs=0.01)]
            assert [s[1] for s in up] == [pytest.approx(length, abs=0.01)]


def test_a_viewer_is_told_not_to_scale():
    stream = io.BytesIO()
    write_pdf(pages(), stream)
    assert b"/PrintScaling /None" in stream.getvalue()


def circles_of(page, diameter):
    """Centres of full circles of that diameter on a page of the file, mm from its lower left corner."""
    out = []
    for drawing in page.get_drawings():
        box = drawing["rect"]
        round_ = [i[0] for i in drawing["items"]].count("c") >= 4
        if round_ and abs(box.width * POINT - diameter) < 0.02 and abs(box.height * POINT - diameter) < 0.02:
            out.append(((box.x0 + box.x1) / 2 * POINT, (page.rect.height - (box.y0 + box.y1) / 2) * POINT))
    return np.array(sorted(out)).reshape(-1, 2)


def test_tiles_laid_cross_on_cross_give_the_distances_of_the_brief():
    """Only what is printed counts here: the crosses on the right of one page and on the left of the next."""
    pymupdf = pytest.importorskip("pymupdf")
    stream = io.BytesIO()
    write_pdf(pages("lathe"), stream)
    laid, found = np.zeros(2), []
    with pymupdf.open(stream=stream.getvalue(), filetype="pdf") as doc:
        tiles = list(doc)[1:]
        assert len(tiles) == 4
        for n, page in enumerate(tiles):
            marks = circles_of(page, 3.0)
            if n:
                before = circles_of(tiles[n - 1], 3.0)[-3:]
                step = before[np.argsort(before[:, 1])] - marks[:3][np.argsort(marks[:3, 1])]
                assert np.ptp(step, axis=0) == pytest.approx([0.0, 0.0], abs=0.01)
                laid = laid + step.mean(axis=0)
            found += [laid + c for c in circles_of(page, 11.0)]
    assert len(found) == 4
    order = sorted(found, key=lambda p: (round(p[0]), p[1]))
    want = np.array(sorted(HOLES["lathe"]))
    assert np.array(order) - order[0] == pytest.approx(want - want[0], abs=0.05)


def crosses(sheet):
    """Glue crosses of a tile, from the datum: the small circles about them."""
    (view,) = sheet.views
    arcs = [p for p in sheet.primitives if isinstance(p, Arc) and p.radius == 1.5]
    return {tuple(np.round(np.subtract(a.centre, view.at), 6).tolist()) for a in arcs}


@pytest.mark.parametrize("name", ["lathe", "square", "odd", "many"])
def test_neighbours_share_their_crosses(name):
    tiles = tiling(pattern_of(stand(name)), "A4")
    made = {s.views[0].name: s for s in pages(name) if s.views}
    names = tiles.names()
    pairs = [(names[j][i], names[j][i + 1], 0) for j in range(len(names)) for i in range(len(names[0]) - 1)]
    pairs += [(names[j][i], names[j + 1][i], 1) for j in range(len(names) - 1) for i in range(len(names[0]))]
    assert pairs
    for a, b, k in pairs:
        low = np.maximum(*(np.subtract(made[n].views[0].box[:2], made[n].views[0].at) for n in (a, b)))
        high = np.minimum(*(np.subtract(made[n].views[0].box[2:], made[n].views[0].at) for n in (a, b)))
        assert high[k] - low[k] == pytest.approx(tiles.columns.lap if k == 0 else tiles.rows.lap)
        both = {p for p in crosses(made[a]) & crosses(made[b]) if (low <= p).all() and (p <= high).all()}
        strip = {p for p in crosses(made[a]) if (low <= p).all() and (p <= high).all()}
        assert len(both) == 3 and both == strip
        assert len({round(p[1 - k]) for p in both}) == 3


def test_every_tile_has_a_name_and_the_first_row_its_front():
    made = [s for s in pages("square") if s.views]
    names = [s.views[0].name for s in made]
    assert names == ["A1", "A2", "B1", "B2"]
    for sheet in made:
        texts = [p.text for p in sheet.primitives if isinstance(p, Text)]
        name = sheet.views[0].name
        assert name in texts and f"Tile {name}: row {name[0]}, column {name[1]}" in texts
        assert any("operator side" in t for t in texts) == (name[0] == "A")
        assert sum("lies on here" in t for t in texts) == {"A1": 2, "A2": 1, "B1": 1, "B2": 0}[name]
    plan = [p.text for p in pages("square")[0].primitives if isinstance(p, Text)]
    assert set(names) <= set(plan)
    assert f"– Then measure from hole 2 to hole 3: {math.hypot(300, 290):.1f}." in plan


def is_part(p):
    return isinstance(p, Arc) and p.end - p.start < 6.28


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize(("name", "paper"), CASES)
def test_nothing_touches_and_nothing_leaves_the_paper(name, paper, units):
    for sheet in pages(name, paper, units):
        assert overlaps(sheet) == ()
        whole = [p for p in sheet.primitives if p.layer != "frame" and not is_part(p)]
        assert outside(whole, (4.0, 4.0, sheet.size[0] - 4.0, sheet.size[1] - 4.0)) == ()
        for view in sheet.views:
            for arc in filter(is_part, sheet.primitives):
                turn = np.linspace(arc.start, arc.end, 40)
                points = np.array(arc.centre) + arc.radius * np.column_stack([np.cos(turn), np.sin(turn)])
                assert (points >= np.array(view.box[:2]) - 1e-6).all()
                assert (points <= np.array(view.box[2:]) + 1e-6).all()
            inner = [p for p in sheet.primitives if isinstance(p, Line) and p.layer == "centre"]
            assert outside(inner, view.box) == ()


def test_numbers_diameters_and_distances_are_beside_the_holes():
    texts = [p.text for s in pages("lathe") if s.views for p in s.primitives if isinstance(p, Text)]
    for n, (x, y) in ((1, (235, 190)), (2, (235, 370)), (3, (865, 190)), (4, (865, 370))):
        assert f"{n}   ø11" in texts or {str(n), "ø11"} <= set(texts)
        assert f"x {x}   y {y}" in texts or {f"x {x}", f"y {y}"} <= set(texts)
    assert {"1 – 3:  630", "2 – 4:  630", "1 – 2:  180", "3 – 4:  180"} <= set(texts)


def test_no_machine_no_template():
    for brief in (replace(BRIEF, machine=replace(BRIEF.machine, holes=())),):
        bare = handmade(brief)
        assert template_pages(bare) == ()
        stream = io.StringIO()
        assert write_template_dxf(bare, stream) is False
        assert stream.getvalue() == ""


def test_unknown_paper_is_refused_in_words():
    with pytest.raises(ValueError, match=r"A5.*A3, A4, Letter, Tabloid"):
        template_pages(stand(), "A5")


def test_paper_goes_with_the_units():
    assert template_paper(stand()) == "A4"
    assert template_paper(stand(units="inch")) == "Letter"
    assert template_paper(handmade(replace(BRIEF, sheet=SheetBrief(paper="Tabloid")))) == "Letter"


@pytest.mark.parametrize("name", HOLES)
def test_dxf_holds_the_holes_at_true_size_on_their_layers(name, tmp_path):
    ezdxf = pytest.importorskip("ezdxf")
    path = tmp_path / "template.dxf"
    assert write_template_dxf(stand(name), path)
    doc = ezdxf.readfile(path)
    audit = doc.audit()
    assert not audit.errors and not audit.fixes
    space = doc.modelspace()
    assert {e.dxf.layer for e in space} == {"HOLES", "CENTRES", "OUTLINE", "TEXT"}
    circles = [e for e in space if e.dxftype() == "CIRCLE"]
    assert all(e.dxf.layer == "HOLES" and e.dxf.radius * 2 == pytest.approx(11.0) for e in circles)
    got = np.array(sorted((round(e.dxf.center.x, 6), round(e.dxf.center.y, 6)) for e in circles))
    assert got == pytest.approx(np.array(sorted(map(tuple, np.round(wanted(name), 6).tolist()))))
    assert doc.units == 4, "millimetres"


def test_the_same_stand_gives_the_same_file():
    one, two = io.StringIO(), io.StringIO()
    write_template_dxf(stand(), one)
    write_template_dxf(stand(), two)
    assert one.getvalue() == two.getvalue()


def whole(row, span):
    return any(s <= span[0] + 1e-9 and span[1] <= s + row.window + 1e-9 for s in row.starts)


def test_tiles_are_few_and_a_joint_avoids_the_holes():
    """Three holes over 400 mm on windows of 200 mm: three windows, and no next one begins within a hole."""
    spans = [(0.0, 20.0), (185.0, 205.0), (380.0, 400.0)]
    row = lay(spans, 200.0)
    assert len(row.starts) == 3 and row.lap == LAP
    assert np.diff(row.starts) == pytest.approx([190.0, 190.0])
    for span in spans:
        assert whole(row, span)
        assert not any(span[0] < s < span[1] for s in row.starts[1:])


def test_one_more_tile_is_taken_before_a_hole_is_cut():
    """Two windows would just cover both ends, but their only joint then lies in the middle hole."""
    spans = [(0.0, 20.0), (180.0, 210.0), (370.0, 390.0)]
    row = lay(spans, 200.0)
    assert len(row.starts) == 3 and row.lap == LAP
    assert all(whole(row, s) for s in spans)


def test_holes_close_together_take_a_wider_lap():
    spans = [(12.0 * k, 12.0 * k + 24.0) for k in range(60)]
    row = lay(spans, 178.0)
    assert row.lap == pytest.approx(24.0)
    assert all(whole(row, s) for s in spans)


def test_the_front_edge_is_shown_where_it_costs_no_tile():
    row = lay([(30.0, 60.0)], 200.0, edge=0.0)
    assert len(row.starts) == 1 and row.starts[0] < -4.0
    far = lay([(300.0, 320.0)], 200.0, edge=0.0)
    assert len(far.starts) == 1


def test_what_is_wider_than_a_tile_is_refused():
    with pytest.raises(ValueError, match="cannot show 250 mm whole"):
        lay([(0.0, 250.0)], 200.0)


def test_a_circle_across_a_corner_shows_what_is_inside():
    """A circle of 10 about the corner of the window: a quarter is inside."""
    (arc,) = clip_circle((0.0, 0.0), 10.0, (0.0, 0.0, 50.0, 50.0), "visible")
    assert arc.end - arc.start == pytest.approx(math.pi / 2)
    assert math.cos((arc.start + arc.end) / 2) == pytest.approx(math.sqrt(0.5))
    assert clip_circle((-20.0, 0.0), 10.0, (0.0, 0.0, 50.0, 50.0), "visible") == []
    (full,) = clip_circle((25.0, 25.0), 10.0, (0.0, 0.0, 50.0, 50.0), "visible")
    assert full.end - full.start == pytest.approx(2 * math.pi)


def test_a_line_is_cut_at_the_window():
    assert clip((-10.0, 5.0), (30.0, 5.0), (0.0, 0.0, 20.0, 20.0)) == (pytest.approx((0.0, 5.0)), pytest.approx((20.0, 5.0)))
    assert clip((-10.0, 25.0), (30.0, 25.0), (0.0, 0.0, 20.0, 20.0)) is None
