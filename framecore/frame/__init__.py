"""The layouts: brief -> Frame. To add one, write its module and add one line to ``LAYOUTS``."""

from __future__ import annotations

from collections.abc import Callable

from framecore.brief.model import Brief
from framecore.frame import _braces, column, four_post, pedestal_pair, trestle, tripod, workbench
from framecore.frame._blocks import dress_blocks
from framecore.frame._casters import dress_casters
from framecore.frame._extras import dress_extras
from framecore.frame._tray import dress_tray
from framecore.frame.draft import Draft
from framecore.frame.model import Frame
from framecore.frame.slotted import dress_slots

LAYOUTS: dict[str, Callable[[Brief, float], Draft]] = {
    four_post.NAME: four_post.draft,
    pedestal_pair.NAME: pedestal_pair.draft,
    column.NAME: column.draft,
    trestle.NAME: trestle.draft,
    tripod.NAME: tripod.draft,
    workbench.NAME: workbench.draft,
}
# What every layout may carry: each adds to the draft what the brief asks for.
DRESSERS: tuple[Callable[[Draft], None], ...] = (
    dress_tray,
    dress_blocks,
    dress_slots,
    _braces.dress,
    dress_extras,
    dress_casters,
)


def build_frame(brief: Brief, height: float) -> Frame:
    """Build the frame of the brief's layout with its seat ``height`` mm above the floor."""
    draft = LAYOUTS[brief.frame.layout](brief, height)
    for dress in DRESSERS:
        dress(draft)
    return draft.freeze()


__all__ = ["DRESSERS", "LAYOUTS", "Draft", "Frame", "build_frame"]
