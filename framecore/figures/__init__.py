"""Every number that is shown. To add figures, write a module with ``figures(answers)`` and add one line.

What takes longer than a drag allows stands in ``late``.
"""

from __future__ import annotations

from framecore.figures import (
    bed,
    buying,
    casters,
    checks,
    floor,
    height,
    motion,
    mount,
    seat,
    stability,
    steel,
    strength,
)
from framecore.figures.book import FigureBook, Once
from framecore.figures.model import Answers, Figure, Input, Verdict, Working

SOURCES = (
    height.figures,
    steel.figures,
    buying.figures,
    strength.figures,
    checks.figures,
    motion.figures,
    stability.figures,
    floor.figures,
    casters.figures,
    bed.figures,
    seat.figures,
    mount.figures,
)


def collect(answers: Answers) -> dict[str, Figure]:
    """Return every figure by id, in the order they are shown."""
    return {f.id: f for source in SOURCES for f in source(answers)}


__all__ = ["SOURCES", "Answers", "Figure", "FigureBook", "Input", "Once", "Verdict", "Working", "collect"]
