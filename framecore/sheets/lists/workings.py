"""Appendix: the working of every figure, so that each number on the sheets can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecore.figures.model import Figure, Input, Working
from framecore.figures.words import GROUP_TITLES, input_origin, input_value, limit_words, quantity
from framecore.sheets.drawing.columns import Column, drafts
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Primitive, Text
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space
from framecore.stand.model import Stand
from framecore.units import typeset
from framecore.words import Said, say

EDGE = 5.0
GUTTER = 7.0
INDENT = 3.0  # mm set in
ROW, CLOSER = 1.6, (1.5, 1.45)  # of the text's height from line to line
Printed = tuple[str, float, bool]
AGAIN = {(True, False): "note: as above", (False, True): "source: as above", (True, True): "note and source: as above"}
READ = ("mm", "kg", "N", "kN", "N m", "N/mm", "MPa", "m2", "l")  # units of inputs that an inch brief reads otherwise


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the workings, group by group; as many pages as they need."""
    size, units = 1.8 if paper in SMALL else 2.5, stand.brief.units
    columns = _columns(paper)
    groups: dict[str, list[Figure]] = {}
    for figure in stand.figures.values():
        groups.setdefault(figure.group, []).append(figure)
    told = [
        (GROUP_TITLES.get(name, name.capitalize()), list(_told(groups[name], units, columns[0][2], size)))
        for name in sorted(groups, key=_place)
    ]
    flow = _laid(told, columns, size, ROW, units)
    if len(flow.pages) > 1 and flow.column < len(columns) - 1:
        # A last page that is not full: set a little closer its lines may fit before it.
        closer = (_laid(told, columns, size, row, units) for row in CLOSER)
        flow = next((f for f in closer if len(f.pages) < len(flow.pages)), flow)
    return drafts(flow, "workings", "Calculation")


def _told(figures: Sequence[Figure], units: str, wide: float, size: float) -> Iterator[list[Printed]]:
    """The lines of each figure of a group."""
    last: Working | None = None
    for figure in figures:
        work = figure.working
        yield _lines(_rows(figure, work, last, units), wide, size)
        last = work


def _laid(
    told: Sequence[tuple[str, list[list[Printed]]]], columns: Sequence[Column], size: float, row: float, units: str
) -> Flow:
    """The groups with their figures, ``row`` text heights from line to line."""
    flow = Flow(columns)
    flow.heading("Workings")
    flow.note("What each figure rests on. It is no certificate: the machine's manual and local codes hold.", size)
    if units != "metric":
        flow.note(
            "Reckoned in mm, N, MPa and kg, as the formulas need them; results and limits are in the brief's units.", size
        )
    for title, figures in told:
        flow.heading(title, keep=min(len(figures[0]) * size * row, flow.high() / 2))
        for lines in figures:
            _figure(flow, lines, size, size * row)
    return flow


def _place(group: str) -> int:
    order = list(GROUP_TITLES)
    return order.index(group) if group in order else len(order)


def _columns(paper: str) -> list[Column]:
    x0, y0, x1, y1 = drawing_space(paper)
    block = x1 - TITLE_WIDTH
    x0, x1, y1 = x0 + EDGE, x1 - EDGE, y1 - EDGE
    count = 2 if paper in SMALL else 3
    wide = (x1 - x0 - (count - 1) * GUTTER) / count
    lefts = [x0 + k * (wide + GUTTER) for k in range(count)]
    # Columns that end left of the title block run down to the frame.
    return [(x, y0 + (EDGE if x + wide < block - EDGE else TITLE_HEIGHT + 4.0), wide, y1) for x in lefts]


def _rows(figure: Figure, work: Working, known: Working | None, units: str) -> list[str]:
    """One figure: result and verdict, formula, what goes in, arithmetic, limit, source; not again what is known."""
    verdict = f" ({say(figure.verdict.value)})" if figure.verdict else ""
    out: list[str] = [Said(f"{say(figure.label)}: {say(quantity(figure.value, figure.unit, units))}{verdict}")]
    out += [work.formula] if work.formula else []
    out += [f"{i.symbol} = {_value(i, units)}: {i.label} ({input_origin(i)})" for i in work.inputs]
    out += work.steps
    limit = limit_words(figure, units)
    out += [f"good is {limit}"] if limit else []
    notes = known is not None and work.note == known.note != ""
    sources = known is not None and work.source == known.source != ""
    told = {row.rpartition(": ")[2] for row in work.steps} | set(work.steps)
    for note in dict.fromkeys(("" if notes else work.note, figure.note)):
        # Window and command line show a note without the steps; here it would stand twice.
        out += [note] if note and note not in told and note.rpartition(": ")[2] not in told else []
    out += [f"source: {work.source}"] if work.source and not sources else []
    out += [AGAIN[notes, sources]] if notes or sources else []
    return out


def _value(item: Input, units: str) -> str:
    """The number that went in, and what the maker reads of it where that is another unit."""
    own = input_value(item)
    return f"{own} ({quantity(item.value, item.unit, units)})" if units != "metric" and item.unit in READ else own


def _lines(rows: Sequence[str], wide: float, size: float) -> list[Printed]:
    """Lines as they are printed: text, how far it is set in, bold."""
    out: list[Printed] = []
    for n, row in enumerate(rows):
        indent = INDENT if n else 0.0
        for k, text in enumerate(wrap(row, wide - indent - 4.0, size, n == 0)):
            out.append((Said(typeset(text)), indent + (INDENT if k else 0.0), n == 0))
    return out


def _figure(flow: Flow, lines: Sequence[Printed], size: float, down: float) -> None:
    """Put one figure, whole where a column holds it."""
    flow.gap(size * 0.64)
    most = int(flow.high() // down)
    for first in range(0, len(lines), most):
        part = lines[first : first + most]

        def draw(x: float, y: float, w: float, part: Sequence[Printed] = part) -> tuple[Primitive, ...]:
            return tuple(
                Text(at=(x + left, y - size - 0.5 - k * down), text=text, height=size, bold=bold)
                for k, (text, left, bold) in enumerate(part)
            )

        flow.put(len(part) * down, draw)
