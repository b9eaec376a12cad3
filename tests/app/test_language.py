"""The window and the command line in another language."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QLocale

from app.cli.main import run
from app.language import begin_speaking
from framecore.words import current, speak


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


def test_the_command_line_asks_for_a_language(capsys, sample_file):
    assert run(["why", str(sample_file), "mass.frame", "--language", "de"]) == 0
    told = capsys.readouterr().out
    assert "Masse des Gestells" in told
    assert "Mass of the stand" not in told
    assert current() == "de"


def test_an_unknown_language_is_one_line(capsys, sample_file):
    assert run(["check", str(sample_file), "--language", "tlh"]) == 2
    assert capsys.readouterr().err == "standwright: there is no language “tlh”; there are en (English), de (Deutsch).\n"
