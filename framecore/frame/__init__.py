"""The layouts: brief -> Frame. To add one, write its module and add one line to ``LAYOUTS``."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from framecore.brief.model import Brief
from framecore.frame import _braces
from framecore.frame._blocks import dress_blocks
from framecore.frame._casters import dress_casters
from framecore.frame._extras import dress_extras
from framecore.frame._tray import dress_tray
from framecore.frame.draft import Draft
from framecore.frame.model import Frame
from framecore.frame.slotted import dress_slots


def _layout(module: str) -> Callable[[Brief, float], Draft]:
    """Return what drafts a layout; its module is loaded with the first stand of its kind."""

    def draft(brief: Brief, height: float) -> Draft:
        drafted: Draft = import_module(f"framecore.frame.{module}").draft(brief, height)
        return drafted

    return draft


LAYOUTS: dict[str, Callable[[Brief, float], Draft]] = {
    "four-post": _layout("four_post"),
    "pedestal pair": _layout("pedestal_pair"),
    "column": _layout("column"),
    "trestle": _layout("trestle"),
    "tripod": _layout("tripod"),
    "workbench": _layout("workbench"),
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
