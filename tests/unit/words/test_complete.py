"""A language that is there is complete: every text the program can make, and every text the samples really show."""

from __future__ import annotations

import re
from importlib import resources
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.figures.words import input_origin, input_value
from framecore.sheets import compose
from framecore.sheets.drawing.pens import strokes
from framecore.words import languages, listen, say, speaking
from framecore.words.language import language
from framecore.words.template import FILLED, GAP, words
from tests.words.harvest import templates

ROOT = Path(__file__).parents[3]
SAMPLES = sorted(p.stem for p in ROOT.joinpath("samples").glob("*.toml"))
TRANSLATED = [code for code in languages() if code != "en"]


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_text_of_the_source_is_there(code):
    missing = [text for text in templates() if text not in language(code).texts]
    assert not missing, f"python -m tests.words {code} prints them"


@pytest.mark.parametrize("code", TRANSLATED)
def test_a_translation_has_the_gaps_of_its_template(code):
    for text, translation in language(code).texts.items():
        assert not translation or sorted(GAP.findall(text)) == sorted(n for n, _ in FILLED.findall(translation)), text


@pytest.mark.parametrize("code", TRANSLATED)
def test_no_text_is_translated_in_two_ways_in_one_file(code):
    for file in resources.files("resources").joinpath("words", code).iterdir():
        heads = re.findall(r'^"((?:[^"\\]|\\.)*)" =', file.read_text("utf-8"), re.M)
        assert len(heads) == len(set(heads)), file.name


def shown(stand):
    """Say everything a sample shows: its sheets, its figures with their workings, its findings."""
    for sheet in compose(stand):
        for primitive in sheet.primitives:
            strokes(primitive)
    for finding in stand.findings:
        say(finding.message)
    for figure in stand.figures.values():
        work = figure.working
        for text in (figure.label, figure.note, work.formula, work.source, work.note, *work.steps):
            say(text)
        for item in work.inputs:
            for text in (item.label, input_value(item), input_origin(item)):
                say(text)


@pytest.mark.parametrize("code", TRANSLATED)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_text_that_a_sample_shows_is_said(name, code):
    heard: set[str] = set()
    with speaking(code), listen(heard.add):
        shown(evaluate(load_brief(ROOT / "samples" / f"{name}.toml")))
    # A single word is measured by itself where a column is made as wide as its longest.
    left = sorted(t for t in heard if len(words(t)) > 1 or len(t.split()) > 1)
    assert not left
