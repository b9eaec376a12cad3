"""The machine's holes: tolerance, edges, washers, sleeves and room for a spanner."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, FrameBrief, Limits, Machine, Mounting, Sections
from framecore.catalogue import thread, threads
from framecore.figures.model import Verdict
from framecore.frame import build_frame
from framecore.frame.model import Plate, PlateRole
from framecore.seat.bolts import assembly_preload
from framecore.seat.holes import crush_sleeve, edge_needed, fixed_tolerance, floating_tolerance, hole_rooms, washer
from framecore.stand import evaluate

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def brief(holes=HOLES, bolt="M10", bearers="SHS 50x50x3", rails="SHS 50x50x3", frame=None, **mounting):
    return Brief(
        machine=Machine(holes=holes, bolt=bolt, centre_of_mass=(250.0, 90.0, 150.0)), mounting=Mounting(**mounting),
        frame=FrameBrief(sections=Sections(bearers=bearers, top_rails=rails), **(frame or {})),
    )  # fmt: skip


def rooms(**asked):
    b = brief(**asked)
    return hole_rooms(b, build_frame(b, 800.0))


def codes(b):
    return {f.code for f in evaluate(b).findings if f.code.startswith("seat.")}


def test_distances_of_a_bearer_are_measured_off_its_ends_and_its_flat():
    got = rooms()
    # Bearers lie between rails of a 500 mm deep ring: 200 mm to each end from the middle, holes 90 mm off it.
    assert [r.to_end for r in got] == pytest.approx([110.0] * 4)
    assert [r.to_side for r in got] == pytest.approx([25.0 - 6.0] * 4)  # the corner's radius is twice the wall
    assert [r.owner for r in got] == ["bearer 1", "bearer 2", "bearer 1", "bearer 2"]
    assert {r.wall for r in got} == {3.0}


def test_a_hole_beside_the_middle_loses_flat_and_washer_room():
    got = rooms(holes=((0.0, 0.0), (600.0, 0.0), (8.0, 180.0), (600.0, 180.0)))
    assert [r.to_side for r in got] == pytest.approx([15.0, 19.0, 15.0, 19.0])  # the bearer stands between both
    assert got[0].across == pytest.approx(30.0)


def test_mitred_and_over_the_ring_ends():
    got = rooms(frame={"bearer_place": "over the ring"})
    assert [r.to_end for r in got] == pytest.approx([160.0] * 4)


def test_a_head_plate_has_edges_and_no_sleeve():
    b = brief(holes=((0.0, 0.0), (160.0, 0.0), (0.0, 120.0), (160.0, 120.0)), bolt="M8",
              frame={"layout": "column", "length": 500.0, "depth": 500.0})  # fmt: skip
    f = build_frame(b, 900.0)
    head = f.plate("head plate")
    got = hole_rooms(b, f)
    low, high = head.outline.min(0), head.outline.max(0)
    for mount, room in zip(f.mounts, got, strict=True):
        assert room.owner == "head plate" and room.sleeve is None and room.wall == head.thickness
        near = min(mount.point[0] - head.origin[0] - low[0], high[0] - mount.point[0] + head.origin[0])
        assert room.to_end == pytest.approx(near)


def test_a_machine_without_holes_has_no_hole_figures():
    s = evaluate(brief(holes=()))
    assert hole_rooms(s.brief, s.frame) == ()
    assert not any(k.startswith(("mount.hole", "mount.edge", "mount.torque")) for k in s.figures)


@pytest.mark.parametrize("cls", ["fine", "medium", "coarse"])
@pytest.mark.parametrize("bolt", ["M8", "M10", "1/2-13"])
def test_floating_and_fixed_by_class(cls, bolt):
    t = thread(bolt)
    figure = evaluate(brief(bolt=bolt, hole_class=cls)).figures["mount.position_tolerance"]
    assert figure.value == floating_tolerance(getattr(t, cls), t.diameter) == pytest.approx(getattr(t, cls) - t.diameter)
    assert fixed_tolerance(getattr(t, cls), t.diameter) * 2 == pytest.approx(figure.value)
    assert any(f"{figure.value / 2:.2f} mm" in step for step in figure.working.steps)


def test_tolerance_is_judged_by_how_the_holes_are_made():
    assert evaluate(brief(hole_class="fine", marking=0.5)).figures["mount.position_tolerance"].verdict is Verdict.LOOK
    assert evaluate(brief(hole_class="coarse", marking=0.5)).figures["mount.position_tolerance"].verdict is Verdict.GOOD
    through = evaluate(brief(hole_class="fine", method="drill through the machine")).figures["mount.position_tolerance"]
    assert through.verdict is Verdict.NONE and through.limit is None


def test_edges_by_the_code_of_the_brief():
    b = brief(bolt="1/2-13", bearers="SHS 60x60x3")
    metric = evaluate(b).figures["mount.edge.1"]
    inch = evaluate(replace(b, limits=Limits(code="AISC 360-16"))).figures["mount.edge.1"]
    assert metric.limit == pytest.approx(1.2 * thread("1/2-13").medium)
    assert inch.limit == pytest.approx(19.05)
    assert "1.2 d0" in metric.source and "J3.4" in inch.source


@pytest.mark.parametrize("name", threads())
def test_edge_and_washer_grow_with_the_bolt(name):
    t = thread(name)
    same = sorted((thread(n) for n in threads() if thread(n).system == t.system), key=lambda k: k.diameter)
    smaller = [k for k in same if k.diameter < t.diameter]
    for code in ("EN 1993-1-1", "AISC 360-16"):
        need, _ = edge_needed(t, t.medium, code)
        assert t.diameter <= need <= 2 * t.diameter
        assert all(edge_needed(k, k.medium, code)[0] <= need for k in smaller)
    w = washer(name)
    assert t.coarse < w.diameter < 3 * t.diameter and 0.08 * t.diameter < w.thickness < t.diameter / 3
    assert all(washer(k.id).diameter < w.diameter for k in smaller)


def test_the_sleeve_bears_the_clamp_load():
    got = rooms()
    sleeve = got[0].sleeve
    assert sleeve.length == pytest.approx(50.0 - 2 * 3.0)
    assert sleeve.bore == thread("M10").medium
    ring = math.pi / 4 * (sleeve.outside**2 - sleeve.bore**2)
    assert sleeve.load == assembly_preload(thread("M10"), "8.8") <= 235.0 * ring
    assert f"{sleeve.length:g} mm long" in sleeve.text and f"{sleeve.length + 3.0:g} mm" in sleeve.text
    light = crush_sleeve(11.0, 44.0, 3.0, 10.0, 235.0)
    assert light.outside >= 14.0  # never less than a wall that can be sawn and faced


def test_a_wide_washer_and_a_near_edge_are_told():
    narrow = brief(bearers="SHS 30x30x3", bolt="M10")
    assert "seat.hole_near_edge" in codes(narrow)
    assert evaluate(narrow).figures["mount.edge.1"].verdict is not Verdict.GOOD
    assert not codes(brief())
    tight = brief(bearers="SHS 30x30x2", bolt="M10", hole_class="fine")
    s = evaluate(tight)
    assert s.figures["mount.washer"].value == pytest.approx(2 * s.figures["mount.edge.1"].value)


def test_a_leg_beside_the_nut_leaves_no_room():
    # Holes on the end rails just beside the corner legs: the nut under the rail lies beside the leg.
    far = brief(holes=((0.0, 0.0), (950.0, 0.0), (0.0, 340.0), (950.0, 340.0)))
    near = brief(holes=((0.0, 0.0), (950.0, 0.0), (0.0, 378.0), (950.0, 378.0)))
    free = [min(r.free for r in hole_rooms(b, build_frame(b, 800.0))) for b in (far, near)]
    assert free == pytest.approx([250.0 - 50.0 - 170.0, 250.0 - 50.0 - 189.0])
    assert "seat.no_spanner" in codes(near) and "seat.no_spanner" not in codes(far)
    assert {r.beside for r in hole_rooms(near, build_frame(near, 800.0))} <= {"leg FL", "leg FR", "leg BL", "leg BR"}


def test_a_deep_rail_beside_a_shallow_bearer_counts():
    deep = brief(rails="SHS 60x60x3", bearers="SHS 40x40x3", holes=((0.0, 0.0), (600.0, 0.0), (0.0, 340.0), (600.0, 340.0)),
                 frame={"legs": "under the ring"})  # fmt: skip
    got = hole_rooms(deep, build_frame(deep, 800.0))
    assert {r.beside for r in got} == {"top rail front", "top rail back"}
    assert [r.free for r in got] == pytest.approx([250.0 - 60.0 - 170.0] * 4)
    even = replace(deep, frame=replace(deep.frame, sections=replace(deep.frame.sections, top_rails="SHS 40x40x3")))
    assert not {r.beside for r in hole_rooms(even, build_frame(even, 800.0))} & {"top rail front", "top rail back"}


def upright(x: float, top: float, name: str = "panel here") -> Plate:
    """A sheet 2 mm thick that stands across x from the front to the back, 300 mm down from ``top``."""
    return Plate(
        name=name, role=PlateRole.PANEL, thickness=2.0, outline=np.array([[0, 0], [600, 0], [600, 300], [0, 300]], float),
        origin=(x - 1.0, -300.0, top - 300.0), u_axis=(0.0, 1.0, 0.0), v_axis=(0.0, 0.0, 1.0), density=7850.0,
    )  # fmt: skip


def level(top: float, half: float = 40.0, at: tuple[float, float] = (0.0, 0.0)) -> Plate:
    outline = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    return Plate(name="tray here", role=PlateRole.TRAY, thickness=2.0, outline=outline, origin=(*at, top - 2.0),
                 u_axis=(1.0, 0.0, 0.0), v_axis=(0.0, 1.0, 0.0), density=7850.0)  # fmt: skip


def test_plates_beside_and_under_the_nut_count():
    asked = brief()
    frame = build_frame(asked, 800.0)
    mount = frame.mounts[0]
    member = next(m for m in frame.members if m.name == mount.member)
    under, (x, y, _) = member.start.point[2] - member.profile.height / 2, mount.point

    def room(*plates: Plate):
        return hole_rooms(asked, replace(frame, plates=(*frame.plates, *plates)))[0]

    free = room().free
    got = room(upright(x + 12.0, under))
    assert (got.free, got.beside) == (pytest.approx(11.0), "panel here") and got.free < free
    # Out of reach: its top is lower than the nut and bolt go, or it only begins where the nut ends, above.
    assert room(upright(x + 12.0, under - 1.5 * 10.0 - 1.0)).free == free
    assert room(upright(x + 12.0, under + 300.0)).free == free
    over = room(level(under - 8.0, at=(x, y)))
    assert (over.free, over.beside) == (0.0, "tray here")
    assert room(level(under - 40.0, at=(x, y))).free == free
    edge = room(level(under - 8.0, half=20.0, at=(x + 35.0, y)))
    assert (edge.free, edge.beside) == (pytest.approx(15.0), "tray here")
