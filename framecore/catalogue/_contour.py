"""A section's boundary as a polygon with rounded corners, and exact integrals over it.

Every section of the catalogue is a ring of corner points, each with its own radius (0 for a sharp corner): a
tube has four rounded corners and a rounded hole, an angle six of which three are rounded, a round bar is a
square whose corners have half its side as radius. One representation gives the exact area integrals, the
cheap outline (the corners) and the fine one (the arcs as short chords).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

# Eight Gauss points on 0..1 integrate the arcs (a quarter turn or so, products of degree four) to 1e-10.
# Abramowitz and Stegun table 25.4; written out because numpy's polynomials load slowly.
_HALF_X = np.array([0.18343464249564978, 0.525532409916329, 0.7966664774136267, 0.9602898564975362])
_HALF_W = np.array([0.36268378337836166, 0.3137066458778869, 0.22238103445337443, 0.10122853629037706])
_GAUSS_X = 0.5 + 0.5 * np.concatenate([-_HALF_X, _HALF_X])
_GAUSS_W = 0.5 * np.concatenate([_HALF_W, _HALF_W])


class Integrals(NamedTuple):
    """Area (mm2), first moments (mm3) and second moments (mm4) about the origin of y and z."""

    area: float
    s_y: float  # integral of y
    s_z: float  # integral of z
    i_zz: float  # integral of y**2
    i_yy: float  # integral of z**2
    i_yz: float  # integral of y*z


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """Corner points (k, 2) counter-clockwise and the radius at each corner (k,), mm."""

    corners: Points
    radii: Points

    def tangents(self) -> tuple[Points, Points, Points, Points, Points]:
        """Return arc starts, arc ends, arc centres (k, 2), start angles and signed sweeps (k,).

        A sharp corner is an arc of radius 0: start, end and centre are the corner itself.
        """
        p = self.corners
        back = np.roll(p, 1, axis=0) - p
        ahead = np.roll(p, -1, axis=0) - p
        back = back / np.linalg.norm(back, axis=1)[:, None]
        ahead = ahead / np.linalg.norm(ahead, axis=1)[:, None]
        cosine = np.clip(np.sum(back * ahead, axis=1), -1.0, 1.0)
        half = 0.5 * np.arccos(cosine)
        reach = self.radii / np.tan(half)
        start, end = p + reach[:, None] * back, p + reach[:, None] * ahead
        bisector = back + ahead
        bisector = bisector / np.linalg.norm(bisector, axis=1)[:, None]
        centre = p + (self.radii / np.sin(half))[:, None] * bisector
        turn = np.sign(ahead[:, 0] * back[:, 1] - ahead[:, 1] * back[:, 0])  # +1 at a convex corner
        first = start - centre
        angle = np.arctan2(first[:, 1], first[:, 0])
        return start, end, centre, angle, turn * (np.pi - 2.0 * half)

    def integrals(self) -> Integrals:
        """Integrate over the ring's inside by Green's theorem, arcs included exactly."""
        start, end, centre, angle, sweep = self.tangents()
        line_to = np.roll(start, -1, axis=0)
        d_line = line_to - end
        line = end[:, None, :] + _GAUSS_X[None, :, None] * d_line[:, None, :]
        dz_line = np.broadcast_to(d_line[:, 1:2], line.shape[:2])
        a = angle[:, None] + _GAUSS_X[None, :] * sweep[:, None]
        r = self.radii[:, None]
        arc_y, arc_z = centre[:, :1] + r * np.cos(a), centre[:, 1:] + r * np.sin(a)
        dz_arc = r * np.cos(a) * sweep[:, None]
        y = np.concatenate([line[..., 0], arc_y])
        z = np.concatenate([line[..., 1], arc_z])
        w = np.concatenate([dz_line, dz_arc]) * _GAUSS_W
        return Integrals(
            float(np.sum(w * y)),
            float(np.sum(w * y * y) / 2.0),
            float(np.sum(w * y * z)),
            float(np.sum(w * y**3) / 3.0),
            float(np.sum(w * y * z * z)),
            float(np.sum(w * y * y * z) / 2.0),
        )

    def perimeter(self) -> float:
        """Length of the boundary, mm."""
        start, end, _, _, sweep = self.tangents()
        lines = np.linalg.norm(np.roll(start, -1, axis=0) - end, axis=1)
        return float(np.sum(lines) + np.sum(self.radii * np.abs(sweep)))

    def fine(self, chords: int) -> Points:
        """Return the boundary with each arc as ``chords`` chords; double points are dropped."""
        _, _, centre, angle, sweep = self.tangents()
        parts = []
        for i, radius in enumerate(self.radii):
            if radius <= 0.0:
                parts.append(self.corners[i : i + 1])
                continue
            a = angle[i] + np.linspace(0.0, sweep[i], chords + 1)
            parts.append(centre[i] + radius * np.column_stack([np.cos(a), np.sin(a)]))
        points = np.concatenate(parts)
        gap = np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1)
        kept: Points = points[gap > 1e-9]
        return kept


def box(width: float, height: float, radius: float) -> Ring:
    """Return a rectangle about the origin with rounded corners."""
    b, h = 0.5 * width, 0.5 * height
    corners = np.array([[-b, -h], [b, -h], [b, h], [-b, h]])
    return Ring(corners, np.full(4, radius))


def angle(width: float, height: float, thickness: float, root: float, toe: float) -> Ring:
    """Return an angle with its heel at the origin, legs along +y and +z."""
    t = thickness
    corners = np.array(
        [[0.0, 0.0], [width, 0.0], [width, t], [t, t], [t, height], [0.0, height]],
    )
    return Ring(corners, np.array([0.0, 0.0, toe, root, toe, 0.0]))


def channel(
    width: float,
    height: float,
    web: float,
    flange: float,
    root: float,
    toe: float,
    slope: float,
    gauge: float,
) -> Ring:
    """Return a channel with the back of its web on z's axis (y = 0), centred in z, flanges to +y.

    ``flange`` is the thickness at ``gauge`` from the back of the web; the inner face rises by ``slope``
    towards the web (0 for parallel flanges).
    """
    h = 0.5 * height
    at_tip = flange - slope * (width - gauge)
    at_web = flange + slope * (gauge - web)
    corners = np.array(
        [
            [0.0, -h],
            [width, -h],
            [width, -h + at_tip],
            [web, -h + at_web],
            [web, h - at_web],
            [width, h - at_tip],
            [width, h],
            [0.0, h],
        ]
    )
    return Ring(corners, np.array([0.0, 0.0, toe, root, root, toe, 0.0, 0.0]))


def plastic_modulus(rings: tuple[Points, ...], axis: int, neutral: float | None = None) -> float:
    """Return the plastic modulus of bending with strain along ``axis`` (0: y, 1: z), mm3.

    ``rings`` are closed polygons, outer counter-clockwise and holes clockwise. The plastic neutral axis
    halves the area (``neutral`` where symmetry tells it); both it and the modulus are line integrals that are
    exact for a polygon.
    """
    other = 1 - axis
    sign = -1.0 if axis == 1 else 1.0  # Green's theorem: +/- closed integral of F d(other)
    z0 = np.concatenate([ring[:, axis] for ring in rings])
    z1 = np.concatenate([np.roll(ring[:, axis], -1) for ring in rings])
    dy = np.concatenate([np.roll(ring[:, other], -1) - ring[:, other] for ring in rings])
    dz = z1 - z0
    level = np.abs(dz) < 1e-9
    safe = np.where(level, 1.0, dz)

    def below(c: float) -> float:
        m0, m1 = np.minimum(z0 - c, 0.0), np.minimum(z1 - c, 0.0)
        mean = np.where(level, m0, (m1 * m1 - m0 * m0) / (2.0 * safe))
        return float(sign * np.sum(mean * dy))

    if neutral is None:
        low, high = float(z0.min()), float(z0.max())
        half = 0.5 * below(high)
        for _ in range(50):
            neutral = 0.5 * (low + high)
            if below(neutral) < half:
                low = neutral
            else:
                high = neutral
    u0, u1 = z0 - neutral, z1 - neutral
    mean = np.where(level, 0.5 * u0 * np.abs(u0), (np.abs(u1) ** 3 - np.abs(u0) ** 3) / (6.0 * safe))
    return float(sign * np.sum(mean * dy))
