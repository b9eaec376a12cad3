"""Ends of tubes: what welds close gets a vent, what stays open and does not look down gets a cap."""

from __future__ import annotations

import pytest

from framecore.shop.open_ends import CAP, End, tube_ends
from tests.unit.shop.work_samples import SAMPLES, of_text, stand


def caps(s):
    return {b.where: b.count for b in s.shop.bought if b.what == CAP}


def test_legs_between_rails_are_open_at_the_top_and_closed_by_their_pads():
    s = stand("bench-lathe")
    ends = tube_ends(s.frame)
    assert ends["leg FL"] == (End.WELDED, End.OPEN)
    assert ends["top rail front"] == (End.WELDED, End.WELDED)
    assert caps(s) == {"open ends of leg FL, leg FR, leg BL and leg BR": 4}


def test_a_board_over_the_legs_covers_them():
    s = of_text('[machine]\nkind = "workbench"\n[frame]\nlayout = "four-post"\n[top]\nkind = "wood"\nthickness = 40\n')
    assert tube_ends(s.frame)["leg FL"] == (End.WELDED, End.COVERED)
    assert caps(s) == {}


def test_ring_corners_and_angle_legs_leave_nothing_open():
    assert caps(stand("bench-mill")) == {}
    assert all(ends == (End.WELDED, End.WELDED) for ends in tube_ends(stand("bench-mill").frame).values())


def test_an_end_that_looks_down_stays_open():
    s = stand("saw-on-wheels")
    post = s.frame.member("splash back post left")
    assert tube_ends(s.frame)[post.name] == (End.OPEN, End.OPEN)
    assert post.start.normal[2] < -0.9 and sum(caps(s).values()) == 3  # two posts and the switch box, upper ends only


@pytest.mark.parametrize("name", SAMPLES)
def test_capped_tubes_are_not_vented(name):
    s = stand(name)
    vented = {n for n, e in tube_ends(s.frame).items() if e == (End.WELDED, End.WELDED)}
    told = " ".join(caps(s))
    assert not [n for n in vented if told.endswith(n)]
