"""The machine's holes as they are drilled: places, the lines between them, the steel under them.

Everything is measured from the datum: the frame's outer left front corner, x to the right, y to the back, mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import PlateRole, Role
from framecore.sheets.holes import SeatHole, cut_of, machine_holes
from framecore.sheets.model import Point2
from framecore.stand.model import Stand

ALIKE = 0.05  # mm; holes nearer than this to one line stand in one row
UNDER = (Role.BEARER, Role.TOP_RAIL, Role.BEAM, Role.LEG, Role.COLUMN)
PLATES = (PlateRole.HEAD, PlateRole.BLOCK)


PatternHole = SeatHole  # one hole of the machine, numbered as in the view from above


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The holes, the pairs between which a centre line runs, and outlines of what is drilled."""

    holes: tuple[PatternHole, ...]
    links: tuple[tuple[int, int], ...]
    outlines: tuple[tuple[str, tuple[Point2, ...]], ...]

    def distance(self, i: int, j: int) -> float:
        """Distance between two holes by their places in ``holes``, mm."""
        return math.dist(self.holes[i].at, self.holes[j].at)

    def longest(self) -> tuple[int, int] | None:
        """The two holes that lie furthest apart; None for a single one."""
        pairs = [(i, j) for j in range(len(self.holes)) for i in range(j)]
        return max(pairs, key=lambda k: round(self.distance(*k), 3)) if pairs else None


def pattern_of(stand: Stand) -> Pattern | None:
    """Return what is drilled for the machine; None where it is not bolted down."""
    dx, dy = stand.frame.length / 2, stand.frame.depth / 2
    numbered = machine_holes(stand)
    holes = []
    for mount in stand.frame.mounts:
        at = (mount.point[0] + dx, mount.point[1] + dy)
        if mount.hole <= 0.0 or not numbered:
            continue
        near = min(numbered, key=lambda k: math.dist(k.at, at))
        if math.dist(near.at, at) < 0.1:
            cut = cut_of(mount.hole, mount.slot, mount.slot_axis)
            what = f"machine foot {mount.name.removeprefix('mount ')}"
            holes.append(PatternHole(number=near.number, at=at, cut=cut, what=what))
    if not holes:
        return None
    holes.sort(key=lambda h: h.number)
    places = [h.at for h in holes]
    return Pattern(holes=tuple(holes), links=_links(places), outlines=steel_under(stand))


def _links(places: Sequence[Point2]) -> tuple[tuple[int, int], ...]:
    """Neighbours in each row and column; then the shortest lines that join what is still apart."""
    pairs: set[tuple[int, int]] = set()
    for k in (0, 1):
        order = sorted(range(len(places)), key=lambda i: (places[i][1 - k], places[i][k]))
        for n, i in enumerate(order):
            row = [j for j in order[n + 1 :] if abs(places[j][1 - k] - places[i][1 - k]) < ALIKE]
            if row:
                j = min(row, key=lambda j: abs(places[j][k] - places[i][k]))
                pairs.add((min(i, j), max(i, j)))
    group = list(range(len(places)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for i, j in pairs:
        group[root(i)] = root(j)
    rest = [(i, j) for j in range(len(places)) for i in range(j)]
    for i, j in sorted(rest, key=lambda p: math.dist(places[p[0]], places[p[1]])):
        if root(i) != root(j):
            group[root(i)] = root(j)
            pairs.add((i, j))
    return tuple(sorted(pairs))


def steel_under(stand: Stand) -> tuple[tuple[str, tuple[Point2, ...]], ...]:
    """Return outlines from above of rails, bearers and plates right under the machine, from the datum."""
    frame, layout = stand.frame, stand.solids.layout
    shift = np.array([frame.length / 2, frame.depth / 2])
    upright = {m.name for m in frame.members if abs(m.x_axis[2]) > 0.999}
    names = [m.name for m in frame.members if m.role in UNDER and (m.name in upright or abs(m.x_axis[2]) < 0.001)]
    names += [p.name for p in frame.plates if p.role in PLATES]
    out = []
    for name in names:
        if name not in layout.parts:
            continue
        own = stand.solids.vertices[layout.vertex_part == layout.parts.index(name)]
        # What lies far below the seat is not under the template: a base, a lower ring, a column's foot.
        if own[:, 2].max() > frame.ring_top - 5.0:
            points = _hull(own[:, :2] + shift)
            out.append((name, tuple((float(x), float(y)) for x, y in points)))
    return tuple(out)


def _hull(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Convex hull, counter-clockwise (monotone chain)."""
    ranked = sorted({(round(float(x), 4), round(float(y), 4)) for x, y in points})

    def half(way: list[Point2]) -> list[Point2]:
        chain: list[Point2] = []
        for p in way:
            while len(chain) > 1:
                (ax, ay), (bx, by) = chain[-2], chain[-1]
                if (bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax) > 1e-9:
                    break
                chain.pop()
            chain.append(p)
        return chain[:-1]

    return np.array(half(ranked) + half(ranked[::-1]))
