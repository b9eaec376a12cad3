"""Moves grips apart in the picture where they would cover each other. Plain arrays, no toolkit."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.view3d.camera import Floats

EDGE_ON = 0.2  # sine between a grip's line and the line of sight: at less a pixel would be many millimetres
GAP = 3.0  # px left between two grips
ROUNDS = 12


def spread(spots: Floats, radii: Sequence[float]) -> Floats:
    """Return the spots (n, 2) px moved apart until none of the circles about them touches another.

    Two on one spot part sideways, the earlier one to the left. Spots that are nan stay so.
    """
    out = np.array(spots, float)
    n = len(out)
    if n < 2:
        return out
    i, j = np.triu_indices(n, 1)
    need = np.array(radii)[i] + np.array(radii)[j] + GAP
    for _ in range(ROUNDS):
        way = out[j] - out[i]
        apart = np.hypot(way[:, 0], way[:, 1])
        close = apart < need - 0.01  # false for nan
        if not close.any():
            break
        # One after the other: a grip between two is moved by both.
        for a, b, least in zip(i[close].tolist(), j[close].tolist(), need[close].tolist(), strict=True):
            step = out[b] - out[a]
            size = float(np.hypot(*step))
            if size >= least:
                continue
            unit = step / size if size > 0.5 else np.array([1.0, 0.0])
            out[a] -= unit * (least - size) / 2
            out[b] += unit * (least - size) / 2
    return out
