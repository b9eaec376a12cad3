"""Tipping over each side of the base, stand and machine as one rigid body."""

from __future__ import annotations

import math

from framecore.frame.model import Frame
from framecore.strength.model import TippingSide
from framecore.units import KILOGRAM_FORCE


def tipping(
    frame: Frame, mass: float, centre: tuple[float, float, float], push_height: float
) -> tuple[TippingSide, ...]:
    """Return the push and the tilt that tip the stand over each side.

    A horizontal push F at height h tips about the line of the feet when F h = W d, d the distance from the
    centre of mass to that line; tilted floor or stand tips at atan(d / height of the centre of mass).

    Source: statics.
    """
    xs, ys = [f.base[0] for f in frame.feet], [f.base[1] for f in frame.feet]
    levers = {
        "front": centre[1] - min(ys),
        "back": max(ys) - centre[1],
        "left": centre[0] - min(xs),
        "right": max(xs) - centre[0],
    }
    return tuple(
        TippingSide(
            side=side, lever=d, height=push_height, centre_height=centre[2], mass=mass,
            force=mass * KILOGRAM_FORCE * d / push_height, angle=math.atan2(d, centre[2]),
        )
        for side, d in levers.items()
    )  # fmt: skip
