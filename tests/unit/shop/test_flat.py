"""Folded sheets laid flat, and folded back."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from framecore.brief.model import Brief, Machine
from framecore.errors import LayoutError
from framecore.frame import build_frame
from framecore.frame.model import Hole, Plate, PlateRole
from framecore.shop.flat import bend_allowance, flat_pattern, setback
from framecore.shop.folded import bend_deduction, blank

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def tray():
    b = Brief(machine=Machine(holes=HOLES))
    frame = build_frame(replace(b, top=replace(b.top, kind="tray", lip=40.0, thickness=1.5, overhang=20.0)), 800.0)
    return [p for p in frame.plates if p.sheet], frame.holes


def rectangle(a, b, c, d):
    return np.array([(a, c), (b, c), (b, d), (a, d)], float)


def sheet(lips, length=300.0, width=200.0, t=2.0, up=True, tilt=0.0):
    """A bottom with lips given by side: reach along it from its middle, and height over the far face."""
    c, s = math.cos(tilt), math.sin(tilt)
    u, v, w = (c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c)

    def at(a, b, z):
        return tuple(10.0 + a * u[i] + b * v[i] + z * w[i] for i in range(3))

    kind = {"role": PlateRole.TRAY, "thickness": t, "density": 7850.0, "sheet": "s"}
    out = [Plate(name="bottom", outline=rectangle(-length / 2, length / 2, -width / 2, width / 2), origin=at(0, 0, 0),
                 u_axis=u, v_axis=v, **kind)]  # fmt: skip
    x, y = length / 2, width / 2
    for side, (a, b, h) in lips.items():
        # The thickness runs outwards to the sheet's edge; the height is v of the lip.
        way = 1.0 if up else -1.0
        z = t if up else 0.0
        foot = {"front": (0, -y + t), "back": (0, y - t), "left": (-x + t, 0), "right": (x - t, 0)}[side]
        along = {"front": u, "back": tuple(-i for i in u), "left": tuple(-i for i in v), "right": v}[side]
        high = tuple(way * i for i in w)
        if not up:
            along = tuple(-i for i in along)  # so that along x high still points out
        a, b = (a, b) if up else (-b, -a)
        out.append(Plate(name=side, outline=rectangle(a, b, 0, h - t), origin=at(*foot, z), u_axis=along, v_axis=high, **kind))
    return out


def corners(plate):
    """The eight corners of a plate, (8, 3)."""
    n = np.cross(plate.u_axis, plate.v_axis)
    low = np.asarray(plate.origin) + plate.outline @ np.array([plate.u_axis, plate.v_axis])
    return np.concatenate([low, low + plate.thickness * n])


def fold(flat, bottom, points, outer=True):
    """Fold points of the flat sheet by its bend lines and return them in space, on the face away from the lips' way.

    Written from the bends alone: a point beyond a bend line's strip is carried round the bend's axis.
    """
    u, v = np.asarray(bottom.u_axis), np.asarray(bottom.v_axis)
    w = np.cross(u, v)
    low, high = bottom.outline.min(axis=0), bottom.outline.max(axis=0)
    home = np.asarray(bottom.origin) + (low + high)[0] / 2 * u + (low + high)[1] / 2 * v
    out = []
    for p in points:
        p = np.asarray(p, float)
        placed, deepest = None, 1e-9
        for bend in flat.bends:
            a, b = np.asarray(bend.start), np.asarray(bend.end)
            line = (b - a) / np.linalg.norm(b - a)
            across = np.array([line[1], -line[0]])  # outwards: sides run anticlockwise
            depth = float((p - a) @ across) + bend.allowance / 2  # from where the bend begins
            if depth < deepest:
                continue  # a lip's own corner reaches past its neighbour's line as well, but not as deep
            deepest = depth
            turn = min(depth / bend.allowance, 1.0) * bend.angle
            past = max(depth - bend.allowance, 0.0)
            r = bend.radius + (flat.thickness if outer else 0.0)
            foot = p - across * depth
            outwards = r * math.sin(turn) + past * math.cos(turn)
            rise = bend.radius + flat.thickness - r * math.cos(turn) + past * math.sin(turn)
            level = rise if bend.up else flat.thickness - rise
            q = foot + across * outwards
            placed = home + q[0] * u + q[1] * v + level * w
        if placed is None:
            up = all(b.up for b in flat.bends)
            placed = home + p[0] * u + p[1] * v + (0.0 if up == outer else flat.thickness) * w
        out.append(placed)
    return np.array(out)


def far_edge(lip, bottom):
    """The lip's corners on its outer face at the rim, from the plates alone."""
    w = np.cross(bottom.u_axis, bottom.v_axis)
    all_ = corners(lip)
    mid = corners(bottom).mean(axis=0)
    height = np.abs((all_ - mid) @ w)
    n = np.cross(lip.u_axis, lip.v_axis)
    outward = (all_ - mid) @ n
    outward *= np.sign(outward[np.abs(outward).argmax()])
    return all_[(height > height.max() - 1e-6) & (outward > outward.max() - 1e-6)]


CASES = {
    "four up": {"lips": {"front": (-150, 150, 40), "back": (-150, 150, 40), "left": (-98, 98, 40), "right": (-98, 98, 40)}},
    "two down": {"lips": {"front": (-150, 150, 30), "right": (-100, 100, 25)}, "up": False},
    "one short lip": {"lips": {"back": (-60, 90, 35)}},
    "tilted": {"lips": {"left": (-100, 100, 20), "right": (-100, 100, 50)}, "tilt": 0.4},
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("radius", [2.0, 4.0])
def test_the_flat_sheet_folds_back_onto_the_plates(name, radius):
    plates = sheet(**CASES[name])
    flat = flat_pattern(plates, radius=radius)
    folded = fold(flat, plates[0], flat.outline)
    for lip in plates[1:]:
        for corner in far_edge(lip, plates[0]):
            assert np.linalg.norm(folded - corner, axis=1).min() < 1e-6, (lip.name, corner)
    assert len(flat.bends) == len(plates) - 1
    assert all(b.up != (name == "two down") for b in flat.bends)
    assert Polygon(flat.outline).is_valid and flat.area > 0


def test_the_trays_own_lips_come_back_where_they_are():
    plates, holes = tray()
    flat = flat_pattern(plates, holes)
    folded = fold(flat, plates[0], flat.outline)
    for lip in plates[1:]:
        for corner in far_edge(lip, plates[0]):
            assert np.linalg.norm(folded - corner, axis=1).min() < 1e-6
    assert sorted(flat.size, reverse=True) == pytest.approx(blank(plates), abs=1e-9)
    assert {b.lip for b in flat.bends} == {p.name for p in plates[1:]}


@pytest.mark.parametrize("radius", [1.5, 3.0])
@pytest.mark.parametrize("k", [0.33, 0.5])
def test_area_is_that_of_the_neutral_line(radius, k):
    """Flat faces, plus each bend's width times the arc of its neutral line, plus the lips' flat parts."""
    t, h = 2.0, 40.0
    flat = flat_pattern(sheet(**CASES["four up"]), radius=radius, k=k)
    s = radius + t
    arc = math.pi / 2 * (radius + k * t)
    faces = (300 - 2 * s) * (200 - 2 * s) + 2 * (300 + 196) * (h - s)
    strips = 2 * arc * ((300 - 2 * s) + (200 - 2 * s))
    assert flat.area == pytest.approx(faces + strips, rel=1e-12)
    assert Polygon(flat.outline).area == pytest.approx(flat.area)


def test_holes_of_bottom_and_lips_come_back_where_they_are_drilled():
    plates = sheet(lips={"front": (-150, 150, 40), "right": (-98, 98, 60)}, up=False)
    holes = []
    spots_of = (((20.0, 30.0), (-100.0, -50.0)), ((-70.0, 25.0),), ((50.0, 44.0),))
    for plate, spots in zip(plates, spots_of, strict=True):
        n = np.cross(plate.u_axis, plate.v_axis)
        for a, b in spots:
            at = np.asarray(plate.origin) + a * np.asarray(plate.u_axis) + b * np.asarray(plate.v_axis)
            at = at + plate.thickness * n  # the outer face
            holes.append(Hole(owner=plate.name, centre=tuple(at), axis=tuple(-n), diameter=7.0, depth=2.0, purpose="x",
                              slot=10.0, slot_axis=plate.v_axis))  # fmt: skip
    holes.append(Hole(owner="another", centre=(0, 0, 0), axis=(0, 0, 1), diameter=7.0, depth=2.0, purpose="x"))
    flat = flat_pattern(plates, holes)
    assert len(flat.holes) == 4
    back = fold(flat, plates[0], [h.at for h in flat.holes])
    for at, hole in zip(back, holes, strict=False):
        assert np.linalg.norm(at - hole.centre) < 1e-6, hole.owner
    ends = fold(flat, plates[0], [np.add(h.at, h.slot) for h in flat.holes])
    for end, at, hole in zip(ends, back, holes, strict=False):
        assert abs(abs((end - at) @ np.asarray(hole.slot_axis)) - 5.0) < 1e-6
    assert all(Polygon(flat.outline).contains(Point(h.at)) for h in flat.holes)


def test_the_drain_and_every_bolt_of_the_tray_are_on_the_flat_sheet():
    plates, holes = tray()
    flat = flat_pattern(plates, holes)
    want = [h for h in holes if h.owner == "tray bottom"]
    assert len(flat.holes) == len(want) == 5
    assert np.allclose(fold(flat, plates[0], [h.at for h in flat.holes], outer=False), [h.centre for h in want])


def test_allowance_setback_and_deduction_belong_together():
    for r, t, k in ((1.5, 1.5, 0.44), (4.0, 2.0, 0.33)):
        both = 2 * setback(math.pi / 2, r, t) - bend_allowance(math.pi / 2, r, t, k)
        flat = flat_pattern(sheet(lips={"front": (-150, 150, 40)}, t=t), radius=r, k=k)
        assert flat.bends[0].deduction == pytest.approx(both)
        assert flat.size[1] == pytest.approx(200 + 40 - both)
    assert bend_deduction(1.5) == pytest.approx(2 * setback(math.pi / 2, 1.5, 1.5) - bend_allowance(math.pi / 2, 1.5, 1.5))


def test_what_cannot_be_laid_flat_is_said():
    plates = sheet(lips={"front": (-150, 150, 40)})
    lip = plates[1]
    with pytest.raises(LayoutError, match="does not stand square"):
        flat_pattern([plates[0], replace(lip, origin=(lip.origin[0], lip.origin[1] + 5.0, lip.origin[2]))])
    with pytest.raises(LayoutError, match="one lip a side"):
        flat_pattern([*plates, replace(lip, name="again")])
    with pytest.raises(LayoutError, match="no rectangle"):
        flat_pattern([replace(plates[0], outline=np.array([(-150, -100), (150, -100), (150, 100), (-100.0, 100)])), lip])
