"""Which pieces are welded together first: rings and end frames laid flat, then the stand that is put together from them.

Legs that stand abreast make an end frame with the rails between them, mitred rails make a ring, a column has its cross and
its plates, a beam its cross pieces. What is left joins these to the stand. Each carries the measures that show it square.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from framecore.frame.model import Frame, Member, PlateRole, Role, Vector
from framecore.frame.vector import cross, dot, minus
from framecore.shop._measures import axes, column_checks, corners_of, flat_checks, space_checks, square_check
from framecore.shop.tolerance import angular_tolerance
from framecore.shop.work import Assembly, Check
from framecore.solids.model import Solids

ABREAST = 30.0  # mm; legs whose feet lie this near to one line across the stand make an end frame
_IN_PLANE = 60.0  # mm; ends of a rail this near to the legs' plane lie in it
RINGS = ("ring corner", "ring corner on leg", "ring in angle")
STAND, COLUMN = "stand", "column"
_LAST = (PlateRole.TOP, PlateRole.SHELF, PlateRole.PANEL, PlateRole.TRAY, PlateRole.BACK, PlateRole.BACKSTOP)
_STANDING = (Role.POST, Role.BRACE)  # these stand up past the corners that are measured
_TIES = (Role.LOWER_RAIL, Role.STRETCHER, Role.BRACE)


@dataclass(slots=True)
class _Group:
    name: str
    members: list[str]
    plates: list[str]
    takes: tuple[str, ...] = ()
    flat: Vector | None = None
    text: str = ""


def assemblies(frame: Frame, solids: Solids) -> tuple[Assembly, ...]:
    """Return the assemblies in the order they are welded; the last one is the whole stand."""
    left = {m.name for m in frame.members}
    groups: list[_Group] = []

    def take(group: _Group) -> None:
        group.members = [n for n in group.members if n in left]
        if len(group.members) + len(group.plates) > 1:
            left.difference_update(group.members)
            groups.append(group)

    for group in (*_rings(frame), *_end_frames(frame), *_column(frame), *_beam(frame), *_posts(frame)):
        take(group)
    for group in _pedestals(frame, groups, left):
        take(group)
    _give_plates(frame, groups)
    sheets = {p.sheet for p in frame.plates if p.sheet}
    for sheet in sorted(sheets):
        own = [p.name for p in frame.plates if p.sheet == sheet]
        text = "Fold the blank along the bend lines, then weld the corners by the weld map and dress them outside."
        groups.append(_Group(sheet, [], own, text=text))
    taken = {n for g in groups for n in g.plates}
    inner = {n for g in groups for n in g.takes}
    groups.append(
        _Group(
            STAND, [m.name for m in frame.members if m.name in left], [p.name for p in frame.plates if p.name not in taken],
            takes=tuple(g.name for g in groups if g.name not in inner), text=_stand_text(frame, groups),
        )
    )  # fmt: skip
    return tuple(_finished(frame, solids, g, groups) for g in groups)


def wholes(made: Sequence[Assembly]) -> tuple[frozenset[str], ...]:
    """Return the names of all parts in each assembly, those of the assemblies it takes among them."""
    out: dict[str, frozenset[str]] = {}
    for a in made:
        out[a.name] = frozenset((*a.members, *a.plates)).union(*(out[t] for t in a.takes))
    return tuple(out.values())


def _rings(frame: Frame) -> list[_Group]:
    """Rings whose corners are welded to each other, each in its level, with what lies between their rails."""
    corners = [j for j in frame.joints if j.kind in RINGS]
    members = {m.name: m for m in frame.members}
    out = []
    for role, name in ((Role.TOP_RAIL, "top ring"), (Role.LOWER_RAIL, "lower ring")):
        rails = {n for j in corners for n in j.members if members[n].role is role}
        if len(rails) < 3:
            continue
        first = members[min(rails)]
        level, reach = first.start.point[2], first.profile.height / 2
        within = [
            m.name for m in frame.members
            if m.role in (role, Role.BEARER) and all(abs(p[2] - level) < reach for p in (m.start.point, m.end.point))
        ]  # fmt: skip
        upside = " upside down" if role is Role.TOP_RAIL else ""
        text = (
            f"Lay it out flat{upside} on straight bars that bridge the floor; tack the corners, match the diagonals, "
            "then weld."
        )
        out.append(_Group(name, within, [], flat=(0.0, 0.0, 1.0), text=text))
    return out


def _end_frames(frame: Frame) -> list[_Group]:
    """Legs abreast with the rails between them; of three legs the two in front."""
    legs = [m for m in frame.members if m.role is Role.LEG]
    if any(m.profile.is_angle for m in legs):
        return []  # angle legs go round rings that are welded before
    pairs = _abreast(legs, 0)
    if not pairs and len(legs) == 3:
        pairs = _abreast(legs, 1)
    out = []
    for k, pair in enumerate(pairs):
        a, b = pair[0], pair[-1]
        apart = minus(b.start.point, a.start.point)
        normal = _unit(cross(apart, a.x_axis))
        rails = [
            m.name for m in frame.members
            if m.role in (Role.LOWER_RAIL, Role.TOP_RAIL, Role.STRETCHER, Role.BRACE)
            and all(abs(dot(minus(p, a.start.point), normal)) < _IN_PLANE for p in (m.start.point, m.end.point))
            and abs(dot(m.x_axis, _unit(apart))) > 0.3
        ]  # fmt: skip
        ends = ("left", "right") if len(pairs) == 2 else ("left", *(f"middle {n}" for n in range(1, len(pairs) - 1)), "right")
        if len(pairs) == 3:
            ends = ("left", "middle", "right")
        name = "front frame" if len(pairs) == 1 else f"end frame {ends[k]}"
        if len(pairs) > 2 and "middle" in ends[k]:
            name = f"{ends[k].replace('middle', 'middle frame')}"
        text = (
            "Lay the legs on straight bars, outer faces down, rails between them; tack, match the diagonals, weld."
            if k == 0
            else "Clamp it together on the first one as its pattern, outer faces up, tack, lift it off and weld."
            if k == len(pairs) - 1
            else "Clamp it together on the first one as its pattern, tack, lift it off and weld."
        )
        out.append(_Group(name, [m.name for m in pair] + rails, [], flat=normal, text=text))
    return out


def _pedestals(frame: Frame, groups: Sequence[_Group], left: set[str]) -> list[_Group]:
    """Frames that lower rails join to each other and to no other: each such cluster is made before the stand."""
    frames = [g for g in groups if g.flat is not None and any(n.startswith("leg") for n in g.members)]
    of = {n: k for k, g in enumerate(frames) for n in g.members}
    links: list[tuple[str, set[int]]] = []
    for m in frame.members:
        if m.name in left and m.role in _TIES:
            near = {of[n] for j in frame.joints if m.name in j.members for n in j.members if n in of}
            links.append((m.name, near))
    home = list(range(len(frames)))
    for _, near in links:
        to = min((home[k] for k in near), default=0)
        gone = {home[k] for k in near}
        home = [to if h in gone else h for h in home]
    clusters = [[k for k, h in enumerate(home) if h == c] for c in sorted(set(home))]
    if len(clusters) < 2 or all(len(c) < 2 for c in clusters):
        return []
    ends = ("left", "right") if len(clusters) == 2 else ("left", *(f"middle {n}" for n in range(1, len(clusters) - 1)), "right")
    text = (
        "Stand its two frames up on straight bars, clamp the rails between, check that they do not wind, tack, measure again, "
        "then weld."
    )
    return [
        _Group(
            f"pedestal {end}", [n for n, near in links if near and near <= set(cluster)], [],
            takes=tuple(frames[k].name for k in cluster), text=text,
        )
        for end, cluster in zip(ends, clusters, strict=True)
        if len(cluster) > 1
    ]  # fmt: skip


def _abreast(legs: Sequence[Member], axis: int) -> list[list[Member]]:
    """Group legs whose feet lie on one line across the stand (axis 0) or along it (1); pairs and more only."""
    rows: list[list[Member]] = []
    for leg in sorted(legs, key=lambda m: m.start.point[axis]):
        if rows and leg.start.point[axis] - rows[-1][0].start.point[axis] < ABREAST:
            rows[-1].append(leg)
        else:
            rows.append([leg])
    return [sorted(r, key=lambda m: m.start.point[1 - axis]) for r in rows if len(r) > 1]


def _column(frame: Frame) -> list[_Group]:
    cross_ = [m.name for m in frame.members if m.role is Role.BASE]
    column = [m.name for m in frame.members if m.role is Role.COLUMN]
    if not column:
        return []
    ends = [p.name for p in frame.plates if p.role in (PlateRole.HEAD, PlateRole.BASE) and "column" in " ".join(p.on)]
    lay = "Lay it out flat on straight bars, tack, match the diagonals, weld."
    stand = "Set the plates square on the column's ends; tack on four sides before the first bead."
    return [
        _Group("base cross", cross_, [], flat=(0.0, 0.0, 1.0), text=lay),
        _Group(COLUMN, column, ends, text=stand),
    ]


def _beam(frame: Frame) -> list[_Group]:
    own = [n for j in frame.joints if j.kind == "cross piece on beam" for n in j.members]
    text = "Set the cross pieces on the beam with one straight bar over both; sight along them for twist, tack, weld."
    return [_Group("beam", list(dict.fromkeys(own)), [], text=text)] if own else []


def _posts(frame: Frame) -> list[_Group]:
    """A post with its arm."""
    out = []
    for joint in frame.joints:
        if joint.kind == "post on arm":
            out.append(_Group(joint.members[1], list(joint.members), [], text="Weld the arm square to its post."))
    return out


def _give_plates(frame: Frame, groups: Sequence[_Group]) -> None:
    """Pads go with their leg, gussets and plates with the assembly that has all they touch."""
    legs = {f.pad: f.leg for f in frame.feet}
    taken = {n for g in groups for n in g.plates}
    for plate in frame.plates:
        if plate.sheet or plate.name in taken or plate.role in _LAST:
            continue
        carriers = {legs[plate.name]} if plate.name in legs else _carriers(frame, plate.on)
        home = next((g for g in groups if carriers and carriers <= set(g.members)), None)
        if home is not None:
            home.plates.append(plate.name)


def _carriers(frame: Frame, on: Iterable[str]) -> set[str]:
    joints = {j.name: j.members for j in frame.joints}
    mounts = {m.name: (m.member,) for m in frame.mounts}
    members = {m.name for m in frame.members}
    out: set[str] = set()
    for name in on:
        if name in members:
            out.add(name)
        out.update(n for n in mounts.get(name, ()) if n)
        out.update(joints.get(name, ()))
    return out


def _stand_text(frame: Frame, groups: Sequence[_Group]) -> str:
    names = [g.name for g in groups]
    feet = [n for n in names if n.startswith(("end frame", "middle frame"))]
    pedestals = [n for n in names if n.startswith("pedestal")]
    after = "check that they do not wind, tack all of it, measure again, then weld corner by corner."
    if any(m.role is Role.LEG and m.profile.is_angle for m in frame.members):
        return f"Stand the rings on edge, clamp the angle legs round their corners, {after}"
    if "top ring" in names and (pedestals or feet):
        what = "both pedestals" if len(pedestals) == 2 else "the frames"
        return f"Lay the top ring upside down on straight bars, stand {what} on it with the feet up, {after}"
    if "beam" in names and feet:
        return f"Stand the end frames up on straight bars, lay the beam across them, clamp the rails between, {after}"
    if len(feet) > 1:
        return f"Stand the frames up on straight bars, clamp the rails between, {after}"
    if "front frame" in names:
        return f"Prop the front frame up at its lean, set the leg behind and the rails to it, {after}"
    if "column" in names:
        return (
            f"Set the column on its cross, square to it from two sides within {angular_tolerance(_shorter(frame)):g} per 1000; "
            "tack on four sides, look again, then weld opposite sides in turn."
        )
    return "Put it together on straight bars, check that it does not wind, tack all of it, measure again, then weld."


def _shorter(frame: Frame) -> float:
    """The shorter leg of the angle between a column and its cross, mm."""
    return min(
        max((math.dist(m.start.point, m.end.point) for m in frame.members if m.role is role), default=0.0)
        for role in (Role.COLUMN, Role.BASE)
    )


def _unit(v: Vector) -> Vector:
    size = math.sqrt(dot(v, v))
    return (v[0] / size, v[1] / size, v[2] / size)


def _upright(frame: Frame, solids: Solids, names: Iterable[str]) -> tuple[Check, ...]:
    """How high and how square a column stands on its cross; nothing where there is none."""
    column = next((m for m in frame.members if m.role is Role.COLUMN), None)
    if column is None:
        return ()
    ends = {p.name for p in frame.plates if p.role in (PlateRole.HEAD, PlateRole.BASE)}
    points = corners_of(solids, {*names, *ends, column.name})
    square = square_check(column.start.point, column.end.point, _shorter(frame))
    return (*column_checks(points, "from under the pads to the top"), square)


def _finished(frame: Frame, solids: Solids, group: _Group, groups: Sequence[_Group]) -> Assembly:
    names = set(group.members) | set(group.plates)
    todo = list(group.takes)
    while todo:
        name = todo.pop()
        inner = next(g for g in groups if g.name == name)
        names |= set(inner.members) | set(inner.plates)
        todo += inner.takes
    layout = solids.layout
    whole = group.name == STAND
    kinds = list(zip(layout.parts, layout.kinds, strict=True))
    wanted = np.array([n in names or (whole and k in ("foot", "caster")) for n, k in kinds])
    mass = float(solids.masses[wanted].sum())
    points = solids.vertices[wanted[layout.vertex_part]]
    steel = np.array([n in group.members or (whole and k == "member") for n, k in kinds])
    corners = solids.vertices[steel[layout.vertex_part]] if steel.any() else points
    e1, e2, n = axes(group.flat)
    flat = points @ np.stack([e1, e2, n], axis=1)
    size = sorted((flat.max(0) - flat.min(0)).tolist(), reverse=True)
    if group.name == STAND:
        own = (*(m.name for m in frame.members if m.role not in _STANDING), *(f.pad for f in frame.feet))
        checks = (*space_checks(corners_of(solids, own), [(f.name, f.top) for f in frame.feet]), *_upright(frame, solids, own))
    elif group.name == COLUMN:
        checks = column_checks(points, "both plates")
    elif len(group.takes) > 1:
        checks = space_checks(corners_of(solids, names), [(f.name, f.top) for f in frame.feet if f.leg in names])
    elif group.flat is not None:
        checks = flat_checks(corners, e1, e2)
    else:
        checks = ()
    return Assembly(
        name=group.name, members=tuple(group.members), plates=tuple(group.plates), takes=group.takes, flat=group.flat,
        checks=checks, mass=mass, size=(size[0], size[1], size[2]), text=group.text,
    )  # fmt: skip
