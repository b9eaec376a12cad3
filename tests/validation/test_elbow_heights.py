"""Elbow over stature against body measures; sources beside the rows."""

from __future__ import annotations

import pytest

from framecore.height import ELBOW_OF_STATURE
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
