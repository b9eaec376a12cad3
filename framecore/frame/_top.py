"""How high the seat lies above the top ring: what is built up on it."""

from __future__ import annotations

from framecore.brief.model import Brief


def top_build_up(brief: Brief) -> float:
    """Return what lies between the top ring (or bearers over it) and the seat, mm.

    Nothing without a top; a top's own thickness; a tray's thickness and the blocks that raise the machine
    above it.
    """
    top = brief.top
    if top.kind == "none":
        return 0.0
    return top.thickness + (top.raised if top.kind == "tray" else 0.0)
