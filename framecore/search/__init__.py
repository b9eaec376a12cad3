"""A brief and what may vary: better stands."""

from __future__ import annotations

from framecore.search.candidate import Candidate
from framecore.search.find import Found, Progress, search
from framecore.search.space import Choice, Space, space_of

__all__ = ["Candidate", "Choice", "Found", "Progress", "Space", "search", "space_of"]
