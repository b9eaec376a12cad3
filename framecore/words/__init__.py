"""Languages: every text is written in English where it is made, and said in another language where it is shown.

A sentence with numbers in it is recognised by the template it was made from, so that no maker of sentences knows of
languages. `resources/words/<language>/*.toml` holds template and translation side by side.
"""

from __future__ import annotations

from framecore.words.language import (
    ENGLISH,
    Language,
    Said,
    as_made,
    current,
    decimal_sign,
    keep_names,
    languages,
    listen,
    say,
    speak,
    speaking,
)

__all__ = [
    "ENGLISH", "Language", "Said", "as_made", "current", "decimal_sign", "keep_names", "languages", "listen", "say", "speak",
    "speaking",
]  # fmt: skip
