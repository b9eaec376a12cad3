"""A brief and what may vary: better stands."""

from __future__ import annotations

from framecore.search.aims import AIMS
from framecore.search.candidate import Candidate, candidate
from framecore.search.changes import Change
from framecore.search.find import Found, search
from framecore.search.helps import (
    MEASURES,
    PRICES,
    Help,
    Readings,
    Trial,
    Tried,
    measured,
    ranked,
    with_hours,
    worst_measure,
)
from framecore.search.hurdles import Hurdle
from framecore.search.pool import Progress
from framecore.search.space import Choice, Space, space_of

__all__ = [
    "AIMS",
    "MEASURES",
    "PRICES",
    "Candidate",
    "Change",
    "Choice",
    "Found",
    "Help",
    "Hurdle",
    "Progress",
    "Readings",
    "Space",
    "Trial",
    "Tried",
    "candidate",
    "measured",
    "ranked",
    "search",
    "space_of",
    "with_hours",
    "worst_measure",
]
