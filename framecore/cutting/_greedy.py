"""Good plans at once: best fit into one main length, then every bar exchanged for the cheapest that will do."""

from __future__ import annotations

from bisect import bisect_left, insort
from dataclasses import dataclass

from framecore.cutting._task import Task

Used = tuple[int, tuple[int, ...]]  # index into ``sold``, or -1 - index into ``free``; how many of each size


@dataclass(frozen=True, slots=True)
class Draft:
    """Bars with what they hold, not yet laid out."""

    used: tuple[Used, ...]
    cost: float
    method: str

    def key(self, task: Task) -> tuple[int, int]:
        """What is to be least: cost in steps, then bars that are bought."""
        return task.steps(self.cost), sum(bar >= 0 for bar, _ in self.used)


def draft(task: Task, used: list[Used], method: str) -> Draft:
    """Leave out empty bars and add up the cost."""
    kept = tuple(u for u in used if any(u[1]))
    return Draft(kept, sum(task.sold[bar].price for bar, _ in kept if bar >= 0), method)


def greedy(task: Task, enough: int) -> Draft | None:
    """Return the best of the best-fit plans, one for each main length; None when no such plan works out.

    ``enough`` is a bound on the cost in units: a plan that reaches it ends the round.
    """
    best: _Fill | None = None
    for main in range(len(task.sold)) if task.sold else (-1,):
        fill = _fill(task, main)
        if fill is not None and (best is None or fill.key < best.key):
            best = fill
            if best.key[0] <= enough:
                break
    if best is None:
        return None
    holds = [[0] * len(task.sizes) for _ in best.bars]
    for b, i, n in best.placed:
        holds[b][i] += n
    return draft(task, [(k, tuple(h)) for k, h in zip(best.bars, holds, strict=True)], "best fit")


@dataclass(frozen=True, slots=True)
class _Fill:
    """One best-fit plan: bars, what is placed (bar, size, how many), and what is to be least."""

    bars: list[int]
    placed: list[tuple[int, int, int]]
    key: tuple[int, int]


def _fill(task: Task, main: int) -> _Fill | None:
    """Best fit, longest first; bars on hand are open from the start, then ``main`` is bought as needed."""
    # Where the main length does not do, the cheapest that takes the piece.
    order = sorted(range(len(task.sold)), key=lambda k: (k != main, task.sold[k].price))
    bars = [-1 - f for f in range(len(task.free))]
    left = sorted((r, b) for b, r in enumerate(task.free_rooms))
    placed = []
    bought = [0] * len(task.sold)
    for i, size in enumerate(task.sizes):
        todo = task.counts[i]
        while todo:
            at = bisect_left(left, (size, -1))
            if at < len(left):
                free, b = left.pop(at)
            else:
                k = next((k for k in order if task.rooms[k] >= size and bought[k] < task.limits[k]), -1)
                if k < 0:
                    return None
                bought[k] += 1
                bars.append(k)
                free, b = task.rooms[k], len(bars) - 1
            n = free // size
            if n > todo:
                n = todo
            placed.append((b, i, n))
            todo -= n
            insort(left, (free - n * size, b))
    _exchange(task, bars, left, bought)
    cost = sum(task.sold[k].price * n for k, n in enumerate(bought))
    return _Fill(bars, placed, (task.steps(cost), sum(bought)))


def _exchange(task: Task, bars: list[int], left: list[tuple[int, int]], bought: list[int]) -> None:
    """Exchange each bought bar for the cheapest one that holds the same pieces."""
    for free, b in left:
        if bars[b] < 0:
            continue
        held = task.rooms[bars[b]] - free
        for q, sold in enumerate(task.sold):
            if sold.price < task.sold[bars[b]].price and task.rooms[q] >= held and bought[q] < task.limits[q]:
                bought[bars[b]] -= 1
                bought[q] += 1
                bars[b] = q
