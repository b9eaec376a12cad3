"""Cut plans against an exact general solver on 200 random small cases.

Source: OR-tools CP-SAT, run here on the textbook assignment model (each piece in one bar, pieces and kerfs
within the bar's usable length, cost of the bars used least). The model is written apart from the program's own
method and shares none of its code.
"""

from __future__ import annotations

import random

import pytest
from ortools.sat.python import cp_model

from framecore.cutting import Bar, Piece, plan_cuts, quick_plan
from tests.validation.record import agree

TENTH = 10  # the solver counts in whole tenths of a millimetre


def exact_cost(pieces: list[Piece], bars: list[Bar], kerf: float) -> int:
    lengths = [round(p.length * TENTH) for p in pieces for _ in range(p.count)]
    k = round(kerf * TENTH)
    stock = []
    for b in bars:
        stock += [b] * (len(lengths) if b.available is None else b.available)
    model = cp_model.CpModel()
    used = [model.new_bool_var(f"u{j}") for j in range(len(stock))]
    put = [[model.new_bool_var(f"x{i}_{j}") for j in range(len(stock))] for i in range(len(lengths))]
    for row in put:
        model.add_exactly_one(row)
    for j, b in enumerate(stock):
        room = round((b.length - 2 * b.trim) * TENTH) + k
        model.add(sum(put[i][j] * (lengths[i] + k) for i in range(len(lengths))) <= room * used[j])
        if j and stock[j - 1] is b:
            model.add(used[j] <= used[j - 1])
    model.minimize(sum(round(b.price) * used[j] for j, b in enumerate(stock)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def random_task(seed: int) -> tuple[list[Piece], list[Bar], float]:
    rng = random.Random(seed)
    bars = [
        Bar(name=f"{n}", length=n, price=p, trim=rng.choice([0.0, 5.0]))
        for n, p in rng.sample([(6000.0, 100.0), (3000.0, 55.0), (2000.0, 38.0), (1000.0, 21.0)], rng.randint(1, 3))
    ]
    if max(b.length for b in bars) < 2000:
        bars.append(Bar(name="2000", length=2000.0, price=38.0))
    bars += [
        Bar(name=f"rack {k}", length=float(rng.randint(300, 1800)), price=0.0, available=1, rack=True)
        for k in range(rng.randint(0, 2))
    ]
    pieces = [
        Piece(mark=f"p{k}", length=rng.randint(600, 18000) / TENTH, count=rng.randint(1, 3))
        for k in range(rng.randint(2, 4))
    ]
    return pieces, bars, rng.choice([0.0, 1.6, 3.0])


@pytest.mark.parametrize("seed", range(200))
def test_cost_is_the_general_solvers(seed):
    pieces, bars, kerf = random_task(seed)
    plan = plan_cuts(pieces, bars, kerf=kerf)
    assert plan.proven
    agree(round(plan.cost), exact_cost(pieces, bars, kerf), what="cost of the cheapest bars, CP-SAT")


@pytest.mark.parametrize("seed", range(200, 230))
def test_bound_given_early_is_under_the_general_solvers_cost(seed):
    pieces, bars, kerf = random_task(seed)
    exact = exact_cost(pieces, bars, kerf)
    for plan in (plan_cuts(pieces, bars, kerf=kerf, effort=1e-6), quick_plan(pieces, bars, kerf=kerf)):
        assert plan.lower_bound <= exact + 1e-9
        assert plan.cost >= exact - 1e-9
        assert not plan.proven or round(plan.cost) == exact
