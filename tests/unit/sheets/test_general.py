"""The general arrangement of every layout: scales, sizes, marks of covered parts, the words that must be seen."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.sheets.assemblies import general
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.hidden import pictorial
from framecore.sheets.drawing.labels import runs_along
from framecore.sheets.drawing.marks import left_off
from framecore.sheets.drawing.model import Dimension, Leader, Line, Text
from framecore.sheets.paper import SIZES, TITLE_WIDTH, drawing_space
from framecore.sheets.words import cautions, notes
from tests.unit.sheets.handmade import BRIEF, handmade

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
ALL = sorted(p.stem for p in SAMPLES.glob("*.toml"))


@cache
def stand(name):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


@cache
def sheet(name, paper="A3"):
    return compose_with((general.pages,), stand(name), paper)[0]


def leaders(drawn):
    box = next(v for v in drawn.views if v.name == "pictorial").box
    marks = [p for p in drawn.primitives if isinstance(p, Leader) and p.circled]
    return [m for m in marks if box[0] < m.points[0][0] < box[2] and box[1] < m.points[0][1] < box[3]]


@pytest.mark.parametrize("name", ["surface-plate", "saw-on-wheels", "grinder-column", "bench-lathe"])
def test_stands_of_a_metre_are_drawn_one_to_ten_on_a3(name):
    assert sheet(name).scale_text == "1:10"


@pytest.mark.parametrize("name", ["surface-plate", "saw-on-wheels"])
def test_words_beside_the_title_block_keep_clear_of_the_view_above_them(name):
    """The last row comes down beside the title block; no view reaches into it or into the cautions."""
    drawn = sheet(name)
    x0, _, x1, _ = drawing_space("A3")
    said = [p for p in drawn.primitives if isinstance(p, Text) and p.at[0] == x0 + 3.0]
    assert [t.text for t in said] == [text for text, _ in cautions(stand(name))]
    top = next(v for v in drawn.views if v.name == "top")
    assert top.box[1] > max(t.at[1] + t.height for t in said)
    assert top.box[2] < x1 - TITLE_WIDTH


@pytest.mark.parametrize("name", ["surface-plate", "saw-on-wheels", "long-lathe-pedestals"])
def test_a_part_that_others_cover_is_dashed_where_its_mark_points(name):
    drawn = sheet(name)
    box = next(v for v in drawn.views if v.name == "pictorial").box
    lines = [p for p in drawn.primitives if isinstance(p, Line) and len(p.points) == 2]
    dashed = [
        np.array(p.points)
        for p in lines
        if p.layer == "hidden" and box[0] < p.points[0][0] < box[2] and box[1] < p.points[0][1] < box[3]
    ]
    solid = [np.array(p.points) for p in lines if p.layer == "visible"]
    assert dashed
    covered = 0
    for mark in leaders(drawn):
        tip = np.array(mark.points[0])
        on_dashed = min(_off(tip, line) for line in dashed) < 0.02
        off = min(_off(tip, line) for line in solid)
        assert on_dashed or (off > 0.9 if mark.dot else off < 0.02), mark.text
        covered += on_dashed
    assert covered


def front_part(stand, view, point):
    """The part nearest to the eye at a point of a view, mm; None where there is none."""
    layout = stand.solids.layout
    gone = [layout.parts.index(n) for n in left_off(stand)]
    faces = layout.faces[~np.isin(layout.face_part, gone)]
    part = layout.face_part[~np.isin(layout.face_part, gone)]
    a, b, c = (view.flat(stand.solids.vertices[faces[:, k]]) for k in range(3))
    depth = (stand.solids.vertices @ view.forward)[faces]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    flat = np.abs(area) > 1e-6
    a, b, c, depth, area, part = a[flat], b[flat], c[flat], depth[flat], area[flat], part[flat]
    v = ((point[0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (point[1] - a[:, 1]) * (c[:, 0] - a[:, 0])) / area
    w = ((b[:, 0] - a[:, 0]) * (point[1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (point[0] - a[:, 0])) / area
    hit = (v >= 0) & (w >= 0) & (v + w <= 1)
    if not hit.any():
        return None
    at = (depth[:, 0] + v * (depth[:, 1] - depth[:, 0]) + w * (depth[:, 2] - depth[:, 0]))[hit]
    return layout.parts[part[hit][int(at.argmin())]]


@pytest.mark.parametrize("name", ALL)
def test_a_dot_lies_on_the_piece_that_its_mark_names(name):
    found = [m for m in leaders(sheet(name)) if m.dot]
    assert len(found) >= 4
    place = next(v for v in sheet(name).views if v.name == "pictorial")
    for mark in found:
        point = (np.array(mark.points[0]) - place.at) / place.scale
        assert stand(name).shop.piece_of[front_part(stand(name), pictorial(), point)] == mark.text


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", ALL)
def test_no_leader_of_a_mark_runs_along_an_edge(name, paper):
    for drawn in compose_with((general.pages,), stand(name), paper):
        lines = [p.points for p in drawn.primitives if isinstance(p, Line) and len(p.points) == 2 and p.layer == "visible"]
        marks = np.array([m.points[:2] for m in drawn.primitives if isinstance(m, Leader)]).reshape(-1, 2, 2)
        assert not runs_along(marks, np.array(lines)).any()


def _off(point, line):
    """Distance of a point from a stretch."""
    a, d = line[0], line[1] - line[0]
    t = np.clip((point - a) @ d / max(d @ d, 1e-12), 0.0, 1.0)
    return float(np.hypot(*(point - a - t * d)))


@pytest.mark.parametrize("name", ["bench-mill", "bench-lathe", "drill-press"])
def test_leaders_come_from_the_side_their_piece_is_nearer_to(name):
    """No leader of a mark on one side runs past the middle of the view when all pieces stand on both sides."""
    found = leaders(sheet(name))
    tips = np.array([m.points[0] for m in found])
    ends = np.array([m.points[-1] for m in found])
    middle = (ends[:, 0].min() + ends[:, 0].max()) / 2
    assert {-1.0, 1.0} == set(np.sign(ends[:, 0] - middle))
    half = (ends[:, 0].max() - ends[:, 0].min()) / 2
    assert (np.abs(tips[:, 0] - ends[:, 0]) < half).all()


def test_sizes_of_a_chain_stand_in_one_lane():
    spans = [p for p in sheet("surface-plate").primitives if isinstance(p, Dimension) and p.text == "393.3"]
    assert len(spans) == 2
    assert spans[0].base[1] == spans[1].base[1]


def test_places_of_the_machine_are_told_where_no_bearer_tells_them():
    texts = {p.text for p in sheet("grinder-column").primitives if isinstance(p, Dimension)}
    assert {"198", "362", "238"} <= texts, "its holes from the left and the front edge"
    texts = [p.text for p in sheet("surface-plate").primitives if isinstance(p, Dimension)]
    assert texts.count("225") == 2, "its blocks from one another"
    assert "300" in texts


def test_what_a_pad_stands_out_by_is_left_to_its_drawing():
    values = {p.value for p in sheet("bench-lathe").primitives if isinstance(p, Dimension)}
    assert min(values) > 10.0
    assert 1200.0 in {round(v, 6) for v in values}


def said(stand):
    return " ".join([t for t, _ in cautions(stand)] + notes(stand))


def test_the_caution_is_of_what_stands_on_it():
    bolted = said(stand("bench-lathe"))
    assert "until the machine is bolted down" in bolted and "holding-down bolt is tight" in bolted
    rests = said(stand("surface-plate"))
    assert "bolt is tight" not in rests and "bolted down" not in rests
    assert "until the load rests on all its places" in rests and "unscrewed" in rests
    bench = said(stand("workbench"))
    assert "bolt is tight" not in bench and "sling the machine" not in bench and "bolted" not in bench
    assert "until all its feet bear" in bench


def test_a_machine_whose_holes_are_not_told_is_bolted_down_all_the_same():
    unknown = handmade(replace(BRIEF, machine=replace(BRIEF.machine, holes=(), mass=120.0)))
    assert not unknown.frame.mounts
    assert "until the machine is bolted down" in said(unknown)


def test_feet_under_their_pads_are_dashed_all_round():
    """A circle's sides are shorter than a dash: joined to one line each, or the covered feet look as if they lay open."""
    hidden = [p for p in sheet("grinder-column").primitives if isinstance(p, Line) and p.layer == "hidden"]
    rings = [p for p in hidden if len(p.points) > 8 and np.allclose(p.points[0], p.points[-1], atol=0.1)]
    assert len(rings) == len(stand("grinder-column").frame.feet)
