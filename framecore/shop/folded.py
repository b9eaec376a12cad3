"""The blank of a folded sheet: plates of one ``sheet`` name laid flat."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from framecore.frame.model import Plate, Vector
from framecore.frame.vector import cross, dot

# Where the neutral line lies in the thickness, and the inside radius over the thickness: mild steel bent in air
# over a die of eight times the sheet (common practice).
K_FACTOR, RADIUS = 0.44, 1.0


def bend_deduction(thickness: float) -> float:
    """Return what a right-angled bend takes off the sum of its two outside lengths, mm.

    Notes
    -----
    ``BD = 2 (R + t) - pi/2 (R + K t)``: both legs measured to the outside corner, less the length of the neutral
    line round the bend; R = t inside and K = 0.44.

    Source: geometry of the neutral line; R and K common practice: bend a trial strip.
    """
    r = RADIUS * thickness
    return 2 * (r + thickness) - math.pi / 2 * (r + K_FACTOR * thickness)


def blank(plates: Sequence[Plate]) -> tuple[float, float]:
    """Return length and width of the rectangle a folded sheet is cut from, longer first, mm.

    Parameters
    ----------
    plates : the parts of one sheet; the largest is its bottom, the others its lips, which stand on it
    """
    bottom = largest(plates)
    size = dict(zip("uv", np.ptp(bottom.outline, axis=0).tolist(), strict=True))
    w = cross(bottom.u_axis, bottom.v_axis)
    for lip in plates:
        if lip is bottom:
            continue
        out = cross(lip.u_axis, lip.v_axis)
        way = "u" if abs(dot(out, bottom.u_axis)) > abs(dot(out, bottom.v_axis)) else "v"
        size[way] += _along(lip, w) + lip.thickness - bend_deduction(lip.thickness)
    return max(size.values()), min(size.values())


def largest(plates: Sequence[Plate]) -> Plate:
    """Return the part of a folded sheet that its lips stand on."""
    return max(plates, key=lambda p: float(np.prod(np.ptp(p.outline, axis=0))))


def _along(plate: Plate, way: Vector) -> float:
    """Return how far a plate's outline reaches along a unit vector."""
    at: list[float] = [u * dot(plate.u_axis, way) + v * dot(plate.v_axis, way) for u, v in plate.outline.tolist()]
    return max(at) - min(at)


def blank_note(plates: Sequence[Plate]) -> str:
    """Return how the blank is folded, for the cut list."""
    t = plates[0].thickness
    return (
        f"blank folded on {len(plates) - 1} sides, {bend_deduction(t):.2f} mm taken off a bend "
        f"(inside radius {RADIUS * t:g} mm, K {K_FACTOR:g}, common practice: bend a trial strip)"
    )
