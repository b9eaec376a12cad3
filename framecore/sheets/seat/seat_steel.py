"""The steel under the machine as it is seen from above, and the corner of it that the holes are measured from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import PlateRole, Role
from framecore.sheets.drawing.model import Point2
from framecore.stand.model import Stand

UNDER = (Role.BEARER, Role.TOP_RAIL, Role.BEAM, Role.LEG, Role.COLUMN)
PLATES = (PlateRole.HEAD, PlateRole.BLOCK)
NEAR = 1.0  # mm; a corner of the frame where steel ends nearer than this is a corner of steel
Rim = tuple[Point2, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Datum:
    """Where holes are measured from: its place in the stand's axes, mm, what it is, and whether it is the frame's corner."""

    at: Point2
    words: str
    of_frame: bool


def datum_of(stand: Stand, rims: tuple[tuple[str, Rim], ...]) -> Datum:
    """Return the frame's outer left front corner; where no steel lies there, that of the part which is drilled furthest to it.

    A square laid on paper in the air measures nothing: head plates of a column and bearers on one beam bear their own datum.
    """
    corner = (-stand.frame.length / 2, -stand.frame.depth / 2)
    drilled = {h.owner for h in stand.frame.holes if h.purpose.startswith("machine foot ")}
    own = [(name, min(rim, key=sum)) for name, rim in rims if name in drilled]
    if not own or any(math.dist(corner, p) < NEAR for _, rim in rims for p in rim):
        return Datum(at=corner, words="outer left front corner of the frame", of_frame=True)
    name, at = min(own, key=lambda q: sum(q[1]))
    mark = stand.shop.piece_of.get(name, "")
    return Datum(at=at, words=f"left front corner of {_called(name)}{f' ({mark})' if mark else ''}", of_frame=False)


def _called(name: str) -> str:
    """A name in a sentence: "bearer 1" as it is, "the head plate" with its article."""
    return name if name[-1:].isdigit() else f"the {name}"


@lru_cache(maxsize=1)  # one packet asks for it a dozen times
def rims_under(stand: Stand) -> tuple[tuple[str, Rim], ...]:
    """Return outlines from above of rails, bearers and plates right under the machine, in the stand's axes, mm."""
    frame, layout = stand.frame, stand.solids.layout
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
            out.append((name, tuple((float(x), float(y)) for x, y in _hull(own[:, :2]))))
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
