"""The list of bought parts on the sheet: every line is there, and it goes on over the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.sheets.drawing.model import Text
from framecore.sheets.lists.order_sheet import pages
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@pytest.mark.parametrize("name", ["saw-on-wheels", "bench-mill"])
@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_every_bought_line_stands_on_the_order(name, paper):
    stand = evaluate(load_brief(SAMPLES / f"{name}.toml"))
    texts = [t.text for page in pages(stand, paper) for t in page.primitives if isinstance(t, Text)]
    assert texts.count("Bought parts") == 1
    words = " ".join(texts)
    begin = texts.index("Bought parts")
    for line in stand.shop.bought:
        assert texts[begin:].count(line.mark) == 1
        for word in (*line.what.split(), *line.size.split()):
            assert word in words
