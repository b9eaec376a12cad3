"""Do these pieces fit these bars? Best fit first, then a bounded exact search."""

from __future__ import annotations

from collections.abc import Sequence

# Lengths are compared with this much play so that a piece exactly as long as the bar fits, mm.
PLAY = 1e-6


def best_fit(lengths: Sequence[float], room: Sequence[float]) -> list[int] | None:
    """Put each piece (longest first) into the fullest bar that takes it; bar index per piece, or None."""
    left = list(room)
    where: list[int] = []
    for length in lengths:
        best = -1
        for b, free in enumerate(left):
            if free + PLAY >= length and (best < 0 or free < left[best]):
                best = b
        if best < 0:
            return None
        left[best] -= length
        where.append(best)
    return where


def search(lengths: Sequence[float], room: Sequence[float], nodes: int) -> tuple[list[int] | None, bool]:
    """Place pieces (longest first) by depth-first search.

    Two prunings: bars with equal room are alike, so only the first is tried; and room too small for the
    shortest piece left is waste, so what remains must cover what is still to be placed.

    Returns
    -------
    where : bar index per piece, or None
    certain : True when the answer is proven, False when the node budget ran out
    """
    n = len(lengths)
    left = list(room)
    where = [-1] * n
    rest = [0.0] * (n + 1)
    for k in range(n - 1, -1, -1):
        rest[k] = rest[k + 1] + lengths[k]
    shortest = lengths[-1] if n else 0.0
    budget = nodes

    def place(k: int) -> bool:
        nonlocal budget
        if k == n:
            return True
        budget -= 1
        if budget < 0:
            return False
        usable = sum(free for free in left if free + PLAY >= shortest)
        if usable + PLAY < rest[k]:
            return False
        tried: set[float] = set()
        for b in sorted(range(len(left)), key=lambda q: left[q]):
            free = left[b]
            mark = round(free, 6)
            if free + PLAY < lengths[k] or mark in tried:
                continue
            tried.add(mark)
            left[b] = free - lengths[k]
            where[k] = b
            if place(k + 1):
                return True
            left[b] = free
            if abs(free - lengths[k]) <= PLAY:
                break  # a perfect fill is never worse than leaving the gap
        return False

    if place(0):
        return where, True
    return None, budget >= 0
