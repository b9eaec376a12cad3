"""What lies on the rings: the shelf on the lower one, the top on the upper one."""

from __future__ import annotations

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.frame._build import flat_plate, rectangle
from framecore.frame._posts import Posts, add_slats, shelf_joints, shelf_outline
from framecore.frame.draft import Draft
from framecore.frame.model import NOTCH_SPARE, Plate, PlateRole

# Wood for tops: beech and birch plywood lie near this, kg/m3 (common practice).
WOOD_DENSITY = 680.0


def add_shelf(d: Draft, p: Posts, *, notched: bool = True) -> None:
    """Add the shelf the brief asks for: slats between the long lower rails, or a sheet on the ring.

    ``notched``: the sheet reaches to the outer faces of tube legs; else it lies within angle legs.
    """
    f = d.brief.frame
    if not f.lower_ring or f.shelf == "none":
        return
    if f.shelf == "slats":
        add_slats(d, p, f.shelf_slats)
        return
    at = (p.cx, p.cy)
    if notched:
        outline = shelf_outline(p, d.brief.welding.leg + NOTCH_SPARE)
    else:
        outline, at = rectangle(p.length, p.depth - p.toe), (p.cx, p.cy + p.toe / 2)
    d.plates.append(
        flat_plate(
            "shelf", PlateRole.SHELF, outline=outline, at=at, bottom=f.lower_ring, thickness=f.shelf_thickness,
            density=find_steel(d.brief.steel.grade).density,
            note="lies on the lower ring: fix it with short stitches, never a continuous weld",
            on=shelf_joints(p),
        )
    )  # fmt: skip


def top_plate(
    brief: Brief, length: float, depth: float, bottom: float, on: tuple[str, ...] = ()
) -> Plate:
    """Return the sheet or wooden top over ``length`` x ``depth`` about the middle, its overhang added all round."""
    top = brief.top
    wood = top.kind == "wood"
    return flat_plate(
        "top", PlateRole.TOP, outline=rectangle(length + 2 * top.overhang, depth + 2 * top.overhang),
        at=(0.0, 0.0), bottom=bottom, thickness=top.thickness,
        density=WOOD_DENSITY if wood else find_steel(brief.steel.grade).density, steel=not wood,
        note="" if wood else "fix it with screws or plug welds, never a continuous weld: it would buckle", on=on,
    )  # fmt: skip
