"""The parser of the command line, which says its own words in the language that is spoken."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any, NoReturn

from app.words import tr


class UsageError(Exception):
    """Arguments nobody can follow; the message is the line to show."""


class _Formatter(argparse.HelpFormatter):
    def add_usage(self, usage: Any, actions: Any, groups: Any, prefix: str | None = None) -> None:
        super().add_usage(usage, actions, groups, tr("usage:") + " " if prefix is None else prefix)


class Parser(argparse.ArgumentParser):
    """Raises instead of printing its own mixture of usage and error, and says every help text where it is added."""

    def __init__(self, *, description: str = "", epilog: str = "", **how: Any) -> None:
        super().__init__(description=tr(description), epilog=tr(epilog), formatter_class=_Formatter, **how)

    def error(self, message: str) -> NoReturn:
        """Raise the one line there is to say."""
        raise UsageError(message)

    def add_argument(self, *names: Any, **how: Any) -> argparse.Action:
        """Add an argument; its help and the word for its value are said."""
        if how.get("help") not in (None, argparse.SUPPRESS):
            how["help"] = tr(how["help"])
        word = how.get("metavar")
        if word:
            how["metavar"] = tr(word) if isinstance(word, str) else tuple(map(tr, word))
        return super().add_argument(*names, **how)

    def add_argument_group(self, title: Any = None, *more: Any, **how: Any) -> Any:
        """Add a group under a title that is said."""
        return super().add_argument_group(tr(title) if title else title, *more, **how)

    def add_commands(self) -> Callable[..., Parser]:
        """Return what adds a command: its name, parents, line of help and epilog."""
        commands = self.add_subparsers(dest="command", metavar=tr("COMMAND"), parser_class=Parser)

        def add(name: str, parents: list[argparse.ArgumentParser], line: str, epilog: str = "") -> Parser:
            return commands.add_parser(name, parents=parents, help=tr(line), epilog=epilog)

        return add
