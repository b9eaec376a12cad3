"""A stand evaluated in full, and which of many are not beaten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.figures.model import Verdict
from framecore.search.space import Space
from framecore.search.words import changes_of
from framecore.stand import Stand

Floats = NDArray[np.float64]
Place = tuple[int, ...]
# Objectives: name, whether more is better, what the screening may be off by, relative.
OBJECTIVES = (
    ("cost", False, 1e-9), ("mass", False, 1e-9), ("sway", True, 1e-6), ("bed", True, 1e-5), ("first_mode", True, 0.01),
)  # fmt: skip
ALIKE = 0.01  # values within one step of this count as alike


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """A stand evaluated in full.

    ``place`` option of each choice; ``changes`` against the present stand in words; ``cost``, ``mass`` kg, ``sway`` worst of
    both ways N/mm, ``twist`` N m/deg, ``bed`` share of a jack turn that reaches the bed (None without a bed), ``first_mode`` Hz
    and ``clearance`` above its limit, Hz; ``welds`` outside of all member ends, m, for the time of welding; ``stops`` and
    ``looks`` verdicts by figure.
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

    def less(self, other: Candidate) -> dict[str, float]:
        """Return this stand's values less another's, by name."""
        names = ("cost", "mass", "sway", "twist", "first_mode", "welds")
        out = {n: getattr(self, n) - getattr(other, n) for n in names}
        if self.bed is not None and other.bed is not None:
            out["bed"] = self.bed - other.bed
        return out


def candidate(brief: Brief, space: Space, place: Place, stand: Stand) -> Candidate:
    """Read a fully evaluated stand."""
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
    )  # fmt: skip


def beaten(values: Floats, by: Floats) -> NDArray[np.bool_]:
    """Whether each row (k, o) is beaten by one no worse in all and better in some; less is better."""
    out = np.zeros(len(values), bool)
    for row in by:
        out |= (row <= values).all(1) & (row < values).any(1)
    return out


def unbeaten(values: Floats) -> NDArray[np.intp]:
    """Return the rows (k, o) that no other beats, in their order; less is better."""
    left = np.argsort(values.sum(1), kind="stable")
    kept: list[int] = []
    while len(left):
        first = int(left[0])
        kept.append(first)
        left = left[1:][~beaten(values[left[1:]], values[first : first + 1])]
    return np.array(sorted(kept), np.intp)


def steps(values: Floats) -> Floats:
    """Values (k, o) of objectives as whole steps of ``ALIKE``, less is better: what falls into one step is alike."""
    better = np.array([-1.0 if more else 1.0 for _, more, _ in OBJECTIVES])
    with np.errstate(divide="ignore", invalid="ignore"):
        out = np.floor(np.log(np.maximum(values, 1e-300)) / np.log1p(ALIKE) + 0.5) * better
    return np.asarray(np.nan_to_num(out, nan=1e9))


def front_of(candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """Return those with the fewest stops that none beats; of ones alike the cheapest, then the lightest, then the first."""
    if not candidates:
        return ()
    least = min(len(c.stops) for c in candidates)
    good = sorted((c for c in candidates if len(c.stops) == least), key=lambda c: (c.cost, c.mass, -c.sway, c.place))
    values = steps(np.array([vector(c) for c in good]))
    _, first = np.unique(values, axis=0, return_index=True)
    rows = np.sort(first)
    return tuple(good[int(rows[k])] for k in unbeaten(values[rows]))


def vector(c: Candidate) -> tuple[float, ...]:
    """Return the objectives of a candidate."""
    return (c.cost, c.mass, c.sway, c.twist if c.bed is None else c.bed, c.first_mode)
