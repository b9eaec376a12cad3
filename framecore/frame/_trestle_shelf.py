"""What lies on a trestle's lower stretchers: a sheet notched round the legs, or slats."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import steel as find_steel
from framecore.frame._build import flat_plate
from framecore.frame._ring import rail_across
from framecore.frame.draft import Draft
from framecore.frame.model import NOTCH_SPARE, Member, PlateRole, Role

if TYPE_CHECKING:
    from framecore.frame.trestle import Measures


def add_shelf(d: Draft, m: Measures) -> tuple[tuple[Member, int], ...]:
    """Add the shelf; return the slats, each with the number of the span between end frames it lies in."""
    f = m.brief.frame
    if f.shelf == "none" or "front" not in m.stretchers:
        return ()
    front, back, half = m.stretchers["front"], m.stretchers["back"], m.stretcher.width / 2
    if f.shelf == "sheet":
        outline = _sheet(m, front - half, back + half)
        d.plates.append(
            flat_plate(
                "shelf", PlateRole.SHELF, outline=outline, at=(0.0, 0.0), bottom=f.lower_ring,
                thickness=f.shelf_thickness, density=find_steel(m.brief.steel.grade).density,
                note="lies on the lower rails: fix it with short stitches, never a continuous weld",
                on=tuple(f"lower rail corner {w}{e.code}" for w in "FB" for e in m.frames),
            )
        )  # fmt: skip
        return ()
    slats: list[tuple[Member, int]] = []
    spans = tuple(pairwise(m.frames))
    each, more = divmod(f.shelf_slats, len(spans))
    for k, (a, b) in enumerate(spans):
        n = each + (k < more)
        x0, pitch = slat_room(m, a.x, b.x, n)
        for i in range(n):
            x = x0 + pitch * (i + 1)
            name = f"slat {len(slats) + 1}"
            slats.append((rail_across(name, Role.SLAT, m.slat, front + half, back - half, x, f.lower_ring), k))
    d.members += [s for s, _ in slats]
    return tuple(slats)


def slat_room(m: Measures, a: float, b: float, n: int) -> tuple[float, float]:
    """Return x where the clear room between end frames at ``a`` and ``b`` begins, and the pitch of ``n`` slats."""
    side = max(m.pair.leg.width, m.lower_rail.width) / 2
    return a + side, (b - a - 2 * side) / (n + 1)


def _sheet(m: Measures, front: float, back: float) -> NDArray[np.float64]:
    """Outline of the sheet between y ``front`` and ``back`` with a notch at each leg it meets, counter-clockwise."""
    f, half = m.brief.frame, m.brief.frame.length / 2
    # Leaning legs come in as they rise: the sheet's upper face sets the notch.
    clear = m.brief.welding.leg + NOTCH_SPARE  # the rails' welds stand there
    deep = m.pair.inner(f.lower_ring + f.shelf_thickness) - clear
    w = m.pair.leg.width / 2 + clear
    points: list[tuple[float, float]] = []
    for edge, notch, frames in ((front, -deep, m.frames), (back, deep, tuple(reversed(m.frames)))):
        way = 1 if edge < 0 else -1
        first, last = frames[0], frames[-1]
        if abs(edge) <= deep:  # set back past the legs: a straight edge
            points += [(-way * half, edge), (way * half, edge)]
            continue
        points += [(-way * half, notch), (first.x + way * w, notch), (first.x + way * w, edge)]
        for e in frames[1:-1]:
            points += [(e.x - way * w, edge), (e.x - way * w, notch), (e.x + way * w, notch), (e.x + way * w, edge)]
        points += [(last.x - way * w, edge), (last.x - way * w, notch), (way * half, notch)]
    return np.array(points)
