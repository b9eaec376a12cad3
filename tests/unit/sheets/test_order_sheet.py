"""The order, read back: every line once, both ways of buying, what is used up, what is carried home."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.sheets.drawing.model import Text
from framecore.sheets.lists.order_sheet import ASK, pages
from framecore.shop.buying import choices
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(**steel):
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    return evaluate(replace(brief, steel=replace(brief.steel, **steel)))


def texts(made, paper="A3"):
    return [p.text for page in pages(made, paper) for p in page.primitives if isinstance(p, Text)]


def test_every_line_has_its_cost_and_room_for_theirs():
    made = stand()
    said = texts(made)
    for line in made.shop.order:
        assert f"{line.cost:.2f}" + ("*" if line.price_assumed else "") in said
    assert f"{made.shop.cost:.2f}" in said and f"{made.shop.order_mass:.1f}" in said
    work = made.work()
    used = (work.filler.bought > 0) + (work.filler.gas_litres > 0) + len(work.finish.coats)
    assert said.count(ASK) == len(made.shop.order) + 1 + len(made.shop.bought) + used


def test_both_ways_are_compared_where_the_price_is_given():
    assert "Full bars or cut to length" not in texts(stand())
    made = stand(cut_price_kg=4.2)
    said = texts(made)
    for choice in choices(made.brief, made.shop):
        assert f"{choice.full:.2f}" in said and f"{choice.cut:.2f}" in said and f"{abs(choice.saves):.2f}" in said
    cheaper = [t for t in said if t in ("cut to length", "full bars")]
    assert cheaper == ["cut to length" if c.saves > 0 else "full bars" for c in choices(made.brief, made.shop)]


@pytest.mark.parametrize("carry", [0.0, 2500.0])
def test_what_is_carried_home_is_said(carry):
    said = " ".join(texts(stand(carry=carry)))
    assert ("Ask for these cuts" in said) == bool(carry)
    longest = stand(carry=carry).figures["steel.longest"].value if carry else 6000.0
    assert f"Longest {round(longest, 1):g};" in said
