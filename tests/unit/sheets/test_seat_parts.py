"""Drawings of the drilled plates: sizes and words as the brief asks, clear of each other on every paper."""

import io
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.frame.model import Hole, Plate, PlateRole
from framecore.sheets import general, overlaps, seat_parts, write_dxf
from framecore.sheets.compose import compose_with
from framecore.sheets.dims import outside
from framecore.sheets.model import Arc, Dimension, Leader, Line, Text
from framecore.sheets.paper import SIZES, drawing_space
from framecore.sheets.part import callouts, face_view, part_of
from tests.unit.sheets.handmade import BRIEF, handmade

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
JACKS = ("jacking screws", "hollow jacking screws")


@cache
def sample(path):
    return evaluate(load_brief(path))


@cache
def on_jacks(seating, units="metric"):
    brief = load_brief(SAMPLES[[p.stem for p in SAMPLES].index("bench-lathe")])
    mounting = replace(brief.mounting, seating=seating, jack=45.0, block=50.0, block_height=30.0, screw="M16")
    return evaluate(replace(brief, mounting=mounting, units=units))


def clear(stand, paper):
    for sheet in compose_with((general.pages, seat_parts.pages), stand, paper):
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_no_word_touches_another_and_nothing_is_cut_off(path, paper):
    clear(sample(path), paper)


@pytest.mark.parametrize("units", ["metric", "inch", "inch decimal"])
@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("seating", JACKS)
def test_jacking_blocks_are_clear_too(seating, paper, units):
    clear(on_jacks(seating, units), paper)


def test_a_block_keeps_its_scale_where_sizes_meet_in_the_corner():
    brief = on_jacks(JACKS[0]).brief
    high = evaluate(replace(brief, mounting=replace(brief.mounting, jack=65.0, block_height=45.0)))
    assert "4 off, 45 thick, steel, scale 1:2" in words_of(compose_with((seat_parts.pages,), high, "A4"))


def words_of(sheets, kind=Text):
    return [p.text for s in sheets for p in s.primitives if isinstance(p, kind)]


def test_a_pad_has_its_thread_its_sizes_and_its_count():
    stand = handmade(BRIEF)
    (sheet,) = compose_with((seat_parts.pages,), stand, "A3")
    assert words_of([sheet], Leader) == ["M12 through, tap drill ø10.2, chamfer ø13.2 both sides"]
    values = sorted(p.value for p in sheet.primitives if isinstance(p, Dimension))
    feet = BRIEF.feet
    assert values == pytest.approx(sorted([feet.pad_thickness, feet.pad, feet.pad, feet.pad / 2, feet.pad / 2]))
    assert "4 off, 12 thick, steel, scale 1:1" in words_of([sheet])
    (view,) = sheet.views
    circle = next(p for p in sheet.primitives if isinstance(p, Arc) and p.layer == "visible" and p.radius == 5.1)
    assert np.subtract(circle.centre, view.at) == pytest.approx([30.0, 30.0])


def test_screws_stand_on_the_blocks_diagonal_with_equal_land():
    """Two screws off the bolt where the land to its hole and to the block's side is the same."""
    sheets = compose_with((seat_parts.pages,), on_jacks(JACKS[0]), "A3")
    block, bolt, screw = 50.0, 11.0, 16.0
    values = {round(p.value, 6) for s in sheets for p in s.primitives if isinstance(p, Dimension)}
    first = min(v for v in values if 5.0 < v < 25.0 and v != 12.0)  # 12: the pad's thickness
    off = math.sqrt(2) * (block / 2 - first)
    assert off - (bolt + screw) / 2 == pytest.approx(first - screw / 2, abs=1e-4)
    assert {round(block - first, 6), block / 2, block, 30.0} <= values
    assert {"2 × M16 through, tap drill ø14, chamfer ø17.6 both sides", "ø11"} <= set(words_of(sheets, Leader))


def test_a_hollow_screw_is_one_tapped_hole_in_the_middle():
    sheets = compose_with((seat_parts.pages,), on_jacks(JACKS[1]), "A3")
    pad, block = "M12 through, tap drill ø10.2, chamfer ø13.2", "M16 through, tap drill ø14, chamfer ø17.6"
    assert words_of(sheets, Leader) == [f"{pad} both sides", f"{block} both sides"]


def test_dimensions_say_what_they_span():
    for path in SAMPLES:
        for sheet in compose_with((seat_parts.pages,), sample(path), "A3"):
            for d in (p for p in sheet.primitives if isinstance(p, Dimension)):
                view = next(v for v in sheet.views if v.box[0] <= d.a[0] <= v.box[2] and v.box[1] <= d.a[1] <= v.box[3])
                along = np.array([np.cos(d.angle), np.sin(d.angle)])
                assert abs((np.array(d.b) - d.a) @ along) / view.scale == pytest.approx(d.value, abs=1e-6)


def test_every_drilled_flat_plate_is_drawn_once_and_no_other():
    stand = sample(SAMPLES[[p.stem for p in SAMPLES].index("saw-on-wheels")])
    names = [v.name for s in compose_with((seat_parts.pages,), stand, "A4") for v in s.views]
    labels = {q.mark: q.label for q in stand.shop.plates}
    assert len(names) == len(set(names))
    assert sorted(labels[n] for n in names) == ["block", "bracket", "bracket", "bracket", "pad"]
    rests = sample(SAMPLES[[p.stem for p in SAMPLES].index("surface-plate")])
    assert [q.label for q in rests.shop.plates].count("block") == 1, "its blocks have no holes"
    (sheet,) = compose_with((seat_parts.pages,), rests, "A3")
    assert len(sheet.views) == 1


def test_no_drilled_plate_no_page():
    stand = handmade(BRIEF)
    bare = replace(stand, frame=replace(stand.frame, holes=()))
    assert compose_with((seat_parts.pages,), bare, "A3") == ()


def test_dxf_holds_the_parts_at_true_size(tmp_path):
    ezdxf = pytest.importorskip("ezdxf")
    sheets = compose_with((seat_parts.pages,), on_jacks(JACKS[0]), "A4")
    radii = []
    for sheet in sheets:
        stream = io.StringIO()
        write_dxf(sheet, stream)
        doc = ezdxf.read(io.StringIO(stream.getvalue()))
        audit = doc.audit()
        assert not audit.errors
        radii += [round(e.dxf.radius, 3) for e in doc.modelspace().query("CIRCLE") if e.dxf.layer == "visible"]
    assert sorted(radii) == [5.1, 5.5, 7.0, 7.0]


def plate(outline, **more):
    return Plate(name="p", role=PlateRole.HEAD, thickness=10.0, outline=np.array(outline, dtype=float),
                 origin=(5.0, 7.0, 100.0), u_axis=(0.0, 1.0, 0.0), v_axis=(-1.0, 0.0, 0.0), density=7850.0, **more)  # fmt: skip


def drilled(*holes):
    stand = handmade(BRIEF)
    return replace(stand.frame, holes=tuple(Hole(owner="p", axis=(0.0, 0.0, -1.0), **h) for h in holes))


SQUARE = ((-50, -40), (50, -40), (50, 40), (-50, 40))


def test_places_are_told_in_the_plates_own_axes():
    """u runs along y and v against x: 20 along y and 10 against x from the middle."""
    frame = drilled({"centre": (-5.0, 27.0, 110.0), "diameter": 8.0, "depth": 10.0, "purpose": "a"})
    (hole,) = part_of(frame, plate(SQUARE)).holes
    assert hole.at == pytest.approx((70.0, 50.0))


def test_words_of_slots_blind_holes_and_cut_corners():
    frame = drilled(
        {"centre": (5.0, 7.0, 110.0), "diameter": 10.0, "depth": 10.0, "purpose": "s", "slot": 30.0,
         "slot_axis": (0.0, 1.0, 0.0)},
        {"centre": (15.0, 7.0, 110.0), "diameter": 6.8, "depth": 7.0, "purpose": "t", "tapped": "M8"},
        {"centre": (25.0, 17.0, 110.0), "diameter": 6.0, "depth": 4.0, "purpose": "b"},
    )  # fmt: skip
    cut = ((-50, -40), (40, -40), (50, -30), (50, 40), (-40, 40), (-50, 30))
    part = part_of(frame, plate(cut))
    words = {c.text for c in callouts(part, lambda mm: f"{mm:g}")}
    assert words == {"slot 10 × 40", "M8 7 deep, tap drill ø6.8, chamfer ø8.8", "ø6, 4 deep", "2 × 10 × 45°"}
    arcs = [p for p in face_view(part, (0.0, 0.0), 1.0) if isinstance(p, Arc)]
    ends = sorted(a.centre for a in arcs if a.radius == 5.0)
    assert ends == [pytest.approx((35.0, 40.0)), pytest.approx((65.0, 40.0))]
    for a in arcs:
        if a.radius == 5.0:  # the rounds bulge away from each other
            middle = a.centre[0] + 5.0 * math.cos((a.start + a.end) / 2)
            assert middle == pytest.approx(30.0 if a.centre[0] < 50 else 70.0)
    lines = [p for p in face_view(part, (0.0, 0.0), 1.0) if isinstance(p, Line) and p.layer == "visible"]
    assert {tuple(np.round(p.points, 3).ravel()) for p in lines if len(p.points) == 2} == {
        (35.0, 35.0, 65.0, 35.0), (35.0, 45.0, 65.0, 45.0)}  # fmt: skip
