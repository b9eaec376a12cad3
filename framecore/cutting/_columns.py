"""Demands from a linear programme: fillings are its columns, found one by one (column generation).

For one set of bars the programme asks how much can be placed when fillings may be used in fractions. If not
everything fits even so, the set is refuted, and the prices of the programme are the worths of a demand that
refutes other sets too. Worths are never trusted as they come: what each bar holds is worked out again, exactly
for lengths rounded down to cells, so a demand is valid whatever the solver did.

Source: Gilmore & Gomory (1961); Farkas' lemma.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog  # type: ignore[import-untyped, unused-ignore]

from framecore.cutting._demands import Demand
from framecore.cutting._task import Task

CELLS = 8_000
ROUNDS = 60  # solver runs for one set of bars

Floats = NDArray[np.float64]


class Columns:
    """Fillings met so far, kept from one set of bars to the next."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.rooms = sorted({*task.rooms, *task.free_rooms})
        step = math.gcd(*task.sizes)
        self.cell = max(step, -(-self.rooms[-1] // CELLS))
        self.widths = [s // self.cell for s in task.sizes]
        self.caps = [r // self.cell for r in self.rooms]
        self.kind = {r: k for k, r in enumerate(self.rooms)}
        self.known: dict[tuple[int, tuple[int, ...]], None] = {}

    def refute(self, chosen: Sequence[int]) -> tuple[Demand | None, bool]:
        """Ask of one set whether its pieces fit in fractions.

        Returns
        -------
        demand : one this set does not meet, or None
        fits : True when all pieces fit in fractions, so that no such demand exists
        """
        task = self.task
        have = [0] * len(self.rooms)
        for r in task.free_rooms:
            have[self.kind[r]] += 1
        for r, n in zip(task.rooms, chosen, strict=True):
            have[self.kind[r]] += n
        m = len(task.sizes)
        penalty = np.array(task.sizes, dtype=float) / task.sizes[0]
        self._seed(have)
        for _ in range(ROUNDS):
            cols = [c for c in self.known if have[c[0]]]
            a = np.zeros((m + len(have), m + len(cols)))
            a[:m, :m] = -np.eye(m)  # pieces left over
            for j, (k, filling) in enumerate(cols):
                a[:m, m + j] = [-f for f in filling]
                a[m + k, m + j] = 1.0
            cost = np.concatenate([penalty, np.zeros(len(cols))])
            b = np.concatenate([-np.array(task.counts, dtype=float), np.array(have, dtype=float)])
            done = linprog(cost, A_ub=a, b_ub=b, method="highs-ds")
            if done.status != 0 or done.fun is None or done.fun < 1e-7:
                return None, done.status == 0
            worth = np.maximum(-done.ineqlin.marginals[:m], 0.0)
            demand, new = self._price(worth)
            if demand.short(chosen) > 1e-6 * max(1.0, abs(demand.need)):
                return demand, False
            fresh = [c for c in new if have[c[0]] and c not in self.known]
            if not fresh:
                break
            self.known.update(dict.fromkeys(fresh))
        return None, False

    def _seed(self, have: Sequence[int]) -> None:
        """Start from bars filled one after another, longest piece first, so that fewer rounds are needed."""
        kinds = [k for k, n in enumerate(have) for _ in range(n)]
        for order in (kinds, kinds[::-1]):
            left = list(self.task.counts)
            for k in order:
                free, filling = self.caps[k], []
                for i, w in enumerate(self.widths):
                    n = min(left[i], free // w if w else left[i])
                    free -= n * w
                    left[i] -= n
                    filling.append(n)
                self.known.setdefault((k, tuple(filling)))

    def _price(self, worth: Floats) -> tuple[Demand, list[tuple[int, tuple[int, ...]]]]:
        """Return the demand with these worths, and the worthiest filling of each kind of bar."""
        task = self.task
        top = self.caps[-1]
        best = np.zeros(top + 1)
        steps: list[tuple[int, int, NDArray[np.bool_]]] = []
        for i, w in enumerate(self.widths):
            if worth[i] <= 1e-12:
                continue
            todo, part = min(task.counts[i], top // w if w else task.counts[i]), 1
            while todo > 0:
                n = min(part, todo)
                todo -= n
                part *= 2
                if w * n > top:
                    break
                if not w:
                    best = best + n * worth[i]
                    continue
                other = best[: top + 1 - n * w] + n * worth[i]
                better = other > best[n * w :]
                best = best.copy()
                best[n * w :][better] = other[better]
                steps.append((i, n, better))
        held = {r: float(best[c]) * (1 + 1e-12) for r, c in zip(self.rooms, self.caps, strict=True)}
        need = float(worth @ np.array(task.counts, dtype=float)) - sum(held[r] for r in task.free_rooms)
        found = []
        for k, c in enumerate(self.caps):
            filling, at = [0] * len(self.widths), c
            for i, n, better in reversed(steps):
                w = n * self.widths[i]
                if at >= w and better[at - w]:
                    filling[i] += n
                    at -= w
            found.append((k, tuple(filling)))
        return Demand(tuple(held[r] for r in task.rooms), need), found
