"""Feet that press on the floor but cannot pull: which of them lift, and whether the stand tips.

All feet are springs of the model, so the frame is factored once with every foot standing. Letting a foot
go means adding its spring force back to the frame; for the vertical forces that is a linear
complementarity problem with as many unknowns as feet. An outer loop then lets the sideways springs of lifted
feet go as well. A run-away of the pivoting says that no standing position exists: the stand tips.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from framecore.errors import SolverError
from framecore.fem.assembled import Assembled
from framecore.fem.lemke import complementary
from framecore.fem.model import Bools, Floats, Ints

_LIFT = 1e-10  # share of the largest foot force below which a pull counts as none
_ROUNDS = 12
_FAR = 1e4  # mm; a stand that has to move further than this for a new place has none


@dataclass(frozen=True, eq=False)
class Contact:
    """How f feet stand in c load cases.

    Attributes
    ----------
    open : (f, c) feet that have lifted
    normal_n : (f, c) vertical force of the floor on each foot, N; where the case tips: the forces a floor
        that could also pull would give
    forces : (f, 6, c) all spring forces on the frame, N and N mm
    displacements : (n, 6, c) corrected; where the case tips: with every foot held
    tips : (c,) no standing position exists
    settled : (c,) False where letting the sideways springs of lifted feet go had no consistent end (rare):
        they are then kept, and equilibrium still holds
    """

    open: Bools
    normal_n: Floats
    forces: Floats
    displacements: Floats
    tips: Bools
    settled: Bools


def contact(
    assembled: Assembled, displacements: Floats, *,
    feet: Ints | None = None, floor: Floats | float = 0.0, start: Bools | None = None,
) -> Contact:  # fmt: skip
    """Let feet lift where they would have to pull.

    Parameters
    ----------
    displacements : (n, 6, c) from ``assembled.solve``, every foot held
    feet : (f,) rows of the model's springs that are feet (vertical = global z); all springs by default
    floor : height of the floor under each foot from where the unloaded foot is, mm; a number, (f,) or (f, c);
        negative is a gap
    start : (f, c) open feet of a similar frame, tried first

    Raises
    ------
    SolverError
        A foot without vertical stiffness, or two feet on one node.
    """
    model = assembled.model
    rows = np.arange(len(model.spring_nodes)) if feet is None else np.asarray(feet, np.intp)
    nodes, k = model.spring_nodes[rows], model.stiffness[rows]
    f, c = len(rows), displacements.shape[2]
    if (k[:, 2] <= 0.0).any():
        raise SolverError(f"foot {int(np.argmin(k[:, 2]))} has no vertical stiffness")
    if len(set(nodes.tolist())) < f:
        raise SolverError("two feet stand on one node; give each foot its own")
    height = np.asarray(floor, float)
    level = np.broadcast_to(height if height.ndim != 1 else height[:, None], (f, c))
    solver = _Feet(assembled, nodes, k)
    out = displacements + solver.raised(level) if level.any() else displacements.copy()
    ground = np.zeros((f, 6, c))
    ground[:, 2] = level
    gap = out[nodes] - ground
    forces = -k[:, :, None] * gap
    opened, tips, settled = np.zeros((f, c), bool), np.zeros(c, bool), np.ones(c, bool)
    small = _LIFT * np.abs(forces[:, 2]).max(0, initial=0.0)
    lifting = np.flatnonzero((forces[:, 2] < -small).any(0))
    if not lifting.size:
        return Contact(opened, forces[:, 2].copy(), forces, out, tips, settled)
    pull = np.zeros((solver.held, c))
    guesses = None if start is None else np.asarray(start[:, lifting], bool).T
    for case, answer in zip(lifting.tolist(), solver.stand(gap.reshape(6 * f, c)[:, lifting], guesses), strict=True):
        tips[case] = answer is None
        if answer is not None:
            opened[:, case], pull[:, case], settled[case] = answer
    moved = solver.moved(pull[:, lifting])
    # On two feet the pivoting may end at a place out of all measure instead of running away.
    tips[lifting[np.abs(moved[:, :3]).max((0, 1)) > _FAR]] = True
    opened[:, tips], settled[tips] = False, True
    moved, lifting = moved[:, :, ~tips[lifting]], lifting[~tips[lifting]]
    out[:, :, lifting] += moved
    forces[:, :, lifting] = solver.springs(pull[:, lifting]) - k[:, :, None] * (out[nodes] - ground)[:, :, lifting]
    forces[:, 2][opened] = 0.0
    return Contact(opened, forces[:, 2].copy(), forces, out, tips, settled)


_Stood = tuple[Bools, Floats, bool]  # open feet (f,), forces to add back (h,), settled


class _Feet:
    """Influence of the feet on each other; only their h freedoms that a spring holds take part."""

    def __init__(self, assembled: Assembled, nodes: Ints, k: Floats) -> None:
        self._assembled, self._nodes, self._feet = assembled, nodes, len(nodes)
        self._held = np.flatnonzero(k.ravel() > 0.0)
        self._k = k.ravel()[self._held]
        self._foot, way = np.divmod(self._held, 6)
        self._up = np.flatnonzero(way == 2)

    @property
    def held(self) -> int:
        """Number of freedoms h that springs hold."""
        return len(self._held)

    @cached_property
    def _spread(self) -> Floats:
        """Displacements (6 n, h) of the frame for unit forces on the held freedoms."""
        h, n = len(self._held), self._assembled.model.n_nodes
        unit = np.zeros((n, 6, h))
        unit[self._nodes[self._foot], self._held % 6, np.arange(h)] = 1.0
        return self._assembled.solve(unit).reshape(6 * n, h)

    @cached_property
    def _influence(self) -> Floats:
        """Displacements (h, h) of the held freedoms for unit forces on them."""
        return np.asarray(self._spread[self._nodes[self._foot] * 6 + self._held % 6])

    def moved(self, forces: Floats) -> Floats:
        """Displacements (n, 6, c) of the frame for forces (h, c) on the held freedoms."""
        return np.asarray((self._spread @ forces).reshape(-1, 6, forces.shape[1]))

    def raised(self, level: Floats) -> Floats:
        """Displacements (n, 6, c) of the frame where the floor under its feet lies at ``level`` (f, c)."""
        push = self._k[self._up, None] * level
        return np.asarray((self._spread[:, self._up] @ push).reshape(-1, 6, level.shape[1]))

    def springs(self, forces: Floats) -> Floats:
        """Forces (h, c) as (f, 6, c)."""
        out = np.zeros((6 * self._feet, forces.shape[1]))
        out[self._held] = forces
        return out.reshape(self._feet, 6, -1)

    def stand(self, gaps: Floats, guesses: Bools | None) -> list[_Stood | None]:
        """How each case stands, None where it tips; ``gaps`` (6 f, c) of the feet from the floor, every foot held."""
        gaps = gaps[self._held]
        none = np.zeros(self._feet, bool)
        out: list[_Stood | None] = []
        for case, start in enumerate(self._normals(gaps, none)):
            gap = gaps[:, case]
            guess = None if guesses is None else guesses[case]
            checked = None if guess is None else self._try(gap, guess)
            if guess is not None and checked is not None:
                out.append((guess.copy(), checked, True))
            else:
                out.append(None if start is None else self._settle(gap, start))
        return out

    def _settle(self, gap: Floats, start: tuple[Bools, Floats]) -> _Stood:
        """Let the sideways springs of lifted feet go as well, until both agree; ``start`` with none let go."""
        released = start[0]
        if not released.any():
            return *start, True
        checked = self._try(gap, released)
        if checked is not None:
            return released, checked, True
        seen = {released.tobytes()}
        for _ in range(_ROUNDS):
            (found,) = self._normals(gap[:, None], released)
            if found is None:
                break
            opened, pull = found
            if (opened == released).all():
                return opened, pull, True
            if opened.tobytes() in seen:
                break
            seen.add(opened.tobytes())
            released = opened
        return *start, False

    def _normals(self, gaps: Floats, released: Bools) -> list[tuple[Bools, Floats] | None]:
        """Vertical complementarity of each case with the other springs of ``released`` feet let go."""
        k, s, z = self._k, self._influence, self._up
        side = released[self._foot]
        side[z] = False
        o = np.flatnonzero(side)
        influence, free = s[:, z], gaps
        if o.size:
            # sideways forces of released feet follow from the vertical ones: (I - k S) q = k (u - ground)
            lhs = np.eye(o.size) - k[o][:, None] * s[np.ix_(o, o)]
            q = np.linalg.solve(lhs, k[o][:, None] * np.column_stack([s[np.ix_(o, z)], gaps[o]]))
            f = self._feet
            influence, free = influence + s[:, o] @ q[:, :f], gaps + s[:, o] @ q[:, f:]
        root = np.sqrt(k[z])
        right = -root[:, None] * free[z]
        scales = np.abs(right).max(0)
        scales[scales == 0.0] = 1.0
        answers = complementary(np.eye(len(z)) - root[:, None] * influence[z] * root, right / scales)
        out: list[tuple[Bools, Floats] | None] = []
        for case, (answer, scale) in enumerate(zip(answers, scales.tolist(), strict=True)):
            if answer is None:
                out.append(None)
                continue
            opened = answer > _LIFT
            pull = np.zeros(len(k))
            pull[z] = np.where(opened, root * answer * scale, 0.0)
            if o.size:
                pull[o] = q[:, :f] @ pull[z] + q[:, f + case]
            out.append((opened, pull))
        return out

    def _try(self, gap: Floats, opened: Bools) -> Floats | None:
        """Spring forces to add back if exactly ``opened`` lift, or None if that is not consistent."""
        k, s, z = self._k, self._influence, self._up
        o = np.flatnonzero(opened[self._foot])
        lhs = np.eye(o.size) - k[o][:, None] * s[np.ix_(o, o)]
        try:
            q = np.linalg.solve(lhs, k[o] * gap[o])
        except np.linalg.LinAlgError:
            return None
        pull = np.zeros(len(k))
        pull[o] = q
        clear = (gap[z] + s[np.ix_(z, o)] @ q) * k[z]  # + lifted, - pressed, as forces
        small = _LIFT * float(np.abs(clear).max(initial=0.0))
        fits = (np.where(opened, -clear, clear) <= small).all()
        return pull if fits else None
