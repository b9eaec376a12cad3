"""Cut plans: the cheapest bars that hold all pieces, with proof or with the bound reached.

Between n pieces of a bar lie n - 1 saw cuts; one more frees the last piece from the offcut, and where less
than a kerf is left the blade simply eats it. So pieces fit when ``sum(length + kerf) <= usable + kerf``. The
usable length of a bar is its length less the trim at both ends (the trim includes its own saw cut).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence

from framecore.cutting._pack import PLAY, best_fit, search
from framecore.cutting.model import Bar, Cut, CutBar, CutPlan, Piece
from framecore.errors import CuttingError

NODES = 20_000
MULTISETS = 4_000


def plan_cuts(pieces: Sequence[Piece], bars: Sequence[Bar], *, kerf: float, nodes: int = NODES) -> CutPlan:
    """Find the cheapest plan.

    Sets of bars are tried in order of cost; the first that holds all pieces is cheapest, and it is proven so
    when every cheaper set was refuted within ``nodes`` search steps each.

    Parameters
    ----------
    pieces, bars : what is needed and what can be had; lengths mm
    kerf : width of the saw cut, mm
    nodes : search steps spent on one set of bars

    Raises
    ------
    CuttingError
        A number makes no sense, a piece is longer than every bar, or the bars at hand do not suffice.
    """
    items, free, bought = _prepare(pieces, bars, kerf)
    quick = _greedy(items, free, bought, kerf)
    if not items:
        return quick
    lengths = [i[0] + kerf for i in items]
    total = sum(lengths)
    base = [_room(b, kerf) for b in free]
    heap: list[tuple[float, int, tuple[int, ...], int]] = [(0.0, 0, (0,) * len(bought), 0)]
    open_bound = math.inf  # cost of the cheapest set that could not be refuted
    tried = 0
    while heap:
        cost, count, chosen, last = heapq.heappop(heap)
        if cost >= quick.cost - 1e-9 or tried >= MULTISETS:
            bound = min(open_bound, cost if cost < quick.cost - 1e-9 else quick.cost)
            return _with_bound(quick, bound)
        room = base + [_room(bought[k], kerf) for k, n in enumerate(chosen) for _ in range(n)]
        if sum(room) + PLAY >= total and max(room, default=0.0) + PLAY >= lengths[0]:
            tried += 1
            where = best_fit(lengths, room)
            certain = True
            if where is None:
                where, certain = search(lengths, room, nodes)
            if where is not None:
                used = [*free, *(bought[k] for k, n in enumerate(chosen) for _ in range(n))]
                found = _plan(items, used, where, kerf, "cheapest set of bars that holds all pieces")
                return _with_bound(found, min(open_bound, found.cost))
            if not certain:
                open_bound = min(open_bound, cost)
        for k in range(last, len(bought)):
            limit = bought[k].available
            if limit is None or chosen[k] < limit:
                more = (*chosen[:k], chosen[k] + 1, *chosen[k + 1 :])
                heapq.heappush(heap, (cost + bought[k].price, count + 1, more, k))
    return _with_bound(quick, min(open_bound, quick.cost))


def quick_plan(pieces: Sequence[Piece], bars: Sequence[Bar], *, kerf: float) -> CutPlan:
    """Return a good plan at once: best fit into one bought length, the cheapest of all lengths.

    Raises
    ------
    CuttingError
        As ``plan_cuts``.
    """
    return _greedy(*_prepare(pieces, bars, kerf), kerf)


def _room(bar: Bar, kerf: float) -> float:
    return bar.length - 2 * bar.trim + kerf


def _prepare(
    pieces: Sequence[Piece], bars: Sequence[Bar], kerf: float
) -> tuple[list[tuple[float, str]], list[Bar], list[Bar]]:
    """Check the numbers; return pieces longest first, free bars one by one, and bars to be bought."""
    if not (math.isfinite(kerf) and kerf >= 0):
        raise CuttingError(f"the kerf must be 0 mm or more, not {kerf:g}; a bandsaw takes about 1.5 mm")
    for p in pieces:
        if not (math.isfinite(p.length) and p.length > 0):
            raise CuttingError(f"piece {p.mark} must have a length above 0 mm, not {p.length:g}")
        if p.count < 1:
            raise CuttingError(f"piece {p.mark} must be wanted at least once, not {p.count} times")
    for b in bars:
        if not (math.isfinite(b.length) and b.length > 0 and math.isfinite(b.price) and b.price >= 0):
            raise CuttingError(f"bar {b.name} must have a length above 0 mm and a price of 0 or more")
    items = sorted(((p.length, p.mark) for p in pieces for _ in range(p.count)), key=lambda i: (-i[0], i[1]))
    longest = max((_room(b, kerf) - kerf for b in bars), default=0.0)
    if items and items[0][0] > longest + PLAY:
        raise CuttingError(
            f"piece {items[0][1]} is {items[0][0]:.1f} mm long, but the longest bar gives {longest:.1f} mm; "
            f"add a longer length to what is sold near you"
        )
    free = [b for b in bars if b.price == 0 and b.available is not None for _ in range(b.available or 0)]
    bought = [b for b in bars if not (b.price == 0 and b.available is not None)]
    # Of two lengths at one price the longer is tried first: it leaves the longer offcut.
    bought.sort(key=lambda b: (b.price, -b.length, b.name))
    free.sort(key=lambda b: (b.length, b.name))
    return items, free, bought


def _greedy(items: list[tuple[float, str]], free: list[Bar], bought: list[Bar], kerf: float) -> CutPlan:
    best: CutPlan | None = None
    for bar in bought or [None]:  # type: ignore[list-item]
        plan = _fill(items, free, bar, bought, kerf)
        if plan is not None and (best is None or plan.cost < best.cost - 1e-9):
            best = plan
    if best is None:
        raise CuttingError("the bars at hand do not hold all pieces, and none may be bought; add a length that is sold")
    return best


def _fill(
    items: list[tuple[float, str]], free: list[Bar], main: Bar | None, bought: list[Bar], kerf: float
) -> CutPlan | None:
    """Best fit into the free bars, opening bars of ``main`` (or the first that fits) as needed."""
    used = list(free)
    left = [_room(b, kerf) for b in used]
    where = []
    count: dict[str, int] = {}
    for length, _ in items:
        need = length + kerf
        fits = [b for b, room in enumerate(left) if room + PLAY >= need]
        if not fits:
            choice = [b for b in ([main] if main is not None else []) + bought if b is not None]
            for bar in choice:
                if _room(bar, kerf) + PLAY >= need and (
                    bar.available is None or count.get(bar.name, 0) < bar.available
                ):
                    break
            else:
                return None
            count[bar.name] = count.get(bar.name, 0) + 1
            used.append(bar)
            left.append(_room(bar, kerf))
            fits = [len(left) - 1]
        b = min(fits, key=lambda q: left[q])
        left[b] -= need
        where.append(b)
    return _plan(items, used, where, kerf, "best fit")


def _plan(items: list[tuple[float, str]], used: Sequence[Bar], where: Sequence[int], kerf: float, how: str) -> CutPlan:
    bars = []
    for b, bar in enumerate(used):
        own = [items[k] for k, w in enumerate(where) if w == b]
        if not own:
            continue
        at = bar.trim
        cuts = []
        for length, mark in own:
            cuts.append(Cut(mark=mark, start=at, length=length))
            at += length + kerf
        bars.append(CutBar(bar=bar, cuts=tuple(cuts), offcut=max(0.0, bar.length - at)))
    cost = sum(b.bar.price for b in bars)
    return CutPlan(bars=tuple(bars), kerf=kerf, cost=cost, lower_bound=0.0, proven=cost == 0.0, method=how)


def _with_bound(plan: CutPlan, bound: float) -> CutPlan:
    return CutPlan(
        bars=plan.bars, kerf=plan.kerf, cost=plan.cost, lower_bound=bound, proven=bound >= plan.cost - 1e-9,
        method=plan.method,
    )  # fmt: skip
