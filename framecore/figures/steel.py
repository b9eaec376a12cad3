"""Figures of the steel: pieces, bars, yield, cost, mass."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.catalogue import steel as find_steel
from framecore.figures._judge import given
from framecore.figures.model import Answers, Figure, Input, Working

_MANY = {"member": "members", "plate": "plates", "foot": "feet", "caster": "casters"}


def _out(symbol: str, label: str, value: float, unit: str, source: str = "") -> Input:
    """An input that an earlier room worked out."""
    return Input(symbol=symbol, label=label, value=value, unit=unit, origin="computed", source=source)


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield what is cut, bought and paid, and what it weighs."""
    brief, shop, solids = answers.brief, answers.shop, answers.solids
    pieces = sum(len(p.members) for p in shop.pieces)
    yield Figure(
        id="steel.pieces", label="Pieces to saw", value=float(pieces), unit="1", group="steel",
        work=lambda: Working(
            formula="n = Σ n_i", inputs=(_out("i", "marks", float(len(shop.pieces)), "1", "cut list"),),
            steps=tuple(f"{p.mark}: {len(p.members)} x {p.profile.id}, sawn {p.sawn:.1f} mm" for p in shop.pieces),
            source="the frame's members, alike pieces under one mark",
        ),
    )  # fmt: skip
    bought = [b for _, plan in shop.plans for b in plan.bars if not b.bar.rack]
    proven = all(plan.proven for _, plan in shop.plans)
    yield Figure(
        id="steel.bars", label="Bars to buy", value=float(len(bought)), unit="1", group="steel",
        note="proven cheapest" if proven else "best found, cheaper not ruled out",
        work=lambda: Working(
            formula="cheapest set of bars that holds all pieces with kerf and trim",
            inputs=(
                given(brief, "steel.kerf", "k"),
                given(brief, "steel.trim", "e"),
            ),
            steps=tuple(
                f"{name}: {len(plan.bars)} {'bar' if len(plan.bars) == 1 else 'bars'}, {plan.cost:.2f}, cannot be under "
                f"{plan.lower_bound:.2f}"
                for name, plan in shop.plans
            ),
            source="bar sets in order of cost, each refuted or filled by exact search",
        ),
    )  # fmt: skip
    net = sum(c.length for b in bought for c in b.cuts)
    gross = sum(b.bar.length for b in bought)
    yield Figure(
        id="steel.yield", label="Yield of the bars bought", value=shop.yield_share, unit="1", group="steel",
        work=lambda: Working(
            formula="y = Σ l / Σ L", source="lengths of the cut plan",
            inputs=(_out("Σ l", "pieces", net, "mm", "cut plan"), _out("Σ L", "bars bought", gross, "mm", "cut plan")),
            steps=(f"y = {net:.0f} mm / {gross:.0f} mm = {shop.yield_share:.1%}",),
        ),
    )  # fmt: skip
    assumed = tuple(p for p in ("steel.price_kg", "steel.sheet_price_kg", "steel.sold") if p in brief.assumed)
    yield Figure(
        id="steel.cost", label="Steel to pay", value=shop.cost, unit=shop.currency, group="steel", assumed=assumed,
        note="bars and sheet; parts bought by the piece, gas, wire and paint are not in it",
        work=lambda: Working(
            formula="C = Σ m p, or the bar's own price", source="lengths and prices of the brief",
            inputs=(given(brief, "steel.price_kg", "p"), given(brief, "steel.sheet_price_kg", "p_s")),
            steps=tuple(f"{o.count} x {o.what} {o.detail}: {o.mass:.1f} kg, {o.cost:.2f}" for o in shop.order),
        ),
    )  # fmt: skip
    if shop.bought:
        number = sum(b.count for b in shop.bought)
        yield Figure(
            id="steel.bought", label="Parts bought by the piece", value=float(number), unit="1", group="steel",
            note="bought by the piece; ask their prices",
            work=lambda: Working(
                formula="n = Σ n_i", inputs=(_out("i", "lines", float(len(shop.bought)), "1", "bought parts"),),
                steps=tuple(f"{b.mark}: {b.count} x {b.what}, {b.size}; {b.where}" for b in shop.bought),
                source="counts from the frame's feet, holes, panels and casters; lengths by ISO 888, heights of nuts by "
                       "ISO 4032 and 4035, inch sizes by ASME B18.2.1 and B18.2.2, from memory",
                note="bolt: washer, machine's foot, gap, steel, washer, nut and two turns of thread, the next length sold"
                if shop.seat is not None and shop.seat.bolts else "",
            ),
        )  # fmt: skip
    yield Figure(
        id="steel.mass", label="Steel to carry home", value=shop.order_mass, unit="kg", group="steel",
        work=lambda: Working(
            formula="m = Σ m_i", source="mass per metre of the catalogue, plates by their rectangle",
            inputs=(_out("i", "lines of the order", float(len(shop.order)), "1", "order"),),
            steps=tuple(f"{o.count} x {o.what}: {o.mass:.1f} kg" for o in shop.order),
        ),
    )  # fmt: skip
    by_kind = {
        kind: float(sum(m for m, k in zip(solids.masses, solids.layout.kinds, strict=True) if k == kind))
        for kind in dict.fromkeys(solids.layout.kinds)
    }
    yield Figure(
        id="mass.frame", label="Mass of the stand", value=solids.mass, unit="kg", group="mass",
        work=lambda: Working(
            formula="m = Σ V ρ", source="shapes of the frame, less their holes",
            inputs=(
                _out("V", "volume of all parts", float(solids.volumes.sum()) * 1e-3, "cm3", "shapes"),
                Input(symbol="ρ", label=f"density of {brief.steel.grade}", value=find_steel(brief.steel.grade).density,
                      unit="kg/m3", origin="table", source="catalogue of steels"),
            ),
            steps=tuple(f"{_MANY[kind]}: {mass:.2f} kg" for kind, mass in by_kind.items()),
        ),
    )  # fmt: skip
    total = answers.strength.total_mass
    more = total - solids.mass - brief.machine.mass
    yield Figure(
        id="mass.total", label="Stand and machine", value=total, unit="kg", group="mass",
        assumed=("machine.mass",) if "machine.mass" in brief.assumed else (),
        work=lambda: Working(
            formula="M = m + m_m + m_l",
            inputs=(
                Input(symbol="m", label="stand", value=solids.mass, unit="kg", origin="computed"),
                given(brief, "machine.mass", "m_m", "machine"),
                _out("m_l", "fitted, stored and bolted on", more, "kg", "loads of the brief"),
            ),
            steps=(f"{solids.mass:.1f} + {brief.machine.mass:.1f} + {more:.1f} = {total:.1f} kg",), source="sum of the masses",
        ),
    )  # fmt: skip
