"""Shear areas, shear centre and warping of thin walls, from shear flow along the wall's middle line.

The shear area of a direction is I**2 / integral(S**2 / t ds), the energy of the shear flow V S / I; Poisson's
ratio plays no part in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# Three Gauss points on 0..1 integrate the square of a quadratic exactly.
_GAUSS_X = 0.5 + np.sqrt(0.15) * np.array([-1.0, 0.0, 1.0])
_GAUSS_W = np.array([5.0, 8.0, 5.0]) / 18.0


@dataclass(frozen=True, slots=True)
class OpenWall:
    """What the middle line of an open wall gives.

    ``shear_1`` and ``shear_2`` are the shear areas for forces along the principal axes at ``theta`` and
    at ``theta`` + 90 degrees from y, mm2; ``shear_centre`` in the coordinates of the line, mm; ``warping``
    mm6.
    """

    shear_1: float
    shear_2: float
    shear_centre: tuple[float, float]
    warping: float


def open_wall(line: NDArray[np.float64], thickness: NDArray[np.float64], theta: float) -> OpenWall:
    """Follow the shear flow along an open line of straight walls from its first to its last point.

    Parameters
    ----------
    line : (n + 1, 2) float64, mm
    thickness : (n,) float64, mm
    theta : direction of the first principal axis from y, rad
    """
    d = np.diff(line, axis=0)
    length = np.linalg.norm(d, axis=1)
    area = thickness * length
    middle = 0.5 * (line[1:] + line[:-1])
    centroid = area @ middle / area.sum()
    turn = np.array([[np.cos(theta), np.sin(theta)], [-np.sin(theta), np.cos(theta)]])
    p = (line - centroid) @ turn.T  # along the two principal axes
    step = np.diff(p, axis=0)
    areas, flows = [], []
    for k in (0, 1):
        a = p[:-1, k, None] + step[:, k, None] * _GAUSS_X
        inertia = float(np.sum(area[:, None] * _GAUSS_W * a * a))
        part = area * (p[:-1, k] + 0.5 * step[:, k])
        before = np.concatenate([[0.0], np.cumsum(part)[:-1]])
        along = p[:-1, k, None] * _GAUSS_X + 0.5 * step[:, k, None] * _GAUSS_X**2
        s = before[:, None] + area[:, None] * along
        areas.append(inertia**2 / float(np.sum((length / thickness)[:, None] * _GAUSS_W * s * s)))
        flows.append((s * _GAUSS_W).sum(axis=1) * length / inertia)
    lever = (p[:-1, 0] * step[:, 1] - p[:-1, 1] * step[:, 0]) / length
    # the flow of a force along axis k is -S_k / I_k; its moment is the force times the centre's lever
    moment_1, moment_2 = -float(flows[0] @ lever), -float(flows[1] @ lever)
    pole = np.array([moment_2, -moment_1])
    q = p - pole
    sector = np.concatenate([[0.0], np.cumsum(q[:-1, 0] * step[:, 1] - q[:-1, 1] * step[:, 0])])
    w0, w1 = sector[:-1], sector[1:]
    mean = float(np.sum(area * 0.5 * (w0 + w1)) / area.sum())
    w0, w1 = w0 - mean, w1 - mean
    warping = float(np.sum(area * (w0 * w0 + w0 * w1 + w1 * w1) / 3.0))
    centre = centroid + pole @ turn
    return OpenWall(areas[0], areas[1], (float(centre[0]), float(centre[1])), warping)


def box_shear_area(across: float, along: float, wall: float) -> float:
    """Return the shear area of a rectangular tube for a force along ``along``; middle-line sizes, mm2."""
    b, h, t = across, along, wall
    inertia = t * h**3 / 6.0 + b * t * h * h / 2.0
    c = h * b / 4.0 + h * h / 8.0
    energy = t * h * h * b**3 / 24.0 + 2.0 * t * (c * c * h - c * h**3 / 12.0 + h**5 / 320.0)
    return inertia**2 / energy


def round_shear_area(area: float, bore_ratio: float, poisson: float = 0.0) -> float:
    """Return the shear area of a round tube or bar (bore over outer diameter), mm2.

    Poisson's ratio is 0, as in every other shear area of the catalogue; 0.3 would give 3 to 6 % more.

    Source: Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966).
    """
    m2 = bore_ratio * bore_ratio
    top = 6.0 * (1.0 + poisson) * (1.0 + m2) ** 2
    return area * top / ((7.0 + 6.0 * poisson) * (1.0 + m2) ** 2 + (20.0 + 12.0 * poisson) * m2)
