"""Assembly sheets measured back from what is drawn: diagonals, places, marks, all assemblies."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.frame.model import Role
from framecore.sheets import overlaps
from framecore.sheets.assemblies import assembly_sheets
from framecore.sheets.assemblies.assembly_data import view_of
from framecore.sheets.assemblies.assembly_kinds import kinds, likeness
from framecore.sheets.assemblies.assembly_lying import packing, standing_out
from framecore.sheets.assemblies.assembly_words import piece_rows
from framecore.sheets.assemblies.exploded import apart
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.labels import runs_along
from framecore.sheets.drawing.model import Dimension, Leader, Line, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import SIZES, drawing_space
from framecore.stand.work import work_of
from framecore.units import format_length

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
NAMES = sorted(p.stem for p in SAMPLES.glob("*.toml"))


@cache
def stand(name):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


@cache
def sheets(name, paper="A3"):
    return compose_with((assembly_sheets.pages,), stand(name), paper)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", ["bench-mill", "workbench", "saw-on-wheels"])
def test_nothing_touches_and_nothing_leaves_the_frame(name, paper):
    for sheet in sheets(name, paper):
        assert overlaps(sheet) == ()
        assert outside([p for p in sheet.primitives if p.layer != "frame"], drawing_space(paper)) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_assembly_is_named_and_every_piece_marked(name):
    work = work_of(stand(name))
    said = " ".join(p.text for s in sheets(name) for p in s.primitives if isinstance(p, Text) and p.bold).lower()
    rows = {p.text for s in sheets(name) for p in s.primitives if isinstance(p, Text)}
    for number, a in enumerate(work.assemblies, 1):
        assert f"{number} {a.name}" in said.replace("  ", " ")
    circled = {p.text for s in sheets(name) for p in s.primitives if isinstance(p, Leader) and p.circled}
    marks = set(stand(name).shop.piece_of.values())
    assert marks <= rows, "every piece is in a list"
    steel = {p.mark for p in stand(name).shop.pieces}
    assert steel <= circled


@pytest.mark.parametrize("name", ["bench-lathe", "bench-lathe-trestle", "drill-press", "bench-mill"])
def test_diagonals_measure_what_they_say(name):
    """The thin lines at scale are as long as their values, which stand beside them."""
    whole = stand(name)
    first = kinds(whole, work_of(whole))[0].assembly
    wanted = [c.value for c in first.checks if c.kind == "diagonal"]
    sheet = sheets(name)[0]
    view = sheet.views[0]
    found = [
        math.dist(*p.points) / view.scale
        for p in sheet.primitives
        if isinstance(p, Line) and p.layer == "thin" and len(p.points) == 2 and inside(view.box, p.points)
    ]
    for value in wanted:
        assert sum(abs(f - value) < 0.01 for f in found) >= 2
    texts = [p.text for p in sheet.primitives if isinstance(p, Text) and inside(view.box, (p.at,))]
    if whole.brief.units == "metric":
        assert texts.count(f"2 × {round(wanted[0], 1):g}") == 1  # alike: one value for both


def inside(box, points):
    return all(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in points)


@pytest.mark.parametrize(("name", "paper"), [("bench-lathe", "A3"), ("workbench", "A4"), ("long-lathe-pedestals", "A3")])
def test_sizes_at_scale_are_what_they_say(name, paper):
    count = 0
    for sheet in sheets(name, paper):
        for d in (p for p in sheet.primitives if isinstance(p, Dimension)):
            view = next(v for v in sheet.views if inside(v.box, (d.a,)) and "apart" not in v.name)
            along = np.array([np.cos(d.angle), np.sin(d.angle)])
            assert abs((np.array(d.b) - d.a) @ along) / view.scale == pytest.approx(d.value, abs=0.01)
            assert float(d.text.split()[0]) == pytest.approx(d.value, abs=0.051)
            count += 1
    assert count > 12


def test_rails_stand_where_the_frame_has_them():
    """From the feet of the legs to the lower edges of both rails of the first end frame."""
    whole = stand("bench-lathe")
    legs = min(m.start.point[2] for m in whole.frame.members if m.role is Role.LEG)
    wanted = {
        m.start.point[2] - m.profile.height / 2 - legs
        for m in whole.frame.members if m.name in ("top rail left", "lower rail left")
    }  # fmt: skip
    sheet = sheets("bench-lathe")[0]
    values = [p.value for p in sheet.primitives if isinstance(p, Dimension)]
    for value in wanted:
        assert any(abs(v - value) < 1e-6 for v in values)


def test_a_place_names_its_piece_where_the_view_has_no_marks():
    """From above the back lower rail hides under the top one: 480 is its front edge, and the sheet says whose it is."""
    whole = stand("bench-lathe")
    found = {p.text for p in sheets("bench-lathe")[-1].primitives if isinstance(p, Dimension)}
    front = min(m.start.point[1] - m.profile.width / 2 for m in whole.frame.members if m.role is Role.LEG)
    for name in ("lower rail back", "top rail back"):
        m = whole.frame.member(name)
        assert f"{m.start.point[1] - m.profile.width / 2 - front:g} {whole.shop.piece_of[name]}" in found
    assert "520" in found and "1200" in found  # over all: no piece of its own
    flat = {p.text for p in sheets("bench-lathe")[0].primitives if isinstance(p, Dimension)}
    assert all(t.replace(".", "").isdigit() for t in flat)  # there leaders mark the pieces


def test_a_mark_that_does_not_fit_between_the_arrows_is_left_out():
    for name in NAMES:
        for d in (p for s in sheets(name) for p in s.primitives if isinstance(p, Dimension)):
            if d.text.split()[-1] in stand(name).shop.piece_of.values():
                along = np.array([np.cos(d.angle), np.sin(d.angle)])
                long = abs((np.array(d.b) - d.a) @ along)
                assert text_width(d.text, d.height) < long


def test_bearers_are_told_by_the_line_of_the_holes():
    whole = stand("drill-press")
    ring = kinds(whole, work_of(whole))[0]
    assert ring.assembly.name == "top ring"
    over_all = min(c.a[0] for c in ring.assembly.checks)
    values = [p.value for p in sheets("drill-press")[0].primitives if isinstance(p, Dimension)]
    for x in {h.centre[0] for h in whole.frame.holes if h.purpose.startswith("machine foot")}:
        assert any(abs(v - (x - over_all)) < 1e-6 for v in values)


def test_alike_assemblies_share_a_drawing_and_others_do_not():
    whole = stand("bench-lathe")
    work = work_of(whole)
    found = {k.assembly.name: [a.name for _, a, _ in k.alike] for k in kinds(whole, work)}
    assert found["end frame left"] == ["end frame right"]
    mill = stand("bench-mill")
    names = [k.assembly.name for k in kinds(mill, work_of(mill))]
    assert {"top ring", "lower ring"} <= set(names), "bearers are in one of them only"
    a, b = work.assemblies[:2]
    moved = tuple(
        replace(m, start=replace(m.start, point=shifted(m.start.point)), end=replace(m.end, point=shifted(m.end.point)))
        if m.name == "lower rail right" else m
        for m in whole.frame.members
    )  # fmt: skip
    other = replace(whole, frame=replace(whole.frame, members=moved))
    assert likeness(whole, work, a, b) == "like"
    assert likeness(other, work, a, b) == "", "its rail sits 5 mm higher"


def shifted(point):
    return point[0], point[1], point[2] + 5.0


def test_lists_count_the_pieces_and_tell_finished_and_saw_length():
    whole = stand("bench-lathe")
    rows = {r[0]: r for r in piece_rows(whole, work_of(whole).assemblies[0])}
    assert rows["A2"][1] == "2" and rows["A3"][1] == "1" and rows["P1"][1] == "2"
    chain = next(c for c in work_of(whole).chains if "top rail left" in c.members)
    rail, leg = (next(p for p in whole.shop.pieces if p.mark == mark) for mark in ("A3", "A2"))
    assert rows["A3"][3:] == (f"{rail.length:g}", f"{rail.length + chain.leave:g}")
    assert rows["A2"][3:] == (f"{leg.length:g}", f"{leg.length:g}")


def test_the_top_ring_is_seen_as_it_lies_upside_down():
    whole = stand("drill-press")
    ring = next(a for a in work_of(whole).assemblies if a.name == "top ring")
    view = view_of(whole, ring)
    assert view.forward == pytest.approx((0.0, 0.0, 1.0))
    assert view.right == pytest.approx((1.0, 0.0, 0.0))


def test_frames_that_stand_at_no_end_have_their_places():
    """A bench's ring runs out over its left end frame, and a middle frame is told by no measure over all."""
    frame = stand("workbench").frame

    def left(name):
        member = frame.member(name)
        return member.start.point[0] - member.profile.width / 2

    wanted = {round(left(leg) - left("top rail left"), 1) for leg in ("leg FL", "leg FM1")}
    whole = next(s for s in sheets("workbench") if any(isinstance(p, Text) and p.text == "5 Stand" for p in s.primitives))
    told = {round(p.value, 1) for p in whole.primitives if isinstance(p, Dimension) and p.angle == 0.0}
    assert wanted <= told


def test_where_what_is_taken_in_whole_goes_is_told():
    ring = min(m.start.point[2] - m.profile.height / 2 for m in stand("bench-mill").frame.members if "lower rail" in m.name)
    low = min(p.origin[2] for p in stand("bench-mill").frame.plates if p.role == "pad")
    values = [p.value for p in sheets("bench-mill")[-1].primitives if isinstance(p, Dimension)]
    assert any(v == pytest.approx(ring - low, abs=0.5) for v in values), "how high the lower ring is set"
    frame = stand("grinder-column").frame
    column = frame.member("column")
    spine = frame.member("base spine")
    drawn = [p.value for p in sheets("grinder-column")[-1].primitives if isinstance(p, Dimension)]
    left = min(m.start.point[0] - m.profile.width / 2 for m in frame.members if "runner" in m.name)
    front = min(e.point[1] for m in frame.members if "runner" in m.name for e in (m.start, m.end))
    assert any(v == pytest.approx(column.start.point[0] - column.profile.width / 2 - left, abs=0.5) for v in drawn)
    assert any(v == pytest.approx(column.start.point[1] - column.profile.width / 2 - front, abs=0.5) for v in drawn)
    assert any(v == pytest.approx(spine.start.point[1] - spine.profile.width / 2 - front, abs=0.5) for v in drawn)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_no_leader_runs_along_an_edge(name, paper):
    for sheet in sheets(name, paper):
        lines = [p.points for p in sheet.primitives if isinstance(p, Line) and p.layer == "visible" and len(p.points) == 2]
        marks = np.array([m.points[:2] for m in sheet.primitives if isinstance(m, Leader)]).reshape(-1, 2, 2)
        assert not runs_along(marks, np.array(lines).reshape(-1, 2, 2)).any()


def said(name, paper="A3"):
    return " ".join(p.text for s in sheets(name, paper) for p in s.primitives if isinstance(p, Text))


def test_it_is_said_what_places_are_measured_to():
    """Bearers go by their centre line, for the machine's holes lie in it; all else by an edge."""
    (ring,) = (s for s in sheets("drill-press")[:1])
    texts = [p.text for p in ring.primitives if isinstance(p, Text)]
    assert "Places to lower and left edges, of bearers to the centre line; thin: diagonals to measure" in texts
    assert "Places to lower and left edges; thin: diagonals to measure" in texts, "the end frame beside it has no bearer"


def test_a_rail_that_lies_higher_than_the_legs_is_packed_up():
    whole = stand("workbench")
    work = work_of(whole)
    middle, end = (next(a for a in work.assemblies if a.name == n) for n in ("middle frame", "end frame left"))
    leg, rail = (whole.frame.member(n).profile.width for n in ("leg FM1", "stretcher 1"))
    assert packing(whole, middle) == [f"{whole.shop.piece_of['stretcher 1']}: packed up {(leg - rail) / 2:g} off the bars."]
    assert packing(whole, end) == [], "its rail is flush with the outer faces it lies on"
    assert f"packed up {(leg - rail) / 2:g} off the bars" in said("workbench")


def test_how_far_end_plates_stand_out_is_said_side_by_side():
    whole = stand("grinder-column")
    column = next(a for a in work_of(whole).assemblies if a.name == "column")
    tube = whole.frame.member("column").profile.width
    marks, sizes_of = whole.shop.piece_of, {p.mark: (p.length, p.width) for p in whole.shop.plates}
    base, head = (next(marks[p.name] for p in whole.frame.plates if p.role == role) for role in ("base plate", "head plate"))
    (a, b), (c, d) = sizes_of[base], sizes_of[head]
    assert a == b and c > d
    assert standing_out(whole, column) == [
        f"{base} stands out beyond {marks['column']}: {(a - tube) / 2:g} all round.",
        f"{head} stands out beyond {marks['column']}: {(c - tube) / 2:g} left and right, {(d - tube) / 2:g} front and back.",
    ]


def test_pads_that_are_alike_from_the_middle_are_told_once():
    whole = stand("bench-mill")
    last = work_of(whole).assemblies[-1]
    marks = whole.shop.piece_of
    pad = next(p for p in whole.frame.plates if p.role == "pad")
    side = float(np.ptp(pad.outline[:, 0])) - whole.frame.member("leg FL").profile.width
    inside = format_length(side, "inch", unit=False)
    told = f"{marks[pad.name]} stands out beyond {marks['leg FL']}: {inside} inside, 0 outside."
    assert standing_out(whole, last) == [told]


def test_legs_drawn_apart_from_rings_do_not_stand_over_them():
    """Legs that clasp the rings come in from outside: in plan every leg lies clear of the ring, which stays where it is."""
    whole = stand("bench-mill")
    work = work_of(whole)
    moved, groups = apart(whole, work, work.assemblies[-1])
    layout = whole.solids.layout

    def plan(made, name):
        points = made.solids.vertices[layout.vertex_part == layout.parts.index(name)][:, :2]
        return points.min(axis=0), points.max(axis=0)

    rails = [plan(moved, n) for n in groups["lower ring"]]
    low, high = np.min([r[0] for r in rails], axis=0), np.max([r[1] for r in rails], axis=0)
    for leg in ("leg FL", "leg FR", "leg BL", "leg BR"):
        a, b = plan(moved, leg)
        assert ((b < low) | (a > high)).any(), leg
    assert all((plan(whole, n)[0] == plan(moved, n)[0]).all() for n in groups["lower ring"])


def test_brackets_posts_and_slanting_braces_have_their_places():
    whole = stand("saw-on-wheels")
    drawn = [p.value for p in sheets("saw-on-wheels")[-1].primitives if isinstance(p, Dimension)]
    frame = whole.frame
    pads = min(p.origin[2] for p in frame.plates if p.role == "pad")
    left = min(m.start.point[0] - m.profile.width / 2 for m in frame.members if m.role is Role.LEG)
    brackets = [p for p in frame.plates if p.role == "bracket" and "caster" in p.name]
    posts = [m for m in frame.members if m.name.startswith("splash back post")]
    assert brackets and posts
    for value in (*(p.origin[2] - pads for p in brackets), *(m.start.point[0] - m.profile.width / 2 - left for m in posts)):
        assert any(abs(v - value) < 0.01 for v in drawn), value
    bench = stand("workbench")
    layout = bench.solids.layout
    brace = bench.solids.vertices[layout.vertex_part == layout.parts.index("vice brace end")]
    pads = min(p.origin[2] for p in bench.frame.plates if p.role == "pad")
    drawn = [p.value for p in sheets("workbench")[-1].primitives if isinstance(p, Dimension)]
    assert any(abs(v - (brace[:, 2].min() - pads)) < 0.01 for v in drawn), "how high its foot is"
