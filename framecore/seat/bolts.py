"""What a bolt of a strength class holds, and the torque that gets it there."""

from __future__ import annotations

from functools import lru_cache

from framecore.catalogue.model import Thread

# ISO 898-1: proof stress up to 16 mm, above, tensile and yield strength (nominal), MPa; 580 from memory.
_CLASSES = {
    "4.6": (225.0, 225.0, 400.0, 240.0), "5.6": (280.0, 280.0, 500.0, 300.0), "8.8": (580.0, 600.0, 800.0, 640.0),
    "10.9": (830.0, 830.0, 1000.0, 900.0),
}  # fmt: skip
CLASS_SOURCE = "ISO 898-1, from memory"
# Share of the proof load that a joint to be taken apart again is tightened to; nut factor and its usual scatter.
PRELOAD, NUT_FACTOR, SCATTER = 0.75, 0.20, 0.25
TORQUE_SOURCE = "T = K d F, K = 0.20 dry, +-25 % by torque wrench; common practice (VDI 2230 scatter), from memory"


def proof_load(thread: Thread, bolt_class: str) -> float:
    """Return the proof load of a bolt, N. Source: ISO 898-1, proof stress by class on the stress area."""
    small, large, _, _ = _CLASSES[bolt_class]
    return (small if thread.diameter <= 16.0 + 1e-9 else large) * thread.stress_area


def tensile(bolt_class: str) -> float:
    """Return the nominal tensile strength of a class, MPa. Source: ISO 898-1."""
    return _CLASSES[bolt_class][2]


def yield_stress(bolt_class: str) -> float:
    """Return the nominal yield strength of a class, MPa. Source: ISO 898-1."""
    return _CLASSES[bolt_class][3]


@lru_cache(maxsize=256)
def assembly_preload(thread: Thread, bolt_class: str) -> float:
    """Return the clamp load a bolt is tightened to, N: 75 % of its proof load."""
    return PRELOAD * proof_load(thread, bolt_class)


def torque_for(diameter: float, load: float, factor: float = NUT_FACTOR) -> float:
    """Return the tightening torque, N mm: T = K d F with d mm and F N."""
    return factor * diameter * load
