"""Drawings of the seat's small parts: to scale, every mark explained, clear of each other on every paper."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.seat.turned import seat_parts
from framecore.sheets import overlaps
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Text
from framecore.sheets.drawing.turning import Onto, hatch, hollow_screw, phantom
from framecore.sheets.paper import SIZES, drawing_space
from framecore.sheets.parts import screw_parts
from framecore.sheets.seat import seat_sheet
from tests.unit.sheets.handmade import BRIEF, handmade

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
SEATINGS = {
    "bolted down": {},
    "jacking screws": {"jack": 45.0, "screw": "M12"},
    "hollow jacking screws": {"jack": 56.0, "screw": "M20"},
    "shims": {"jack": 12.0},
}


@cache
def seat(sample="bench-lathe", seating="bolted down", units="", projection="first angle"):
    brief = load_brief(SAMPLES[[p.stem for p in SAMPLES].index(sample)])
    brief = replace(brief, mounting=replace(brief.mounting, seating=seating, **SEATINGS[seating]),
                    sheet=replace(brief.sheet, projection=projection), units=units or brief.units)  # fmt: skip
    return evaluate(brief)


def drawn(stand, paper="A3"):
    return compose_with((seat_sheet.pages,), stand, paper)


def page_with(stand, view):
    """The page on which a view is drawn."""
    return next(s for s in drawn(stand) if any(v.name == view for v in s.views))


def clear(sheets, paper):
    for sheet in sheets:
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()
        block = (drawing_space(paper)[2] - 180.0, drawing_space(paper)[1] + 29.0)
        mine = compose_free(sheet)
        for p in mine:
            for x, y in p.points:
                assert not (x > block[0] + 1e-6 and y < block[1] - 1e-6), "nothing lies in the title block"


def compose_free(sheet):
    """Lines of the drawing itself: of layers that frame and title block do not use."""
    return [p for p in sheet.primitives if isinstance(p, Line) and p.layer in ("visible", "hatch")]


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_samples_are_clear(path, paper):
    clear(drawn(seat(path.stem), paper), paper)


@pytest.mark.parametrize("units", ["metric", "inch", "inch decimal"])
@pytest.mark.parametrize("projection", ["first angle", "third angle"])
@pytest.mark.parametrize("seating", SEATINGS)
def test_every_seating_is_clear_in_all_units_on_all_papers(seating, projection, units):
    for paper in SIZES:
        clear(drawn(seat("bench-lathe", seating, units, projection), paper), paper)


def inside(view, p):
    x, y = p
    return view.box[0] <= x <= view.box[2] and view.box[1] <= y <= view.box[3]


@pytest.mark.parametrize("seating", SEATINGS)
def test_dimensions_say_what_they_span(seating):
    for paper in ("A3", "A4"):
        for sheet in drawn(seat("bench-lathe", seating), paper):
            if [v.name for v in sheet.views] == ["top"]:
                continue  # the hole sheet has running sizes
            sizes = [p for p in sheet.primitives if isinstance(p, Dimension)]
            assert sizes
            for d in sizes:
                view = next(v for v in sheet.views if inside(v, d.a))
                along = np.array([math.cos(d.angle), math.sin(d.angle)])
                assert abs((np.array(d.b) - d.a) @ along) / view.scale == pytest.approx(d.value, abs=1e-6)
                assert float(d.text.lstrip("ø")) == pytest.approx(d.value, abs=0.051)


def view_lines(sheet, name, layer="visible"):
    view = next(v for v in sheet.views if v.name == name)
    found = [p for p in sheet.primitives if isinstance(p, Line) and p.layer == layer and all(inside(view, q) for q in p.points)]
    return view, [(np.array(p.points) - view.at) / view.scale for p in found]


@pytest.mark.parametrize("projection", ["first angle", "third angle"])
def test_a_solid_screw_measures_what_it_is(projection):
    stand = seat(seating="jacking screws", projection=projection)
    q = seat_parts(stand.brief, stand.frame, stand.strength).screw
    sheet = page_with(stand, "T1")
    view, lines = view_lines(sheet, "T1")
    body = max(lines, key=len)
    assert np.ptp(body[:, 0]) == pytest.approx(q.length)
    assert np.ptp(body[:, 1]) == pytest.approx(12.0)
    # The flats are on the side that is seen: to the left in first angle, to the right in third.
    ends = body[np.isclose(np.abs(body[:, 1]), q.across_flats / 2)]
    assert len(ends) == 4 and np.ptp(ends[:, 0]) == pytest.approx(q.flats)
    assert np.isclose(ends[:, 0].mean(), q.flats / 2 if projection == "first angle" else q.length - q.flats / 2)
    # Root of the thread: thin lines along it, a thin three-quarter circle from the end.
    _, thin = view_lines(sheet, "T1", "thin")
    assert {round(abs(t[0][1]), 4) for t in thin if abs(t[0][1] - t[1][1]) < 1e-9} == {round(q.thread.root_diameter / 2, 4)}
    arcs = [p for p in sheet.primitives if isinstance(p, Arc) and inside(view, p.centre)]
    assert {(round(a.radius / view.scale, 3), a.layer, round(a.end - a.start, 3)) for a in arcs} == {
        (6.0, "visible", 6.283), (round(q.thread.root_diameter / 2, 3), "thin", 4.712)}  # fmt: skip


def test_a_hollow_screw_is_cut_on_one_side_only():
    stand = seat(seating="hollow jacking screws", projection="third angle")
    q = seat_parts(stand.brief, stand.frame, stand.strength).screw
    _, lines = view_lines(page_with(stand, "T1"), "T1", "hatch")
    points = np.vstack(lines)
    assert points[:, 1].min() == pytest.approx(q.bore / 2, abs=0.01)
    assert points[:, 1].max() == pytest.approx(q.across_flats / 2, abs=0.01)
    shank = points[points[:, 0] < q.length - q.head - 0.01]
    assert shank[:, 1].max() == pytest.approx(10.0, abs=0.01), "hatching runs through to the crest"


def test_the_section_is_at_the_middle_setting_and_to_scale():
    stand = seat(seating="jacking screws")
    parts = seat_parts(stand.brief, stand.frame, stand.strength)
    sheet = page_with(stand, "section")
    _, lines = view_lines(sheet, "section")
    (bolt,), q = parts.bolts, parts.screw
    points = np.vstack(lines)
    under = 45.0 + bolt.foot + bolt.washer.thickness
    assert points[:, 1].min() == pytest.approx(under - bolt.length)
    assert points[:, 1].max() == pytest.approx(under + bolt.head.height)
    # The screws end under the machine's foot, on the block's diagonal; the block reads root two times its side.
    screws = [p for p in lines if len(p) == 10 and np.isclose(np.ptp(p[:, 0]), 12.0)]
    assert [p[:, 1].max() for p in screws] == pytest.approx([45.0, 45.0])
    assert [np.ptp(p[:, 1]) for p in screws] == pytest.approx([q.length, q.length])
    apart = abs(screws[0][:, 0].mean() - screws[1][:, 0].mean())
    block = next(p for p in stand.frame.plates if p.name == "jacking block 1")
    taps = [h.centre for h in stand.frame.holes if h.owner == block.name and h.tapped]
    assert apart == pytest.approx(math.dist(taps[0], taps[1]))
    tops = {round(np.ptp(p[:, 0]), 3) for p in lines if len(p) == 4 and np.isclose(np.ptp(p[:, 1]), 30.0)}
    assert round(50.0 * math.sqrt(2), 3) in tops
    assert "cut along the block's diagonal: widths of tube and block read 1.41 times" in texts(drawn(stand))


def texts(sheets, kind=Text):
    return [p.text for s in sheets for p in s.primitives if isinstance(p, kind)]


@pytest.mark.parametrize("seating", SEATINGS)
def test_every_mark_of_the_section_is_explained(seating):
    stand = seat(seating=seating)
    sheets = drawn(stand)
    marks = [p.text for s in sheets for p in s.primitives if isinstance(p, Leader) and p.circled]
    assert len(marks) == len(set(marks)), "each part once"
    small = {m for m in marks if m.startswith("T")}
    assert small <= set(texts(sheets)), "each is in the table"
    assert {m for m in marks if not m.startswith("T")} <= set(stand.shop.piece_of.values())
    count = {"bolted down": 4, "jacking screws": 6, "hollow jacking screws": 6, "shims": 5}[seating]
    assert len(small) == count


def test_three_lines_of_tightening_suit_the_seating():
    said = {}
    for seating in SEATINGS:
        stand = seat(seating=seating)
        said[seating] = screw_parts.tightening(stand, seat_parts(stand.brief, stand.frame, stand.strength))
        assert len(said[seating]) == 3
        assert "N m" in said[seating][2]
    assert "flats" in said["jacking screws"][1] and "hexagon" in said["hollow jacking screws"][1]
    assert "leaf" in said["shims"][0] and "feeler" not in said["bolted down"][1]
    assert "lbf" in screw_parts.tightening(seat(units="inch"), seat_parts(
        seat(units="inch").brief, seat(units="inch").frame, seat(units="inch").strength))[2]  # fmt: skip


def test_turned_sizes_in_inches_are_true_fractions_or_thousandths():
    found = texts(drawn(seat("bench-mill", units="inch")), Dimension)
    assert "1 3/4" in found, "the sleeve in a 2 in tube of 1/8 in wall"
    assert not any("~" in t for t in texts(drawn(seat("bench-mill", units="inch")), Leader))
    assert "7/8" in [t.lstrip("ø") for t in found], "a sleeve as sold in inches"
    found = texts(drawn(seat("bench-lathe", units="inch")), Dimension)
    assert "2.126" in found, "54 mm between the walls of a 60 mm tube is no fraction"


def test_a_machine_that_rests_has_no_such_sheet():
    assert drawn(seat("surface-plate")) == ()
    assert drawn(seat("workbench")) == ()


def test_a_thin_pad_gets_its_boss_drawn():
    stand = handmade(replace(BRIEF, feet=replace(BRIEF.feet, pad_thickness=4.0)))
    sheets = drawn(stand)
    assert any("boss M12" in t for t in texts(sheets))
    assert "M12 through, tap drill ø10.2" in texts(sheets, Leader)
    assert not any("boss" in t for t in texts(drawn(handmade(BRIEF))))


def test_hatching_stays_inside_and_leaves_holes_free():
    square, hole = [(0, 0), (40, 0), (40, 30), (0, 30)], [(10, 10), (20, 10), (20, 20), (10, 20)]
    lines = hatch(square, 2.0, holes=[hole])
    long = sum(math.dist(*p.points) for p in lines)
    assert long * 2.0 == pytest.approx(40 * 30 - 100, rel=0.03), "spacing times length is the area"
    for p in lines:
        (ax, ay), (bx, by) = p.points
        assert (bx - ax) == pytest.approx(by - ay)
        middle = ((ax + bx) / 2, (ay + by) / 2)
        assert not (10 < middle[0] < 20 and 10 < middle[1] < 20)
    falling = hatch(square, 2.0, falling=True)
    assert all((p.points[1][0] - p.points[0][0]) == pytest.approx(p.points[0][1] - p.points[1][1]) for p in falling)


def test_a_part_may_be_turned_end_for_end():
    stand = seat(seating="hollow jacking screws")
    q = seat_parts(stand.brief, stand.frame, stand.strength).screw
    ahead, back = (hollow_screw(q, Onto(at=(0.0, 0.0), s=1.0, length=k)) for k in (0.0, q.length))
    head = [max(x for p in part if isinstance(p, Line) and p.layer == "visible" for x, y in p.points
                if abs(y - q.across_flats / 2) < 1e-6) for part in (ahead, back)]  # fmt: skip
    assert head == pytest.approx([q.length, q.head])


def test_a_phantom_line_covers_most_of_its_way():
    dashes = phantom([(0.0, 0.0), (50.0, 0.0), (50.0, 20.0)])
    long = sum(math.dist(*p.points) for p in dashes)
    assert 0.6 * 70 < long < 0.8 * 70
    assert max(p.points[1][1] for p in dashes) <= 20.0
