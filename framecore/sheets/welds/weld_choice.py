"""Which views of an assembly its welds are shown in: every weld in sight and numbered in one of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from framecore.sheets.assemblies.assembly_data import seen_from, view_of
from framecore.sheets.assemblies.part_views import PartView, look_at, part_mask
from framecore.sheets.drawing.hidden import Array, View, exposed, pictorial
from framecore.sheets.welds.weld_seams import Seams, whole
from framecore.sheets.welds.weld_seams import welded as welded_parts
from framecore.shop.work import Assembly
from framecore.stand.model import Stand

LIFT = 0.2  # of the run's share that must be in sight
_MOST = 3  # views of one assembly
LEAST = 3.0  # mm of a weld in sight that make it seen
_THREE_QUARTER = (
    ("from the front right, above", 0.6, 0.42),
    ("from the back left, above", 0.6 + math.pi, 0.42),
    ("from the front left, above", -0.6, 0.42),
    ("from the front right, below", 0.6, -0.42),
    ("from the back left, below", 0.6 + math.pi, -0.42),
)


@dataclass(frozen=True, slots=True, eq=False)
class WeldView:
    """A view with what of each seam it shows; ``shown`` mm of every weld in sight, ``numbered`` welds it numbers."""

    seen: PartView
    label: str
    sight: list[list[tuple[float, float]]]
    shown: Array
    numbered: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """A direction and what it shows of each weld, before any line is drawn."""

    view: View
    label: str
    sight: list[list[tuple[float, float]]]
    shown: Array


def views_of(stand: Stand, assemblies: Sequence[Assembly], one: Assembly, seams: Seams) -> list[WeldView]:
    """Return the views that show every weld of an assembly: flat ones as they lie first, then three-quarter views."""
    # What is set on later and welded nowhere here would only stand in the way: a board, a tray that is screwed.
    joined = welded_parts(stand, one, seams)
    own = {*one.members, *(p for p in one.plates if p in joined)}
    off = [p for p in one.plates if p not in joined]
    by = {a.name: a for a in assemblies}
    loose = [n for n in one.takes if not joined & {*by[n].members, *by[n].plates, *whole(assemblies, by[n])}]
    off += loose
    taken = whole(assemblies, replace(one, takes=tuple(n for n in one.takes if n not in loose)))
    layout = stand.solids.layout
    faces = layout.faces[part_mask(stand, own | taken)[layout.face_part]]
    chosen: list[_Look] = []
    if one.flat is not None:
        lying = view_of(stand, one)
        chosen.append(_look(stand, faces, lying, seen_from(one, lying), seams))
    tries = [
        _look(stand, faces, pictorial(turn, tilt), f"three-quarter view {name}", seams) for name, turn, tilt in _THREE_QUARTER
    ]
    if one.flat is None:
        chosen.append(tries.pop(0))  # the first look is always from the front right
    for _ in range(_MOST - 1):
        need = _missing(chosen, one.flat is not None)
        if not need.any() and not (one.flat is not None and len(chosen) == 1):
            break
        best = max(tries, key=lambda t: round(float(t.shown[need].sum() + 0.05 * t.shown.sum()), 3))
        if len(chosen) > 1 and not (best.shown[need] >= LEAST).any():
            break
        chosen.append(best)
        tries.remove(best)
    out = []
    for n, k in enumerate(_numbered(chosen, one.flat is not None)):
        if k or n == 0 or one.flat is not None:
            look = chosen[n]
            label = look.label + (f"; left off: {', '.join(off)}" if off else "")
            out.append(WeldView(look_at(stand, own, look.view, taken), label, look.sight, look.shown, k))
    return out


def _look(stand: Stand, faces: NDArray[np.int32], view: View, label: str, seams: Seams) -> _Look:
    sight = exposed(stand.solids.vertices, faces, seams.starts, seams.ends, view)
    flat = np.hypot(*(view.flat(seams.ends) - view.flat(seams.starts)).T)
    shown = np.zeros(len(seams.welds))
    for k, (size, clear) in enumerate(zip(flat.tolist(), sight, strict=True)):
        part = sum(e - s for s, e in clear)
        if part > LIFT:
            # A seam seen on its end is only a dot; it counts little, but it counts.
            shown[seams.of[k]] += max(size * part, 1.0)
    return _Look(view, label, sight, shown)


def _missing(looks: Sequence[_Look], flat: bool) -> NDArray[np.bool_]:
    """Which welds no view shows yet; on the bench a dot shows a seam that runs away from you."""
    least = np.full(len(looks), LEAST)
    least[0] = 0.5 if flat else LEAST
    return np.asarray((np.array([v.shown for v in looks]) < least[:, None]).all(axis=0))


def _numbered(looks: Sequence[_Look], flat: bool) -> list[tuple[int, ...]]:
    """Give every weld's number to the view that shows most of it; the first is preferred, on the bench it has all it shows."""
    worth = np.array([v.shown for v in looks])
    worth[0] *= 1e6 if flat else 1.5
    where = worth.argmax(axis=0)
    return [tuple(np.flatnonzero(where == k).tolist()) for k in range(len(looks))]
