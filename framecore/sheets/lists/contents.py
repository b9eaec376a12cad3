"""The list of sheets on the cover: what begins where."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Line, Primitive, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import Box

STEP = 1.75  # of the text's height from row to row


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Pages ``first`` to ``last`` of one title."""

    title: str
    first: int
    last: int

    @property
    def pages(self) -> str:
        """As it is read: "4" or "9–17"."""
        return f"{self.first}" if self.first == self.last else f"{self.first}–{self.last}"


def entries(titles: Sequence[str]) -> tuple[Entry, ...]:
    """Return the sheets in order; pages that go on under one title, numbered at its end, are one entry."""
    out = []
    number = 1
    for title, run in groupby(titles, key=_base):
        count = len(list(run))
        out.append(Entry(title=title[:1].upper() + title[1:], first=number, last=number + count - 1))
        number += count
    return tuple(out)


def _base(title: str) -> str:
    """A title without the number of a page that goes on."""
    return re.sub(r" \d+$", "", title)


def contents(listed: Sequence[Entry], box: Box) -> tuple[Primitive, ...]:
    """Draw the list into ``box`` from its top: smaller where it must be, then neighbours of one first word in one row."""
    x0, y0, x1, y1 = box
    out: list[Primitive] = [Text(at=(x0, y1 - 4.0), text="Sheets", height=3.5, bold=True)]
    top = y1 - 7.0
    rows = list(listed)
    sizes = (2.5, 2.2, 2.0, 1.8)
    fit = next((s for s in sizes if _high(rows, s) <= top - y0), 0.0)
    if not fit:
        rows = _joined(rows)
        fit = next((s for s in sizes if _high(rows, s) <= top - y0), 0.0)
    if not fit:
        fit, most = 1.8, max(int((top - y0) / (1.8 * STEP)), 1)
        rest = rows[most - 1 :]
        rows = [*rows[: most - 1], Entry(title="further sheets", first=rest[0].first, last=rest[-1].last)]
    y = top
    for row in rows:
        y -= fit * STEP
        wide = text_width(row.pages, fit)
        title = row.title
        if text_width(title, fit) > x1 - x0 - wide - 4.0:
            title = f"{wrap(title, x1 - x0 - wide - 7.0, fit)[0]} …"
        out.append(Text(at=(x0, y), text=title, height=fit))
        out.append(Text(at=(x1, y), text=row.pages, height=fit, align="right"))
        a, b = x0 + text_width(title, fit) + 1.5, x1 - wide - 1.5
        if b > a:
            out.append(Line(points=((a, y), (b, y)), layer="thin"))
    return tuple(out)


def _high(rows: Sequence[Entry], size: float) -> float:
    return len(rows) * size * STEP + 0.5 * size


def _joined(rows: Sequence[Entry]) -> list[Entry]:
    """Neighbours whose titles begin with one word become one row, "Piece …"."""
    out = []
    for word, run in groupby(rows, key=lambda e: e.title.split()[0]):
        own = list(run)
        title = own[0].title if len(own) == 1 else f"{word} …"
        out.append(Entry(title=title, first=own[0].first, last=own[-1].last))
    return out
