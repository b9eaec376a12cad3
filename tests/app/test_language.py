"""The window and the command line in another language."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QLocale

from app.cli.main import COMMANDS, run
from app.language import begin_speaking
from app.numbers import shown
from framecore.words import current, decimal_sign, say, speak
from framecore.words.language import language
from framecore.words.numbers import with_sign


@pytest.fixture(autouse=True)
def english_again():
    before = QLocale()
    yield
    speak("en")
    QLocale.setDefault(before)


def test_the_chosen_language_goes_before_the_system(settings, qapp):
    settings.language = "de"
    assert begin_speaking(settings) == "de"
    assert QLocale().decimalPoint() == ","


def test_a_language_that_is_not_there_is_english(settings, qapp):
    settings.language = "xx"
    assert begin_speaking(settings) == "en"


def test_fields_and_sentences_have_the_same_decimal_sign(settings, qapp, monkeypatch):
    """Chosen words bring their sign; English that nobody chose is written with the system's."""
    monkeypatch.setattr(QLocale, "system", staticmethod(lambda: QLocale("fr_FR")))
    for chosen, asked, sign in (("", "", ","), ("en", "", "."), ("de", "", ","), ("de", "en", "."), ("", "de", ",")):
        settings.language = chosen
        begin_speaking(settings, asked)
        assert decimal_sign() == sign
        assert shown("12.5 mm") == str(say("12.5 mm")) == f"12{sign}5 mm"
    monkeypatch.setattr(QLocale, "system", staticmethod(lambda: QLocale("en_GB")))
    settings.language = "de"
    begin_speaking(settings)
    assert decimal_sign() == QLocale().decimalPoint() == ","


def test_english_with_a_comma_leaves_names_alone(settings, qapp):
    speak("en", ",")
    assert say("Legs of 2.5 mm in class 8.8, EN 1993-1-8 table 3.4") == "Legs of 2,5 mm in class 8.8, EN 1993-1-8 table 3.4"


def test_a_sentence_loses_the_points_that_its_translation_loses():
    """What stays with a point in English with commas is what stays so in German: tables, classes, equations."""
    for text, translation in language("de").texts.items():
        kept = re.findall(r"(?<![\w.,])\d+\.\d+(?![\w.])", with_sign(text, ","))
        if translation:
            assert all(number in translation for number in kept), text


@pytest.mark.parametrize("words", [["--help"], *([c, "--help"] for c in COMMANDS)])
def test_help_of_the_command_line_is_german(capsys, words):
    with pytest.raises(SystemExit):
        run([*words, "--language", "de"])
    told = capsys.readouterr().out
    assert told.startswith("Aufruf:") and "Angaben:" in told
    assert not re.search(r"\b(the|of|and|with|for|from|options|usage|positional|show|message)\b", told), told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check"], "es fehlt: DATEI"),
        (["check", "no-such.toml"], "no-such.toml konnte nicht geöffnet werden: gibt es nicht."),
        (["check", "{folder}"], "konnte nicht geöffnet werden: ist ein Ordner."),
        (["why", "{file}"], "es fehlt: KENNUNG"),
        (["why", "{file}", "mass.fram"], "einen Kennwert „mass.fram“ gibt es nicht. Am nächsten liegt mass.frame."),
        (["packet", "{file}", "-o", "{folder}"], "gibt es schon; --force ersetzt den Ordner."),
        (["search", "{file}", "--budget", "0"], "--budget ist 0; erlaubt: 1 bis 10000000, nächster Wert 1."),
        (["search", "{file}", "--budget", "x"], "--budget: 'x' ist keine ganze Zahl"),
        (["search", "{file}", "--aim", "foo"], "--aim ist 'foo'; erlaubt: cost,"),
        (["level", "{file}", "--reading"], "--reading: dahinter fehlt eine Angabe"),
        (["level", "{file}", "--bar", "25"], "--bar gehört zu einer Drehprobe"),
        (["level", "{file}", "--loose", "FX"], "den Fuß 'FX' gibt es nicht; erlaubt: FL, FR, BL, BR."),
        (["frobnicate", "x"], "eine Vorgabe auf einmal, oder ein Befehl"),
        (["--frobnicate"], "die Option --frobnicate gibt es nicht"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_one_german_line(capsys, sample_file, words, said):
    filled = [w.format(file=sample_file, folder=sample_file.parent) for w in words]
    assert run([*filled, "--language", "de"]) == 2
    told = capsys.readouterr()
    assert told.out == "" and len(told.err.splitlines()) == 1 and said in told.err
    assert not re.search(r"\b(the|of|and|with|allowed|is|there)\b", told.err.replace(str(sample_file.parent), "")), told.err


def test_a_broken_brief_is_told_in_german_with_its_line(capsys, sample_file):
    sample_file.write_text(sample_file.read_text(encoding="utf-8").replace("mass = ", "mass = 'x' # "), encoding="utf-8")
    assert run(["figures", str(sample_file), "--language", "de"]) == 2
    assert re.search(r"lathe\.toml:\d+ \[machine\.mass\]: Halt: machine\.mass ist keine Masse", capsys.readouterr().err)


def test_json_keeps_its_points_and_its_english(capsys, sample_file):
    assert run(["figures", str(sample_file), "--json"]) == 0
    english = capsys.readouterr().out
    assert run(["figures", str(sample_file), "--json", "--language", "de"]) == 0
    assert capsys.readouterr().out == english


def test_the_command_line_asks_for_a_language(capsys, sample_file):
    assert run(["why", str(sample_file), "mass.frame", "--language", "de"]) == 0
    told = capsys.readouterr().out
    assert "Masse des Gestells" in told
    assert "Mass of the stand" not in told
    assert current() == "de"


def test_an_unknown_language_is_one_line(capsys, sample_file):
    assert run(["check", str(sample_file), "--language", "tlh"]) == 2
    assert capsys.readouterr().err == "standwright: there is no language “tlh”; there are en (English), de (Deutsch).\n"
