"""Places along a line pushed apart so that what stands there does not touch."""

from __future__ import annotations

from collections.abc import Sequence


def spread(places: Sequence[float], step: float) -> list[float]:
    """Return sorted places at least ``step`` apart; each run of pushed ones stays about its own mean."""
    runs: list[tuple[float, int]] = []  # mean, count
    for place in places:
        runs.append((place, 1))
        while len(runs) > 1:
            (a, m), (b, n) = runs[-2], runs[-1]
            if b - step * (n - 1) / 2 - (a + step * (m - 1) / 2) >= step:
                break
            runs[-2:] = [((a * m + b * n) / (m + n), m + n)]
    return [mean + step * (k - (n - 1) / 2) for mean, n in runs for k in range(n)]
