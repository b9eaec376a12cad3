"""Fillet weld strengths and weld groups against printed numbers."""

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Limits, Welding
from framecore.catalogue import steel, thread
from framecore.catalogue.bolts import proof_load
from framecore.strength._bolts import strip_area
from framecore.strength._welds import fillet_strength, group_stress, least_leg, weld_limit
from tests.validation.published import Published
from tests.validation.record import agree

KSI, IN, KIP = 6.894757, 25.4, 4448.222


def printed(quantity, value, source, note="", widen=0.0):
    return Published(quantity=quantity, printed=value, source=source, note=note, widen=widen)


@pytest.mark.parametrize(("grade", "value"), [("S235", "207.8"), ("S275", "233.7"), ("S355", "251.5")])
def test_shear_strength_of_the_throat(grade, value):
    """f_vw,d with fu 360, 430, 490 MPa and beta_w 0.80, 0.85, 0.90 (the factors as on a public page of table 4.1)."""
    s = steel(grade)
    printed(f"f_vw,d {grade}, MPa", value, "EN 1993-1-8 (4.4), table 4.1").check(fillet_strength(s.fu, s.fy))


def test_allowable_fillet_of_a_sixteenth():
    """E70 fillet: 0.928 kips an inch for each 1/16 in of leg (ASD). Source: AISC manual part 8, from memory."""
    brief = Brief(welding=replace(Welding(), filler_fu=70 * KSI), limits=replace(Limits(), code="AISC 360-16"))
    limit, _ = weld_limit(brief, steel("A36"))
    throat = IN / 16 / math.sqrt(2)
    printed("Rn / Omega, kip / in", "0.928", "AISC manual 15th ed. (8-2b), from memory").check(limit / 1.67 * throat * IN / KIP)


@pytest.mark.parametrize(("leg", "value"), [(3.0, "460"), (4.0, "613"), (5.0, "767")])
def test_design_strength_of_metric_fillets(leg, value):
    """phi Rn = 0.75 x 0.60 F_EXX x 0.707 leg, E70 (482 MPa): N / mm, by hand from J2.4."""
    brief = Brief(welding=replace(Welding(), filler_fu=482.0), limits=replace(Limits(), code="AISC 360-16"))
    limit, _ = weld_limit(brief, steel("A36"))
    nominal = limit * 2.0 / 1.67
    printed(f"phi Rn of {leg:g} mm, N / mm", value, "AISC 360-16 J2.4").check(0.75 * nominal * leg / math.sqrt(2))


def _box(b, d):
    """Weld all round a b x d rectangle with unit throat."""
    corners = np.array([(0, -b / 2, -d / 2), (0, b / 2, -d / 2), (0, b / 2, d / 2), (0, -b / 2, d / 2)])
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1), np.ones(4)


@pytest.mark.parametrize(("b", "d"), [(60.0, 60.0), (40.0, 80.0)])
def test_rectangle_of_lines(b, d):
    """Treated as a line: S = b d + d2 / 3, J = (b + d)3 / 6. Source: Blodgett, Design of Welded Structures, 7.4 table 5,
    from memory (the same table is on public pages)."""
    stress = group_stress(_box(b, d), 0)
    bent = np.abs(stress[:, 0, 4]).max()
    agree(bent, 1 / (b * d + d * d / 3), rel=1e-12)
    twisted = np.linalg.norm(stress[:, 1:, 3], axis=1).max()
    agree(twisted, math.hypot(b, d) / 2 / ((b + d) ** 3 / 6), rel=1e-12)
    agree(np.abs(stress[:, 0, 0]).max(), 1 / (2 * (b + d)), rel=1e-12)


def test_two_lines_under_an_offset_force():
    """Two parallel lines d long, b apart: J = d (3 b2 + d2) / 6. Source: Blodgett, 7.4 table 5, from memory."""
    b, d = 50.0, 120.0
    ends = np.array([[(0, -b / 2, -d / 2), (0, -b / 2, d / 2)], [(0, b / 2, -d / 2), (0, b / 2, d / 2)]])
    stress = group_stress((ends, np.ones(2)), 0)
    agree(
        np.linalg.norm(stress[:, 1:, 3], axis=1).max(),
        math.hypot(b, d) / 2 / (d * (3 * b * b + d * d) / 6), rel=1e-12
    )


@pytest.mark.parametrize(("wall", "leg"), [(3.0, "3"), (8.0, "5"), (16.0, "6"), (25.0, "8")])
def test_least_leg(wall, leg):
    """Seen on public pages that reprint the table."""
    printed(f"least leg for {wall:g} mm", leg, "AISC 360-16 table J2.4").check(least_leg("AISC 360-16", wall)[0])


@pytest.mark.parametrize(("size", "kn"), [("M8", "21.2"), ("M10", "33.6"), ("M12", "48.9"), ("M16", "91.1")])
def test_proof_load(size, kn):
    """Class 8.8 proof loads, kN: stress areas 36.6, 58.0, 84.3, 157 mm2 x 580 MPa. The areas are printed with three
    figures and the loads come from them: half a unit of the third is 0.32 % of 157."""
    note = "from stress areas rounded to three figures"
    printed(f"proof load {size}, kN", kn, "ISO 898-1", note=note, widen=0.0032).check(proof_load(thread(size), "8.8") / 1e3)


def test_thread_stripping_area_per_length():
    """The internal thread's shear area per length is 7/8 pi d at basic size.

    p (1/2 + 0.6495 / sqrt 3) / p = 0.875. Source: geometry of the 60 degree profile (7/8 of the pitch is steel at d).
    """
    m12 = thread("M12")
    agree(strip_area(m12, 10.0), 0.875 * math.pi * 12 * 10, rel=1e-4)
