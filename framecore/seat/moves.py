"""Fewest and smallest moves of the screws that bring the twist within tolerance with no screw let go.

Every set of up to four screws is tried, small sets first. Of the sets that can do it the one with the least sum of
moves is taken, and then, with that set, the moves that leave the least twist: the first stage alone would stop
on the edge of the tolerance. Each set is a small linear programme:

    |t0 + A s| <= tol,  |s| <= most,  N0 + C s >= keep
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

Floats = NDArray[np.float64]
MOST_SCREWS = 4
_PREFER = 0.01  # a move that takes away less than this share of what the best screw could is not worth making
_ALIKE = 0.02  # sums of moves that differ by less than this share are alike: the greater press left decides


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moves:
    """The moves found.

    Attributes
    ----------
    s : (n,) mm, positive raises; 0 where left alone
    twist : (r,) what is left, mm/m
    press : (n,) N afterwards
    reached : the twist left is within tolerance at every station; where not, the least that can be had
    """

    s: Floats
    twist: Floats
    press: Floats
    reached: bool


def find_moves(
    t0: Floats, a: Floats, press: Floats, change: Floats, *, tol: float, most: float, keep: float, step: float = 0.0,
    free: NDArray[np.bool_] | None = None, prefer: Floats | None = None,
) -> Moves:  # fmt: skip
    """Return the fewest and smallest moves.

    Parameters
    ----------
    t0 : (r,) twist now, mm/m; ``a`` (r, n) mm/m per mm; ``press`` (n,) N; ``change`` (n, n) N/mm
    tol : twist allowed, mm/m; ``most`` mm a screw may be moved; ``keep`` N least press of every screw
    step : moves are whole multiples of it (shims), 0 any
    free : (n,) screws that may be moved, all where None; ``prefer`` (n,) of alike ones those with more of it
    """
    n = a.shape[1]
    usable = np.arange(n) if free is None else np.flatnonzero(free)
    # A screw that already presses less than asked for must not be made a reason to refuse every move.
    floor = np.minimum(keep, press)
    if (np.abs(t0) <= tol).all():
        return _moves(np.zeros(n), t0, a, press, change, tol)
    best: Moves | None = None
    within = _programme(t0, a[:, usable], press, change[:, usable], most, floor, tol) is not None
    for count in range(1, min(MOST_SCREWS, len(usable)) + 1 if within else 1):
        found: list[tuple[float, float, Floats]] = []
        for chosen in combinations(usable.tolist(), count):
            idx = list(chosen)
            least = _programme(t0, a[:, idx], press, change[:, idx], most, floor, tol)
            if least is None:
                continue
            best_here = _programme(t0, a[:, idx], press, change[:, idx], most, floor, None)
            s = best_here if best_here is not None else least
            if step > 0:
                s_step = _stepped(s, step, t0, a[:, idx], press, change[:, idx], most, floor, tol)
                if s_step is None:
                    continue
                s = least = s_step
            whole = np.zeros(n)
            whole[idx] = s
            found.append((float(np.abs(least).sum()), float((press + change @ whole).min()), whole))
        if found:
            smallest = min(f[0] for f in found)
            alike = [f for f in found if f[0] <= smallest * (1 + _ALIKE) + 1e-9]
            liking = np.zeros(n) if prefer is None else prefer
            near = max(float(np.abs(press).max()) * _ALIKE, 1e-9)
            # Of alike ways the one that leaves the most press; then the one at the end that is liked; then raising.
            best_of = max(alike, key=lambda f: (round(f[1] / near), float(liking[f[2] != 0].sum()), float(f[2].sum())))
            return _moves(best_of[2], t0, a, press, change, tol)
    for count in range(1, min(MOST_SCREWS, len(usable)) + 1):
        # Nothing reaches the tolerance: what comes nearest, with as few screws as do as well.
        for chosen in combinations(usable.tolist(), count):
            idx = list(chosen)
            nearest = _programme(t0, a[:, idx], press, change[:, idx], most, floor, None)
            if nearest is None:
                continue
            whole = np.zeros(n)
            whole[idx] = nearest
            now = _moves(whole, t0, a, press, change, tol)
            if best is None or np.abs(now.twist).max() < np.abs(best.twist).max() * (1 - 1e-6):
                best = now
    return best or _moves(np.zeros(n), t0, a, press, change, tol)


def least_twist(t0: Floats, a: Floats) -> Floats:
    """Return the twist that moves of any size and press would leave, (r,) mm/m: what no screw here can reach.

    Four screws twist a bed evenly from end to end and in no other way; more rows of screws can do more.
    """
    n = a.shape[1]
    s = _programme(t0, a, np.zeros(n), np.zeros((n, n)), 1e3, np.full(n, -1.0), None)
    return t0 if s is None else t0 + a @ s


def _moves(s: Floats, t0: Floats, a: Floats, press: Floats, change: Floats, tol: float) -> Moves:
    left = t0 + a @ s
    return Moves(s=s, twist=left, press=press + change @ s, reached=bool((np.abs(left) <= tol * (1 + 1e-6) + 1e-12).all()))


def _programme(
    t0: Floats, a: Floats, press: Floats, change: Floats, most: float, floor: Floats, tol: float | None
) -> Floats | None:
    """Least sum of moves within ``tol``, or with None the least greatest twist. Variables: s, |s|, greatest twist."""
    r, k = a.shape
    eye = np.eye(k)
    zero, one = np.zeros((r, k)), np.ones((r, 1))
    rows = [
        np.hstack([a, zero, -one]), np.hstack([-a, zero, -one]),  # |t0 + A s| <= z
        np.hstack([eye, -eye, np.zeros((k, 1))]), np.hstack([-eye, -eye, np.zeros((k, 1))]),
        np.hstack([-change, np.zeros((len(press), k + 1))]),
    ]  # fmt: skip
    right = np.concatenate([-t0, t0, np.zeros(2 * k), press - floor])
    scale = max(float(np.abs(a).max(initial=0.0)), 1e-9)
    # The second stage weighs the sum a little, so that of two ways without twist the smaller is taken.
    last = tol is None
    cost = np.concatenate([np.zeros(k), np.full(k, _PREFER * scale if last else 1.0), [1.0 if last else 0.0]])
    bounds = [(-most, most)] * k + [(0.0, None)] * k + [(0.0, tol)]
    done = linprog(cost, A_ub=np.vstack(rows), b_ub=right, bounds=bounds, method="highs")
    return None if done.x is None or done.status else np.asarray(done.x[:k])


def _stepped(
    s: Floats, step: float, t0: Floats, a: Floats, press: Floats, change: Floats, most: float, floor: Floats, tol: float
) -> Floats | None:
    """Return the whole steps about ``s`` that leave the least twist, None where none of them will do."""
    base = np.floor(s / step)
    best: tuple[float, float, Floats] | None = None
    for add in product((-1.0, 0.0, 1.0, 2.0), repeat=len(s)):
        now = (base + np.array(add)) * step
        left = float(np.abs(t0 + a @ now).max())
        if left <= tol and (np.abs(now) <= most).all() and (press + change @ now >= floor - 1e-9).all():
            key = (round(left, 9), float(np.abs(now).sum()), now)
            if best is None or key[:2] < best[:2]:
                best = key
    return None if best is None else best[2]
