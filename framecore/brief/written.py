"""What the maker has written in words of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from framecore.brief.model import Brief


def written(brief: Brief) -> tuple[str, ...]:
    """Return the titles and names of a brief, which no language changes."""
    own = brief.sheet
    title = brief.title if "title" in brief.model_fields_set else ""
    return title, brief.machine.name, own.owner, own.drawn_by, own.approved_by, own.number, own.date
