"""Blocks under the machine's feet that its jacking screws turn in."""

from __future__ import annotations

import math
from collections.abc import Callable

from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.errors import Finding
from framecore.frame._build import flat_plate, rectangle
from framecore.frame.draft import Draft
from framecore.frame.model import Hole, Mount, PlateRole, Vector
from framecore.units import format_round

BESIDE, ROUND = "jacking screws", "hollow jacking screws"
# Steel left beside a tapped hole, of the screw's diameter (common practice).
LAND = 0.5


def jack_place(
    kind: str, block: float, hole: float, d: float, slot: float = 0.0, axis: Vector = (1.0, 0.0, 0.0)
) -> tuple[float, float, float]:
    """Return how far the screws stand off the bolt, the land left, and the side of block that leaves enough, mm.

    Two screws lie on the block's diagonal where the land to the bolt's hole and to the block's side is equal:
    c - (h + d) / 2 = b / 2 - c / sqrt 2 - d / 2. Beside a ``slot`` along ``axis`` the same holds of the way from the
    screw to the line between its end centres, on the diagonal that leaves it sooner (see ``jack_diagonal``). A
    hollow screw stands round the bolt.
    """
    need = LAND * d
    if kind == ROUND:
        return 0.0, (block - d) / 2, d + 2 * need
    if slot:
        s = _off_slot(slot, axis, lambda s, way: s + way - (block + hole) / 2)
        t = _off_slot(slot, axis, lambda s, way: way - need - (hole + d) / 2)
        return s * math.sqrt(2), block / 2 - s - d / 2, 2 * (t + need + d / 2)
    c = (block + hole) / 2 / (1 + math.sqrt(0.5))
    return c, c - (hole + d) / 2, 2 * (1 + math.sqrt(0.5)) * (need + (hole + d) / 2) - hole


def jack_diagonal(slot: float, axis: Vector) -> float:
    """Return 1 where the screws lie to the front left and back right of the bolt, -1 for the other diagonal."""
    return -1.0 if slot and axis[0] * axis[1] > 0 else 1.0


def _off_slot(slot: float, axis: Vector, over: Callable[[float, float], float]) -> float:
    """Return s, where ``over`` of s and of the way from (s, s) on the screws' diagonal to the slot's line becomes 0.

    The way grows with s, so halving finds it.
    """
    turn = jack_diagonal(slot, axis)
    low, high = 0.0, 500.0
    for _ in range(50):
        s = (low + high) / 2
        on = min(max(s * axis[0] + turn * s * axis[1], -slot / 2), slot / 2)
        if over(s, math.hypot(s - on * axis[0], turn * s - on * axis[1])) > 0:
            high = s
        else:
            low = s
    return (low + high) / 2


def dress_blocks(d: Draft) -> None:
    """Set a tapped block under every foot of the machine where it stands on jacking screws.

    A gap lower than the block holds none; what the gap must be is told with the seat.
    """
    m = d.brief.mounting
    held = [k for k in d.mounts if k.hole]
    if m.seating not in (BESIDE, ROUND) or not held or m.jack < m.block_height:
        return
    for i, p in enumerate(held):
        for q in held[:i]:
            apart = max(abs(p.point[0] - q.point[0]), abs(p.point[1] - q.point[1]))
            if apart < m.block - 1e-9:
                d.findings.append(
                    Finding(
                        code="frame.jack_blocks_meet", field="mounting.block", member=q.member,
                        message=(
                            f"The jacking blocks under {q.name} and {p.name} run into each other: the holes lie {apart:.0f} mm "
                            f"apart; take blocks up to {math.floor(apart):d} mm."
                        ),
                        allowed=f"up to {math.floor(apart):d} mm", nearest=f"{math.floor(apart):d} mm",
                    )
                )  # fmt: skip
                return
    for mount in held:
        _add_block(d, mount)


def _add_block(d: Draft, mount: Mount) -> None:
    m, screw = d.brief.mounting, find_thread(d.brief.mounting.screw)
    x, y, z = mount.point
    number = mount.name.removeprefix("mount ")
    name, top = f"jacking block {number}", z + m.block_height
    units = d.brief.units
    c, _, _ = jack_place(m.seating, m.block, mount.hole, screw.diameter, mount.slot, mount.slot_axis)
    round_, off = m.seating == ROUND, format_round(round(c, 1), units)
    how = f"tapped {screw.id} in the middle" if round_ else f"tapped {screw.id} twice, {off} off the bolt on a diagonal"
    if mount.slot:
        how = f"slotted {format_round(mount.slot, units)} for the bolt, {how}"
    d.plates.append(
        flat_plate(
            name, PlateRole.BLOCK, outline=rectangle(m.block, m.block), at=(x, y), bottom=z, thickness=m.block_height,
            density=find_steel(d.brief.steel.grade).density, on=(mount.name,),
            note=f"{format_round(m.block, units)} square, {how}; weld all round, then run the tap through",
        )
    )  # fmt: skip

    def drill(px: float, py: float, diameter: float, purpose: str, tapped: str = "", slot: float = 0.0) -> None:
        d.holes.append(Hole(owner=name, centre=(px, py, top), axis=(0.0, 0.0, -1.0), diameter=diameter, slot=slot,
                            slot_axis=mount.slot_axis, depth=m.block_height, purpose=purpose, tapped=tapped))  # fmt: skip

    if round_:
        drill(x, y, screw.tap_drill, f"jack {number}", screw.id)
        return
    drill(x, y, mount.hole, f"machine foot {number}", slot=mount.slot)
    s = c * math.sqrt(0.5)
    t = s * jack_diagonal(mount.slot, mount.slot_axis)
    drill(x + s, y + t, screw.tap_drill, f"jack {number} a", screw.id)
    drill(x - s, y - t, screw.tap_drill, f"jack {number} b", screw.id)
