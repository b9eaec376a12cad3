"""What is known of a stand that was found, and which of several are not beaten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framecore.brief.model import Brief
from framecore.figures.model import Verdict
from framecore.search.aims import AIMS, cleared, steps, unbeaten
from framecore.search.space import Place, Space
from framecore.search.words import changes_of
from framecore.stand import Stand


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """A stand that was found.

    ``place`` option of each choice; ``changes`` against the present stand in words; ``cost``, ``mass`` kg, ``sway`` worst of
    both ways N/mm, ``twist`` N m/deg, ``bed`` share of a jack turn that reaches the bed (None without a bed), ``first_mode`` Hz
    and ``clearance`` above its limit, Hz; ``gap`` between a mode and a running speed over that, the narrowest, None where
    nothing turns; ``welds`` outside of all member ends, m; ``hours`` of welding at most, None where nobody asked; ``stops``
    and ``looks`` verdicts by figure; ``checked`` in full, else only screened: then ``stops`` are the limits that it surely
    misses, and there are no ``looks`` and ``hours`` yet.
    """

    place: Place
    brief: Brief
    changes: tuple[str, ...]
    cost: float
    mass: float
    sway: float
    twist: float
    bed: float | None
    first_mode: float
    clearance: float
    welds: float
    stops: tuple[str, ...]
    looks: tuple[str, ...]
    gap: float | None = None
    hours: float | None = None
    checked: bool = True

    def less(self, other: Candidate) -> dict[str, float]:
        """Return this stand's values less another's, by name."""
        names = ("cost", "mass", "sway", "twist", "first_mode", "welds")
        out = {n: getattr(self, n) - getattr(other, n) for n in names}
        for n in ("bed", "gap", "hours"):
            mine, theirs = getattr(self, n), getattr(other, n)
            if mine is not None and theirs is not None:
                out[n] = mine - theirs
        return out


def candidate(brief: Brief, space: Space, place: Place, stand: Stand, *, hours: bool = False) -> Candidate:
    """Read a fully evaluated stand; its hours of welding take longer and are read where asked for."""
    s = stand.strength
    verdicts = [(f.id, f.verdict) for f in stand.figures.live.values()]
    first = float(s.modes_hz[0])
    profiles = [m.profile for m in stand.frame.members]
    return Candidate(
        place=place, brief=stand.brief, changes=changes_of(brief, space, place), cost=stand.shop.cost,
        mass=float(stand.solids.mass), sway=min(s.sway_x, s.sway_y), twist=float(s.twist * np.pi / 180 / 1000),
        bed=None if s.bed is None else float(s.bed.share), first_mode=first, clearance=first - brief.limits.frequency,
        welds=sum(4 * (p.height + p.width) for p in profiles) / 1000,
        stops=tuple(n for n, v in verdicts if v is Verdict.STOP), looks=tuple(n for n, v in verdicts if v is Verdict.LOOK),
        gap=min((float(r.gap) for r in s.motion.speeds), default=None),
        hours=stand.figures["welds.hours"].value if hours else None,
    )  # fmt: skip


def front_of(candidates: Sequence[Candidate], aims: Sequence[str] = tuple(AIMS)) -> tuple[Candidate, ...]:
    """Return those with the fewest stops that none beats; of ones alike the cheapest, then the lightest, then the first."""
    if not candidates:
        return ()
    least = min(len(c.stops) for c in candidates)
    good = sorted((c for c in candidates if len(c.stops) == least), key=lambda c: (c.cost, c.mass, -c.sway, c.place))
    values = steps(np.array([vector(c, aims) for c in good]), aims)
    _, first = np.unique(values, axis=0, return_index=True)
    rows = np.sort(first)
    return tuple(good[int(rows[k])] for k in unbeaten(values[rows]))


def vector(c: Candidate, aims: Sequence[str]) -> tuple[float, ...]:
    """Return the values of the aims."""
    all_of = {
        "cost": c.cost, "mass": c.mass, "hours": c.hours if c.hours is not None else float("nan"), "sway": c.sway,
        "twist": c.twist if c.bed is None else c.bed,
        "frequency": c.first_mode if c.gap is None else float(cleared(np.array(c.gap), c.brief.limits.speed_band)),
    }  # fmt: skip
    return tuple(all_of[a] for a in aims)
