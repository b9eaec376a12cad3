"""Numbers of the drawing standards, beside what the sheets use. Copied from the standards from memory."""

import pytest

from framecore.sheets.drawing import pens
from framecore.sheets.drawing.model import Arc, Line
from framecore.sheets.paper import (
    INCH_SCALES,
    METRIC_SCALES,
    SIZES,
    TITLE_WIDTH,
    choose_scale,
    drawing_space,
    projection_symbol,
)


@pytest.mark.parametrize(
    ("paper", "trimmed", "space"),
    # ISO 5457:1999, table 1 (from memory): trimmed sheet and drawing space, mm; A4 lying
    [("A3", (420, 297), (390, 277)), ("A4", (297, 210), (267, 190))],
)
def test_iso_5457_sheets(paper, trimmed, space):
    x0, y0, x1, y1 = drawing_space(paper)
    assert SIZES[paper] == trimmed
    assert (x1 - x0, y1 - y0) == pytest.approx(space)
    assert x0 == 20, "filing margin"


@pytest.mark.parametrize(("paper", "inches"), [("Letter", (11, 8.5)), ("Tabloid", (17, 11))])
def test_asme_y14_1_sheets(paper, inches):
    """Sizes A and B of ASME Y14.1 (from memory)."""
    assert SIZES[paper] == pytest.approx([25.4 * i for i in inches])


def test_iso_5455_scales():
    """Reductions of ISO 5455:1979 (from memory)."""
    assert METRIC_SCALES[1:] == (2, 5, 10, 20, 50, 100, 200)
    assert choose_scale(5.01, inch=False) == 10 and choose_scale(10, inch=False) == 10
    # architects' and engineers' inch scales 6", 3", 1 1/2", 1", 3/4" to the foot
    assert set(INCH_SCALES) >= {2, 4, 8, 12, 16} and choose_scale(9, inch=True) == 12


def test_iso_7200_title_block_width():
    """ISO 7200:2004: 180 mm fits a standing A4 with its margins (from memory)."""
    assert TITLE_WIDTH == 180


def test_iso_128_line_widths_and_dashes():
    """ISO 128-2: widths, wide to narrow 2:1; dash 12d, gap 3d; long dash 24d (from memory)."""
    series = {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0}
    assert {pens.width(layer) for layer in pens.LAYERS} <= series
    assert pens.WIDE / pens.NARROW == 2
    d = pens.width("hidden")
    assert [x / d for x in pens.DASHES["hidden"]] == pytest.approx([12, 3])
    assert [x / d for x in pens.DASHES["centre"]] == pytest.approx([24, 3, 0.5, 3])


@pytest.mark.parametrize(("third", "order"), [(False, "cone first"), (True, "circles first")])
def test_iso_5456_2_projection_symbol(third, order):
    """First angle: cone left of the circles; third: right of them; small end left in both (from memory)."""
    drawn = projection_symbol((0.0, 0.0), third)
    cone = next(p for p in drawn if isinstance(p, Line) and p.closed)
    circles = {p.centre[0] for p in drawn if isinstance(p, Arc)}
    assert len(circles) == 1
    middle = sum(x for x, _ in cone.points) / 4
    assert ("cone first" if middle < circles.pop() else "circles first") == order
    left = [y for x, y in cone.points if x < middle]
    right = [y for x, y in cone.points if x > middle]
    assert max(left) - min(left) < max(right) - min(right)
