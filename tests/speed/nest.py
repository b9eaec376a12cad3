"""Sheet plans of random tasks: time, share proven, and what is left unproven. ``python -m tests.speed.nest`` prints them."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Iterator

from framecore.cutting import SheetPart, SheetStock, plan_sheets
from framecore.cutting.nest_model import Mode

SOLD = (
    SheetStock(name="2 x 1 m", length=2000, width=1000, price=60.0),
    SheetStock(name="2.5 x 1.25 m", length=2500, width=1250, price=94.0),
    SheetStock(name="1 x 1 m", length=1000, width=1000, price=33.0),
)
GUSSET = ((8.0, 0.0), (120.0, 0.0), (0.0, 120.0), (0.0, 8.0))
TASKS = 20


def task(seed: int, parts: int) -> list[SheetPart]:
    """Plates of 60 to 700 mm, every size twice."""
    rng = random.Random(seed)
    return [
        SheetPart(mark=f"p{k}", length=rng.randint(60, 700), width=rng.randint(60, 500), count=min(2, parts - k))
        for k in range(0, parts, 2)
    ]


def line(parts: int, mode: Mode) -> tuple[str, str, str]:
    times, proven, gap = [], 0, 0.0
    for seed in range(TASKS):
        wanted = task(seed, parts)
        begun = time.perf_counter()
        plan = plan_sheets(wanted, SOLD, gap=5.0, edge=10.0, mode=mode)
        times.append(1e3 * (time.perf_counter() - begun))
        proven += plan.proven
        gap = max(gap, 1 - plan.lower_bound / plan.cost)
    spent = f"{statistics.median(times):.0f} ms, worst {max(times):.0f}"
    measured = f"{spent}, proven {proven}/{TASKS}, open at most {gap:.0%}"
    return f"sheet plan, {parts} plates, {mode}", measured, "no line asked; kept between evaluations"


def table() -> Iterator[tuple[str, str, str]]:
    """Lines of the speed table."""
    for mode in ("guillotine", "free"):
        for parts in (6, 10, 24):
            yield line(parts, mode)


if __name__ == "__main__":
    for row in table():
        print("  ".join(row))
