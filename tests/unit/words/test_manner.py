"""German speaks to nobody: what is to be done is said without "Sie"."""

from __future__ import annotations

import re

from framecore.words.language import language

# "Sie" as a word for a thing begins a sentence only.
SPOKEN_TO = re.compile(r"(?<![.:!?] )(?<!^)\b(?:Sie|Ihnen|Ihre[mnrs]?|Ihr)\b")


def test_nobody_is_spoken_to():
    texts = language("de").texts
    assert not [t for t in texts.values() if SPOKEN_TO.search(t)]
