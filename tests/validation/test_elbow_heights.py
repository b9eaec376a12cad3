"""Elbow over stature against body measures; sources beside the rows."""

from __future__ import annotations

import pytest

from framecore.brief.model import Brief, Operator
from framecore.height import ELBOW_OF_STATURE, working_height
from tests.validation.published import Published

SEGMENTS = Published(
    quantity="elbow over stature", printed="0.630", source="Drillis and Contini, in Winter, fig. 4.1 (from memory)"
)


# ANSUR II means, mm, from memory: acromion height, acromion to radiale, stature.
# The printed ratio is for both sexes; the men's means alone round to it, so the women's row gets its note.
@pytest.mark.parametrize(
    ("acromion", "upper_arm", "stature", "note", "widen"),
    [
        (1441.0, 335.0, 1756.0, "", 0.0),
        (1335.0, 311.0, 1629.0, "one printed ratio for both sexes: one unit of the third place more", 0.001 / 0.630),
    ],
    ids=["men", "women"],
)
def test_printed_ratio_agrees_with_measured_means(
    acromion: float, upper_arm: float, stature: float, note: str, widen: float
) -> None:
    printed = Published(
        quantity=SEGMENTS.quantity, printed=SEGMENTS.printed, source=SEGMENTS.source, note=note, widen=widen
    )
    printed.check((acromion - upper_arm) / stature)


def test_the_ratio_in_use_is_the_printed_one() -> None:
    assert SEGMENTS.value == ELBOW_OF_STATURE


# Median standing elbow heights of US adults, inches as printed; statures of the same table from memory, mm.
# Source: Pheasant, Bodyspace, 2nd ed. 1996, table of US adults, as copied in a public lecture note.
@pytest.mark.parametrize(("printed", "stature"), [("43.5", 1755.0), ("40.2", 1625.0)], ids=["men", "women"])
def test_a_median_adults_elbow_from_their_stature(printed: str, stature: float) -> None:
    brief = Brief(operator=Operator(stature=stature, shoes=0.0))
    row = Published(
        quantity="standing elbow height",
        printed=printed,
        source="Pheasant 1996, US adults, 50th percentile",
        note="the table's millimetres are rounded to 5 mm, stature and elbow alike: 2.5 + 0.63 x 2.5 mm",
        widen=(2.5 + 0.63 * 2.5) / (25.4 * float(printed)),
    )
    row.check(working_height(brief).elbow / 25.4)
