"""Figures of buying: cut to length against full bars, and the longest thing to carry home."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures._judge import given
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.shop.buying import ROUND, advice, choices, long_bars, longest


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the cost of bars cut to length where its price is given, and the longest part where a car sets a limit."""
    yield from _cut_to_length(answers)
    yield from _longest(answers)


def _cut_to_length(answers: Answers) -> Iterator[Figure]:
    brief, shop = answers.brief, answers.shop
    found = choices(brief, shop)
    if not found:
        return
    total = sum(c.cut for c in found)
    assumed = tuple(k for k in ("steel.cut_fee", "steel.price_kg") if k in brief.assumed)
    yield Figure(
        id="steel.cut_to_length", label="Bars cut to length instead", value=total, unit=shop.currency, group="steel",
        assumed=assumed, note=advice(found, shop.currency),
        work=lambda: Working(
            formula=f"C = Σ m p_c + n f, each piece with its saw cut up to the next {ROUND:g} mm",
            inputs=(given(brief, "steel.cut_price_kg", "p_c"), given(brief, "steel.cut_fee", "f"),
                    given(brief, "steel.kerf", "k")),
            steps=(
                *(
                    f"{c.profile}: {c.length:.0f} mm, {c.mass:.2f} kg x {brief.steel.cut_price_kg:g} + {c.pieces} x "
                    f"{brief.steel.cut_fee:g} = {c.cut:.2f}, in full bars {c.full:.2f}"
                    for c in found
                ),
                f"C = {total:.2f}",
            ),
            source="lengths of the cut plan, rack pieces left out; prices of the brief; rounding common practice",
        ),
    )  # fmt: skip


def _longest(answers: Answers) -> Iterator[Figure]:
    brief, shop = answers.brief, answers.shop
    carry = brief.steel.carry
    if carry <= 0.0 or not shop.plans:
        return
    value = longest(brief, shop)
    cut = [(name, n, p) for name, plan in shop.plans for n, p in long_bars(brief, plan)]

    def work() -> Working:
        steps = []
        for name, n, p in cut:
            if p is None:
                steps.append(f"{name}, bar {n}: a piece of it is longer than {carry:.0f} mm")
            else:
                where = ", ".join(f"{c:.0f}" for c in p.cuts)
                steps.append(f"{name}, bar {n}: cut at {where} mm, parts {', '.join(f'{q:.0f}' for q in p.parts)} mm")
        return Working(
            formula="l = max over the bars, cut at the merchant between pieces: fewest cuts",
            inputs=(given(brief, "steel.carry", "c"),
                    Input(symbol="n", label="bars too long", value=float(len(cut)), unit="1", origin="computed")),
            steps=(*steps, f"l = {value:.0f} mm"), source="cut plan; exact search over the places between pieces",
        )  # fmt: skip

    yield Figure(
        id="steel.longest", label="Longest part to carry home", value=value, unit="mm", group="steel", limit=carry,
        limit_kind="max", verdict=Verdict.GOOD if value <= carry + 1e-6 else Verdict.LOOK, work=work,
        note="" if value <= carry + 1e-6 else "a piece alone is longer than what you can carry: have it brought",
    )  # fmt: skip
