"""Piece sheets measured back from what is drawn: lengths, holes, angles; every piece once."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.sheets import overlaps
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside, text_box
from framecore.sheets.drawing.model import Arc, Dimension, Line, Text
from framecore.sheets.drawing.pens import strokes
from framecore.sheets.paper import SIZES, drawing_space
from framecore.sheets.parts import piece_sheets
from framecore.sheets.parts.piece_data import Cut, angle, shape_of, zones
from framecore.sheets.parts.piece_facing import facing_words
from framecore.sheets.parts.piece_views import aside_of, draw_face

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
NAMES = sorted(p.stem for p in SAMPLES.glob("*.toml"))


@cache
def stand(name):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


@cache
def sheets(name, paper="A3"):
    return compose_with((piece_sheets.pages,), stand(name), paper)


def view_at(sheet, p):
    return next(v for v in sheet.views if v.box[0] <= p[0] <= v.box[2] and v.box[1] <= p[1] <= v.box[3])


def true(sheet, p):
    view = view_at(sheet, p)
    return (np.array(p) - view.at) / view.scale


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_touches_and_nothing_leaves_the_frame(name, paper):
    for sheet in sheets(name, paper):
        assert overlaps(sheet) == ()
        assert outside([p for p in sheet.primitives if p.layer != "frame"], drawing_space(paper)) == ()
        assert min(p.height for p in sheet.primitives if isinstance(p, Text) and p.text) >= 1.8


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_is_drawn_once_with_its_number_and_what_it_becomes(name):
    texts = [p.text for s in sheets(name) for p in s.primitives if isinstance(p, Text)]
    said = " ".join(texts)
    for piece in stand(name).shop.pieces:
        heads = [t for t in texts if t.startswith(f"{piece.mark}   ")]
        assert len(heads) == 1
        assert f"{len(piece.members)} off" in heads[0] and piece.profile.id in heads[0]
        for member in piece.members:
            assert member in said


@pytest.mark.parametrize("name", NAMES)
def test_lengths_at_scale_are_the_pieces_own(name):
    """Over all and along the shortest edge; across a break each end is at scale in its own place."""
    for sheet in sheets(name):
        marks = {v.name.split()[0] for v in sheet.views}
        found = {}
        for d in (p for p in sheet.primitives if isinstance(p, Dimension)):
            value = true(sheet, d.b)[0] - true(sheet, d.a)[0]
            assert value == pytest.approx(d.value, abs=0.01)
            found.setdefault(view_at(sheet, d.a).name.split()[0], []).append(d.value)
        for piece in stand(name).shop.pieces:
            if piece.mark in marks:
                assert max(found[piece.mark]) == pytest.approx(piece.length, abs=0.05)
                if piece.short_length < piece.length - 0.1:
                    assert min(found[piece.mark]) == pytest.approx(piece.short_length, abs=0.05)


@pytest.mark.parametrize("name", ["bench-lathe", "bench-lathe-trestle", "bench-mill", "long-lathe-pedestals"])
def test_holes_lie_where_the_frame_has_them(name):
    whole, seen = stand(name), 0
    for piece in whole.shop.pieces:
        member = whole.frame.member(piece.members[0])
        own = [h for h in whole.frame.holes if h.owner == member.name]
        if not own:
            continue
        sheet = next(s for s in sheets(name) if any(v.name.split()[0] == piece.mark for v in s.views))
        views = [v for v in sheet.views if v.name.split()[0] == piece.mark]
        arcs = [
            (((np.array(p.centre) - v.at) / v.scale)[0], 2 * p.radius / v.scale)
            for p in sheet.primitives if isinstance(p, Arc)
            for v in views if v.box[0] <= p.centre[0] <= v.box[2] and v.box[1] <= p.centre[1] <= v.box[3]
        ]  # fmt: skip
        x = np.array(member.x_axis)
        # Square ends: the left one is where the centroid line begins.
        for h in own:
            along = float((np.array(h.centre) - member.start.point) @ x)
            assert any(abs(a - along) < 0.01 and abs(d - h.diameter) < 0.01 for a, d in arcs)
            assert any(
                abs(d.value - along) < 0.01 for d in sheet.primitives
                if isinstance(d, Dimension) and view_at(sheet, d.a).name.split()[0] == piece.mark
            )  # fmt: skip
            seen += 1
    assert seen


def test_mitres_are_drawn_at_their_angle():
    sheet = sheets("bench-mill")[0]
    view = next(v for v in sheet.views if v.name.startswith("B1"))
    slants = [
        p for p in sheet.primitives
        if isinstance(p, Line) and p.layer == "visible" and len(p.points) == 2
        and all(view.box[0] <= x <= view.box[2] and view.box[1] <= y <= view.box[3] for x, y in p.points)
        and abs(p.points[0][0] - p.points[1][0]) > 2.0 and abs(p.points[0][1] - p.points[1][1]) > 2.0
    ]  # fmt: skip
    assert slants
    for p in slants:
        (ax, ay), (bx, by) = p.points
        assert math.degrees(math.atan2(abs(bx - ax), abs(by - ay))) == pytest.approx(45.0)
    texts = [p.text for p in sheet.primitives if isinstance(p, Text)]
    assert "left end: mitre 45°" in texts and texts.count("45°") == 4


def test_a_compound_cut_shows_two_faces_with_the_angles_of_the_words():
    whole = stand("surface-plate")
    piece = next(p for p in whole.shop.pieces if "tilt" in p.ends[0])
    shape = shape_of(whole.frame, whole.frame.member(piece.members[0]))
    assert [f.side for f in shape.faces] == ["y", "z"]
    assert f"mitre {angle(shape.faces[0].slopes[0]):.3g}°" in piece.ends[0]
    every = [p[0] for f in shape.faces for c in (f.near, f.far) for p in c]
    assert max(every) - min(every) == pytest.approx(piece.length)


def test_what_is_done_to_a_piece_is_said_beside_it():
    texts = " ".join(p.text for p in sheets("bench-lathe")[0].primitives if isinstance(p, Text))
    assert "2 × ø11 through both walls, on the centre line: machine foot." in texts
    assert "Crush sleeve 18 outside, bore 11, 54 long" in texts
    assert "1 more than drawn, which its welds take off again; measure its holes from the middle." in texts
    assert "Vent hole" in texts
    ring = " ".join(p.text for p in sheets("bench-mill")[0].primitives if isinstance(p, Text))
    assert "Grind the outermost corner of both ends" in ring


def test_breaks_keep_ends_and_holes_at_scale_and_fill_the_room():
    z = zones(1000.0, [400.0], 0.2, 150.0, 80.0)
    assert len(z.spans) == 3
    assert 130.0 < z.wide <= 150.0
    for low, high in z.spans:
        assert z.paper(high) - z.paper(low) == pytest.approx((high - low) * 0.2)
    assert z.spans[0][0] == 0.0 and z.spans[0][1] >= 80.0 and z.spans[-1][1] == 1000.0 and z.spans[-1][0] <= 920.0
    assert any(a < 400.0 < b for a, b in z.spans)
    assert zones(1000.0, [], 0.1, 150.0, 80.0).spans == ((0.0, 1000.0),), "what fits is not broken"
    assert zones(1000.0, [], 1.0, 150.0, 80.0) is None


@pytest.mark.parametrize("name", ["surface-plate", "bench-lathe-trestle", "bench-mill"])
def test_the_drawn_ends_lie_in_the_planes_the_frame_cuts_them_with(name):
    frame, slanted = stand(name).frame, 0
    for member in frame.members:
        for face in shape_of(frame, member).faces:
            up = np.array(member.y_axis if face.side == "y" else member.z_axis)
            for end, low, high in ((member.start, 0, 3), (member.end, 1, 2)):
                lean = (face.near[high][0] - face.near[low][0]) / face.high
                assert (up + lean * np.array(member.x_axis)) @ np.array(end.normal) == pytest.approx(0.0, abs=1e-9)
                slanted += abs(lean) > 1e-3
    assert slanted


@pytest.mark.parametrize("name", ["bench-mill", "saw-on-wheels", "workbench"])
@pytest.mark.parametrize("projection", ["first angle", "third angle"])
def test_words_that_stand_beside_short_sizes_stay_in_the_column(name, projection):
    own = stand(name).brief
    told = evaluate(replace(own, units="inch", sheet=replace(own.sheet, projection=projection)))
    for sheet in compose_with((piece_sheets.pages,), told, "Letter"):
        assert overlaps(sheet) == ()
        assert outside([p for p in sheet.primitives if p.layer != "frame"], drawing_space("Letter")) == ()


def test_room_beside_a_view_holds_words_wider_than_the_piece():
    member = stand("bench-mill").frame.members[0]
    hole = Cut(at=(60.0, 10.0), diameter=5.0, depth=99.0, tapped="", slot=(0.0, 0.0), near=True)
    face = replace(shape_of(stand("bench-mill").frame, member).faces[0], cuts=(hole,))
    z = zones(max(p[0] for p in face.near), [], 0.02, 500.0, 10.0)
    left, right = aside_of(face, z, lambda mm: "as long as it happens to be")
    drawn = draw_face(face, z, (0.0, 0.0), lambda mm: "as long as it happens to be", "x", angles=False)[1]
    boxes = [text_box(t) for p in drawn for t in strokes(p) if isinstance(t, Text)]
    assert min(left, right) > 3.0
    assert left == pytest.approx(max(-b[0] for b in boxes))
    assert right == pytest.approx(max(b[2] for b in boxes) - z.wide)


def test_a_piece_drilled_off_its_middle_says_which_way_it_is_fitted():
    """The inner rail carries the machine 35 mm from its right edge, so the lower edge of its drawing is the right one."""
    own = stand("long-lathe-pedestals")
    rail = next(p for p in own.shop.pieces if "top rail inner left" in p.members)
    m = own.frame.member(rail.members[0])
    told = [t for t in piece_sheets.facts(own, rail, m, 0.0) if "the face drawn looks" in t]
    assert told == ["In the stand the face drawn looks up, its lower edge lies to the right, its left end to the front."]
    across = {round(h.centre[0] - m.start.point[0], 3) for h in own.frame.holes if h.owner == m.name}
    assert across == {5.0}  # 80 / 2 - 35, to the right of its middle


def test_a_piece_that_fits_either_way_says_nothing_of_it():
    own = stand("bench-mill")
    for piece in own.shop.pieces:
        told = piece_sheets.facts(own, piece, own.frame.member(piece.members[0]), 0.0)
        assert not [t for t in told if "face drawn" in t]


def test_pieces_of_one_mark_that_lie_otherwise_are_told_apart():
    """The same holes from the other side: the second piece is turned end for end, and said to be."""
    own = stand("long-lathe-pedestals")
    frame = own.frame
    m = frame.member("top rail inner left")
    twin = replace(m, name="twin", start=m.end, end=m.start, y_axis=tuple(-c for c in m.y_axis))
    holes = tuple(replace(h, owner="twin") for h in frame.holes if h.owner == m.name)
    both = replace(frame, members=(*frame.members, twin), holes=(*frame.holes, *holes))
    words = facing_words(both, (m.name, "twin"), shape_of(both, m))
    assert words == ["In the stand the face drawn looks up, its lower edge lies to the right, its left end to the front."]
    other = replace(both, holes=(
        *frame.holes, *(replace(h, centre=(2 * m.start.point[0] - h.centre[0], *h.centre[1:])) for h in holes)
    ))  # fmt: skip
    words = facing_words(other, (m.name, "twin"), shape_of(other, m))
    assert len(words) == 2 and words[0].startswith(f"{m.name}: ") and words[1].startswith("twin: ")


@pytest.mark.parametrize("name", ["long-lathe-pedestals", "saw-on-wheels", "workbench"])
def test_a_third_column_saves_a_page_with_two_pieces_on_it(name):
    """In two columns the last pieces need a page of their own: three hold them all, each as wide as on small paper."""
    (sheet,) = sheets(name)
    heads = {round(p.at[0]) for p in sheet.primitives if isinstance(p, Text) and p.bold and "   1:" in p.text}
    assert len(heads) == 3
    assert len(sheets(name, "A4")) > 1
