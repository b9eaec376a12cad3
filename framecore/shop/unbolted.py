"""What lies on the stand without a fastener of its own, and why: so that nothing is missed on the order."""

from __future__ import annotations

from framecore.brief.model import Brief
from framecore.frame.model import Frame, PlateRole
from framecore.shop._fixings import through_tray
from framecore.shop._say import names


def unbolted(brief: Brief, frame: Frame) -> tuple[str, ...]:
    """Return one sentence for each thing that an order list has no fastener for."""
    out = []
    resting = [m.name for m in frame.mounts if not m.hole]
    if resting:
        out.append(f"The machine rests on its {len(resting)} places by its weight alone ({names(resting)}): it has no bolts.")
    bolted = {h.owner for h in frame.holes if h.purpose.startswith("machine foot")}
    through_tray_blocks = [p.name for p in frame.plates if p.role is PlateRole.BLOCK and p.name in bolted]
    if through_tray(frame):
        by = "the machine's bolts" if any(h.purpose.startswith("machine foot") for h in frame.holes) else "the bearers' bolts"
        held = names(["the tray", *through_tray_blocks])
        out.append(f"{held[:1].upper()}{held[1:]} are held by {by}." if through_tray_blocks else f"The tray is held by {by}.")
    if frame.feet and brief.floor.anchor == "none":
        out.append("The feet stand on the floor unanchored, as the brief asks.")
    return tuple(out)
