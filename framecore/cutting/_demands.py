"""Demands every sufficient set of bars meets, and so bounds on the cost.

A demand gives each piece a worth. No bar can hold more worth than its worthiest filling, so a set of bars whose
worthiest fillings add up to less than all pieces together is refuted without any search. Worths used here:

* length of the pieces from the longest down to some size, nothing for shorter ones; a bar then counts with the
  longest sum of those pieces that it can hold (a 1000 mm bar holds one piece of 550 mm, not 1.8 of them);
* one for each piece from some size up: a bar counts with how many it can hold.

``_columns`` adds demands whose worths come from a linear programme.

Source: dual feasible functions, as in Fekete & Schepers (2001), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framecore.cutting._pack import CELLS, _add
from framecore.cutting._task import Task

SAFE = 1e-9  # share of a need that may be missing through rounding of sums


@dataclass(frozen=True, slots=True)
class Demand:
    """Sum of ``holds[k]`` over the bars bought must reach ``need`` (free bars are already taken off)."""

    holds: tuple[float, ...]
    need: float

    def short(self, chosen: Sequence[int]) -> float:
        """Return what is missing; 0 or less when the demand is met."""
        return self.need * (1.0 - SAFE) - sum(h * n for h, n in zip(self.holds, chosen, strict=True))


def by_length(task: Task) -> Demand:
    """Return the plainest demand: all pieces must fit by length."""
    return _demand(task, 1.0, [float(r) for r in task.free_rooms], [float(r) for r in task.rooms], task.total)


def by_sums(task: Task) -> list[Demand]:
    """Return the demands by length and by number for each size, without those that others imply."""
    if not task.sizes or not task.rooms:
        return []
    rooms = sorted({*task.rooms, *task.free_rooms})
    step = math.gcd(*task.sizes)
    # Rounding pieces and bars down to whole cells keeps every true filling possible.
    cell = step if rooms[-1] // step <= CELLS * 4 else -(-rooms[-1] // CELLS)
    mask = (1 << (rooms[-1] // cell + 1)) - 1
    masks = {r: (1 << (r // cell + 1)) - 1 for r in rooms}
    out = [by_length(task)]
    bits, length, number = 1, 0, 0
    for i, (size, count) in enumerate(zip(task.sizes, task.counts, strict=True)):
        width = size // cell
        bits = _add(bits, width, count, mask)
        length += width * count
        number += count
        best = {r: float((bits & masks[r]).bit_length() - 1) for r in rooms}
        out.append(_demand(task, 1.0, [best[r] for r in task.free_rooms], [best[r] for r in task.rooms], length))
        most = {r: float(_most(task.sizes[: i + 1], task.counts[: i + 1], r)) for r in rooms}
        out.append(_demand(task, 1.0, [most[r] for r in task.free_rooms], [most[r] for r in task.rooms], number))
    return strongest(out)


def _most(sizes: Sequence[int], counts: Sequence[int], room: int) -> int:
    """How many pieces a bar holds, shortest first."""
    total = 0
    for size, count in zip(reversed(sizes), reversed(counts), strict=True):
        n = min(count, room // size)
        total += n
        room -= n * size
        if n < count:
            break
    return total


def _demand(task: Task, scale: float, free: Sequence[float], sold: Sequence[float], need: float) -> Demand:
    return Demand(tuple(h * scale for h in sold), (need - sum(free)) * scale)


def strongest(demands: Sequence[Demand]) -> list[Demand]:
    """Leave out demands that are always met, or met whenever a stronger one is."""
    live = [Demand(tuple(h / d.need for h in d.holds), 1.0) for d in demands if d.need > 0]
    live = list(dict.fromkeys(live))
    out: list[Demand] = []
    for d in sorted(live, key=lambda d: sum(d.holds)):
        if not any(all(a <= b for a, b in zip(e.holds, d.holds, strict=True)) for e in out):
            out.append(d)
    return out


def cheapest(task: Task, demand: Demand) -> float:
    """Return a cost that no set of bars meeting this demand undercuts."""
    if demand.need <= 0:
        return 0.0
    each = [b.price / h for b, h in zip(task.sold, demand.holds, strict=True) if h > 0]
    cost = demand.need * min(each) if each else math.inf
    if len(task.sold) == 1 and demand.holds[0] > 0:
        cost = task.sold[0].price * math.ceil(demand.need * (1.0 - SAFE) / demand.holds[0])
    return cost
