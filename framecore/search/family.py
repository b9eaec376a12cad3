"""Families of stands alike in joints and members, and which one a stand belongs to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Choice as ChoiceKind
from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.cutting import Piece
from framecore.cutting.plan import quick_plan
from framecore.errors import CatalogueError, CuttingError, LayoutError, SolverError
from framecore.fem import Topology, assemble, modes
from framecore.search.batch import Screened, Solver
from framecore.search.kit import Builder, Built
from framecore.search.space import Space
from framecore.shop.order import bars_for
from framecore.shop.pieces import ALIKE

Floats = NDArray[np.float64]
Stand = tuple[int, ...]
SAME = 1e-9  # answers that differ by less are those of a stand built whole
_SHAPES = 4
_PROBES = 4
Fault = (LayoutError, SolverError, CuttingError, CatalogueError)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looked:
    """Screened stands: ``answers``, and between what bounds the steel of each costs, (k,)."""

    answers: Screened
    cost_low: Floats
    cost: Floats

    @staticmethod
    def joined(parts: Sequence[Looked]) -> Looked:
        """Put stands one after another."""
        return Looked(
            answers=Screened.joined([p.answers for p in parts]),
            cost_low=np.concatenate([p.cost_low for p in parts]), cost=np.concatenate([p.cost for p in parts]),
        )  # fmt: skip

    def taken(self, order: NDArray[np.intp]) -> Looked:
        """Return some stands, in that order."""
        a = self.answers
        return Looked(
            answers=Screened(**{f.name: getattr(a, f.name)[order] for f in fields(Screened)}),
            cost_low=self.cost_low[order], cost=self.cost[order],
        )  # fmt: skip


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


class Family:
    """Stands that differ in numbers alone, known from one of them and what each option changes.

    ``odd``: (choice, option) that change joints or members, so that they are a family of their own; ``dropped``: those that
    give no stand, with the reason; ``drift``: largest relative difference found between an added and a built stand.
    """

    def __init__(self, brief: Brief, space: Space, builder: Builder, anchor: Stand, free: Sequence[int]) -> None:
        self.odd: set[tuple[int, int]] = set()
        self.dropped: dict[tuple[int, int], str] = {}
        self.drift = 0.0
        self.failed = ""
        self._brief = brief
        started = self._start(brief, space, builder, anchor, free)
        if started is None:
            return
        self.anchor, base = started
        self._base, self._steel = base, Steel(brief)
        self._profiles: list[str] = [m.profile.id for m in base.frame.members]
        self._groups: list[tuple[int, list[int], list[list[str]]]] = []
        self._deltas: list[tuple[int, Floats]] = []
        for i in free:
            self._vary(space, builder, i)
        self.solver = solver_of(brief, base)
        self._probe(space, builder, free)

    def _start(
        self, brief: Brief, space: Space, builder: Builder, anchor: Stand, free: Sequence[int]
    ) -> tuple[Stand, Built] | None:  # fmt: skip
        """Find a stand of the family that can be built: the anchor, else one option away from it."""
        tries = [anchor, *(changed(anchor, i, k) for i in free for k in range(len(space.choices[i].options)))]
        for stand in dict.fromkeys(tries):
            try:
                return stand, builder.build(space.brief_at(brief, stand))
            except Fault as fault:
                self.failed = self.failed or reason(fault)
        return None

    def _vary(self, space: Space, builder: Builder, i: int) -> None:
        """Learn what every option of one choice changes."""
        base, options = self._base, space.choices[i].options
        delta = np.zeros((len(options), len(base.row)))
        names = [list(self._profiles) for _ in options]
        for k in range(len(options)):
            if k == self.anchor[i]:
                continue
            try:
                one = builder.build(space.brief_at(self._brief, changed(self.anchor, i, k)), loose=True)
            except Fault as fault:
                self.dropped[i, k] = reason(fault)
                continue
            if not one.shape.same(base.shape):
                self.odd.add((i, k))
                continue
            delta[k] = one.row - base.row
            names[k] = [m.profile.id for m in one.frame.members]
        members = [m for m, p in enumerate(self._profiles) if any(n[m] != p for n in names)]
        if members:
            self._groups.append((i, members, [[n[m] for m in members] for n in names]))
        self._deltas.append((i, delta))

    def _probe(self, space: Space, builder: Builder, free: Sequence[int]) -> None:
        """Build a few stands whole in which everything changes at once, and see how far the sums are off."""
        rng = np.random.default_rng(len(free))
        good = {
            i: [k for k in range(len(space.choices[i].options)) if (i, k) not in self.odd and (i, k) not in self.dropped]
            for i in free
        }
        tries = [[v[-1] for v in good.values()], [v[0] for v in good.values()]]
        tries += [[int(rng.choice(v)) for v in good.values()] for _ in range(_PROBES - 2)]
        for one in tries if len(free) > 1 else ():
            stand = list(self.anchor)
            for i, k in zip(good, one, strict=True):
                stand[i] = k
            try:
                built = builder.build(space.brief_at(self._brief, stand), loose=True)
            except Fault:
                continue
            if not built.shape.same(self._base.shape):
                self.drift = float("inf")
                continue
            rows = np.stack([built.row, self.rows(np.array([stand]))[0]])
            self.drift = max(self.drift, apart(self.solver.solve(rows)))

    def rows(self, stands: NDArray[np.intp]) -> Floats:
        """Return the rows (k, d) of stands (k, choices)."""
        out = np.repeat(self._base.row[None], len(stands), 0)
        for i, delta in self._deltas:
            out += delta[stands[:, i]]
        return out

    def look(self, stands: NDArray[np.intp]) -> Looked:
        """Screen stands (k, choices) of this family."""
        rows = self.rows(stands)
        answers = self.solver.solve(rows)
        lengths = (np.round(self._base.shape.split(rows)["length"] / ALIKE) * ALIKE).tolist()
        bounds = np.empty((len(stands), 2))
        profiles = list(self._profiles)
        for n, (stand, own) in enumerate(zip(stands.tolist(), lengths, strict=True)):
            for i, members, names in self._groups:
                for m, p in zip(members, names[stand[i]], strict=True):
                    profiles[m] = p
            bounds[n] = self._steel.cost(profiles, own)
        bounds += answers.plates[:, None]
        return Looked(answers=answers, cost_low=bounds[:, 0], cost=bounds[:, 1])


def solver_of(brief: Brief, built: Built) -> Solver:
    """Return a solver for the family of one stand, its first frequencies started from that stand's own."""
    model = built.model
    whole = assemble(model, Topology.of(model.elements, model.n_nodes))
    found = modes(whole, _SHAPES)
    solver = Solver(brief, built.shape, whole.topology)
    solver.begin(found.shapes, float(found.frequencies_hz[0]), built.row)
    return solver


def apart(pair: Screened) -> float:
    """Return the largest relative difference between two stands."""
    worst = 0.0
    for f in fields(Screened):
        a, b = getattr(pair, f.name)[:2].tolist()
        if a == a and b == b and a != b:
            worst = max(worst, abs(a - b) / max(abs(a), abs(b)))
    return worst


def changed(stand: Stand, choice: int, option: int) -> Stand:
    """Return the stand with one option changed."""
    return (*stand[:choice], option, *stand[choice + 1 :])


def reason(fault: Exception) -> str:
    """Say why a stand cannot be built, in one sentence."""
    findings = getattr(fault, "findings", ())
    return str(findings[0].message) if findings else str(fault)


class Families:
    """All families of a space, made when the first of their stands is met."""

    def __init__(self, brief: Brief, space: Space) -> None:
        self._brief, self._space, self._builder = brief, space, Builder()
        self._split = tuple(i for i, c in enumerate(space.choices) if isinstance(BY_PATH[c.key].kind, ChoiceKind))
        self.known: dict[Stand, Family] = {}

    def of(self, stand: Stand) -> tuple[Stand, Family | str]:
        """Return the name of a stand's family and the family, or the reason why the stand cannot be built."""
        fixed = set(self._split)
        while True:
            name = tuple(k if i in fixed else -1 for i, k in enumerate(stand))
            family = self.known.get(name)
            if family is None:
                family = self.known[name] = self._made(name)
            if family.failed and not hasattr(family, "solver"):
                return name, family.failed
            away = next((i for i, k in enumerate(stand) if i not in fixed and (i, k) in family.odd), None)
            if away is None:
                break
            fixed.add(away)
        for i, k in enumerate(stand):
            if (i, k) in family.dropped:
                return name, family.dropped[i, k]
        return name, family

    def _made(self, name: Stand) -> Family:
        present = self._space.present
        anchor = tuple(p if k < 0 else k for k, p in zip(name, present, strict=True))
        free = [i for i, k in enumerate(name) if k < 0]
        return Family(self._brief, self._space, self._builder, anchor, free)
