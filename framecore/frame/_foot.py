"""A levelling foot under a leg: its pad, its tapped hole, the foot itself."""

from __future__ import annotations

from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.frame._build import flat_plate, rectangle
from framecore.frame.draft import Draft
from framecore.frame.model import Foot, Hole, PlateRole


def leg_bottom(draft: Draft) -> float:
    """Return z of the pads' upper face, where legs begin, mm."""
    return draft.brief.feet.height + draft.brief.feet.pad_thickness


def add_foot(draft: Draft, corner: str, leg: str, x: float, y: float) -> None:
    """Add pad, tapped hole and foot under ``leg`` at x, y; they are named "pad FL", "foot FL" for corner "FL"."""
    feet = draft.brief.feet
    draft.plates.append(
        flat_plate(f"pad {corner}", PlateRole.PAD, outline=rectangle(feet.pad, feet.pad), at=(x, y),
                   bottom=feet.height, thickness=feet.pad_thickness,
                   density=find_steel(draft.brief.steel.grade).density, on=(f"foot {corner}",))
    )  # fmt: skip
    add_tapped_foot(draft, corner, f"pad {corner}", leg, x, y)


def add_tapped_foot(draft: Draft, corner: str, plate: str, leg: str, x: float, y: float) -> None:
    """Add a foot whose stud stands in a tapped hole of ``plate`` (a pad or a base plate)."""
    feet, tap = draft.brief.feet, find_thread(draft.brief.feet.thread)
    thickness = next(p.thickness for p in draft.plates if p.name == plate)
    draft.holes.append(
        Hole(owner=plate, centre=(x, y, feet.height), axis=(0.0, 0.0, 1.0), diameter=tap.tap_drill,
             depth=thickness, purpose=f"foot {corner}", tapped=tap.id)
    )  # fmt: skip
    draft.feet.append(
        Foot(name=f"foot {corner}", leg=leg, pad=plate, base=(x, y, 0.0), top=(x, y, feet.height), thread=tap.id,
             base_diameter=feet.base, base_height=feet.base_height)
    )  # fmt: skip
