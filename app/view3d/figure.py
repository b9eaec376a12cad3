"""The operator as a plain line figure to scale, hands at the elbow's height. No toolkit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.height import ELBOW_OF_STATURE
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
# Heights over stature, standing. Source: Drillis and Contini, in Winter, fig. 4.1 (from memory).
SHOULDER, HIP, KNEE, CHIN, FOREARM, SHOULDER_HALF, HIP_HALF = 0.818, 0.530, 0.285, 0.870, 0.146, 0.1295, 0.0955
_AWAY = 330.0  # from the front of the stand to the middle of the body, mm


def operator_lines(stand: Stand) -> tuple[Floats, Floats]:
    """Return (p, 2, 3) lines of the figure and (3,) its right elbow, mm.

    The stature is the one given, or the one whose standard elbow is the elbow that was measured.
    """
    shoes = stand.brief.operator.shoes
    elbow_z = stand.height.elbow
    stature = (elbow_z - shoes) / ELBOW_OF_STATURE
    y = -stand.frame.depth / 2 - _AWAY

    def at(x: float, share: float, dy: float = 0.0) -> tuple[float, float, float]:
        return (x * stature, y + dy * stature, shoes + share * stature)

    lines: list[tuple[tuple[float, float, float], tuple[float, float, float]]] = []

    def path(*points: tuple[float, float, float]) -> None:
        lines.extend(zip(points, points[1:], strict=False))

    turn = np.linspace(0, 2 * np.pi, 25)
    middle, rx, rz = (CHIN + 1.0) / 2, 0.048, (1.0 - CHIN) / 2
    path(*(at(rx * float(np.cos(a)), middle + rz * float(np.sin(a))) for a in turn))
    path(at(0, CHIN), at(0, SHOULDER))
    trunk = [at(-SHOULDER_HALF, SHOULDER), at(SHOULDER_HALF, SHOULDER), at(HIP_HALF, HIP), at(-HIP_HALF, HIP)]
    path(*trunk, trunk[0])
    elbow = at(SHOULDER_HALF, ELBOW_OF_STATURE)
    for side in (-1, 1):
        x = side * SHOULDER_HALF
        path(at(x, SHOULDER), at(x, ELBOW_OF_STATURE), at(x * 0.7, ELBOW_OF_STATURE, FOREARM))
        leg = side * HIP_HALF * 0.75
        path(at(leg, HIP), at(leg, KNEE), at(leg, 0.0), at(leg, 0.0, 0.09))
        lines.append(((leg * stature, y, 0.0), (leg * stature, y + 0.11 * stature, 0.0)))
    return np.array(lines), np.array((elbow[0], elbow[1], elbow_z))
