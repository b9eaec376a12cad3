"""Help that teaches the trade: what a figure or a setting means, read from the pages the program ships."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from importlib import resources

from app.words import tr
from framecore.words import current

_WIDTH = 64  # letters in a line of a tip


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """What something ``means``, what is ``good``, and where that comes ``from``; the last two may be empty."""

    means: str
    good: str = ""
    source: str = ""


def help_text(name: str) -> str:
    """Return a page of the help in the language that is spoken, in English where it is not translated."""
    folder = resources.files("resources.help")
    own = folder.joinpath(current(), name)
    return (own if own.is_file() else folder.joinpath(name)).read_text("utf-8")


@cache
def _page(name: str, _language: str) -> Mapping[str, Help]:
    """Sections of a page by their heading, which is an id or a pattern of ids."""
    text = help_text(name)
    found = {}
    for section in text.split("\n## ")[1:]:
        head, _, body = section.partition("\n")
        means, _, source = " ".join(body.split()).partition(" From: ")
        means, _, good = means.partition(" Good: ")
        found[head.strip()] = Help(means=means, good=good, source=source)
    return found


@cache
def _patterns(name: str, language: str) -> tuple[str, ...]:
    return tuple(head for head in _page(name, language) if "*" in head)


def _of(name: str, wanted: str) -> Help | None:
    page = _page(name, current())
    if wanted in page:
        return page[wanted]
    fits = [head for head in _patterns(name, current()) if fnmatchcase(wanted, head)]
    return page[max(fits, key=len)] if fits else None


def figure_help(figure: str) -> Help | None:
    """Return the help of a figure by its id."""
    return _of("figures.md", figure)


def key_help(path: str) -> Help | None:
    """Return the help of a setting by its dotted path."""
    return _of("inputs.md", path)


def key_tip(path: str, short: str) -> str:
    """Return what a setting says under the mouse: its short line, then what the trade knows of it."""
    told = key_help(path)
    return "\n".join(_lines(t) for t in (tr(short), told.means if told else "") if t)


def figure_tip(figure: str) -> str:
    """Return what a figure says of itself under the mouse, "" where there is nothing to say."""
    told = figure_help(figure)
    return _lines(told.means) if told else ""


def _lines(text: str) -> str:
    """A tip is one long line else."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > _WIDTH:
            lines.append(word)
        else:
            lines[-1] += f" {word}" if lines[-1] else word
    return "\n".join(lines)
