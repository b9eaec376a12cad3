"""Templates of sentences: fixed words with numbered gaps, as ``"{0} of {1} bars"``.

In a translation ``{0!}`` is a gap whose text stays as it was made: a key or a value as it is typed into a brief.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

GAP = re.compile(r"\{(\d+)\}")
FILLED = re.compile(r"\{(\d+)(!?)\}")
# Units and what stands in formulas.
UNITS = frozenset(
    [
        "sin",
        "cos",
        "tan",
        "atan",
        "max",
        "min",
        "ksi",
        "psi",
        "mil",
        "mm",
        "kg",
        "kN",
        "kNm",
        "kW",
        "kWh",
        "Nm",
        "MPa",
        "GPa",
        "Hz",
        "rad",
        "lb",
        "lbf",
        "ft",
        "in",
        "min",
        "ml",
        "deg",
        "µm",
        "µrad",
        "mN",
        "mrad",
    ]
)
SHORT = frozenset(["of", "to", "by", "at", "or", "no", "is", "as", "it", "on", "if", "up", "be", "we", "so", "an", "do", "go"])
_TOKEN = re.compile(r"(?<![\w.])\w+(?!\w|\.\w)")  # no part of a key as feet.rating


@dataclass(frozen=True, eq=False)
class Template:
    """``text`` with gaps {0}, {1}, ... and its ``translation``, in which they may stand in another order."""

    text: str
    translation: str

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """What sentences made from the template look like; a gap takes as little as it can."""
        parts = GAP.split(self.text)
        body = "".join("(.*?)" if n % 2 else re.escape(p) for n, p in enumerate(parts))
        return re.compile(body, re.DOTALL)

    @cached_property
    def gaps(self) -> tuple[int, ...]:
        """The gaps' numbers, in the order of ``text``."""
        return tuple(int(n) for n in GAP.findall(self.text))

    @cached_property
    def weight(self) -> int:
        """Fixed characters: of two templates that fit, the heavier says more of the sentence."""
        return len(GAP.sub("", self.text))

    @cached_property
    def keyword(self) -> str:
        """The longest fixed word, by which the template is looked up; empty where there is none."""
        return max(words(GAP.sub(" \0 ", self.text)), key=len, default="")

    @cached_property
    def kept(self) -> frozenset[int]:
        """The gaps, counted in the order of ``text``, whose text stays as it was made."""
        numbers = {int(n) for n, mark in FILLED.findall(self.translation) if mark}
        return frozenset(i for i, n in enumerate(self.gaps) if n in numbers)

    def filled(self, said: list[str]) -> str:
        """Return the translation with ``said`` in the gaps, given in the order of ``text``."""
        by_number = {n: said[i] for i, n in enumerate(self.gaps)}
        return FILLED.sub(lambda m: by_number[int(m.group(1))], self.translation)


def words(text: str) -> list[str]:
    """Return what reads as a word: letters alone, not all capitals (as ISO, TIG), no unit, no symbol of two letters."""
    return [
        w
        for w in _TOKEN.findall(text)
        if w.isalpha() and (len(w) > 2 or w.lower() in SHORT) and not w.isupper() and w not in UNITS
    ]
