"""The welds: which seams are welded and how, from where the shapes really touch.

Members that share a joint are welded along every seam that has air. Plates that carry are welded all round; sheet is
stitched, never welded through, because it would buckle; what is screwed or folded is not welded at all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.frame.fitup import flare_share
from framecore.frame.model import Frame, Member, Plate, PlateRole, Vector
from framecore.frame.vector import along, minus
from framecore.shop.weld_order import in_order
from framecore.shop.work import Assembly, Weld
from framecore.solids.contacts import Contact, Seam

SOLID = (PlateRole.PAD, PlateRole.BLOCK, PlateRole.CAP, PlateRole.HEAD, PlateRole.BASE, PlateRole.GUSSET)
STITCHED = (PlateRole.SHELF, PlateRole.TOP, PlateRole.PANEL, PlateRole.BACK)
THIN = 3.0  # mm; sheet up to here is stitched even where a plate would be welded all round
STITCH, STITCH_PITCH = 25.0, 150.0  # mm (common practice)
CONVEX = 1.1  # metal of a fillet over its flat triangle (TRADE practice of filler tables)
_LEAST = math.radians(30)  # a sharper gap lets no electrode in
_FLUSH = (math.radians(150), math.radians(210))
_ALIKE = 1.0  # mm; welds that differ by less carry one mark
_TACK = 60.0  # mm; longer runs are tacked near both ends


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    kind: str
    leg: float
    throat: float


def welds(
    brief: Brief, frame: Frame, touching: Sequence[Contact], assemblies: Sequence[Assembly]
) -> tuple[Weld, ...]:
    """Return every weld with its mark, assembly and place in the order of welding.

    Parameters
    ----------
    touching : of ``framecore.solids.contacts``
    assemblies : of ``framecore.shop.assemblies``; the last one is the whole stand

    Notes
    -----
    A fillet's throat is ``z cos(opening / 2)`` for equal legs z; leg and throat of a joint are one per kind of seam.
    """
    members = {m.name: m for m in frame.members}
    plates = {p.name: p for p in frame.plates}
    joints: dict[frozenset[str], str] = {}
    for j in frame.joints:
        for a in j.members:
            for b in j.members:
                if a < b:
                    joints.setdefault(frozenset((a, b)), j.name)
    found: list[Weld] = []
    for contact in touching:
        pair = frozenset((contact.one, contact.other))
        parts = [members.get(n) or plates[n] for n in (contact.one, contact.other)]
        joint = joints.get(pair, "")
        if all(isinstance(p, Member) for p in parts):
            how = "round" if joint else ""
        else:
            how = _plate_how(brief, parts)
            joint = next(p.name for p in parts if isinstance(p, Plate))
        if how:
            found += _of_contact(brief, frame, contact, parts, joint, how)
    found = _flush(frame, found)
    homes = _homes(assemblies)
    placed = [replace(w, assembly=_home(w, homes, assemblies)) for w in found]
    ordered = in_order(placed, [a.name for a in assemblies])
    return _marked(ordered)


def _plate_how(brief: Brief, parts: Sequence[Member | Plate]) -> str:
    """Return "round", "stitch" or "" for a contact with a plate in it."""
    plates = [p for p in parts if isinstance(p, Plate)]
    roles = {p.role for p in plates}
    if not all(p.steel for p in plates) or PlateRole.BACKSTOP in roles:
        return ""
    if len(plates) == 2:
        one, other = plates
        if one.sheet and one.sheet == other.sheet:
            # Lips are folded up from the bottom; only where two lips meet is the corner welded.
            return "" if "bottom" in one.name + other.name else "round"
        return "round" if roles <= set(SOLID) else ""
    (plate,) = plates
    if plate.sheet or (plate.role is PlateRole.PANEL and brief.braces.panel_fixing == "bolted"):
        return ""
    if plate.role in STITCHED or (plate.role is PlateRole.BRACKET and plate.thickness <= THIN):
        return "stitch"
    return "round"


def _of_contact(
    brief: Brief, frame: Frame, contact: Contact, parts: Sequence[Member | Plate], joint: str, how: str
) -> Iterator[Weld]:
    """One weld for each kind of seam of a contact."""
    kinds: dict[_Kind, list[Seam]] = {}
    for seam in contact.seams:
        if seam.opening < _LEAST:
            continue
        if how == "stitch" and not (seam.opening < _FLUSH[0] and seam.length > 2 * STITCH):
            continue
        kinds.setdefault(_kind(brief, seam, parts), []).append(seam)
    ending = [sum(s.edges == e for s in contact.seams) for e in ((True, False), (False, True))]
    order = (contact.one, contact.other) if ending[1] >= ending[0] else (contact.other, contact.one)
    for kind, seams in kinds.items():
        pitch = _pitch(brief, parts) if how == "stitch" else 0.0
        length = sum(s.length for s in seams)
        if pitch:
            length = sum(_stitches(s.length, pitch) * STITCH for s in seams)
        yield Weld(
            mark="", joint=joint, parts=order, kind=kind.kind, leg=kind.leg, throat=kind.throat,
            runs=tuple((s.a, s.b) for s in seams), length=length, faces=tuple((s.one, s.other) for s in seams),
            pitch=pitch, stitch=STITCH if pitch else 0.0, tacks=tuple(t for s in seams for t in _tacks(s)),
        )  # fmt: skip


def _pitch(brief: Brief, parts: Sequence[Member | Plate]) -> float:
    panel = any(isinstance(p, Plate) and p.role is PlateRole.PANEL for p in parts)
    return brief.braces.panel_pitch if panel else STITCH_PITCH


def _stitches(length: float, pitch: float) -> int:
    """Stitches of a run: one at each end, the rest at most a pitch apart."""
    return 1 if length < 2 * STITCH else math.ceil((length - STITCH) / pitch) + 1


def _kind(brief: Brief, seam: Seam, parts: Sequence[Member | Plate]) -> _Kind:
    thin = min(p.profile.wall if isinstance(p, Member) else p.thickness for p in parts)
    leg = min(brief.welding.leg, thin)
    if seam.flare:
        return _Kind(kind="flare-bevel", leg=0.0, throat=min(flare_share(brief.welding.process) * seam.flare, thin))
    if seam.opening < _FLUSH[0]:
        return _Kind(kind="fillet", leg=leg, throat=round(leg * math.cos(seam.opening / 2), 3))
    return _Kind(kind="butt" if seam.opening <= _FLUSH[1] else "corner", leg=0.0, throat=thin)


def _tacks(seam: Seam) -> tuple[Vector, ...]:
    way = minus(seam.b, seam.a)
    at = (0.5,) if seam.length < _TACK else (0.15, 0.85)
    return tuple(along(seam.a, t, way) for t in at)


def _flush(frame: Frame, found: list[Weld]) -> list[Weld]:
    """Mark the welds that must be dressed flat because something lies over them."""
    covers = [p for p in frame.plates if p.role in _COVERS]
    out = []
    for w in found:
        why = ""
        for plate in covers:
            if plate.name in w.parts:
                continue
            if any(_under(plate, point) for run in w.runs for point in (run[0], run[-1], _middle(run))):
                why = f"{plate.name} lies on it"
                break
        if not why and w.kind in ("butt", "flare-bevel", "corner") and _at_seat(frame, w):
            why = "the machine's feet stand at this level"
        out.append(replace(w, flush=bool(why), why=why) if why else w)
    return out


_COVERS = (PlateRole.TOP, PlateRole.SHELF, PlateRole.PANEL, PlateRole.TRAY, PlateRole.BLOCK, PlateRole.HEAD, PlateRole.PAD)
_NEAR = 0.6  # mm


def _middle(run: Sequence[Vector]) -> Vector:
    (a, b, c), (d, e, f) = run[0], run[-1]
    return ((a + d) / 2, (b + e) / 2, (c + f) / 2)


def _under(plate: Plate, point: Vector) -> bool:
    """Whether a point lies on one of the plate's two faces, within its box."""
    off = minus(point, plate.origin)
    u, v = sum(map(_times, off, plate.u_axis)), sum(map(_times, off, plate.v_axis))
    w = math.sqrt(max(sum(k * k for k in off) - u * u - v * v, 0.0))
    low, high = plate.outline.min(0).tolist(), plate.outline.max(0).tolist()
    inside = low[0] + _NEAR < u < high[0] - _NEAR and low[1] + _NEAR < v < high[1] - _NEAR
    return inside and (w < _NEAR or abs(w - plate.thickness) < _NEAR)


def _times(a: float, b: float) -> float:
    return a * b


def _at_seat(frame: Frame, w: Weld) -> bool:
    """Whether the weld lies in the level the machine stands on, near one of its feet."""
    for run in w.runs:
        x, y, z = _middle(run)
        if any(abs(z - m.point[2]) < _NEAR and math.hypot(x - m.point[0], y - m.point[1]) < _FOOT for m in frame.mounts):
            return True
    return False


_FOOT = 80.0  # mm round a bolt that a machine's foot may cover (common practice)


def _homes(assemblies: Sequence[Assembly]) -> dict[str, int]:
    return {n: k for k, a in enumerate(assemblies) for n in (*a.members, *a.plates)}


def _home(w: Weld, homes: dict[str, int], assemblies: Sequence[Assembly]) -> str:
    """A weld within one assembly is made there, any other where both come together."""
    a, b = (homes.get(n, len(assemblies) - 1) for n in w.parts)
    if a == b:
        return assemblies[a].name
    names = {assemblies[a].name, assemblies[b].name}
    # The first later assembly that takes one in and has or takes the other.
    for k in range(max(a, b), len(assemblies)):
        whole = {assemblies[k].name, *assemblies[k].takes}
        if names <= whole:
            return assemblies[k].name
    return assemblies[-1].name


def _marked(ordered: Sequence[Weld]) -> tuple[Weld, ...]:
    """Welds that are alike carry one mark, numbered as they first come."""
    marks: dict[tuple[object, ...], str] = {}
    out = []
    for w in ordered:
        stem = w.joint.rstrip("0123456789 ").split(" ")[0]
        size = (w.leg, round(w.throat, 2), len(w.runs), round(w.length / _ALIKE), w.pitch, w.flush)
        key = (w.kind, size, stem, w.assembly.split(" ")[0])
        marks.setdefault(key, f"W{len(marks) + 1}")
        out.append(replace(w, mark=marks[key]))
    return tuple(out)
