"""Which sheets: sets in order of cost, and simple demands that many sets miss.

A demand: sizes are bent by superadditive functions f along and g across the sheet (dual feasible functions). What
fits on a sheet before fits after, so the bent areas of the parts cannot exceed those of the sheets. Source: Fekete and
Schepers, "A general framework for bounds for higher-dimensional orthogonal packing problems" (2004), from memory.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from framecore.cutting._nest_task import STEP, NestTask
from framecore.cutting.nest_model import Point

Bend = Callable[[int], int]
THRESHOLDS = 5
SAME = 1e-9  # costs closer than this share are one cost


@dataclass(frozen=True, slots=True)
class Demand:
    """A set must give at least ``need``: ``gives`` by one sheet of each kind; ``takes`` by one part of each kind."""

    need: float
    gives: tuple[float, ...]
    takes: tuple[float, ...]


def demands(task: NestTask, *, free: bool) -> tuple[Demand, ...]:
    """Return what every set of sheets must meet; shaped parts count by their true area in free plans."""
    out: list[Demand] = []
    straight = [k for k in task.kinds if not (free and k.shaped)]
    if len(straight) < len(task.kinds):
        r = task.gap / 2
        rooms = [((a - r * 2), (b - r * 2)) for a, b in ((a * STEP, b * STEP) for a, b in task.rooms)]
        takes = tuple(_grown(_outline(task, k.whose[0]), r) for k in task.kinds)
        need = sum(n * v for n, v in zip(task.counts, takes, strict=True))
        out.append(Demand(need, tuple(a * b + 2 * (a + b) * r + math.pi * r * r for a, b in rooms), takes))
    most = (max(a for a, _ in task.rooms), max(b for _, b in task.rooms))
    sides = {v for k in straight for way in k.ways for v in way}
    along, across = _bends(most[0], sides), _bends(most[1], sides)
    seen: set[tuple[float, ...]] = set()
    fits = [
        [w for w in k.ways if w[0] <= most[0] and w[1] <= most[1]] if k in straight else [] for k in task.kinds
    ]
    for f in along:
        for g in across:
            takes = tuple(float(min((f(a) * g(b) for a, b in ways), default=0)) for ways in fits)
            need = sum(n * v for n, v in zip(task.counts, takes, strict=True))
            gives = tuple(float(f(a) * g(b)) for a, b in task.rooms)
            key = (*takes, *gives)
            if need and key not in seen:
                seen.add(key)
                out.append(Demand(need, gives, takes))
    return tuple(out)


def _outline(task: NestTask, part: int) -> tuple[Point, ...]:
    p = task.parts[part]
    return p.outline or ((0.0, 0.0), (p.length, 0.0), (p.length, p.width), (0.0, p.width))


def _grown(outline: Sequence[Point], r: float) -> float:
    """Return the area of an outline grown by r all round, or a little less."""
    pairs = list(zip(outline, (*outline[1:], outline[0]), strict=True))
    area = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs) / 2
    # A hollow outline grows by less than its rim times r; without that term the sum is a bound for it too.
    round_it = sum(math.dist(a, b) for a, b in pairs) if _convex(outline) else 0.0
    return abs(area) + round_it * r + math.pi * r * r


def _convex(outline: Sequence[Point]) -> bool:
    n = len(outline)
    turns = []
    for i in range(n):
        (ax, ay), (bx, by), (cx, cy) = outline[i - 1], outline[i], outline[(i + 1) % n]
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    return all(t >= -1e-9 for t in turns) or all(t <= 1e-9 for t in turns)


def _bends(whole: int, sides: set[int]) -> list[Bend]:
    """Superadditive functions on lengths up to ``whole``."""
    out: list[Bend] = [lambda x: x]
    for k in (1, 2, 3):
        out.append(_counted(whole, k))
    cuts = sorted({s if 2 * s <= whole else whole - s + 1 for s in sides if s < whole})
    for cut in [c for c in cuts if 2 * c <= whole][-THRESHOLDS:]:
        out.append(_threshold(whole, cut))
    return out


def _counted(whole: int, k: int) -> Bend:
    def bend(x: int) -> int:
        n, rest = divmod((k + 1) * x, whole)
        return k * x if rest == 0 else n * whole

    return bend


def _threshold(whole: int, cut: int) -> Bend:
    def bend(x: int) -> int:
        return whole if x > whole - cut else x if x >= cut else 0

    return bend


def meets(chosen: Sequence[int], needs: Sequence[Demand]) -> bool:
    """Return whether a set of sheets meets every demand."""
    return all(sum(n * g for n, g in zip(chosen, d.gives, strict=True)) >= d.need * (1 - 1e-12) for d in needs)


def may_hold(company: Sequence[int], sheet: int, needs: Sequence[Demand]) -> bool:
    """Return whether one sheet of a kind meets every demand of a company of parts."""
    return all(sum(n * v for n, v in zip(company, d.takes, strict=True)) * (1 - 1e-12) <= d.gives[sheet] for d in needs)


def cost_of(task: NestTask, chosen: Sequence[int]) -> float:
    """Return what a set of sheets costs."""
    return math.fsum(n * s.price for n, s in zip(chosen, task.stock, strict=True))


def sets_by_cost(task: NestTask, below: float, most: int) -> Iterator[tuple[int, ...]]:
    """Yield sets of sheets, cheapest first, fewer sheets first among equals, up to a cost; at most ``most`` steps."""
    kinds = len(task.stock)
    total = sum(task.counts)
    start = (0,) * kinds
    heap: list[tuple[float, int, tuple[int, ...], int]] = [(0.0, 0, start, 0)]
    for _ in range(most):
        if not heap:
            return
        _, count, chosen, first = heapq.heappop(heap)
        if count:
            yield chosen
        if count == total:
            continue
        for k in range(first, kinds):
            if chosen[k] < task.limits[k]:
                more = (*chosen[:k], chosen[k] + 1, *chosen[k + 1 :])
                price = cost_of(task, more)
                if price <= below * (1 + SAME):
                    # Rounded, so that equal costs summed in another order stay equal.
                    heapq.heappush(heap, (float(f"{price:.9e}"), count + 1, more, k))
