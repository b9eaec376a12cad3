"""Figures as text and JSON."""

from __future__ import annotations

import difflib
import json
import math
from typing import TYPE_CHECKING, Any

from framecore.figures.model import Figure
from framecore.figures.words import GROUP_TITLES, input_origin, input_value, limit_words, quantity

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
            lines += ["", GROUP_TITLES.get(group, group.capitalize())]
        for figure in figures:
            value, limit = quantity(figure.value, figure.unit, units), limit_words(figure, units)
            lines.append(
                f"  {figure.id:<30} {value:>18}  {figure.verdict.value:<5} {limit:<24} {figure.label}".rstrip()
            )
    return "\n".join(lines) + "\n"


def working_text(figure: Figure, units: str) -> str:
    """Return the working of one figure."""
    work = figure.working
    lines = [f"{figure.label}: {quantity(figure.value, figure.unit, units)}"]
    if figure.verdict:
        lines[0] += f"  ({figure.verdict.value})"
    lines.append(f"id        {figure.id}")
    if work.formula:
        lines.append(f"formula   {work.formula}")
    lines += [f"input     {i.symbol} = {input_value(i)}  {i.label}  [{input_origin(i)}]" for i in work.inputs]
    lines += [f"step      {step}" for step in work.steps]
    if figure.limit is not None:
        lines.append(f"limit     {limit_words(figure, units)}")
    lines += [f"note      {n}" for n in dict.fromkeys((work.note, figure.note)) if n]
    if figure.assumed:
        lines.append(f"assumed   {', '.join(figure.assumed)}")
    lines.append(f"source    {work.source}")
    return "\n".join(lines) + "\n"


def no_such_figure(stand: Stand, wanted: str) -> str:
    """Return one sentence with the nearest id."""
    near = difflib.get_close_matches(wanted, list(stand.figures), n=1, cutoff=0.4)
    hint = f" The nearest is {near[0]}." if near else " standwright figures FILE lists them."
    return f"there is no figure “{wanted}”.{hint}"
