"""Tries single changes in the process beside the window; see ``serve``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from framecore.brief.model import Brief
from framecore.search import Readings, Trial, ranked


@dataclass(frozen=True, slots=True)
class Asked:
    """A brief, and the measure whose best changes get their hours first."""

    brief: Brief
    measure: str


@dataclass(frozen=True, slots=True)
class Present:
    """What the present stand says, and how many changes there are to try. Comes again with the hours."""

    readings: Readings
    changes: int


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of welding of the change tried as number ``index``."""

    index: int
    hours: float


def try_changes(asked: Asked, say: Callable[[Any], None], _stop: Callable[[], bool]) -> None:
    """Say ``Present``, every ``Tried``, ``Present`` with its hours, then ``Hours``, most helpful changes first."""
    trial = Trial(asked.brief)
    present = trial.present()
    say(Present(present, len(trial.changes)))
    tried = []
    for one in trial.run():
        tried.append(one)
        say(one)
    say(Present(trial.present(hours=True), len(trial.changes)))
    place = {t.change: k for k, t in enumerate(tried) if t.after is not None}
    first = [place[h.change] for h in ranked(present, tried, asked.measure, "mass")]
    for k in dict.fromkeys([*first, *place.values()]):
        say(Hours(k, trial.hours(tried[k].change)))
