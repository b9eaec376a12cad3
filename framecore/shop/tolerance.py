"""How true a welded stand may be expected: general tolerances of lengths and angles, and what they mean for diagonals.

Source: ISO 13920:1996 tables 1 and 2, class B (A where asked), from secondary copies of the tables.
"""

from __future__ import annotations

import math

# Up to and including mm: deviation either way, mm, classes A, B, C, D.
_LINEAR = (
    (30.0, (1.0, 1.0, 1.0, 1.0)), (120.0, (1.0, 2.0, 3.0, 4.0)), (400.0, (1.0, 2.0, 4.0, 7.0)),
    (1000.0, (2.0, 3.0, 6.0, 9.0)), (2000.0, (3.0, 4.0, 8.0, 12.0)), (4000.0, (4.0, 6.0, 11.0, 16.0)),
)  # fmt: skip
# Shorter leg of the angle up to mm: deviation, mm per metre.
ANGLE_ROWS = ((400.0, (6.0, 13.0, 18.0, 26.0)), (1000.0, (4.5, 9.0, 13.0, 22.0)), (math.inf, (3.0, 6.0, 9.0, 18.0)))
CLASSES = "ABCD"
SOURCE = "ISO 13920:1996, class B, from secondary copies of the tables"


def linear_tolerance(length: float, quality: str = "B") -> float:
    """Return the deviation allowed either way of a welded length, mm; beyond the table its last row serves."""
    k = CLASSES.index(quality)
    return next((row[k] for limit, row in _LINEAR if length <= limit), _LINEAR[-1][1][k])


def angular_tolerance(shorter: float, quality: str = "B") -> float:
    """Return the deviation allowed of a right angle by its shorter leg, mm per metre."""
    k = CLASSES.index(quality)
    return next(row[k] for limit, row in ANGLE_ROWS if shorter <= limit)


def diagonal_tolerance(length: float, width: float, quality: str = "B") -> float:
    """Return by how much the two diagonals of a rectangle may differ, mm: ``2 L W eps / D``.

    A rectangle leaning by eps has diagonals ``sqrt(L^2 + W^2 +- 2 L W sin eps)``.

    Source: geometry; eps from ISO 13920 by the shorter side.
    """
    eps = angular_tolerance(min(length, width), quality) / 1000
    return 2 * length * width * eps / math.hypot(length, width)
