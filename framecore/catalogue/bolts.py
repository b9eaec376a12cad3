"""Strength classes of bolts: what the steel of each stands, and which is made with which thread."""

from __future__ import annotations

from framecore.catalogue.model import Thread

KSI = 6.894757  # MPa

# ISO 898-1: proof stress up to 16 mm, above, tensile and yield strength (nominal), MPa; 580 from memory.
# SAE J429 up to 3/4 in, ksi: proof, tensile, yield strength; from memory.
_CLASSES = {
    "4.6": (225.0, 225.0, 400.0, 240.0), "5.6": (280.0, 280.0, 500.0, 300.0), "8.8": (580.0, 600.0, 800.0, 640.0),
    "10.9": (830.0, 830.0, 1000.0, 900.0),
} | {
    name: tuple(KSI * s for s in (proof, proof, tensile, yields))
    for name, proof, tensile, yields in (
        ("SAE 1", 33.0, 60.0, 36.0), ("SAE 2", 55.0, 74.0, 57.0), ("SAE 5", 85.0, 120.0, 92.0), ("SAE 8", 120.0, 150.0, 130.0),
    )
}  # fmt: skip
# The class of the other system that comes nearest: metric threads are not made by SAE J429, inch threads not by ISO 898-1.
_INCH_FOR = {"4.6": "SAE 1", "5.6": "SAE 2", "8.8": "SAE 5", "10.9": "SAE 8"}
_METRIC_FOR = {grade: name for name, grade in _INCH_FOR.items()}
# Share of the tensile strength that shears a thread off: less where the steel is hard and tears at once.
_SHEAR = {"10.9": 0.5, "SAE 8": 0.5}
_STUD = "4.6"  # of feet's studs as bought (assumed), on the safe side
_ISO, _SAE = "ISO 898-1, from memory", "SAE J429, from memory"


def class_of(thread: Thread, asked: str) -> str:
    """Return the strength class a bolt of this thread is made in: ``asked``, or the nearest of the thread's own system."""
    return (_INCH_FOR if thread.system == "inch" else _METRIC_FOR).get(asked, asked)


def stud_class(thread: Thread) -> str:
    """Return the class that a bought foot's stud is taken for, on the safe side (assumed)."""
    return class_of(thread, _STUD)


def class_words(bolt_class: str) -> str:
    """Return a class as it is asked for: "class 8.8", "SAE grade 5"."""
    if bolt_class.startswith("SAE"):
        return f"SAE grade {bolt_class.removeprefix('SAE ')}"
    return f"class {bolt_class}"


def class_source(bolt_class: str) -> str:
    """Return where the strengths of a class stand."""
    return _SAE if bolt_class.startswith("SAE") else _ISO


def nut_words(bolt_class: str) -> str:
    """Return the nut that goes with a bolt's class: "class 8", "SAE J995 grade 5".

    Source: ISO 898-2, the first number of the bolt's class and none under 5; SAE J995, the bolt's own grade and none
    under 2; from memory.
    """
    if bolt_class.startswith("SAE"):
        return f"SAE J995 grade {max(int(bolt_class.removeprefix('SAE ')), 2)}"
    return f"class {max(int(bolt_class.split('.')[0]), 5)}"


def proof_load(thread: Thread, bolt_class: str) -> float:
    """Return the proof load of a bolt, N. Source: ISO 898-1 or SAE J429, proof stress by class on the stress area."""
    small, large, _, _ = _CLASSES[bolt_class]
    return (small if thread.diameter <= 16.0 + 1e-9 else large) * thread.stress_area


def tensile(bolt_class: str) -> float:
    """Return the nominal tensile strength of a class, MPa. Source: ISO 898-1, SAE J429."""
    return _CLASSES[bolt_class][2]


def yield_stress(bolt_class: str) -> float:
    """Return the nominal yield strength of a class, MPa. Source: ISO 898-1, SAE J429."""
    return _CLASSES[bolt_class][3]


def shear_share(bolt_class: str) -> float:
    """Return alpha_v, shear strength of the threaded part over tensile strength. Source: EN 1993-1-8 table 3.4, from memory."""
    return _SHEAR.get(bolt_class, 0.6)
