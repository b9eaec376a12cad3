"""Square tube against a printed EN 10219 table.

@misc{en10219table, title = {Square hollow sections EN 10219-2, dimensions and properties},
      note = {section table of a tube maker, document 340715564 of a document archive}}
"""

from __future__ import annotations

import pytest

from framecore.catalogue import profile
from tests.validation.published import Published

# kg/m, A cm2, I cm4, J cm4, painted surface m2/m
TABLE = {
    "SHS 30x30x3": ("2.36", "3.01", "3.50", "6.15", "0.110"),
    "SHS 40x40x3": ("3.30", "4.21", "9.32", "15.75", "0.150"),
    "SHS 40x40x4": ("4.20", "5.35", "11.07", "19.44", "0.146"),
    "SHS 50x50x3": ("4.25", "5.41", "19.47", "32.13", "0.190"),
    "SHS 50x50x4": ("5.45", "6.95", "23.74", "40.42", "0.186"),
    "SHS 50x50x5": ("6.56", "8.36", "27.04", "47.46", "0.183"),
    "SHS 60x60x3": ("5.19", "6.61", "35.13", "57.09", "0.230"),
    "SHS 60x60x4": ("6.71", "8.55", "43.55", "72.64", "0.226"),
    "SHS 60x60x5": ("8.13", "10.36", "50.49", "86.42", "0.223"),
}


@pytest.mark.parametrize("name", TABLE)
def test_square_tube(name: str) -> None:
    p = profile(name)
    q = p.properties
    ours = (p.kg_per_m, q.area / 1e2, q.iyy / 1e4, q.j / 1e4, q.perimeter / 1e3)
    for what, printed, got in zip(("kg/m", "A", "I", "J", "surface"), TABLE[name], ours, strict=True):
        Published(quantity=f"{name} {what}", printed=printed, source="EN 10219-2 table 340715564").check(got)
