"""Sheet panels and gussets as bars, against OpenSees' shells (ShellMITC4, ShellDKGT), run here.

Box: 1120 x 460 x 760 between centre lines, SHS 50x50x3, back and ends braced by single diagonals, front open, a 3 mm
sheet on the ring. Shells on the ring's lines in a mesh of about 40 mm; a mesh of half that moves the answers by
less than 0.1 %. Asked: sway along x of the whole ring, and of the front rail alone, which only the sheet ties to the
braced back. Two crossed bars leave out what the sheet adds along the rails: welded within 1.5 %, screwed up to
8 % below, never more than 1 % above (the stiffness of every screw is taken as alike in both).

Portal: two pinned legs and a rail, all tubes of shells with the gussets as shells on the middle of their walls,
against bars with our struts. Sizes differ from those the strut's width was fitted to. Bars know nothing of the softness
of a tube's wall where the rail lands, so a bare portal of bars is up to 11 % too stiff; what gussets multiply its
stiffness by may come out up to 10 % too low and 3 % too high, and the portal with its gussets is right within 5 %.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from framecore.frame._braces import GUSSET_SHARE
from framecore.frame.model import Plated
from framecore.strength._plated import FASTENER_STIFFNESS
from tests.validation.record import agree
from tests.validation.shells import Bars, E, G, Portal

LONG, DEEP, HIGH = 1120.0, 460.0, 760.0
SHEET = 3.0
SHARE = ((-LONG / 2, -DEEP / 2), (LONG / 2, -DEEP / 2), (LONG / 2, DEEP / 2), (-LONG / 2, DEEP / 2))
CORNERS = [(x, y, HIGH) for x, y in SHARE]
NAMES = dict(zip("abcd", CORNERS, strict=True))


def box(cells=(28, 12)):
    """The braced box; its ring is parted where the shells' nodes lie."""
    bars = Bars()
    for x, y in SHARE:
        bars.add([(x, y, 0.0), (x, y, 200.0), (x, y, HIGH)], "SHS 50x50x3", (0.0, 1.0, 0.0))
    bars.feet = [(x, y, 0.0) for x, y in SHARE]
    xs, ys = (np.linspace(-s / 2, s / 2, n + 1) for s, n in zip((LONG, DEEP), cells, strict=True))
    for level, across, along in ((HIGH, xs, ys), (200.0, xs[[0, -1]], ys[[0, -1]])):
        for y in (-DEEP / 2, DEEP / 2):
            bars.add([(x, y, level) for x in across], "SHS 50x50x3", (0.0, 1.0, 0.0))
        for x in (-LONG / 2, LONG / 2):
            bars.add([(x, y, level) for y in along], "SHS 50x50x3", (1.0, 0.0, 0.0))
    low = [(x, y, 200.0) for x, y in SHARE]
    for i, j, y_axis in ((3, 2, (0.0, 1.0, 0.0)), (0, 3, (1.0, 0.0, 0.0)), (1, 2, (1.0, 0.0, 0.0))):
        bars.add([low[i], CORNERS[j]], "SHS 30x30x3", y_axis)
    grid = np.array([[(x, y, HIGH) for x in xs] for y in ys])
    return bars, grid


def edge(grid):
    """Indices round the grid's edge, each once."""
    r, c = grid.shape[:2]
    return [(i, j) for i, j in itertools.product(range(r), range(c)) if i in (0, r - 1) or j in (0, c - 1)]


FORCES = {
    "sway": dict.fromkeys(CORNERS, (250.0, 0.0, 0.0)),
    "front rail": dict.fromkeys(CORNERS[:2], (500.0, 0.0, 0.0)),
}


@pytest.mark.parametrize("asked", FORCES)
def test_welded_sheet_top(asked):
    bars, grid = box()
    bare = bars.ours(FORCES[asked])
    ties = [(k, grid[k], "same") for k in edge(grid)]
    shell = bare / bars.shells(FORCES[asked], [(grid, SHEET, ties)])
    panel = Plated(kind="panel", plate="top", ends=tuple(NAMES), width=0.0, thickness=SHEET)
    ours = bare / bars.ours(FORCES[asked], [panel], NAMES)
    print(f"{asked}: welded, shell {shell:.3f}, bars {ours:.3f}")
    assert shell > 1.3  # the sheet matters here
    agree(ours, shell, rel=0.015)


@pytest.mark.parametrize("asked", FORCES)
def test_screwed_sheet_top(asked):
    """Screws every 160 mm: a spring along x and y each, across every fourth cell of 40 mm."""
    bars, grid = box((28, 12))
    bare = bars.ours(FORCES[asked])
    at = [(i, j) for i, j in edge(grid) if (j % 4 == 0 if i in (0, 12) else i % 4 == 0)]
    shell = bare / bars.shells(FORCES[asked], [(grid, SHEET, [(k, grid[k], FASTENER_STIFFNESS) for k in at])])
    pitch = 160.0
    panel = Plated(kind="panel", plate="top", ends=tuple(NAMES), width=0.0, thickness=SHEET, fixing="bolted", pitch=pitch)
    ours = bare / bars.ours(FORCES[asked], [panel], NAMES)
    print(f"{asked}: screwed, shell {shell:.3f}, bars {ours:.3f}")
    assert ours <= 1.01 * shell
    agree(ours, shell, rel=0.08)


@pytest.mark.parametrize(("a", "b", "t"), [(1000.0, 600.0, 1.5), (400.0, 900.0, 2.0), (500.0, 500.0, 0.8)])
def test_crossed_bars_have_the_shear_stiffness_of_the_sheet(a, b, t):
    """A pinned bay of stiff bars racked along its upper edge: k = G t a / b (closed form, thin shear panel)."""
    corners = [(0.0, 0.0, 0.0), (a, 0.0, 0.0), (a, 0.0, b), (0.0, 0.0, b)]
    names = dict(zip("abcd", corners, strict=True))
    panel = Plated(kind="panel", plate="p", ends=tuple(names), width=0.0, thickness=t)
    bars = Bars(stiff=(1e9, 1.0))  # area and second moment of every bar: no axial strain, no frame action
    for i in range(4):
        bars.add([corners[i], corners[(i + 1) % 4]], "SHS 50x50x3", (0.0, 1.0, 0.0))
    bars.feet = corners[:2]
    bars.held = (1e12, 1e12, 1e12, 1e12, 0.0, 1e12)
    force = 1000.0
    work = bars.ours({corners[2]: (force / 2, 0.0, 0.0), corners[3]: (force / 2, 0.0, 0.0)}, [panel], names)
    agree(force**2 / work, G * t * a / b, rel=1e-3)


@pytest.mark.parametrize(
    ("tube", "wall", "side", "thickness"), [(50.0, 3.0, 90.0, 4.0), (40.0, 3.0, 130.0, 5.0), (60.0, 4.0, 110.0, 6.0)]
)
def test_gusset_struts(tube, wall, side, thickness):
    portal = Portal(tube=tube, wall=wall, long=800.0, high=560.0)
    side = portal.whole_cells(side)
    bare, braced = portal.shells(0.0, 0.0), portal.shells(side, thickness)
    bars_bare, bars_braced = portal.bars(0.0, 0.0, 0.0), portal.bars(side, thickness, GUSSET_SHARE * side)
    gain, ours = bare / braced, bars_bare / bars_braced
    print(f"{tube:g}x{wall:g}, gusset {side:.1f}x{thickness:g}: shells {gain:.3f}, bars {ours:.3f}, {braced / bars_braced:.3f}")
    assert gain > 1.05
    assert ours <= 1.03 * gain
    agree(ours, gain, rel=0.10)
    agree(braced / bars_braced, 1.0, abs=0.05)


def test_young_and_shear_modulus_belong_together():
    assert pytest.approx(E / 2.6, rel=1e-4) == G
