"""The typical outline and centre of mass of a machine go with the holes that were given, until they are given too."""

from __future__ import annotations

import pytest

from framecore.brief import read_brief


def machine(text: str):
    reading = read_brief(f"format = 1\n[machine]\n{text}\n".encode())
    assert reading.brief is not None, reading.findings
    return reading.brief.machine


def test_a_wider_pattern_makes_the_typical_machine_as_much_wider_and_no_taller():
    plain = machine('kind = "lathe"')
    wide = machine('kind = "lathe"\nholes = [[0, -75], [0, 75], [1600, -75], [1600, 75]]')
    for before, after in zip(plain.outline, wide.outline, strict=True):
        assert after.size == pytest.approx((2 * before.size[0], before.size[1], before.size[2]))
        assert after.at == pytest.approx((2 * before.at[0], before.at[1], before.at[2]))
    x, y, z = plain.centre_of_mass
    assert wide.centre_of_mass == pytest.approx((2 * x, y, z))


def test_a_pattern_measured_from_its_corner_has_its_machine_over_it():
    """The same mill, its holes told from the front left one."""
    plain = machine('kind = "mill"')
    corner = machine('kind = "mill"\nholes = [[0, 0], [300, 0], [0, 360], [300, 360]]')
    assert corner.centre_of_mass == pytest.approx((150, 180, plain.centre_of_mass[2]))
    for before, after in zip(plain.outline, corner.outline, strict=True):
        assert after.size == pytest.approx(before.size)
        assert after.at == pytest.approx((before.at[0] + 150, before.at[1] + 180, before.at[2]))


def test_what_is_given_stays_as_it_is_given():
    given = machine(
        'kind = "mill"\nholes = [[0, 0], [900, 0]]\ncentre_of_mass = [1, 2, 3]\n'
        'outline = [{ name = "b", at = [4, 5, 6], size = [70, 80, 90] }]'
    )
    assert given.centre_of_mass == (1, 2, 3)
    assert (given.outline[0].at, given.outline[0].size) == ((4, 5, 6), (70, 80, 90))


@pytest.mark.parametrize("holes", ["[]", "[[5, 5]]", "[[0, 0], [0, 0.001]]", "[[0, 0], [4500, 0]]"])
def test_any_pattern_leaves_boxes_of_some_size(holes):
    found = machine(f'kind = "mill"\nholes = {holes}')
    assert all(10 < side < 4 * 620 + 1 for box in found.outline for side in box.size)
