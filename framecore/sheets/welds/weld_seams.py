"""The seams of one assembly: straight stretches in space, and which parts they join."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from framecore.sheets.drawing.hidden import Array
from framecore.shop.work import Assembly, Weld
from framecore.stand.model import Stand

OFF = 0.4  # mm the seam is lifted out of its corner to be seen


@dataclass(frozen=True, slots=True, eq=False)
class Seams:
    """Straight stretches of an assembly's welds in space.

    ``starts``, ``ends`` (k, 3) mm; ``of`` which weld each belongs to.
    """

    welds: tuple[Weld, ...]
    starts: Array
    ends: Array
    of: tuple[int, ...]


def seams_of(welds: Sequence[Weld]) -> Seams:
    """Cut runs into straight stretches, stitches where the weld is stitched, each lifted out of its corner."""
    starts, ends, of = [], [], []
    for k, w in enumerate(welds):
        for run, (one, other) in zip(w.runs, w.faces, strict=True):
            out = np.add(one, other)
            lift = out / max(float(np.linalg.norm(out)), 1e-9) * OFF
            for a, b in pairwise(run):
                p, q = np.asarray(a) + lift, np.asarray(b) + lift
                for s, e in stitches(float(np.linalg.norm(q - p)), w.stitch, w.pitch):
                    starts.append(p + (q - p) * s)
                    ends.append(p + (q - p) * e)
                    of.append(k)
    return Seams(tuple(welds), np.array(starts).reshape(-1, 3), np.array(ends).reshape(-1, 3), tuple(of))


def stitches(length: float, stitch: float, pitch: float) -> list[tuple[float, float]]:
    """Return the stretches to weld of a run, shares of its length: all of it, or stitches from end to end of it."""
    if stitch <= 0 or pitch <= 0 or length <= 0:
        return [(0.0, 1.0)]
    n = 1 if length < 2 * stitch else math.ceil((length - stitch) / pitch) + 1
    if n == 1:
        s = min(stitch / length, 1.0)
        return [((1 - s) / 2, (1 + s) / 2)]
    step = (length - stitch) / (n - 1)
    return [(k * step / length, (k * step + stitch) / length) for k in range(n)]


def whole(assemblies: Sequence[Assembly], one: Assembly) -> set[str]:
    """Names of all parts of what an assembly takes in."""
    by = {a.name: a for a in assemblies}
    out: set[str] = set()
    todo = list(one.takes)
    while todo:
        a = by[todo.pop()]
        out |= {*a.members, *a.plates}
        todo += a.takes
    return out


def welded(stand: Stand, one: Assembly, seams: Seams) -> set[str]:
    """Names of what is welded here; of a sheet folded from one blank all walls and the bottom count."""
    parts = {n for w in seams.welds for n in w.parts}
    marks = {stand.shop.piece_of.get(n) for n in parts if n in one.plates} - {None}
    return parts | {n for n in one.plates if stand.shop.piece_of.get(n) in marks}
