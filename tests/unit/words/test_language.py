"""A finished English text is recognised by the template it was made from; what is not known stays as it is."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from framecore.words import current, languages, listen, say, speak, speaking
from framecore.words.language import Language

ROOT = Path(__file__).parents[3]
GERMAN = Language(
    "de",
    "Deutsch",
    ",",
    {
        "{0} of {1} bars": "{0} von {1} Stäben",
        "Cut {0} at {1} mm": "Bei {1} mm {0} sägen",
        "the {0} is long": "{0} ist lang",
        "leg": "Bein",
        "lower ring": "unterer Ring",
        "Leave it.": "Lass es.",
        "{0} is heavy": "{0} wiegt viel",
        "{0} and {1}": "{0} und {1}",
        "kept": "",
        "class {0}": "class {0!}",
    },
)


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("3 of 12 bars", "3 von 12 Stäben"),
        ("Cut A1 at 12.5 mm", "Bei 12,5 mm A1 sägen"),
        ("the leg is long", "Bein ist lang"),
        ("Leg", "Bein"),
        ("  leg ", "  Bein "),
        ("lower ring and leg", "unterer Ring und Bein"),
        ("The leg is long", "Bein ist lang"),
        ("Leave it. 3 of 4 bars, leg", "Lass es. 3 von 4 Stäben, Bein"),
        ("12.5 mm", "12,5 mm"),
        ("ISO 6.2.1", "ISO 6.2.1"),
        ("1.5.2026", "1.5.2026"),
        ("class 8.8", "class 8.8"),
        ("ø12.5 and 1.5e-05 N", "ø12,5 und 1,5e-05 N"),
        ("41.8³", "41,8³"),
        ("leg FL, leg B2", "Bein FL, Bein B2"),
        ("kept", "kept"),
        ("", ""),
    ],
)
def test_a_text_is_said(english, german):
    assert GERMAN.say(english) == german


def test_a_template_whose_gaps_are_known_goes_before_a_heavier_one():
    made = Language(
        "de", "", ",", {"{0} of the frame": "{0} des Gestells", "mass of {0}": "Masse: {0}", "the frame": "das Gestell"}
    )
    assert made.say("mass of the frame") == "Masse: das Gestell"


def test_what_is_unknown_stays_and_is_heard():
    heard = []
    with listen(heard.append):
        assert GERMAN.say("Sophia's stand") == "Sophia's stand"
        assert GERMAN.say("Sophia's stand is heavy") == "Sophia's stand wiegt viel"
        assert GERMAN.say("3 of 12 bars") == "3 von 12 Stäben"
    assert heard == ["Sophia's stand", "Sophia's stand is heavy"]


def test_one_language_is_spoken_at_a_time():
    assert current() == "en"
    assert say("12.5 mm") == "12.5 mm"
    with speaking("de"):
        assert current() == "de"
        assert say("12.5 mm") == "12,5 mm"
    assert current() == "en"
    with pytest.raises(KeyError):
        speak("xx")


def test_languages_name_themselves():
    assert languages() == {"en": "English", "de": "Deutsch"}


def test_what_the_maker_wrote_is_kept():
    texts = {"{0}: {1}": "{0} – {1}", "leg": "Bein", "lower ring": "unterer Ring", "lathe": "Drehmaschine"}
    made = Language("de", "", ",", texts)
    assert made.say("lathe leg") == "Drehmaschine Bein"
    made.keep(["lathe leg", "A"])
    assert made.say("lathe leg") == "lathe leg"
    assert made.say("lathe leg: lower ring") == "lathe leg – unterer Ring"


def test_a_gap_may_be_empty():
    texts = {"saw{0} and mark.{1}": "sägen{0} und bezeichnen.{1}", "; with a stop": "; mit Anschlag"}
    made = Language("de", "", ",", texts)
    assert made.say("Saw and mark.") == "Sägen und bezeichnen."
    assert made.say("Saw; with a stop and mark.") == "Sägen; mit Anschlag und bezeichnen."


def test_of_templates_that_fit_alike_the_same_is_taken_in_every_run():
    """Whatever order a run keeps its sets in, so that a sheet is the same sheet every time."""
    program = (
        "from framecore.words.language import Language;"
        "texts = {'cut {0}': 'A {0}', '{0} off': '{0} B', 'set {0}': 'C {0}', 'off': 'off', 'cut': 'cut', 'set': 'set'};"
        "print([Language('de', '', ',', texts).say(t) for t in ('cut off', 'set off', 'cut set off')])"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", program], env={**os.environ, "PYTHONHASHSEED": str(seed)}, cwd=ROOT,
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in range(8)
    }  # fmt: skip
    assert len(runs) == 1, runs
