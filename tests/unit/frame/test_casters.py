"""Casters: beside the feet, off the floor, clear of everything, on every style and layout."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.errors import Severity
from framecore.figures import Verdict
from framecore.frame import LAYOUTS, build_frame
from framecore.frame._casters import FOUR, TWO
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.solids.shapes import built, loose, overlaps

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
STYLES = {"rails between": "SHS 50x50x3", "under the ring": "SHS 50x50x3", "wrapped angle": "L 50x50x5"}


def brief(kind=FOUR, style="rails between", wheel=75.0, end="left", rating=80.0, **frame):
    b = Brief(machine=Machine(holes=HOLES))
    sections = replace(b.frame.sections, legs=STYLES[style])
    return replace(
        b, frame=replace(b.frame, legs=style, sections=sections, **frame),
        casters=replace(b.casters, kind=kind, wheel=wheel, end=end, rating=rating),
    )  # fmt: skip


def wheels(frame):
    return {c.name for c in frame.casters} | {p.name for p in frame.plates if p.name.startswith("caster")}


def brackets(frame):
    return {n for n in wheels(frame) if "bracket" in n}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(("kind", "end"), [(FOUR, "left"), (TWO, "left"), (TWO, "right"), (TWO, "back")])
@pytest.mark.parametrize("wheel", [50.0, 100.0])
def test_every_style_takes_them_without_a_clash(style, kind, end, wheel):
    f = build_frame(brief(kind, style, wheel, end, shelf="sheet"), 800.0)
    assert not [x for x in f.findings if x.field.startswith("casters")]
    assert len(f.casters) == (4 if kind == FOUR else 2)
    assert not overlaps(f, wheels(f))
    assert not loose(f, brackets(f))


@pytest.mark.parametrize("layout", sorted(LAYOUTS))
@pytest.mark.parametrize("kind", [FOUR, TWO])
@pytest.mark.parametrize("splay", [0.0, 8.0])
def test_every_layout_takes_them_or_says_why_not(layout, kind, splay):
    f = build_frame(brief(kind, layout=layout, splay=splay), 800.0)
    assert bool(f.casters) != any(x.code == "frame.casters_left_out" for x in f.findings)
    assert not overlaps(f, wheels(f))
    assert not loose(f, brackets(f))


@pytest.mark.parametrize("kind", [FOUR, TWO])
def test_wheels_hang_clear_of_the_floor(kind):
    f = build_frame(brief(kind, wheel=80.0), 800.0)
    s = built(f)
    for c in f.casters:
        points = s.vertices[s.layout.vertex_part == s.layout.parts.index(c.name)]
        assert c.lift > 0
        assert points[:, 2].min() == pytest.approx(c.lift)
        assert np.ptp(points[:, 2]) == pytest.approx(80.0)
        assert c.ground[2] == 0.0


def test_four_stand_inside_the_feet_and_move_out_where_the_rails_are_low():
    inside = build_frame(brief(wheel=75.0), 800.0)
    assert all(abs(c.ground[0]) < 450.0 for c in inside.casters)
    # A bracket for 125 mm wheels lies at 10 + 1.33 x 125 = 176 mm, among rails from 160 to 200.
    out = build_frame(brief(wheel=125.0), 800.0)
    assert len(out.casters) == 4
    assert all(abs(c.ground[0]) > 500.0 for c in out.casters)


def test_two_stand_outside_the_feet_of_their_end_and_touch_when_it_tilts():
    f = build_frame(brief(TWO, end="right"), 800.0)
    feet = [x for x in f.feet if x.base[0] > 0]
    edge = max(x.base[0] + x.base_diameter / 2 for x in feet)
    for c in f.casters:
        assert c.ground[0] > edge
        assert c.axis == (0.0, 1.0, 0.0)
    # Tilted over the feet's edge the wheels come down before the stand is over: lift / arm is a small angle.
    assert f.casters[0].lift / (f.casters[0].ground[0] - edge) < np.tan(np.radians(25.0))


def test_too_large_a_wheel_is_told():
    f = build_frame(brief(wheel=250.0, length=400.0, depth=300.0), 500.0)
    (found,) = (x for x in f.findings if x.code == "frame.casters_left_out")
    assert found.field == "casters.wheel"
    assert found.severity is Severity.LOOK
    assert "250 mm" in found.message
    assert not f.casters


def test_casters_weigh_and_the_feet_carry_them():
    for kind in (FOUR, TWO):
        s = evaluate(brief(kind, wheel=100.0))
        own = [m for m, k in zip(s.solids.masses, s.solids.layout.kinds, strict=True) if k == "caster"]
        assert len(own) == len(s.frame.casters)
        assert all(0.8 < m < 1.4 for m in own)  # 100 mm swivel casters weigh about a kilogram (common practice)
        assert s.strength.foot_loads[:, 0].sum() == pytest.approx(s.strength.total_mass * KILOGRAM_FORCE, rel=1e-6)


def test_each_is_sized_for_a_third_of_all_and_a_third_in_reserve():
    s = evaluate(brief(rating=80.0))
    f = s.figures["casters.load"]
    assert f.value == pytest.approx(s.strength.total_mass / 3 * 1.33)
    assert f.limit == 80.0
    assert f.verdict is Verdict.GOOD
    assert "feet before any work" in f.note
    weak = evaluate(brief(rating=f.value / 1.3)).figures["casters.load"]
    assert weak.verdict is Verdict.STOP
    two = evaluate(brief(TWO)).figures["casters.load"]
    assert two.value == pytest.approx(1.33 * evaluate(brief(TWO)).strength.total_mass)


def test_clearance_is_held_against_the_floor():
    b = brief()
    good = evaluate(b).figures["casters.clearance"]
    assert (good.value, good.limit, good.verdict) == (10.0, b.floor.flatness, Verdict.GOOD)
    rough = evaluate(replace(b, floor=replace(b.floor, flatness=20.0))).figures["casters.clearance"]
    assert rough.verdict is Verdict.STOP


def test_without_casters_there_is_no_figure():
    s = evaluate(brief("none"))
    assert not [k for k in s.figures if k.startswith("casters")]
    assert not s.frame.casters
