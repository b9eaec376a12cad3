"""Frame -> pieces and plates with marks: what is cut alike carries one mark."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from framecore.frame.model import Frame, Hole, Member, Plate, Vector
from framecore.frame.vector import along, dot, minus
from framecore.shop._ends import cut_form, end_texts
from framecore.shop._fixings import VICE_PLATE
from framecore.shop.folded import blank, blank_note, largest
from framecore.shop.model import ShopPiece, ShopPlate
from framecore.solids.model import Solids

Key = tuple[object, ...]
# Lengths that differ by less than this are sawn as one, mm.
ALIKE = 0.05


def _drilling(member: Member, holes: Sequence[Hole]) -> Key:
    """Where holes sit along and across a member, seen from whichever end makes the smaller list: turned pieces match."""
    if not holes:
        return ()
    x = member.x_axis
    at = [
        (round(dot(minus(h.centre, member.start.point), x), 1), _across(member, h), h.diameter,
         _slot(h, x, member.y_axis, member.z_axis))
        for h in holes
    ]  # fmt: skip
    whole = dot(minus(member.end.point, member.start.point), x)
    forwards = tuple(sorted(at))
    # A piece turned end for end about the upright keeps the way its slots run; what lay left of its middle lies right.
    backwards = tuple(sorted((round(whole - t, 1), 0.0 - a, d, s) for t, a, d, s in at))
    return min(forwards, backwards)


def _across(member: Member, hole: Hole) -> float:
    """How far a hole sits off the middle of the face it is drilled into, mm, to the tenth."""
    off, (b, c) = minus(hole.centre, member.start.point), member.profile.box_centre
    up = abs(dot(hole.axis, member.z_axis)) > 0.9
    return round(dot(off, member.y_axis) - b if up else dot(off, member.z_axis) - c, 1) + 0.0


def _slot(hole: Hole, *axes: Vector) -> tuple[float, ...]:
    """How a slot lies in the axes of what it is cut in, the same from either end of it; empty where it is round."""
    if not hole.slot:
        return ()
    way = [round(dot(hole.slot_axis, a), 3) + 0.0 for a in axes]
    first = next((w for w in way if abs(w) > 1e-3), 1.0)
    return (round(hole.slot, 2), *(w if first > 0 else 0.0 - w for w in way))


def _letters(number: int) -> str:
    """Return A, B, ... Z, AA, ... leaving out I and O, which read as 1 and 0."""
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, len(alphabet))
        text = alphabet[digit] + text
    return text


def shop_pieces(
    frame: Frame, solids: Solids, longer: Mapping[str, float] | None = None
) -> tuple[tuple[ShopPiece, ...], dict[str, str]]:
    """Group members that are cut alike; a letter a profile, a number a piece, longest first.

    Parameters
    ----------
    longer : member name -> mm that it is sawn longer for shrinkage; none is where it has no name here

    Returns
    -------
    pieces : in order of mark
    marks : member name -> mark
    """
    groups: dict[Key, list[int]] = {}
    more = longer or {}
    drilled: dict[str, list[Hole]] = {}
    for h in frame.holes:
        drilled.setdefault(h.owner, []).append(h)
    for k, m in enumerate(frame.members):
        key = (m.profile.id, round(m.length / ALIKE), cut_form(m), _drilling(m, drilled.get(m.name, ())), m.chamfer, m.note,
               more.get(m.name, 0.0))  # fmt: skip
        groups.setdefault(key, []).append(k)
    profiles = list(dict.fromkeys(m.profile.id for m in frame.members))
    pieces: list[ShopPiece] = []
    marks: dict[str, str] = {}
    for p, profile_id in enumerate(profiles):
        own = [g for key, g in groups.items() if key[0] == profile_id]
        own.sort(key=lambda g: (-frame.members[g[0]].length, -more.get(frame.members[g[0]].name, 0.0)))
        for n, group in enumerate(own):
            m = frame.members[group[0]]
            mark = f"{_letters(p)}{n + 1}"
            for k in group:
                marks[frame.members[k].name] = mark
            pieces.append(
                ShopPiece(
                    mark=mark, profile=m.profile, length=m.length, short_length=_shortest(m),
                    members=tuple(frame.members[k].name for k in group), ends=end_texts(m),
                    holes=len(drilled.get(m.name, ())), chamfer=m.chamfer,
                    mass=float(solids.masses[group[0]]), note=m.note, longer=more.get(m.name, 0.0),
                )
            )  # fmt: skip
    return tuple(pieces), marks


def _shortest(m: Member) -> float:
    """Length of the shortest fibre, mm."""
    x, (b, c) = m.x_axis, m.profile.box_centre
    if m.start.kind == m.end.kind == "square":
        return dot(m.end.point, x) - dot(m.start.point, x)
    w, h = m.profile.width / 2, m.profile.height / 2
    none = (0.0, 0.0, 0.0)
    corners = [along(along(none, b + i * w, m.y_axis), c + j * h, m.z_axis) for i in (-1, 1) for j in (-1, 1)]
    reach = [[dot(end.point, x) - dot(o, end.normal) / dot(end.normal, x) for o in corners] for end in (m.start, m.end)]
    return float(min(last - first for first, last in zip(*reach, strict=True)))


def _places(plate: Plate, holes: Sequence[Hole]) -> Key:
    """Where holes sit in a plate, by distances to its corners and to each other: turned and mirrored plates match."""
    corners = plate.outline.tolist()
    spots = [(dot(off, plate.u_axis), dot(off, plate.v_axis)) for off in (minus(h.centre, plate.origin) for h in holes)]
    out = []
    for h, at in zip(holes, spots, strict=True):
        far = sorted(_tenth(math.dist(at, c)) for c in (*corners, *spots))
        out.append((_tenth(h.diameter), _tenth(h.depth), h.tapped, _tenth(h.slot), *far))
    return tuple(sorted(out))


def _sides(plate: Plate) -> tuple[float, float]:
    """How far a plate's outline reaches along its u and its v axis, mm."""
    us, vs = zip(*plate.outline.tolist(), strict=True)
    return max(us) - min(us), max(vs) - min(vs)


def _tenth(value: float) -> int:
    """Whole tenths of a millimetre, moved off the half tenths at which sizes in whole units would be cut either way."""
    return round(10 * value + 0.137)


def _label(plate: Plate) -> str:
    """What a plate is called: by its role, a vice's plate by its own name wherever it is told."""
    return plate.name if plate.name == VICE_PLATE else str(plate.role)


def shop_plates(frame: Frame, solids: Solids, marks: dict[str, str]) -> tuple[ShopPlate, ...]:
    """Group plates that are alike; marks P1, P2, ... are added to ``marks``.

    Plates of one folded sheet are one piece, listed by the name of its largest part with the size of its blank.
    """
    groups: dict[Key, list[int]] = {}
    drilled_in: dict[str, list[Hole]] = {p.name: [] for p in frame.plates}
    for h in frame.holes:
        if h.owner in drilled_in:
            drilled_in[h.owner].append(h)
    for k, p in enumerate(frame.plates):
        if p.sheet:
            groups.setdefault(("folded", p.sheet), []).append(k)
            continue
        size = tuple(round(10 * v) for v in _sides(p))
        own = drilled_in[p.name]
        slots = tuple(sorted(_slot(h, p.u_axis, p.v_axis) for h in own))
        key: Key = (p.role, p.thickness, p.steel, size, len(p.outline), slots, _places(p, own))
        groups.setdefault(key, []).append(k)
    out = []
    for n, (key, group) in enumerate(groups.items()):
        p = frame.plates[group[0]]
        one = names = tuple(frame.plates[k].name for k in group)
        note, mass = p.note, float(solids.masses[len(frame.members) + group[0]])
        if key[0] == "folded":
            parts = [frame.plates[k] for k in group]
            length, width = blank(parts)
            note, mass = f"{blank_note(parts)}; {note}", float(sum(solids.masses[len(frame.members) + k] for k in group))
            drilled, one = names, (largest(parts).name,)
        else:
            length, width = sorted(_sides(p), reverse=True)
            drilled = names[:1]
        for name in names:
            marks[name] = f"P{n + 1}"
        out.append(
            ShopPlate(
                mark=f"P{n + 1}", label=_label(p), length=length, width=width, thickness=p.thickness, names=one,
                holes=sum(h.owner in drilled for h in frame.holes), mass=mass, steel=p.steel, note=note,
            )
        )  # fmt: skip
    return tuple(out)
