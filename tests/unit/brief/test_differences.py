"""What differs between two briefs is told apart in words, whatever short form their values have."""

from __future__ import annotations

from dataclasses import replace

from framecore.brief.differences import differences
from framecore.brief.kinds import OutlineBox
from framecore.brief.model import Brief, Machine

HOLES = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0))


def told(one, other):
    return [(d.path, d.one, d.other) for d in differences(one, other)]


def test_nothing_differs_between_a_brief_and_itself():
    assert not differences(Brief(), Brief())


def test_lists_of_one_length_are_told_apart_by_their_first_row_that_differs():
    one = Brief(machine=Machine(holes=HOLES))
    other = Brief(machine=Machine(holes=(*HOLES[:1], (110.0, 5.0), HOLES[2])))
    assert told(one, other) == [("machine.holes", "no. 2: 100.0 mm, 0.0 mm", "no. 2: 110.0 mm, 5.0 mm")]
    shorter = Brief(machine=Machine(holes=HOLES[:2]))
    assert told(one, shorter) == [("machine.holes", "3 given", "2 given")]


def test_rows_with_names_say_what_they_hold():
    box = OutlineBox(name="bed", at=(0.0, 0.0, 40.0), size=(800.0, 140.0, 130.0))
    one, other = (Brief(machine=Machine(outline=(b,))) for b in (box, replace(box, size=(900.0, 140.0, 130.0))))
    ((path, mine, theirs),) = told(one, other)
    assert path == "machine.outline" and mine.startswith("no. 1: bed; ") and mine != theirs and "900.0 mm" in theirs


def test_numbers_that_round_alike_show_all_their_digits():
    one, other = (replace(Brief(), frame=replace(Brief().frame, length=v)) for v in (1200.01, 1200.04))
    assert told(one, other) == [("frame.length", "1200.01", "1200.04")]
