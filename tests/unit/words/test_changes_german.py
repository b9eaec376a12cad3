"""What a search changes, and single changes, in German: every sample's, whole."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search import space_of
from framecore.search.changes import matters, single_changes
from framecore.search.space import usual_keys
from framecore.search.words import change_words
from framecore.words import listen, say, speaking
from framecore.words.language import language

SAMPLES = sorted(Path(__file__).parents[3].joinpath("samples").glob("*.toml"))
KEYS = ("frame.layout", "frame.length", "frame.corners", "frame.shelf", "frame.shelf_thickness", "braces.gusset")
SAID = {
    "Legs, top rails, lower rails and bearers: SHS 40x40x4 instead of SHS 40x40x3":
        "Beine, obere Riegel, untere Riegel und Auflageträger: SHS 40x40x4 statt SHS 40x40x3",
    "Ring corners: butted instead of mitred": "Rahmenecken: stumpf statt auf Gehrung",
    "Left brace: diagonal instead of none": "Strebe links: Diagonale statt keine",
    "Braces of both ends: crossed instead of none": "Streben beider Enden: gekreuzt statt keine",
    "Legs closer in length, 1140.0 mm": "Beine enger in der Länge, 1140,0 mm",
}  # fmt: skip


@cache
def texts(path: Path) -> tuple[str, ...]:
    """Sentences of all single changes, and of every option of a search."""
    brief = load_brief(path)
    frame = build_frame(brief, working_height(brief).height)
    out = [c.words for c in single_changes(brief, frame)]
    for key in (*usual_keys(brief, frame), *(k for k in KEYS if matters(brief, frame, k))):
        (choice,) = space_of(brief, frame, {key: None}).choices
        now = choice.options[choice.present]
        out += [change_words(brief, key, now, o) for o in choice.options if o != now]
    return tuple(out)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_change_is_known(path):
    unknown: list[str] = []
    with speaking("de"), listen(unknown.append):
        said = [str(say(t)) for t in texts(path)]
    assert not unknown
    assert not [s for s in said if any(f" {word} " in f" {s} " for word in ("in the", "instead", "of", "none", "brace"))]


@pytest.mark.parametrize("text", SAID)
def test_how_a_change_is_said(text):
    assert language("de").say(text) == SAID[text]


def test_no_option_of_an_inch_brief_is_told_from_the_present_one_by_nothing():
    """Gauges beside one another are the same fraction of an inch."""
    path = next(p for p in SAMPLES if load_brief(p).units != "metric")
    for text in texts(path):
        before, _, after = text.rpartition(" instead of ")
        assert not before.endswith(f" {after}"), text
        assert "~" not in text, text
