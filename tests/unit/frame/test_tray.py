"""The folded tray and the blocks: levels, shapes, holes, the drain, what cannot be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.kinds import OutlineBox
from framecore.brief.model import Brief, Machine
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame._tray import DRAIN
from framecore.shop.folded import bend_deduction
from framecore.shop.pieces import shop_plates
from framecore.solids import SolidsBuilder
from tests.unit.solids.shapes import built, loose, overlaps

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
STYLES = {"rails between": "SHS 50x50x3", "under the ring": "SHS 50x50x3", "wrapped angle": "L 50x50x5"}


def brief(style="rails between", top=None, machine=None, **frame):
    b = Brief(machine=Machine(holes=HOLES, **(machine or {})))
    sections = replace(b.frame.sections, legs=STYLES[style])
    values = {"kind": "tray", "thickness": 1.5, "overhang": 30.0, "lip": 45.0, "raised": 35.0} | (top or {})
    return replace(b, frame=replace(b.frame, legs=style, sections=sections, **frame), top=replace(b.top, **values))


def tray_parts(frame):
    return {p.name for p in frame.plates if p.role in ("tray", "block")}


@pytest.mark.parametrize("style", STYLES)
def test_seat_is_ring_sheet_and_block(style):
    f = build_frame(brief(style), 800.0)
    assert f.ring_top == pytest.approx(800.0 - 35.0 - 1.5)
    block = f.plate("block 1")
    assert block.origin[2] == pytest.approx(f.plate("tray bottom").origin[2] + 1.5)
    assert block.origin[2] + block.thickness == pytest.approx(800.0)
    assert {m.point[2] for m in f.mounts} == {800.0}


def test_bearers_over_the_ring_lie_in_the_tray():
    f = build_frame(brief(bearer_place="over the ring"), 800.0)
    bearer = f.member("bearer 1")
    assert f.ring_top == pytest.approx(800.0 - 35.0 - 1.5 - 50.0)
    assert bearer.start.point[2] + 25.0 == pytest.approx(800.0 - 35.0)
    assert not overlaps(f, tray_parts(f))
    assert [x.code for x in f.findings] == ["frame.tray_under_bearers"]


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("overhang", [0.0, 30.0])
def test_parts_touch_and_do_not_overlap(style, overhang):
    f = build_frame(brief(style, {"overhang": overhang}), 800.0)
    assert not overlaps(f, tray_parts(f))
    assert not loose(f, tray_parts(f))


def test_lips_close_the_rim_at_their_height():
    f = build_frame(brief(), 800.0)
    s = built(f)
    points = np.concatenate([s.vertices[s.layout.vertex_part == s.layout.parts.index(n)]
                             for n in s.layout.parts if n.startswith("tray")])  # fmt: skip
    np.testing.assert_allclose(np.ptp(points, axis=0), (1000 + 60, 500 + 60, 45.0))
    # Four lips without overlap: t h (2 L + 2 (D - 2 t)), h above the bottom.
    lips = sum(s.volumes[k] for k, n in enumerate(s.layout.parts) if n.startswith("tray lip"))
    assert lips == pytest.approx(1.5 * 43.5 * (2 * 1060 + 2 * 557))


def test_bottom_and_blocks_are_drilled_under_every_foot():
    f = build_frame(brief(), 800.0)
    for k, mount in enumerate(f.mounts, 1):
        own = [h for h in f.holes if h.purpose == f"machine foot {k}"]
        assert sorted(h.owner for h in own) == sorted([mount.member, "tray bottom", f"block {k}"])
        assert {h.centre[:2] for h in own} == {mount.point[:2]}
        assert {h.diameter for h in own} == {mount.hole}


@pytest.mark.parametrize("falls_to", ["front", "back", "left", "right"])
@pytest.mark.parametrize("overhang", [0.0, 60.0])
def test_the_drain_lies_low_and_over_no_steel(falls_to, overhang):
    b = brief(top={"overhang": overhang})
    f = build_frame(replace(b, floor=replace(b.floor, falls_to=falls_to)), 800.0)
    (drain,) = (h for h in f.holes if h.purpose == "drain")
    x, y, _ = drain.centre
    sign = {"front": -y, "back": y, "left": -x, "right": x}[falls_to]
    assert sign > 0
    assert drain.owner == "tray bottom"
    assert drain.diameter == DRAIN
    r = DRAIN / 2
    # Rails are the outer 50 mm of a 1000 x 500 ring; bearers lie at x = -300 and 300, 50 wide.
    outside = abs(x) > 500 + r or abs(y) > 250 + r
    inside = abs(x) < 450 - r and abs(y) < 200 - r and all(abs(x - c) > 25 + r for c in (-300, 300))
    assert outside or inside
    assert abs(x) < 500 + overhang - r
    assert abs(y) < 250 + overhang - r
    if overhang == 60.0:  # wide enough for the drain beside the ring: then it stands in the corner
        assert outside


def test_one_blank_for_the_folded_sheet():
    f = build_frame(brief(), 800.0)
    s = SolidsBuilder().build(f, 7850.0)
    marks = {}
    (sheet,) = (p for p in shop_plates(f, s, marks) if p.label == "tray")
    assert sheet.names == ("tray bottom",)
    # Sharp outside lengths 1060 + 2 x 45 and 560 + 2 x 45, less two bends each.
    assert (sheet.length, sheet.width) == pytest.approx((1150 - 2 * bend_deduction(1.5), 650 - 2 * bend_deduction(1.5)))
    own = [k for k, n in enumerate(s.layout.parts) if n.startswith("tray")]
    assert sheet.mass == pytest.approx(s.masses[own].sum())
    assert {marks[s.layout.parts[k]] for k in own} == {sheet.mark}
    assert sheet.holes == 5


def test_bend_deduction_of_a_sharp_bend_by_hand():
    # R = t = 2, neutral line at 0.44 t: arc pi/2 x 2.88 = 4.524; two outside legs reach 4 + 4 past the tangents.
    assert bend_deduction(2.0) == pytest.approx(8.0 - 4.524, abs=5e-4)


@pytest.mark.parametrize(
    ("change", "code", "severity"),
    [
        ({"top": {"raised": 10.0}}, "frame.tray_no_hand", Severity.LOOK),
        ({"top": {"lip": 5.0, "thickness": 2.0}}, "frame.tray_lip_low", Severity.STOP),
        ({"top": {"thickness": 5.0, "overhang": 40.0}}, "frame.tray_thick", Severity.LOOK),
        ({"bearer_place": "over the ring", "top": {"overhang": 1.0}}, "frame.tray_lip_on_bearers", Severity.STOP),
    ],
)
def test_impossible_trays_are_told_with_a_cure(change, code, severity):
    found = [x for x in build_frame(brief(**change), 800.0).findings if x.code == code]
    assert [x.severity for x in found] == [severity]
    assert found[0].message.endswith(".")
    assert found[0].field


def test_a_foot_at_the_rim_needs_a_wider_tray():
    b = brief(top={"overhang": 0.0})
    b = replace(b, machine=replace(b.machine, holes=((0.0, 0.0), (980.0, 0.0))))
    found = [x for x in build_frame(b, 800.0).findings if x.code == "frame.tray_block_on_lip"]
    # Feet at 490 of 500, blocks 40 wide, lip and its bend 3: 490 + 20 + 3 - 500 = 13 mm too far.
    assert [x.nearest for x in found] == ["13 mm", "13 mm"]
    wider = build_frame(replace(b, top=replace(b.top, overhang=13.0)), 800.0)
    assert not [x for x in wider.findings if x.code == "frame.tray_block_on_lip"]
    assert not overlaps(wider, tray_parts(wider))


def test_a_low_machine_past_the_lip_is_told():
    box = OutlineBox(name="motor", at=(-300.0, 0.0, 0.0), size=(100.0, 100.0, 100.0))
    machine = {"outline": (box,), "at": (0.0, 0.0)}
    # It hangs to x = -300 - 300 = -600; the rim of a tray 1060 long stands at -530, its lip 10 mm above the seat.
    f = build_frame(brief(top={"lip": 46.5}, machine=machine), 800.0)
    found = [x for x in f.findings if x.code == "frame.tray_lip_in_machine"]
    assert len(found) == 1
    assert "at least 102 mm" in found[0].message
    low = build_frame(brief(top={"lip": 36.0}, machine=machine), 800.0)
    assert not [x for x in low.findings if x.code == "frame.tray_lip_in_machine"]


def test_without_a_mount_there_are_no_blocks():
    b = brief()
    f = build_frame(replace(b, machine=replace(b.machine, holes=())), 800.0)
    assert {p.role for p in f.plates} >= {"tray"}
    assert not [p for p in f.plates if p.role == "block"]
