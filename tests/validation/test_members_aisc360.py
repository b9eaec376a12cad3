"""Members by AISC 360-16 against printed numbers. Inches, kips and ksi as printed, turned to mm and N."""

import numpy as np

from framecore.catalogue.model import Steel
from framecore.strength import _aisc360 as aisc
from framecore.strength._code_section import code_section
from tests.validation.code_sections import tube
from tests.validation.published import Published
from tests.validation.record import agree
from tests.validation.reference_data import aisc as shapes
from tests.validation.reference_data import aisc_key

IN, KSI, KIP = 25.4, 6.894757, 4448.222
KIP_IN = KIP * IN
DESIGN = "AISC Design Examples"


def printed(quantity, value, source, note="", widen=0.0):
    return Published(quantity=quantity, printed=value, source=source, note=note, widen=widen)



def grade(fy_ksi):
    return Steel(id="", fy=fy_ksi * KSI, fu=58 * KSI, e=29000 * KSI, g=11200 * KSI, density=7850.0, source="")


def box(area, r_u, r_v, el, pl, t, height, width, c=1.0):
    """A tube from printed inch numbers."""
    return tube(
        area=area * IN**2, i_u=area * r_u**2 * IN**4, i_v=area * r_v**2 * IN**4, el_u=el * IN**3, el_v=el * IN**3,
        pl_u=pl * IN**3, pl_v=pl * IN**3, wall=t * IN, height=height * IN, width=width * IN, torsion_c=c * IN**3,
    )  # fmt: skip


def test_column_without_slender_walls():
    """HSS12x10x3/8, Fy 46 ksi, KL 16 ft: lambda 31.4, KL/r 47.9, phi Pn 518 kips."""
    section = box(14.6, 4.61, 4.01, 1, 1, 0.349, 12, 10)
    table = aisc.table((section,), grade(46))
    span = aisc.span(table, np.array([16 * 12 * IN]))
    source = f"{DESIGN} v14.0, example E.9"
    printed("wall slenderness", "31.4", source).check(float(max(table.lean_1[0], table.lean_2[0])))
    printed("its limit", "35.2", source).check(float(table.slender_1[0]))
    printed("phi Pn, kips", "518", source).check(0.9 * float(span.n[0]) / KIP)


def test_torsional_strength():
    source = f"{DESIGN} v14.0, example H.5A, HSS6x4x1/4, Fy 46 ksi"
    c = 2 * 3.767 * 5.767 * 0.233 - 4.5 * (4 - np.pi) * 0.233**3
    printed("C, in3", "10.1", source).check(c)
    table = aisc.table((box(4.3, 2.2, 1.6, 1, 1, 0.233, 6, 4, c),), grade(46))
    note = "printed from C rounded to 10.1, half its last digit is 0.5 %"
    printed("Tn, kip in", "279", source, note=note, widen=0.005).check(float(table.t_n[0]) / KIP_IN)


def test_bending_of_a_noncompact_square_tube():
    """HSS3-1/2x3-1/2x1/8, Fy 50 ksi: manual table 3-13 gives phi Mn 7.21 kip ft."""
    row = shapes("HSS")[aisc_key("HSS 3-1/2x3-1/2x1/8")]
    section = box(1.54, 1, 1, float(row["Sx"]), float(row["Zx"]), float(row["tdes"]), 3.5, 3.5)
    m_u, _ = aisc.bending(section, grade(50))
    source = f"{DESIGN} v15.0, example F.6, manual table 3-13"
    printed("phi Mn, kip ft", "7.21", source).check(0.9 * m_u / KIP_IN / 12)


def test_class_of_a_noncompact_flange():
    """HSS10x6x3/16, Fy 50 ksi: b / t 31.5 between 27.0 and 33.7, Mp 75 kip ft."""
    section = box(5.37, 1, 1, 14.9, 18.0, 0.174, 10, 6)
    source = f"{DESIGN} v15.0, example F.7B"
    printed("b / t", "31.5", source).check(section.lean_y)
    # Mn = Mp - (Mp - Fy S)(3.57 b/t sqrt(Fy/E) - 4.0) with the printed numbers = 900 - 155 x 0.669 kip in.
    m_u, _ = aisc.bending(section, grade(50))
    agree(m_u / KIP_IN, 900 - 155 * (3.57 * 31.5 * (50 / 29000) ** 0.5 - 4.0), rel=1e-3)


def test_bending_of_a_slender_flange():
    """HSS8x8x3/16, Fy 50 ksi: effective width 6.33 in, Se 12.1 in3, Mn 605 kip in."""
    section = box(5.37, (54.4 / 5.37) ** 0.5, (54.4 / 5.37) ** 0.5, 54.4 / 4, 15.7, 0.174, 8, 8)
    assert aisc.section_class(section, grade(50)) == 3
    m_u, _ = aisc.bending(section, grade(50))
    note = "printed from Se rounded to 12.1, half its last digit is 0.4 %"
    printed("Mn, kip in", "605", f"{DESIGN} v15.0, example F.8B", note=note, widen=0.0042).check(m_u / KIP_IN)


def test_legs_of_an_angle():
    """L4x4x1/4, A36: b / t 16.0 between 15.3 and 25.8, noncompact."""
    source = f"{DESIGN} v15.0, example F.11A"
    printed("lambda_p", "15.3", source).check(0.54 * (29000 / 36) ** 0.5)
    section = code_section("L4x4x1/4")
    printed("b / t", "16.0", source).check(section.long / section.wall)
    assert aisc.section_class(section, grade(36)) == 2


def test_width_factors():
    """Table E7.1: c1 0.20 goes with c2 1.38, c1 0.22 with 1.49 (from memory)."""
    for c1, c2 in ((0.20, "1.38"), (0.22, "1.49")):
        got = (1 - (1 - 4 * c1) ** 0.5) / (2 * c1)
        printed(f"c2 of {c1}", c2, "AISC 360-16 table E7.1, from memory").check(got)
        table = aisc.table((box(2, 1, 1, 1, 1, 0.1, 6, 6),), grade(46))
        edge = table.slender_1[0]
        # A wall at its own limit under the yield stress just keeps its whole width.
        agree(aisc._effective(np.array(edge * 1.0001), np.array(edge), table, table.fy)[0], 1.0, abs=2e-3)


def test_interaction():
    """W14x99: Pr 400 of 1,130 kips, Mrx 250 of 642, Mry 80 of 311 kip ft; the sum 0.928 is from memory."""
    one = np.array([1.0])
    table = aisc.table((box(2, 1, 1, 1, 1, 0.1, 6, 6),), grade(46))
    span = aisc.Span(one, 1130 * one, 642 * one, 311 * one)
    got = aisc.span_use(table, span, 400 * one, 250 * one, 80 * one)
    note = "the example adds shares rounded to three figures"
    printed("H1-1a", "0.928", f"{DESIGN} v15.0, example H.1B, sum from memory", note=note, widen=0.001).check(float(got[0]))
    half = aisc.span_use(table, span, 100 * one, 250 * one, 80 * one)
    agree(half[0], 100 / 1130 / 2 + 250 / 642 + 80 / 311, rel=1e-6)
