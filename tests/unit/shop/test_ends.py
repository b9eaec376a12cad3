"""Sawn ends: in words, and which pieces are alike when they are turned over or end for end."""

from __future__ import annotations

import math

import pytest

from framecore.catalogue import profile
from framecore.frame._build import box_bar
from framecore.frame.model import Member, Role, Vector
from framecore.shop._ends import cut_form, end_texts


def unit(x: float, y: float, z: float) -> Vector:
    size = math.sqrt(x * x + y * y + z * z)
    return (x / size, y / size, z / size)


def bar(start: Vector, end: Vector, section: str = "RHS 60x40x3", y: Vector = (0, 1, 0), z: Vector = (0, 0, 1)) -> Member:
    """A bar along x with cuts of the given outward normals."""
    return box_bar("bar", Role.BRACE, profile(section), start=(0, 0, 0), end=(800, 0, 0), y_axis=y, z_axis=z,
                   start_normal=unit(*start), end_normal=unit(*end))  # fmt: skip


def test_words_of_the_ends():
    assert end_texts(bar((-1, 0, 0), (1, 0, 0))) == ("square", "square")
    assert end_texts(bar((-1, 1, 0), (1, 1, 0))) == ("mitre 45°", "mitre 45°")
    assert end_texts(bar((-1, 1, 0), (1, -1, 0))) == ("mitre 45°", "mitre 45° parallel")
    assert end_texts(bar((-1, 0, 0), (1, 0, math.tan(math.radians(20))))) == ("square", "mitre 20°")


def test_a_compound_cut_names_swing_and_tilt():
    swing, tilt = math.radians(25), math.radians(12)
    normal = (math.cos(tilt) * math.cos(swing), math.cos(tilt) * math.sin(swing), math.sin(tilt))
    assert end_texts(bar((-1, 0, 0), normal))[1] == "mitre 25° tilt 12°"


ALIKE = [
    # (cuts of one, cuts of the other): turned end for end, upside down, both
    (((-1, 0.3, 0), (1, 0.6, 0)), ((-1, 0.6, 0), (1, 0.3, 0))),
    (((-1, 0.3, 0), (1, 0.6, 0)), ((-1, -0.3, 0), (1, -0.6, 0))),
    (((-1, 0.3, 0.2), (1, 0.6, 0.1)), ((-1, -0.3, -0.2), (1, -0.6, -0.1))),
    (((-1, 0.3, 0.2), (1, 0.6, 0.1)), ((-1, -0.6, 0.1), (1, -0.3, 0.2))),
]
UNLIKE = [
    (((-1, 0.3, 0), (1, 0.3, 0)), ((-1, 0.3, 0), (1, -0.3, 0))),  # facing or parallel
    (((-1, 0.3, 0), (1, 0.3, 0)), ((-1, 0, 0.3), (1, 0, 0.3))),  # on the wide or on the narrow face
    (((-1, 0.3, 0.2), (1, 0.6, 0.1)), ((-1, -0.3, 0.2), (1, -0.6, 0.1))),  # mirror images
    (((-1, 0.3, 0), (1, 0.6, 0)), ((-1, 0.3, 0), (1, 0.61, 0))),
]


@pytest.mark.parametrize(("one", "other"), ALIKE)
def test_turned_pieces_are_alike(one, other):
    assert cut_form(bar(*one)) == cut_form(bar(*other))


@pytest.mark.parametrize(("one", "other"), UNLIKE)
def test_pieces_that_no_turn_brings_together_are_not(one, other):
    assert cut_form(bar(*one)) != cut_form(bar(*other))


def test_a_square_tube_may_be_rolled_on_its_next_face():
    wide, high = ((-1, 0.3, 0), (1, 0.3, 0)), ((-1, 0, 0.3), (1, 0, 0.3))
    assert cut_form(bar(*wide, section="SHS 50x50x3")) == cut_form(bar(*high, section="SHS 50x50x3"))
    mirrored = ((-1, 0.3, 0.2), (1, 0.6, 0.1)), ((-1, -0.3, 0.2), (1, -0.6, 0.1))
    a, b = (cut_form(bar(*cuts, section="SHS 50x50x3")) for cuts in mirrored)
    assert a != b


def test_the_form_does_not_ask_how_the_bar_lies_in_the_stand():
    """The same piece laid along another of its faces, its cuts going along."""
    a = bar((-1, 0.3, 0.2), (1, 0.6, 0.1))
    b = bar((-1, -0.2, 0.3), (1, -0.1, 0.6), y=(0, 0, 1), z=(0, -1, 0))
    assert cut_form(a) == cut_form(b)
