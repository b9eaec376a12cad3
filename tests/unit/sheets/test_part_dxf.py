"""Flat parts as DXF, read back by another library."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import numpy as np
import pytest

from framecore import evaluate
from framecore.brief.model import Brief, Machine
from framecore.sheets.parts.part import PartHole
from framecore.sheets.parts.part_dxf import FlatPart, flat_parts, write_part_dxf

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
BRIEF = Brief(machine=Machine(holes=HOLES))
TRAY = replace(BRIEF, top=replace(BRIEF.top, kind="tray", lip=40.0, thickness=1.5, overhang=20.0, raised=40.0))


def read(part):
    stream = io.StringIO()
    write_part_dxf(part, stream)
    stream.seek(0)
    doc = ezdxf.read(stream)
    audit = doc.audit()
    assert not audit.errors and not audit.fixes
    return doc


def shoelace(points):
    p = np.asarray(points)
    q = np.roll(p, -1, axis=0)
    return float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum() / 2)


@pytest.mark.parametrize("brief", [BRIEF, TRAY], ids=["plain", "tray"])
def test_every_kind_is_there_once_closed_and_in_millimetres(brief):
    stand = evaluate(brief)
    parts = flat_parts(stand)
    assert [p.mark for p in parts] == [p.mark for p in stand.shop.plates]
    for part, kind in zip(parts, stand.shop.plates, strict=True):
        doc = read(part)
        assert doc.header["$INSUNITS"] == 4
        (outline,) = doc.modelspace().query('*[layer=="OUTLINE"]')
        assert outline.dxftype() == "LWPOLYLINE" and outline.closed
        points = [p[:2] for p in outline.get_points()]
        assert np.min(points, axis=0) == pytest.approx((0, 0), abs=1e-9)
        assert sorted(np.max(points, axis=0), reverse=True) == pytest.approx([kind.length, kind.width])
        text = " ".join(t.dxf.text for t in doc.modelspace().query('TEXT[layer=="MARK"]'))
        assert kind.mark in text and f"{len(kind.names)} off" in text and "thick" in text and "mm" in text
        plate = stand.frame.plate(kind.names[0])
        if not plate.sheet:
            assert shoelace(points) == pytest.approx(shoelace(plate.outline))
            assert not doc.modelspace().query('*[layer=="BEND"]')


def test_holes_are_where_the_frame_has_them():
    stand = evaluate(TRAY)
    seen = 0
    for part, kind in zip(flat_parts(stand), stand.shop.plates, strict=True):
        plate = stand.frame.plate(kind.names[0])
        if plate.sheet:
            continue
        u, v, low = np.asarray(plate.u_axis), np.asarray(plate.v_axis), plate.outline.min(axis=0)
        own = [(np.asarray(h.centre) - plate.origin, h.diameter) for h in stand.frame.holes if h.owner == plate.name]
        want = sorted((float(at @ u - low[0]), float(at @ v - low[1]), d) for at, d in own)
        circles = read(part).modelspace().query('CIRCLE[layer=="HOLES"]')
        got = sorted((c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in circles)
        assert np.allclose(got, want)
        seen += len(want)
    assert seen


def test_the_tray_is_drawn_as_it_is_before_folding():
    stand = evaluate(TRAY)
    (part,) = [p for p in flat_parts(stand) if p.bends]
    space = read(part).modelspace()
    lines = space.query('LINE[layer=="BEND"]')
    assert len(lines) == 4
    assert len(space.query('CIRCLE[layer=="HOLES"]')) == sum(h.owner == "tray bottom" for h in stand.frame.holes)
    words = [t.dxf.text for t in space.query('TEXT[layer=="MARK"]')]
    assert sum("up 90" in w for w in words) == 4
    assert any("bend allowance" in w for w in words)
    # Opposite bend lines lie as far apart as the bottom is wide, less what the bends take off.
    across = sorted({round(line.dxf.start.y, 6) for line in lines if abs(line.dxf.start.y - line.dxf.end.y) < 1e-9})
    bottom = stand.frame.plate("tray bottom").outline
    width = float(np.ptp(bottom[:, 1]))
    t, k = 1.5, 0.44
    assert across[1] - across[0] == pytest.approx(width - 2 * (2 * t) + math.pi / 2 * (t + k * t))


def part(*holes):
    return FlatPart(mark="P1", outline=((0, 0), (100, 0), (100, 60), (0, 60)), holes=holes, bends=(), thickness=6.0, count=2,
                    words=("P1  pad, 2 off",))  # fmt: skip


@pytest.mark.parametrize("along", [(10.0, 0.0), (0.0, -10.0), (6.0, 8.0)])
def test_a_slot_is_one_closed_line_with_round_ends(along):
    from ezdxf import path

    space = read(part(PartHole(at=(50, 30), diameter=12, depth=6, tapped="", slot=along))).modelspace()
    (slot,) = space.query('*[layer=="HOLES"]')
    assert slot.dxftype() == "LWPOLYLINE" and slot.closed
    rim = np.array([(p.x, p.y) for p in path.make_path(slot).flattening(0.001)])
    assert abs(shoelace(rim)) == pytest.approx(math.pi * 36 + 12 * 20, rel=1e-3)
    way = np.array(along) / 10
    reach = (rim - (50, 30)) @ way
    assert (reach.min(), reach.max()) == pytest.approx((-16, 16), abs=2e-3)


def test_what_does_not_go_through_is_not_cut():
    blind = PartHole(at=(20, 20), diameter=8, depth=3, tapped="", slot=(0, 0))
    space = read(part(blind, replace(blind, depth=6))).modelspace()
    assert [len(space.query(f'CIRCLE[layer=="{layer}"]')) for layer in ("HOLES", "MARK")] == [1, 1]


def test_an_inch_brief_is_drawn_in_mm_and_says_so():
    stand = evaluate(replace(BRIEF, units="inch"))
    first = flat_parts(stand)[0]
    assert first.words[-1] == "drawn in mm, sizes in words in inches"
    doc = read(first)
    assert doc.header["$INSUNITS"] == 4
    assert "/" in first.words[1] or "in" in first.words[1] or '"' in first.words[1]
