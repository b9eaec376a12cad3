"""What the bars of a stand cost: a set of lengths is planned once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.cutting import Piece
from framecore.cutting.plan import quick_plan
from framecore.errors import CuttingError
from framecore.shop.order import bars_for


@dataclass(slots=True)
class Steel:
    """What bars cost; a set of lengths is planned once."""

    brief: Brief
    known: dict[tuple[str, tuple[float, ...]], tuple[float, float]] = field(default_factory=dict)

    def cost(self, profiles: Sequence[str], lengths: Sequence[float]) -> tuple[float, float]:
        """Return a bound from below and the cost of a good plan; infinite where a piece fits no bar."""
        by: dict[str, list[float]] = {}
        for p, length in zip(profiles, lengths, strict=True):
            by.setdefault(p, []).append(length)
        low = high = 0.0
        for p, own in by.items():
            key = (p, tuple(sorted(own)))
            if key not in self.known:
                self.known[key] = self._planned(*key)
            a, b = self.known[key]
            low, high = low + a, high + b
        return low, high

    def _planned(self, profile: str, lengths: tuple[float, ...]) -> tuple[float, float]:
        pieces = [Piece(mark=f"{k}", length=v, count=n) for k, (v, n) in enumerate(Counter(lengths).items())]
        try:
            plan = quick_plan(pieces, bars_for(self.brief, find_profile(profile)), kerf=self.brief.steel.kerf)
        except CuttingError:
            return float("inf"), float("inf")
        return plan.lower_bound, plan.cost
