"""A folded drip tray on the top ring, and the blocks that raise the machine above it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from framecore.catalogue import steel as find_steel
from framecore.errors import Finding, Severity
from framecore.frame._around import Box, member_box, support_box
from framecore.frame._build import flat_plate, rectangle
from framecore.frame.draft import Draft
from framecore.frame.machine import machine_datum
from framecore.frame.model import Hole, Mount, Plate, PlateRole, Role, Vector
from framecore.units import format_round

SHEET = "tray"
BOTTOM = "tray bottom"
# For a 1/2 in hose tail with its lock nut (common practice), mm.
DRAIN = 22.0
# Land round a bolt on its block: side of the block over the hole, and the least side (common practice).
BLOCK_SHARE, BLOCK_LEAST = 3.5, 40.0
# What a hand with a brush needs to pass under a machine, mm (common practice).
BRUSH = 25.0
_DRAIN_ROOM = 8.0  # between the rim of the drain and what is near it, mm
_STEPS = np.linspace(0.0, 0.95, 24)
FALL = 2.0  # mm that a tray is packed higher away from its drain (common practice)


def dress_tray(d: Draft) -> None:
    """Lay a tray on the ring and blocks under the machine's feet, where the brief asks for one."""
    top = d.brief.top
    if top.kind != "tray":
        return
    ring = support_box(d)
    if ring is None:
        d.findings.append(
            Finding(
                code="frame.tray_nothing_under", field="top.kind",
                message=f"Nothing of the {d.layout} layout lies level under a tray; choose no top, or another layout.",
                nearest="none",
            )
        )  # fmt: skip
        return
    length, depth = ring[3] - ring[0] + 2 * top.overhang, ring[4] - ring[1] + 2 * top.overhang
    middle = ((ring[0] + ring[3]) / 2, (ring[1] + ring[4]) / 2)
    _add_sheet(d, length, depth, middle)
    side = _add_blocks(d)
    _add_drain(d, length, depth, middle, side)
    _check(d, length, depth, middle, side)


def _note(units: str) -> str:
    return (
        "folded from one sheet; its bolts hold it, else screws or short stitches, never a continuous weld; seal every bolt and "
        f"the corners; pack it {format_round(FALL, units)} higher away from the drain"
    )


def _add_sheet(d: Draft, length: float, depth: float, middle: tuple[float, float]) -> None:
    top, t = d.brief.top, d.brief.top.thickness
    density, note = find_steel(d.brief.steel.grade).density, _note(d.brief.units)
    x, y, z = length / 2, depth / 2, d.ring_top
    bottom = flat_plate(BOTTOM, PlateRole.TRAY, outline=rectangle(length, depth), at=middle, bottom=z, thickness=t,
                        density=density, note=note)  # fmt: skip
    d.plates.append(replace(bottom, sheet=SHEET))
    rise = top.lip - t
    up: Vector = (0.0, 0.0, 1.0)
    # Lips stand on the bottom; front and back run through, left and right stand between them. Each is drawn
    # on its outer face, thickness inwards.
    lips: tuple[tuple[str, float, tuple[float, float], Vector], ...] = (
        ("front", length, (0.0, -y + t), (1.0, 0.0, 0.0)), ("back", length, (0.0, y - t), (-1.0, 0.0, 0.0)),
        ("left", depth - 2 * t, (-x + t, 0.0), (0.0, -1.0, 0.0)), ("right", depth - 2 * t, (x - t, 0.0), (0.0, 1.0, 0.0)),
    )  # fmt: skip
    for name, long, (px, py), u in lips:
        d.plates.append(
            Plate(
                name=f"tray lip {name}", role=PlateRole.TRAY, thickness=t, outline=rectangle(long, rise),
                origin=(middle[0] + px, middle[1] + py, z + t + rise / 2), u_axis=u, v_axis=up, density=density, note=note,
                sheet=SHEET,
            )
        )  # fmt: skip


def block_side(d: Draft) -> float:
    """Return the side of the square blocks under the machine's feet, mm: as large as fits, 5 mm steps."""
    side = max(BLOCK_LEAST, *(5 * math.ceil((BLOCK_SHARE * m.hole + _reach(m)) / 5) for m in d.mounts))
    points = [m.point for m in d.mounts]
    for i, p in enumerate(points):
        for q in points[:i]:
            apart = max(abs(p[0] - q[0]), abs(p[1] - q[1]))
            if apart < side + 2:
                side = apart - 2
    return side


def _reach(m: Mount) -> float:
    """How much longer than round a mount's slot is along the block's sides, mm."""
    return m.slot * max(abs(m.slot_axis[0]), abs(m.slot_axis[1]))


def _add_blocks(d: Draft) -> float:
    """Add a block and its holes at every mount; returns the blocks' side, 0 without mounts."""
    if not d.mounts:
        return 0.0
    top, side = d.brief.top, block_side(d)
    over = d.brief.frame.bearer_place == "over the ring"
    density = find_steel(d.brief.steel.grade).density
    for mount in d.mounts:
        x, y, z = mount.point
        number = mount.name.removeprefix("mount ")
        purpose = f"machine foot {number}"
        hole, long = (format_round(v, d.brief.units) for v in (mount.hole, mount.hole + mount.slot))
        cut = f"slotted {hole} x {long}" if mount.slot else f"drilled {hole}"
        if top.raised > 0 and side > mount.hole + _reach(mount):
            d.plates.append(
                flat_plate(f"block {number}", PlateRole.BLOCK, outline=rectangle(side, side), at=(x, y), bottom=z - top.raised,
                           thickness=top.raised, density=density, on=(mount.name,),
                           note=f"{format_round(side, d.brief.units)} square, {cut} through; seal it to the tray")
            )  # fmt: skip
            d.holes.append(Hole(owner=f"block {number}", centre=mount.point, axis=(0.0, 0.0, -1.0), diameter=mount.hole,
                                depth=top.raised, purpose=purpose, slot=mount.slot, slot_axis=mount.slot_axis))  # fmt: skip
        if not over:
            d.holes.append(Hole(owner=BOTTOM, centre=(x, y, z - top.raised), axis=(0.0, 0.0, -1.0), diameter=mount.hole,
                                depth=top.thickness, purpose=purpose, slot=mount.slot, slot_axis=mount.slot_axis))  # fmt: skip
    return side


def _add_drain(d: Draft, length: float, depth: float, middle: tuple[float, float], side: float) -> None:
    """Drill the drain as near the low corner as rails, bearers and blocks leave room for."""
    t = d.brief.top.thickness
    low = d.brief.floor.falls_to
    corner = (-1.0 if low == "left" else 1.0, -1.0 if low == "front" else 1.0)
    rim = 2 * t + DRAIN / 2 + _DRAIN_ROOM
    half = (length / 2 - rim, depth / 2 - rim)
    under = [member_box(m) for m in d.members if m.role not in (Role.SLAT, Role.BRACE)]
    under = [b for b in under if b[5] > d.ring_top - d.brief.top.lip and b[2] < d.ring_top + t + 1.0]
    blocks = [(m.point[0] - side / 2, m.point[1] - side / 2, 0.0, m.point[0] + side / 2, m.point[1] + side / 2, 0.0)
              for m in d.mounts]  # fmt: skip
    taken = np.array([*under, *blocks])
    room = DRAIN / 2 + _DRAIN_ROOM
    # A grid of places from the corner inwards; each axis by itself says beside what it lies.
    at, clear = [], []
    for i in (0, 1):
        at.append(middle[i] + corner[i] * half[i] * (1 - _STEPS))
        centre, reach = (taken[:, i] + taken[:, i + 3]) / 2, (taken[:, i + 3] - taken[:, i]) / 2 + room
        clear.append(np.abs(at[i][:, None] - centre) > reach)
    free = (clear[0][:, None] | clear[1][None]).all(2)
    if not free.any():
        d.findings.append(
            Finding(
                code="frame.tray_no_drain", field="top.overhang", severity=Severity.LOOK, member=BOTTOM,
                message=(
                    f"No place near the low corner of the tray is free for a {DRAIN:g} mm drain; give the tray an overhang "
                    f"of at least {2 * room + 2 * t:.0f} mm, or drain it with a sponge."
                ),
                allowed=f"at least {2 * room + 2 * t:.0f} mm", nearest=f"{2 * room + 2 * t:.0f} mm",
            )
        )  # fmt: skip
        return
    inwards = _STEPS[:, None] * half[0] + _STEPS * half[1]
    i, j = divmod(int(np.where(free, inwards, np.inf).argmin()), len(_STEPS))
    x, y = float(at[0][i]), float(at[1][j])
    d.holes.append(Hole(owner=BOTTOM, centre=(x, y, d.ring_top + t), axis=(0.0, 0.0, -1.0), diameter=DRAIN, depth=t,
                        purpose="drain"))  # fmt: skip


def _look(code: str, field: str, message: str, need: float, member: str = "") -> Finding:
    text = f"at least {need:.0f} mm"
    return Finding(code=code, field=field, severity=Severity.LOOK, message=message, allowed=text, nearest=f"{need:.0f} mm",
                   member=member)  # fmt: skip


def _check(d: Draft, length: float, depth: float, middle: tuple[float, float], side: float) -> None:
    brief, top = d.brief, d.brief.top
    t = top.thickness
    if top.lip < 3 * t:
        d.findings.append(
            Finding(
                code="frame.tray_lip_low", field="top.lip", member="tray lip front",
                message=(
                    f"A lip of {top.lip:g} mm cannot be folded from {t:g} mm sheet: make it at least {3 * t:.0f} mm, or take "
                    f"thinner sheet (common practice: three times the sheet)."
                ),
                allowed=f"at least {3 * t:.0f} mm", nearest=f"{3 * t:.0f} mm",
            )
        )  # fmt: skip
    if t > 3.0:
        d.findings.append(
            Finding(
                code="frame.tray_thick", field="top.thickness", severity=Severity.LOOK, member=BOTTOM, nearest="1.5 mm",
                allowed="up to 3 mm",
                message=f"A {t:g} mm tray is hard to fold and goes out of flat; 1 to 3 mm is usual (common practice).",
            )
        )  # fmt: skip
    if top.raised < BRUSH:
        d.findings.append(
            _look("frame.tray_no_hand", "top.raised",
                  f"With the machine {top.raised:g} mm above the tray a hand and a brush do not pass under it; raise it at "
                  f"least {BRUSH:g} mm.", BRUSH)
        )  # fmt: skip
    reach_x, reach_y = length / 2 - 2 * t - side / 2, depth / 2 - 2 * t - side / 2
    for mount in d.mounts:
        past = max(abs(mount.point[0] - middle[0]) - reach_x, abs(mount.point[1] - middle[1]) - reach_y)
        if past > 1e-9:
            need = top.overhang + past
            d.findings.append(
                Finding(
                    code="frame.tray_block_on_lip", field="top.overhang", member=mount.name,
                    message=(
                        f"The block under {mount.name} would stand {past:.0f} mm into the lip of the tray; give the tray an "
                        f"overhang of at least {need:.0f} mm."
                    ),
                    allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
                )
            )  # fmt: skip
    if d.mounts and side < max(2 * m.hole + _reach(m) for m in d.mounts):
        d.findings.append(
            Finding(
                code="frame.tray_blocks_meet", field="machine.holes", member="block 1",
                message=f"Mounts stand so close that their blocks would be {side:.0f} mm wide; mount it without a tray.",
            )
        )  # fmt: skip
    if brief.frame.bearer_place == "over the ring" and any(m.role is Role.BEARER for m in d.members):
        if top.overhang < 2 * t:
            d.findings.append(
                Finding(
                    code="frame.tray_lip_on_bearers", field="top.overhang",
                    message=(
                        f"Bearers over the ring run into the lips of the tray; give it an overhang of at least {2 * t:.0f} mm, "
                        f"or lay the bearers between the rails."
                    ),
                    allowed=f"at least {2 * t:.0f} mm", nearest=f"{2 * t:.0f} mm",
                )
            )  # fmt: skip
        d.findings.append(
            Finding(
                code="frame.tray_under_bearers", field="frame.bearer_place", severity=Severity.LOOK,
                nearest="between the rails",
                message="Bearers over the ring lie in the tray: bolt them through it to the rails and seal the bolts.",
            )
        )  # fmt: skip
    x, y = length / 2, depth / 2
    _machine_in_tray(d, (middle[0] - x, middle[1] - y, 0.0, middle[0] + x, middle[1] + y, 0.0))


def _machine_in_tray(d: Draft, tray: Box) -> None:
    """Tell where the machine's outline reaches through a lip."""
    datum = machine_datum(d.brief, d.seat)
    rim = d.ring_top + d.brief.top.lip
    for box in d.brief.machine.outline:
        low = [box.at[i] + datum[i] for i in range(3)]
        high = [low[i] + box.size[i] for i in range(3)]
        past = max(max(tray[i] - low[i], high[i] - tray[i + 3]) for i in (0, 1))
        if low[2] < rim - 1e-9 and past > -d.brief.top.thickness:
            d.findings.append(
                _look("frame.tray_lip_in_machine", "top.overhang",
                      f"The {box.name or 'machine'} hangs lower than the lip of the tray and reaches past it; give the tray an "
                      f"overhang of at least {d.brief.top.overhang + past + d.brief.top.thickness:.0f} mm or a lower lip.",
                      d.brief.top.overhang + past + d.brief.top.thickness, "tray lip front")
            )  # fmt: skip
