"""The seat on as few pages as it needs: its holes, the section through one foot, the small parts that are made for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecore.sheets.drawing.blocks import Places, count_pages, page_of, scale_of
from framecore.sheets.drawing.packing import pack
from framecore.sheets.paper import Draft
from framecore.sheets.parts.plate_cells import Cell
from framecore.sheets.parts.screw_parts import SECTION, cells
from framecore.sheets.seat.holes_sheet import HOLES, plan_cells, word_cells
from framecore.stand.model import Stand

BETWEEN = 8.0
LEAST = 0.08  # scale; a plan that is drawn smaller hides its small holes: rather one page more
TITLES = (
    ({HOLES, SECTION, ""}, "holes and section of the seat, small parts"), ({HOLES, SECTION}, "holes and section of the seat"),
    ({HOLES, ""}, "holes in the seat, small parts"), ({HOLES}, "holes in the seat"),
    ({SECTION, ""}, "section of the seat, small parts"), ({SECTION}, "section of the seat"), ({""}, "small parts of the seat"),
)  # fmt: skip
Groups = Sequence[Sequence[Cell]]


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw the seat; nothing where it has neither holes nor parts of its own."""
    lists, parts = word_cells(stand, paper), cells(stand, paper)
    best: tuple[Groups, Places] = ([parts], _places([parts], paper))
    found = False
    for plan in plan_cells(stand, paper):
        trial = min(
            ((g, _places(g, paper)) for g in _orders(plan, lists, parts)), key=lambda t: count_pages(t[1])
        )  # fmt: skip
        if found and plan.view is not None and plan.view.scale < LEAST:
            break
        # The largest drawing that has its lists beside it; smaller only where that saves a page.
        if not found or count_pages(trial[1]) < count_pages(best[1]):
            best, found = trial, True
        if count_pages(best[1]) == 1:
            break
    return _drafts(*best)


def _orders(plan: Cell, lists: list[Cell], parts: list[Cell]) -> Iterator[Groups]:
    """Ways to lay the seat out: what belongs together in two groups, else mixed, as it is read or largest first."""
    yield [[plan, *lists], parts]
    every = [*lists, *parts]
    for key in (None, 1, 0):
        yield [[plan, *(every if key is None else sorted(every, key=lambda c: -c.size[key]))]]

def _places(groups: Groups, paper: str) -> Places:
    return pack([[c.size for c in g] for g in groups], paper, BETWEEN)


def _drafts(groups: Groups, places: Places) -> tuple[Draft, ...]:
    drafts = []
    for page in range(count_pages(places)):
        shown, ink, views = page_of(groups, places, page)
        kinds = {c.mark if c.mark in (HOLES, SECTION) else "" for c in shown}
        title = next(words for there, words in TITLES if there == kinds)
        kind = "Hole sheet" if HOLES in kinds else "Part drawing"
        drafts.append(Draft(title=title, kind=kind, primitives=tuple(ink), views=tuple(views), scale_text=scale_of(views)))
    return tuple(drafts)
