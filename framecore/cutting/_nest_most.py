"""The largest rectangle that can stay whole on a set of sheets: found and shown, for few parts.

The rectangle is asked for as one more part. Parts left of it can be pushed left and those right of it to the right, so its
length may be taken as the sheet's less a sum of parts' sides, and its width likewise: a finite list. What a rectangle does
not fit, no larger one does, so one question a length is enough: the least width that would beat the best so far.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from framecore.cutting._nest_exact import Budget, Corners, Joins, share_out
from framecore.cutting._nest_fill import Laid, Rect, Room
from framecore.cutting._nest_sets import demands, meets
from framecore.cutting._nest_task import Kind, NestTask
from framecore.cutting.nest_model import SheetPart

SUMS = 600  # sums of sides told apart; with more nothing is shown
REST = "rest"


@dataclass(frozen=True, slots=True)
class Most:
    """A layout with the rectangle that stays whole on one of its sheets; None where none is larger than asked."""

    laid: list[Laid] | None
    sheet: int
    rest: Rect
    proven: bool


def largest_rest(task: NestTask, chosen: Sequence[int], least: int, side: int, budget: Budget, *, free: bool) -> Most:
    """Look for a layout on these sheets that leaves a rectangle of more than ``least`` steps squared, the largest there is.

    ``side`` steps each side has at least; ``proven``: every larger such rectangle is refuted.
    """
    best = Most(None, 0, (0, 0, 0, 0), True)
    for room in dict.fromkeys(task.rooms[k] for k, n in enumerate(chosen) if n):
        lengths, widths = _left_over(task, room, 0, side), _left_over(task, room, 1, side)
        if lengths is None or widths is None:
            return replace(best, proven=False)
        for a in lengths:
            for b in _wider(widths, a, least):
                found, sure = _asked(task, chosen, (a, b), budget, free)
                if not sure:
                    return replace(best, proven=False)
                if found is None:
                    break
                (rest,) = [p for p in found if p[0] == 0]
                least = a * b
                best = Most([(p[0] - 1, *p[1:]) for p in found if p[0]], rest[1], (rest[2], rest[3], a, b), True)
    return best


def _wider(widths: Sequence[int], length: int, least: int) -> Iterator[int]:
    """Yield, narrowest first, the widths with which a rectangle of that length is larger than ``least``."""
    yield from widths[bisect_right(widths, least // length) :]


def _left_over(task: NestTask, room: Room, axis: int, least: int) -> list[int] | None:
    """What is left of a sheet beside sums of parts' sides, ``least`` at least, shortest first; None where too many."""
    sums = {0}
    for kind in task.kinds:
        sides = {way[axis] for way in kind.ways}
        for _ in kind.whose:
            sums |= {s + side for s in sums for side in sides if s + side < room[axis]}
            if len(sums) > SUMS:
                return None
    return sorted(room[axis] - s for s in sums if room[axis] - s >= least)


def _asked(
    task: NestTask, chosen: Sequence[int], size: Room, budget: Budget, free: bool
) -> tuple[list[Laid] | None, bool]:
    """Return a layout with a rectangle of that size as part 0, or None, and whether that is sure."""
    more = SheetPart(mark=REST, length=1.0, width=1.0, turns=False)  # its size in steps is the kind's
    own = Kind(size, False, (len(task.parts),), False)
    asked = replace(task, kinds=(own, *task.kinds), parts=(*task.parts, more))
    needs = demands(asked, free=free)
    budget.left -= 1
    if not meets(chosen, needs):
        return None, True
    most = (max(a for a, _ in task.rooms), max(b for _, b in task.rooms))
    holder = Corners(asked.kinds, budget) if free else Joins(asked.kinds, most, budget)
    return share_out(asked, holder, chosen, budget, needs)
