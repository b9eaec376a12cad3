"""What is left of a sheet, and the cuts in order that take it apart."""

from __future__ import annotations

from collections.abc import Sequence

from framecore.cutting._nest_fill import Rect, Room
from framecore.cutting._nest_task import LET_OUT

Parted = tuple[int, bool, int]  # stage, whether the cut runs across the sheet (at one x), where


def largest_empty(room: Room, parts: Sequence[Rect], side: int = 0) -> Rect:
    """Return the largest rectangle in which no part lies, each side ``side`` at least; zero where there is none."""
    best: Rect = (0, 0, 0, 0)
    lefts = sorted({0, *(r[0] + r[2] for r in parts)})
    for left in lefts:
        # Widen to the right; what blocks above and below is kept as the free stretches of y.
        blocks = sorted((r for r in parts if r[0] + r[2] > left), key=lambda r: (max(r[0], left), r[1]))
        stretches = [(0, room[1])]
        ends = [*(max(r[0], left) for r in blocks), room[0]]
        for block, end in zip([*blocks, None], ends, strict=True):
            for low, high in stretches:
                area = (end - left) * (high - low)
                if area > best[2] * best[3] and min(end - left, high - low) >= side:
                    best = (left, low, end - left, high - low)
            if block is None:
                break
            low, high = block[1], block[1] + block[3]
            stretches = [s for a, b in stretches for s in ((a, min(b, low)), (max(a, high), b)) if s[1] > s[0]]
    return best


def take_apart(room: Room, parts: Sequence[Rect], side: int = 0) -> tuple[list[tuple[Parted, Rect]], Rect] | None:
    """Return guillotine cuts in order, each with what it cuts, and the largest rectangle left with sides of ``side`` at least.

    None where no straight cuts from edge to edge free all parts.
    """
    cuts: list[tuple[Parted, Rect]] = []
    best: Rect = (0, 0, 0, 0)
    todo: list[tuple[Rect, list[Rect], int, bool | None]] = [((0, 0, *room), list(parts), 1, None)]
    while todo:
        box, own, stage, way = todo.pop()
        if not own:
            if box[2] * box[3] > best[2] * best[3] and min(box[2:]) >= side:
                best = box
            continue
        if len(own) == 1 and own[0][:2] == box[:2] and all(box[i] - own[0][i] <= LET_OUT for i in (2, 3)):
            continue
        choice = _choose(box, own, way)
        if choice is None:
            return None
        across, at = choice
        x, y, w, h = box
        level = stage if way in (None, across) else stage + 1
        cuts.append(((level, across, at), box))
        low: Rect = (x, y, at - x, h) if across else (x, y, w, at - y)
        high: Rect = (at, y, x + w - at, h) if across else (x, at, w, y + h - at)
        axis = 0 if across else 1
        below = [r for r in own if r[axis] < at]
        above = [r for r in own if r[axis] >= at]
        todo += [(high, above, level, across), (low, below, level, across)]
    return cuts, best


def _choose(box: Rect, own: Sequence[Rect], way: bool | None) -> tuple[bool, int] | None:
    """Pick a cut through no part: the one that frees the largest empty piece, else one that keeps the direction."""
    best: tuple[tuple[int, bool, int], bool, int] | None = None
    for across in (True, False):
        axis = 0 if across else 1
        begin, whole, other = box[axis], box[axis + 2], box[3 - axis]
        spans = sorted((r[axis], r[axis] + r[axis + 2]) for r in own)
        reach = spans[0][1] if spans else begin
        places: list[tuple[int, int]] = []  # where, area of the empty piece it frees
        if spans[0][0] > begin:
            places.append((spans[0][0], (spans[0][0] - begin) * other))
        for low, high in spans[1:]:
            if low >= reach:
                places.append((reach, 0))
            reach = max(reach, high)
        if reach + LET_OUT < begin + whole:
            places.append((reach, (begin + whole - reach) * other))
        for at, freed in places:
            key = (freed, across == way, -at)
            if best is None or key > best[0]:
                best = (key, across, at)
    return None if best is None else (best[1], best[2])
