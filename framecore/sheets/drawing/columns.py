"""Columns of a page of words, and the pages a flow has filled."""

from __future__ import annotations

from collections.abc import Callable

from framecore.sheets.drawing.flow import Flow
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space

EDGE = 5.0
GUTTER = 8.0
TICK = "□"  # a box to tick in a table
FEW, CLOSER = 0.4, 0.92  # of a column on a last page; of the room between lines that may save that page
Column = tuple[float, float, float, float]


def text_size(paper: str) -> float:
    """Height of running text on this paper, mm."""
    return 2.0 if paper in SMALL else 2.5


def columns(paper: str, count: int = 1) -> list[Column]:
    """Return (left, bottom, width, top) of equal columns; those left of the title block reach down to the frame."""
    x0, y0, x1, y1 = drawing_space(paper)
    block = x1 - TITLE_WIDTH
    x0, x1, y1 = x0 + EDGE, x1 - EDGE, y1 - EDGE
    wide = (x1 - x0 - (count - 1) * GUTTER) / count
    lefts = [x0 + k * (wide + GUTTER) for k in range(count)]
    return [(x, y0 + (EDGE if x + wide < block - EDGE else TITLE_HEIGHT + 4.0), wide, y1) for x in lefts]


def fitted(lay: Callable[[float], Flow]) -> Flow:
    """Return what ``lay`` fills; where a last page holds only a few rows, set closer if that saves it.

    ``lay`` takes the share of the usual room between lines, see `Flow.close`.
    """
    flow = lay(1.0)
    if len(flow.pages) > 1 and flow.column == 0 and flow.room() > (1 - FEW) * flow.high():
        closer = lay(CLOSER)
        return closer if len(closer.pages) < len(flow.pages) else flow
    return flow


def drafts(flow: Flow, title: str, kind: str) -> tuple[Draft, ...]:
    """Return the pages of a flow, numbered where there is more than one."""
    last = len(flow.pages)
    return tuple(
        Draft(title=title if last == 1 else f"{title} {n}", kind=kind, primitives=tuple(page))
        for n, page in enumerate(flow.pages, 1)
    )
