"""Figures of the steel: pieces, bars, yield, cost, mass."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures._judge import origin
from framecore.figures.model import Answers, Figure, Input, Working


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield what is cut, bought and paid, and what it weighs."""
    brief, shop, solids = answers.brief, answers.shop, answers.solids
    pieces = sum(len(p.members) for p in shop.pieces)
    yield Figure(
        id="steel.pieces", label="Pieces to saw", value=float(pieces), unit="1", group="steel",
        working=Working(
            formula="n = sum over marks", inputs=(),
            steps=tuple(f"{p.mark}: {len(p.members)} x {p.profile.id}, {p.length:.1f} mm" for p in shop.pieces),
            source="the frame's members, alike pieces under one mark",
        ),
    )  # fmt: skip
    bought = [b for _, plan in shop.plans for b in plan.bars if not b.bar.rack]
    proven = all(plan.proven for _, plan in shop.plans)
    yield Figure(
        id="steel.bars", label="Bars to buy", value=float(len(bought)), unit="1", group="steel",
        note="proven cheapest" if proven else "best found, cheaper not ruled out",
        working=Working(
            formula="cheapest set of bars that holds all pieces with kerf and trim",
            inputs=(
                Input(symbol="k", label="kerf", value=brief.steel.kerf, unit="mm", origin=origin(brief, "steel.kerf")),
                Input(symbol="e", label="trim at a mill end", value=brief.steel.trim, unit="mm",
                      origin=origin(brief, "steel.trim")),
            ),
            steps=tuple(
                f"{name}: {len(plan.bars)} bars, {plan.cost:.2f}, cannot be under {plan.lower_bound:.2f}"
                for name, plan in shop.plans
            ),
            source="bar sets in order of cost, each refuted or filled by exact search",
        ),
    )  # fmt: skip
    net = sum(c.length for b in bought for c in b.cuts)
    gross = sum(b.bar.length for b in bought)
    yield Figure(
        id="steel.yield", label="Yield of the bars bought", value=shop.yield_share, unit="1", group="steel",
        working=Working(
            formula="y = pieces / bars", inputs=(), source="lengths of the cut plan",
            steps=(f"y = {net:.0f} mm / {gross:.0f} mm = {shop.yield_share:.1%}",),
        ),
    )  # fmt: skip
    assumed = tuple(p for p in ("steel.price_kg", "steel.sheet_price_kg", "steel.sold") if p in brief.assumed)
    yield Figure(
        id="steel.cost", label="Steel to pay", value=shop.cost, unit=shop.currency, group="steel", assumed=assumed,
        working=Working(
            formula="C = sum of the order", inputs=(), source="lengths and prices of the brief",
            steps=tuple(f"{o.count} x {o.what} {o.detail}: {o.mass:.1f} kg, {o.cost:.2f}" for o in shop.order),
        ),
    )  # fmt: skip
    yield Figure(
        id="steel.mass", label="Steel to carry home", value=shop.order_mass, unit="kg", group="steel",
        working=Working(
            formula="m = sum of the order", inputs=(), source="mass per metre of the catalogue",
            steps=tuple(f"{o.count} x {o.what}: {o.mass:.1f} kg" for o in shop.order),
        ),
    )  # fmt: skip
    by_kind = {
        kind: float(sum(m for m, k in zip(solids.masses, solids.layout.kinds, strict=True) if k == kind))
        for kind in ("member", "plate", "foot")
    }
    yield Figure(
        id="mass.frame", label="Mass of the stand", value=solids.mass, unit="kg", group="mass",
        working=Working(
            formula="m = sum of volume x density", inputs=(), source="shapes of the frame",
            steps=tuple(f"{kind}s: {mass:.2f} kg" for kind, mass in by_kind.items()),
        ),
    )  # fmt: skip
    total = answers.strength.total_mass
    yield Figure(
        id="mass.total", label="Stand and machine", value=total, unit="kg", group="mass",
        assumed=("machine.mass",) if "machine.mass" in brief.assumed else (),
        working=Working(
            formula="M = m + machine",
            inputs=(
                Input(symbol="m", label="stand", value=solids.mass, unit="kg", origin="computed"),
                Input(symbol="M", label="machine", value=brief.machine.mass, unit="kg",
                      origin=origin(brief, "machine.mass")),
            ),
            steps=(f"{solids.mass:.1f} + {brief.machine.mass:.1f} = {total:.1f} kg",), source="sum",
        ),
    )  # fmt: skip
    yield Figure(
        id="paint.area", label="Area to paint", value=float(solids.paint_areas.sum()), unit="m2", group="mass",
        working=Working(
            formula="A = sum of perimeter x length, plates both faces", inputs=(), source="geometry",
            steps=("contacts are not taken off",),
        ),
    )  # fmt: skip
