"""The rigid motion that keeps the worst of many bolts nearest to the middle of its hole, for many trials at once.

For small turns the place of every bolt in its hole is linear in the motion (x, y, turn), and the least worst
distance is a convex problem of three unknowns. It is solved by Newton's method with a logarithmic barrier; every
answer comes with a lower bound that holds whether or not the method has converged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STEPS = 120  # far more than ever taken; what is open then counts as not fitting
_GROWTH = 100.0  # of the weight on the worst distance, from one centred point to the next


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Minimax:
    """Bounds of the least worst distance of N trials, mm, and the motion that reaches the upper one.

    Attributes
    ----------
    lower, upper : (N,) no motion does better than ``lower``; ``motion`` reaches ``upper``
    motion : (N, 3) shift x, y in mm and turn in rad about the middle of the holes
    """

    lower: Array
    upper: Array
    motion: Array


class Holes:
    """Holes of the stand: where they are, and how they are slotted.

    Parameters
    ----------
    places : (n, 2) nominal centres, mm
    half : (n,) half of each slot between its end centres, 0 where the hole is round
    along : (n, 2) unit vectors of the slots
    """

    def __init__(self, places: Array, half: Array | None = None, along: Array | None = None) -> None:
        count = len(places)
        centred = places - places.mean(axis=0)
        self.middle, self.centred = places.mean(axis=0), centred
        self.size = float(np.sqrt((centred**2).sum(axis=1).mean())) or 1.0
        self.half = np.zeros(count) if half is None else half
        self.along = np.tile((1.0, 0.0), (count, 1)) if along is None else along
        # The turn counts as the way of a point at the holes' mean radius, so that all three unknowns are mm.
        turned = np.stack((-centred[:, 1], centred[:, 0]), axis=1) / self.size
        self.turned = turned
        self.jac = np.zeros((count, 2, 3))
        self.jac[:, :, :2] = np.eye(2)
        self.jac[:, :, 2] = turned
        self.flat = self.jac.reshape(-1, 3)
        self.inverse = np.linalg.pinv(self.flat.T @ self.flat)
        across = np.stack((-self.along[:, 1], self.along[:, 0]), axis=1)
        ahead = np.einsum("nk,nkj->nj", self.along, self.jac)
        aside = np.einsum("nk,nkj->nj", across, self.jac)
        self.ahead = np.einsum("ni,nj->nij", ahead, ahead).reshape(count, 9)
        self.aside = np.einsum("ni,nj->nij", aside, aside).reshape(count, 9)

    def offsets(self, gaps: Array, motion: Array) -> tuple[Array, Array, Array]:
        """Return each bolt's way to the middle line of its hole (N, n, 2), its length, and whether a slot's end counts."""
        at = gaps + motion[:, None, :2] + motion[:, None, 2:] * self.turned
        if not self.half.any():
            return at, np.hypot(at[..., 0], at[..., 1]), np.ones(at.shape[:2], dtype=bool)
        way = np.einsum("tnk,nk->tn", at, self.along)
        held = np.clip(way, -self.half, self.half)
        off = at - held[..., None] * self.along
        return off, np.hypot(off[..., 0], off[..., 1]), np.abs(way) >= self.half

    def bound(self, gaps: Array, pull: Array) -> Array:
        """Return a lower bound (N,) of the least worst distance by duality, from any forces ``pull`` (N, n, 2).

        Forces that balance as a rigid body do no work in a motion: the worst distance is at least their work on
        the gaps over the sum of their sizes.
        """
        force = pull.reshape(len(pull), -1)
        force = force - (force @ self.flat) @ self.inverse @ self.flat.T
        each = force.reshape(pull.shape)
        work = np.einsum("tk,tk->t", force, gaps.reshape(len(gaps), -1))
        if self.half.any():
            work = work - np.abs(np.einsum("tnk,nk->tn", each, self.along)) @ self.half
        total = np.hypot(each[..., 0], each[..., 1]).sum(axis=1)
        return np.asarray(np.maximum(work / np.maximum(total, 1e-300), 0.0), dtype=np.float64)

    def newton(self, off: Array, far: Array, end: Array, reach: Array, weight: Array) -> tuple[Array, Array]:
        """Return gradient (N, 4) and Hessian (N, 4, 4) of weight * reach - sum log(reach² - far²)."""
        room = reach[:, None] ** 2 - far**2
        one, two = 2.0 / room, 4.0 / room**2
        pull = np.empty((*off.shape[:2], 3))
        pull[..., :2] = off
        pull[..., 2] = (off * self.turned).sum(axis=2)
        grad = np.empty((len(off), 4))
        hess = np.empty((len(off), 4, 4))
        grad[:, :3] = np.matmul(one[:, None, :], pull)[:, 0]
        grad[:, 3] = weight - reach * one.sum(axis=1)
        hess[:, :3, :3] = np.matmul((two[..., None] * pull).transpose(0, 2, 1), pull)
        hess[:, :3, :3] += (one @ self.aside + (one * end) @ self.ahead).reshape(-1, 3, 3)
        cross = -reach[:, None] * np.matmul(two[:, None, :], pull)[:, 0]
        hess[:, :3, 3] = cross
        hess[:, 3, :3] = cross
        hess[:, 3, 3] = reach**2 * two.sum(axis=1) - one.sum(axis=1)
        # Slots that all point one way leave a motion free: any value of it will do.
        hess[:, (0, 1, 2), (0, 1, 2)] += 1e-9 * np.abs(np.trace(hess[:, :3, :3], axis1=1, axis2=2))[:, None] + 1e-12
        return grad, hess

    def forces(self, off: Array, far: Array, end: Array, reach: Array, step: Array) -> Array:
        """Return the barrier's forces (N, n, 2) as they will be, to first order, after a step: these balance."""
        room = (reach[:, None] ** 2 - far**2)[..., None]
        way = step[:, None, :2] + step[:, None, 2:3] * self.turned
        free = np.where(end, 0.0, np.einsum("tnk,nk->tn", way, self.along))
        held = way - free[..., None] * self.along
        closing = (off * way).sum(axis=2) - (reach * step[:, 3])[:, None]
        return np.asarray(off + held + (2.0 * closing[..., None] / room) * off) / room


def rigid_minimax(gaps: Array, holes: Holes, *, targets: Sequence[float] = (), close: float = 1e-7) -> Minimax:
    """Return the least worst distance of every trial.

    Parameters
    ----------
    gaps : (N, n, 2) from the middle of each hole to its bolt before any motion, mm; small against the pattern
    targets : allowed distances, mm: a trial is left as soon as its bounds say for each whether it is kept
    close : otherwise a trial is left when its bounds lie this near, mm

    Returns
    -------
    Minimax
        ``upper - lower <= close``, or every target outside the open interval (lower, upper).
    """
    # Least squares is the start, and for most trials the answer already.
    flat = gaps.reshape(len(gaps), -1)
    motion = -(flat @ holes.flat) @ holes.inverse
    off, far, _ = holes.offsets(gaps, motion)
    upper = far.max(axis=1)
    lower = np.minimum(holes.bound(gaps, off), upper)
    limits = np.asarray(targets, dtype=np.float64)

    def undecided(low: Array, high: Array) -> NDArray[np.bool_]:
        left = high - low > close
        if limits.size:
            left &= ((low[:, None] <= limits) & (limits < high[:, None])).any(axis=1)
        return np.asarray(left)

    index = np.flatnonzero(undecided(lower, upper))
    best = motion.copy()
    state = motion[index]
    reach = 1.1 * upper[index] + close
    weight: Array = 2.0 * gaps.shape[1] / (0.3 * reach)
    for _ in range(_STEPS):
        if not index.size:
            break
        here = gaps[index]
        off, far, end = holes.offsets(here, state)
        grad, hess = holes.newton(off, far, end, reach, weight)
        step: Array = -np.asarray(np.linalg.solve(hess, grad[..., None])[..., 0], dtype=np.float64)
        slope = (grad * step).sum(axis=1)
        low = holes.bound(here, holes.forces(off, far, end, reach, step))
        state, reach, off, far = _search(holes, here, state, reach, weight, step, slope)
        high = far.max(axis=1)
        better = high < upper[index]
        upper[index[better]] = high[better]
        best[index[better]] = state[better]
        lower[index] = np.minimum(np.maximum(lower[index], low), upper[index])
        weight = np.where(-slope < 0.5, weight * _GROWTH, weight)
        left = undecided(lower[index], upper[index])
        index, state, reach, weight = index[left], state[left], reach[left], weight[left]
    best[:, 2] /= holes.size
    return Minimax(lower=lower, upper=upper, motion=best)


def _search(
    holes: Holes, gaps: Array, state: Array, reach: Array, weight: Array, step: Array, slope: Array
) -> tuple[Array, Array, Array, Array]:
    """Go along the step as far as every bolt stays within reach and the barrier falls; return the new point."""

    def value(at: Array, far: Array, w: Array) -> Array:
        room = at[:, None] ** 2 - far**2
        inside = (room > 0).all(axis=1) & (at > 0)
        return np.where(inside, w * at - np.log(np.where(room > 0, room, 1.0)).sum(axis=1), np.inf)

    before = value(reach, holes.offsets(gaps, state)[1], weight)
    way = np.ones(len(state))
    new, new_reach = state + step[:, :3], reach + step[:, 3]
    off, far, _ = holes.offsets(gaps, new)
    after = value(new_reach, far, weight)
    for _ in range(40):
        bad = np.flatnonzero(~(after <= before + 0.1 * way * slope + 1e-9 * np.abs(before)))
        if not bad.size:
            break
        way[bad] *= 0.5
        new[bad] = state[bad] + way[bad, None] * step[bad, :3]
        new_reach[bad] = reach[bad] + way[bad] * step[bad, 3]
        off[bad], far[bad], _ = holes.offsets(gaps[bad], new[bad])
        after[bad] = value(new_reach[bad], far[bad], weight[bad])
    stay = np.flatnonzero(~np.isfinite(after))
    new[stay], new_reach[stay] = state[stay], reach[stay]
    off[stay], far[stay], _ = holes.offsets(gaps[stay], new[stay])
    return new, new_reach, off, far


def drop_on(machine: Array, stand: Array, holes: Holes, *, targets: Sequence[float] = ()) -> Minimax:
    """Return how near the worst bolt comes to the middle of its hole, the machine shifted and turned as it likes.

    Parameters
    ----------
    machine, stand : (N, n, 2) errors of the machine's and of the stand's holes from ``holes``, mm
    targets : as for ``rigid_minimax``

    Returns
    -------
    Minimax
        With the turn taken exactly: turned by least squares first, and turned again where the small turn that
        is left could still change the answer.
    """
    have, want = holes.centred + machine, holes.centred + stand
    there, here = have - have.mean(axis=1, keepdims=True), want - want.mean(axis=1, keepdims=True)
    turn = np.arctan2(
        (there[..., 0] * here[..., 1] - there[..., 1] * here[..., 0]).sum(axis=1), (there * here).sum(axis=(1, 2))
    )
    found = rigid_minimax(_turned(have, turn) - want, holes, targets=targets)
    lower, motion = found.lower.copy(), found.motion.copy()
    motion[:, 2] += turn
    upper = _reached(have, want, holes, motion)
    limits = np.asarray(targets, dtype=np.float64)
    index = np.arange(len(upper))
    if limits.size:
        # What fits is proved by the motion itself. What does not, is so to the first order in the turn that is
        # left: those that a turn within reach could still save, by the holes' own errors and its arc, go again.
        wide = float(np.hypot(*holes.centred.T).max())
        left = 2.0 * upper / holes.size
        slack = left * np.hypot(machine[..., 0], machine[..., 1]).max(axis=1) + left**2 * wide
        open_ = (limits < upper[:, None]) & (lower - slack <= limits[:, None]).T
        index = np.flatnonzero(open_.any(axis=1))
    for _ in range(4):
        if not index.size:
            break
        again = rigid_minimax(_turned(have[index], motion[index, 2]) - want[index], holes, targets=targets)
        motion[index, :2] = again.motion[:, :2]
        motion[index, 2] += again.motion[:, 2]
        lower[index], upper[index] = again.lower, _reached(have[index], want[index], holes, motion[index])
        index = index[np.abs(again.motion[:, 2]) * holes.size > 1e-4] if not limits.size else index[:0]
    return Minimax(lower=np.minimum(lower, upper), upper=upper, motion=motion)


def _reached(have: Array, want: Array, holes: Holes, motion: Array) -> Array:
    """Return the worst distance (N,) after a motion with its turn taken exactly."""
    there = _turned(have, motion[:, 2]) + motion[:, None, :2]
    _, far, _ = holes.offsets(there - want, np.zeros_like(motion))
    return np.asarray(far.max(axis=1), dtype=np.float64)


def _turned(points: Array, turn: Array) -> Array:
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x, y = points[..., 0], points[..., 1]
    return np.stack((c * x - s * y, s * x + c * y), axis=2)
