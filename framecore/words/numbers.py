"""The decimal sign in a sentence: one rule for every text, whatever the language of its words."""

from __future__ import annotations

import re

# No clause as 4.5.3.2, no part of a name as M12x1.75; the sign of a diameter or of a weld's size may stand before it.
_NUMBER = re.compile(r"(?:(?<![^\Wø])|(?<=\b[sz]))(?<![.,])(\d+)\.(\d+)(?!\.\d)(?=\b|[²³⁴]|e[+-]?\d)")
# What is called by its number: a table of a standard, a class of bolts, the equations of EN 1993-1-1.
_CALLED = re.compile(r"\b(?:[Tt]able|[Cc]lass|Tabelle|Klasse) $")
_EQUATIONS = {"(6.61)", "(6.62)"}


def with_sign(text: str, sign: str) -> str:
    """Return ``text``, made with points, with ``sign`` before the decimals of its numbers."""
    if sign == "." or "." not in text:
        return text

    def one(found: re.Match[str]) -> str:
        start, end = found.span()
        if _CALLED.search(text, max(0, start - 9), start) or text[start - 1 : end + 1] in _EQUATIONS:
            return found[0]
        return f"{found[1]}{sign}{found[2]}"

    return _NUMBER.sub(one, text)
