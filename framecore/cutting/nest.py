"""Sheet plans: the cheapest sheets that hold all flat parts, with proof or with the bound reached.

Parts lie apart by the gap (what the saw, the torch or the shear needs) and away from the sheet's edge. Sets of sheets
come in order of cost (``_nest_sets``), those that miss a simple demand are left out at once, and the first set on which
all parts can be laid is the cheapest. Laying is tried by rules first (``_nest_fill``); where they fail and parts are
few, a search gives a sure answer (``_nest_exact``). Cost is least first, then the number of sheets, then the largest
rectangle that stays whole, the cut beside it counted with it: the rules look for it first, and for few parts a search then
finds the largest there is on these sheets, or shows that there is no larger (``_nest_most``). Shaped parts are laid as
their boxes or as pairs of two, so with them in a free plan nothing is shown about what is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import islice

from framecore.cutting._nest_exact import Budget, Corners, Holds, Joins, share_out
from framecore.cutting._nest_fill import ORDERS, RULES, SPLITS, Laid, Rect, Room, fill, layouts
from framecore.cutting._nest_most import largest_rest
from framecore.cutting._nest_rest import largest_empty, take_apart
from framecore.cutting._nest_sets import SAME, cost_of, demands, meets, sets_by_cost
from framecore.cutting._nest_shapes import Block, expand, paired, turned_outline
from framecore.cutting._nest_task import STEP, NestTask, prepare, steps
from framecore.cutting.nest_model import Mode, Placement, Remnant, SheetCut, SheetPart, SheetPlan, SheetStock
from framecore.errors import CuttingError

SETS = 4_000  # sets looked at
WORK = 40_000  # parts laid by the rules while looking for the set
POLISH = 6_000  # parts laid by the rules while looking for a larger remnant
NODES = 40_000  # steps of the sure search on all sets together
REST = 20_000  # steps of the sure search for the largest remnant
FEW = 1_100  # companies of parts the sure search may have to tell apart
USABLE = 50.0  # a remnant's short side at least, mm


def plan_sheets(
    parts: Sequence[SheetPart], stock: Sequence[SheetStock], *, gap: float, edge: float = 0.0, mode: Mode = "guillotine",
    effort: float = 1.0,
) -> SheetPlan:  # fmt: skip
    """Find the cheapest plan.

    Parameters
    ----------
    parts, stock : what is needed and what can be had; mm
    gap : between parts, and between a part and what is cut off, mm: the width of the cut
    edge : left at each edge of a sheet, mm
    mode : "guillotine": straight cuts from edge to edge, for shear and saw; "free": parts lie anywhere
    effort : how much search is spent; 1 is mostly some hundredths of a second. Steps are counted, not timed, so the
        same task gives the same plan.

    Raises
    ------
    CuttingError
        A number makes no sense, a part fits on no sheet, or the sheets at hand do not suffice.
    """
    if not (math.isfinite(effort) and effort > 0):
        raise CuttingError(f"the effort must be above 0, not {effort:g}; 1 is usual")
    if mode not in ("guillotine", "free"):
        raise CuttingError(f'the mode must be "guillotine" or "free", not "{mode}"')
    task = prepare(parts, stock, gap, edge)
    free = mode == "free"
    if not task.kinds:
        return _plan(task, _Found((), [], "nothing to lay"), 0.0, mode)
    tasks = [_Variant(task)]
    if free and any(k.shaped for k in task.kinds):
        usable = [(s.length - 2 * edge, s.width - 2 * edge) for s in task.stock]
        blocked, blocks, source = paired(parts, gap, usable)
        if blocks:
            tasks.insert(0, _Variant(prepare(blocked, stock, gap, edge), blocks, source))
    found, bound = _Search(task, tasks, free, effort).run()
    return _plan(task, found, bound, mode)


@dataclass(frozen=True, slots=True)
class _Variant:
    """A task as it is laid: with pairs of shaped parts as blocks, or each part alone."""

    task: NestTask
    blocks: dict[int, Block] = field(default_factory=dict)
    source: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    """A set of sheets with a layout in steps."""

    chosen: tuple[int, ...]
    laid: list[Laid]
    method: str
    variant: _Variant | None = None
    rest: tuple[int, Rect] | None = None  # sheet and the rectangle on it that stays whole
    largest: bool = False  # no larger one is left by any layout on these sheets


class _Search:
    def __init__(self, task: NestTask, variants: Sequence[_Variant], free: bool, effort: float) -> None:
        self.task, self.variants, self.free = task, variants, free
        self.work = round(WORK * effort)
        self.polish = round(POLISH * effort)
        self.budget = Budget(round(NODES * effort))
        self.rest = round(REST * effort)
        self.needs = demands(task, free=free)
        few = math.prod(n + 1 for n in task.counts) <= FEW and not (free and any(k.shaped for k in task.kinds))
        self.holder: Holds | None = None
        if few:
            most = (max(a for a, _ in task.rooms), max(b for _, b in task.rooms))
            self.holder = Corners(task.kinds, self.budget) if free else Joins(task.kinds, most, self.budget)

    def run(self) -> tuple[_Found, float]:
        """Return the best plan and the cost no plan is under."""
        task = self.task
        greedy = self._greedy()
        ceiling = cost_of(task, greedy.chosen) if greedy else math.inf
        needs = self.needs
        bound = math.inf
        found: _Found | None = None
        refuted = 0.0
        for chosen in sets_by_cost(task, ceiling, SETS):
            cost = refuted = cost_of(task, chosen)
            if greedy and (cost, sum(chosen)) >= (ceiling * (1 - SAME), sum(greedy.chosen)):
                found = greedy
                break
            if not meets(chosen, needs):
                continue
            found, sure = self._ask(chosen)
            if found:
                break
            if not sure:
                bound = min(bound, cost)
                if self.work <= 0 and self.budget.left <= 0:
                    break
        else:
            found = greedy
        found = found or greedy
        if found is None:
            sure = math.isinf(bound)
            raise CuttingError(
                "the sheets at hand do not hold all parts; add a size that is sold" if sure
                else "no plan was found for the sheets at hand; add a size that is sold"
            )  # fmt: skip
        cost = cost_of(task, found.chosen)
        if cost > refuted * (1 + SAME):
            bound = min(bound, refuted)
        return self._polished(found), min(bound, cost)

    def _greedy(self) -> _Found | None:
        """Return a plan at once: one kind of sheet alone, or all there are."""
        best: _Found | None = None
        kinds = len(self.task.stock)
        choices = [tuple(n if j == k else 0 for j, n in enumerate(self.task.limits)) for k in range(kinds)]
        for limits in (*choices, self.task.limits) if kinds > 1 else choices:
            ids = [k for k, n in enumerate(limits) for _ in range(n)]
            for variant in self.variants:
                queue = [k for k, n in enumerate(variant.task.counts) for _ in range(n)]
                split = None if self.free else SPLITS[2]
                laid, missed = fill(variant.task, queue, [self.task.rooms[k] for k in ids], RULES[0], split)
                if missed:
                    continue
                used = sorted({p[1] for p in laid})
                chosen = tuple(sum(ids[i] == k for i in used) for k in range(kinds))
                laid = [(p[0], used.index(p[1]), *p[2:]) for p in laid]
                if best is None or self._key(chosen) < self._key(best.chosen):
                    best = _Found(chosen, laid, "rules", variant)
        return best

    def _key(self, chosen: tuple[int, ...]) -> tuple[float, int]:
        return cost_of(self.task, chosen), sum(chosen)

    def _ask(self, chosen: tuple[int, ...]) -> tuple[_Found | None, bool]:
        """Return a layout on this set or None, and whether that is sure."""
        rooms = _rooms(self.task, chosen)
        for variant in self.variants:
            n = sum(variant.task.counts)
            fills = min(len(ORDERS) * len(RULES) * 4, max(0, self.work) // n)
            self.work -= fills * n
            for laid in islice(layouts(variant.task, rooms, free=self.free, fills=fills), 1):
                return _Found(chosen, laid, "rules", variant), True
        if self.holder is None:
            return None, False
        laid_or_none, sure = share_out(self.task, self.holder, chosen, self.budget, self.needs)
        return (_Found(chosen, laid_or_none, "search", self.variants[-1]) if laid_or_none else None), sure

    def _polished(self, found: _Found) -> _Found:
        """Return the layout on the same sheets that leaves the largest rectangle."""
        rooms = _rooms(self.task, found.chosen)
        side = steps(USABLE + self.task.gap)
        best, most = found, _left(rooms, found.laid, self.free, side)
        for variant in self.variants:
            fills = max(4, self.polish // sum(variant.task.counts))
            for laid in layouts(variant.task, rooms, free=self.free, fills=fills):
                left = _left(rooms, laid, self.free, side)
                if left > most:
                    best, most = _Found(found.chosen, laid, found.method, variant), left
        if self.holder is None:
            return best
        asked = largest_rest(self.task, found.chosen, most, side, Budget(self.rest), free=self.free)
        if asked.laid is not None:
            best = _Found(found.chosen, asked.laid, found.method, self.variants[-1], (asked.sheet, asked.rest))
        return replace(best, largest=asked.proven)


def _rooms(task: NestTask, chosen: Sequence[int]) -> list[Room]:
    return [task.rooms[k] for k, n in enumerate(chosen) for _ in range(n)]


def _on(laid: Sequence[Laid], sheet: int) -> list[Rect]:
    return [(x, y, a, b) for _, s, x, y, a, b in laid if s == sheet]


def _rest(room: Room, parts: Sequence[Rect], free: bool, side: int) -> Rect:
    if free:
        return largest_empty(room, parts, side)
    apart = take_apart(room, parts, side)
    return (0, 0, 0, 0) if apart is None else apart[1]


def _left(rooms: Sequence[Room], laid: Sequence[Laid], free: bool, side: int) -> int:
    rests = (_rest(room, _on(laid, s), free, side) for s, room in enumerate(rooms))
    return max(r[2] * r[3] for r in rests)


def _plan(task: NestTask, found: _Found, bound: float, mode: Mode) -> SheetPlan:
    """Bring a layout back to mm: marks, cuts in order, what is left."""
    sheets = tuple(task.stock[k] for k, n in enumerate(found.chosen) for _ in range(n))
    rooms, gap, edge = _rooms(task, found.chosen), task.gap, task.edge
    remnants: list[Remnant] = []
    cuts: list[SheetCut] = []
    for s, room in enumerate(rooms):
        own = _on(found.laid, s)
        kept = found.rest[1] if found.rest is not None and found.rest[0] == s else None
        x, y, a, b = (v * STEP for v in kept or _rest(room, own, mode == "free", steps(USABLE + gap)))
        # The rest as it is in the hand: without the gap it was grown by, nor past the sheet's own edge.
        a, b = min(a - gap, sheets[s].length - 2 * edge - x), min(b - gap, sheets[s].width - 2 * edge - y)
        if min(a, b) >= USABLE:
            remnants.append(Remnant(sheet=s, x=edge + x, y=edge + y, length=a, width=b))
        if mode == "guillotine":
            cuts += _cuts(s, sheets[s], room, [*own, kept] if kept else own, gap, edge)
    cost = cost_of(task, found.chosen) if found.chosen else 0.0
    bound = min(bound, cost)
    proven = bound >= cost * (1 - SAME)
    return SheetPlan(
        sheets=sheets, placements=tuple(_placements(task, found)), cuts=tuple(cuts), remnants=tuple(remnants), gap=gap,
        edge=edge, mode=mode, cost=cost, lower_bound=cost if proven else bound, proven=proven, method=found.method,
        rest_proven=found.largest,
    )  # fmt: skip


def _placements(task: NestTask, found: _Found) -> list[Placement]:
    if found.variant is None:
        return []
    own, blocks = found.variant.task, found.variant.blocks
    waiting = [list(k.whose) for k in own.kinds]
    out: list[Placement] = []
    for kind, sheet, gx, gy, a, b in sorted(found.laid, key=lambda p: (p[1], p[2], p[3])):
        i = waiting[kind].pop(0)
        p, x, y = own.parts[i], task.edge + gx * STEP, task.edge + gy * STEP
        turned = (steps(p.length + task.gap), steps(p.width + task.gap)) != (a, b)
        if i in blocks:
            part = task.parts[blocks[i].part]
            out += expand(blocks[i], part, sheet, x, y, p.length, p.width, turned)
            continue
        length, width = (p.width, p.length) if turned else (p.length, p.width)
        turn = 90 if turned else 0
        out.append(Placement(mark=p.mark, sheet=sheet, x=x, y=y, length=length, width=width, turn=turn,
                             outline=turned_outline(p, turn, x, y)))  # fmt: skip
    return out


def _cuts(s: int, sheet: SheetStock, room: Room, own: Sequence[Rect], gap: float, edge: float) -> list[SheetCut]:
    """Return the cuts of one sheet in order: the four edges first, then from the whole to the parts."""
    out: list[SheetCut] = []
    far_x, far_y = sheet.length - edge, sheet.width - edge
    if edge > 0:
        near, far = edge - gap / 2, gap / 2 - edge
        for p, q in (
            ((near, 0.0), (near, sheet.width)), ((sheet.length + far, 0.0), (sheet.length + far, sheet.width)),
            ((edge, near), (far_x, near)), ((edge, sheet.width + far), (far_x, sheet.width + far)),
        ):  # fmt: skip
            out.append(SheetCut(sheet=s, stage=0, start=p, end=q))
    apart = take_apart(room, own)
    for (stage, across, at), (x, y, w, h) in apart[0] if apart else ():
        m = edge + at * STEP - gap / 2
        if across:
            low, high = edge + y * STEP, min(edge + (y + h) * STEP - gap, far_y)
            out.append(SheetCut(sheet=s, stage=stage, start=(m, low), end=(m, max(low, high))))
        else:
            low, high = edge + x * STEP, min(edge + (x + w) * STEP - gap, far_x)
            out.append(SheetCut(sheet=s, stage=stage, start=(low, m), end=(max(low, high), m)))
    return out
