"""What an assembly's drawing says: which assemblies are alike, how each is looked at, where its parts lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame, Hole, Member, Plate, Role
from framecore.sheets.hidden import View
from framecore.sheets.part_placing import facing
from framecore.shop.assemblies import STAND
from framecore.shop.work import Assembly, Work
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
NEAR = 0.2  # mm; places nearer than this are one
END_ON = 0.9  # cosine to the eye's line over which a member is seen end on
LEVEL = 0.02  # sine of the slope under which a member counts as level in a view


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Assemblies that are drawn once: ``number`` in the order of welding, ``alike`` (number, assembly, "like" or "mirror")."""

    number: int
    assembly: Assembly
    alike: tuple[tuple[int, Assembly, str], ...] = ()


def kinds(stand: Stand, work: Work) -> tuple[Kind, ...]:
    """Group the assemblies; alike are those of the same pieces in the same places, turned over or mirrored."""
    out: list[Kind] = []
    for number, assembly in enumerate(work.assemblies, 1):
        for k, kind in enumerate(out):
            how = "" if STAND in (assembly.name, kind.assembly.name) else likeness(stand, kind.assembly, assembly)
            if how:
                out[k] = Kind(number=kind.number, assembly=kind.assembly, alike=(*kind.alike, (number, assembly, how)))
                break
        else:
            out.append(Kind(number=number, assembly=assembly))
    return tuple(out)


def likeness(stand: Stand, a: Assembly, b: Assembly) -> str:
    """Return "like" where ``b`` is ``a`` turned over, "mirror" where only its mirror image, "" where neither."""
    counts = [(len(x.members), len(x.plates), len(x.takes)) for x in (a, b)]
    if counts[0] != counts[1] or not (a.members or a.plates):
        return ""
    first, second = _spots(stand, a), _spots(stand, b)
    if [s[0] for s in first] != [s[0] for s in second]:
        return ""
    marks = np.array([hash(s[0]) for s in first])
    p, q = (np.array([s[1] for s in spots]) for spots in (first, second))
    found = ""
    for signs in product((1.0, -1.0), repeat=3):
        way = "like" if np.prod(signs) > 0 else "mirror"
        if found != "like" and way != found and _same(marks, p * signs, q):
            found = way
    return found


def _same(marks: NDArray[np.int64], p: Floats, q: Floats) -> bool:
    """Whether every place of p is one of q with the same mark."""
    away = np.abs(p[:, None] - q[None]).max(axis=2)
    return bool(((away < NEAR) & (marks[:, None] == marks[None])).any(axis=1).all())


def _spots(stand: Stand, assembly: Assembly) -> list[tuple[str, tuple[float, float, float]]]:
    """Mark and place of the members' ends, the plates' middles and the holes, in the assembly's own axes."""
    view = view_of(stand, assembly)
    axes = np.array([view.right, view.up, -view.forward])
    frame, mark_of = stand.frame, stand.shop.piece_of
    found: list[tuple[str, Floats]] = []
    for name in assembly.members:
        m = frame.member(name)
        found += [(mark_of[name], axes @ np.asarray(e.point)) for e in (m.start, m.end)]
    for name in assembly.plates:
        found.append((mark_of[name], axes @ _middle(frame.plate(name))))
    middle = np.mean([p for _, p in found], axis=0)
    own = set(assembly.members)
    for h in frame.holes:
        if h.owner in own:
            found.append((f"hole {h.diameter:.1f} {h.slot:.1f}", axes @ _inside(h, frame.member(h.owner))))
    spots = [(k, tuple(float(v) for v in p - middle)) for k, p in found]
    return sorted(spots, key=lambda s: s[0])  # type: ignore[arg-type]


def _inside(hole: Hole, member: Member) -> Floats:
    """The hole's middle in the middle of the member: from which side it is drilled is the piece's own matter."""
    x = np.asarray(member.x_axis)
    start = np.asarray(member.start.point)
    return np.asarray(start + ((np.asarray(hole.centre) - start) @ x) * x)


def _middle(plate: Plate) -> Floats:
    low, high = plate.outline.min(axis=0), plate.outline.max(axis=0)
    u, v = np.asarray(plate.u_axis), np.asarray(plate.v_axis)
    mid = (low + high) / 2
    return np.asarray(np.asarray(plate.origin) + mid[0] * u + mid[1] * v + np.cross(u, v) * plate.thickness / 2)


def names_of(assembly: Assembly, work: Work) -> tuple[str, ...]:
    """Return the names of all parts of an assembly, those of the assemblies it takes included."""
    out = [*assembly.members, *assembly.plates]
    for name in assembly.takes:
        out += names_of(next(a for a in work.assemblies if a.name == name), work)
    return tuple(dict.fromkeys(out))


def view_of(stand: Stand, assembly: Assembly) -> View:
    """Return how an assembly is looked at: as it lies on the bars, from above; one that is not flat on its broadest side."""
    frame = stand.frame
    if assembly.flat is not None:
        n = np.asarray(assembly.flat)
        if abs(n[2]) > 0.9:
            down = "upside down" in assembly.text
            return facing((0.0, 0.0, -1.0), (0.0, -1.0, 0.0)) if down else facing((0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
        middle = np.mean([np.asarray(frame.member(m).start.point) for m in assembly.members], axis=0)
        inwards = -float(n @ (middle * (1.0, 1.0, 0.0)))
        n = n if inwards >= 0 else -n
        return facing((float(n[0]), float(n[1]), float(n[2])))
    points = np.array(
        [e.point for name in assembly.members for e in (frame.member(name).start, frame.member(name).end)]
        or [c for name in assembly.plates for c in _corners(frame.plate(name))]
    )
    reach = points.max(axis=0) - points.min(axis=0) + 1.0
    across = int(np.argmin(reach + np.array([0.002, 0.0, 0.001])))
    return facing(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))[across])


def _corners(plate: Plate) -> Floats:
    u, v = np.asarray(plate.u_axis), np.asarray(plate.v_axis)
    return np.asarray(np.asarray(plate.origin) + plate.outline[:, :1] * u + plate.outline[:, 1:] * v)


def seen_from(assembly: Assembly, view: View) -> str:
    """Return in words how the drawing lies to the stand."""
    towards = -view.forward
    k = int(np.argmax(np.abs(towards)))
    if assembly.flat is not None and abs(assembly.flat[2]) > 0.9:
        if "upside down" in assembly.text:
            return "as it lies, upside down: front of the stand above, left stays left"
        return "seen from above: front of the stand below"
    right = np.asarray(view.right)
    j = int(np.argmax(np.abs(right)))
    words = (("left", "right"), ("front", "back"))
    hand = words[j][0 if right[j] > 0 else 1] if j < 2 else ""
    if assembly.flat is not None:
        return f"inner faces up: {hand} of the stand on the left, feet below"
    where = (("from the left", "from the right"), ("from the front", "from the back"), ("from below", "from above"))
    return f"seen {where[k][1 if towards[k] > 0 else 0]}"


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """Where a member lies across a view, mm in view coordinates; ``along`` its far end; ``middle``: centre line, not edge."""

    name: str
    place: float
    along: float
    middle: bool


def places(frame: Frame, names: Sequence[str], view: View, axis: int) -> list[At]:
    """Return where members lie that run square to the axis: 0 the upright ones across, 1 the level ones up.

    A bearer is told by its centre line, for the machine's holes lie in it; all others by their lower or left edge.
    """
    way = (np.asarray(view.right), np.asarray(view.up))
    out = []
    for name in names:
        m = frame.member(name)
        if abs(float(np.asarray(m.x_axis) @ way[axis])) > LEVEL:
            continue
        if axis == 0 and abs(float(np.asarray(m.x_axis) @ view.forward)) > END_ON:
            continue  # its level tells it
        ends = np.array([m.start.point, m.end.point])
        y, z = (abs(float(np.asarray(a) @ way[axis])) for a in (m.y_axis, m.z_axis))
        b, c = m.profile.box_centre
        shift = float(np.asarray(m.y_axis) @ way[axis]) * b + float(np.asarray(m.z_axis) @ way[axis]) * c
        half = (y * m.profile.width + z * m.profile.height) / 2
        mid = float((ends @ way[axis]).mean()) + shift
        bearer = m.role is Role.BEARER and axis == 0
        far = float((ends @ way[1 - axis]).min())
        out.append(At(name=name, place=mid if bearer else mid - half, along=far, middle=bearer))
    return out
