"""Slots on the template, in its file, in the lists and on the parts, measured back from what is drawn."""

import io
import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from framecore.brief.model import FrameBrief, Mounting
from framecore.frame.model import PlateRole
from framecore.sheets.drawing.model import Arc, Line, Text
from framecore.sheets.parts.part import callouts, face_view, part_of
from framecore.sheets.seat.holes import Cut, hole_rows, machine_holes
from framecore.sheets.seat.pattern import pattern_of
from framecore.sheets.seat.template import template_pages, tiling
from framecore.sheets.seat.template_dxf import write_template_dxf
from framecore.sheets.seat.tiles import clip_arc
from framecore.sheets.words import length_words
from framecore.shop.pieces import shop_pieces, shop_plates
from framecore.solids import SolidsBuilder
from tests.unit.sheets.handmade import BRIEF, handmade

WAYS = ("along the machine", "across the machine", "towards hole 1")


@cache
def stand(way=WAYS[2], slot=8.0, layout="four-post", units="metric", **more):
    holes = ((0.0, 0.0), (0.0, 150.0), (260.0, 0.0), (260.0, 150.0))
    brief = replace(BRIEF, units=units, machine=replace(BRIEF.machine, holes=holes),
                    frame=FrameBrief(layout=layout, length=1000.0, depth=500.0, height=780.0),
                    mounting=Mounting(slot=slot, slot_way=way, **more))  # fmt: skip
    return handmade(brief)


def off_slot(p, cut, at):
    """How far a point lies from the line between the end centres."""
    v = np.subtract(p, at)
    t = float(np.clip(v @ np.array(cut.way), -cut.slot / 2, cut.slot / 2))
    return float(np.hypot(*(v - t * np.array(cut.way))))


@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0, 147.0])
def test_a_cut_is_drawn_half_a_diameter_round_the_line_between_its_ends(turn):
    cut = Cut(diameter=11.0, slot=8.0, way=(math.cos(math.radians(turn)), math.sin(math.radians(turn))))
    at = (40.0, 25.0)
    assert math.dist(*cut.ends(at)) == pytest.approx(8.0)
    points = []
    for rim in cut.rims(at):
        assert rim.end - rim.start == pytest.approx(math.pi)
        points += [(rim.centre[0] + rim.radius * math.cos(t), rim.centre[1] + rim.radius * math.sin(t))
                   for t in np.linspace(rim.start, rim.end, 9)]  # fmt: skip
    ends = [points[0], points[8], points[9], points[17]]
    for a, b in cut.sides(at):
        assert math.dist(a, b) == pytest.approx(8.0)
        assert all(min(math.dist(p, e) for e in ends) < 1e-9 for p in (a, b))
        points += [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)]
    assert [off_slot(p, cut, at) for p in points] == pytest.approx([5.5] * len(points))
    low, high = np.min(points, axis=0), np.max(points, axis=0)
    assert cut.reach[0] >= high[0] - at[0] - 1e-9 and cut.reach[1] >= at[1] - low[1] - 1e-9
    round_ = Cut(diameter=11.0)
    assert round_.ends(at) == (at,) and round_.sides(at) == () and round_.rims(at) == (Arc(centre=at, radius=5.5),)


def test_words_of_a_cut():
    def words(v):
        return f"{v:g}"

    assert Cut(diameter=11.0).words(words) == "ø11"
    assert Cut(diameter=11.0, slot=4.0).words(words) == "ø11 slot 4 along"
    assert Cut(diameter=11.0, slot=4.0, way=(0.0, -1.0)).words(words) == "ø11 slot 4 across"
    assert Cut(diameter=11.0, slot=4.0, way=(-1.0, 0.0)).words(words) == "ø11 slot 4 along"
    assert Cut(diameter=11.0, slot=4.0, way=(math.sqrt(0.75), 0.5)).words(words) == "ø11 slot 4 at 30°"
    assert Cut(diameter=11.0, slot=4.0, way=(0.5, -math.sqrt(0.75))).words(words) == "ø11 slot 4 at 120°"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_slot_is_whole_on_a_tile_with_a_cross_at_both_end_centres(way, paper):
    s = stand(way)
    pattern = pattern_of(s)
    assert sorted(h.cut.slot for h in pattern.holes) == [0.0, 8.0, 8.0, 8.0]
    tiles = [p for p in template_pages(s, paper) if p.views]
    for hole in pattern.holes:
        whole = 0
        for page in tiles:
            dx, dy = page.views[0].at
            arcs = {(round(a.centre[0] - dx, 4), round(a.centre[1] - dy, 4), round(a.end - a.start, 4))
                    for a in page.primitives if isinstance(a, Arc) and a.layer == "visible"}  # fmt: skip
            sweep = round(math.pi if hole.cut.slot else 2 * math.pi, 4)
            want = {(round(x, 4), round(y, 4), sweep) for x, y in hole.cut.ends(hole.at)}
            if not want <= arcs:
                continue
            whole += 1
            lines = [np.subtract(p.points, (dx, dy)) for p in page.primitives if isinstance(p, Line) and p.layer == "thin"]
            for end in hole.cut.ends(hole.at):
                through = [q for q in lines if np.allclose(q.mean(axis=0), end, atol=1e-6) and np.ptp(q, axis=0).max() < 30]
                assert {tuple(np.ptp(q, axis=0) > 1e-6) for q in through} == {(True, False), (False, True)}
            texts = [t.text for t in page.primitives if isinstance(t, Text)]
            said = hole.cut.words(length_words(s))
            # Where a hole has little room its number and its words stand below each other.
            assert any(t.startswith(f"{hole.number}   {said}") for t in texts) or {str(hole.number), said} <= set(texts)
        assert whole >= 1, hole


def test_no_joint_of_the_tiles_cuts_a_long_slot():
    pattern = pattern_of(stand(WAYS[0], slot=30.0))
    lie = tiling(pattern, "A4")
    for hole in pattern.holes:
        spans = [lie.window(i, j) for i in range(len(lie.columns.starts)) for j in range(len(lie.rows.starts))]
        (x, y), (rx, ry) = hole.at, hole.cut.reach
        assert any(w[0] <= x - rx and x + rx <= w[2] and w[1] <= y - ry and y + ry <= w[3] for w in spans)


def test_the_file_holds_slots_as_closed_lines_with_round_ends():
    ezdxf = pytest.importorskip("ezdxf")
    s = stand()
    stream = io.StringIO()
    write_template_dxf(s, stream)
    doc = ezdxf.read(io.StringIO(stream.getvalue()))
    assert doc.audit().errors == []
    space = doc.modelspace()
    slots = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "HOLES"]
    assert len(slots) == 3 and len([e for e in space.query("CIRCLE") if e.dxf.layer == "HOLES"]) == 1
    left = [h for h in pattern_of(s).holes if h.cut.slot]
    for line in slots:
        assert line.closed
        points = [p for e in line.virtual_entities() for p in (
            e.flattening(0.001) if e.dxftype() == "ARC" else (e.dxf.start, e.dxf.end))]  # fmt: skip
        middle = np.mean([(p[0], p[1]) for p in line.get_points()], axis=0)
        hole = min(left, key=lambda h: math.dist(h.at, middle))
        assert math.dist(hole.at, middle) < 1e-6
        left.remove(hole)
        assert [off_slot((p[0], p[1]), hole.cut, hole.at) for p in points] == pytest.approx([5.5] * len(points), abs=1e-6)
        assert max(math.dist((p[0], p[1]), hole.at) for p in points) == pytest.approx(4.0 + 5.5, abs=1e-2)
    crosses = [e for e in space.query("LINE") if e.dxf.layer == "CENTRES" and math.dist(e.dxf.start, e.dxf.end) < 20]
    assert len(crosses) == 2 * (1 + 2 * 3)
    assert {"%%c" in t.dxf.text and "slot 8 at 30%%d" in t.dxf.text for t in space.query("TEXT")} == {True, False}


def test_arcs_are_cut_at_the_edge_of_a_tile():
    half = Arc(centre=(0.0, 0.0), radius=5.0, start=math.pi / 2, end=3 * math.pi / 2)
    assert clip_arc(half, (-10.0, -10.0, 10.0, 10.0)) == [half]
    assert clip_arc(half, (1.0, -10.0, 10.0, 10.0)) == []
    (lower,) = clip_arc(half, (-10.0, -10.0, 10.0, 0.0))
    assert (lower.start, lower.end) == pytest.approx((math.pi, 3 * math.pi / 2))
    late = Arc(centre=(0.0, 0.0), radius=5.0, start=2.5 * math.pi, end=3.5 * math.pi)
    (part,) = clip_arc(late, (-10.0, 0.0, 10.0, 10.0))
    assert (part.start % (2 * math.pi), part.end - part.start) == pytest.approx((math.pi / 2, math.pi / 2))


def test_lists_give_every_slot_with_its_end_centres():
    s = stand(WAYS[0])
    words = length_words(s)
    rows = hole_rows(machine_holes(s), words)
    ends = [r for r in rows if r[3] == "end centre"]
    assert len(ends) == 6 and len(rows) == 10
    for k, row in enumerate(rows):
        if "slot" in row[3]:
            a, b = (float(rows[k + n][1]) for n in (1, 2))
            assert (b - a, (a + b) / 2) == pytest.approx((8.0, float(row[1])))
    assert not any(r[3] == "end centre" for r in hole_rows(machine_holes(stand(slot=0.0)), words))


@pytest.mark.parametrize(("way", "text"), list(zip(WAYS, ("slot 11 × 19", "slot 11 × 19", "slot 11 × 19 at 30°"), strict=True)))
def test_a_jacking_block_shows_its_slot(way, text):
    s = stand(way, seating="jacking screws", jack=70.0)
    block = next(p for p in s.frame.plates if p.role is PlateRole.BLOCK and p.name.endswith("4"))
    part = part_of(s.frame, block)
    assert text in [c.text for c in callouts(part, length_words(s))]
    arcs = [a for a in face_view(part, (0.0, 0.0), 1.0) if isinstance(a, Arc) and abs(a.end - a.start - math.pi) < 1e-9]
    assert len(arcs) == 2 and math.dist(arcs[0].centre, arcs[1].centre) == pytest.approx(8.0)


def test_pieces_with_other_slots_carry_other_marks():
    def marks(way, **more):
        frame = stand(way, **more).frame
        solids = SolidsBuilder().build(frame, 7850.0)
        _, found = shop_pieces(frame, solids)
        shop_plates(frame, solids, found)
        return found

    plain, along, towards = marks(WAYS[0], slot=0.0), marks(WAYS[0]), marks(WAYS[2])
    assert plain["bearer 1"] == plain["bearer 2"]
    assert along["bearer 1"] != along["bearer 2"]  # hole 1 stays round
    every = marks(WAYS[0], round_holes="none")
    assert every["bearer 1"] == every["bearer 2"] and towards["bearer 1"] != towards["bearer 2"]
    blocks = marks(WAYS[2], seating="jacking screws", jack=70.0)
    assert len({blocks[f"jacking block {k}"] for k in (1, 2, 3, 4)}) == 4
    alike = marks(WAYS[0], seating="jacking screws", jack=70.0, round_holes="none")
    assert len({alike[f"jacking block {k}"] for k in (1, 2, 3, 4)}) == 1


def test_inch_lists_write_slots_in_inches():
    s = stand(WAYS[0], slot=6.35, units="inch")
    words = [h.cut.words(length_words(s)) for h in pattern_of(s).holes if h.cut.slot]
    assert words == ["ø~7/16 slot 1/4 along"] * 3  # 11 mm is not quite 7/16
