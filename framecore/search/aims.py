"""What a search is for: the aims, how near counts as alike, and which of many stands are not beaten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One thing to have more or less of.

    ``more`` whether more is better; ``off`` what the screening may be off by, relative; ``alike`` values within one step of
    this, relative, count as alike; ``words`` for people.
    """

    more: bool
    off: float
    alike: float
    words: str


# The screening is as near as the tests of the batch hold it to; hours are reckoned from what was evaluated in full.
AIMS: dict[str, Aim] = {
    "cost": Aim(more=False, off=1e-9, alike=0.01, words="cost of steel"),
    "mass": Aim(more=False, off=1e-9, alike=0.01, words="mass of steel"),
    "hours": Aim(more=False, off=0.0, alike=0.05, words="hours of welding"),
    "sway": Aim(more=True, off=1e-6, alike=0.01, words="least sway stiffness"),
    "twist": Aim(more=True, off=1e-5, alike=0.01, words="twist stiffness; with a bed the share of a jack turn it gets"),
    "frequency": Aim(more=True, off=1e-6, alike=0.01, words="gap of modes to running speeds; where nothing turns first mode"),
}  # fmt: skip


def steps(values: Floats, aims: Sequence[str]) -> Floats:
    """Values (k, o) of aims as whole steps, less is better: what falls into one step is alike."""
    better = np.array([-1.0 if AIMS[a].more else 1.0 for a in aims])
    size = np.log1p([AIMS[a].alike for a in aims])
    with np.errstate(divide="ignore", invalid="ignore"):
        out = np.floor(np.log(np.maximum(values, 1e-300)) / size + 0.5) * better
    return np.asarray(np.nan_to_num(out, nan=1e9))


def cleared(gaps: Floats, band: float) -> Floats:
    """Gaps to running speeds as an aim: as wide as the brief asks is clear, and clear enough; counted from one."""
    return np.asarray(1 + np.minimum(gaps, band))


def beaten(values: Floats, by: Floats) -> NDArray[np.bool_]:
    """Whether each row (k, o) is beaten by one no worse in all and better in some; less is better."""
    out = np.zeros(len(values), bool)
    left = np.arange(len(values))
    for row in by:
        own = values[left]
        lost = (row <= own).all(1) & (row < own).any(1)
        out[left[lost]] = True
        left = left[~lost]
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
