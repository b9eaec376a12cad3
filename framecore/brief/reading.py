"""Typed values -> Brief: every refusal at once, with line, field, what is allowed and the nearest value."""

from __future__ import annotations

import dataclasses
import difflib
import os
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from framecore.brief import model
from framecore.brief._follow import following_holes
from framecore.brief._section import Refused, keys_of, read_section
from framecore.brief.document import MOST_BYTES, BriefSource, parse_source
from framecore.brief.model import Brief
from framecore.brief.variants import VARIANTS, variant_findings
from framecore.errors import BriefError, Finding, Refusal, Severity

FORMAT = 1
_variants: list[tuple[Any, str, Any]] = []  # variants, machine and units read last, and what was wrong with them
_variant_findings: list[Finding] = []
_SECTIONS: dict[str, type] = {
    "machine": model.Machine, "operator": model.Operator, "floor": model.Floor, "frame": model.FrameBrief,
    "braces": model.Braces, "extras": model.Extras, "casters": model.Casters,
    "top": model.Top, "mounting": model.Mounting, "feet": model.Feet, "steel": model.SteelBrief,
    "welding": model.Welding, "finish": model.Finish, "limits": model.Limits, "sheet": model.SheetBrief,
}  # fmt: skip
_PLAIN = ("title", "units")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What came of reading a brief: ``brief`` is None when a finding says stop."""

    source: BriefSource | None
    brief: Brief | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class _Read:
    """A section as read last: typed table, typical values and units it was read from, and what came of it."""

    asked: tuple[object, object, object]
    part: Any
    assumed: tuple[str, ...]


_NONE: Mapping[str, Any] = {}
_read: dict[str, _Read] = {}


@cache
def typical() -> dict[str, Any]:
    """Return the typical values by kind of machine: kind -> section -> key -> value."""
    text = resources.files("resources.brief").joinpath("typical.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def typical_for(kind: str, layout: str | None, units: str = "metric") -> dict[str, Any]:
    """Return the typical values for a kind of machine on a layout (the kind's own where None): section -> key -> value.

    In inches they are sizes as sold in inches.
    """
    own: dict[str, Any] = typical().get(kind, {})
    named = layout or own.get("frame", {}).get("layout", "")
    tables = [own, typical().get("layout", {}).get(named, {})]
    if units.startswith("inch"):
        inch = typical()["inch"]
        tables = [own, inch["any"], inch["kind"].get(kind, {}), tables[1], inch["layout"].get(named, {})]
    out: dict[str, Any] = {}
    for table in tables:
        out = _over(out, table)
    return out


def _over(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Lay one table over another; tables inside are laid over each other too."""
    out = {**under, **over}
    for key in under.keys() & over.keys():
        if isinstance(under[key], Mapping) and isinstance(over[key], Mapping):
            out[key] = _over(under[key], over[key])
    return out


@cache
def _keys(cls: type) -> frozenset[str]:
    return frozenset(f.name for f in dataclasses.fields(cls))


def read_brief(content: str | bytes) -> Reading:
    """Read any content; never raises. All findings come at once."""
    source, findings = parse_source(content)
    if source is None:
        return Reading(source=None, brief=None, findings=findings)
    return resolve(source)


def resolve(source: BriefSource) -> Reading:
    """Turn typed values into a Brief."""
    values = source.values
    found = [*_format(values), *_unknown(values)]
    units = values.get("units")
    system = units if isinstance(units, str) else "metric"
    given = values.get("machine")
    kind = given.get("kind", "lathe") if isinstance(given, Mapping) else "lathe"
    frame = values.get("frame")
    layout = frame.get("layout") if isinstance(frame, Mapping) else None
    usual = typical_for(
        kind if isinstance(kind, str) else "", layout if isinstance(layout, str) else None, system
    )
    parts: dict[str, Any] = {}
    assumed: list[str] = []
    for name, cls in _SECTIONS.items():
        typed = values.get(name, _NONE)
        asked = (typed, usual, system)
        before = _read.get(name)
        # An edit of one key leaves the other tables the same objects: a drag reads one section a picture.
        if before is not None and all(a is b for a, b in zip(asked, before.asked, strict=True)):
            parts[name] = before.part
            assumed += before.assumed
            continue
        if not isinstance(typed, Mapping):
            found.append(_finding("brief.type", name, f"{name} must be a table, not {typed!r:.40}.", "a table"))
            continue
        known = {k: v for k, v in typed.items() if k in _keys(cls)}
        left = tuple(_not_given(name, cls, known))
        assumed += left
        part, refused = read_section(cls, _over(usual.get(name, {}), known), system)
        if refused:
            found += _refusals(name, refused)
        else:
            if name == "machine" and "holes" in known:
                part = following_holes(part, read_section(cls, usual.get(name, {}), system)[0], known)
            parts[name] = part
            _read[name] = _Read(asked, part, left)
    found += _of_variants(values, kind if isinstance(kind, str) else "", system)
    for name in _PLAIN:
        kind_of = keys_of(Brief)[name].kind
        if kind_of is not None and name in values:
            try:
                parts[name] = kind_of.read(values[name], system)
            except Refusal as why:
                found += _refusals("", [(name, why)])
    lines = _lines(source.original) if found else {}
    findings = tuple(dataclasses.replace(f, line=_line_of(f.field, lines)) for f in found)
    stop = any(f.severity is Severity.STOP for f in findings)
    brief = None if stop else Brief(**parts, assumed=frozenset(assumed))
    return Reading(source=source, brief=brief, findings=findings)


def _not_given(prefix: str, cls: type, given: Mapping[str, Any]) -> Iterator[str]:
    """Dotted paths of the keys of a table that are left to typical values; inner tables key by key."""
    for key in sorted(_keys(cls)):
        if cls is model.FrameBrief and key == "sections":
            inner = given.get(key)
            yield from _not_given(f"{prefix}.{key}", model.Sections, inner if isinstance(inner, Mapping) else {})
        elif key not in given:
            yield f"{prefix}.{key}"


def _finding(code: str, field: str, message: str, allowed: str = "", nearest: str = "", look: bool = False) -> Finding:
    severity = Severity.LOOK if look else Severity.STOP
    return Finding(code=code, field=field, message=message, allowed=allowed, nearest=nearest, severity=severity)


def _refusals(section: str, refused: Iterable[Refused]) -> Iterator[Finding]:
    for key, why in refused:
        where = f"{section}.{key}" if section else key
        message = str(why)
        tail = "" if message.endswith((".", "?")) else "."
        yield _finding("brief.value", where, f"{where} {message}{tail}", why.allowed, why.nearest)


def _format(values: Mapping[str, Any]) -> Iterator[Finding]:
    number = values.get("format")
    if number is None:
        yield _finding("brief.format", "format", "format is missing; format = 1 is taken.", "1", "1", look=True)
    elif isinstance(number, bool) or not isinstance(number, int) or number < 1:
        yield _finding("brief.format", "format", f"format must be the whole number 1, not {number!r:.40}.", "1", "1")
    elif number > FORMAT:
        yield _finding(
            "brief.newer", "format",
            f"This brief has format {number}, made by a newer program; this one reads up to format {FORMAT}.", "1",
        )  # fmt: skip


def _unknown(values: Mapping[str, Any]) -> Iterator[Finding]:
    top = ("format", *_PLAIN, *_SECTIONS, VARIANTS)
    yield from _strangers(values, top, "")
    for name in _SECTIONS:
        inner = values.get(name)
        if isinstance(inner, Mapping):
            yield from _strange_keys(name, name, inner)


def _strange_keys(section: str, path: str, typed: Mapping[str, Any]) -> Iterator[Finding]:
    """Yield a finding for every key that a section has not; ``path`` is where it stands."""
    yield from _strangers(typed, sorted(_keys(_SECTIONS[section])), f"{path}.")
    sections = typed.get("sections") if section == "frame" else None
    if isinstance(sections, Mapping):
        yield from _strangers(sections, sorted(_keys(model.Sections)), f"{path}.sections.")


def _of_variants(values: Mapping[str, Any], kind: str, system: Any) -> tuple[Finding, ...]:
    """Return what is wrong with the variants; read again only when they are other ones."""
    typed = values.get(VARIANTS)
    if typed is None:
        return ()
    asked = (typed, kind, system)
    if not _variants or _variants[0][0] is not typed or _variants[0][1:] != asked[1:]:

        def check(section: str, path: str, own: Mapping[str, Any]) -> Iterator[Finding]:
            yield from (dataclasses.replace(f, severity=Severity.LOOK) for f in _strange_keys(section, path, own))
            layout = own.get("layout") if section == "frame" else None
            usual = typical_for(kind, layout if isinstance(layout, str) else None, system)
            known = {k: v for k, v in own.items() if k in _keys(_SECTIONS[section])}
            _, refused = read_section(_SECTIONS[section], _over(usual.get(section, {}), known), system)
            yield from (dataclasses.replace(f, severity=Severity.LOOK) for f in _refusals(path, refused))

        _variants[:] = [asked]
        _variant_findings[:] = variant_findings(values, check)
    return tuple(_variant_findings)


def _strangers(table: Mapping[str, Any], known: tuple[str, ...] | list[str], prefix: str) -> Iterator[Finding]:
    for key in table:
        if key not in known:
            near = difflib.get_close_matches(key[:80], known, 1, 0.5)
            hint = f'; did you mean "{near[0]}"?' if near else "; take it out or check the spelling."
            yield _finding(
                "brief.unknown", f"{prefix}{key[:80]}", f"{prefix}{key[:80]} is not a key of the brief{hint}",
                ", ".join(known), near[0] if near else "",
            )  # fmt: skip


def _lines(text: str) -> dict[str, int]:
    """Line of every table and key of the text, 1 based; enough for pointing, not a parser."""
    out: dict[str, int] = {}
    table = ""
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if line.startswith("["):
            table = line.strip("[]").split("]")[0].replace('"', "").strip()
            out.setdefault(table, number)
        elif "=" in line and not line.startswith("#"):
            key = line.split("=", 1)[0].strip().replace('"', "")
            out.setdefault(f"{table}.{key}" if table else key, number)
    return out


def _line_of(field: str, lines: dict[str, int]) -> int:
    """Line of a field, or of the nearest table around it; 0 when it stands nowhere."""
    parts = field.split(".")
    for n in range(len(parts), 0, -1):
        name = ".".join(parts[:n])
        # A table that has only tables inside stands nowhere by itself: the first of those is its line.
        line = lines.get(name) or min((at for key, at in lines.items() if key.startswith(f"{name}.")), default=0)
        if line:
            return line
    return 0


def load_source(path: str | os.PathLike[str]) -> BriefSource:
    """Return the brief file as typed.

    Raises
    ------
    BriefError
        The file cannot be opened or is no TOML; one sentence.
    """
    try:
        with open(path, "rb") as stream:
            content = stream.read(2 * MOST_BYTES)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise BriefError((_finding("brief.file", "", f"{path} could not be opened: {reason}."),)) from fault
    source, findings = parse_source(content)
    if source is None:
        raise BriefError(findings)
    return source


def load_brief(path: str | os.PathLike[str]) -> Brief:
    """Return the Brief of a file.

    Raises
    ------
    BriefError
        The brief gives no stand; it carries every finding.
    """
    reading = resolve(load_source(path))
    if reading.brief is None:
        raise BriefError(reading.findings)
    return reading.brief
