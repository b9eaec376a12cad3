"""Do these parts fit on these sheets? Sure answers for few parts.

Parts are shared out sheet by sheet: the largest part left goes to one of the kinds of sheet left, with every choice of
company. Whether one sheet holds a company is asked of ``Corners`` (free) or ``Joins`` (guillotine); answers are kept.

Corners: in any packing the parts can be put in an order in which each lies in a corner of the staircase that covers all
before it, and can be pushed down and left into that corner. Source: Martello, Pisinger, Vigo, "The three-dimensional
bin packing problem" (2000), from memory. Joins: a guillotine layout is two smaller ones set side by side or one on the
other; the least boxes of every company are built from those of smaller ones.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from framecore.cutting._nest_fill import Laid, Room
from framecore.cutting._nest_sets import Demand, may_hold
from framecore.cutting._nest_task import Kind, NestTask

Counts = tuple[int, ...]
Here = tuple[int, int, int, int, int]  # kind, x, y, along, across


@dataclass(slots=True)
class Budget:
    """Search steps left."""

    left: int


class Gone(Exception):  # noqa: N818 - no error: the search stops
    """The budget is spent."""


class Holds(Protocol):
    """Whether one sheet holds a company of parts."""

    def lay(self, counts: Counts, room: Room) -> list[Here] | None:
        """Return where they lie, None where they cannot."""


def share_out(
    task: NestTask, holder: Holds, chosen: Sequence[int], budget: Budget, needs: Sequence[Demand]
) -> tuple[list[Laid] | None, bool]:
    """Lay all parts on a set of sheets; returns the layout or None, and whether that is sure."""
    rooms = [task.rooms[k] for k, n in enumerate(chosen) for _ in range(n)]
    ids = [k for k, n in enumerate(chosen) for _ in range(n)]
    areas = [k.size[0] * k.size[1] for k in task.kinds]
    dead: set[tuple[Counts, Counts]] = set()

    def go(counts: Counts, left: Counts) -> list[Laid] | None:
        if not any(counts):
            return []
        if (counts, left) in dead:
            return None
        need = sum(n * a for n, a in zip(counts, areas, strict=True))
        have = sum(rooms[i][0] * rooms[i][1] for i in left)
        if need <= have:
            lead = next(k for k, n in enumerate(counts) if n)
            tried: set[int] = set()
            for i in left:
                if ids[i] in tried:
                    continue
                tried.add(ids[i])
                rest_of_sheets = tuple(j for j in left if j != i)
                spare = have - rooms[i][0] * rooms[i][1]
                for company in _companies(counts, lead, areas, rooms[i][0] * rooms[i][1], need - spare):
                    budget.left -= 1
                    if budget.left <= 0:
                        raise Gone
                    if not may_hold(company, ids[i], needs):
                        continue
                    laid = holder.lay(company, rooms[i])
                    if laid is None:
                        continue
                    after = go(tuple(a - b for a, b in zip(counts, company, strict=True)), rest_of_sheets)
                    if after is not None:
                        return [*((k, i, x, y, a, b) for k, x, y, a, b in laid), *after]
        dead.add((counts, left))
        return None

    try:
        return go(task.counts, tuple(range(len(rooms)))), True
    except Gone:
        return None, False


def _companies(counts: Counts, lead: int, areas: Sequence[int], most: int, least: int) -> Iterator[Counts]:
    """Yield choices of parts with one of ``lead`` at least and an area from ``least`` to ``most``, large ones first."""
    rest = [0] * (len(counts) + 1)
    for k in range(len(counts) - 1, -1, -1):
        rest[k] = rest[k + 1] + counts[k] * areas[k]

    def go(k: int, area: int) -> Iterator[Counts]:
        if area + rest[k] < least:
            return
        if k == len(counts):
            yield ()
            return
        for n in range(min(counts[k], (most - area) // areas[k]), (1 if k == lead else 0) - 1, -1):
            for tail in go(k + 1, area + n * areas[k]):
                yield (n, *tail)

    yield from go(0, 0)


@dataclass(slots=True)
class Corners:
    """Free layouts of one sheet."""

    kinds: tuple[Kind, ...]
    budget: Budget
    known: dict[tuple[Counts, Room], list[Here] | None] = field(default_factory=dict)

    def lay(self, counts: Counts, room: Room) -> list[Here] | None:
        """Return where they lie, None where they cannot."""
        key = (counts, room)
        if key not in self.known:
            dead: set[tuple[Counts, tuple[tuple[int, int], ...]]] = set()
            area = sum(n * k.size[0] * k.size[1] for n, k in zip(counts, self.kinds, strict=True))
            lead = next(k for k, n in enumerate(counts) if n)
            self.known[key] = self._go(counts, ((0, 0),), room, area, lead, counts[lead], dead)
        return self.known[key]

    def _go(
        self, counts: Counts, stairs: tuple[tuple[int, int], ...], room: Room, area: int, lead: int, leads: int,
        dead: set[tuple[Counts, tuple[tuple[int, int], ...]]],
    ) -> list[Here] | None:  # fmt: skip
        if not area:
            return []
        side = min(min(k.size) for k, n in zip(self.kinds, counts, strict=True) if n)
        stairs = _usable(stairs, side, room)
        if not stairs or (counts, stairs) in dead:
            return None
        self.budget.left -= 1
        if self.budget.left <= 0:
            raise Gone
        # A corner (x, y): the staircase is y high from x to the next corner's x.
        free = 0
        for (x, y), (nx, _) in zip(stairs, (*stairs[1:], (room[0], 0)), strict=True):
            free += (nx - x) * (room[1] - y)
        if free >= area:
            for k, n in enumerate(counts):
                if not n:
                    continue
                fewer = (*counts[:k], n - 1, *counts[k + 1 :])
                for a, b in self.kinds[k].ways:
                    for x, y in stairs:
                        if x + a > room[0] or y + b > room[1]:
                            continue
                        # By turning the sheet round, one lead part, if it is the only one, lies in the lower left.
                        if k == lead and leads == 1 and (2 * x + a > room[0] or 2 * y + b > room[1]):
                            continue
                        after = self._go(fewer, _raised(stairs, x + a, y + b, room), room, area - a * b, lead, leads, dead)
                        if after is not None:
                            return [(k, x, y, a, b), *after]
        dead.add((counts, stairs))
        return None


def _usable(stairs: tuple[tuple[int, int], ...], side: int, room: Room) -> tuple[tuple[int, int], ...]:
    """Return the staircase without what is too narrow for the least side of all parts left."""
    first, last = 0, len(stairs)
    while first < last and room[1] - stairs[first][1] < side:
        first += 1
    while last > first and room[0] - stairs[last - 1][0] < side:
        last -= 1
    return stairs[first:last]


def _raised(stairs: tuple[tuple[int, int], ...], right: int, top: int, room: Room) -> tuple[tuple[int, int], ...]:
    """Return the corners of the staircase raised to ``top`` as far as ``right``."""
    out: list[tuple[int, int]] = [s for s in stairs if s[1] > top]
    # The new tread begins where the staircase first is no higher than it.
    begin = next(x for x, y in stairs if y <= top)
    if top < room[1]:
        out.append((begin, top))
    height = 0
    for x, y in stairs:
        if x <= right:
            height = y
    if right < room[0] and height < top:
        out.append((right, height))
        out += [s for s in stairs if s[0] > right]
    elif height == top:
        out += [s for s in stairs if s[0] > right]
    # Equal treads are one.
    merged: list[tuple[int, int]] = []
    for s in out:
        if not merged or s[1] < merged[-1][1]:
            merged.append(s)
    return tuple(merged)


@dataclass(frozen=True, slots=True)
class _Box:
    """A least box of a company: a part alone, or two boxes side by side (``across``) or one on the other."""

    a: int
    b: int
    kind: int = -1
    first: _Box | None = None
    second: _Box | None = None
    beside: bool = False

    def laid(self, x: int, y: int) -> list[Here]:
        """Return where its parts lie when its lower left corner lies at (x, y)."""
        if self.first is None or self.second is None:
            return [(self.kind, x, y, self.a, self.b)]
        dx, dy = (self.first.a, 0) if self.beside else (0, self.first.b)
        return [*self.first.laid(x, y), *self.second.laid(x + dx, y + dy)]


@dataclass(slots=True)
class Joins:
    """Guillotine layouts of one sheet, cut in any number of stages."""

    kinds: tuple[Kind, ...]
    most: Room
    budget: Budget
    known: dict[Counts, list[_Box]] = field(default_factory=dict)

    def lay(self, counts: Counts, room: Room) -> list[Here] | None:
        """Return where they lie, None where they cannot."""
        for box in self._boxes(counts):
            if box.a <= room[0] and box.b <= room[1]:
                return box.laid(0, 0)
        return None

    def _boxes(self, counts: Counts) -> list[_Box]:
        """Return the boxes of a company of which none holds another, narrowest first."""
        if counts in self.known:
            return self.known[counts]
        long, wide = self.most
        found: list[_Box] = []
        if sum(counts) == 1:
            kind = next(k for k, n in enumerate(counts) if n)
            found = [_Box(a, b, kind) for a, b in self.kinds[kind].ways if a <= long and b <= wide]
        else:
            for half in _halves_of(counts):
                other = tuple(n - h for n, h in zip(counts, half, strict=True))
                ours, theirs = self._boxes(half), self._boxes(other)
                self.budget.left -= 1 + (len(ours) + len(theirs)) // 4
                if self.budget.left <= 0:
                    raise Gone
                # Of boxes beside each other only the narrowest of each height count, of stacked ones the flattest.
                for high in {box.b for box in (*ours, *theirs)}:
                    p, q = _least_width(ours, high), _least_width(theirs, high)
                    if p and q and p.a + q.a <= long:
                        found.append(_Box(p.a + q.a, max(p.b, q.b), -1, p, q, True))
                for far in {box.a for box in (*ours, *theirs)}:
                    p, q = _least_height(ours, far), _least_height(theirs, far)
                    if p and q and p.b + q.b <= wide:
                        found.append(_Box(max(p.a, q.a), p.b + q.b, -1, p, q, False))
        found.sort(key=lambda box: (box.a, box.b))
        least: list[_Box] = []
        for box in found:
            if not least or box.b < least[-1].b:
                least.append(box)
        self.known[counts] = least
        return least


def _least_width(boxes: Sequence[_Box], high: int) -> _Box | None:
    """Return the narrowest box that is no higher; boxes stand narrowest first, so the first such."""
    return next((box for box in boxes if box.b <= high), None)


def _least_height(boxes: Sequence[_Box], far: int) -> _Box | None:
    """Return the flattest box that is no wider: the last such."""
    return next((box for box in reversed(boxes) if box.a <= far), None)


def _halves_of(counts: Counts) -> Iterator[Counts]:
    """Yield each way to part a company in two once, by its one half."""

    def go(k: int) -> Iterator[Counts]:
        if k == len(counts):
            yield ()
            return
        for n in range(counts[k] + 1):
            for tail in go(k + 1):
                yield (n, *tail)

    for half in go(0):
        other = tuple(n - h for n, h in zip(counts, half, strict=True))
        if any(half) and any(other) and half <= other:
            yield half
