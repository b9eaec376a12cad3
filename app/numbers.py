"""Numbers in the fields: they have the decimal sign that the sentences beside them have, and either is read.

The brief's file always has a point, so that it reads the same everywhere. No sign for thousands is ever shown or
read: where a typed number could mean two things it is refused, and the sentence says how to write either.
"""

from __future__ import annotations

import re

from app.words import tr
from framecore.errors import UnitError
from framecore.figures import words
from framecore.figures.model import Figure
from framecore.units import format_length, raised
from framecore.words import decimal_sign

_RUN = re.compile(r"\d[\d.,]*\d|[.,]\d+")
_POINT = re.compile(r"(?<=\d)\.(?=\d)")
# One to three digits, not beginning with nothing, then three: both a number with thousands and one with decimals.
_EITHER = re.compile(r"([1-9]\d{0,2})[.,](\d{3})")


def shown(text: str) -> str:
    """Return a quantity in words with the decimal sign that is spoken; for quantities only, not for clauses or names."""
    return text if decimal_sign() == "." else _POINT.sub(",", text)


def plain(text: str) -> str:
    """Return typed text with a point before the decimals of each number in it.

    Raises
    ------
    UnitError
        A number in it could be meant in two ways; the sentence says how to write either.
    """
    own = decimal_sign()

    def one(found: re.Match[str]) -> str:
        run = found[0]
        signs = [c for c in run if c in ".,"]
        if len(signs) > 1:
            raise UnitError(
                tr("{run} has more than one point or comma; write it without a sign for thousands, for example {example}.",
                   run=run, example=f"1500{own}5")
            )  # fmt: skip
        either = _EITHER.fullmatch(run)
        if either and signs[0] != own:
            raise UnitError(
                tr("{run} can be meant in two ways; write {whole} or {part}.",
                   run=run, whole=either[1] + either[2], part=f"{either[1]}{own}{either[2]}")
            )  # fmt: skip
        return run.replace(",", ".")

    return _RUN.sub(one, text)


def parts(text: str) -> list[str]:
    """Split several numbers in one field: at each semicolon, else at each comma that cannot be a decimal one."""
    if ";" in text:
        return [p.strip() for p in text.split(";")]
    return [p.strip() for p in re.split(r",\s+" if decimal_sign() == "," else r",", text)]


def joined(texts: list[str]) -> str:
    """Join several numbers for one field, as ``parts`` takes them apart."""
    return ("; " if decimal_sign() == "," else ", ").join(texts)


def length(mm: float, units: str) -> str:
    """Return a length as the window shows it."""
    return shown(format_length(mm, units))


def quantity(value: float, unit: str, units: str) -> str:
    """Return a figure's value with its unit as the window shows it."""
    return raised(shown(words.quantity(value, unit, units)))


def limit_words(figure: Figure, units: str) -> str:
    """Return a figure's limit in words as the window shows it, "" without one."""
    return raised(shown(words.limit_words(figure, units)))
