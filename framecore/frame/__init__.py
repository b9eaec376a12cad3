"""The layouts: brief -> Frame. To add one, write its module and add one line to ``LAYOUTS``."""

from __future__ import annotations

from collections.abc import Callable

from framecore.brief.model import Brief
from framecore.frame import four_post
from framecore.frame.model import Frame

LAYOUTS: dict[str, Callable[[Brief, float], Frame]] = {
    four_post.NAME: four_post.build,
}


def build_frame(brief: Brief, height: float) -> Frame:
    """Build the frame of the brief's layout with its seat ``height`` mm above the floor."""
    return LAYOUTS[brief.frame.layout](brief, height)


__all__ = ["LAYOUTS", "Frame", "build_frame"]
