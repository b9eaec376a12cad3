"""Appendix: the working of every figure, so that each number on the sheets can be followed by hand."""

from __future__ import annotations

from framecore.figures.model import Figure
from framecore.figures.words import GROUP_TITLES, input_origin, input_value, limit_words, quantity
from framecore.sheets.flow import Flow
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space
from framecore.stand.model import Stand

EDGE = 5.0
GUTTER = 7.0


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the workings, group by group; as many pages as they need."""
    flow = Flow(_columns(paper))
    size = 1.8 if paper in SMALL else 2.5
    flow.heading("Workings")
    flow.note("What each figure rests on. It is no certificate: the machine's manual and local codes hold.", size)
    groups: dict[str, list[Figure]] = {}
    for figure in stand.figures.values():
        groups.setdefault(figure.group, []).append(figure)
    for name in sorted(groups, key=lambda g: _place(g)):
        flow.heading(GROUP_TITLES.get(name, name.capitalize()), keep=18.0)
        for figure in groups[name]:
            _figure(flow, figure, stand.brief.units, size)
    last = len(flow.pages)
    return tuple(
        Draft(title="workings" if last == 1 else f"workings {n}", kind="Calculation", primitives=tuple(p))
        for n, p in enumerate(flow.pages, 1)
    )


def _place(group: str) -> int:
    order = list(GROUP_TITLES)
    return order.index(group) if group in order else len(order)


def _columns(paper: str) -> list[tuple[float, float, float, float]]:
    x0, y0, x1, y1 = drawing_space(paper)
    block = x1 - TITLE_WIDTH
    x0, x1, y1 = x0 + EDGE, x1 - EDGE, y1 - EDGE
    count = 2 if paper in SMALL else 3
    wide = (x1 - x0 - (count - 1) * GUTTER) / count
    lefts = [x0 + k * (wide + GUTTER) for k in range(count)]
    # Columns that end left of the title block run down to the frame.
    return [(x, y0 + (EDGE if x + wide < block - EDGE else TITLE_HEIGHT + 4.0), wide, y1) for x in lefts]


def _figure(flow: Flow, figure: Figure, units: str, size: float) -> None:
    """One figure: result and verdict, formula, what goes in, arithmetic, limit, source."""
    work = figure.working
    verdict = f" ({figure.verdict.value})" if figure.verdict else ""
    flow.gap(1.6)
    flow.line(f"{figure.label}: {quantity(figure.value, figure.unit, units)}{verdict}", size, bold=True, keep=3 * size)
    rows = [work.formula] if work.formula else []
    rows += [f"{i.symbol} = {input_value(i)}: {i.label} ({input_origin(i)})" for i in work.inputs]
    rows += work.steps
    limit = limit_words(figure, units)
    rows += [f"good is {limit}"] if limit else []
    rows += [n for n in dict.fromkeys((work.note, figure.note)) if n]
    rows += [f"source: {work.source}"] if work.source else []
    for row in rows:
        flow.line(row, size, indent=3.0)
