"""What a step is told from, and how one is put down before it has its number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from framecore.shop.work import Assembly, FinishPlan, Lift, Step, Weld


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the steps are told from besides brief, frame and shop."""

    assemblies: Sequence[Assembly]
    welds: Sequence[Weld]
    finish: FinishPlan
    lifts: Sequence[Lift]
    torque: float  # N m, of the holding-down bolts; 0 where none
    turn_out: Sequence[tuple[str, float]]  # foot, mm out from mid travel
    twist: float  # most bed twist, mm/m
    sleeves: str = ""  # crush sleeves: "" none, "fixed", "loose"


def step(stage: str, title: str, text: str, **more: str) -> Step:
    """Return a step; ``more``: its other fields."""
    return Step(number=0, stage=stage, title=title, text=text, **more)  # type: ignore[arg-type]
