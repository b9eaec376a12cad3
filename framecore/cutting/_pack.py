"""Do these pieces fit these bars? Best fit first, then an exact search bar by bar.

The search fills the bars one after another, shortest first, each with every filling worth trying
(bin completion). A filling is not worth trying when another does at least as well in its place:

* a piece still to be placed would fit into what it leaves;
* one of its pieces could be exchanged for a longer one still to be placed;
* it leaves more than all bars together may leave (their room less what is to be placed).

Source: Martello & Toth's dominance between fillings and bin completion as in Korf (2002), from memory.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import gcd

Filling = tuple[int, ...]  # how many of each size
CELLS = 1 << 14  # cells a bar is divided into where sums are kept as bits


def best_fit(sizes: Sequence[int], counts: Sequence[int], rooms: Sequence[int]) -> list[list[int]] | None:
    """Put each piece, longest first, into the fullest bar that takes it; filling of each bar, or None."""
    left = sorted((r, b) for b, r in enumerate(rooms))
    fill = [[0] * len(sizes) for _ in rooms]
    for i, size in enumerate(sizes):
        todo = counts[i]
        while todo:
            at = bisect_left(left, (size, -1))
            if at == len(left):
                return None
            free, b = left.pop(at)
            # What is left of this bar is less than of any other that takes the piece, so it stays the fullest.
            n = min(todo, free // size)
            fill[b][i] += n
            todo -= n
            insort(left, (free - n * size, b))
    return fill


@dataclass(slots=True)
class Sums:
    """Which total lengths the shorter sizes can make, as bits: bit c of ``reach[i]`` for sizes i and up.

    Where lengths have no common step, cells are coarse and lengths rounded down; the answer is then "maybe".
    """

    sizes: Sequence[int]
    counts: Sequence[int]
    largest: int
    cell: int = field(init=False)
    loss: int = field(init=False)
    reach: list[int] = field(init=False)

    def __post_init__(self) -> None:
        step = gcd(*self.sizes)
        exact = self.largest // step <= CELLS * 4
        self.cell = step if exact else -(-self.largest // CELLS)
        # Each piece of a filling may have been rounded down by less than one cell.
        self.loss = 0 if exact else self.largest // min(self.sizes) + 1
        mask = (1 << (self.largest // self.cell + 1)) - 1
        bits = 1
        self.reach = [1] * (len(self.sizes) + 1)
        for i in range(len(self.sizes) - 1, -1, -1):
            bits = _add(bits, self.sizes[i] // self.cell, self.counts[i], mask)
            self.reach[i] = bits

    def any_between(self, i: int, low: int, high: int) -> bool:
        """Tell whether sizes i and up can make a total from low to high (nm); False is certain."""
        top = high // self.cell
        bottom = max(0, -(-low // self.cell) - self.loss)
        if bottom == 0:
            return True
        return (self.reach[i] >> bottom) & ((1 << (top - bottom + 1)) - 1) != 0 if top >= bottom else False


def _add(bits: int, width: int, count: int, mask: int) -> int:
    """Sums after up to ``count`` pieces of ``width`` cells more."""
    part = 1
    while count > 0:
        n = min(part, count)
        bits |= (bits << (n * width)) & mask
        count -= n
        part *= 2
    return bits


class Budget:
    """Search steps that are left; counted, not timed, so that every run gives the same plan."""

    __slots__ = ("left",)

    def __init__(self, steps: int) -> None:
        self.left = steps


def fillings(
    sums: Sums, counts: Sequence[int], room: int, slack: int, forced: bool, budget: Budget
) -> Iterator[list[int]]:
    """Yield the fillings of one bar that are worth trying, those with the longest pieces first.

    ``slack`` is the most that may be left; ``forced``: the longest piece must be in it (all bars are alike).
    The list that is handed out is changed afterwards.
    """
    sizes = sums.sizes
    m = len(sizes)
    take = [0] * m
    rest = [0] * (m + 1)
    for i in range(m - 1, -1, -1):
        rest[i] = rest[i + 1] + sizes[i] * counts[i]
    first = next(i for i in range(m) if counts[i])
    smallest = sizes[-1]
    r = room
    i = 0
    while True:
        for k in range(i, m):  # go down: as many as fit of each
            size = sizes[k]
            if r >= size and counts[k]:
                n = r // size
                if n > counts[k]:
                    n = counts[k]
                take[k] = n
                r -= n * size
                if r < smallest:
                    break
        budget.left -= 1
        if r <= slack and _worth(sizes, counts, take, r):
            yield take
        if budget.left < 0:
            return
        i = m - 1
        while i >= 0:  # go up: one less of the shortest that can be spared
            if not take[i]:
                i -= 1
                continue
            budget.left -= 1
            # One of this size stays out, so less than its length may be left over in the end.
            size = sizes[i]
            most = slack if slack < size else size - 1
            spare = r + size
            if (
                not (forced and i == first and take[i] == 1)
                and spare - rest[i + 1] <= most
                and sums.any_between(i + 1, spare - most, spare)
            ):
                take[i] -= 1
                r = spare
                break
            # Fewer of this size leave even more, but its sums may be met: only the first test ends it.
            if spare - rest[i + 1] > most or (forced and i == first and take[i] == 1):
                r += take[i] * size
                take[i] = 0
                i -= 1
            else:
                take[i] -= 1
                r = spare
        if i < 0:
            return
        i += 1


def _worth(sizes: Sequence[int], counts: Sequence[int], take: Sequence[int], left: int) -> bool:
    """Tell whether no piece outside can improve this filling."""
    outside = 0
    for i, size in enumerate(sizes):
        if take[i] and outside and outside - size <= left:
            return False
        if counts[i] > take[i]:
            outside = size
    return not outside or left < outside


def search(
    sums: Sums, counts: Sequence[int], rooms: Sequence[int], budget: Budget
) -> tuple[list[list[int]] | None, bool]:
    """Fill the bars exactly.

    Returns
    -------
    fill : filling of each bar, or None
    certain : False when the budget ran out before the answer was sure
    """
    order = sorted(range(len(rooms)), key=lambda b: rooms[b])
    room = [rooms[b] for b in order]
    sizes = sums.sizes
    n = len(room)
    after = [0] * (n + 1)
    for j in range(n - 1, -1, -1):
        after[j] = after[j + 1] + room[j]
    start = tuple(counts)
    need = sum(s * c for s, c in zip(sizes, start, strict=True))
    if need > after[0]:
        return None, True
    dead: set[tuple[int, tuple[int, ...]]] = set()
    states: list[tuple[tuple[int, ...], int, Iterator[list[int]]]] = []
    chosen: list[tuple[int, ...]] = []

    def enter(counts: tuple[int, ...], need: int) -> None:
        j = len(states)
        alike = room[j] == room[-1]
        states.append((counts, need, fillings(sums, counts, room[j], after[j] - need, alike, budget)))

    if not need:
        return [[0] * len(sizes) for _ in rooms], True
    enter(start, need)
    while states:
        counts_now, need_now, fills = states[-1]
        take = next(fills, None)
        if budget.left < 0:
            return None, False
        if take is None:
            dead.add((len(states) - 1, counts_now))
            states.pop()
            if chosen:
                chosen.pop()
            continue
        left = tuple(c - t for c, t in zip(counts_now, take, strict=True))
        chosen.append(tuple(take))
        rest = need_now - sum(s * t for s, t in zip(sizes, take, strict=True))
        if not rest:
            fill = [[0] * len(sizes) for _ in rooms]
            for j, f in enumerate(chosen):
                fill[order[j]] = list(f)
            return fill, True
        if len(states) == n or (len(states), left) in dead:
            chosen.pop()
            continue
        enter(left, rest)
    return None, True
