"""What a ray meets first: every triangle at once (Moeller and Trumbore's test)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def pick(origin: Floats, direction: Floats, triangles: Floats) -> tuple[int, float]:
    """Return the nearest triangle's index and the distance to it, or (-1, inf).

    Parameters
    ----------
    origin, direction : (3,) mm and a unit vector
    triangles : (n, 3, 3) corners, mm; both sides count
    """
    a = triangles[:, 0]
    e1, e2 = triangles[:, 1] - a, triangles[:, 2] - a
    p = np.cross(direction, e2)
    det = (e1 * p).sum(1)
    s = origin - a
    q = np.cross(s, e1)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        inv = 1 / det
        u, v, t = (s * p).sum(1) * inv, (q @ direction) * inv, (e2 * q).sum(1) * inv
        hit = (np.abs(det) > 1e-12) & (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-6)
    if not hit.any():
        return -1, float("inf")
    t = np.where(hit, t, np.inf)
    nearest = int(t.argmin())
    return nearest, float(t[nearest])
