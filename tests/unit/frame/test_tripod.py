"""Supports, shapes, joints and findings of the tripod."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.brief.kinds import OutlineBox
from framecore.brief.model import Brief, Machine
from framecore.errors import LayoutError, Severity
from framecore.frame import build_frame
from framecore.frame.machine import machine_datum
from framecore.sheets import compose, overlaps
from framecore.stand import evaluate
from framecore.units import KILOGRAM_FORCE
from tests.unit.frame.closing import open_joints, overlapping, shapes

SAMPLE = Path(__file__).parents[3] / "samples" / "surface-plate.toml"
HEIGHT = 900.0
PLATE = OutlineBox(name="plate", at=(-400.0, -300.0, 0.0), size=(800.0, 600.0, 100.0))
SECTIONS = {"legs": "SHS 60x60x3", "top_rails": "SHS 40x40x3", "lower_rails": "SHS 40x40x3"}


def brief(holes=(), outline=(PLATE,), at=(0.0, 0.0), sections=(), pad=70.0, **frame) -> Brief:
    b = Brief(
        machine=Machine(kind="surface plate", mass=140.0, centre_of_mass=(0.0, 0.0, 50.0), work_line=100.0, holes=holes,
                        outline=outline, at=at)
    )  # fmt: skip
    s = replace(b.frame.sections, **{**SECTIONS, **dict(sections)})
    f = {"layout": "tripod", "height": HEIGHT, "base_thickness": 12.0, **frame}
    return replace(b, frame=replace(b.frame, sections=s, **f), feet=replace(b.feet, pad=pad))


def mounts(b: Brief) -> dict[str, tuple[float, float]]:
    return {m.name: m.point[:2] for m in build_frame(b, HEIGHT).mounts}


def test_supports_lie_a_fifth_in_from_the_edges():
    assert mounts(brief()) == {
        "mount 1": pytest.approx((-240.0, -180.0)),
        "mount 2": pytest.approx((240.0, -180.0)),
        "mount 3": pytest.approx((0.0, 180.0)),
    }


@pytest.mark.parametrize("holes", [(), ((-100.0, -50.0), (140.0, -50.0), (-100.0, 90.0), (140.0, 90.0))])
def test_supports_follow_the_plate_as_it_is_drawn(holes):
    """Four holes shift the machine's datum; a box away from the datum shifts the plate: the mounts go along."""
    box = replace(PLATE, at=(50.0, 20.0, 0.0))
    b = brief(holes=holes, outline=(box,), at=(30.0, -15.0))
    x, y, _ = machine_datum(b, HEIGHT)
    found = mounts(b)
    assert found["mount 1"] == pytest.approx((x + 50.0 + 160.0, y + 20.0 + 120.0))
    assert found["mount 3"] == pytest.approx((x + 50.0 + 400.0, y + 20.0 + 480.0))


def test_the_largest_box_of_the_outline_is_the_plate():
    cover = OutlineBox(name="cover", at=(-100.0, -100.0, 100.0), size=(200.0, 200.0, 300.0))
    assert mounts(brief(outline=(cover, PLATE))) == mounts(brief())


def test_three_holes_are_the_supports_in_their_own_order():
    holes = ((0.0, -150.0), (220.0, 150.0), (-200.0, 160.0))
    b = brief(holes=holes)
    dx, dy, _ = machine_datum(b, HEIGHT)
    frame = build_frame(b, HEIGHT)
    for k, (x, y) in enumerate(holes):
        assert frame.mounts[k].point == pytest.approx((x + dx, y + dy, HEIGHT))
    # The single one is at the front here, so the two legs at the back stand left and right.
    assert [m.member for m in frame.mounts] == ["leg FM", "leg BR", "leg BL"]
    assert {b.name for b in frame.bays} == {"back", "left", "right"}


VARIANTS = [
    brief(),
    brief(splay=6.0, shelf="sheet"),
    brief(splay=14.0, lower_ring=300.0, shelf="sheet"),
    brief(splay=8.0, lower_ring=0.0),
    brief(holes=((0.0, -150.0), (220.0, 150.0), (-200.0, 160.0)), splay=7.0, shelf="sheet"),
    brief(outline=(replace(PLATE, size=(1200.0, 500.0, 100.0)),), splay=5.0, sections={"legs": "SHS 80x80x4"}, pad=90.0),
]


@pytest.mark.parametrize("b", VARIANTS, ids=range(len(VARIANTS)))
def test_parts_meet_and_never_share_room(b):
    frame = build_frame(b, HEIGHT)
    assert not [f for f in frame.findings if f.severity is Severity.STOP]
    bodies = shapes(frame)
    assert overlapping(bodies) == {}
    assert open_joints(frame, bodies) == {}
    # The plate rests on the blocks, each wholly over the end of its leg.
    for k, mount in enumerate(frame.mounts):
        block, leg = bodies[f"block {k + 1}"], bodies[mount.member]
        assert block.bounding_box()[5] == pytest.approx(HEIGHT)
        assert block.min_gap(leg, 10.0) == pytest.approx(0.0, abs=1e-9)
        end = leg.trim_by_plane((0.0, 0.0, 1.0), leg.bounding_box()[5] - 1e-3)
        below = end.translate((0.0, 0.0, 1.0))
        assert (below ^ block).volume() == pytest.approx(below.volume(), rel=1e-6)
    for foot in frame.feet:
        pad, leg = bodies[foot.pad], bodies[foot.leg]
        start = leg.trim_by_plane((0.0, 0.0, -1.0), -(leg.bounding_box()[2] + 1e-3)).translate((0.0, 0.0, -1.0))
        assert (start ^ pad).volume() == pytest.approx(start.volume(), rel=1e-6)


@pytest.mark.parametrize("b", VARIANTS, ids=range(len(VARIANTS)))
def test_rails_land_whole_on_flat_faces(b):
    frame = build_frame(b, HEIGHT)
    for joint in frame.joints:
        leg = frame.member(joint.members[0])
        np.testing.assert_allclose(np.cross(np.subtract(joint.point, leg.start.point), leg.x_axis), 0.0, atol=1e-9)
        used = []
        for name in joint.members[1:]:
            rail = frame.member(name)
            ends = (rail.start, rail.end)
            end = min(ends, key=lambda e: math.dist(e.point, joint.point))
            # Cut plane = one of the leg's faces, 30 or 40 mm from its middle.
            face = [a for a in (leg.y_axis, leg.z_axis) if abs(np.dot(a, end.normal)) > 1 - 1e-12]
            assert len(face) == 1
            assert abs(np.dot(np.subtract(end.point, leg.start.point), end.normal)) == pytest.approx(leg.profile.width / 2)
            used.append(face[0])
            across = leg.z_axis if face[0] == leg.y_axis else leg.y_axis
            way = np.array(rail.x_axis)
            for i in (-1, 1):
                for j in (-1, 1):
                    corner = (
                        np.array(end.point) + i * rail.profile.width / 2 * np.array(rail.y_axis)
                        + j * rail.profile.height / 2 * np.array(rail.z_axis)
                    )  # fmt: skip
                    hit = corner - way * np.dot(corner - end.point, end.normal) / np.dot(way, end.normal)
                    assert abs(np.dot(hit - leg.start.point, across)) <= leg.profile.width / 2 + 1e-9
        assert used[0] != used[1]


def test_legs_stand_under_the_supports_and_splay_from_each_other():
    upright, splayed = build_frame(brief(), HEIGHT), build_frame(brief(splay=10.0), HEIGHT)
    for mount, foot in zip(sorted(upright.mounts, key=lambda m: m.member), ("BM", "FL", "FR"), strict=True):
        assert upright.member(mount.member).end.point[:2] == pytest.approx(mount.point[:2])
        base = next(f.base for f in upright.feet if f.name == f"foot {foot}")
        assert base[:2] == pytest.approx(mount.point[:2])
    rise = HEIGHT - 12.0 - 52.0
    for a, b in zip(upright.feet, splayed.feet, strict=True):
        assert math.dist(a.base, b.base) == pytest.approx(rise * math.tan(math.radians(10.0)))
    assert splayed.depth > upright.depth
    for foot in splayed.feet:
        others = [f for f in splayed.feet if f is not foot]
        was = [f for f in upright.feet if f.name != foot.name]
        own = next(f for f in upright.feet if f.name == foot.name)
        assert all(
            math.dist(foot.base, o.base) > math.dist(own.base, w.base) for o, w in zip(others, was, strict=True)
        )


def test_length_and_depth_are_outside_of_the_legs():
    frame = build_frame(brief(splay=10.0), HEIGHT)
    boxes = np.array([shapes(frame)[f.leg].bounding_box() for f in frame.feet])
    assert frame.length == pytest.approx(boxes[:, 3].max() - boxes[:, 0].min())
    assert frame.depth == pytest.approx(boxes[:, 4].max() - boxes[:, 1].min())


def test_bays_are_seen_from_outside():
    for b in VARIANTS:
        frame = build_frame(b, HEIGHT)
        middle = np.mean([f.base for f in frame.feet], axis=0)
        for bay in frame.bays:
            a, b1, c, d = (np.array(p) for p in bay.corners)
            n = np.array(bay.normal)
            assert np.dot(n, (a - middle) * (1, 1, 0)) > 0
            assert np.dot(np.cross(b1 - a, d - a), n) > 0
            # Legs that lean unlike each other wind a side; its corners are on the middles of the legs' faces.
            for corner, name in ((a, bay.left), (b1, bay.right), (c, bay.right), (d, bay.left)):
                leg = frame.member(name)
                off = np.subtract(corner, leg.start.point)
                where = sorted(abs(np.dot(off, axis)) for axis in (leg.y_axis, leg.z_axis))
                assert where == pytest.approx([0.0, leg.profile.width / 2], abs=1e-9)
            assert set(bay.joints) - {""} <= {j.name for j in frame.joints}


@pytest.mark.parametrize(
    ("change", "code", "where"),
    [
        ({"sections": {"legs": "L 50x50x5"}}, "frame.leg_shape", "frame.sections.legs"),
        ({"sections": {"legs": "RHS 80x40x3"}}, "frame.leg_shape", "frame.sections.legs"),
        ({"sections": {"top_rails": "FL 50x6"}}, "frame.rail_shape", "frame.sections.top_rails"),
        ({"sections": {"lower_rails": "SHS 60x60x3"}}, "frame.rail_wider_than_leg", "frame.sections.lower_rails"),
        ({"outline": (replace(PLATE, size=(120.0, 90.0, 40.0)),)}, "frame.supports_close", "machine.outline"),
        ({"holes": ((-200.0, 0.0), (0.0, 10.0), (200.0, 20.0))}, "frame.supports_close", "machine.holes"),
        ({"lower_ring": 880.0}, "frame.shelf_above_top", "frame.lower_ring"),
        ({"lower_ring": 60.0}, "frame.ring_too_low", "frame.lower_ring"),
        ({"shelf": "slats"}, "frame.tripod_slats", "frame.shelf"),
        ({"height": 150.0}, "frame.too_low", "frame.height"),
    ],
)
def test_what_cannot_be_built_is_told_with_its_place(change, code, where):
    with pytest.raises(LayoutError) as error:
        evaluate(brief(**change))
    assert (code, where) in {(f.code, f.field) for f in error.value.findings}


@pytest.mark.parametrize("b", VARIANTS, ids=range(len(VARIANTS)))
@pytest.mark.parametrize("kind", ["diagonal", "crossed"])
def test_braces_find_room_between_the_rails(b, kind):
    frame = build_frame(replace(b, braces=replace(b.braces, left=kind, right=kind)), HEIGHT)
    bodies = shapes(frame)
    assert sum(m.role == "brace" for m in frame.members) >= 2
    assert overlapping(bodies) == {}
    assert open_joints(frame, bodies) == {}


@pytest.mark.parametrize("kind", ["sheet panel", "gussets"])
def test_plates_in_the_bays_are_refused(kind):
    b = brief()
    found = build_frame(replace(b, braces=replace(b.braces, left=kind)), HEIGHT).findings
    assert ("frame.tripod_plates", "braces.left", Severity.STOP) in {(f.code, f.field, f.severity) for f in found}


def test_a_top_and_a_splash_back_are_refused():
    b = brief()
    with pytest.raises(LayoutError, match="splash back"):
        evaluate(replace(b, extras=replace(b.extras, splash_back=300.0)))
    with pytest.raises(LayoutError, match="three blocks"):
        evaluate(replace(b, top=replace(b.top, kind="wood", thickness=30.0)))


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"toe_room": 60.0}, "frame.tripod_toe_room"),
        ({"middle_legs": 1}, "frame.tripod_middle_legs"),
        ({"outline": ()}, "frame.tripod_plate"),
        ({"length": 1500.0}, "frame.tripod_size"),
        ({"base_thickness": 15.0}, "frame.leg_thin_for_pad"),
    ],
)
def test_what_is_not_as_asked_is_told(change, code):
    found = [f for f in build_frame(brief(**change), HEIGHT).findings if f.code == code]
    assert found
    assert all(f.severity is Severity.LOOK for f in found)


def test_the_whole_stand_answers_and_three_feet_share_by_statics():
    stand = evaluate(load_brief(SAMPLE))
    assert stand.buildable
    weight = stand.strength.total_mass * KILOGRAM_FORCE
    loads = stand.strength.foot_loads[:, 0]
    bases = np.array([f.base for f in stand.frame.feet])
    x, y, _ = stand.strength.centre
    # Three feet: their loads follow from the weight and its two moments alone.
    rows = np.vstack([np.ones(3), bases[:, 0], bases[:, 1]])
    np.testing.assert_allclose(loads, np.linalg.solve(rows, weight * np.array([1.0, x, y])), rtol=2e-3)
    marks = {n: p.mark for p in stand.shop.pieces for n in p.members}
    assert marks["leg FL"] == marks["leg FR"] == marks["leg BM"]
    # Mitred and tilted cuts make a left and a right rail; an upright tripod's are one piece turned over.
    assert len({marks[f"top rail {side}"] for side in ("left", "right", "front")}) == 3
    upright = evaluate(brief())
    marks = {n: p.mark for p in upright.shop.pieces for n in p.members}
    assert marks["top rail left"] == marks["top rail right"] != marks["top rail front"]
    assert "mount.hole" not in stand.figures
    assert all(overlaps(sheet) == () for sheet in compose(stand))


def test_the_sheet_measures_the_legs_where_they_are():
    """A tripod's legs reach further back than to the front: the size stands over the legs, not about the middle."""
    from framecore.sheets.assemblies.general import _legs
    from framecore.sheets.drawing.hidden import LEFT

    stand = evaluate(load_brief(SAMPLE))
    first, last = _legs(stand, LEFT)
    assert last - first == pytest.approx(stand.frame.depth)
    assert first + last != pytest.approx(0.0, abs=1.0)
