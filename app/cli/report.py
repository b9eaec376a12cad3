"""Figures as text and JSON."""

from __future__ import annotations

import difflib
import json
import math
from typing import TYPE_CHECKING, Any

from app.words import tr
from framecore.figures.model import Figure
from framecore.figures.words import GROUP_TITLES, input_origin, input_value, limit_words, quantity
from framecore.units import raised

if TYPE_CHECKING:
    from framecore.stand.model import Stand


def _number(value: float | None) -> float | None:
    """JSON knows no infinity: no limit, no value is null."""
    return None if value is None or not math.isfinite(value) else float(value)


def figure_record(figure: Figure) -> dict[str, Any]:
    """Return one figure as plain values."""
    return {
        "id": figure.id,
        "label": figure.label,
        "value": _number(figure.value),
        "unit": figure.unit,
        "limit": _number(figure.limit),
        "verdict": figure.verdict.value,
        "source": figure.source,
        "assumed": list(figure.assumed),
    }


def figures_json(stand: Stand) -> str:
    """Return every figure as JSON."""
    whole = {
        "format": 1,
        "title": stand.brief.title,
        "figures": [figure_record(f) for f in stand.figures.values()],
    }
    return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def figures_text(stand: Stand) -> str:
    """Return every figure as a table by group."""
    units = stand.brief.units
    lines = [stand.brief.title]
    by_group: dict[str, list[Figure]] = {name: [] for name in GROUP_TITLES}
    for figure in stand.figures.values():
        by_group.setdefault(figure.group, []).append(figure)
    for group, figures in by_group.items():
        if figures:
            lines += ["", tr(GROUP_TITLES.get(group, group.capitalize()))]
        for figure in figures:
            value, limit = quantity(figure.value, figure.unit, units), limit_words(figure, units)
            lines.append(
                f"  {figure.id:<30} {tr(value):>18}  {tr(figure.verdict.value):<5} {tr(limit):<24} {tr(figure.label)}".rstrip()
            )
    return raised("\n".join(lines)) + "\n"


def working_text(figure: Figure, units: str) -> str:
    """Return the working of one figure."""
    work = figure.working
    head = f"{tr(figure.label)}: {tr(quantity(figure.value, figure.unit, units))}"
    rows = [("id", figure.id)]
    if work.formula:
        rows.append(("formula", tr(work.formula)))
    rows += [("input", f"{i.symbol} = {tr(input_value(i))}  {tr(i.label)}  [{tr(input_origin(i))}]") for i in work.inputs]
    rows += [("step", tr(step)) for step in work.steps]
    if figure.limit is not None:
        rows.append(("limit", tr(limit_words(figure, units))))
    rows += [("note", tr(n)) for n in dict.fromkeys((work.note, figure.note)) if n]
    if figure.assumed:
        rows.append(("assumed", ", ".join(figure.assumed)))
    rows.append(("source", tr(work.source)))
    wide = max(9, *(len(tr(name)) for name, _ in rows))
    verdict = f"  ({tr(figure.verdict.value)})" if figure.verdict else ""
    return raised("\n".join([head + verdict, *(f"{tr(name):<{wide}} {text}" for name, text in rows)])) + "\n"


def no_such_figure(stand: Stand, wanted: str) -> str:
    """Return one sentence with the nearest id."""
    near = difflib.get_close_matches(wanted, list(stand.figures), n=1, cutoff=0.4)
    hint = f" The nearest is {near[0]}." if near else " standwright figures FILE lists them."
    return f"there is no figure “{wanted}”.{hint}"
