"""The column: levels, base, head, gussets, findings; its sway by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile, steel
from framecore.errors import Severity
from framecore.fem import assemble
from framecore.frame import build_frame
from framecore.frame.column import EDGE, measure, strip_width
from framecore.frame.model import PlateRole
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst
from framecore.strength._model import FOOT_STIFFNESS, build_model
from framecore.strength._welds import plan_welds
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.meeting import overlap, touching

HOLES = ((-90.0, -70.0), (-90.0, 70.0), (90.0, -70.0), (90.0, 70.0))


def brief(holes=HOLES, braces=None, feet=None, mass=30.0, **more):
    b = Brief(machine=Machine(kind="grinder", mass=mass, holes=holes, bolt="M8"))
    more = {"length": 520.0, "depth": 480.0, "layout": "column"} | more
    return replace(b, frame=replace(b.frame, **more), braces=replace(b.braces, **(braces or {})),
                   feet=replace(b.feet, **({"pad": 70.0} | (feet or {}))))  # fmt: skip


def codes(b, height=900.0):
    return {f.code for f in build_frame(b, height).findings}


def solids(b, height=900.0):
    return SolidsBuilder().build(build_frame(b, height), 7850.0)


def analysed(b, height=900.0):
    frame = build_frame(b, height)
    return Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))


@pytest.mark.parametrize("base", ["plate", "cross"])
def test_the_head_lies_at_the_seat_whatever_the_base(base):
    f = build_frame(brief(base=base, base_thickness=12.0), 871.5)
    head, column = f.plate("head plate"), f.member("column")
    assert head.origin[2] + head.thickness == pytest.approx(871.5)
    assert column.end.point[2] == pytest.approx(head.origin[2])
    under = f.plate("base plate" if base == "plate" else "foot plate")
    assert column.start.point[2] == pytest.approx(under.origin[2] + under.thickness)
    # Feet 40 mm, 12 mm plate; or feet, pad 12 mm, bar 60 mm, foot plate 12 mm.
    assert column.length == pytest.approx(871.5 - 12 - (40 + 12 if base == "plate" else 40 + 12 + 60 + 12))


def test_every_hole_has_its_edge_and_its_mount():
    f = build_frame(brief(holes=((0.0, 0.0), (300.0, 0.0), (0.0, 90.0), (300.0, 160.0))), 900.0)
    head = f.plate("head plate")
    low, high = head.outline.min(0) + head.origin[:2], head.outline.max(0) + head.origin[:2]
    assert len(f.mounts) == 4
    for mount in f.mounts:
        hole = next(h for h in f.holes if h.purpose == mount.name.replace("mount", "machine foot"))
        assert hole.centre[:2] == mount.point[:2]
        assert min(*(mount.point[:2] - low), *(high - mount.point[:2])) >= EDGE * mount.hole - 1e-9


def test_runners_and_spine_reach_length_and_depth_with_square_ends():
    f = build_frame(brief(base="cross"), 900.0)
    left, spine = f.member("base runner left"), f.member("base spine")
    assert left.length == pytest.approx(480.0)
    assert spine.length == pytest.approx(520.0 - 2 * 60.0)
    assert {m.start.kind for m in f.members} | {m.end.kind for m in f.members} == {"square"}
    assert max(foot.base[0] for foot in f.feet) == pytest.approx(260.0 - 30.0)
    assert max(foot.base[1] for foot in f.feet) == pytest.approx(240.0 - 35.0)


@pytest.mark.parametrize("base", ["plate", "cross"])
@pytest.mark.parametrize("braces", [{}, {"left": "gussets", "right": "gussets", "front": "gussets"}])
def test_what_is_joined_touches_and_nothing_runs_into_anything(base, braces):
    b = brief(base=base, shelf="sheet", braces=braces)
    s = solids(b)
    assert (s.volumes > 0).all()
    assert overlap(s) == {}
    chain = ["foot plate", "column", "head plate"] if base == "cross" else ["base plate", "column", "head plate"]
    if base == "cross":
        chain = ["pad FL", "base runner left", "base spine", *chain]
    for a, c in pairwise(chain):
        assert touching(s, a, c), (a, c)
    for name in (n for n in s.layout.parts if n.startswith("gusset")):
        plate = "head plate" if "head" in name else chain[-3]
        assert touching(s, name, plate), name
        assert touching(s, name, "column"), name


def test_gussets_stand_where_they_are_asked_for():
    on_plate = build_frame(brief(base="plate", braces={"front": "gussets"}), 900.0)
    names = [p.name for p in on_plate.plates if p.role is PlateRole.GUSSET]
    assert names == ["gusset head front", "gusset base front"]
    parts = solids(brief(base="plate", braces={"front": "gussets", "right": "gussets"}))
    middles = dict(zip(parts.layout.parts, parts.centroids, strict=True))
    for where in ("head", "base"):  # on the middle of the column's faces
        assert middles[f"gusset {where} front"][0] == pytest.approx(0, abs=1e-9)
        assert middles[f"gusset {where} front"][1] < -50.0
        assert middles[f"gusset {where} right"][1] == pytest.approx(0, abs=1e-9)
        assert middles[f"gusset {where} right"][0] > 50.0
    on_cross = build_frame(brief(base="cross", braces={"right": "gussets"}), 900.0)
    assert [p.ends for p in on_cross.plated if p.kind == "gusset"] == [("gusset right on spine", "gussets on column")]


def test_reactions_carry_frame_and_machine():
    b = brief(base="plate")
    s = analysed(b)
    frame_mass = SolidsBuilder().build(build_frame(b, 900.0), 7850.0).mass
    assert s.reactions[:, 2, 0].sum() == pytest.approx((frame_mass + 30.0) * KILOGRAM_FORCE, rel=1e-9)


def test_the_welds_at_foot_and_head_are_checked_though_they_join_one_member_to_a_plate():
    b = brief(base="plate")
    frame = build_frame(b, 900.0)
    part = SolidsBuilder().build(frame, 7850.0)
    stand = build_model(b, frame, dict(zip(part.layout.parts, part.masses.tolist(), strict=True)))
    plan = plan_welds(b, frame, stand)
    assert plan.joints == ("column foot", "column head")
    # 100 mm tube with rounded corners: a little less than 400 mm all round.
    assert plan.lengths == pytest.approx([profile("SHS 100x100x4").properties.perimeter] * 2, rel=0.01)
    column = stand.map.element_part.index("column")
    assert plan.first[0].tolist() == [column, 0]


def test_a_column_on_a_plate_sways_by_its_own_bending_and_the_turn_of_its_base():
    """Sway under a push = that of the base + base turn x h + F h^3 / 3 E I + F h / G A."""
    b = brief(base="plate")
    frame = build_frame(b, 900.0)
    part = SolidsBuilder().build(frame, 7850.0)
    stand = build_model(b, frame, dict(zip(part.layout.parts, part.masses.tolist(), strict=True)))
    model, head = stand.model, int(stand.ring_nodes[0])
    foot = int(np.flatnonzero(np.abs(model.nodes - (0.0, 0.0, frame.member("column").start.point[2])).max(1) < 1e-9)[0])
    force, h = 1000.0, model.nodes[head, 2] - model.nodes[foot, 2]
    load = np.zeros((model.n_nodes, 6, 1))
    load[head, 0, 0] = force
    moved = assemble(model).solve(load)[:, :, 0]
    p, e, g = profile(b.frame.sections.column).properties, steel("S235").e, steel("S235").g
    k = next(i for i, name in enumerate(stand.map.element_part) if name == "column")
    shear = model.per_element("shear_y")[k]
    own = force * h**3 / (3 * e * p.iyy) + force * h / (g * shear)
    assert moved[head, 0] == pytest.approx(moved[foot, 0] + moved[foot, 4] * h + own, rel=1e-6)
    # The base turns as the moment bends its four strips and presses its studs into the floor: each foot takes
    # P = F H / 4 x, sinks P (S^3 / 3 E I + 1 / k), and the base turns by that over x. The studs' own bending helps a little.
    x, y = measure(b, 900.0).foot_at
    way, t = np.hypot(x, y), b.frame.base_thickness
    inertia = next(q.width for q in frame.plated if q.plate == "base plate") * t**3 / 12
    i = stand.map.element_part.index("foot FL")
    stud = e * model.per_element("area")[i] / model.length[i]
    each = force * model.nodes[head, 2] / (4 * x)
    turn = each / x * (way**3 / (3 * e * inertia) + 1 / stud + 1 / FOOT_STIFFNESS)
    assert 0.9 * turn < moved[foot, 4] < turn


def test_a_strip_gives_way_like_one_as_wide_as_it_is_free():
    """The whole bar to the column's middle sinks as a strip s x s held at the column's outline: 4 P s^2 / (E t^3)."""
    m = measure(brief(base="plate"), 900.0)
    x = y = 200.0
    way, free = np.hypot(x, y), np.hypot(x, y) - np.hypot(50.0, 50.0)
    e, t, load = 210e3, m.thickness, 1000.0
    even = load * way**3 / (3 * e * strip_width(m, x, y, (1e4, 1e4)) * t**3 / 12)
    assert even == pytest.approx(4 * load * free**2 / (e * t**3), rel=1e-12)
    held = measure(brief(base="plate", braces={"left": "gussets"}), 900.0)
    # 100 mm gussets: the square through their toes crosses the diagonal 75 mm from the middle in x and in y.
    nearer = np.hypot(x, y) - np.hypot(75.0, 75.0)
    even = load * way**3 / (3 * e * strip_width(held, x, y, (1e4, 1e4)) * t**3 / 12)
    assert even == pytest.approx(4 * load * nearer**2 / (e * t**3), rel=1e-12)


def test_gussets_make_the_column_stiffer():
    plain, stiff = (analysed(brief(base="cross", braces=k)) for k in ({}, {"left": "gussets", "right": "gussets"}))
    assert stiff.sway_x > 1.01 * plain.sway_x


@pytest.mark.parametrize(
    ("more", "code", "severity"),
    [
        ({"sections": {"column": "L 50x50x5"}}, "column.shape", Severity.STOP),
        ({"sections": {"base": "L 50x50x5"}}, "column.base_shape", Severity.STOP),
        ({"length": 250.0, "depth": 250.0, "base": "plate", "feet": {"base": 80.0}}, "column.base_small", Severity.STOP),
        ({"holes": ((-40.0, -40.0), (-40.0, 40.0), (40.0, -40.0), (40.0, 40.0))}, "column.hole_over_column", Severity.STOP),
        ({"holes": ((-270.0, -70.0), (270.0, 70.0))}, "column.base_smaller_than_head", Severity.STOP),
        ({"holes": ((-225.0, -70.0), (225.0, 70.0)), "length": 465.0, "base": "plate"}, "column.head_past_base", Severity.LOOK),
        ({"holes": ((-220.0, -150.0), (220.0, 150.0)), "base_thickness": 6.0}, "column.thin_for_holes", Severity.LOOK),
        ({"base": "plate", "base_thickness": 6.0, "mass": 300.0}, "column.plate_thin", Severity.LOOK),
        ({"feet": {"pad": 60.0}}, "frame.pad_small", Severity.LOOK),
        ({"feet": {"pad": 130.0}}, "column.pad_large", Severity.LOOK),
        ({"feet": {"pad": 240.0}}, "column.base_small", Severity.STOP),
        ({"braces": {"left": "gussets", "gusset": 400.0}}, "column.gusset_long", Severity.STOP),
        ({"braces": {"front": "gussets"}}, "column.gusset_nowhere", Severity.LOOK),
        ({"base": "plate", "braces": {"left": "gussets", "gusset": 220.0}}, "column.gusset_past_plate", Severity.STOP),
        ({"braces": {"left": "gussets"}, "holes": ((-90.0, 0.0), (90.0, 0.0))}, "column.hole_over_gusset", Severity.STOP),
        ({"shelf": "slats"}, "column.no_shelf", Severity.LOOK),
        ({"shelf": "sheet", "base": "plate"}, "column.no_shelf", Severity.LOOK),
    ],
)
def test_each_finding_is_told_and_goes_with_its_cause(more, code, severity):
    more = dict(more)
    if "sections" in more:
        more["sections"] = replace(Brief().frame.sections, **more["sections"])
    found = {f.code: f for f in build_frame(brief(**more), 900.0).findings}
    assert code in found
    assert found[code].severity is severity
    assert found[code].field
    assert code not in codes(brief())


def test_a_seat_too_low_names_a_height_that_is_enough():
    b = brief(base="cross")
    found = next(f for f in build_frame(b, 200.0).findings if f.code == "column.too_low")
    assert "column.too_low" not in codes(b, float(found.nearest.split()[0]) + 0.5)
