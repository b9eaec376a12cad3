"""Drawings of the plates: sizes and words as the brief asks, clear of each other on every paper."""

import io
import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.frame import _braces
from framecore.frame.model import Hole, Plate, PlateRole
from framecore.sheets import overlaps, write_dxf
from framecore.sheets.assemblies import general
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Text
from framecore.sheets.paper import SIZES, drawing_space
from framecore.sheets.parts import plates
from framecore.sheets.parts.part import callouts, face_view, part_of
from framecore.sheets.parts.plate_cells import deeper

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
JACKS = ("jacking screws", "hollow jacking screws")


@cache
def sample(path):
    return evaluate(load_brief(path))


def named(stem):
    return sample(next(p for p in SAMPLES if p.stem == stem))


@cache
def on_jacks(seating, units="metric"):
    brief = load_brief(SAMPLES[[p.stem for p in SAMPLES].index("bench-lathe")])
    mounting = replace(brief.mounting, seating=seating, jack=45.0, block=50.0, block_height=30.0, screw="M16")
    return evaluate(replace(brief, mounting=mounting, units=units))


def clear(stand, paper):
    for sheet in compose_with((general.pages, plates.pages), stand, paper):
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
    assert "4 off, 45 thick, steel, scale 1:2" in words_of(compose_with((plates.pages,), high, "A4"))


def words_of(sheets, kind=Text):
    return [p.text for s in sheets for p in s.primitives if isinstance(p, kind)]


def drawn(sheets, mark):
    """A plate's view and what lies in its room."""
    sheet, view = next((s, v) for s in sheets for v in s.views if v.name == mark)
    x0, y0, x1, y1 = view.box
    own = []
    for p in sheet.primitives:
        at = {Text: "at", Dimension: "a", Arc: "centre"}.get(type(p))
        x, y = getattr(p, at) if at else p.points[0]
        if x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01:
            own.append(p)
    return view, own


def marked(stand, label):
    return next(q.mark for q in stand.shop.plates if q.label == label)


def test_a_pad_has_its_thread_its_sizes_and_its_count():
    stand = named("bench-lathe")
    feet = stand.brief.feet
    view, own = drawn(compose_with((plates.pages,), stand, "A3"), marked(stand, "pad"))
    assert [p.text for p in own if isinstance(p, Leader)] == ["M12 through, tap drill ø10.2, chamfer ø13.2 both sides"]
    values = sorted(p.value for p in own if isinstance(p, Dimension))
    assert values == pytest.approx(sorted([feet.pad_thickness, feet.pad, feet.pad, feet.pad / 2, feet.pad / 2]))
    texts = [p.text for p in own if isinstance(p, Text)]
    assert "4 off, 12 thick, steel, scale 1:1" in texts
    assert "0.45 kg each; goes into end frame left (2), end frame right (2)" in texts
    circle = next(p for p in own if isinstance(p, Arc) and p.layer == "visible" and p.radius == 5.1)
    assert np.subtract(circle.centre, view.at) == pytest.approx([35.0, 35.0])


def test_screws_stand_on_the_blocks_diagonal_with_equal_land():
    """Two screws off the bolt where the land to its hole and to the block's side is the same."""
    sheets = compose_with((plates.pages,), on_jacks(JACKS[0]), "A3")
    block, bolt, screw = 50.0, 11.0, 16.0
    values = {round(p.value, 6) for s in sheets for p in s.primitives if isinstance(p, Dimension)}
    first = min(v for v in values if 5.0 < v < 25.0 and v != 12.0)  # 12: the pad's thickness
    off = math.sqrt(2) * (block / 2 - first)
    assert off - (bolt + screw) / 2 == pytest.approx(first - screw / 2, abs=1e-4)
    assert {round(block - first, 6), block / 2, block, 30.0} <= values
    assert {"2 × M16 through, tap drill ø14, chamfer ø17.6 both sides", "ø11"} <= set(words_of(sheets, Leader))


def test_a_hollow_screw_is_one_tapped_hole_in_the_middle():
    sheets = compose_with((plates.pages,), on_jacks(JACKS[1]), "A3")
    pad, block = "M12 through, tap drill ø10.2, chamfer ø13.2", "M16 through, tap drill ø14, chamfer ø17.6"
    assert words_of(sheets, Leader) == [f"{pad} both sides", "4 × notch 64 × 64", f"{block} both sides"]


def test_dimensions_say_what_they_span():
    for path in SAMPLES:
        for sheet in compose_with((plates.pages,), sample(path), "A3"):
            for d in (p for p in sheet.primitives if isinstance(p, Dimension)):
                view = next(v for v in sheet.views if v.box[0] <= d.a[0] <= v.box[2] and v.box[1] <= d.a[1] <= v.box[3])
                along = np.array([np.cos(d.angle), np.sin(d.angle)])
                assert abs((np.array(d.b) - d.a) @ along) / view.scale == pytest.approx(d.value, abs=1e-6)


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_plate_is_drawn_once(path, paper):
    """Whatever is drilled or not, steel or wood: each mark has one view and one title."""
    stand = sample(path)
    sheets = compose_with((plates.pages,), stand, paper)
    marks = sorted(q.mark for q in stand.shop.plates)
    names = [v.name for s in sheets for v in s.views]
    assert sorted(n for n in names if " " not in n) == marks
    folded = {q.mark for q in stand.shop.plates if stand.frame.plate(q.names[0]).sheet}
    assert {n.split()[0] for n in names if " " in n} == folded, "only folded sheets have details beside them"
    titles = [p.text for s in sheets for p in s.primitives if isinstance(p, Text) and re.match(r"P\d", p.text)]
    assert sorted(t.split()[0] for t in titles if t.split()[0] not in folded) == [m for m in marks if m not in folded]
    assert {t.split()[0] for t in titles} == set(marks)


def test_no_plate_no_page():
    stand = named("bench-lathe")
    bare = replace(stand, shop=replace(stand.shop, plates=()))
    assert compose_with((plates.pages,), bare, "A3") == ()


def test_dxf_holds_the_parts_at_true_size(tmp_path):
    ezdxf = pytest.importorskip("ezdxf")
    sheets = compose_with((plates.pages,), on_jacks(JACKS[0]), "A4")
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
    return replace(named("bench-lathe").frame, holes=tuple(Hole(owner="p", axis=(0.0, 0.0, -1.0), **h) for h in holes))


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


def test_a_notch_that_a_weld_needs_deeper_is_said_beside_the_plate(monkeypatch):
    monkeypatch.setattr(_braces, "NOTCH_SPARE", -3.0)  # the sheet as if it were cut without regard to fillets
    made = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "long-lathe-pedestals")))
    asked = {w.mark for w in made.work().welds if w.why.startswith("notch the panel")}
    said = " ".join(p.text for d in plates.pages(made, "A3") for p in d.primitives if isinstance(p, Text))
    assert asked
    assert f"notch it deeper than drawn, 4 mm clear of {', '.join(sorted(asked))}" in said
    kinds = [p for p in made.shop.plates if p.label == "panel"]
    told = {name for kind in kinds if deeper(made, kind) for name in kind.names}
    assert told == {"panel inner left", "panel inner right"}  # the others lap no rail that ends there


def test_a_panel_is_drawn_with_the_notch_that_rails_and_welds_need():
    """Legs of 60 under a ring of 80: 20 on the leg, 20 more of the rail, 4 for its fillet; up 20 on the rail and 4."""
    made = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "long-lathe-pedestals")))
    said = " ".join(p.text for d in plates.pages(made, "A3") for p in d.primitives if isinstance(p, Text | Leader))
    assert "2 × notch 44 across × 24 up" in said
    assert "deeper than drawn" not in said and not [w.mark for w in made.work().welds if w.why.startswith("notch")]


def test_a_shelf_is_drawn_and_cut_with_the_notch_its_welds_need():
    """4 mm off the legs: 3 for the foot of the fillet and 1 to spare."""
    made = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "bench-lathe")))
    leg = made.frame.member("leg FL").profile.width
    said = " ".join(p.text for d in plates.pages(made, "A3") for p in d.primitives if isinstance(p, Text | Leader))
    assert f"4 × notch {leg + 4:g} × {leg + 4:g}" in said
    assert "deeper than drawn" not in said and "screws or" not in said


def test_drawings_shrink_where_that_saves_a_page_and_only_there():
    column, bench = (evaluate(load_brief(next(p for p in SAMPLES if p.stem == n))) for n in ("grinder-column", "bench-lathe"))
    (page,) = plates.pages(column, "A3")
    assert len(page.views) == 4, "at the size aimed at they would take two pages"
    (page,) = plates.pages(bench, "A3")
    assert max(v.scale for v in page.views) == 1.0
