"""Torsion of tubes: the constants that the shear checks rest on, against printed tables."""

import numpy as np
import pytest

from framecore.catalogue import profiles, steel
from framecore.strength import _aisc360, _en1993
from framecore.strength._code_section import code_section
from tests.validation.published import Published
from tests.validation.reference_data import aisc, aisc_key, as_printed

IN = 25.4
# EN 10219-2 annex: torsion constant It, cm4, as printed in a public copy of the table; modulus Ct, cm3, from memory.
EN_10219 = {
    "SHS 40x40x3": ("15.75", ""),
    "SHS 50x50x3": ("32.13", "11.8"),
    "SHS 50x50x5": ("47.46", ""),
    "SHS 60x60x3": ("57.09", "17.7"),
    "SHS 60x60x4": ("72.64", "22.0"),
}
LISTED = [n for n in profiles(system="inch") if n.startswith("HSS") and aisc_key(n) in aisc("HSS")]


@pytest.mark.parametrize("name", EN_10219)
def test_cold_formed_square_tube(name):
    section = code_section(name)
    constant, modulus = EN_10219[name]
    Published(quantity=f"It of {name}, cm4", printed=constant, source="EN 10219-2 annex").check(section.j / 1e4)
    if modulus:
        Published(quantity=f"Ct of {name}, cm3", printed=modulus, source="EN 10219-2 annex, from memory").check(
            section.w_t / 1e3
        )


def test_torsional_resistance_by_the_printed_modulus():
    """T_Rd = Ct fy / sqrt 3: 11.8 cm3 x 235 / sqrt 3 = 1.60 kN m."""
    table = _en1993.table(("SHS 50x50x3",), steel("S235"))
    Published(quantity="T_Rd, kN m", printed="1.60", source="EN 1993-1-1 (6.23), Ct of EN 10219-2 from memory").check(
        float(table.t_rd[0]) / 1e6
    )


@pytest.mark.parametrize("name", LISTED[::4])
def test_torsion_constant_of_the_manual(name):
    """C of AISC's tables for rectangular tube, every fourth that we list."""
    note = "the formula leaves the corner radius at its nominal 2 t; 0.6 % covers the rounding of the table's walls"
    Published(
        quantity=f"C of {name}, in3", printed=as_printed(float(aisc("HSS")[aisc_key(name)]["C"])), source="AISC shapes v16",
        note=note, widen=0.006,
    ).check(code_section(name).torsion_c / IN**3)  # fmt: skip


def test_nominal_torsional_strength_is_six_tenths_of_yield():
    """H3-3: 0.6 Fy C where walls are stocky; HSS 4x4x1/4 in A500 B: 0.6 x 46 x 6.56 in3 = 181 kip in (C from memory)."""
    table = _aisc360.table(("HSS 4x4x1/4",), steel("A500 Gr B"))
    got = float(np.asarray(table.t_n)[0]) / 4448.222 / IN
    note = "fy of the catalogue is 317 MPa, 46 ksi to 0.05 %; C from memory has three figures"
    Published(quantity="Tn, kip in", printed="181", source="AISC 360-16 H3.1", note=note, widen=0.002).check(got)
