"""The floor under the feet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.frame.model import Frame

Floats = NDArray[np.float64]
_FALL = {"front": (0.0, 1.0), "back": (0.0, -1.0), "left": (1.0, 0.0), "right": (-1.0, 0.0)}


def floor_under(brief: Brief, frame: Frame) -> Floats:
    """Return the floor's height under each foot against their mean, (feet,) mm.

    Measured heights where the brief has as many as there are feet, else the fall of the floor.
    """
    given = brief.floor.heights
    if len(given) == len(frame.feet):
        heights = np.array(given)
    else:
        way = np.array(_FALL[brief.floor.falls_to]) * brief.floor.slope / 1000
        heights = np.array([f.base[:2] for f in frame.feet]) @ way
    return np.asarray(heights - heights.mean())
