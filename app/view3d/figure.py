"""The operator as a plain rounded figure to scale, elbows bent and hands on the work. No toolkit."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.height import ELBOW_OF_STATURE
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
# Heights over stature, standing. Source: Drillis and Contini, in Winter, fig. 4.1 (from memory); thicknesses of
# the limbs are ours, they are only drawn.
SHOULDER, HIP, KNEE, CHIN, FOREARM, SHOULDER_HALF, HIP_HALF = 0.818, 0.530, 0.285, 0.870, 0.146, 0.1295, 0.0955
ARM = 0.025  # half the thickness of an arm at the elbow
ELBOW_HALF = SHOULDER_HALF - ARM / 2
_AWAY = 330.0  # from the front of the stand to the middle of the body, mm
_SIDES, _RINGS = 10, 5
LIMB_TRIANGLES = 2 * _SIDES * (2 * _RINGS - 1)  # every limb has as many


def operator_figure(stand: Stand) -> tuple[Floats, Floats]:
    """Return (t, 3, 3) triangles of the figure and (3,) its right elbow, mm.

    The stature is the one whose standard elbow is the operator's elbow, measured or computed.
    """
    shoes = stand.brief.operator.shoes
    stature = (stand.height.elbow - shoes) / ELBOW_OF_STATURE
    foot = np.array([0.0, -stand.frame.depth / 2 - _AWAY, shoes])
    elbow = foot + stature * np.array([ELBOW_HALF, 0.0, ELBOW_OF_STATURE])
    return body() * stature + foot, elbow


def limb_points(triangles: Floats) -> Floats:
    """Return (limbs, n, 3): every point of every limb once, from the figure's triangles."""
    limbs, half = triangles.reshape(-1, LIMB_TRIANGLES, 3, 3), LIMB_TRIANGLES // 2
    # In the first half of a limb's triangles the first corners run over all rings but the last.
    return np.concatenate([limbs[:, :half, 0], limbs[:, -_SIDES:, 2]], axis=1)


@lru_cache(maxsize=1)
def body() -> Floats:
    """(t, 3, 3): a figure of stature 1 standing at the origin and looking along +y."""
    limbs = [
        _limb((0, 0, CHIN + 0.05), (0, 0, 1 - 0.05), 0.044, 0.047),
        _limb((0, 0, SHOULDER), (0, 0, CHIN + 0.02), 0.032, 0.029),
    ]
    for side in (-1.0, 1.0):
        shoulder, elbow = (side * (SHOULDER_HALF - 0.034), 0, SHOULDER - 0.03), (side * ELBOW_HALF, 0, ELBOW_OF_STATURE)
        hand = (side * SHOULDER_HALF * 0.7, FOREARM + 0.05, ELBOW_OF_STATURE)
        hip, knee = (side * HIP_HALF * 0.55, 0, HIP), (side * HIP_HALF * 0.65, 0, KNEE)
        ankle, toe = (side * HIP_HALF * 0.75, 0, 0.02), (side * HIP_HALF * 0.95, 0.1, 0.015)
        limbs += [
            # Trunk and neck-to-shoulder of this side, then its arm and leg.
            _limb((side * 0.030, 0, HIP + 0.02), (side * 0.045, 0, SHOULDER - 0.075), 0.060, 0.064),
            _limb((side * 0.012, 0, SHOULDER + 0.012), shoulder, 0.028, 0.036),
            _limb(shoulder, elbow, 0.034, ARM), _limb(elbow, hand, ARM, 0.017),
            _limb(hip, knee, 0.052, 0.034), _limb(knee, ankle, 0.034, 0.021), _limb(ankle, toe, 0.020, 0.014),
        ]  # fmt: skip
    return np.concatenate(limbs)


def _limb(a: tuple[float, ...], b: tuple[float, ...], ra: float, rb: float) -> Floats:
    """(t, 3, 3): a tapering rod with round ends."""
    start, end = np.array(a, float), np.array(b, float)
    axis = end - start
    length = float(np.linalg.norm(axis))
    w = axis / length
    u = np.cross(w, (1.0, 0.0, 0.0) if abs(w[0]) < 0.9 else (0.0, 1.0, 0.0))
    u /= np.linalg.norm(u)
    v = np.cross(w, u)
    bend = np.linspace(-np.pi / 2, 0, _RINGS)
    along = np.r_[ra * np.sin(bend), length + rb * np.sin(bend + np.pi / 2)]
    radius = np.r_[ra * np.cos(bend), rb * np.cos(bend + np.pi / 2)]
    turn = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
    ring = np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v
    grid = start + along[:, None, None] * w + radius[:, None, None] * ring
    p, q = grid[:-1], grid[1:]
    p1, q1 = np.roll(p, -1, axis=1), np.roll(q, -1, axis=1)
    return np.concatenate([np.stack([p, p1, q1], 2).reshape(-1, 3, 3), np.stack([p, q1, q], 2).reshape(-1, 3, 3)])
