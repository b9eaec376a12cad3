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


def greedy(task: Task) -> Draft | None:
    """Return the best of the best-fit plans, one for each main length; None when no such plan works out."""
    best: Draft | None = None
    for main in range(len(task.sold)) if task.sold else (-1,):
        plan = _fill(task, main)
        if plan is not None and (best is None or plan.key(task) < best.key(task)):
            best = plan
    return best


def _fill(task: Task, main: int) -> Draft | None:
    """Best fit, longest first; bars on hand are open from the start, then ``main`` is bought as needed."""
    m = len(task.sizes)
    bars = [-1 - f for f in range(len(task.free))]
    fill = [[0] * m for _ in bars]
    left = sorted((r, b) for b, r in enumerate(task.free_rooms))
    bought = [0] * len(task.sold)
    for i, size in enumerate(task.sizes):
        todo = task.counts[i]
        while todo:
            at = bisect_left(left, (size, -1))
            if at == len(left):
                k = _open(task, main, size, bought)
                if k < 0:
                    return None
                bought[k] += 1
                bars.append(k)
                fill.append([0] * m)
                insort(left, (task.rooms[k], len(bars) - 1))
                continue
            free, b = left.pop(at)
            n = min(todo, free // size)
            fill[b][i] += n
            todo -= n
            insort(left, (free - n * size, b))
    _exchange(task, bars, fill, bought)
    return draft(task, [(b, tuple(f)) for b, f in zip(bars, fill, strict=True)], "best fit")


def _open(task: Task, main: int, size: int, bought: list[int]) -> int:
    """Return the length to buy for a piece: the main one, or the cheapest that takes it; -1 where none is left."""
    others = sorted(range(len(task.sold)), key=lambda k: (k != main, task.sold[k].price))
    return next((k for k in others if task.rooms[k] >= size and bought[k] < task.limits[k]), -1)


def _exchange(task: Task, bars: list[int], fill: list[list[int]], bought: list[int]) -> None:
    """Exchange each bought bar for the cheapest one that holds the same pieces."""
    for b, k in enumerate(bars):
        if k < 0:
            continue
        held = sum(s * n for s, n in zip(task.sizes, fill[b], strict=True))
        for q in range(len(task.sold)):
            cheaper = task.sold[q].price < task.sold[bars[b]].price
            if cheaper and task.rooms[q] >= held and bought[q] < task.limits[q]:
                bought[bars[b]] -= 1
                bought[q] += 1
                bars[b] = q
