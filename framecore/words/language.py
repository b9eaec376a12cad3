"""A language: its translations, and how a finished English text is said in it."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from importlib.resources import files
from typing import Any

from framecore.words.numbers import with_sign
from framecore.words.template import GAP, Template, words

ENGLISH = "en"
_JOINT = re.compile(r"(?<=[,;:.!?)]) +| (?=[(–·])|(?<=[–·]) +|\n+|  +")
_MARKED = re.compile(r"([(“–·]* ?)(.*?)([,;:.!?)”]*)", re.DOTALL)
_PART = re.compile(r"([A-Za-z][a-z -]*[a-z])((?: [A-Z]{1,2}\d*| \d+(?: %)?)?(?: \([^()]{1,12}\))?)")
_BETWEEN = re.compile(r"(, | to | and )")
_SIDES = (" left", " right", " front", " back")
_PRIVATE = 0xE000  # characters of no meaning that stand for what the maker wrote
_DEEP = 40  # joints of a text that is still taken apart
_TOKENS = re.compile(r"[^\W\d_]+|[^\W_]*\d[\w.]*|\s+|[^\w\s]|_")
_LONGEST = 9  # tokens of a name, spaces counted
_SHORT, _SHARE = 60, 0.15
_LOOSE = 12


class Language:
    """The translations of one language.

    ``code`` as "de"; ``name`` in the language itself; ``decimal`` mark of its numbers; ``texts`` English template to
    translation, with gaps {0}, {1}, ...; an empty translation leaves the English, but for its numbers.
    """

    def __init__(self, code: str, name: str, decimal: str, texts: dict[str, str]) -> None:
        self.code, self.name, self.decimal, self.texts = code, name, decimal, texts
        full = {k: v or self.number(k) for k, v in texts.items()}
        known = {_bare(k): _bare(v) for k, v in full.items() if _bare(k)} | full
        self._whole = {k: v for k, v in known.items() if not GAP.search(k)}
        self._by_word: dict[str, list[Template]] = defaultdict(list)
        for text, translation in known.items():
            if GAP.search(text):
                made = Template(text, translation)
                self._by_word[made.keyword].append(made)
        self.names: tuple[str, ...] = ()
        self._found = lru_cache(maxsize=30_000)(self._find)
        self._alone = lru_cache(maxsize=30_000)(self._find_alone)

    def say(self, text: str) -> str:
        """Return ``text`` in this language; what has no translation stays as it is."""
        held = text
        for n, name in enumerate(self.names):
            held = held.replace(name, chr(_PRIVATE + n))
        said, known = self._found(held) if self.texts else (self.number(held), True)
        if not known and _heard:
            _heard(text)
        if held != text:
            for n, name in enumerate(self.names):
                said = said.replace(chr(_PRIVATE + n), name)
        return said

    def keep(self, names: Iterable[str]) -> None:
        """Leave ``names`` as they are from now on: what a maker has written is not the program's to say."""
        # The longest first, as one may be part of another; what is shorter than a word is not looked for.
        self.names = tuple(sorted({n for n in names if len(n) > 2}, key=lambda n: (-len(n), n)))

    def number(self, text: str) -> str:
        """Return ``text`` with the decimal mark of this language in its numbers."""
        return with_sign(text, self.decimal)

    def _find(self, text: str) -> tuple[str, bool]:
        """Return what is said for ``text``, and whether every word of it was known."""
        core = text.strip()
        if not core:
            return text, True
        said, known = self._say_core(core)
        start = text.index(core)
        return text[:start] + said + text[start + len(core) :], known

    def _say_core(self, core: str) -> tuple[str, bool]:
        exact = self._exact(core)
        if exact is not None:
            return exact, True
        listed = self._listed(core)
        if listed is not None:
            return listed, True
        best: tuple[str, bool] | None = None
        for form, back in ((core, _same), (_lower(core), _upper)):
            filled = self._fill(form)
            if filled and filled[1]:
                return back(filled[0]), True
            best = best or (filled and (back(filled[0]), False))
        pieced = self._joined(core) or self._pieced(core)
        return pieced or best or (self._in_part(core), False)

    def _exact(self, text: str) -> str | None:
        """Return what is said for a text without gaps, whatever its first letter's case, or for one without words."""
        if text in self._whole:
            return self._whole[text]
        said = self._whole.get(_lower(text))
        if said is not None:
            return _upper(said)
        return None if words(text) else self.number(text)

    def _fill(self, text: str) -> tuple[str, bool] | None:
        """Return the heaviest template that fits, one whose gaps are all known before one whose gaps are not."""
        # In a long text a template of a few letters fits by chance alone.
        least = 0.0 if len(text) < _SHORT else _SHARE * len(text)
        near = [t for word in {*words(text), ""} for t in self._by_word.get(word, ()) if t.weight >= least]
        first: tuple[str, bool] | None = None
        for template in sorted(near, key=lambda t: (-t.weight, len(t.gaps), t.text)):
            found = template.pattern.fullmatch(text)
            if not found:
                continue
            loose = template.weight < _LOOSE  # it would take any text for a name
            said = [
                (g, not (loose and words(g))) if i in template.kept else self._found(g) for i, g in enumerate(found.groups())
            ]
            filled = template.filled([s for s, _ in said]), all(k for _, k in said)
            if filled[1]:
                return filled
            first = first or filled
        return first

    def _listed(self, core: str) -> str | None:
        """Return what is said for names in a row, as "leg FL, leg FR", "rail left to rail right", "frame left (12 kg), ..."."""
        parts = _BETWEEN.split(core)
        if len(parts) < 3:
            return None
        out = []
        for part in parts[::2]:
            found = _PART.fullmatch(part)
            known_word = found and (found[1] in self._whole or _lower(found[1]) in self._whole)
            sure = found and (known_word or found[2] or found[1].endswith(_SIDES))
            said, known = self._alone(found[1]) if found and sure else ("", False)
            if not found or not known:
                return None
            out.append(said + self.number(found[2]))
        betweens: list[str] = []
        for part in parts[1::2]:
            word = self._whole.get(part.strip())
            if part != ", " and word is None:
                return None
            betweens.append(part if part == ", " else f" {word} ")
        return "".join(x for pair in zip(out, [*betweens, ""], strict=True) for x in pair)

    def _joined(self, core: str) -> tuple[str, bool] | None:
        """Return what is said for texts that follow each other, where all of them are known."""
        cuts = [(0, 0), *(c.span() for c in _JOINT.finditer(core))]
        if not 1 < len(cuts) <= _DEEP:
            return None
        ends = [*(start for start, _ in cuts[1:]), len(core)]
        rests: list[str | None] = [None] * len(cuts) + [""]  # said from each cut to the end
        for i in reversed(range(len(cuts))):
            for j in reversed(range(i, len(cuts))):
                rest = rests[j + 1]
                if rest is None or (i == 0 and j == len(cuts) - 1):
                    continue
                said, known = self._alone(core[cuts[i][1] : ends[j]])
                if known:
                    between = core[slice(*cuts[j + 1])] if j + 1 < len(cuts) else ""
                    rests[i] = said + between + rest
                    break
        return None if rests[0] is None else (rests[0], True)

    def _in_part(self, core: str) -> str:
        """Return ``core`` with those of its sentences said that are known."""
        out, at = [], 0
        for cut in [*_JOINT.finditer(core), None]:
            end = cut.start() if cut else len(core)
            said, known = self._alone(core[at:end]) if end - at < len(core) else ("", False)
            out.append(said if known else self.number(core[at:end]))
            if cut:
                out.append(cut.group())
                at = cut.end()
        return "".join(out)

    def _pieced(self, core: str) -> tuple[str, bool] | None:
        """Return what is said for names and numbers in a row, as "1 x SHS 40x40x3 square tube", where every name is known."""
        tokens = _TOKENS.findall(core)
        out: list[str] = []
        at = 0
        while at < len(tokens):
            for end in range(min(len(tokens), at + _LONGEST), at, -1):
                phrase = "".join(tokens[at:end])
                said = self._exact(phrase)
                if said is not None:
                    out.append(said)
                    at = end
                    break
            else:
                return None
        return "".join(out), True

    def _find_alone(self, text: str) -> tuple[str, bool]:
        """As :meth:`_find`, without taking ``text`` apart."""
        exact = self._exact(text)
        if exact is not None:
            return exact, True
        filled = self._fill(text)
        if filled and filled[1]:
            return filled
        # A sentence may be known without the mark that stands about it here.
        mark = _MARKED.fullmatch(text)
        if mark and mark.group(2) != text:
            inner, known = self._alone(mark.group(2))
            if known:
                return mark.group(1) + inner + mark.group(3), True
        return filled if filled else (text, False)


def _bare(text: str) -> str:
    """Return ``text`` without the marks and blanks that tie it to what stands before and after it."""
    return text.strip(" ,;:.")


def _same(text: str) -> str:
    return text


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


_heard: Callable[[str], None] | None = None
_language: Language | None = None


class Said(str):
    """A text that was said already; it and what is put before or behind it is not said again."""

    __slots__ = ()

    def __add__(self, other: str) -> Said:
        return Said(str.__add__(self, other))

    def __radd__(self, other: str) -> Said:
        return Said(str.__add__(other, self))


def say(text: str) -> str:
    """Return ``text``, made in English, in the language that is spoken now."""
    return text if _language is None or type(text) is Said else Said(_language.say(text))


def keep_names(*texts: str) -> None:
    """Leave these texts, which the maker has written, as they are: titles and names of the brief that is shown."""
    if _language is not None:
        _language.keep(t.strip() for t in texts)


def current() -> str:
    """Return the code of the language that is spoken now."""
    return ENGLISH if _language is None else _language.code


def decimal_sign() -> str:
    """Return the sign before the decimals of every number that is shown now: "." or ","."""
    return "." if _language is None else _language.decimal


def as_made() -> bool:
    """Whether every text is shown as it was made: in English, with points."""
    return _language is None


def speak(code: str, decimal: str = ".") -> None:
    """Speak ``code`` from now on, in the whole program.

    Words and numbers go together: a translation brings its own decimal sign, and only English takes ``decimal``, for a
    maker whose system writes another sign and has no words of its own here.

    Raises
    ------
    KeyError
        When there is no such language.
    """
    global _language
    if code != ENGLISH:
        _language = language(code)
    else:
        _language = None if decimal == "." else Language(ENGLISH, "English", decimal, {})


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """Speak ``code`` for a while."""
    global _language
    before = _language
    speak(code)
    try:
        yield
    finally:
        _language = before


@contextmanager
def listen(heard: Callable[[str], None]) -> Iterator[None]:
    """Call ``heard`` with each text that has no translation, for a while."""
    global _heard
    before, _heard = _heard, heard
    try:
        yield
    finally:
        _heard = before


def languages() -> dict[str, str]:
    """Return code and own name of each language, English first."""
    found = {ENGLISH: "English"}
    for folder in sorted(files("resources").joinpath("words").iterdir(), key=lambda f: f.name):
        if folder.is_dir() and folder.joinpath("about.toml").is_file():
            found[folder.name] = str(_table(folder.joinpath("about.toml"))["name"])
    return found


@lru_cache(maxsize=4)
def language(code: str) -> Language:
    """Return the language ``code`` with all its translations; KeyError when there is none."""
    if code not in languages():
        raise KeyError(code)
    folder = files("resources").joinpath("words", code)
    about = _table(folder.joinpath("about.toml"))
    texts: dict[str, str] = {}
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml") and file.name != "about.toml":
            texts.update(_table(file))
    return Language(code, str(about["name"]), str(about["decimal"]), texts)


def _table(file: Any) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))
