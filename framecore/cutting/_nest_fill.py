"""Laying parts on sheets one after another: fast rules, several orders, several ways to split what is left.

Guillotine: each part lies in the corner of a free rectangle, the rest of which is split by one cut. Free: every
largest empty rectangle is kept (they overlap), so that a part may reach across what a cut would have split.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from framecore.cutting._nest_task import NestTask

Room = tuple[int, int]
Rect = tuple[int, int, int, int]  # x, y, along, across
Laid = tuple[int, int, int, int, int, int]  # kind, sheet, x, y, along, across

ORDERS: tuple[Callable[[int, int], tuple[int, ...]], ...] = (
    lambda a, b: (a * b, max(a, b)),
    lambda a, b: (max(a, b), min(a, b)),
    lambda a, b: (min(a, b), max(a, b)),
    lambda a, b: (a + b, max(a, b)),
)
# Which of the free rectangles a part goes to: the smallest rest; the smallest short side left; lowest along x; along y.
RULES: tuple[Callable[[Rect, int, int], tuple[int, ...]], ...] = (
    lambda r, a, b: (r[2] * r[3] - a * b, min(r[2] - a, r[3] - b)),
    lambda r, a, b: (min(r[2] - a, r[3] - b), max(r[2] - a, r[3] - b)),
    lambda r, a, b: (r[0] + a, r[1]),
    lambda r, a, b: (r[1] + b, r[0]),
)
# Whether the first cut through what is left of a rectangle runs across the sheet (right of the part).
SPLITS: tuple[Callable[[Rect, int, int], bool], ...] = (
    lambda r, a, b: True,
    lambda r, a, b: False,
    lambda r, a, b: r[2] - a >= r[3] - b,
    lambda r, a, b: (r[2] - a) * b > (r[3] - b) * a,
)
AGAIN = 6  # how often parts that found no place are moved to the front


def layouts(task: NestTask, sheets: Sequence[Room], *, free: bool, fills: int) -> Iterator[list[Laid]]:
    """Yield every layout the rules find in which all parts are placed; ``fills``: how often parts are laid at most."""
    items = [k for k, n in enumerate(task.counts) for _ in range(n)]
    for order in ORDERS:
        first = sorted(items, key=lambda k: (*(-v for v in order(*task.kinds[k].size)), k))
        for rule in RULES:
            for split in SPLITS[: 1 if free else None]:
                queue = first
                for _ in range(AGAIN):
                    if fills <= 0:
                        return
                    fills -= 1
                    laid, missed = fill(task, queue, sheets, rule, None if free else split)
                    if not missed:
                        yield laid
                        break
                    front = [k for k in missed if k != queue[0]]
                    if not front:
                        break
                    queue = _to_front(queue, front)


def _to_front(queue: Sequence[int], missed: Sequence[int]) -> list[int]:
    rest = list(queue)
    for k in missed:
        rest.reverse()
        rest.remove(k)  # the last one of its kind
        rest.reverse()
    return [*missed, *rest]


def fill(
    task: NestTask, queue: Sequence[int], sheets: Sequence[Room], rule: Callable[[Rect, int, int], tuple[int, ...]],
    split: Callable[[Rect, int, int], bool] | None,
) -> tuple[list[Laid], list[int]]:
    """Lay kinds in this order on sheets, first sheet first; returns what lies and what found no place."""
    spaces: list[list[Rect]] = [[(0, 0, *room)] for room in sheets]
    laid: list[Laid] = []
    missed: list[int] = []
    for k in queue:
        ways = task.kinds[k].ways
        for s, space in enumerate(spaces):
            best = min(
                ((rule(r, a, b), i, a, b) for i, r in enumerate(space) for a, b in ways if a <= r[2] and b <= r[3]),
                default=None,
            )
            if best is None:
                continue
            _, i, a, b = best
            r = space[i]
            laid.append((k, s, r[0], r[1], a, b))
            if split is None:
                spaces[s] = _without(space, (r[0], r[1], a, b))
            else:
                space[i : i + 1] = _halves(r, a, b, split(r, a, b))
            break
        else:
            missed.append(k)
    return laid, missed


def _halves(r: Rect, a: int, b: int, across: bool) -> list[Rect]:
    x, y, w, h = r
    right = (x + a, y, w - a, h if across else b)
    over = (x, y + b, a if across else w, h - b)
    return [s for s in (right, over) if s[2] > 0 and s[3] > 0]


def _without(space: Sequence[Rect], part: Rect) -> list[Rect]:
    """Return the largest empty rectangles when a part lies in them."""
    x, y, a, b = part
    kept: list[Rect] = []
    new: list[Rect] = []
    for r in space:
        rx, ry, w, h = r
        if x >= rx + w or x + a <= rx or y >= ry + h or y + b <= ry:
            kept.append(r)
            continue
        if x > rx:
            new.append((rx, ry, x - rx, h))
        if x + a < rx + w:
            new.append((x + a, ry, rx + w - x - a, h))
        if y > ry:
            new.append((rx, ry, w, y - ry))
        if y + b < ry + h:
            new.append((rx, y + b, w, ry + h - y - b))
    for i, r in enumerate(new):
        if not any(_inside(r, q) for q in kept) and not any(
            _inside(r, q) and (q != r or j < i) for j, q in enumerate(new) if j != i
        ):
            kept.append(r)
    return kept


def _inside(r: Rect, q: Rect) -> bool:
    return q[0] <= r[0] and q[1] <= r[1] and q[0] + q[2] >= r[0] + r[2] and q[1] + q[3] >= r[1] + r[3]
