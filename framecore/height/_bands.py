"""Where the hands should work, against the elbow."""

from __future__ import annotations

# Floor to elbow over stature, standing, barefoot. Source: Drillis and Contini, in Winter, fig. 4.1 (from memory).
ELBOW_OF_STATURE = 0.630

# Work line against the elbow, mm: low, high. Sources: Pheasant and Haslegrave 2006 for precision, light and
# heavy; turning: turners' rule, spindle axis at the elbow, with 25 mm either way as common practice.
BANDS: dict[str, tuple[float, float]] = {
    "precision": (50.0, 100.0),
    "turning": (-25.0, 25.0),
    "light": (-100.0, -50.0),
    "heavy": (-250.0, -100.0),
}

# Kind of work by machine: common practice.
WORK_OF_MACHINE: dict[str, str] = {
    "lathe": "turning",
    "mill": "light",
    "drill press": "light",
    "saw": "light",
    "grinder": "turning",
    "surface plate": "precision",
    "workbench": "light",
}
