"""A stand becomes its sheets: every page gets frame, title block and number."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from framecore.brief.written import written
from framecore.sheets.drawing.model import Primitive, Sheet
from framecore.sheets.lists.contents import contents, entries
from framecore.sheets.paper import SIZES, Draft, Titles, frame, title_block
from framecore.sheets.words import TOLERANCE, UNITS
from framecore.stand.model import Stand
from framecore.words import keep_names

Pages = Callable[[Stand, str], tuple[Draft, ...]]


def compose_with(sheets: Sequence[Pages], stand: Stand, paper: str | None = None) -> tuple[Sheet, ...]:
    """Compose the pages of ``sheets`` in order.

    Raises
    ------
    ValueError
        ``paper`` is none of the known sizes.
    """
    return compose_drafts(lambda size: [draft for pages in sheets for draft in pages(stand, size)], stand, paper)


def compose_drafts(draw: Callable[[str], Sequence[Draft]], stand: Stand, paper: str | None = None) -> tuple[Sheet, ...]:
    """Compose what ``draw`` makes for a paper, under the titles of ``stand``; raises as ``compose_with``."""
    paper = paper or stand.brief.sheet.paper
    if paper not in SIZES:
        raise ValueError(f"There is no paper “{paper}”; the sizes are {', '.join(SIZES)}.")
    keep_names(*written(stand.brief))
    drafts = draw(paper)
    titles = titles_of(stand)
    listed = entries([d.title for d in drafts])

    def index(draft: Draft) -> tuple[Primitive, ...]:
        # Which sheet is where is only known when all are composed.
        return contents(listed, draft.index) if draft.index is not None else ()

    return tuple(
        Sheet(
            title=draft.title[:1].upper() + draft.title[1:],
            size=SIZES[paper],
            primitives=(*frame(paper), *title_block(paper, titles, draft, n, len(drafts)), *draft.primitives, *index(draft)),
            views=draft.views,
            scale_text=draft.scale_text,
        )
        for n, draft in enumerate(drafts, 1)
    )


def titles_of(stand: Stand) -> Titles:
    """What the title block of the stand's sheets says on every page."""
    own = stand.brief.sheet
    return Titles(
        owner=own.owner,
        number=own.number,
        date=own.date,
        title=stand.brief.title,
        approved=own.approved_by,
        drawn=own.drawn_by,
        projection=own.projection,
        units=UNITS[stand.brief.units],
        tolerance=TOLERANCE,
    )
