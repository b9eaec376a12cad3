"""A language that is there is complete: every text the program can make, and every text the samples really show."""

from __future__ import annotations

import re
from importlib import resources
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.brief import FIELDS
from framecore.brief.kinds import Choice
from framecore.brief.written import written
from framecore.figures.words import input_origin, input_value
from framecore.sheets import compose
from framecore.sheets.drawing.model import Text
from framecore.sheets.drawing.pens import strokes
from framecore.words import languages, listen, say, speaking
from framecore.words.language import language
from framecore.words.numbers import with_sign
from framecore.words.template import FILLED, GAP, words
from tests.words.harvest import asked_for, templates

ROOT = Path(__file__).parents[3]
SAMPLES = sorted(p.stem for p in ROOT.joinpath("samples").glob("*.toml"))
TRANSLATED = [code for code in languages() if code != "en"]


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_text_of_the_source_is_there(code):
    missing = [text for text in templates() if text not in language(code).texts]
    assert not missing, f"python -m tests.words {code} prints them"


@pytest.mark.parametrize("code", TRANSLATED)
def test_single_words_that_are_asked_for_are_there_too(code):
    # What a field or a list offers is shown as it is said too; names of threads, codes and papers are no words.
    offered = [o for f in FIELDS if isinstance(f.kind, Choice) for o in f.kind.options if re.fullmatch(r"[a-z][a-z -]+", o)]
    missing = [text for text in (*asked_for(), *offered) if text not in language(code).texts]
    assert not missing


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
    """Yield everything a sample shows, said: its sheets, its findings, its figures with their workings."""
    for sheet in compose(stand):
        for primitive in sheet.primitives:
            yield from (s.text for s in strokes(primitive) if isinstance(s, Text))
    for finding in stand.findings:
        yield say(finding.message)
    for figure in stand.figures.values():
        work = figure.working
        yield from map(say, (figure.label, figure.note, work.formula, work.source, work.note, *work.steps))
        for item in work.inputs:
            yield from map(say, (item.label, input_value(item), input_origin(item)))


# Words that no German sentence has, but for the titles of books.
ENGLISH = re.compile(r"\b(?:the|of|and|with|is|are|for|from|to|not|would|which|each|by|left|right|front|back|no)\b")
TITLES = re.compile(r"Roark|Theory|Welded Structures|Formulas|Mechanics|Steel Construction|Structures, aus|Manual")
# A class of bolts by itself, and a table's number that begins a line.
CALLED = re.compile(r"Festigkeitsklasse|^\W*\d\.\d\d? \(")


def rests(texts, names):
    """Return the texts that hold an English word or a decimal point."""
    found = set()
    for text in texts:
        bare = text
        for name in names:
            bare = bare.replace(name, "")
        english = ENGLISH.search(bare) and not TITLES.search(bare)
        if english or (with_sign(bare, ",") != bare and not CALLED.search(bare)):
            found.add(text)
    return sorted(found)


@pytest.mark.parametrize("code", TRANSLATED)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_text_that_a_sample_shows_is_said(name, code):
    heard: set[str] = set()
    stand = evaluate(load_brief(ROOT / "samples" / f"{name}.toml"))
    with speaking(code), listen(heard.add):
        texts = list(shown(stand))
    # A single word is measured by itself where a column is made as wide as its longest.
    left = sorted(t for t in heard if len(words(t)) > 1 or len(t.split()) > 1)
    assert not left
    assert not rests(texts, [t for t in written(stand.brief) if len(t) > 2])
