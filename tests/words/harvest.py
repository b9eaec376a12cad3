"""Finds the texts that the program may show, as the templates they are made from, by reading its source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from framecore.words.template import words

ROOT = Path(__file__).parents[2]
NAMED = re.compile(r"\{[a-z_]*(?:![rsa])?(?::[^{}]*)?\}")
# Calls whose texts are for the machine or for contributors.
QUIET = {
    "ValueError", "TypeError", "KeyError", "AssertionError", "RuntimeError", "AttributeError", "IndexError",
    "NotImplementedError",
    "compile", "sub", "split", "match", "fullmatch", "search", "finditer", "findall", "getattr", "setattr", "import_module",
    "setObjectName", "setProperty", "joinpath", "setStyleSheet", "TypeVar", "NewType", "cast", "encode",
    "fromString", "replace",
    "property", "findChild", "startswith", "endswith",
}  # fmt: skip
QUIET_FILES = {"app/window/style.py", "framecore/sheets/drawing/svg.py"}


def templates() -> dict[str, str]:
    """Return template to the room it is first found in, in the order of rooms and lines."""
    found: dict[str, str] = {}
    for path in sorted([*ROOT.glob("framecore/**/*.py"), *ROOT.glob("app/**/*.py")]):
        place = path.relative_to(ROOT)
        if place.as_posix() in QUIET_FILES or place.parts[:2] in {("framecore", "words"), ("app", "theme")}:
            continue
        room = "_".join(place.parts[:2]).removesuffix(".py")
        for text in _texts(ast.parse(path.read_text(encoding="utf-8"))):
            found.setdefault(text, room)
    return found


def asked_for() -> Iterator[str]:
    """Yield the plain texts that go straight to ``tr`` or ``say``: shown for sure, however short they are."""
    for path in sorted([*ROOT.glob("framecore/**/*.py"), *ROOT.glob("app/**/*.py")]):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and getattr(node.func, "id", "") in {"tr", "say"} and node.args):
                continue
            first = node.args[0]
            for part in (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,):
                text = _numbered(part.value).strip() if isinstance(part, ast.Constant) and isinstance(part.value, str) else ""
                if any(letter.isalpha() for letter in NAMED.sub("", text)):
                    yield text


def _texts(tree: ast.Module) -> Iterator[str]:
    quiet = {id(n) for n in _quiet(tree)}
    inside: set[int] = set()
    for node in ast.walk(tree):
        if id(node) in quiet or id(node) in inside:
            continue
        if isinstance(node, ast.JoinedStr):
            inside |= {id(v) for v in node.values if isinstance(v, ast.Constant)}
            text = _template(node)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        text = _numbered(text).strip()
        if _shown(text):
            yield text


def _quiet(tree: ast.Module) -> Iterator[ast.AST]:
    """Yield what is never shown: docstrings, arguments of quiet calls, keys, comparisons, subscripts."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            first = node.body[0] if node.body else None
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                yield first.value
        elif isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in QUIET:
                for argument in node.args:
                    yield from ast.walk(argument)
        elif isinstance(node, ast.Compare):
            yield from (c for c in [node.left, *node.comparators] if isinstance(c, ast.Constant))
        elif isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant):
            yield node.slice


def _template(node: ast.JoinedStr) -> str:
    parts = []
    for value in node.values:
        if isinstance(value, ast.Constant):
            parts.append(str(value.value).replace("{", "{{").replace("}", "}}"))
        else:
            parts.append("{}")
    return "".join(parts)


def _numbered(text: str) -> str:
    """Return ``text`` with its gaps numbered, whether they were named or not."""
    count = iter(range(100))
    names: dict[str, int] = {}

    def number(found: re.Match[str]) -> str:
        name = found.group().strip("{}").partition(":")[0]
        at = next(count) if not name else names.setdefault(name, next(count) if name not in names else 0)
        return f"{{{at}}}"

    return NAMED.sub(number, text)


def _shown(text: str) -> bool:
    fixed = re.sub(r"\{\d+\}", " \0 ", text)
    if not words(fixed) or re.search(r"://|\\|[{}<>]|__|\.py\b|^[#-]|=$", fixed):
        return False
    bare = text.replace("{", "").replace("}", "")
    if " " in bare:
        return True
    # One word alone: lower case is a key as a rule; those that are shown are found when they are (test_complete).
    return bare[:1].isupper() and bare.isalpha() and bare[1:].islower()
