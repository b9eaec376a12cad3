"""What an assembly's drawing says: which assemblies are alike, how each is looked at, where its parts lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Member, Plate, Role
from framecore.sheets.drawing.hidden import View
from framecore.sheets.parts.part_placing import facing
from framecore.shop.work import Assembly, Work
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
END_ON = 0.9  # cosine to the eye's line over which a member is seen end on
NEAR = 0.5  # mm; corners nearer than this lie level
SLANTING = (Role.BRACE,)
LEVEL = 0.02  # sine of the slope under which a member counts as level in a view


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Assemblies that are drawn once: ``number`` in the order of welding, ``alike`` (number, assembly, "like" or "mirror")."""

    number: int
    assembly: Assembly
    alike: tuple[tuple[int, Assembly, str], ...] = ()


def axes_of(view: View) -> Floats:
    """Return (3, 3) the axes of what is looked at: right, up, towards the eye."""
    return np.array([view.right, view.up, -view.forward])


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
    """Where a part lies across a view, mm in view coordinates; ``along`` its far end; ``middle``: centre line, not edge."""

    name: str
    place: float
    along: float
    middle: bool


def places(stand: Stand, names: Sequence[str], view: View, axis: int) -> list[At]:
    """Return where members and plates lie that run square to the axis: 0 the upright ones across, 1 the level ones up.

    A bearer is told by its centre line, for the machine's holes lie in it; all others by their lower or left edge. A slanting
    member is told by the level of its lower end, and by how far across it reaches with its upper one.
    """
    frame, way = stand.frame, (np.asarray(view.right), np.asarray(view.up))
    members = {m.name: m for m in frame.members}
    out = []
    for name in names:
        m = members.get(name)
        if m is None:
            out += _plate_place(stand, name, view, axis)
            continue
        if _slants(m, way):
            out += _slant_place(stand, name, view, axis)
            continue
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


def _slants(m: Member, way: tuple[Floats, Floats]) -> bool:
    """Whether a brace or strut is seen at a slant; legs and rails have their measures over all."""
    return m.role in SLANTING and all(abs(float(np.asarray(m.x_axis) @ w)) > LEVEL for w in way)


def _plate_place(stand: Stand, name: str, view: View, axis: int) -> list[At]:
    """Place of a plate by its left or lower edge; one seen as a level line is told by its level, across by another view."""
    plate = stand.frame.plate(name)
    level = abs(float(np.cross(plate.u_axis, plate.v_axis) @ np.asarray(view.up))) > END_ON
    if axis == 0 and level:
        return []
    flat = view.flat(_corners(plate))
    low = flat.min(axis=0).tolist()
    return [At(name=name, place=low[axis], along=low[1 - axis], middle=False)]


def _slant_place(stand: Stand, name: str, view: View, axis: int) -> list[At]:
    """Place of a slanting member: the level of its lower end, and how far across it reaches at its upper one."""
    layout = stand.solids.layout
    flat = view.flat(stand.solids.vertices[layout.vertex_part == layout.parts.index(name)])
    (x0, y0), (x1, y1) = flat.min(axis=0).tolist(), flat.max(axis=0).tolist()
    foot, head = (flat[flat[:, 1] < y0 + NEAR, 0].mean(), flat[flat[:, 1] > y1 - NEAR, 0].mean())
    if axis == 0:
        return [At(name=name, place=x0 if head < foot else x1, along=y1, middle=False)]
    return [At(name=name, place=y0, along=x0, middle=False)]
