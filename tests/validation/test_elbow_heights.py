"""Elbow over stature against body measures; sources beside the rows."""

from __future__ import annotations

import pytest

from framecore.height import ELBOW_OF_STATURE


# ANSUR II means, mm, from memory: acromion height, acromion to radiale, stature.
# Tolerance half of the last printed digit of 0.630; women's 0.6286 is therefore 0.629 and needs its note:
# one ratio serves both, so theirs may be off by one in the third place.
@pytest.mark.parametrize(
    ("acromion", "upper_arm", "stature", "tolerance"),
    [(1441.0, 335.0, 1756.0, 0.0005), (1335.0, 311.0, 1629.0, 0.0015)],
    ids=["men", "women"],
)
def test_ratio_agrees_with_measured_means(
    acromion: float, upper_arm: float, stature: float, tolerance: float
) -> None:
    assert pytest.approx((acromion - upper_arm) / stature, abs=tolerance) == ELBOW_OF_STATURE
