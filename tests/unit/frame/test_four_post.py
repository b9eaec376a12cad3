"""Lengths, holes, fit-up and findings of the four-post layout."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame.fitup import angle_root, tube_branch

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def frame(height=800.0, holes=HOLES, legs="SHS 50x50x3", **more):
    b = Brief(machine=Machine(holes=holes))
    sections = replace(b.frame.sections, legs=legs)
    return build_frame(replace(b, frame=replace(b.frame, sections=sections, **more)), height)


def test_lengths_between_legs():
    f = frame()
    assert f.member("leg FL").length == pytest.approx(800 - 40 - 12)
    assert f.member("top rail front").length == pytest.approx(1000 - 2 * 50)
    assert f.member("top rail left").length == pytest.approx(500 - 2 * 50)
    assert f.member("bearer 1").length == pytest.approx(500 - 2 * 50)


def test_mitred_ring_is_measured_over_its_points():
    f = frame(corners="mitred")
    ring = build_frame(
        replace(Brief(machine=Machine(holes=HOLES)), frame=replace(Brief().frame, legs="under the ring")), 800.0
    )
    rail = ring.member("top rail front")
    assert rail.length == pytest.approx(1000.0)
    assert rail.start.angle == pytest.approx(math.pi / 4)
    assert f.member("top rail front").start.kind == "square"


def test_mitre_planes_of_neighbours_coincide():
    ring = build_frame(
        replace(Brief(machine=Machine(holes=HOLES)), frame=replace(Brief().frame, legs="under the ring")), 800.0
    )
    front, left = ring.member("top rail front"), ring.member("top rail left")
    np.testing.assert_allclose(front.start.normal, -np.array(left.start.normal), atol=1e-12)
    assert np.dot(np.subtract(front.start.point, left.start.point), front.start.normal) == pytest.approx(0, abs=1e-9)


def test_angle_legs_have_their_heels_at_the_corners():
    b = Brief(machine=Machine(holes=HOLES))
    b = replace(b, frame=replace(b.frame, legs="wrapped angle", sections=replace(b.frame.sections, legs="L 50x50x5")))
    f = build_frame(b, 800.0)
    for name, sx, sy in (("FL", -1, -1), ("FR", 1, -1), ("BL", -1, 1), ("BR", 1, 1)):
        m = f.member(f"leg {name}")
        p = m.profile
        heel = (
            np.array(m.start.point)
            + (p.box_centre[0] - p.width / 2) * np.array(m.y_axis)
            + (p.box_centre[1] - p.height / 2) * np.array(m.z_axis)
        )
        np.testing.assert_allclose(heel[:2], (sx * 500.0, sy * 250.0), atol=1e-9)
    assert f.member("top rail front").length == pytest.approx(1000 - 2 * 5)


def test_bearers_lie_under_the_holes_and_are_drilled():
    f = frame()
    xs = sorted(m.start.point[0] for m in f.members if m.role == "bearer")
    assert xs == pytest.approx([-300.0, 300.0])
    assert [h.diameter for h in f.holes if h.owner == "bearer 1"] == pytest.approx([11.0, 11.0])


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"holes": ((0.0, 0.0), (1200.0, 0.0))}, "frame.bearer_outside"),
        ({"holes": ((0.0, 0.0), (0.0, 480.0))}, "frame.hole_off_bearer"),
        ({"lower_ring": 900.0}, "frame.shelf_above_top"),
        ({"lower_ring": 60.0}, "frame.ring_too_low"),
        ({"height": 95.0, "lower_ring": 0.0}, "frame.too_low"),
        ({"legs": "L 50x50x5"}, "frame.leg_shape"),
    ],
)
def test_impossible_stands_are_told_with_a_cure(change, code):
    found = [x for x in frame(**change).findings if x.code == code]
    assert found
    assert all(x.severity is Severity.STOP and x.message.endswith(".") for x in found)


def test_pad_too_small_is_a_second_look():
    b = Brief(machine=Machine(holes=HOLES))
    f = build_frame(replace(b, feet=replace(b.feet, pad=40.0)), 800.0)
    assert [x.code for x in f.findings] == ["frame.pad_small"]


def test_sharp_corner_in_a_root_of_7():
    fit = angle_root(0.0, 7.0)
    assert fit.stand_off == pytest.approx(7 * (1 - math.sqrt(0.5)))
    assert fit.chamfer == pytest.approx(7 * 0.5858, abs=1e-3)
    assert angle_root(8.0, 7.0).chamfer == 0.0


def test_equal_width_branch_opens_0_68_t():
    t = profile("SHS 50x50x3")
    fit = tube_branch(50.0, 3.0, t, 50.0, 3.0, "solid wire and gas")
    assert fit.opening == pytest.approx((2 - math.sqrt(4 - 2.25)) * 3.0)
    assert tube_branch(30.0, 3.0, t, 50.0, 3.0, "stick").room == pytest.approx(4.0)


def test_all_four_mitres_close():
    """At each corner the two rails end on one plane, each on its own side of it, and their long edges meet."""
    base = Brief(machine=Machine(holes=HOLES))
    ring = build_frame(replace(base, frame=replace(base.frame, legs="under the ring")), 800.0)
    ends = {m.name: (m.start, m.end) for m in ring.members}
    corners = (("front", 0, "left", 0), ("front", 1, "right", 0), ("back", 0, "left", 1), ("back", 1, "right", 1))
    for along, i, across, j in corners:
        a, b = ends[f"top rail {along}"][i], ends[f"top rail {across}"][j]
        np.testing.assert_allclose(a.normal, -np.array(b.normal), atol=1e-12)
        assert np.dot(np.subtract(a.point, b.point), a.normal) == pytest.approx(0, abs=1e-9)
        # The plane runs through the outer corner of the ring and the middle of the stand's side of it.
        outer = np.array((np.sign(a.point[0]) * 500.0, np.sign(a.point[1]) * 250.0, a.point[2]))
        assert np.dot(outer - np.array(a.point), a.normal) == pytest.approx(0, abs=1e-9)


def test_hole_beside_the_flat_of_its_bearer_is_told():
    # Two holes 20 mm apart share a bearer 50 wide with corners of 6: each 10 off the middle, 5.5 of radius, flat 19.
    assert not [x for x in frame(holes=((0.0, 0.0), (20.0, 0.0), (600.0, 0.0))).findings if x.code == "frame.hole_off_flat"]
    # 25 apart: 12.5 and 5.5 still on the flat; with a coarse M12 hole 7.25 it runs 0.75 off.
    b = Brief(machine=Machine(holes=((0.0, 0.0), (25.0, 0.0), (600.0, 0.0)), bolt="M12"))
    b = replace(b, mounting=replace(b.mounting, hole_class="coarse"))
    found = [x for x in build_frame(b, 800.0).findings if x.code == "frame.hole_off_flat"]
    assert len(found) == 2
    assert "0.8 mm off" in found[0].message
