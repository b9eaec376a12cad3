"""Variants: other stands for the same machine, kept under a name in the same brief.

A variant has the stand's own tables (``STAND``) whole, as a brief would have them: what it leaves out is typical. Machine,
operator, floor, steel and the rest are the brief's and hold for all variants alike. ::

    [variants."lower shelf".frame]
    layout = "four-post"
    lower_ring = 150
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from framecore.brief.document import BriefSource
from framecore.errors import Finding, Severity

VARIANTS = "variants"
STAND = ("frame", "braces", "extras", "casters", "top", "mounting", "feet")
LONGEST, MOST = 60, 50
Check = Callable[[str, str, Mapping[str, Any]], Iterator[Finding]]  # section, its path, what is typed there


def variant_names(source: BriefSource) -> tuple[str, ...]:
    """Return the names of the variants that can be read, in the order of the file."""
    return tuple(n for n, v in _table(source.values).items() if not _fault(n, v))


def _table(values: Mapping[str, Any]) -> Mapping[str, Any]:
    found = values.get(VARIANTS)
    return found if isinstance(found, Mapping) else {}


def _stand(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the stand's own tables of a brief or of a variant."""
    return {s: values[s] for s in STAND if isinstance(values.get(s), Mapping)}


def name_fault(name: str) -> str:
    """Say what is wrong with a name, "" for nothing."""
    if not name.strip() or name != name.strip() or len(name) > LONGEST:
        return f"A variant's name has 1 to {LONGEST} letters and no blanks around it."
    if "." in name or not name.isprintable() or '"' in name:
        return "A variant's name has no point, quotation mark or line break in it."
    return ""


def _fault(name: str, value: Any) -> str:
    said = name_fault(name)
    return said or ("" if isinstance(value, Mapping) else f"a variant is a table, not {value!r:.40}.")


def taken(source: BriefSource, name: str) -> dict[str, Any]:
    """Return the edits that make the present stand the variant: dotted key -> value as typed, None takes it out.

    Raises
    ------
    KeyError
        There is no such variant.
    """
    theirs = _leaves(_stand(_table(source.values)[name]))
    mine = _leaves(_stand(source.values))
    out: dict[str, Any] = {k: None for k in mine if k not in theirs}
    out |= {k: v for k, v in theirs.items() if k not in mine or mine[k] != v}
    return out


def kept(source: BriefSource, name: str) -> dict[str, Any]:
    """Return the edit that keeps the present stand under a name; one of that name is replaced.

    Raises
    ------
    ValueError
        The name will not do, or there are too many; one sentence.
    """
    fault = name_fault(name)
    table = _table(source.values)
    if not fault and name not in table and len(table) >= MOST:
        fault = f"There are {len(table)} variants already; drop one first."
    if fault:
        raise ValueError(fault)
    return {f"{VARIANTS}.{name}": _stand(source.values)}


def dropped(source: BriefSource, name: str) -> dict[str, Any]:
    """Return the edit that forgets a variant."""
    last = len(_table(source.values)) == 1
    return {VARIANTS if last else f"{VARIANTS}.{name}": None}


def renamed(source: BriefSource, name: str, new: str) -> dict[str, Any]:
    """Return the edits that give a variant another name; raises ``ValueError`` as ``kept`` does."""
    fault = name_fault(new)
    if new in _table(source.values):
        fault = f"There is a variant “{new}” already; take another name."
    if fault:
        raise ValueError(fault)
    return {f"{VARIANTS}.{name}": None, f"{VARIANTS}.{new}": _table(source.values)[name]}


def as_variant(source: BriefSource, name: str) -> BriefSource:
    """Return the brief with the variant as its stand; raises ``KeyError``."""
    out = source
    for key, value in taken(source, name).items():
        out = out.with_value(key, value)
    return out


def present_name(source: BriefSource) -> str:
    """Return the name under which the present stand is kept as it is, "" when it is not."""
    return next((n for n in variant_names(source) if not taken(source, n)), "")


def _leaves(tables: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """Return dotted key -> value; lists are values."""
    out: dict[str, Any] = {}
    for key, value in tables.items():
        if isinstance(value, Mapping):
            out |= _leaves(value, f"{prefix}{key}.")
        else:
            out[prefix + key] = value
    return out


def variant_findings(values: Mapping[str, Any], check: Check) -> Iterator[Finding]:
    """Yield what is wrong with the variants. None of it stops the stand of the brief: that variant cannot be taken."""
    found = values.get(VARIANTS, {})
    if not isinstance(found, Mapping):
        yield _finding(VARIANTS, f"variants must be a table of variants by name, not {found!r:.40}.", "a table")
        return
    if len(found) > MOST:
        yield _finding(VARIANTS, f"There are {len(found)} variants; {MOST} at most are kept.", f"up to {MOST}")
        return
    for name, table in found.items():
        path = f"{VARIANTS}.{name[:LONGEST]}"
        fault = _fault(name, table)
        if fault:
            yield _finding(path, f"{path}: {fault}")
            continue
        for section, typed in table.items():
            inner = f"{path}.{section[:80]}"
            if section not in STAND:
                message = f"{inner}: a variant has the stand's own tables only; machine, floor and the rest are the brief's."
                yield _finding(inner, message, ", ".join(STAND))
            elif not isinstance(typed, Mapping):
                yield _finding(inner, f"{inner} must be a table, not {typed!r:.40}.", "a table")
            else:
                yield from check(section, inner, typed)


def _finding(field: str, message: str, allowed: str = "") -> Finding:
    return Finding(code="brief.variant", field=field, message=message, allowed=allowed, severity=Severity.LOOK)
