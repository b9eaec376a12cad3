"""The machine's holes as they are drilled: places, the lines between them, the steel under them.

Everything is measured from the datum (``seat_steel.datum_of``), x to the right, y to the back, mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framecore.sheets.drawing.model import Point2
from framecore.sheets.seat.holes import SeatHole, cut_of, machine_holes
from framecore.sheets.seat.seat_steel import Datum, datum_of, rims_under
from framecore.stand.model import Stand

ALIKE = 0.05  # mm; holes nearer than this to one line stand in one row


PatternHole = SeatHole  # one hole of the machine, numbered as in the view from above


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The holes, the pairs between which a centre line runs, outlines of the steel under them, and the datum."""

    datum: Datum
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
    rims = rims_under(stand)
    datum = datum_of(stand, rims)
    x0, y0 = datum.at
    numbered = machine_holes(stand)
    holes = []
    for mount in stand.frame.mounts:
        at = (mount.point[0] - x0, mount.point[1] - y0)
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
    outlines = tuple((name, tuple((x - x0, y - y0) for x, y in rim)) for name, rim in rims)
    return Pattern(datum=datum, holes=tuple(holes), links=_links(places), outlines=outlines)


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
