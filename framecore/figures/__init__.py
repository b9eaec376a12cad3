"""Every number that is shown. To add figures, write a module with ``figures(answers)`` and add one line.

What takes longer than a drag allows goes into a module with ``figures(answers, work)`` among ``LATE_SOURCES``, its ids into
``book.LATE_IDS``: it is worked out when first asked for.
"""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures import (
    bed,
    buying,
    casters,
    checks,
    fit,
    floor,
    height,
    motion,
    mount,
    seat,
    stability,
    steel,
    strength,
    workshop,
)
from framecore.figures.book import FigureBook, Once
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.shop.work import Work

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


def _chances(answers: Answers, _work: Work) -> Iterator[Figure]:
    """Yield the chances of the hole pattern: thousands of trials when it changes, too slow for a hand on a hole."""
    yield from fit.figures(answers)


LATE_SOURCES = (_chances, workshop.figures)


def collect_late(answers: Answers, work: Work) -> dict[str, Figure]:
    """Return the figures that rest on the work plan, by id."""
    return {f.id: f for source in LATE_SOURCES for f in source(answers, work)}


def collect(answers: Answers) -> dict[str, Figure]:
    """Return every figure by id, in the order they are shown."""
    return {f.id: f for source in SOURCES for f in source(answers)}


__all__ = [
    "LATE_SOURCES", "SOURCES", "Answers", "Figure", "FigureBook", "Input", "Once", "Verdict", "Working", "collect",
    "collect_late",
]  # fmt: skip
