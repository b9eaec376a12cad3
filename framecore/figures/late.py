"""The figures that take longer than a drag allows: worked out when first asked for, and this module loaded then.

To add some, write a module with ``figures(answers, work)``, add it to ``LATE_SOURCES`` and its ids to ``book.LATE_IDS``.
"""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures import fit, workshop
from framecore.figures.model import Answers, Figure
from framecore.shop.work import Work


def _chances(answers: Answers, _work: Work) -> Iterator[Figure]:
    """Yield the chances of the hole pattern: thousands of trials when it changes, too slow for a hand on a hole."""
    yield from fit.figures(answers)


LATE_SOURCES = (_chances, workshop.figures)


def collect_late(answers: Answers, work: Work) -> dict[str, Figure]:
    """Return the figures that rest on the work plan, by id."""
    return {f.id: f for source in LATE_SOURCES for f in source(answers, work)}
