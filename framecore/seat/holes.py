"""The machine's holes in the stand: how much they forgive, what steel is left round them, how a spanner gets there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of
from framecore.catalogue.model import Thread
from framecore.frame.model import EndCut, Frame, Member, Mount, Plate, PlateRole, Vector
from framecore.seat.bolts import assembly_preload

# Outside diameter and thickness, mm. ISO 7089 (plain, normal series), from memory.
_METRIC_WASHERS = {
    6.0: (12.0, 1.6), 8.0: (16.0, 1.6), 10.0: (20.0, 2.0), 12.0: (24.0, 2.5), 14.0: (28.0, 2.5), 16.0: (30.0, 3.0),
    18.0: (34.0, 3.0), 20.0: (37.0, 3.0),
}  # fmt: skip
# Bolt, outside diameter and thickness, inches. ASME B18.22.1 type A, series N, from memory.
_INCH_WASHERS = {
    0.25: (0.625, 0.065), 0.3125: (0.688, 0.065), 0.375: (0.812, 0.065), 0.4375: (0.922, 0.065), 0.5: (1.062, 0.095),
    0.625: (1.312, 0.095), 0.75: (1.469, 0.134),
}  # fmt: skip
# AISC 360-16 tables J3.4 and J3.4M: bolt and least edge distance, mm; a size between takes the next row.
_AISC_INCH = ((12.7, 19.05), (15.875, 22.225), (19.05, 25.4))
_AISC_METRIC = ((16.0, 22.0), (20.0, 26.0))
_AISC_SMALL = 1.5  # times the bolt below the tables: the share of their first inch row
EN_EDGE, EN_SLOT_EDGE = 1.2, 1.5  # times the hole, round and slotted, EN 1993-1-8 table 3.3
# Large washers for soft or slotted parts: outside diameter and thickness, mm. ISO 7093-1, from memory.
_LARGE_WASHERS = {
    6.0: (18.0, 1.6), 8.0: (24.0, 2.0), 10.0: (30.0, 2.5), 12.0: (37.0, 3.0), 14.0: (44.0, 3.0), 16.0: (50.0, 3.0),
    20.0: (60.0, 4.0),
}  # fmt: skip
# A plate washer over a long slot: RCSC and AISC 360-16 J3.2 ask for 5/16 in, mm.
PLATE_WASHER = 8.0
# Round tube as sold for sleeves, outside, mm, and the same in inches, eighths from 1/2 on (common practice).
_SLEEVES = (12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 30.0, 32.0, 35.0, 38.0, 40.0)
_INCH_SLEEVES = tuple(25.4 * k / 8 for k in range(4, 13))
_SLEEVE_WALL = 1.5
# Circle that a spanner's head needs round the bolt: share of the width across flats, and mm (common practice).
OPEN_HEAD, SOCKET = (2.2, 2.0), (1.4, 2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A plain washer: outside ``diameter`` and ``thickness``, mm."""

    diameter: float
    thickness: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sleeve:
    """A crush sleeve in a tube: ``bore``, ``outside``, ``length`` mm; ``load`` N that it was sized for."""

    bore: float
    outside: float
    length: float
    load: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRoom:
    """What is round one hole of the machine.

    Attributes
    ----------
    mount, owner : names; ``owner`` is the member or plate that is drilled
    to_end, to_side : middle of the hole, or of the nearer end of a slot, to the end of the member and to the side of
        its flat, mm
    wall : thickness of the steel under washer and foot, mm
    across : diameter of the largest washer that lies on the flat, mm
    sleeve : of a hollow tube, None in solid steel
    slot : between the end centres, mm; 0 where the hole is round; ``slot_side`` how much of ``to_side`` half of it takes
    free : to the nearest member or plate beside the nut, mm, 0 where a plate lies under it; inf where nothing is near
    beside : its name
    """

    mount: str
    owner: str
    to_end: float
    to_side: float
    wall: float
    across: float
    sleeve: Sleeve | None
    free: float
    beside: str
    slot: float = 0.0
    slot_side: float = 0.0


@lru_cache(maxsize=64)
def washer(thread_id: str) -> Washer:
    """Return the plain washer of a thread; beside the tables twice the bolt and a sixth of it thick."""
    t = find_thread(thread_id)
    if t.system == "metric":
        size, source = _METRIC_WASHERS.get(t.diameter), "ISO 7089, from memory"
    else:
        inch = _INCH_WASHERS.get(round(t.diameter / 25.4, 4))
        size = None if inch is None else (inch[0] * 25.4, inch[1] * 25.4)
        source = "ASME B18.22.1 type A narrow, from memory"
    if size is None:
        return Washer(diameter=2 * t.diameter, thickness=t.diameter / 6, source="common practice: twice the bolt")
    return Washer(diameter=size[0], thickness=size[1], source=source)


def slot_washer(thread_id: str, hole: float, slot: float) -> Washer:
    """Return the washer that covers a slot whole wherever in it the bolt stands: plain, large, or a round of plate.

    It reaches past the far end of the slot from a bolt at the other: D >= 2 slot + hole. A plate washer is 5 mm
    larger all round, in whole 5 mm, and 8 mm thick.

    Source: ISO 7089 and ISO 7093-1; that it covers the slot, and 5/16 in, AISC 360-16 J3.2 and RCSC (from memory).
    """
    need = 2 * slot + hole
    plain = washer(thread_id)
    if slot <= 0.0 or plain.diameter >= need - 1e-9:
        return plain
    t = find_thread(thread_id)
    large = _LARGE_WASHERS.get(t.diameter) if t.system == "metric" else None
    if large and large[0] >= need - 1e-9:
        return Washer(diameter=large[0], thickness=large[1], source="ISO 7093-1, from memory; it covers the whole slot")
    side = 5.0 * math.ceil((need + 5.0) / 5.0 - 1e-9)
    return Washer(
        diameter=side, thickness=PLATE_WASHER,
        source="a piece of plate that covers the whole slot, 5/16 in thick as AISC 360-16 J3.2 asks, from memory",
    )  # fmt: skip


def edge_needed(thread: Thread, hole: float, code: str, slot: float = 0.0) -> tuple[float, str]:
    """Return the least distance from the middle of a hole, or of a slot's end, to an edge, mm, and its source.

    Source: EN 1993-1-8:2005 table 3.3, 1.2 d0 and for slots 1.5 d0; AISC 360-16 tables J3.4 and J3.4M.
    """
    if code.startswith("EN") and slot > 0.0:
        return EN_SLOT_EDGE * hole, "EN 1993-1-8:2005 table 3.3, e3, e4 >= 1.5 d0 from a slot's end, from memory"
    if code.startswith("EN"):
        return EN_EDGE * hole, "EN 1993-1-8:2005 table 3.3, e1, e2 >= 1.2 d0, from memory"
    rows = _AISC_METRIC if thread.system == "metric" else _AISC_INCH
    if thread.diameter < rows[0][0] - 1e-6:
        need = min(_AISC_SMALL * thread.diameter, rows[0][1])
        return need, "AISC 360-16 table J3.4 begins above this bolt: 1.5 d as in its first row, common practice"
    need = next((e for d, e in rows if d >= thread.diameter - 1e-6), 1.25 * thread.diameter)
    return need, "AISC 360-16 table J3.4" + ("M" if thread.system == "metric" else "")


def slot_reach(mount: Mount, axis: Vector) -> float:
    """Return how far a slot's end centre lies from the middle along a level unit vector, mm."""
    return abs(_dot(mount.slot_axis, axis)) * mount.slot / 2


def floating_tolerance(hole: float, bolt: float) -> float:
    """Return the position tolerance (diameter of the zone) that clearance holes in both parts leave each: T = H - F.

    Source: ASME Y14.5 appendix B, floating fastener.
    """
    return hole - bolt


def fixed_tolerance(hole: float, bolt: float) -> float:
    """Return the position tolerance of clearance hole and tapped hole each, in equal parts: T = (H - F) / 2.

    Source: ASME Y14.5 appendix B, fixed fastener, with the projected zone as thick as the part above.
    """
    return (hole - bolt) / 2


def crush_sleeve(
    bore: float, inside: float, wall: float, load: float, fy: float, slot: float = 0.0, *, inch: bool = False
) -> Sleeve:
    """Return the sleeve that keeps a tube ``inside`` mm high inside from being crushed by ``load`` N.

    Its ring bears the load at the yield stress; the outside is the next size sold (``inch``: in inches) with at least 1.5 mm of
    wall. Behind a slot it stays loose and goes where the bolt goes.
    """
    need = max(math.sqrt(bore * bore + 4 * load / (math.pi * fy)), bore + 2 * _SLEEVE_WALL)
    outside = next((s for s in (_INCH_SLEEVES if inch else _SLEEVES) if s >= need - 1e-9), math.ceil(need))
    text = (
        f"crush sleeve {outside:g} outside, {bore:g} bore, {inside:g} mm long, in from the open end; or drill the upper "
        f"wall {outside + 0.5:g} mm, cut it {inside + wall:g} mm long, weld and dress it flush"
    )
    if slot > 0.0:
        text = (
            f"crush sleeve {outside:g} outside, {bore:g} bore, {inside:g} mm long, in from the open end and left loose: it "
            f"moves along the slot with the bolt"
        )
    return Sleeve(bore=bore, outside=float(outside), length=inside, load=load, text=text)


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _to_cut(point: Vector, cut: EndCut) -> float:
    """Distance in plan from a point to the plane a member ends at."""
    p = (cut.point[0] - point[0], cut.point[1] - point[1], 0.0)
    return _dot(p, cut.normal)


def _lateral(m: Member) -> tuple[Vector, float, float]:
    """Level axis across a member, its width along it, its height."""
    if abs(m.y_axis[2]) < 0.5:
        return m.y_axis, m.profile.width, m.profile.height
    return m.z_axis, m.profile.height, m.profile.width


_Obstacle = tuple[str, float, float, float, float, float]


def _obstacles(members: tuple[Member, ...], under: float, deep: float) -> list[_Obstacle]:
    """Return what stands beside a nut below ``under``: name, start, way in plan and half width of each member."""
    low, out = under - deep, []
    for m in members:
        a, b = m.start.point, m.end.point
        half = max(m.profile.width, m.profile.height) / 2
        if max(a[2], b[2]) + half <= low or min(a[2], b[2]) - half >= under - 1e-6:
            continue
        if abs(a[2] - b[2]) < 1.0:
            _, across, high = _lateral(m)
            if a[2] + high / 2 <= low or a[2] - high / 2 >= under - 1e-6:
                continue
            half = across / 2
        out.append((m.name, a[0], a[1], b[0] - a[0], b[1] - a[1], half))
    return out


_Flat = tuple[str, list[tuple[float, float]]]


def _plate_obstacles(plates: tuple[Plate, ...], under: float, deep: float) -> tuple[list[_Obstacle], list[_Flat]]:
    """Return the edges in plan of every plate that reaches the room below ``under``, and the corners of flat ones.

    An upright plate counts by its thickness; a flat one also closes what is inside its edges.
    """
    edges: list[_Obstacle] = []
    flats: list[_Flat] = []
    for plate in plates:
        u, v, p, t = plate.u_axis, plate.v_axis, plate.origin, plate.thickness
        out = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
        if abs(out[2]) > 0.999 and not under - deep - t < p[2] < under + t:
            continue
        outline = plate.outline.tolist()
        heights = [p[2] + a * u[2] + b * v[2] for a, b in outline]
        low, high = min(heights) + min(t * out[2], 0.0), max(heights) + max(t * out[2], 0.0)
        if high <= under - deep + 1e-6 or low >= under - 1e-6:
            continue
        x, y = p[0] + t / 2 * out[0], p[1] + t / 2 * out[1]  # of its middle plane
        corners = [(x + a * u[0] + b * v[0], y + a * u[1] + b * v[1]) for a, b in outline]
        flat = abs(out[2]) > 0.999
        if flat:
            flats.append((plate.name, corners))
        half = 0.0 if flat else t / 2
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
            edges.append((plate.name, ax, ay, bx - ax, by - ay, half))
    return edges, flats


def _under(flats: list[_Flat], own: str, point: Vector) -> str:
    """Return the flat plate that lies right under a nut within the room it needs, "" where none does."""
    for name, corners in flats:
        inside = False
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
            if (ay > point[1]) != (by > point[1]):
                inside ^= point[0] < ax + (point[1] - ay) / (by - ay) * (bx - ax)
        if inside and name != own:
            return name
    return ""


def _beside(obstacles: list[_Obstacle], own: str, point: Vector) -> tuple[float, str]:
    """Return the distance in plan from the bolt to the nearest part whose steel stands beside its nut."""
    best, nearest = math.inf, ""
    for name, x, y, dx, dy, half in obstacles:
        if name == own:
            continue
        px, py, long = point[0] - x, point[1] - y, dx * dx + dy * dy
        t = 0.0 if long < 1e-9 else min(max((px * dx + py * dy) / long, 0.0), 1.0)
        away = math.hypot(t * dx - px, t * dy - py) - half
        if away < best:
            best, nearest = away, name
    return best, nearest


def _bolt_places(mount: Mount) -> tuple[Vector, ...]:
    """Where a bolt may stand: the middle of its hole, or the ends of its slot."""
    if not mount.slot:
        return (mount.point,)
    (x, y, z), u, v = mount.point, mount.slot_axis[0] * mount.slot / 2, mount.slot_axis[1] * mount.slot / 2
    return (x - u, y - v, z), (x + u, y + v, z)


_kept: tuple[Brief, Frame, tuple[HoleRoom, ...]] | None = None


def hole_rooms(brief: Brief, frame: Frame) -> tuple[HoleRoom, ...]:
    """Return the steel round every hole of the machine; empty where it rests unscrewed.

    Findings, figures and small parts all ask for it: the last answer is kept as long as brief and frame are the same.
    """
    global _kept
    kept = _kept
    if kept is None or kept[0] is not brief or kept[1] is not frame:
        kept = _kept = brief, frame, _rooms(brief, frame)
    return kept[2]


def _rooms(brief: Brief, frame: Frame) -> tuple[HoleRoom, ...]:
    if not any(m.hole for m in frame.mounts):
        return ()
    bolt = find_thread(brief.machine.bolt)
    fy = steel_of(brief.steel.grade, tube=True).fy
    load = assembly_preload(bolt, class_of(bolt, brief.mounting.bolt_class))
    deep, inch = 1.5 * bolt.diameter, brief.units != "metric"
    members = {m.name: m for m in frame.members}
    head = next((p for p in frame.plates if p.role is PlateRole.HEAD), None)
    near: dict[float, tuple[list[_Obstacle], list[_Flat]]] = {}
    out = []
    for mount in frame.mounts:
        member = members.get(mount.member)
        if member is not None:
            axis, width, height = _lateral(member)
            p, c = mount.point, member.start.point
            off = abs(_dot((p[0] - c[0], p[1] - c[1], 0.0), axis))
            aside = slot_reach(mount, axis)
            side = width / 2 - member.profile.corner - off - aside
            ends = min(_to_cut(p, cut) - slot_reach(mount, cut.normal) for cut in (member.start, member.end))
            wall = member.profile.wall_design if member.profile.closed else height
            under = c[2] - height / 2
            sleeve = None
            if member.profile.closed:
                inside = height - 2 * member.profile.wall
                sleeve = crush_sleeve(mount.hole, inside, member.profile.wall, load, fy, mount.slot, inch=inch)
            owner = member.name
        elif head is not None:
            u = mount.point[0] - head.origin[0], mount.point[1] - head.origin[1]
            flat = (u[0] * head.u_axis[0] + u[1] * head.u_axis[1], u[0] * head.v_axis[0] + u[1] * head.v_axis[1])
            low, high = head.outline.min(0).tolist(), head.outline.max(0).tolist()
            ways = (head.u_axis, head.v_axis)
            gaps = [min(flat[i] - low[i], high[i] - flat[i]) - slot_reach(mount, ways[i]) for i in (0, 1)]
            ends, side, wall, sleeve, owner = gaps[0], gaps[1], head.thickness, None, head.name
            aside = slot_reach(mount, head.v_axis)
            under = head.origin[2]
        else:
            continue
        if under not in near:
            edges, flats = _plate_obstacles(frame.plates, under, deep)
            near[under] = _obstacles(frame.members, under, deep) + edges, flats
        beside_it, below = near[under]
        places = _bolt_places(mount)
        free, beside = min(_beside(beside_it, owner, p) for p in places)
        closed = next(filter(None, (_under(below, owner, p) for p in places)), "")
        if closed:
            free, beside = 0.0, closed
        out.append(
            HoleRoom(mount=mount.name, owner=owner, to_end=ends, to_side=side, wall=wall, across=2 * min(side, ends),
                     sleeve=sleeve, free=free, beside=beside, slot=mount.slot, slot_side=aside)
        )  # fmt: skip
    return tuple(out)
