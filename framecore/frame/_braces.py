"""What stiffens the sides of a stand: diagonals, crosses, gussets and sheet panels in its bays; a fixed top."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np

from framecore.brief.model import Braces
from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.catalogue.model import Profile, Shape
from framecore.frame._bay import (
    Plane,
    Span,
    axes,
    crossing,
    depth_and_width,
    foot_on,
    grown,
    landings,
    reach_towards,
    span,
    unit,
    width_across,
)
from framecore.frame._brace_findings import (
    bearer_findings,
    brace_findings,
    gusset_findings,
    gussets_on_shelf,
    knee_findings,
    no_bay,
    open_bay,
    panel_findings,
    section_findings,
    small_bay,
)
from framecore.frame._build import box_bar
from framecore.frame.draft import Draft
from framecore.frame.fitup import tube_branch
from framecore.frame.model import NOTCH_SPARE, Bay, FitUp, Joint, Member, Plate, Plated, PlateRole, Role, Vector
from framecore.frame.vector import along, cross, dot, minus
from framecore.units import format_round

# How far a panel laps the members about its bay: a screw with its edge distance (common practice), mm.
LAP = 20.0
# Corner snipped off a gusset so that the rail's own weld runs through behind it (common practice), mm.
SNIP = 15.0
# A gusset counts as a strut between its two tips, this share of its side wide. Fitted to portals whose tubes and
# gussets are shells (40 to 60 mm tube with 3 mm walls, gussets 60 to 200 mm by 3 to 8 mm), where the tubes' walls give
# way under the tips: what gussets multiply the sway stiffness by comes out 10 % too low to 2 % too high; 5 mm walls
# give way less and then it is up to 18 % too low.
GUSSET_SHARE = 0.06
# Braces that land this near each other on one upright share a joint, mm.
_SAME = 1.0
TOP_PITCH = 150.0
_STITCH = 20.0
_CORNERS = (("bottom left", 0, 1, 3), ("bottom right", 1, 0, 2), ("top right", 2, 3, 1), ("top left", 3, 2, 0))


def dress(draft: Draft) -> None:
    """Add to every side what ``brief.braces`` asks for, and count a fixed sheet top as a panel."""
    braces = draft.brief.braces
    kinds = {"front": braces.front, "back": braces.back, "left": braces.left, "right": braces.right}
    _top(draft)
    wanted = {side: kind for side, kind in kinds.items() if kind != "none"}
    if not wanted:
        return
    draft.findings += knee_findings(kinds["front"])
    if any(kind in ("diagonal", "crossed") for kind in wanted.values()):
        profile = find_profile(draft.brief.frame.sections.braces)
        stops = section_findings(profile, crossed="crossed" in wanted.values())
        draft.findings += stops
        if stops:
            wanted = {side: kind for side, kind in wanted.items() if kind not in ("diagonal", "crossed")}
    members = {m.name: m for m in draft.members}
    for side, kind in wanted.items():
        bays = _in_order([b for b in draft.bays if b.side == side])
        # A layout without bays, such as the column, may have set gussets of its own.
        own = kind == "gussets" and any(p.role is PlateRole.GUSSET and p.name.endswith(side) for p in draft.plates)
        if not bays and not own:
            draft.findings.append(no_bay(draft, side, kind))
        for k, bay in enumerate(bays):
            if kind == "diagonal":
                _diagonal(draft, bay, members, _rises(bay, k))
            elif kind == "crossed":
                _crossed(draft, bay, members, _rises(bay, k))
            elif kind == "gussets":
                _gussets(draft, bay, members, braces)
            else:
                add_panel(draft, bay, members, braces)


def _in_order(bays: list[Bay]) -> list[Bay]:
    """Return the bays of a side along +x, or +y where the side runs that way."""
    return sorted(bays, key=lambda b: sum(c[_axis(b)] for c in b.corners))


def _axis(bay: Bay) -> int:
    u, _ = axes(bay)
    return 0 if abs(u[0]) >= abs(u[1]) else 1


def _along_stand(bay: Bay) -> int:
    """1 where the bay's u runs along +x or +y, else -1."""
    u, _ = axes(bay)
    return 1 if u[_axis(bay)] > 0 else -1


def _rises(bay: Bay, k: int) -> bool:
    """Whether a diagonal rises to the right seen from outside.

    The first of a side rises along +x or +y, the next falls, so that front and back, left and right mirror
    each other.
    """
    return (k % 2 == 0) == (_along_stand(bay) > 0)


def _bar(draft: Draft, name: str, profile: Profile, line: Span, start: Plane, end: Plane) -> Member:
    """Add one brace between two planes whose normals look into the brace."""
    side = cross(line.across, line.way)
    tall = profile.height >= profile.width
    member = box_bar(
        name, Role.BRACE, profile, start=start.on(line.start, line.way), end=end.on(line.start, line.way),
        y_axis=side if tall else line.across, z_axis=line.across if tall else cross(line.way, line.across),
        start_normal=_turned(start.normal), end_normal=_turned(end.normal),
    )  # fmt: skip
    draft.members.append(member)
    return member


def _turned(a: Vector) -> Vector:
    return (-a[0], -a[1], -a[2])


def _land(draft: Draft, upright: Member, brace: Member, where: str, face: Plane, line: Span) -> None:
    """Add the joint of a brace's end on an upright."""
    point = face.on(line.start, line.way)
    _join(
        draft,
        Joint(name=f"{brace.name} {where}", kind="brace on upright", members=(upright.name, brace.name),
              point=foot_on(upright, point), fit_ups=_fit(draft, upright, brace, face, line)),
    )  # fmt: skip


def _join(draft: Draft, joint: Joint) -> str:
    """Add a joint, or let one that is there already on the same member take it in; returns its name."""
    for k, other in enumerate(draft.joints):
        if other.members[0] == joint.members[0] and math.dist(other.point, joint.point) < _SAME:
            more = tuple(m for m in joint.members if m not in other.members)
            draft.joints[k] = replace(other, members=other.members + more, fit_ups=other.fit_ups + joint.fit_ups)
            return other.name
    draft.joints.append(joint)
    return joint.name


def _fit(draft: Draft, upright: Member, brace: Member, face: Plane, line: Span) -> tuple[FitUp, ...]:
    if upright.profile.shape not in (Shape.SQUARE_TUBE, Shape.RECT_TUBE):
        return ()
    weld, lean = draft.brief.welding, round(abs(dot(face.normal, line.way)), 9)
    return _slanting(brace.profile, upright.profile, width_across(upright, face.normal), lean, weld.leg, weld.process)


@lru_cache(maxsize=256)
def _slanting(
    branch: Profile, run: Profile, face: float, lean: float, leg: float, process: str
) -> tuple[FitUp, ...]:
    """Fit a brace's slanting end on a face ``face`` mm wide; ``lean`` cosine between the brace and the face's normal."""
    depth, width = depth_and_width(branch)
    fit = tube_branch(width, branch.wall_design, run, face, leg, process)
    sharp = 90.0 - math.degrees(math.acos(min(1.0, lean)))
    narrow = (
        f" In the narrow side of {sharp:.0f}° a fillet does not reach the root: count no weld there below 60° "
        f"(AWS D1.1, from memory)." if sharp < 60 else ""
    )  # fmt: skip
    text = f"{fit.text} Cut aslant, its end is {depth / lean:.0f} mm long along the upright.{narrow}"
    return (replace(fit, text=text),)


def _frame_of(bay: Bay, members: dict[str, Member]) -> tuple[Member, Member, tuple[Plane, Plane]]:
    left, right = members[bay.left], members[bay.right]
    return left, right, landings(bay, left, right)


def _diagonal(draft: Draft, bay: Bay, members: dict[str, Member], rising: bool) -> Span | None:
    """Add one whole brace; returns its line, None where it does not fit."""
    profile = find_profile(draft.brief.frame.sections.braces)
    depth, width = depth_and_width(profile)
    left, right, faces = _frame_of(bay, members)
    line = span(bay, faces, depth, draft.brief.welding.leg, rising=rising)
    if line is None:
        draft.findings.append(small_bay(bay, profile.id))
        return None
    low, high = (0, 1) if rising else (1, 0)
    uprights = (left, right)
    brace = _bar(draft, f"brace {bay.name}", profile, line, faces[low], faces[high])
    _land(draft, uprights[low], brace, "low", faces[low], line)
    _land(draft, uprights[high], brace, "high", faces[high], line)
    for upright, face in zip(uprights, faces, strict=True):
        draft.findings += brace_findings(bay, brace, width, upright, width_across(upright, face.normal))
    draft.findings += bearer_findings(bay, brace, depth, width, draft.members)
    return line


def _crossed(draft: Draft, bay: Bay, members: dict[str, Member], rising: bool) -> None:
    """Add one whole brace and the other way two halves that end on its faces."""
    profile = find_profile(draft.brief.frame.sections.braces)
    depth, width = depth_and_width(profile)
    left, right, faces = _frame_of(bay, members)
    first = _diagonal(draft, bay, members, rising)
    line = span(bay, faces, depth, draft.brief.welding.leg, rising=not rising)
    if first is None or line is None:
        return
    whole = f"brace {bay.name}"
    low, high = (1, 0) if rising else (0, 1)
    uprights = (left, right)
    # The halves come from below and above: each ends on the face of the whole brace that looks towards it.
    under = Plane(point=along(first.start, -depth / 2, first.across), normal=_turned(first.across))
    over = Plane(point=along(first.start, depth / 2, first.across), normal=first.across)
    lower_first = dot(minus(line.start, first.start), first.across) < 0
    near, far = (under, over) if lower_first else (over, under)
    halves = (
        _bar(draft, f"{whole} lower half", profile, line, faces[low], near),
        _bar(draft, f"{whole} upper half", profile, line, far, faces[high]),
    )
    _land(draft, uprights[low], halves[0], "low", faces[low], line)
    _land(draft, uprights[high], halves[1], "high", faces[high], line)
    draft.findings += bearer_findings(bay, halves[1], depth, width, draft.members)
    draft.joints.append(
        Joint(name=f"{whole} crossing", kind="brace on brace", members=(whole, *(h.name for h in halves)),
              point=crossing(first, line))
    )  # fmt: skip


def _gussets(draft: Draft, bay: Bay, members: dict[str, Member], braces: Braces) -> None:
    """Add a triangle at each corner of the bay that has a rail."""
    found = gusset_findings(bay, members, braces, draft.brief.welding.leg)
    draft.findings += found
    if found and found[0].code == "braces.gusset_large":
        return
    u, v = axes(bay)
    side, thickness = braces.gusset, braces.gusset_thickness
    snip = min(max(SNIP, 2 * draft.brief.welding.leg), side / 3)
    density = find_steel(draft.brief.steel.grade).density
    covered = any(p.role is PlateRole.SHELF for p in draft.plates)
    if covered and bay.bottom:
        draft.findings.append(gussets_on_shelf(bay))
    for where, own, beside, over in _CORNERS:
        rail = bay.bottom if own < 2 else bay.top
        if not rail or (covered and own < 2):
            continue
        upright = bay.left if own in (0, 3) else bay.right
        corner = bay.corners[own]
        ways = [unit(minus(bay.corners[other], corner)) for other in (beside, over)]
        if dot(cross(ways[0], ways[1]), bay.normal) < 0:
            ways.reverse()
        a, b = ((dot(w, u), dot(w, v)) for w in ways)
        outline = np.array([(snip * a[0], snip * a[1]), (side * a[0], side * a[1]), (side * b[0], side * b[1]),
                            (snip * b[0], snip * b[1])])  # fmt: skip
        name = f"gusset {bay.name} {where}"
        edges = (("upright", upright, over), ("rail", rail, beside))
        ends = []
        for word, member, other in edges:
            tip = along(corner, side, unit(minus(bay.corners[other], corner)))
            ends.append(
                _join(draft, Joint(name=f"{name} on {word}", kind=f"gusset on {word}", members=(member,),
                                   point=foot_on(members[member], tip)))
            )  # fmt: skip
        draft.plates.append(
            Plate(name=name, role=PlateRole.GUSSET, thickness=thickness, outline=outline,
                  origin=along(corner, -thickness / 2, bay.normal), u_axis=u, v_axis=v, density=density, on=tuple(ends))
        )  # fmt: skip
        draft.plated.append(
            Plated(kind="gusset", plate=name, ends=tuple(ends), width=GUSSET_SHARE * side, thickness=thickness)
        )


def add_panel(draft: Draft, bay: Bay, members: dict[str, Member], braces: Braces) -> None:
    """Cover the bay with a sheet outside that laps the members about it."""
    if not (bay.bottom and bay.top and all(bay.joints)):
        draft.findings.append(open_bay(bay))
        return
    if math.dist(bay.corners[0], bay.corners[3]) < 1e-6:
        return  # the rails lie on each other: there is nothing to cover
    u, v = axes(bay)
    about = [members[n] for n in (bay.left, bay.right, bay.bottom, bay.top)]
    # Two panels share a middle leg, so none takes more than half a member.
    lap = min(LAP, *(width_across(m, bay.normal) / 2 for m in about))
    outer = [reach_towards(m, bay.normal) - dot(bay.corners[0], bay.normal) for m in about]
    draft.findings += panel_findings(bay, dict(zip((m.name for m in about), outer, strict=True)))
    corners = grown(bay, lap)
    lines = grown(bay, lap / 2)
    pitch, units = braces.panel_pitch, draft.brief.units
    count = sum(math.ceil(math.dist(lines[k - 1], lines[k]) / pitch - 1e-9) for k in range(4))
    if braces.panel_fixing == "bolted":
        how = f"{count} screws, at most {format_round(pitch, units)} apart"
    else:
        how = (
            f"{count} stitches of {format_round(_STITCH, units)}, at most {format_round(pitch, units)} apart, "
            "never a continuous weld: it would buckle"
        )
    name = f"panel {bay.name}"
    sheet = (max(outer), max(outer) + braces.panel_thickness)
    passing = [m for m in _passing(members, bay, sheet) if m not in about]
    rim: list[Vector] = []
    clear = draft.brief.welding.leg + NOTCH_SPARE  # what passes is welded to the members about
    for own, wide in zip(bay.corners, corners, strict=True):
        near = [m for m in passing if _near(m, wide, lap)]
        rim += _notched(bay, own, wide, near, clear) if near else [wide]
    outline = np.array([(dot(minus(c, corners[0]), u), dot(minus(c, corners[0]), v)) for c in rim])
    if len(rim) > 4:
        how += "; corners notched where rails pass"
    draft.plates.append(
        Plate(name=name, role=PlateRole.PANEL, thickness=braces.panel_thickness, outline=outline,
              origin=along(corners[0], max(outer), bay.normal), u_axis=u, v_axis=v,
              density=find_steel(draft.brief.steel.grade).density, on=bay.joints,
              note=f"outside, lapping {format_round(lap, units)} all round; {how}")
    )  # fmt: skip
    draft.plated.append(
        Plated(kind="panel", plate=name, ends=bay.joints, width=0.0, thickness=braces.panel_thickness,
               fixing=braces.panel_fixing, pitch=pitch, count=count)
    )  # fmt: skip


def _passing(members: dict[str, Member], bay: Bay, sheet: tuple[float, float]) -> list[Member]:
    """Members that run through the panel's own thickness, square to it or nearly so."""
    corner, normal, (low, high) = bay.corners[0], bay.normal, sheet
    out = []
    for m in members.values():
        first, last = dot(minus(m.start.point, corner), normal), dot(minus(m.end.point, corner), normal)
        if (first < high or last < high) and (first > low or last > low):
            out.append(m)
    return out


def _near(passing: Member, corner: Vector, lap: float) -> bool:
    """Whether a member passes the panel's corner, mm."""
    off = minus(corner, passing.start.point)
    half = (passing.profile.width / 2 + lap, passing.profile.height / 2 + lap)
    return abs(dot(off, passing.y_axis)) < half[0] and abs(dot(off, passing.z_axis)) < half[1]


def _notched(bay: Bay, own: Vector, wide: Vector, near: list[Member], clear: float) -> list[Vector]:
    """Return a panel's corner notched to the bay's own corner, and further where what passes is wider; ``clear`` of it, mm."""
    u, v = axes(bay)
    out = minus(wide, own)
    inner = own
    for axis in (u, v):
        sign = 1.0 if dot(out, axis) > 0 else -1.0
        back = (-sign * axis[0], -sign * axis[1], -sign * axis[2])
        # How far behind the bay's own corner the nearest face of what passes begins.
        deep = max(reach_towards(m, back) - dot(own, back) for m in near)
        inner = along(inner, max(deep + clear, 0.0), back)
    rest = minus(wide, inner)
    beside, over = along(inner, dot(rest, u), u), along(inner, dot(rest, v), v)
    turn = [beside, inner, over]
    return turn if dot(out, u) * dot(out, v) > 0 else turn[::-1]


def _top(draft: Draft) -> None:
    """Let a sheet top, screwed every 150 mm, hold the ring square; a wooden one counts for nothing."""
    top = draft.brief.top
    if top.kind != "sheet" or len(draft.seat_joints) != 4 or not any(p.name == "top" for p in draft.plates):
        return
    at = {j.name: j.point for j in draft.joints if j.name in draft.seat_joints}
    x, y = (sum(p[i] for p in at.values()) / 4 for i in (0, 1))
    names = tuple(sorted(at, key=lambda n: math.atan2(at[n][1] - y, at[n][0] - x)))
    a, b, c, d = (at[n] for n in names)
    square = math.dist(along(a, 1.0, c), along(b, 1.0, d)) < 1.0 and abs(math.dist(a, c) - math.dist(b, d)) < 1.0
    if not square:
        return
    k, sheet = next((k, p) for k, p in enumerate(draft.plates) if p.name == "top")
    draft.plates[k] = replace(sheet, note=f"{sheet.note}; at most {TOP_PITCH:g} mm apart, it then holds the ring square")
    sides = (math.dist(at[one], at[other]) for one, other in zip(names, (*names[1:], names[0]), strict=True))
    draft.plated.append(
        Plated(kind="panel", plate="top", ends=names, width=0.0, thickness=top.thickness, fixing="bolted", pitch=TOP_PITCH,
               count=sum(math.ceil(s / TOP_PITCH - 1e-9) for s in sides))
    )  # fmt: skip
