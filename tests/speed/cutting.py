"""Cut plans of random tasks: time, share proven, and best fit beside it."""

from __future__ import annotations

import random
import statistics
import time

from framecore.cutting import Bar, Piece, plan_cuts, quick_plan

SOLD = (("6 m", 6000.0, 100.0), ("3 m", 3000.0, 55.0), ("2 m", 2000.0, 38.0), ("1 m", 1000.0, 21.0))


def task(seed: int, pieces: int, lengths: int, rack: int) -> tuple[list[Piece], list[Bar]]:
    rng = random.Random(seed)
    kinds = max(3, pieces // 4)
    sizes = [float(rng.randint(60, 1200)) for _ in range(kinds)]
    wanted = [rng.randrange(kinds) for _ in range(pieces)]
    bars = [Bar(name=n, length=x, price=p) for n, x, p in SOLD[:lengths]]
    if lengths == 1:
        bars = [Bar(name="6 m", length=6000.0, price=100.0)]
    bars += [
        Bar(name=f"rack {k}", length=float(rng.randint(400, 2500)), price=0.0, available=1, rack=True) for k in range(rack)
    ]
    return [Piece(mark=str(k), length=sizes[k], count=wanted.count(k)) for k in range(kinds) if k in wanted], bars


def table() -> list[tuple[str, str, str]]:
    """Rows: what, measured, aim."""
    rows = []
    for pieces in (10, 20, 40, 60):
        for lengths in (1, 2, 4):
            times, proven, saved = [], 0, 0.0
            for seed in range(12):
                p, b = task(1000 * pieces + 10 * lengths + seed, pieces, lengths, 3 if seed % 2 else 0)
                begun = time.perf_counter()
                plan = plan_cuts(p, b, kerf=3.0)
                times.append(time.perf_counter() - begun)
                proven += plan.proven
                quick = quick_plan(p, b, kerf=3.0).cost
                saved += 1 - plan.cost / quick if quick else 0.0
            rows.append(
                (
                    f"cut plan, {pieces} pieces, {lengths} lengths",
                    f"{statistics.median(times) * 1e3:.1f} ms, worst {max(times) * 1e3:.0f}, proven {proven}/12, "
                    f"{saved / 12:.1%} under best fit",
                    "100 ms, proven",
                )
            )
    return rows
