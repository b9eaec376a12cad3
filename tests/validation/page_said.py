"""The page of outside checks in another language: the same lines, said; sources keep their titles."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

from framecore.words import Language, listen
from framecore.words.language import language

HERE = Path(__file__).parent
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


@cache
def spoken(code: str) -> Language:
    """Return the language ``code`` as the program has it, with what only this page says."""
    own = language(code)
    texts = tomllib.loads((HERE / f"page_{code}.toml").read_text("utf-8"))
    return Language(code, own.name, own.decimal, own.texts | texts)


def page_said(page: str, code: str) -> str:
    """Return the English ``page`` in the language ``code``; what it cannot say is heard by ``listen``."""
    return "\n".join(_line(line, spoken(code)) for line in page.split("\n"))


def _line(line: str, own: Language) -> str:
    if line.startswith("|--") or not line:
        return line
    if line.startswith("#"):
        marks, _, head = line.partition(" ")
        return f"{marks} {own.say(head)}"
    if not line.startswith("| "):
        return own.say(line)
    cells = line.removeprefix("| ").removesuffix(" |").split(" | ")
    if cells[0] == "quantity":
        return f"| {' | '.join(map(own.say, cells))} |"
    name, *numbers, source = cells
    numbers = [_POINT.sub(own.decimal, n).replace("of it", own.say("0 of it").removeprefix("0 ")) for n in numbers]
    title, *notes = source.split("; ")
    source = "; ".join([_title(title, own), *map(own.say, notes)])
    return f"| {' | '.join([own.say(name), *numbers, source])} |"


def _title(text: str, own: Language) -> str:
    """Return a source's title as it is, but for what is told of it."""
    if text == "as above":
        return own.say(text)
    title, comma, told = text.rpartition(", ")
    return f"{title}{comma}{own.say(told)}" if told == "from memory" else text


def unsaid(page: str, code: str) -> list[str]:
    """Return what of the English ``page`` has no translation."""
    heard: list[str] = []
    with listen(heard.append):
        page_said(page, code)
    return sorted(set(heard))
