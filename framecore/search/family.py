"""Families of stands alike in joints and members, and which one a stand belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Choice as ChoiceKind
from framecore.brief.model import Brief
from framecore.errors import CatalogueError, CuttingError, LayoutError, SolverError
from framecore.fem import Topology, assemble, modes
from framecore.search.batch import Screened, Solver
from framecore.search.kit import Builder, Built
from framecore.search.rows import Rows, changed
from framecore.search.shake import GUARDS, MODES
from framecore.search.space import Space
from framecore.search.steel import Steel
from framecore.shop.pieces import ALIKE

Floats = NDArray[np.float64]
Stand = tuple[int, ...]
Fault = (LayoutError, SolverError, CuttingError, CatalogueError)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looked:
    """Screened stands: ``answers``, and between what bounds the steel of each costs, (k,); nan what cannot be built."""

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

    @staticmethod
    def nothing(count: int) -> Looked:
        """Return stands that cannot be built."""
        gone = np.full(count, np.nan)
        answers = {f.name: gone for f in fields(Screened)} | {"hz": np.full((count, MODES), np.nan)}
        return Looked(answers=Screened(**answers), cost_low=np.full(count, np.inf), cost=np.full(count, np.inf))

    def taken(self, order: NDArray[np.intp]) -> Looked:
        """Return some stands, in that order."""
        a = self.answers
        return Looked(
            answers=Screened(**{f.name: getattr(a, f.name)[order] for f in fields(Screened)}),
            cost_low=self.cost_low[order], cost=self.cost[order],
        )  # fmt: skip


class Family:
    """Stands that differ in numbers alone; ``rows`` knows them, ``solver`` answers them. ``failed``: why there are none."""

    def __init__(
        self, brief: Brief, space: Space, builder: Builder, steel: Steel, anchor: Stand, free: Sequence[int]
    ) -> None:  # fmt: skip
        self.failed = ""
        self._brief, self._space, self._builder, self._steel = brief, space, builder, steel
        tries = [anchor, *(changed(anchor, i, k) for i in free for k in range(len(space.choices[i].options)))]
        for stand in dict.fromkeys(tries):
            base = self._build(stand)
            if not isinstance(base, str):
                break
            self.failed = self.failed or base
        else:
            return
        self.failed = ""
        self.rows = Rows(self._build, stand, base, free, [len(c.options) for c in space.choices])
        self.solver = solver_of(base)
        self._profiles = [m.profile.id for m in base.frame.members]
        self._others: dict[Stand, tuple[Built, Solver] | None] = {}
        self._groups: list[tuple[int, list[int], list[list[str]]]] = []
        for i, names in self.rows.names.items():
            members = [m for m, p in enumerate(self._profiles) if any(n[m] != p for n in names)]
            if members:
                self._groups.append((i, members, [[n[m] for m in members] for n in names]))

    def _build(self, stand: Stand) -> Built | str:
        """Build one stand, whatever its findings: another change may cure them."""
        try:
            return self._builder.build(self._space.brief_at(self._brief, stand), loose=True)
        except Fault as fault:
            return reason(fault)

    def look(self, stands: NDArray[np.intp]) -> Looked:
        """Screen stands (k, choices) of this family."""
        rows, alone = self.rows.rows(stands)
        single = np.zeros(len(stands), bool)
        single[alone] = True
        for i, k in self.rows.dropped:
            single |= stands[:, i] == k
        many, few = np.flatnonzero(~single), np.flatnonzero(single)
        parts = []
        if len(many):
            parts.append(self._priced(rows[many], self.solver.solve(rows[many]), self._named(stands[many])))
        if len(few):
            parts.append(self._whole([tuple(stand) for stand in stands[few].tolist()]))
        return Looked.joined(parts).taken(np.argsort(np.r_[many, few]))

    def _whole(self, stands: Sequence[Stand]) -> Looked:
        """Screen stands that are built whole, those alike together."""
        alike: dict[int, tuple[Solver, list[int], list[Built]]] = {}
        lost: list[int] = []
        for n, stand in enumerate(stands):
            built = self._build(stand)
            if isinstance(built, str):
                lost.append(n)
                continue
            solver = self._solver_for(stand, built)
            _, numbers, own = alike.setdefault(id(solver), (solver, [], []))
            numbers.append(n)
            own.append(built)
        parts, order = [], lost[:]
        if lost:
            parts.append(Looked.nothing(len(lost)))
        for solver, numbers, own in alike.values():
            rows = np.array([b.row for b in own])
            names = [[m.profile.id for m in b.frame.members] for b in own]
            parts.append(self._priced(rows, solver.solve(rows), names, own[0]))
            order += numbers
        return Looked.joined(parts).taken(np.argsort(np.array(order, np.intp)))

    def _solver_for(self, stand: Stand, built: Built) -> Solver:
        """Return a solver for a stand built whole: never one that hangs on what was looked at before."""
        if built.shape.same(self.rows.base.shape):
            return self.solver
        # What changes the joints may do so in many stands: their modes begin from the plainest of these.
        plain = self.rows.breaking(stand)
        if plain not in self._others:
            other = self._build(plain)
            self._others[plain] = None if isinstance(other, str) else (other, solver_of(other))
        known = self._others[plain]
        if known is None or not built.shape.same(known[0].shape):
            return solver_of(built)
        return known[1]

    def _named(self, stands: NDArray[np.intp]) -> list[list[str]]:
        """Profiles of all members of each stand."""
        out = []
        for stand in stands.tolist():
            profiles = list(self._profiles)
            for i, members, names in self._groups:
                for m, p in zip(members, names[stand[i]], strict=True):
                    profiles[m] = p
            out.append(profiles)
        return out

    def _priced(self, rows: Floats, answers: Screened, profiles: list[list[str]], built: Built | None = None) -> Looked:
        part = (built or self.rows.base).shape.split(rows)
        lengths = (np.round(part["length"] / ALIKE) * ALIKE + part["longer"]).tolist()
        bounds = np.array([self._steel.cost(names, own) for names, own in zip(profiles, lengths, strict=True)])
        bounds += answers.plates[:, None]
        return Looked(answers=answers, cost_low=bounds[:, 0], cost=bounds[:, 1])


def solver_of(built: Built) -> Solver:
    """Return a solver for the family of one stand, its modes started from that stand's own."""
    model = built.model
    whole = assemble(model, Topology.of(model.elements, model.n_nodes))
    solver = Solver(built.shape, whole.topology, model.per_element("density") > 0)
    solver.shaker.begin(modes(whole, MODES + GUARDS).shapes)
    return solver


def reason(fault: Exception) -> str:
    """Say why a stand cannot be built, in one sentence."""
    findings = getattr(fault, "findings", ())
    return str(findings[0].message) if findings else str(fault)


class Families:
    """All families of a space, made when the first of their stands is met."""

    def __init__(self, brief: Brief, space: Space) -> None:
        self._brief, self._space = brief, space
        self._builder, self._steel = Builder(), Steel(brief)
        self._split = split_of(space)
        self.known: dict[Stand, Family] = {}

    def of(self, stand: Stand) -> tuple[Stand, Family | str]:
        """Return the name of a stand's family and the family, or the reason why the stand cannot be built."""
        fixed = set(self._split)
        while True:
            name = tuple(k if i in fixed else -1 for i, k in enumerate(stand))
            family = self.known.get(name)
            if family is None:
                family = self.known[name] = self._made(name)
            if family.failed:
                return name, family.failed
            odd = family.rows.odd
            away = next((i for i, k in enumerate(stand) if i not in fixed and (i, k) in odd), None) if odd else None
            if away is None:
                return name, family
            fixed.add(away)

    def _made(self, name: Stand) -> Family:
        present = self._space.present
        anchor = tuple(p if k < 0 else k for k, p in zip(name, present, strict=True))
        free = [i for i, k in enumerate(name) if k < 0]
        return Family(self._brief, self._space, self._builder, self._steel, anchor, free)


def split_of(space: Space) -> tuple[int, ...]:
    """Return the choices whose options are stands of different joints and members."""
    return tuple(i for i, c in enumerate(space.choices) if isinstance(BY_PATH[c.key].kind, ChoiceKind))
