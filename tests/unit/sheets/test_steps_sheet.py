"""The build steps, read back: each with its box, each caution with its sign on the same step."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.sheets.drawing.model import Line, Text
from framecore.sheets.drawing.signs import caution_sign
from framecore.sheets.lists.steps_sheet import BOX, INDENT, STAGES
from framecore.sheets.lists.work_sheet import pages
from framecore.sheets.words import cautions
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="bench-mill"):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


def parts(page):
    lines = [p for p in page.primitives if isinstance(p, Line) and p.closed]
    ticks = [p for p in lines if len(p.points) == 4 and p.points[1][0] - p.points[0][0] == pytest.approx(BOX)]
    signs = [p for p in lines if len(p.points) == 3]
    return ticks, signs


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_every_step_has_a_box_beside_its_number(paper):
    boxes = {}
    for n, page in enumerate(pages(stand(), paper)):
        for tick in parts(page)[0]:
            x, y = tick.points[0]
            beside = [
                p.text for p in page.primitives
                if isinstance(p, Text) and p.bold and y - 0.5 < p.at[1] < y + BOX and p.at[0] == pytest.approx(x + INDENT)
            ]  # fmt: skip
            assert len(beside) == 1
            boxes[beside[0].split()[0]] = n
    assert list(boxes) == [str(s.number) for s in stand().work().steps]


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_every_caution_has_its_sign_and_its_words(paper):
    steps = stand().work().steps
    signs = sum(len(parts(page)[1]) for page in pages(stand(), paper))
    assert signs == sum(bool(s.caution) for s in steps) + len(cautions(stand()))
    said = " ".join(p.text for page in pages(stand(), paper) for p in page.primitives if isinstance(p, Text))
    for s in steps:
        for text in (s.title, s.text, s.measure[:1].upper() + s.measure[1:], s.caution):
            assert set(text.split()) <= set(said.replace(";", "; ").split()) | {w for w in text.split() if w in said}


def test_the_sign_is_drawn_and_no_letter():
    assert not any(isinstance(p, Text) for p in caution_sign((0.0, 0.0), 4.0))


def test_stages_stand_over_their_steps_in_order():
    said = [p.text for page in pages(stand(), "A4") for p in page.primitives if isinstance(p, Text) and p.height == 3.5]
    stages = [s.stage for s in stand().work().steps]
    runs = [s for k, s in enumerate(stages) if k == 0 or stages[k - 1] != s]
    assert said == [*(STAGES[s] for s in runs), "Finish", "Lifting and carrying", "Notes and cautions"]
