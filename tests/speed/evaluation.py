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
    return rows
