"""The smallest picture that holds all points: exact, no bounding sphere."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def fit(axes: Floats, points: Floats, tan: Floats, parallel: bool) -> tuple[Floats, float]:
    """Return the centre to look at, (3,) mm, and the distance of the eye from it.

    In perspective each side of the picture is a plane through the eye; the points push all four outwards, and
    the eye goes back until opposite planes meet.

    Parameters
    ----------
    axes : (3, 3) rows right, up, towards the eye
    points : (n, 3) mm
    tan : (2,) half widths of the picture, across and up, at distance 1
    """
    p = points @ axes.T
    if parallel:
        low, high = p.min(0), p.max(0)
        return (low + high) / 2 @ axes, float(((high - low)[:2] / 2 / tan).max())
    z = p[:, 2:]
    plus, minus = (p[:, :2] + tan * z).max(0), (p[:, :2] - tan * z).min(0)
    eye_z = float(((plus - minus) / (2 * tan)).max())
    middle_z = float((p[:, 2].min() + p[:, 2].max()) / 2)
    return np.array([*(plus + minus) / 2, middle_z]) @ axes, eye_z - middle_z
