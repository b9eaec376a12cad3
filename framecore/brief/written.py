"""What the maker has written in words of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from framecore.brief.model import Brief

UNTITLED = "Stand"  # the title of a brief that has none


def written(brief: Brief) -> tuple[str, ...]:
    """Return the titles and names of a brief, which no language changes."""
    own = brief.sheet
    title = "" if brief.title == UNTITLED else brief.title
    return title, brief.machine.name, own.owner, own.drawn_by, own.approved_by, own.number, own.date
