"""The nearest pattern with mirror lines to holes as measured: what the machine's maker probably meant.

For four holes two mirror lines make a rectangle and one an even trapezium; more holes follow the same rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

Point = tuple[float, float]
Complex = NDArray[np.complex128]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class SymmetricPattern:
    """The pattern with ``mirrors`` mirror lines that is nearest by least squares.

    Attributes
    ----------
    kind : "rectangle", "trapezium", "two mirror lines" or "one mirror line"
    holes : where each would be, in the axes of the measured ones, mm
    off : how far each measured hole lies from there, mm
    worst : the largest of them, mm
    angle : of the mirror line from +x, rad; of two, the one along the pattern's length
    middle : a point of the mirror lines: the middle of the holes, mm
    text : one sentence for the maker
    """

    kind: str
    mirrors: int
    holes: tuple[Point, ...]
    off: tuple[float, ...]
    worst: float
    angle: float
    middle: Point
    text: str


def nearest_symmetric(points: Sequence[Point]) -> tuple[SymmetricPattern, ...]:
    """Return the nearest pattern with two mirror lines and that with one, each where the holes pair up for it.

    Parameters
    ----------
    points : x, y of two holes or more, mm, in any order

    Raises
    ------
    ValueError
        Fewer than two holes, or a place that is no number.
    """
    at = np.array(points, dtype=np.float64)
    if at.ndim != 2 or at.shape[0] < 2 or at.shape[1] != 2 or not np.isfinite(at).all():
        raise ValueError("The nearest even pattern needs two holes or more, each with a finite x and y.")
    middle = complex(at[:, 0].mean(), at[:, 1].mean())
    z = at[:, 0] + 1j * at[:, 1] - middle
    found = []
    for mirrors in (2, 1):
        best: tuple[float, Complex, float] | None = None
        for angle in _angles(z):
            got = _two(z, angle) if mirrors == 2 else _one(z, angle)
            if got is None:
                continue
            near, line = got
            miss = float((np.abs(z - near) ** 2).sum())
            if best is None or miss < best[0] - 1e-12:
                best = (miss, near, line)
        if best is not None:
            found.append(_pattern(z, best[1], best[2], middle, mirrors))
    return tuple(found)


def _angles(z: Complex) -> NDArray[np.float64]:
    """Return mirror lines worth a try: across and along every pair of holes."""
    i, j = np.triu_indices(len(z), 1)
    way = np.angle(z[j] - z[i])
    return np.unique(np.round(np.r_[way, way + np.pi / 2] % np.pi, 6))


def _partners(z: Complex, image: Complex) -> Index | None:
    """Return which hole each hole's image falls on, None unless that pairs the holes off."""
    _, to = linear_sum_assignment(np.abs(image[:, None] - z[None, :]) ** 2)
    paired = np.array_equal(to[to], np.arange(len(z)))
    # Four holes on their own mirror lines are a kite or a rhombus, which no machine's feet are.
    lone = len(z) == 4 and bool((to == np.arange(4)).any())
    return None if not paired or lone else to


def _one(z: Complex, angle: float) -> tuple[Complex, float] | None:
    to = _partners(z, np.exp(2j * angle) * np.conj(z))
    if to is None:
        return None
    # The line for which the holes and their partners' images agree best, in closed form.
    line = float(np.angle((z * z[to]).sum())) / 2
    return (z + np.exp(2j * line) * np.conj(z[to])) / 2, line


def _two(z: Complex, angle: float) -> tuple[Complex, float] | None:
    over, across = _partners(z, np.exp(2j * angle) * np.conj(z)), _partners(z, -np.exp(2j * angle) * np.conj(z))
    if over is None or across is None or not np.array_equal(over[across], across[over]):
        return None
    line = float(np.angle((z * z[over] - z * z[across]).sum())) / 2
    turn = np.exp(2j * line)
    near = (z + turn * np.conj(z[over]) - turn * np.conj(z[across]) - z[over[across]]) / 4
    return near, line


def _pattern(z: Complex, near: Complex, line: float, middle: complex, mirrors: int) -> SymmetricPattern:
    along = near * np.exp(-1j * line)
    if mirrors == 2 and np.ptp(along.imag) > np.ptp(along.real) * (1 + 1e-9):
        line += np.pi / 2
        along = near * np.exp(-1j * line)
    four = len(z) == 4
    names = ("trapezium", "rectangle") if four else ("one mirror line", "two mirror lines")
    kind = names[mirrors - 1]
    off = np.abs(z - near)
    worst = int(np.argmax(off))
    if mirrors == 2:
        size = f"{np.ptp(along.real):.1f} x {np.ptp(along.imag):.1f} mm"
    elif four:
        # Partners lie across the line: the two holes nearer one end make one side.
        order = np.argsort(along.real)
        one, other = (np.ptp(along.imag[k]) for k in (order[:2], order[2:]))
        size = f"{one:.1f} and {other:.1f} mm wide, {along.real[order[2:]].mean() - along.real[order[:2]].mean():.1f} mm apart"
    else:
        size = f"{np.ptp(along.real):.1f} mm along it, {np.ptp(along.imag):.1f} mm across"
    name = f"The nearest {kind}" if four else f"The nearest pattern with {kind}"
    shown = near + middle
    return SymmetricPattern(
        kind=kind, mirrors=mirrors, holes=tuple((float(p.real), float(p.imag)) for p in shown), off=tuple(off.tolist()),
        worst=float(off[worst]), angle=float((line + np.pi / 2) % np.pi - np.pi / 2), middle=(middle.real, middle.imag),
        text=f"{name} is {size}; hole {worst + 1} lies farthest off it, by {off[worst]:.2f} mm.",
    )  # fmt: skip
