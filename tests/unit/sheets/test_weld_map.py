"""The weld map: every weld numbered once, beads where the seams are, words clear on every paper."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.sheets import overlaps
from framecore.sheets.assemblies.assembly_data import seen_from, view_of
from framecore.sheets.assemblies.assembly_kinds import kinds, likeness
from framecore.sheets.assemblies.part_views import along
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.labels import runs_along
from framecore.sheets.drawing.model import Leader, Line, Text
from framecore.sheets.paper import SIZES, drawing_space, title_box
from framecore.sheets.welds import weld_map
from framecore.sheets.welds.spots import Field, place
from framecore.sheets.welds.weld_choice import views_of
from framecore.sheets.welds.weld_map import grouped
from framecore.sheets.welds.weld_seams import stitches
from framecore.sheets.welds.weld_table import all_round, groups, number_words, sign_of
from framecore.sheets.welds.weld_views import BEAD
from framecore.shop.work import Weld
from framecore.stand.work import work_of
from tests.unit.sheets.test_labels import crossing

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
NAMES = [p.stem for p in SAMPLES]


@cache
def stand(name="bench-lathe", units="", symbols=""):
    brief = load_brief(SAMPLES[NAMES.index(name)])
    brief = replace(brief, units=units or brief.units)
    return evaluate(replace(brief, welding=replace(brief.welding, symbols=symbols or brief.welding.symbols)))


@cache
def drawn(name="bench-lathe", paper="A3", units="", symbols=""):
    return compose_with((weld_map.pages,), stand(name, units, symbols), paper)


def clear(sheets, paper):
    block = title_box(paper)
    for sheet in sheets:
        assert overlaps(sheet) == ()
        inner = [p for p in sheet.primitives if p.layer != "frame"]
        assert outside(inner, drawing_space(paper)) == ()
        for p in inner:
            if isinstance(p, Line) and p.layer in ("visible", "hidden"):
                assert not any(x > block[0] + 0.01 and y < block[3] - 0.01 for x, y in p.points), "title block"


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_touches_and_nothing_leaves_the_page(name, paper):
    clear(drawn(name, paper), paper)


@pytest.mark.parametrize("name", ["bench-mill", "saw-on-wheels", "workbench"])
def test_inches_and_american_symbols_are_clear_too(name):
    for paper in ("Letter", "Tabloid"):
        clear(drawn(name, paper, "inch", "AWS A2.4"), paper)
    words = {p.text for s in drawn(name, "Tabloid", "inch", "AWS A2.4") for p in s.primitives if isinstance(p, Text)}
    assert "GMAW" in words and "135" not in words and not any(w.startswith("z") and w[1:2].isdigit() for w in words)


def numbered(sheet):
    """Numbers in circles: texts centred on a white ring of twenty corners."""
    rings = [p for p in sheet.primitives if isinstance(p, Line) and p.fill == 1.0 and len(p.points) == 20]
    middles = {tuple(round(float(v), 3) for v in np.mean(p.points, axis=0)) for p in rings}
    texts = [p for p in sheet.primitives if isinstance(p, Text) and p.align == "centre"]
    return [t.text for t in texts if (round(t.at[0], 3), round(t.at[1] + t.height / 2, 3)) in middles]


@pytest.mark.parametrize("name", NAMES)
def test_every_weld_of_an_assembly_has_its_number_once(name):
    work = work_of(stand(name))
    want = Counter()
    for g in grouped(stand(name), work):
        want += Counter(str(w.order) for w in g.seams.welds)
    found = Counter(t for sheet in drawn(name)[1:] for t in numbered(sheet))
    assert found == want


@pytest.mark.parametrize("name", NAMES)
def test_every_weld_is_drawn_by_its_own_assembly_or_its_twin(name):
    work = work_of(stand(name))
    shown = [n for g in grouped(stand(name), work) for n in (g.one.name, *(t for t, _ in g.twins))]
    assert sorted(shown) == sorted({w.assembly for w in work.welds})
    for g in grouped(stand(name), work):
        for twin, _ in g.twins:
            own = sorted((w.mark, w.order) for w in work.welds if w.assembly == twin)
            assert own == sorted((w.mark, w.order) for w in g.seams.welds)


def test_what_is_alike_and_what_is_a_mirror_image_is_said_as_on_the_assembly_sheets():
    (ends,) = (g for g in grouped(stand(), work_of(stand())) if g.one.name == "end frame left")
    assert ends.twins == (("end frame right", "like"),), "turned over it has every piece and every weld in the same place"
    for name in NAMES:
        work = work_of(stand(name))
        welded = {g.one.name: g.twins for g in grouped(stand(name), work)}
        assert welded == {
            k.assembly.name: tuple((a.name, how) for _, a, how in k.alike)
            for k in kinds(stand(name), work) if k.assembly.name in welded
        }  # fmt: skip


def test_a_frame_whose_front_leg_is_welded_otherwise_is_a_mirror_image_only():
    """The same pieces front and back, but another weld under the front legs: turned over it would come under the back one."""
    made = stand()
    work = work_of(made)
    left, right = (next(a for a in work.assemblies if a.name == f"end frame {side}") for side in ("left", "right"))
    assert likeness(made, work, left, right) == "like"
    front = {"leg FL", "leg FR"}
    pads = {p.name for p in made.frame.plates if p.role == "pad"}
    other = tuple(
        replace(w, mark="W99") if set(w.parts) & front and set(w.parts) & pads else w for w in work.welds
    )  # fmt: skip
    assert sum(w.mark == "W99" for w in other) == 2
    assert likeness(made, replace(work, welds=other), left, right) == "mirror"


@pytest.mark.parametrize("name", NAMES)
def test_the_flat_view_lies_as_on_the_assembly_sheet(name):
    made = stand(name)
    work = work_of(made)
    for g in grouped(made, work):
        if g.one.flat is not None:
            flat = views_of(made, work.assemblies, g.one, g.seams)[0]
            assert flat.seen.view == view_of(made, g.one)
            assert flat.label.startswith(seen_from(g.one, flat.seen.view))


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_no_leader_runs_along_an_edge(name, paper):
    for sheet in drawn(name, paper)[1:]:
        lines = [p.points for p in sheet.primitives if isinstance(p, Line) and p.layer == "visible" and len(p.points) == 2]
        marks = np.array([m.points[:2] for m in sheet.primitives if isinstance(m, Leader)]).reshape(-1, 2, 2)
        assert not runs_along(marks, np.array(lines).reshape(-1, 2, 2)).any()


@pytest.mark.parametrize("name", NAMES)
def test_marks_are_labelled_once_a_view_and_leaders_do_not_cross(name):
    for sheet in drawn(name)[1:]:
        for view in sheet.views:
            x0, y0, x1, y1 = view.box
            every = [p for p in sheet.primitives if isinstance(p, Leader)]
            leaders = [p for p in every if x0 <= p.points[0][0] <= x1 and y0 <= p.points[0][1] <= y1]
            assert max(Counter(p.text for p in leaders).values(), default=1) == 1
            for a, b in combinations(leaders, 2):
                assert not crossing(a.points[:2], b.points[:2])


@pytest.mark.parametrize("name", ["bench-lathe", "saw-on-wheels", "surface-plate"])
def test_beads_lie_on_the_seams(name):
    """Every bar's middle line lies on the projection of a run of its page's assembly."""
    made = stand(name)
    work = work_of(made)
    for g in grouped(made, work):
        title = f"{g.one.name}"
        pages = [s for s in drawn(name)[1:] if title in s.title.lower() and (title != "stand" or "the stand" in s.title)]
        bars = 0
        for sheet in pages:
            middles = np.array([m for line in sheet.primitives for m in middle(line)]).reshape(-1, 4)
            for seen in views_of(made, work.assemblies, g.one, g.seams):
                for v in (v for v in sheet.views if v.name == seen.seen.view.name):
                    a, b = (seen.seen.view.flat(p) * v.scale + np.array(v.at) for p in (g.seams.starts, g.seams.ends))
                    for k, spans in enumerate(seen.sight):
                        for s, e in spans:
                            want = np.hstack([a[k] + (b[k] - a[k]) * s, a[k] + (b[k] - a[k]) * e])
                            bars += bool((np.abs(middles - want).max(axis=1) < 1e-6).any())
        assert bars >= min(len(g.seams.welds), 3)


def middle(line):
    """Middle line (x, y, x, y) of a bead in sight; nothing for other primitives."""
    if isinstance(line, Line) and line.fill == 0.0 and len(line.points) == 4:
        c = np.array(line.points)
        if abs(math.dist(c[0], c[3]) - BEAD) < 1e-6:
            yield (*(c[0] + c[3]) / 2, *(c[1] + c[2]) / 2)


def test_a_seam_behind_a_plate_is_not_in_sight_and_one_on_the_near_face_is():
    made = stand()
    work = work_of(made)
    g = next(g for g in grouped(made, work) if g.one.name == "end frame left")
    flat = views_of(made, work.assemblies, g.one, g.seams)[0]
    towards = -flat.seen.view.forward
    found = 0
    for k, w in enumerate(g.seams.of):
        for faces, run in zip(g.seams.welds[w].faces, g.seams.welds[w].runs, strict=True):
            out = np.add(*faces) / np.linalg.norm(np.add(*faces))
            if not np.allclose(np.array(run[0]) + 0.4 * out, g.seams.starts[k]):
                continue
            if abs(out @ towards) > 0.5:
                found += 1
                assert bool(flat.sight[k]) is bool(out @ towards > 0.5), "open side to the eye or to the bench"
    assert found > 8


@pytest.mark.parametrize(("length", "count"), [(40.0, 1), (60.0, 2), (175.0, 2), (176.0, 3), (1080.0, 9)])
def test_stitches_run_from_end_to_end_no_further_apart_than_the_pitch(length, count):
    found = stitches(length, 25.0, 150.0)
    assert len(found) == count
    assert all((e - s) * length == pytest.approx(25.0) for s, e in found)
    if count > 1:
        assert found[0][0] == 0.0 and found[-1][1] == pytest.approx(1.0)
        steps = np.diff([s * length for s, _ in found])
        assert steps == pytest.approx(steps[0]) and steps[0] <= 150.0 + 1e-9
    assert stitches(length, 0.0, 0.0) == [(0.0, 1.0)]


def weld(runs, **more):
    face = ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
    values = {"mark": "W1", "joint": "j", "parts": ("a", "b"), "kind": "fillet", "leg": 3.0, "throat": 2.1, "length": 1.0}
    values |= more
    return Weld(runs=tuple(runs), faces=(face,) * len(runs), **values)


SQUARE = [((4, 0, 0), (46, 0, 0)), ((50, 46, 0), (50, 4, 0)), ((4, 50, 0), (46, 50, 0)), ((0, 46, 0), (0, 4, 0))]


def test_all_round_is_a_closed_ring_of_continuous_seams():
    assert all_round(weld(SQUARE)) and sign_of(weld(SQUARE), "TIG").all_round
    assert not all_round(weld(SQUARE[:3])) and not all_round(weld(SQUARE, stitch=25.0, pitch=150.0))
    gap = weld([((0, 0, 0), (50, 0, 0)), ((90, 0, 0), (90, 50, 0)), ((90, 50, 0), (0, 5, 0))])
    assert not all_round(gap), "the ring is open in the middle of the chain"
    assert not all_round(weld([((0, 0, 0), (50, 0, 0)), ((0, 50, 0), (50, 50, 0)), ((25, 0, 50), (25, 50, 50))]))


def test_sign_says_what_is_set_out():
    sign = sign_of(weld([((0, 0, 0), (400, 0, 0))], stitch=25.0, pitch=150.0), "TIG")
    assert (sign.count, sign.stitch, sign.pitch, sign.size) == (4, 25.0, pytest.approx(125.0), 3.0)
    sign = sign_of(weld([((0, 0, 0), (400, 0, 0)), ((0, 9, 0), (800, 9, 0))], stitch=25.0, pitch=150.0), "TIG")
    assert sign.count == 0 and sign.pitch <= 150.0
    assert sign_of(weld(SQUARE, kind="butt", leg=0.0), "TIG").size == 0.0


def test_numbers_read_as_ranges():
    assert number_words([1, 2, 3, 5, 8, 7, 9, 12, 13]) == "1–3, 5, 7–9, 12, 13"


def test_groups_come_in_order_of_their_marks():
    marks = list(groups([weld(SQUARE, mark=m) for m in ("W10", "W2", "W1", "W2")]))
    assert marks == ["W1", "W2", "W10"]


@pytest.mark.parametrize("normal", [(0, 0, 1), (0, 0, -1), (1, 0, 0), (-1, 0, 0), (0, -1, 0), (0.0, -0.997, 0.0774)])
def test_looking_along_a_normal_keeps_hands(normal):
    view = along(normal)
    n = np.array(normal) / np.linalg.norm(normal)
    assert np.cross(view.right, view.up) == pytest.approx(n), "the eye is on the normal's side, nothing is mirrored"
    assert view.up[2] > 0.9 or abs(n[2]) > 0.9


def test_numbers_keep_apart_and_in_bounds():
    ground = Field(bounds=(0.0, 0.0, 60.0, 60.0), lines=np.zeros((0, 4)), beads=np.array([[20.0, 30.0, 40.0, 30.0]]))
    ground.keep.append(((30.0, 30.0), (60.0, 34.0)))
    found = [place(ground, (30.0 + 0.2 * k, 30.0), 2.6) for k in range(12)]
    assert None not in found
    for a, b in combinations(found, 2):
        assert math.dist(a, b) > 5.2
    for x, y in found:
        assert 2.6 < x < 57.4 and 2.6 < y < 57.4
        assert abs((y - 30.0) * 30.0 - (x - 30.0) * 4.0) / math.hypot(30.0, 4.0) > 2.6 or x < 30.0


def test_no_room_is_said():
    ground = Field(bounds=(0.0, 0.0, 5.0, 5.0), lines=np.zeros((0, 4)), beads=np.zeros((0, 4)))
    assert place(ground, (2.5, 2.5), 2.6) is None


def test_first_page_says_what_to_buy_and_what_hurts():
    made = stand()
    work = work_of(made)
    words = " ".join(p.text for p in drawn()[0].primitives if isinstance(p, Text))
    assert f"{work.filler.bought:.2f} kg" in words and f"{work.filler.gas_litres:.0f} litres" in words
    assert f"{sum(w.length for w in work.welds) / 1000:.1f} m" in words
    for word in ("fume", "Galvanised", "chlorine", "vent hole", "extinguisher", "no figure here is a certificate"):
        assert word in words
    inch = " ".join(p.text for p in drawn("bench-mill", "Tabloid")[0].primitives if isinstance(p, Text))
    assert " lb" in inch and "cubic feet" in inch and " kg" not in inch.replace("kg an hour", "")


def test_pages_say_what_shrinks_and_how_square_it_gets():
    words = " ".join(p.text for s in drawn()[1:] for p in s.primitives if isinstance(p, Text))
    assert words.count("Shrinkage: ") == 2 and "sawn 1.0 mm longer" in words and "class A of ISO 13920 holds" in words


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_views_on_small_paper_are_as_large_as_pages_of_their_own_would_make_them(name, paper):
    """Or nearly so: words share the page only where half the seams reach 8 mm, or where they cost less than a quarter."""
    made = stand(name)
    for g in grouped(made, work_of(made)):
        typical = float(np.median(np.linalg.norm(g.seams.ends - g.seams.starts, axis=1)))
        title = " and ".join((g.one.name, *(t for t, _ in g.twins))) if len(g.twins) < 2 else f"{g.one.name} and {len(g.twins)}"
        pages = [s for s in drawn(name, paper) if s.title.removeprefix("Welds of ").removeprefix("the ").startswith(title)]
        views = [v for s in pages for v in s.views]
        assert views
        (x0, _, x1, y1), block = drawing_space(paper), title_box(paper)
        room = (x1 - x0 - 46.0, y1 - block[3] - 32.0)  # for marks on both sides, numbers and words over and under
        for v, seen in zip(views, views_of(made, work_of(made).assemblies, g.one, g.seams), strict=True):
            alone = min(r / s for r, s in zip(room, seen.seen.size, strict=True))
            assert v.scale * typical >= 8.0 or v.scale >= alone / 1.35


def test_nothing_welded_no_pages():
    made = stand()
    none = replace(work_of(made), welds=())
    with patch.object(weld_map, "work_of", lambda _: none):
        assert weld_map.pages(made, "A3") == ()


def test_a_leg_under_the_least_is_drawn_as_large_as_it_must_be_and_said():
    """EN 1993-1-8 4.5.2(2): a throat of 3 mm, a leg of 4.24, on walls of 4 mm and more: the map has 4.5, not the brief's 3."""
    for name, thin in (("bench-lathe-trestle", True), ("bench-lathe", False)):
        stand = evaluate(load_brief(SAMPLES[NAMES.index(name)]))
        said = " ".join(t.text for t in compose_with([weld_map.pages], stand)[0].primitives if isinstance(t, Text))
        assert (f"{stand.brief.welding.leg:g} mm fillet" in said) is thin
        legs = {w.leg for w in work_of(stand).welds if w.kind == "fillet"}
        assert legs == ({3.0, 4.5} if thin else {3.0})
        assert ("the weld map has 4.5 mm there" in said) is thin


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_no_page_is_begun_for_a_line_or_two(name, paper):
    """The first page is set closer where that keeps the last caution on it."""
    own = [d for d in weld_map.pages(stand(name), paper) if d.title.startswith("weld map")]
    assert all(sum(isinstance(p, Text) for p in d.primitives) >= 8 for d in own)
    if (name, paper) == ("bench-mill", "Letter"):
        assert len(own) == 1


def test_seams_and_total_are_told_apart():
    """Four faces of 60 about a tube with round edges are less than 240 of weld: the key says why."""
    texts = [p.text for s in drawn() for p in s.primitives if isinstance(p, Text)]
    assert "the total follows a tube's rounded edges" in " ".join(texts)
    ring = next(w for w in work_of(stand()).welds if len(w.runs) == 4)
    assert 0.9 * 240 < ring.length < 240
