"""Sets of bars in order of cost, cheapest first; of equal cost those of fewer bars first.

A best-first search over "how many of each length": what is still missing to a demand, times the lowest price of
meeting it, bounds the cost of every larger set. So the next set that comes out is also a lower bound for all
that have not yet been seen.
"""

from __future__ import annotations

import heapq
import math

from framecore.cutting._demands import Demand, strongest
from framecore.cutting._task import Task

Key = tuple[int, int]  # cost in steps, number of bars
Chosen = tuple[int, ...]
END: Key = (1 << 62, 0)


class Sets:
    """The sets that meet all demands known so far."""

    def __init__(self, task: Task, demands: list[Demand]) -> None:
        self.task = task
        self.prices = [b.price for b in task.sold]
        self.demands: list[Demand] = []
        self._known: list[Demand] = []
        self._rates: list[list[tuple[float, float]]] = []
        self._heap: list[tuple[Key, float, Chosen, int, int]] = []
        self.learn(demands)
        self._push((0,) * len(self.prices), 0)

    def learn(self, demands: list[Demand]) -> None:
        """Add demands; sets that come out later meet them too."""
        self._known += demands
        self.demands = strongest(self._known)
        self._rates = []
        for d in self.demands:
            rates, money, bars = [], math.inf, math.inf
            for price, hold in zip(reversed(self.prices), reversed(d.holds), strict=True):
                if hold > 0:
                    money, bars = min(money, price / hold), min(bars, 1.0 / hold)
                rates.append((money, bars))
            self._rates.append(rates[::-1])

    def meets(self, chosen: Chosen) -> bool:
        """Tell whether this set meets every demand."""
        return all(d.short(chosen) <= 0 for d in self.demands)

    def key(self, chosen: Chosen) -> Key:
        """Cost in steps and number of bars of a set."""
        return self.task.steps(sum(p * n for p, n in zip(self.prices, chosen, strict=True))), sum(chosen)

    def bound(self) -> Key:
        """No set still to come is before this."""
        return self._heap[0][0] if self._heap else END

    def _push(self, chosen: Chosen, last: int) -> None:
        cost = sum(p * n for p, n in zip(self.prices, chosen, strict=True))
        more, bars = 0.0, 0
        for d, rates in zip(self.demands, self._rates, strict=True):
            short = d.short(chosen)
            if short > 0:
                rate, each = rates[last] if last < len(rates) else (math.inf, math.inf)
                if each == math.inf:
                    return  # nothing that may still be added helps
                more = max(more, short * rate)
                bars = max(bars, math.ceil(short * each - 1e-9))
        key = (self.task.steps_up(cost + more), sum(chosen) + bars)
        # At one bound the dearer set is nearer to the end.
        heapq.heappush(self._heap, (key, -cost, chosen, last, len(self._known)))

    def next(self, before: Key, steps: int) -> Chosen | None:
        """Return the next set in order that meets all demands; None at ``before`` or after ``steps``."""
        while self._heap and self._heap[0][0] < before and steps > 0:
            steps -= 1
            _, _, chosen, last, known = heapq.heappop(self._heap)
            if known < len(self._known):  # demands learnt since may have moved it back
                self._push(chosen, last)
                continue
            for k in range(last, len(self.prices)):
                if chosen[k] < self.task.limits[k]:
                    self._push((*chosen[:k], chosen[k] + 1, *chosen[k + 1 :]), k)
            if self.meets(chosen):
                return chosen
        return None
