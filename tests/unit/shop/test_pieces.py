"""Marks and counts of pieces."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine
from framecore.frame import build_frame
from framecore.shop.pieces import _letters, shop_pieces, shop_plates
from framecore.solids import SolidsBuilder

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def made(**more):
    b = Brief(machine=Machine(holes=HOLES))
    frame = build_frame(replace(b, frame=replace(b.frame, **more)), 800.0)
    solids = SolidsBuilder().build(frame, 7850.0)
    pieces, marks = shop_pieces(frame, solids)
    return frame, solids, pieces, marks


def test_every_member_has_one_mark_and_counts_add_up():
    frame, _, pieces, marks = made(shelf="slats")
    assert set(marks) == {m.name for m in frame.members}
    assert sum(len(p.members) for p in pieces) == len(frame.members)


def test_legs_are_one_piece_and_drilled_bearers_are_not_plain_rails():
    _, _, pieces, marks = made()
    legs = next(p for p in pieces if "leg FL" in p.members)
    assert len(legs.members) == 4
    assert marks["bearer 1"] == marks["bearer 2"]
    assert marks["bearer 1"] != marks["top rail left"]


def test_mitred_piece_is_shorter_inside_by_twice_the_width():
    _, _, pieces, _ = made(legs="under the ring")
    rail = next(p for p in pieces if "top rail front" in p.members)
    assert rail.ends == ("mitre 45°", "mitre 45°")
    assert rail.length - rail.short_length == pytest.approx(100.0)


def test_pads_are_one_mark():
    frame, solids, _, marks = made()
    plates = shop_plates(frame, solids, marks)
    assert [(p.mark, len(p.names)) for p in plates] == [("P1", 4)]


def test_marks_leave_out_letters_that_read_as_digits():
    seen = [_letters(k) for k in range(30)]
    assert seen[7:9] == ["H", "J"]
    assert "O" not in seen and seen[24] == "AA"


def test_plates_drilled_elsewhere_are_another_kind_and_mirrored_ones_the_same():
    frame, solids, _, marks = made()
    pads = [p for p in frame.plates if p.role == "pad"]

    def moved(name, du, dv):
        plate = next(p for p in pads if p.name == name)
        way = [a * du + b * dv for a, b in zip(plate.u_axis, plate.v_axis, strict=True)]
        holes = tuple(
            replace(h, centre=tuple(c + w for c, w in zip(h.centre, way, strict=True))) if h.owner == name else h
            for h in frame.holes
        )
        return replace(frame, holes=holes)

    for frame2 in (moved(pads[0].name, 5.0, 0.0), moved(pads[0].name, 3.0, 4.0)):
        assert sorted(len(p.names) for p in shop_plates(frame2, solids, marks)) == [1, 3]
    frame = moved(pads[0].name, 5.0, 2.0)
    frame = moved(pads[1].name, -2.0, 5.0)
    assert sorted(len(p.names) for p in shop_plates(frame, solids, marks)) == [2, 2]


def test_pieces_drilled_off_the_middle_are_another_mark_unless_turning_them_end_for_end_makes_them_alike():
    frame, solids, _, _ = made()

    def marks(**moves):
        holes = []
        for h in frame.holes:
            m = next(m for m in frame.members if m.name == h.owner) if h.owner.startswith("bearer") else None
            far = moves.get(h.owner.replace(" ", "_"), 0.0)
            holes.append(replace(h, centre=tuple(c + far * y for c, y in zip(h.centre, m.y_axis, strict=True))) if m else h)
        found = shop_pieces(replace(frame, holes=tuple(holes)), solids)[1]
        return found["bearer 1"], found["bearer 2"]

    one, two = marks(bearer_1=5.0)
    assert one != two
    one, two = marks(bearer_1=5.0, bearer_2=5.0)
    assert one == two
    one, two = marks(bearer_1=5.0, bearer_2=-5.0)
    assert one == two  # holes alike from both ends: turned, the left of the middle is the right
