"""Among plans of one cost: fewer bars on hand used, then one long offcut rather than several short ones."""

from __future__ import annotations

from framecore.cutting._greedy import Draft, draft
from framecore.cutting._pack import Budget, Sums, best_fit, search
from framecore.cutting._task import Task

STEPS, ALL = 300, 2_000  # search steps for each question, and for all together
HALVINGS = 7


def tidy(task: Task, plan: Draft) -> Draft:
    """Return a plan with the same bars bought, tidier where a short search finds it."""
    if not plan.used:
        return plan
    budget = Budget(ALL)
    best = _fewer_on_hand(task, plan, budget)
    return _long_offcut(task, best, budget)


def _rooms(task: Task, bars: list[int]) -> list[int]:
    return [task.rooms[b] if b >= 0 else task.free_rooms[-1 - b] for b in bars]


def _pack(task: Task, rooms: list[int], budget: Budget) -> list[list[int]] | None:
    if min(rooms) < 0 or sum(rooms) < task.total:
        return None
    fill = best_fit(task.sizes, task.counts, rooms)
    if fill is None and budget.left > 0:
        share = Budget(STEPS)
        fill, _ = search(Sums(task.sizes, task.counts, max(rooms)), task.counts, rooms, share)
        budget.left -= STEPS - share.left
    return fill


def _fewer_on_hand(task: Task, plan: Draft, budget: Budget) -> Draft:
    """Use as few bars on hand as will do; if k of them do, so do the k longest."""
    bought = [b for b, _ in plan.used if b >= 0]
    used = sum(b < 0 for b, _ in plan.used)
    while (used and bought) or used > 1:
        bars = [-1 - f for f in range(len(task.free) - used + 1, len(task.free))] + bought
        fill = _pack(task, _rooms(task, bars), budget)
        if fill is None:
            break
        plan = draft(task, [(b, tuple(f)) for b, f in zip(bars, fill, strict=True)], plan.method)
        used = sum(b < 0 for b, _ in plan.used)
    return plan


def _long_offcut(task: Task, plan: Draft, budget: Budget) -> Draft:
    """Shorten one bar as far as all pieces still fit; what is taken off it is the offcut."""
    bars = [b for b, _ in plan.used]
    rooms = _rooms(task, bars)
    left = [
        r - sum(s * n for s, n in zip(task.sizes, f, strict=True)) for r, (_, f) in zip(rooms, plan.used, strict=True)
    ]
    longest, most = max(left), sum(left)
    best = plan
    for at in sorted({r: j for j, r in enumerate(rooms)}.values(), key=lambda j: -rooms[j]):
        low, high = longest, min(most, rooms[at])
        for _ in range(HALVINGS):
            if high <= low + low // 100:
                break
            cut = (low + high + 1) // 2
            fill = _pack(task, [r - cut if j == at else r for j, r in enumerate(rooms)], budget)
            if fill is None:
                high = cut
                continue
            held = sum(s * n for s, n in zip(task.sizes, fill[at], strict=True))
            low = longest = rooms[at] - held
            best = draft(task, [(b, tuple(f)) for b, f in zip(bars, fill, strict=True)], plan.method)
    return best
