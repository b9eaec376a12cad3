"""Every figure shows how it came about: nothing is left to trust."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.brief.fields import BY_PATH
from framecore.figures.words import GROUP_TITLES, input_origin, limit_words

SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*.toml"))
ORIGINS = {"typed", "assumed", "table", "computed"}


@cache
def stand(path):
    return evaluate(load_brief(path))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_figure_has_formula_inputs_arithmetic_and_source(path):
    for figure in stand(path).figures.values():
        work = figure.working
        assert work.formula, figure.id
        assert work.inputs, figure.id
        assert work.steps and all(s.strip() for s in work.steps), figure.id
        assert len(work.source) > 3, figure.id
        assert figure.group in GROUP_TITLES, (figure.id, figure.group)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_input_says_where_it_came_from(path):
    brief = stand(path).brief
    for figure in stand(path).figures.values():
        for item in figure.working.inputs:
            assert item.origin in ORIGINS, (figure.id, item)
            assert item.symbol and item.label and item.unit, (figure.id, item)
            if item.key:
                assert item.key in BY_PATH, (figure.id, item)
                assert item.origin == ("assumed" if item.key in brief.assumed else "typed"), (figure.id, item)
            assert input_origin(item)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_a_figure_with_a_verdict_has_a_limit_and_the_other_way_round(path):
    for figure in stand(path).figures.values():
        judged = figure.limit is not None
        assert bool(figure.verdict) == judged, figure.id
        assert bool(limit_words(figure, "metric")) == judged, figure.id


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_ids_are_dotted_lower_case_and_only_contract_names_carry_a_part(path):
    for name in stand(path).figures:
        assert re.fullmatch(r"[a-z_0-9]+(\.[A-Za-z_0-9]+)+", name), name
