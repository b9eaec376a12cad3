"""Weld metal: how much is laid, what must be bought for it, gas and time, by process."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framecore.shop._say import about
from framecore.shop.work import Filler, Weld
from framecore.units import POUND

DENSITY = 7.85e-6  # kg/mm3
CONVEX = 1.1  # metal of a weld over its flat shape (common practice)
REACH = 0.5  # gap of a butt over the wall, filled from one side (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Process:
    """What a process lays and wastes.

    ``share`` of the bought filler that ends in the weld; ``kg_hour`` laid while the arc burns; ``litres_minute`` of
    shielding gas; ``arc`` share of the whole time that the arc burns in a home shop, slow and quick.
    """

    share: float
    kg_hour: float
    litres_minute: float
    arc: tuple[float, float] = (0.15, 0.25)


# Shares: a filler-metal handbook's chart (solid wire 98-93 %, self-shielded 78, stick 59-66 with the stub); which belongs
# to which, laying rates at about 125 A (wire 1.5 kg/h) and arc shares: common practice.
PROCESSES = {
    "solid wire and gas": Process(share=0.93, kg_hour=1.5, litres_minute=12.0),
    "self-shielded wire": Process(share=0.78, kg_hour=1.2, litres_minute=0.0),
    "stick": Process(share=0.60, kg_hour=0.9, litres_minute=0.0),
    "TIG": Process(share=0.95, kg_hour=0.35, litres_minute=8.0),
}
SOURCE = "filler-metal handbook chart of efficiencies; rates and arc share common practice"


def section(kind: str, *, leg: float, throat: float, opening: float = math.pi / 2, flare: float = 0.0) -> float:
    """Return the cross-section of a weld's metal, mm2.

    Parameters
    ----------
    kind, leg, throat : as of a ``Weld``
    opening : of a fillet's corner through the air, rad
    flare : radius of the rounded edge of a flare-bevel, mm; 0 takes twice the throat

    Notes
    -----
    Fillet ``z^2 sin(opening) / 2``; flare-bevel the room between arc and face down to the throat; butt the gap of half
    the throat; outside corner a triangle of the wall; a tenth more for a convex face.
    """
    t = throat
    if kind == "fillet":
        return float(CONVEX * leg**2 * math.sin(opening) / 2)
    if kind == "flare-bevel":
        r = flare or 2 * t
        d = min(t, r)
        # Between the tangent and the arc, over the depth d from the outside.
        x = r - d
        return float(r * d - (r * r * math.pi / 4 - (x * math.sqrt(r * r - x * x) + r * r * math.asin(x / r)) / 2))
    if kind == "butt":
        return float(CONVEX * t * REACH * t)
    return float(CONVEX * t * t / 2)


def section_of(weld: Weld) -> float:
    """Return the mean cross-section of a weld's metal, mm2."""
    return weld.metal / weld.length if weld.length > 0 else 0.0


def filler(welds: Sequence[Weld], process: str, units: str = "metric") -> Filler:
    """Return weld metal, gas and time of all welds."""
    p = PROCESSES[process]
    deposit = float(sum(w.metal for w in welds)) * DENSITY
    arc = deposit / p.kg_hour
    slow, quick = p.arc
    rate = about(units, f"{p.kg_hour:g} kg", f"{p.kg_hour / POUND:.1f} lb")
    return Filler(
        deposit=deposit, bought=deposit / p.share, gas_litres=arc * 60 * p.litres_minute, arc_hours=arc,
        hours=(arc / quick, arc / slow),
        text=f"{process}: {p.share:.0%} of what is bought ends in the weld, {rate} an hour of arc",
    )  # fmt: skip
