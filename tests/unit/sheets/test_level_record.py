"""The levelling record: room to write, screws where they are, the figures of the brief's own threads."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.seat.influence import influence
from framecore.seat.record_sheet import record_sheet
from framecore.sheets import SHEETS, overlaps
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import crossings, outside, text_box
from framecore.sheets.drawing.model import Arc, Line, Text
from framecore.sheets.lists import workings
from framecore.sheets.paper import SIZES, drawing_space, title_box
from framecore.sheets.seat import level_record
from framecore.sheets.seat.record_plan import MARK

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))


@cache
def stand_of(sample="bench-lathe", seating="", units="", screw="M16", jack=None):
    brief = load_brief(SAMPLES[[p.stem for p in SAMPLES].index(sample)])
    m = brief.mounting
    m = replace(m, seating=seating or m.seating, screw=screw, jack=m.jack if jack is None else jack)
    return evaluate(replace(brief, mounting=m, units=units or brief.units))


def record(stand, paper="A3"):
    return compose_with((level_record.pages,), stand, paper)


def texts(sheets):
    return [p.text for s in sheets for p in s.primitives if isinstance(p, Text)]


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_samples_are_clear(path, paper):
    clear(record(stand_of(path.stem), paper), paper)


@pytest.mark.parametrize("units", ["metric", "inch", "inch decimal"])
@pytest.mark.parametrize("seating", ["jacking screws", "shims"])
def test_seatings_are_clear_on_all_papers(seating, units):
    for paper in SIZES:
        clear(record(stand_of("bench-lathe", seating, units), paper), paper)


def clear(sheets, paper):
    box = title_box(paper)
    for sheet in sheets:
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()
        for p in inner:
            if isinstance(p, Text) and not box[0] < p.at[0] < box[2]:
                assert p.height >= 2.5
    drafts = level_record.pages(stand_of(), paper)
    for draft in drafts:
        for p in draft.primitives:
            for x, y in p.points if isinstance(p, Line) else ():
                assert not (x > box[0] and y < box[3]), "nothing is drawn into the title block"


def test_it_stands_just_before_the_workings():
    assert SHEETS[-2:] == (level_record.pages, workings.pages)


@pytest.mark.parametrize(
    ("seating", "kind"), [("bolted down", "foot"), ("jacking screws", "mount"), ("shims", "mount")]
)
def test_what_is_turned_is_named_as_the_answers_name_it_and_drawn_where_it_stands(seating, kind):
    stand = stand_of("bench-lathe", seating)
    (sheet,) = record(stand)
    asked = influence(stand.brief, stand.frame, stand.strength)
    assert all(name.startswith(kind) for name in asked.names)
    for name in asked.names:
        assert texts([sheet]).count(name) == 3, "on the plan, to tick, over its column"
    (view,) = sheet.views
    dots = [p.centre for p in sheet.primitives if isinstance(p, Arc) and p.radius == MARK]
    places = (np.array(dots) - view.at) / view.scale
    assert places == pytest.approx(asked.points, abs=1e-6)
    # The name nearest to a screw is its own.
    found = [p for p in sheet.primitives if isinstance(p, Text) and p.text in asked.names]
    words = [p for p in found if view.box[1] < p.at[1] < view.box[3]]
    for name, dot in zip(asked.names, dots, strict=True):
        near = min(words, key=lambda w: abs(w.at[0] + 8.0 - dot[0]) + abs(w.at[1] + 1.25 - dot[1]))
        assert near.text == name


def ruled(sheet):
    """Heights of the rows of the ruled tables: between level lines one under another of one width."""
    lines = [p for p in sheet.primitives if isinstance(p, Line) and len(p.points) == 2]
    rows = {}
    for p in lines:
        (x0, y0), (x1, y1) = p.points
        if abs(y0 - y1) < 1e-9 and x1 - x0 > 100.0:
            rows.setdefault((round(x0, 3), round(x1, 3)), []).append(y0)
    return [a - b for ys in rows.values() for a, b in zip(sorted(ys)[::-1], sorted(ys)[::-1][1:], strict=False)]


@pytest.mark.parametrize("paper", SIZES)
def test_rows_leave_room_for_a_hand(paper):
    gaps = [g for s in record(stand_of("saw-on-wheels"), paper) for g in ruled(s)]
    assert len(gaps) >= 6
    assert min(gaps) >= 8.0
    assert level_record.WRITE >= 8.0


def test_rise_is_that_of_the_thread_that_is_turned():
    assert {"1.750 mm", "0.292 mm", "0.049 mm"} <= set(texts(record(stand_of())))  # M12 foot: 1.75, / 6, / 36
    screws = texts(record(stand_of("bench-lathe", "jacking screws")))
    assert {"2.000 mm", "0.333 mm", "0.056 mm"} <= set(screws) and "1.750 mm" not in screws  # M16
    inch = texts(record(stand_of("bench-mill", "jacking screws", screw="1/2-20")))
    assert {"0.0500 in", "0.0083 in", "0.0014 in"} <= set(inch)
    shims = texts(record(stand_of("bench-lathe", "shims")))
    assert any(t.startswith("Leaves as sold: 2, 1, 0.5") for t in shims) and not any(t.startswith("one turn") for t in shims)


def test_limits_are_the_briefs_own():
    stand = stand_of()
    assert "Good within 0.05 mm/m" in " ".join(texts(record(stand)))
    strict = evaluate(replace(stand.brief, limits=replace(stand.brief.limits, bed_twist=0.02)))
    words = " ".join(texts(record(strict)))
    assert "Good within 0.02 mm/m" in words and "0.05 mm/m" not in words
    assert f"{stand.figures['mount.torque'].value:.3g} N m" in words


def test_stations_lie_over_the_end_rows_of_the_machine():
    stand = stand_of()
    (sheet,) = record(stand)
    (view,) = sheet.views
    starts = [p.points[0] for p in sheet.primitives if isinstance(p, Line) and p.layer == "centre"]
    xs = sorted((x - view.at[0]) / view.scale for x, y in starts if view.box[1] < y < view.box[3])
    mounts = [m.point[0] for m in stand.frame.mounts]
    assert xs == pytest.approx([min(mounts), max(mounts)])


def test_only_a_lathe_has_the_turning_test_and_only_a_bed_a_twist():
    assert "Turning test, no tailstock" in texts(record(stand_of()))
    assert "Turning test, no tailstock" not in texts(record(stand_of("bench-mill")))
    plate = texts(record(stand_of("surface-plate")))
    assert not any("twist, mm/m" in t or "station" in t for t in plate)
    assert not any("Good within" in t for t in plate)


def test_nothing_to_level_no_sheet():
    stand = stand_of()
    bare = replace(stand, brief=replace(stand.brief, machine=replace(stand.brief.machine, mass=0.0)),
                   frame=replace(stand.frame, mounts=()))  # fmt: skip
    assert record(bare) == ()


@pytest.mark.parametrize(
    ("sample", "tables"),
    [
        ("bench-lathe", ["left, as laid"]), ("bench-mill", ["along, as laid", "left, as laid"]),
        ("surface-plate", ["along, as laid", "FL to BR, as laid"]), ("grinder-column", ["along, as laid"]),
    ],
)  # fmt: skip
def test_each_kind_has_the_readings_its_step_asks_for(sample, tables):
    stand = stand_of(sample)
    said = " ".join(texts(record(stand)))
    heads = {"left, as laid", "along, as laid", "FL to BR, as laid"}
    found = {h for h in heads if h in said or h.rpartition(" ")[0] + " laid" in said.replace("as laid", "laid")}
    assert found == set(tables)
    step = " ".join(s.measure for s in stand.work().steps if s.stage == "level")
    for word, head in (("across the bed", "left, as laid"), ("corner to corner", "FL to BR, as laid")):
        assert (word in step) <= (head in tables)
    plain = [r for row in record_sheet(stand.brief, ("foot FL",)) for r in row]
    assert {h for h in heads if h in plain} == set(tables), "the sheet of the command line has the same tables"
    assert ("Twist, bolts tight" in said) == ("left, as laid" in tables)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_no_line_runs_through_the_name_of_a_screw(path, paper):
    for sheet in record(stand_of(path.stem), paper):
        for view in sheet.views:
            lines = [p for p in sheet.primitives if isinstance(p, Line) and p.layer != "frame"]
            names = {n.removeprefix("foot ") for n in level_record.screws_of(stand_of(path.stem))[0]}
            told = [p for p in sheet.primitives if isinstance(p, Text) and p.text.removeprefix("foot ") in names]
            assert sum(view.box[1] < p.at[1] < view.box[3] for p in told) >= len(names)
            for text in told:
                if view.box[1] < text.at[1] < view.box[3] and view.box[0] < text.at[0] < view.box[2]:
                    sides = [(*p.points, p.points[0]) if p.closed else p.points for p in lines]
                    assert crossings(text_box(text), [Line(points=s) for s in sides]) == 0, text.text


def test_a_tripod_is_drawn_as_its_feet_stand_under_its_plate():
    (sheet,) = record(stand_of("surface-plate"))
    (view,) = sheet.views
    inside = [p for p in sheet.primitives if isinstance(p, Line) and p.closed and view.box[1] < p.points[0][1] < view.box[3]]
    feet = sorted((f.base[0], f.base[1]) for f in stand_of("surface-plate").frame.feet)
    spans = [sorted(((x - view.at[0]) / view.scale, (y - view.at[1]) / view.scale) for x, y in p.points) for p in inside]
    assert any(np.allclose(s, feet) for s in spans if len(s) == 3)
    plate = [s for s in spans if len(s) == 4 and np.isclose(np.ptp([x for x, _ in s]), 750.0)]
    assert plate and np.isclose(np.ptp([y for _, y in plate[0]]), 500.0)
