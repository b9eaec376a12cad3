"""Sheet plans measured back from the paper against the nest; folded sheets against the flat pattern."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.sheets import overlaps
from framecore.sheets.compose import compose_with
from framecore.sheets.drawing.dims import outside
from framecore.sheets.drawing.model import Dimension, Line, Text
from framecore.sheets.drawing.packing import pack, spaces
from framecore.sheets.lists import sheet_plans
from framecore.sheets.paper import SIZES, drawing_space
from framecore.sheets.parts import plates
from framecore.sheets.parts.outline import rim_of
from framecore.sheets.words import length_words
from framecore.shop.flat import flat_pattern

SAMPLES = Path(__file__).resolve().parents[3] / "samples"


@cache
def whole(stem, units="metric", how="straight cuts", braces="none"):
    brief = load_brief(SAMPLES / f"{stem}.toml")
    steel = replace(brief.steel, plates_from="whole sheets", sheets_cut=how)
    return evaluate(replace(brief, units=units, steel=steel, braces=replace(brief.braces, left=braces)))


STANDS = [
    ("saw-on-wheels", "straight cuts", "none"), ("bench-lathe", "any shape", "gussets"), ("workbench", "straight cuts", "none"),
]  # fmt: skip


@pytest.mark.parametrize("units", ["metric", "inch", "inch decimal"])
@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize(("stem", "how", "braces"), STANDS)
def test_nothing_touches_and_nothing_is_cut_off(stem, how, braces, paper, units):
    for sheet in compose_with((plates.pages, sheet_plans.pages), whole(stem, units, how, braces), paper):
        assert overlaps(sheet) == ()
        assert outside([p for p in sheet.primitives if p.layer != "frame"], drawing_space(paper)) == ()


def drawn(stand, paper="A3"):
    """(thickness, number) of each sheet drawn -> its view and the page it is on."""
    out = {}
    for page in compose_with((sheet_plans.pages,), stand, paper):
        for view in page.views:
            _, thickness, n = view.name.split()
            out[float(thickness), int(n) - 1] = view, page
    return out


@pytest.mark.parametrize(("stem", "how", "braces"), STANDS)
def test_parts_cuts_and_rests_lie_on_paper_as_in_the_nest(stem, how, braces):
    stand = whole(stem, how=how, braces=braces)
    found = drawn(stand)
    assert set(found) == {(t, n) for t, plan in stand.shop.nests for n in range(len(plan.sheets))}
    for thickness, plan in stand.shop.nests:
        for n in range(len(plan.sheets)):
            view, page = found[thickness, n]
            x0, y0, x1, y1 = view.box
            lines = [
                p for p in page.primitives
                if isinstance(p, Line) and all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in p.points)
            ]  # fmt: skip
            back = {kind: [np.subtract(p.points, view.at) / view.scale for p in lines if test(p)] for kind, test in {
                "part": lambda p: p.fill == 0.93, "cut": lambda p: p.layer == "thin" and not p.closed,
                "rest": lambda p: p.layer == "hidden",
            }.items()}  # fmt: skip
            parts = [p for p in plan.placements if p.sheet == n]
            assert len(back["part"]) == len(parts)
            for p in parts:
                box = (p.x, p.y, p.x + p.length, p.y + p.width)
                assert any(np.allclose([*q.min(0), *q.max(0)], box, atol=0.01) for q in back["part"])
            cuts = [c for c in plan.cuts if c.sheet == n]
            for c in cuts:
                assert any(np.allclose(q, [c.start, c.end], atol=0.01) for q in back["cut"])
            numbers = {p.text for p in page.primitives if isinstance(p, Text) and p.height == 1.8}
            assert numbers >= {str(k) for k in range(1, len(cuts) + 1)}
            assert len(back["rest"]) == sum(r.sheet == n for r in plan.remnants)


def test_the_list_has_every_cut_in_order():
    stand = whole("saw-on-wheels")
    words = length_words(stand)
    (_, plan) = next((t, p) for t, p in stand.shop.nests if t == 1.5)
    view, page = drawn(stand)[1.5, 0]
    texts = [p for p in page.primitives if isinstance(p, Text) and p.height == sheet_plans.SIZE and not p.bold]
    left = min(t.at[0] for t in texts)
    rows = sorted({t.at[1] for t in texts}, reverse=True)
    told = [tuple(t.text for t in sorted(texts, key=lambda t: t.at[0]) if t.at[1] == y) for y in rows]
    assert left > view.box[2] - 0.01
    want = []
    for k, c in enumerate(plan.cuts, 1):
        across = c.start[0] == c.end[0]
        a = 0 if across else 1
        want.append((str(k), "across" if across else "along", words(c.start[a]), words(min(c.start[1 - a], c.end[1 - a])),
                     words(max(c.start[1 - a], c.end[1 - a]))))  # fmt: skip
    assert told == want


def test_no_whole_sheets_no_page():
    assert compose_with((sheet_plans.pages,), evaluate(load_brief(SAMPLES / "bench-lathe.toml")), "A3") == ()


def test_used_and_mass_are_of_the_sheets():
    stand = whole("saw-on-wheels")
    thickness, plan = stand.shop.nests[0]
    net = sum(q.length * q.width * len(q.names) for q in stand.shop.plates if q.steel and q.thickness == thickness)
    assert sheet_plans.share_used(plan) == pytest.approx(net / plan.gross)
    assert sheet_plans.sheet_mass(stand, 1.5, plan, 0) == pytest.approx(2.0 * 1.0 * 1.5 * 7.85)


def test_a_folded_sheet_is_drawn_as_its_flat_pattern():
    stand = whole("saw-on-wheels")
    tray = next(q for q in stand.shop.plates if stand.frame.plate(q.names[0]).sheet)
    flat = flat_pattern([p for p in stand.frame.plates if p.sheet], stand.frame.holes)
    low = np.min(flat.outline, axis=0)
    sheets = compose_with((plates.pages,), stand, "A3")
    page, view = next((s, v) for s in sheets for v in s.views if v.name == tray.mark)
    inside = lambda p: all(view.box[0] <= x <= view.box[2] and view.box[1] <= y <= view.box[3] for x, y in p)  # noqa: E731
    lines = [p for p in page.primitives if isinstance(p, Line) and inside(p.points)]
    rim = max((p for p in lines if p.closed), key=lambda p: len(p.points))
    assert np.subtract(rim.points, view.at) / view.scale == pytest.approx(np.subtract(flat.outline, low))
    bends = [np.subtract(p.points, view.at) / view.scale for p in lines if p.layer == "centre"]
    assert len(bends) == len(flat.bends)
    for b, seen in zip(flat.bends, bends, strict=True):
        assert seen == pytest.approx(np.subtract((b.start, b.end), low))
    values = [p.value for p in page.primitives if isinstance(p, Dimension) and inside((p.a, p.b))]
    upright = sorted(b.start[0] - low[0] for b in flat.bends if b.start[0] == b.end[0])
    for want in (*flat.size, upright[0], upright[1] - upright[0], flat.size[0] - upright[1]):
        assert any(v == pytest.approx(want) for v in values)
    texts = " ".join(p.text for s in sheets for p in s.primitives if isinstance(p, Text))
    assert texts.count("up 90° R1.5") == 4
    # 100 + 2 (R + t) - pi/2 (R + 0.44 t) over two legs, R = t = 1.5
    assert f"{(100 + 6.0 - np.pi / 2 * 1.5 * 1.44) / 2:.2f} mm" in texts


def test_the_rim_tells_notches_cuts_and_slopes():
    shelf = rim_of([(60, 0), (500, 0), (500, 300), (300, 300), (300, 250), (200, 250), (200, 300), (0, 300), (0, 40), (60, 40)])
    assert [(f.kind, f.size) for f in shelf.features] == [("edge notch", (100, 50)), ("corner notch", (60, 40))]
    assert shelf.across == ((200, 300), (300, 300))
    assert shelf.up == ()
    assert not shelf.middle_x
    gusset = rim_of([(15, 0), (100, 0), (0, 100), (0, 15)])
    assert [(f.kind, f.size) for f in gusset.features] == [("corner cut", (15, 15))]
    blunt = rim_of([(0, 0), (100, 0), (100, 10), (10, 100), (0, 100)])
    assert blunt.features == ()
    assert (blunt.across, blunt.up) == (((10, 100),), ((100, 10),))
    tripod = rim_of([(0, 0), (100, 0), (100, 20), (60, 90), (50, 80), (40, 90), (0, 20)])
    assert tripod.middle_x
    assert tripod.across == ((40, 90), (50, 80))
    assert {p[1] for p in tripod.up} == {20, 80}


@pytest.mark.parametrize("paper", SIZES)
def test_packed_boxes_lie_apart_and_inside(paper):
    sizes = [[(90.0, 60.0)], [(40.0, 100.0), (70.0, 30.0)], [(120.0, 80.0)], [(60.0, 50.0)] * 5]
    places = pack(sizes, paper, 10.0)
    pairs = [(s, at) for g, q in zip(sizes, places, strict=True) for s, at in zip(g, q, strict=True)]
    flat = [(n, x, y - h, x + w, y) for (w, h), (n, (x, y)) in pairs]
    assert len(flat) == 9
    for i, (n, a, b, c, d) in enumerate(flat):
        assert any(a >= r[0] - 1e-6 and b >= r[1] - 1e-6 and c <= r[2] + 1e-6 and d <= r[3] + 1e-6 for r in spaces(paper))
        for m, e, f, g, h in flat[:i]:
            assert n != m or c + 9.99 < e or g + 9.99 < a or d + 9.99 < f or h + 9.99 < b
