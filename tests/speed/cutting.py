"""Cut plans of random tasks: time, share proven, and best fit beside it.

``python -m tests.speed.cutting`` prints the long table (30 tasks a line, with and without bars on hand).
"""

from __future__ import annotations

import random
import statistics
import time
from dataclasses import dataclass

from framecore.cutting import Bar, Piece, plan_cuts, quick_plan

SOLD = (("6 m", 6000.0, 100.0), ("3 m", 3000.0, 55.0), ("2 m", 2000.0, 38.0), ("1 m", 1000.0, 21.0))
# The longer ones sold by the metre at one price, and 1250 mm so that no length is a part of all others.
BY_METRE = (("6 m", 6000.0, 96.0), ("3 m", 3000.0, 48.0), ("2 m", 2000.0, 32.0), ("1.25 m", 1250.0, 20.0))
# The spread of pieces: shares of all pieces that are of different length.
ALIKE, APART = 0.25, 1.0


def task(
    seed: int, pieces: int, lengths: int, rack: int, *, kinds: float = ALIKE, sold: tuple[tuple[str, float, float], ...] = SOLD
) -> tuple[list[Piece], list[Bar]]:
    """Pieces of 60 to 1200 mm in whole millimetres, bought bars, and bars on hand of 400 to 2500 mm."""
    rng = random.Random(seed)
    number = max(3, round(pieces * kinds))
    sizes = [float(rng.randint(60, 1200)) for _ in range(number)]
    wanted = [rng.randrange(number) if kinds < 1 else k for k in range(pieces)]
    bars = [Bar(name=n, length=x, price=p) for n, x, p in sold[:lengths]]
    bars += [
        Bar(name=f"rack {k}", length=float(rng.randint(400, 2500)), price=0.0, available=1, rack=True) for k in range(rack)
    ]
    return [Piece(mark=str(k), length=sizes[k], count=wanted.count(k)) for k in range(number) if k in wanted], bars


def best_fit_cost(pieces: list[Piece], bars: list[Bar], kerf: float) -> float:
    """Return the cost of plain best fit: bars on hand first, then the longest sold; written apart from the program."""
    sold = max((b for b in bars if b.available is None), key=lambda b: b.length)
    left = [b.length + kerf for b in bars if b.available is not None]
    cost = 0.0
    for need in sorted((p.length + kerf for p in pieces for _ in range(p.count)), reverse=True):
        fits = [k for k, free in enumerate(left) if free >= need - 1e-6]
        if not fits:
            left.append(sold.length + kerf)
            cost += sold.price
            fits = [len(left) - 1]
        left[min(fits, key=lambda k: left[k])] -= need
    return cost


@dataclass(frozen=True)
class Measured:
    """One line of the table: milliseconds, counts, and shares of cost."""

    median: float
    worst: float
    quick: float
    proven: int
    tasks: int
    gap: float
    saved: float
    quick_over: float


def measure(tasks: list[tuple[list[Piece], list[Bar]]], kerf: float = 3.0) -> Measured:
    times, quick_times, proven, gap, saved, over = [], [], 0, 0.0, [], []
    for pieces, bars in tasks:
        begun = time.perf_counter()
        plan = plan_cuts(pieces, bars, kerf=kerf)
        times.append(time.perf_counter() - begun)
        begun = time.perf_counter()
        quick = quick_plan(pieces, bars, kerf=kerf)
        quick_times.append(time.perf_counter() - begun)
        proven += plan.proven
        gap = max(gap, 1 - plan.lower_bound / plan.cost if plan.cost else 0.0)
        plain = best_fit_cost(pieces, bars, kerf)
        saved.append(1 - plan.cost / plain if plain else 0.0)
        over.append(quick.cost / plan.cost - 1 if plan.cost else 0.0)
    return Measured(
        statistics.median(times) * 1e3, max(times) * 1e3, statistics.median(quick_times) * 1e3, proven, len(tasks),
        gap, statistics.fmean(saved), statistics.fmean(over),
    )  # fmt: skip


def table() -> list[tuple[str, str, str]]:
    """Rows: what, measured, aim."""
    rows = []
    for pieces in (10, 20, 40, 60):
        for lengths in (1, 2, 4):
            m = measure([task(1000 * pieces + 10 * lengths + s, pieces, lengths, 3 if s % 2 else 0) for s in range(12)])
            rows.append(
                (
                    f"cut plan, {pieces} pieces, {lengths} lengths",
                    f"{m.median:.1f} ms, worst {m.worst:.0f}, proven {m.proven}/{m.tasks}, {m.saved:.1%} under best fit",
                    "100 ms, proven",
                )
            )
    return rows


def main() -> None:
    """Print the long table."""
    print("Times in ms. 'gap': largest share by which an unproven plan may still be too dear. 'saved': mean cost under")
    print("plain best fit (bars on hand, then the longest sold). 'quick': quick_plan, and its mean cost over plan_cuts.")
    print(f"{'pieces':>6} {'kinds':>6} {'lengths':>12} {'rack':>4} {'median':>7} {'worst':>6} {'proven':>7} {'gap':>6}"
          f" {'saved':>6} {'quick':>6} {'over':>6}")  # fmt: skip
    for kinds, name in ((ALIKE, "alike"), (APART, "apart")):
        for pieces in (10, 20, 30, 40, 50, 60):
            for sold, lengths, words in ((SOLD, 1, "1"), (SOLD, 2, "2"), (SOLD, 4, "4"), (BY_METRE, 4, "4 by metre")):
                for rack in (0, 3):
                    m = measure([task(s, pieces, lengths, rack, kinds=kinds, sold=sold) for s in range(30)])
                    print(
                        f"{pieces:>6} {name:>6} {words:>12} {rack:>4} {m.median:>7.1f} {m.worst:>6.0f} "
                        f"{m.proven:>4}/{m.tasks} {m.gap:>6.1%} {m.saved:>6.1%} {m.quick:>6.2f} {m.quick_over:>6.1%}",
                        flush=True,
                    )


if __name__ == "__main__":
    main()
