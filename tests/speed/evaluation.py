"""Whole evaluations: every sample, and how the time grows with the number of members."""

from __future__ import annotations

import statistics
import time
from dataclasses import replace
from pathlib import Path

from app.live.memory import settle
from framecore.brief import Brief, load_brief
from framecore.stand import Evaluator

SAMPLES = Path(__file__).parents[2] / "samples"


def height_changes(brief: Brief, count: int = 200) -> tuple[int, list[float]]:
    """Members, and seconds of ``count`` evaluations at as many heights."""
    evaluator = Evaluator()
    stand = evaluator.evaluate(brief)
    base = stand.height.height
    settle()  # as the window does before anybody drags
    seconds = []
    for k in range(count):
        changed = replace(brief, frame=replace(brief.frame, height=base + (k % 50)))
        begun = time.perf_counter()
        evaluator.evaluate(changed)
        seconds.append(time.perf_counter() - begun)
    return len(stand.frame.members), seconds


def growth(brief: Brief) -> tuple[tuple[int, float], tuple[int, float]]:
    """Members and median ms of a long bench with few and with ten times as many members, shelf and all."""
    bars = tuple(replace(s, length=4 * s.length) for s in brief.steel.sold)
    found = []
    for slats, bearers in ((2, 2), (150, 62)):
        frame = replace(
            brief.frame, vice_corner="none", length=9000.0, shelf="slats", shelf_slats=slats, bearers=bearers
        )
        members, seconds = height_changes(replace(brief, frame=frame, steel=replace(brief.steel, sold=bars)), 20)
        found.append((members, statistics.median(seconds) * 1e3))
    return found[0], found[1]


def table() -> list[tuple[str, str, str]]:
    """Rows: what, measured, aim."""
    rows = []
    briefs = {p.stem: load_brief(p) for p in sorted(SAMPLES.glob("*.toml"))}
    bench = replace(briefs["workbench"], frame=replace(briefs["workbench"].frame, vice_corner="none"))
    for slats in (10, 25, 30):
        briefs[f"workbench, {slats} slats"] = replace(
            bench, frame=replace(bench.frame, shelf="slats", shelf_slats=slats, bearers=12 if slats > 10 else 4)
        )
    for name, brief in briefs.items():
        members, seconds = height_changes(brief)
        middle, worst = statistics.median(seconds) * 1e3, max(seconds) * 1e3
        rows.append((f"evaluate, {name} ({members} members)", f"{middle:.1f} ms, worst {worst:.1f}", "8 ms, worst 16"))
    (few, fast), (many, slow) = growth(bench)
    rows.append(
        (
            f"growth of evaluate, {few} to {many} members (x {many / few:.1f})",
            f"{fast:.1f} to {slow:.1f} ms = x {slow / fast:.1f}", "x 15 for x 10",
        )
    )  # fmt: skip
    return rows
