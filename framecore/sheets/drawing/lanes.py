"""Which side, which lane and which place for its words each size of a view gets: the cheapest of all ways.

Paper is what it costs, in mm. A side that carries sizes takes ``FIRST``, each lane of it ``STEP`` more; an extension line
that runs through a nearer dimension line costs ``CROSS``, words beside the middle of their size ``MOVE`` a mm, words outside
their arrows ``OUT`` on top, and ``OVER`` a mm of extension line over the view itself. Words an extension line runs through
cost ``TOUCH``, so that they are left only where there is no other way. Two sizes stand in one lane only clear of each other.

The search is branch and bound over the sizes, shortest first. It starts from the lanes as they are filled by hand (short
ones nearest) and stops as soon as it meets the bound: the depth of the sizes over each other, and what each size costs alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from framecore.sheets.drawing.pens import ARROW

FIRST, STEP = 9.0, 7.0  # mm from the view to the first lane, and from lane to lane
CROSS, MOVE, OUT, OVER, TOUCH = 6.0, 0.2, 2.0, 0.05, 1000.0
CLEAR = 0.7  # mm from words to an extension line
APART = 1.0  # mm between neighbours in one lane
NODES = 600  # ways looked at before the best found so far is taken


@dataclass(frozen=True, slots=True)
class Size:
    """One size: where its arrows point along the lanes, how wide its words are, mm; ``over`` mm over the view, per side."""

    low: float
    high: float
    wide: float
    over: tuple[float, ...] = (0.0,)


@dataclass(frozen=True, slots=True)
class Place:
    """Side (its number), lane from the view outwards, middle of the words; ``out``: the words stand outside the arrows."""

    side: int
    lane: int
    middle: float
    out: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """``places`` in the order of the sizes; ``cost`` mm, ``bound`` no way costs less; ``proven`` the cheapest of all."""

    places: tuple[Place, ...]
    cost: float
    bound: float
    proven: bool


Way = tuple[int, int, bool]  # side, lane, words outside


def arrange(sizes: Sequence[Size], *, nodes: int = NODES) -> Plan:
    """Return the cheapest places; the same for the same sizes wherever they lie.

    Parameters
    ----------
    sizes : all with the same number of sides in ``over``; an infinite one is not allowed
    nodes : ways to look at before the best so far is taken unproven
    """
    if not sizes:
        return Plan((), 0.0, 0.0, True)
    start = min(s.low for s in sizes)
    key = tuple(Size(round(s.low - start, 4), round(s.high - start, 4), round(s.wide, 4), s.over) for s in sizes)
    plan = _arranged(key, nodes)
    places = tuple(Place(p.side, p.lane, p.middle + start, p.out) for p in plan.places)
    return Plan(places, plan.cost, plan.bound, plan.proven)


@lru_cache(maxsize=2048)
def _arranged(sizes: tuple[Size, ...], nodes: int) -> Plan:
    order = sorted(range(len(sizes)), key=lambda i: (sizes[i].high - sizes[i].low, i))
    room = FIRST + STEP * depth(sizes)
    rest = [sum(alone(sizes[i]) for i in order[k + 1 :]) for k in range(len(order))]
    bound = lower_bound(sizes)
    best, best_cost = _by_hand(sizes, order)
    left = nodes
    ways: list[Way | None] = [None] * len(sizes)

    def deeper(k: int) -> None:
        nonlocal best, best_cost, left
        if k == len(order):
            cost = cost_of(sizes, ways)
            if cost < best_cost - 1e-9:
                best, best_cost = [w for w in ways if w is not None], cost
            return
        i = order[k]
        tries: list[tuple[float, Way]] = []
        for side in range(len(sizes[i].over)):
            for lane in range(len(sizes)):
                if FIRST + STEP * (lane + 1) + rest[k] >= best_cost:
                    break  # farther out costs more still
                for out in (False, True) if sizes[i].wide + APART <= sizes[i].high - sizes[i].low else (True,):
                    left -= 1
                    ways[i] = (side, lane, out)
                    paper, other = _costs(sizes, ways)
                    cost = max(paper, room) + other + rest[k]
                    if cost < best_cost - 1e-9:
                        tries.append((cost, (side, lane, out)))
        for cost, way in sorted(tries):
            if left <= 0 or best_cost <= bound + 1e-9:
                break
            if cost < best_cost - 1e-9:
                ways[i] = way
                deeper(k + 1)
        ways[i] = None

    if best_cost > bound + 1e-9:
        deeper(0)
    places = []
    for i, (side, lane, out) in enumerate(best):
        middle = _words(sizes, best, i)[0]
        places.append(Place(side, lane, middle, out))
    return Plan(tuple(places), best_cost, bound, left > 0 or best_cost <= bound + 1e-9)


def lower_bound(sizes: Sequence[Size]) -> float:
    """Return what no way undercuts: as many lanes as sizes lie over one point, and what each size costs by itself."""
    return FIRST + STEP * depth(sizes) + sum(alone(s) for s in sizes) if sizes else 0.0


def depth(sizes: Sequence[Size]) -> int:
    """Return how many sizes lie over one point at most: no fewer lanes will do."""
    count = most = 0
    for _, step in sorted([(s.low + 1e-3, 1) for s in sizes] + [(s.high - 1e-3, -1) for s in sizes]):
        count += step
        most = max(most, count)
    return most


def alone(s: Size) -> float:
    """Return what a size costs with nothing beside it, the lane left out, mm."""
    cost = min(s.over) * OVER
    if s.wide + APART > s.high - s.low:
        cost += OUT + MOVE * ((s.high - s.low) / 2 + _off(s))
    return cost


def _off(s: Size) -> float:
    """From an arrow to the middle of words outside."""
    return 2 * ARROW + 0.8 + s.wide / 2


def cost_of(sizes: Sequence[Size], ways: Sequence[Way | None]) -> float:
    """Return the cost, mm, of the sizes placed so far; infinite where two crowd each other or words do not fit."""
    return sum(_costs(sizes, ways))


def _costs(sizes: Sequence[Size], ways: Sequence[Way | None]) -> tuple[float, float]:
    """Cost of the lanes, and all other."""
    placed = [i for i, w in enumerate(ways) if w is not None]
    if _crossed(sizes, ways, placed):
        return 0.0, float("inf")
    lanes: dict[int, int] = {}
    cost = 0.0
    reach: dict[int, tuple[float, float]] = {}
    for i in placed:
        side, lane, out = ways[i]  # type: ignore[misc]
        s = sizes[i]
        if not out and s.wide + APART > s.high - s.low:
            return 0.0, float("inf")
        lanes[side] = max(lanes.get(side, 0), lane + 1)
        cost += s.over[side] * OVER
        middle, price = _words(sizes, ways, i)
        cost += price
        tail = 0.0 if s.high - s.low >= 3 * ARROW and not out else 2 * ARROW
        low, high = s.low - tail, s.high + tail
        if out:
            low, high = min(low, middle - s.wide / 2), max(high, middle + s.wide / 2)
        reach[i] = low, high
    for k, i in enumerate(placed):
        side, lane, _ = ways[i]  # type: ignore[misc]
        for j in placed[k + 1 :]:
            other, theirs, _ = ways[j]  # type: ignore[misc]
            if other != side:
                continue
            if theirs == lane:
                if crowd(reach[i], reach[j]):
                    return 0.0, float("inf")
            else:
                near, far = (i, j) if lane < theirs else (j, i)
                low, high = reach[near]
                cost += CROSS * sum(low + 1e-3 < x < high - 1e-3 for x in (sizes[far].low, sizes[far].high))
    return sum(FIRST + STEP * n for n in lanes.values()), cost


def _crossed(sizes: Sequence[Size], ways: Sequence[Way | None], placed: Sequence[int]) -> bool:
    """Whether two sizes of one lane lie over each other: seen before their words are placed, which takes longest."""
    lanes: dict[tuple[int, int], list[Size]] = {}
    for i in placed:
        side, lane, _ = ways[i]  # type: ignore[misc]
        s, row = sizes[i], lanes.setdefault((side, lane), [])
        if any(s.low < t.high - 1e-3 and t.low < s.high - 1e-3 for t in row):
            return True
        row.append(s)
    return False


def crowd(a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether two stretches of a lane come too near; sizes in a chain share an end."""
    chained = abs(a[0] - b[1]) < 1e-3 or abs(a[1] - b[0]) < 1e-3
    return a[0] < b[1] + APART and a[1] > b[0] - APART and not chained


def _words(sizes: Sequence[Size], ways: Sequence[Way | None], i: int) -> tuple[float, float]:
    """Middle of the words of one size, nearest to the middle of the size where no extension line runs, and its price."""
    side, lane, out = ways[i]  # type: ignore[misc]
    lines: list[float] = []
    for j, w in enumerate(ways):
        if w is not None and w[0] == side and (w[1] > lane or out) and j != i:
            lines += (sizes[j].low, sizes[j].high)
    return _beside(sizes[i], out, tuple(lines))


@lru_cache(maxsize=8192)
def _beside(s: Size, out: bool, lines: tuple[float, ...]) -> tuple[float, float]:
    """Middle of the words of a size and its price, where extension lines run at ``lines``."""
    middle, clear = (s.low + s.high) / 2, s.wide / 2 + CLEAR
    if out:
        off = _off(s)
        tries = [s.high + off, s.low - off]
        tries += [x + clear for x in lines if x + clear > s.high + off]
        tries += [x - clear for x in lines if x - clear < s.low - off]
        price = OUT
    else:
        low, high = s.low + s.wide / 2, s.high - s.wide / 2
        tries = [middle] + [t for x in lines for t in (x - clear, x + clear) if low <= t <= high]
        price = 0.0
    good = [t for t in tries if all(abs(t - x) >= clear - 1e-6 for x in lines)]
    if not good:
        return tries[0], price + TOUCH
    at = min(good, key=lambda t: (round(abs(t - middle), 3), -t))
    return at, price + MOVE * abs(at - middle)


def _by_hand(sizes: Sequence[Size], order: Sequence[int]) -> tuple[list[Way], float]:
    """Short ones nearest on the first side, words inside where they fit."""
    ways: list[Way | None] = [None] * len(sizes)
    for i in order:
        s = sizes[i]
        side = 0
        out = s.wide + APART > s.high - s.low
        for lane in range(len(sizes)):
            ways[i] = (side, lane, out)
            under = any(
                w is not None and j != i and w[1] >= lane and sizes[j].low < s.high - 1e-3 and s.low < sizes[j].high - 1e-3
                for j, w in enumerate(ways)
            )
            if not under and cost_of(sizes, ways) < float("inf"):
                break
    done = [w for w in ways if w is not None]
    return done, cost_of(sizes, done)
