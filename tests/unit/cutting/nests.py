"""What must hold of every sheet plan, told apart from how it is found."""

from __future__ import annotations

from collections import Counter

NEAR = 1e-3  # sheets are let out by less, mm


def check(plan, parts):
    """All parts are there, on the sheets, apart by the gap; the money adds up; guillotine plans can be cut."""
    want = Counter({p.mark: p.count for p in parts if p.count})
    assert Counter(p.mark for p in plan.placements) == want
    size = {p.mark: (p.length, p.width) for p in parts}
    turns = {p.mark: p.turns for p in parts}
    for p in plan.placements:
        a, b = size[p.mark]
        assert (p.length, p.width) == ((b, a) if p.turned else (a, b))
        assert not p.turned or turns[p.mark]
        sheet = plan.sheets[p.sheet]
        assert p.x >= plan.edge - NEAR and p.y >= plan.edge - NEAR
        assert p.x + p.length <= sheet.length - plan.edge + NEAR
        assert p.y + p.width <= sheet.width - plan.edge + NEAR
    for i, p in enumerate(plan.placements):
        for q in plan.placements[:i]:
            if p.sheet == q.sheet:
                assert distance(rim(p), rim(q)) >= plan.gap - NEAR, (p, q)
    assert plan.cost == sum(s.price for s in plan.sheets)
    assert plan.lower_bound <= plan.cost * (1 + 1e-9)
    assert plan.proven == (plan.lower_bound >= plan.cost * (1 - 1e-9))
    assert {p.sheet for p in plan.placements} == set(range(len(plan.sheets))), "no sheet is bought for nothing"
    for sheet, n in Counter(plan.sheets).items():
        assert sheet.available is None or n <= sheet.available
    for r in plan.remnants:
        sheet = plan.sheets[r.sheet]
        assert r.x + r.length <= sheet.length - plan.edge + NEAR and r.y + r.width <= sheet.width - plan.edge + NEAR
        box = ((r.x, r.y), (r.x + r.length, r.y), (r.x + r.length, r.y + r.width), (r.x, r.y + r.width))
        assert all(distance(box, rim(p)) >= plan.gap - NEAR for p in plan.placements if p.sheet == r.sheet)
    if plan.mode == "guillotine":
        for s in range(len(plan.sheets)):
            own = [(p.x, p.y, p.x + p.length, p.y + p.width) for p in plan.placements if p.sheet == s]
            assert separable(own)
            run_cuts(plan, s)
    else:
        assert plan.cuts == ()


def rim(p):
    return p.outline or ((p.x, p.y), (p.x + p.length, p.y), (p.x + p.length, p.y + p.width), (p.x, p.y + p.width))


def distance(a, b):
    """Between two convex outlines; negative where they overlap (then: how deep along the best side)."""
    from shapely.geometry import Polygon

    p, q = Polygon(a), Polygon(b)
    common = p.intersection(q).area
    return -common if common > 1e-6 else p.distance(q)


def separable(boxes):
    """Whether straight cuts from edge to edge free all boxes, by trying every cut."""
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        for at in {b[axis + 2] for b in boxes}:
            low = [b for b in boxes if b[axis + 2] <= at + 1e-6]
            high = [b for b in boxes if b[axis] >= at - 1e-6]
            if low and high and len(low) + len(high) == len(boxes):
                return separable(low) and separable(high)
    return False


def run_cuts(plan, s):
    """Cut a sheet as the plan says, kerf and all: each cut from edge to edge of one piece; in the end parts are free."""
    sheet = plan.sheets[s]
    pieces = [(0.0, 0.0, sheet.length, sheet.width)]
    for c in (c for c in plan.cuts if c.sheet == s):
        axis = 0 if abs(c.start[0] - c.end[0]) < 1e-9 else 1
        at, low, high = c.start[axis], c.start[1 - axis], c.end[1 - axis]
        near = [
            q for q in pieces
            if abs(q[1 - axis] - low) < NEAR and abs(q[3 - axis] - high) < NEAR
            and q[axis] - plan.gap <= at <= q[axis + 2] + plan.gap
        ]  # fmt: skip
        # A scrap off the sheet's edge may lie as near as a cut is wide: the cut goes through what it lies in.
        (q,) = [q for q in near if q[axis] - NEAR <= at <= q[axis + 2] + NEAR] or near
        pieces.remove(q)
        left, right = at - plan.gap / 2, at + plan.gap / 2
        first = (q[0], q[1], left, q[3]) if axis == 0 else (q[0], q[1], q[2], left)
        second = (right, q[1], q[2], q[3]) if axis == 0 else (q[0], right, q[2], q[3])
        pieces += [p for p in (first, second) if p[2] - p[0] > NEAR and p[3] - p[1] > NEAR]
    for p in plan.placements:
        if p.sheet == s:
            box = (p.x, p.y, p.x + p.length, p.y + p.width)
            assert sum(all(abs(a - b) < NEAR for a, b in zip(q, box, strict=True)) for q in pieces) == 1, p
            pieces = [q for q in pieces if any(abs(a - b) >= NEAR for a, b in zip(q, box, strict=True))]
    for r in plan.remnants:
        if r.sheet == s:
            box = (r.x, r.y, r.x + r.length, r.y + r.width)
            assert any(all(abs(a - b) < NEAR for a, b in zip(q, box, strict=True)) for q in pieces), (r, pieces)
