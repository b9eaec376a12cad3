"""Feet that press on the floor but cannot pull: which of them lift, and whether the stand tips.

All feet are springs of the model, so the frame is factored once with every foot standing. Letting a foot
go means adding its spring force back to the frame; for the vertical forces that is a linear
complementarity problem with as many unknowns as feet. An outer loop then lets the sideways springs of lifted
feet go as well. A run-away of the pivoting says that no standing position exists: the stand tips.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from framecore.errors import SolverError
from framecore.fem.assembled import Assembled
from framecore.fem.lemke import lemke
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
    if len(np.unique(nodes)) < f:
        raise SolverError("two feet stand on one node; give each foot its own")
    height = np.asarray(floor, float)
    level = np.broadcast_to(height if height.ndim != 1 else height[:, None], (f, c))
    solver = _Feet(assembled, nodes, k)
    u = displacements
    if level.any():
        lifted = (solver.spread[:, :, 2::6] @ (k[:, 2:3] * level)).reshape(u.shape)
        u = u + lifted
    out = u.copy()
    ground = np.zeros((f, 6, c))
    ground[:, 2] = level
    forces = k[:, :, None] * (ground - u[nodes])
    opened, tips, settled = np.zeros((f, c), bool), np.zeros(c, bool), np.ones(c, bool)
    small = _LIFT * np.abs(forces[:, 2]).max(0, initial=0.0)
    for case in np.flatnonzero((forces[:, 2] < -small).any(0)):
        guess = None if start is None else np.asarray(start[:, case], bool)
        answer = solver.stand(u[nodes, :, case], ground[:, :, case], guess)
        if answer is None:
            tips[case] = True
            continue
        opening, pull, calm = answer
        moved = solver.spread @ pull.ravel()
        if np.abs(moved[:, :3]).max() > _FAR:
            # On two feet the pivoting may end at a place out of all measure instead of running away.
            tips[case] = True
            continue
        opened[:, case], settled[case] = opening, calm
        out[:, :, case] += moved
        forces[:, :, case] = k * (ground[:, :, case] - out[nodes, :, case]) + pull
        forces[opened[:, case], 2, case] = 0.0
    return Contact(opened, forces[:, 2].copy(), forces, out, tips, settled)


class _Feet:
    """Influence of the feet on each other, worked out when first needed."""

    def __init__(self, assembled: Assembled, nodes: Ints, k: Floats) -> None:
        self._assembled, self._nodes, self._k = assembled, nodes, k
        self._spread: Floats | None = None

    @property
    def spread(self) -> Floats:
        """Displacements (n, 6, 6 f) of the frame for unit forces on the feet's freedoms."""
        if self._spread is None:
            f = len(self._nodes)
            unit = np.zeros((self._assembled.model.n_nodes, 6, 6 * f))
            unit[self._nodes] = np.eye(6 * f).reshape(f, 6, 6 * f)
            self._spread = self._assembled.solve(unit)
        return self._spread

    def stand(self, u: Floats, ground: Floats, guess: Bools | None) -> tuple[Bools, Floats, bool] | None:
        """Open feet (f,), the spring forces to add back (f, 6), settled; None when it tips."""
        f = len(self._nodes)
        s = self.spread[self._nodes].reshape(6 * f, 6 * f)
        if guess is not None:
            checked = self._try(s, u, ground, guess)
            if checked is not None:
                return guess.copy(), checked, True
        released, seen = np.zeros(f, bool), set[bytes]()
        for _ in range(_ROUNDS):
            found = self._normals(s, u, ground, released)
            if found is None:
                return None
            opened, pull = found
            if (opened == released).all():
                return opened, pull, True
            if opened.tobytes() in seen:
                break
            seen.add(opened.tobytes())
            released = opened
        found = self._normals(s, u, ground, np.zeros(f, bool))
        return None if found is None else (*found, False)

    def _normals(self, s: Floats, u: Floats, ground: Floats, released: Bools) -> tuple[Bools, Floats] | None:
        """Vertical complementarity with the other springs of ``released`` feet let go."""
        k, f = self._k, len(self._nodes)
        side = np.zeros((f, 6), bool)
        side[released] = k[released] > 0.0
        side[:, 2] = False
        o, z = np.flatnonzero(side), np.arange(f) * 6 + 2
        flat_k, gap = k.ravel(), (u - ground).ravel()
        influence, free = s[:, z], gap
        if o.size:
            # sideways forces of released feet follow from the vertical ones: (I - k S) q = k (u - ground)
            lhs = np.eye(o.size) - flat_k[o][:, None] * s[np.ix_(o, o)]
            q = np.linalg.solve(lhs, flat_k[o][:, None] * np.column_stack([s[np.ix_(o, z)], gap[o]]))
            influence, free = influence + s[:, o] @ q[:, :-1], gap + s[:, o] @ q[:, -1]
        root = np.sqrt(k[:, 2])
        right = -root * free[z]
        scale = float(np.abs(right).max(initial=0.0)) or 1.0
        answer = lemke(np.eye(f) - root[:, None] * influence[z] * root, right / scale)
        if answer is None:
            return None
        answer = answer * scale
        opened = answer > _LIFT * scale
        pull = np.zeros(6 * f)
        pull[z] = np.where(opened, root * answer, 0.0)
        if o.size:
            pull[o] = q[:, :-1] @ pull[z] + q[:, -1]
        return opened, pull.reshape(f, 6)

    def _try(self, s: Floats, u: Floats, ground: Floats, opened: Bools) -> Floats | None:
        """Spring forces to add back if exactly ``opened`` lift, or None if that is not consistent."""
        k = self._k
        mask = (k > 0.0) & opened[:, None]
        o, flat_k, gap = np.flatnonzero(mask), k.ravel(), (u - ground).ravel()
        lhs = np.eye(o.size) - flat_k[o][:, None] * s[np.ix_(o, o)]
        try:
            q = np.linalg.solve(lhs, flat_k[o] * gap[o])
        except np.linalg.LinAlgError:
            return None
        pull = np.zeros(k.size)
        pull[o] = q
        clear = ((gap + s[:, o] @ q).reshape(-1, 6))[:, 2] * k[:, 2]  # + lifted, - pressed, as forces
        small = _LIFT * float(np.abs(clear).max(initial=0.0))
        fits = (np.where(opened, -clear, clear) <= small).all()
        return pull.reshape(-1, 6) if fits else None
