"""Sheet as bars: shear stiffness of panels, slip of screws, struts and strips."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framecore.frame.model import Plated
from framecore.strength._plated import FASTENER_STIFFNESS, plated_bars

E, G = 210_000.0, 81_000.0
CORNERS = {"p": (0.0, 0.0, 100.0), "q": (900.0, 0.0, 100.0), "r": (900.0, 0.0, 700.0), "s": (0.0, 0.0, 700.0)}


def panel(fixing="welded", pitch=150.0, thickness=1.5):
    return Plated(kind="panel", plate="x", ends=tuple("pqrs"), width=0.0, thickness=thickness, fixing=fixing, pitch=pitch)


def bars(plated, at=CORNERS):
    return list(plated_bars(plated, at, E, G))


def shear_stiffness(rows, at=CORNERS):
    """Of pinned bars against the upper two corners moving sideways together: sum of E A / L cos^2."""
    total = 0.0
    for i, j, (area, *_) in rows:
        x = np.subtract(at[j], at[i])
        length = np.linalg.norm(x)
        total += E * area / length * (x[0] / length) ** 2
    return total


def test_a_welded_panel_is_as_stiff_in_shear_as_its_sheet():
    rows = bars(panel())
    assert [(i, j) for i, j, _ in rows] == [("p", "r"), ("q", "s")]
    # G t times the length of the sheared edge over the height.
    assert shear_stiffness(rows) == pytest.approx(81_000 * 1.5 * 900 / 600)


def test_a_panel_set_on_edge_shears_alike_the_other_way():
    turned = {k: (z, 0.0, x) for k, (x, _, z) in CORNERS.items()}
    assert shear_stiffness(bars(panel(), turned), turned) == pytest.approx(81_000 * 1.5 * 600 / 900)


@pytest.mark.parametrize("pitch", [50.0, 150.0, 400.0])
def test_screws_add_their_slip_to_the_sheets_own_shear(pitch):
    """By hand for 1 N: the flow 1/900 N/mm loads each screw with flow x pitch; each edge slips by that over k.

    Upper and lower edges move the top by their slip, the uprights' edges by theirs times height over length.
    """
    slip = pitch / 900 / FASTENER_STIFFNESS
    moved = 600 / (G * 1.5 * 900) + 2 * slip + 2 * slip * 600 / 900
    assert shear_stiffness(bars(panel("bolted", pitch))) == pytest.approx(1 / moved)


def test_a_panel_without_a_pitch_counts_as_welded():
    assert bars(panel("bolted", 0.0)) == bars(panel())


def test_panel_bars_push_and_pull_but_hardly_bend():
    for i, j, (area, i_y, i_z, twist, *_) in bars(panel()):
        length = math.dist(CORNERS[i], CORNERS[j])
        assert 12 * E * max(i_y, i_z) / length**3 < 1e-3 * E * area / length
        assert min(i_y, i_z, twist) > 0


def test_a_gusset_is_one_strut_of_its_width():
    rows = bars(Plated(kind="gusset", plate="g", ends=("p", "r"), width=6.0, thickness=5.0))
    assert [(i, j, n[0]) for i, j, n in rows] == [("p", "r", 30.0)]


def test_a_strip_bends_flatwise_and_edgewise():
    ((_, _, (area, flat, edge, *_)),) = bars(Plated(kind="strip", plate="b", ends=("p", "q"), width=80.0, thickness=15.0))
    assert area == 1200.0
    assert flat == pytest.approx(80 * 15**3 / 12)
    assert edge == pytest.approx(15 * 80**3 / 12)


@pytest.mark.parametrize(("kind", "ends"), [("panel", "pqrs"), ("gusset", "pr"), ("strip", "pq")])
def test_bars_weigh_nothing_for_the_plate_is_weighed_itself(kind, ends):
    rows = bars(Plated(kind=kind, plate="x", ends=tuple(ends), width=20.0, thickness=4.0))
    assert [n[-1] for *_, n in rows] == [0.0] * len(rows)
