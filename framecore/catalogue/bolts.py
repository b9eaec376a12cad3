"""Strength classes of bolts: what the steel of each stands."""

from __future__ import annotations

from framecore.catalogue.model import Thread

# ISO 898-1: proof stress up to 16 mm, above, tensile and yield strength (nominal), MPa; 580 from memory.
_CLASSES = {
    "4.6": (225.0, 225.0, 400.0, 240.0), "5.6": (280.0, 280.0, 500.0, 300.0), "8.8": (580.0, 600.0, 800.0, 640.0),
    "10.9": (830.0, 830.0, 1000.0, 900.0),
}  # fmt: skip
# Share of the tensile strength that shears a thread off: less where the steel is hard and tears at once.
_SHEAR = {"4.6": 0.6, "5.6": 0.6, "8.8": 0.6, "10.9": 0.5}
STUD_CLASS = "4.6"  # of feet's studs as bought (assumed), on the safe side
CLASS_SOURCE = "ISO 898-1, from memory"


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


def shear_share(bolt_class: str) -> float:
    """Return alpha_v, shear strength of the threaded part over tensile strength. Source: EN 1993-1-8 table 3.4, from memory."""
    return _SHEAR[bolt_class]
