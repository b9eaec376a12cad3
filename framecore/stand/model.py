"""The whole stand as one frozen value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from framecore.brief.model import Brief
from framecore.errors import Finding, Severity
from framecore.figures.book import FigureBook, Once
from framecore.frame.model import Frame
from framecore.shop.model import Shop
from framecore.solids.model import Solids
from framecore.strength.model import Strength

if TYPE_CHECKING:
    from framecore.height import WorkingHeight
    from framecore.shop.work import Work


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, weakref_slot=True)
class Stand:
    """Everything known about one stand.

    ``figures``: id -> Figure in display order, some of them worked out when first asked for. ``work``: what the workshop is
    told, worked out when first called. ``findings``: of the frame and its mechanics (the brief's own
    are with its reading).
    """

    brief: Brief
    height: WorkingHeight
    frame: Frame
    solids: Solids
    strength: Strength
    shop: Shop
    figures: FigureBook
    work: Once[Work]
    findings: tuple[Finding, ...]

    @property
    def buildable(self) -> bool:
        """Whether no finding says stop."""
        return all(f.severity is not Severity.STOP for f in self.findings)
