"""What a bolt is tightened to, and the torque that gets it there."""

from __future__ import annotations

from functools import lru_cache

from framecore.catalogue.bolts import proof_load
from framecore.catalogue.model import Thread

# Share of the proof load that a joint to be taken apart again is tightened to; nut factor and its usual scatter.
PRELOAD, NUT_FACTOR, SCATTER = 0.75, 0.20, 0.25
TORQUE_SOURCE = "T = K d F, K = 0.20 dry, +-25 % by torque wrench; common practice (VDI 2230 scatter), from memory"


@lru_cache(maxsize=256)
def assembly_preload(thread: Thread, bolt_class: str) -> float:
    """Return the clamp load a bolt is tightened to, N: 75 % of its proof load."""
    return PRELOAD * proof_load(thread, bolt_class)


def torque_for(diameter: float, load: float, factor: float = NUT_FACTOR) -> float:
    """Return the tightening torque, N mm: T = K d F with d mm and F N."""
    return factor * diameter * load
