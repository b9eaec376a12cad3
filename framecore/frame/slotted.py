"""Which of the machine's holes are slotted in the stand, how long and which way."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.errors import Finding, Severity
from framecore.frame._blocks import ROUND
from framecore.frame.draft import Draft
from framecore.frame.model import Vector

ALONG, ACROSS, TOWARDS = "along the machine", "across the machine", "towards hole 1"
_X: Vector = (1.0, 0.0, 0.0)
_AXES: dict[str, Vector] = {ALONG: _X, ACROSS: (0.0, 1.0, 0.0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotCut:
    """How one hole is cut: ``slot`` between its end centres along the unit vector ``axis``, mm; 0 where it is round."""

    slot: float = 0.0
    axis: Vector = _X

    @property
    def half_x(self) -> float:
        """How far an end centre lies from the middle along x, mm."""
        return abs(self.axis[0]) * self.slot / 2

    @property
    def half_y(self) -> float:
        """How far an end centre lies from the middle along y, mm."""
        return abs(self.axis[1]) * self.slot / 2


ROUND_HOLE = SlotCut()


def machine_slots(brief: Brief) -> tuple[SlotCut, ...]:
    """Return how each of the machine's holes is cut in the stand, in their order.

    A slot that points at hole 1 needs hole 1 round, so that stays round whatever the brief says of it. The bolt
    through a hollow jacking screw is held by the screw's bore: there every hole is round.
    """
    m, holes = brief.mounting, brief.machine.holes
    if m.slot <= 0.0 or m.seating == ROUND:
        return (ROUND_HOLE,) * len(holes)
    out = []
    for i, (x, y) in enumerate(holes):
        if i == 0 and (m.round_holes == "hole 1" or m.slot_way == TOWARDS):
            out.append(ROUND_HOLE)
            continue
        axis = _AXES.get(m.slot_way)
        if axis is None:
            dx, dy = x - holes[0][0], y - holes[0][1]
            size = math.hypot(dx, dy)
            axis = (dx / size, dy / size, 0.0) if size > 1e-9 else _X
        out.append(SlotCut(slot=m.slot, axis=axis))
    return tuple(out)


def dress_slots(d: Draft) -> None:
    """Tell where the brief asks for slots and none can be made or used."""
    m = d.brief.mounting
    if m.slot <= 0.0 or any(k.slot for k in d.mounts):
        return
    if m.seating == ROUND:
        why = "the bore of a hollow jacking screw holds its bolt in place; take jacking screws beside the bolts, or no slots"
    elif not d.brief.machine.holes:
        why = "the machine has no holes; give its mounting holes, or leave the slots out"
    elif d.mounts and not any(k.hole for k in d.mounts):
        why = "the machine rests here unscrewed; leave the slots out"
    elif len(d.brief.machine.holes) == 1:
        why = "the only hole stays round and places the machine; leave the slots out"
    else:
        return  # nothing was drilled, and another finding says why
    d.findings.append(
        Finding(
            code="frame.slots_idle", field="mounting.slot", severity=Severity.LOOK, nearest="0 mm",
            message=f"No {m.slot:g} mm slots are made: {why}.",
        )
    )  # fmt: skip
