"""What was checked against what, kept while the checks run, and the page that tells it."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pytest


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One comparison: where, what, the reference's number, ours, what difference is allowed, source, note."""

    place: str
    about: str
    quantity: str
    reference: float
    ours: float
    allowed: float
    source: str
    note: str


ROWS: list[Row] = []
_running: list[pytest.Item] = []


def running(item: pytest.Item) -> None:
    """Say which test runs now, so that its comparisons carry its name."""
    _running[:] = [item]


def _words(name: str) -> str:
    return re.sub(r"\[.*", "", name).removeprefix("test_").replace("_", " ")


def record(quantity: str, reference: float, ours: float, allowed: float, source: str = "", note: str = "") -> None:
    """Keep one comparison; whether it passes is for the caller to assert."""
    if not _running:
        return
    item = _running[0]
    about = inspect.cleandoc(getattr(getattr(item, "module", None), "__doc__", "") or "")
    ROWS.append(
        Row(
            place=item.path.name, about=about, quantity=quantity or _words(item.name), reference=float(reference),
            ours=float(ours), allowed=float(allowed), source=source, note=note,
        )
    )  # fmt: skip


def agree(got: object, want: object, *, rel: float = 0.0, abs: float = 0.0, what: str = "", source: str = "") -> None:
    """Assert that ``got`` is ``want`` within ``rel`` or ``abs`` (arrays in every entry), and keep it for the page."""
    ours, theirs = np.broadcast_arrays(np.asarray(got, float), np.asarray(want, float))
    allowed = np.maximum(rel * np.abs(theirs), abs)
    assert ours.size, "nothing to compare"
    far = np.abs(ours - theirs)
    k = int(np.argmax(far - allowed))
    record(what, theirs.flat[k], ours.flat[k], allowed.flat[k], source)
    assert far.flat[k] <= allowed.flat[k], (
        f"{what or 'value'} {ours.flat[k]:.9g} differs from {theirs.flat[k]:.9g} by more than {allowed.flat[k]:.3g}"
    )


def _kind(quantity: str) -> str:
    """The part of a quantity that many rows share: names with digits are the rows of a table."""
    kept = [w for w in quantity.split() if not any(c.isdigit() for c in w)]
    return " ".join(kept) or "value"


def page(rows: Iterable[Row]) -> str:
    """Return the validation page in Markdown: a section a file, a line a quantity and source."""
    groups: dict[str, dict[tuple[str, str], list[Row]]] = {}
    about: dict[str, str] = {}
    for row in rows:
        about[row.place] = row.about
        groups.setdefault(row.place, {}).setdefault((_kind(row.quantity), row.source), []).append(row)
    out = [
        "# What was checked, against what, and how close",
        "",
        "Every line is a test against numbers that nobody of this project made: printed tables, standards, book cases "
        "and other programs. The line shows the comparison that came nearest to its allowed difference. "
        "A check is no certificate, and what is not in this list was not checked against anything outside.",
    ]  # fmt: skip
    for place in sorted(groups):
        head, _, rest = about[place].partition("\n")
        out += ["", f"## {head.rstrip('.')}", ""]
        if rest.strip():
            out += [" ".join(rest.split()), ""]
        out += ["| quantity | checks | reference | ours | difference | allowed | source |", "|---|---|---|---|---|---|---|"]
        for (kind, source), found in groups[place].items():
            worst = max(found, key=lambda r: abs(r.ours - r.reference) / (r.allowed or 1e-300))
            gap = abs(worst.ours - worst.reference)
            share = f"{gap / abs(worst.reference):.2g} of it" if worst.reference else f"{gap:.2g}"
            name = kind if len(found) > 1 else worst.quantity
            told = f"{source or 'as above'}{'; ' + worst.note if worst.note else ''}".replace("|", "/")
            out.append(
                f"| {name} | {len(found)} | {worst.reference:.6g} | {worst.ours:.6g} | {share} | {worst.allowed:.2g} | {told} |"
            )
    total = sum(len(v) for g in groups.values() for v in g.values())
    out += ["", f"{total} comparisons in {len(groups)} files."]
    return "\n".join(out) + "\n"
