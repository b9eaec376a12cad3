"""Screened stands as numbers to compare: limits surely missed, and the aims as they are and at their best."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.search.aims import AIMS, cleared, steps
from framecore.search.candidate import Candidate
from framecore.search.family import Looked
from framecore.shop.filler import DENSITY, PROCESSES
from framecore.strength._motion import running_speeds

Floats = NDArray[np.float64]
STOPS_AT = 0.8  # share of a least value below which a figure says stop
# Modes are found in two steps from those of another stand. They are never too low (Rayleigh), and too high by no more than
# this, as the tests of the batch hold them to.
TOO_HIGH = np.array([1e-6, 1e-5, 5e-3, 0.03, 0.06, 0.06])
# Hours over those of the fillets counted: the least there may be, as a share of the present stand's, or of the least seen.
_AT_FIRST, _SEEN, _MANY = 0.7, 0.95, 20


class Screen:
    """Reads screened stands of one brief, and learns from those evaluated in full.

    ``fixed``: limits that every stand misses; ``drift``: largest relative difference of a screened stand from the full
    evaluation; ``true``: whether all were within what the aims allow for.
    """

    def __init__(self, brief: Brief, aims: Sequence[str], fixed: Sequence[str] = ()) -> None:
        self._brief, self._aims, self._fixed = brief, tuple(aims), tuple(fixed)
        turning = running_speeds(brief, np.ones(1))
        self._speeds = np.array([s.hz for s in turning])
        self._motor = np.array([s.what == "motor" for s in turning], bool)
        self._even = brief.feet.set == "levelled"
        self._ratios: list[float] = []
        self.drift, self.true = 0.0, True

    def learn(self, found: Looked, c: Candidate) -> None:
        """Hold one screened stand against its full evaluation."""
        a = found.answers
        if c.hours is not None and a.seams[0] > 0:
            self._ratios.append(c.hours / self._fillets(a.seams)[0])
        pairs = [
            (min(a.sway_x[0], a.sway_y[0]), c.sway, AIMS["sway"].off), (_turn(a.twist)[0], c.twist, AIMS["twist"].off),
            (a.mass[0], c.mass, AIMS["mass"].off), (max(found.cost_low[0], c.cost), c.cost, AIMS["cost"].off),
        ]  # fmt: skip
        if c.bed is not None:
            pairs.append((a.bed[0], c.bed, AIMS["twist"].off))
        if self._standing(found)[0]:
            pairs.append((a.hz[0, 0], c.first_mode, AIMS["frequency"].off))
        for ours, theirs, allowed in pairs:
            off = abs(ours - theirs) / abs(theirs) if theirs else 0.0
            self.drift = max(self.drift, float(off))
            self.true &= bool(off <= allowed)

    def missed(self, found: Looked, drift: float) -> dict[str, NDArray[np.bool_]]:
        """Return which stands (k,) surely miss which limits, by figure; ``drift`` as in ``read``."""
        limits = self._brief.limits
        least = {
            "sway.stiffness_x": limits.sway, "sway.stiffness_y": limits.sway, "twist.stiffness": limits.twist,
            "modes.1": limits.frequency, "bed.jack_share": limits.jack_share, "modes.clear": limits.speed_band,
            "speeds.motor": limits.speed_band,
        }  # fmt: skip
        sure = (1 - 1e-5 - self._more(drift)) * STOPS_AT
        out = {name: np.asarray(v < sure * least[name]) for name, v in self.values(found).items()}
        return out | {name: np.ones(len(found.cost), bool) for name in self._fixed}

    def values(self, found: Looked) -> dict[str, Floats]:
        """Return the screened figures that have a least value, (k,) each; gaps at their widest, nan where there is none."""
        a = found.answers
        out = {
            "sway.stiffness_x": a.sway_x, "sway.stiffness_y": a.sway_y, "twist.stiffness": _turn(a.twist),
            "modes.1": a.hz[:, 0], "bed.jack_share": a.bed,
        }  # fmt: skip
        if self._motor.any():
            # A motor always turns at its own speed: what is near it misses two limits, that of all speeds and its own.
            motor = self._gaps(found)[2]
            out |= {"modes.clear": motor, "speeds.motor": motor}
        return out

    def gap(self, found: Looked, row: int) -> float | None:
        """Narrowest gap of one stand's modes to running speeds as screened, None where nothing turns."""
        return float(self._gaps(found.taken(np.array([row])))[0][0]) if len(self._speeds) else None

    def _more(self, drift: float) -> float:
        """Relative, by which screened stands may be off besides what their aims allow for."""
        return 2 * min(max(drift, 0.0 if self.true else self.drift), 0.05)

    def read(self, found: Looked, drift: float) -> tuple[NDArray[np.intp], Floats, Floats]:
        """Return limits surely missed (k,), steps of the aims at their best (k, o) and as screened (k, o).

        ``drift``: relative, by which the rows of these stands may be off.
        """
        a, limits = found.answers, self._brief.limits
        more = self._more(drift)
        twist, sway, first = _turn(a.twist), np.minimum(a.sway_x, a.sway_y), a.hz[:, 0]
        wide, widest, _ = self._gaps(found)
        off = np.sum(list(self.missed(found, drift).values()), axis=0)
        bed = np.where(np.isnan(a.bed), twist, a.bed)
        hours = self._fillets(a.seams)
        band = limits.speed_band
        here = {
            "cost": found.cost, "mass": a.mass, "hours": hours * self._usual, "sway": sway, "twist": bed,
            "frequency": cleared(wide, band) if len(self._speeds) else first,
        }  # fmt: skip
        best = here | {"cost": found.cost_low, "hours": hours * self._least}
        if len(self._speeds):
            best["frequency"] = cleared(widest, band)
        margin = np.array([1 + AIMS[n].off + more if AIMS[n].more else 1 - AIMS[n].off - more for n in self._aims])
        exact = np.column_stack([here[n] for n in self._aims])
        low = np.column_stack([best[n] for n in self._aims]) * margin
        return np.asarray(off, np.intp), steps(low, self._aims), steps(exact, self._aims)

    @property
    def _usual(self) -> float:
        return statistics.median(self._ratios) if self._ratios else 1.0

    @property
    def _least(self) -> float:
        if len(self._ratios) < _MANY:
            return _AT_FIRST * self._usual
        return _SEEN * min(self._ratios)

    def _fillets(self, seams: Floats) -> Floats:
        """Hours of welding the fillets that were counted."""
        p = PROCESSES[self._brief.welding.process]
        return seams * DENSITY / p.kg_hour / p.arc[0]

    def _standing(self, found: Looked) -> NDArray[np.bool_]:
        """Whether all feet of a stand are sure to press on the floor under its own weight: modes are counted so."""
        return np.asarray((found.answers.rise < 0) & (self._even | (self._brief.floor.anchor != "none")))

    def _gaps(self, found: Looked) -> tuple[Floats, Floats, Floats]:
        """Narrowest gap of modes to running speeds as screened, at its widest, and that of the motor at its widest."""
        hz, count = found.answers.hz, len(found.cost)
        if not len(self._speeds):
            return np.zeros(count), np.zeros(count), np.zeros(count)
        speeds = self._speeds[:, None]
        high = np.abs(hz[:, None] - speeds) / speeds  # (k, speeds, modes)
        low = np.abs((hz * (1 - TOO_HIGH))[:, None] - speeds) / speeds
        # fmin: a frame with few masses has few modes.
        wide = np.fmin.reduce(high, axis=2)
        widest = np.where(self._standing(found)[:, None], np.fmin.reduce(np.maximum(high, low), axis=2), np.inf)
        motor = widest[:, self._motor].min(1) if self._motor.any() else np.full(count, np.inf)
        return wide.min(1), widest.min(1), motor


def _turn(twist: Floats) -> Floats:
    """N mm/rad -> N m/deg."""
    return twist * np.pi / 180 / 1000
