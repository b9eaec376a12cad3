"""Sheet plans against an exact general solver and against trying everything.

Free plans: OR-tools CP-SAT, run here on the textbook model (each part on one sheet, turned or not, no two overlap, cost of
the sheets used least) on 60 random small cases. Guillotine plans: every way to halve every company of parts, tried
without any bound, on 40 cases of up to five parts. The sure search by itself is asked about 40 sheets that are cut up
without waste, and about the same ones a little smaller. All are written apart from the program's own method.
"""

from __future__ import annotations

import itertools
import random
from functools import cache

import pytest
from ortools.sat.python import cp_model

from framecore.cutting import SheetPart, SheetStock, plan_sheets
from tests.unit.cutting.nests import check
from tests.validation.record import agree

SHEETS = ((2000, 1000, 60), (2500, 1250, 95), (1000, 1000, 33), (1250, 1000, 41))


def random_task(seed: int, most: int) -> tuple[list[SheetPart], list[SheetStock], int, int]:
    rng = random.Random(seed)
    stock = [SheetStock(name=f"{a}", length=a, width=b, price=p) for a, b, p in rng.sample(SHEETS, rng.randint(1, 2))]
    small = min(min(s.length, s.width) for s in stock)
    parts, n = [], 0
    for k in range(rng.randint(2, 5)):
        count = min(rng.randint(1, 2), most - n)
        if count:
            a, b = rng.randint(200, int(0.9 * small)), rng.randint(150, int(0.7 * small))
            parts.append(SheetPart(mark=f"p{k}", length=a, width=b, count=count, turns=rng.random() < 0.8))
            n += count
    return parts, stock, rng.choice([0, 4, 10]), rng.choice([0, 10])


def exact_cost(parts: list[SheetPart], stock: list[SheetStock], gap: int, edge: int) -> float:
    """Least cost by a constraint model; all sheets lie side by side on one long strip."""
    items = [p for p in parts for _ in range(p.count)]
    model = cp_model.CpModel()
    sheets = [s for s in stock for _ in items]
    starts = list(itertools.accumulate((int(s.length) + 1000 for s in sheets), initial=0))
    used = [model.new_bool_var(f"u{j}") for j in range(len(sheets))]
    xs, ys = [], []
    for i, p in enumerate(items):
        turned = model.new_bool_var(f"t{i}")
        if not p.turns:
            model.add(turned == 0)
        a, b = int(p.length) + gap, int(p.width) + gap
        w, h = model.new_int_var(0, max(a, b), f"w{i}"), model.new_int_var(0, max(a, b), f"h{i}")
        model.add(w == a + (b - a) * turned)
        model.add(h == b + (a - b) * turned)
        x, y = model.new_int_var(0, starts[-1], f"x{i}"), model.new_int_var(0, 5000, f"y{i}")
        x1, y1 = model.new_int_var(0, starts[-1] + 5000, f"x1{i}"), model.new_int_var(0, 9000, f"y1{i}")
        model.add(x1 == x + w)
        model.add(y1 == y + h)
        xs.append(model.new_interval_var(x, w, x1, f"ix{i}"))
        ys.append(model.new_interval_var(y, h, y1, f"iy{i}"))
        on = [model.new_bool_var(f"o{i}_{j}") for j in range(len(sheets))]
        model.add_exactly_one(on)
        for j, s in enumerate(sheets):
            model.add(x >= starts[j]).only_enforce_if(on[j])
            model.add(x1 <= starts[j] + int(s.length) - 2 * edge + gap).only_enforce_if(on[j])
            model.add(y1 <= int(s.width) - 2 * edge + gap).only_enforce_if(on[j])
            model.add_implication(on[j], used[j])
    model.add_no_overlap_2d(xs, ys)
    for j in range(1, len(sheets)):
        if sheets[j] is sheets[j - 1]:
            model.add_implication(used[j], used[j - 1])
    model.minimize(sum(int(s.price) * u for s, u in zip(sheets, used, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 60.0
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL, "the solver itself must be sure"
    return solver.objective_value


@pytest.mark.parametrize("seed", range(60))
def test_free_plans_cost_what_the_exact_solver_says(seed):
    parts, stock, gap, edge = random_task(seed, 7)
    plan = plan_sheets(parts, stock, gap=gap, edge=edge, mode="free")
    check(plan, parts)
    want = exact_cost(parts, stock, gap, edge)
    assert plan.lower_bound <= want + 1e-9 <= plan.cost + 2e-9
    assert plan.proven
    agree(plan.cost, want, what="cost of a free plan of up to 7 parts", source="OR-tools CP-SAT")


def brute_cost(parts: list[SheetPart], stock: list[SheetStock], gap: int, edge: int) -> float:
    """Least cost of guillotine plans by trying everything: companies on a sheet, halves of a company, cut either way."""
    items = [p for p in parts for _ in range(p.count)]

    @cache
    def boxes(company: frozenset[int]) -> frozenset[tuple[float, float]]:
        if len(company) == 1:
            p = items[next(iter(company))]
            a, b = p.length + gap, p.width + gap
            return frozenset({(a, b), (b, a)} if p.turns else {(a, b)})
        out: set[tuple[float, float]] = set()
        for n in range(1, len(company)):
            for some in itertools.combinations(sorted(company), n):
                for (a, b), (c, d) in itertools.product(boxes(frozenset(some)), boxes(company - frozenset(some))):
                    out |= {(a + c, max(b, d)), (max(a, c), b + d)}
        return frozenset(out)

    def fits(company: frozenset[int], s: SheetStock) -> bool:
        room = (s.length - 2 * edge + gap, s.width - 2 * edge + gap)
        return any(a <= room[0] and b <= room[1] for a, b in boxes(company))

    @cache
    def cost(left: frozenset[int]) -> float:
        if not left:
            return 0.0
        first = min(left)
        best = float("inf")
        rest = sorted(left - {first})
        for n in range(len(rest) + 1):
            for some in itertools.combinations(rest, n):
                company = frozenset({first, *some})
                prices = [s.price for s in stock if fits(company, s)]
                if prices:
                    best = min(best, min(prices) + cost(left - company))
        return best

    return cost(frozenset(range(len(items))))


@pytest.mark.parametrize("seed", range(100, 140))
def test_guillotine_plans_cost_what_trying_everything_says(seed):
    parts, stock, gap, edge = random_task(seed, 5)
    plan = plan_sheets(parts, stock, gap=gap, edge=edge)
    check(plan, parts)
    assert plan.proven
    agree(plan.cost, brute_cost(parts, stock, gap, edge), what="cost of a guillotine plan of up to 5 parts",
          source="every guillotine plan, tried one by one")  # fmt: skip


def cut_up(seed: int, pieces: int, rings: bool) -> tuple[list[tuple[int, int]], tuple[int, int]]:
    """A sheet cut into parts without waste by random straight cuts, one piece by a ring of four round a fifth."""
    rng = random.Random(seed)
    whole = (rng.randint(300, 500), rng.randint(200, 400))
    boxes = [whole]
    if rings:
        a, b = whole[0] * 2 // 3, whole[1] * 2 // 3
        c, d = whole[0] - a, whole[1] - b
        boxes = [(a, d), (c, b), (a, d), (c, b), (whole[0] - 2 * c, whole[1] - 2 * d)]
    while len(boxes) < pieces:
        a, b = boxes.pop(max(range(len(boxes)), key=lambda i: boxes[i][0] * boxes[i][1]))
        if rng.random() < 0.5:
            at = rng.randint(a // 4, 3 * a // 4)
            boxes += [(at, b), (a - at, b)]
        else:
            at = rng.randint(b // 4, 3 * b // 4)
            boxes += [(a, at), (a, b - at)]
    return boxes, whole


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("mode", ["guillotine", "free"])
def test_the_search_alone_decides_sheets_that_are_full(seed, mode):
    """Parts that fill a sheet, and the same sheet a hair smaller one way: the sure search against the outside answer."""
    from framecore.cutting._nest_exact import Budget, Corners, Joins
    from framecore.cutting._nest_task import prepare

    free = mode == "free"
    boxes, whole = cut_up(seed, 6 if free else 5, free and seed % 2 == 0)
    parts = [SheetPart(mark=f"p{k}", length=a, width=b) for k, (a, b) in enumerate(boxes)]
    for less in ((0, 0), (1, 0), (0, 9)):
        # The smallest part is left out where the sheet is smaller, so that its area does not answer alone.
        own = parts if less == (0, 0) else sorted(parts, key=lambda p: p.length * p.width)[1:]
        sheet = SheetStock(name="s", length=whole[0] - less[0], width=whole[1] - less[1], price=1)
        if any(min(p.length, p.width) > sheet.width or max(p.length, p.width) > sheet.length for p in own):
            continue
        task = prepare(own, [sheet], 0, 0)
        budget = Budget(400_000)
        holder = Corners(task.kinds, budget) if free else Joins(task.kinds, task.rooms[0], budget)
        laid = holder.lay(task.counts, task.rooms[0])
        sold = [sheet, SheetStock(name="more", length=9000, width=900, price=9)]
        want = (exact_cost if free else brute_cost)(own, sold, 0, 0)
        agree(laid is not None, want == 1, what="whether a full sheet holds its parts", source="CP-SAT, or every plan tried")
        if laid is not None:
            assert sorted(tuple(sorted(p[3:])) for p in laid) == sorted(tuple(sorted(task.kinds[p[0]].size)) for p in laid)
            for p, q in itertools.combinations(laid, 2):
                assert p[1] + p[3] <= q[1] or q[1] + q[3] <= p[1] or p[2] + p[4] <= q[2] or q[2] + q[4] <= p[2]
