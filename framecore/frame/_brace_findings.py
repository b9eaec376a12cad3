"""What cannot be braced as asked, and what is worth a second look."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.brief.model import Braces
from framecore.catalogue.model import Profile, Shape
from framecore.errors import Finding, Severity
from framecore.frame._bay import face_towards
from framecore.frame.draft import Draft
from framecore.frame.model import Bay, Member, Role
from framecore.frame.vector import dot, minus

_FLAT_FACED = (Shape.SQUARE_TUBE, Shape.RECT_TUBE, Shape.FLAT)
# A brace outside these is long for what it holds, or hardly holds sideways (common practice), deg from level.
LEAST_ANGLE, MOST_ANGLE = 25.0, 65.0
_FLUSH = 0.5


def knee_findings(kind: str) -> Iterator[Finding]:
    """Braces at the front are where knees and toes go."""
    if kind in ("diagonal", "crossed", "sheet panel"):
        what = "A sheet panel" if kind == "sheet panel" else "A brace"
        yield Finding(
            code="braces.knees", field="braces.front", severity=Severity.LOOK, allowed="none or gussets",
            nearest="gussets",
            message=f"{what} across the front is in the way of knees and toes; gussets leave the front open.",
        )  # fmt: skip


def section_findings(profile: Profile, *, crossed: bool) -> tuple[Finding, ...]:
    """Braces are mitred on flat faces, so they are tube or flat; crossed ones meet each other's faces too."""
    if profile.shape in _FLAT_FACED or (profile.shape is Shape.ROUND_TUBE and not crossed):
        return ()
    why = "the halves of crossed braces end on a flat face of the whole one" if crossed else "its ends are plain mitres"
    return (
        Finding(
            code="braces.section", field="frame.sections.braces", allowed="square or rectangular tube, or flat",
            nearest="SHS 30x30x3",
            message=f"Braces are tube or flat, but {profile.id} is a {profile.shape}: {why}; take SHS 30x30x3.",
        ),
    )  # fmt: skip


def gussets_on_shelf(bay: Bay) -> Finding:
    """Say that a sheet shelf lies on the rail where the lower gussets would stand."""
    return Finding(
        code="braces.gussets_on_shelf", field="frame.shelf", severity=Severity.LOOK, nearest="slats", member="shelf",
        allowed="slats or no shelf",
        message=(
            f"The sheet shelf lies where the lower gussets of {bay.name} would stand, so only the upper corners get gussets; "
            "take slats for the shelf, or brace that side another way."
        ),
    )  # fmt: skip


def no_bay(draft: Draft, side: str, kind: str) -> Finding:
    """Say that a side offers no opening with flat inner faces."""
    wrapped = draft.layout == "four-post" and draft.brief.frame.legs == "wrapped angle"
    cabinet = draft.layout == "pedestal pair" and draft.brief.frame.pedestals == "cabinets"
    cure = (
        "choose tube legs (rails between, or under the ring)" if wrapped
        else "choose open frames for the pedestals" if cabinet
        else f"choose another side, or another layout than {draft.layout}"
    )  # fmt: skip
    where = (
        "angle legs give a brace no flat inner face to stand on" if wrapped
        else "the cabinets' own sheet closes and holds it already" if cabinet
        else "it has no opening between two uprights"
    )  # fmt: skip
    return Finding(
        code="braces.no_bay", field=f"braces.{side}", severity=Severity.LOOK, allowed="none", nearest="none",
        message=f"The {side} is left without its {kind}: {where}; {cure}.",
    )  # fmt: skip


def small_bay(bay: Bay, profile: str) -> Finding:
    """Say that a brace does not fit into its bay."""
    return Finding(
        code="braces.bay_small", field=f"braces.{bay.side}", member=bay.top or bay.left, nearest="gussets",
        message=f"The opening {bay.name} is too small for a brace of {profile}; take a slimmer section, or gussets.",
    )


def open_bay(bay: Bay) -> Finding:
    """Say that a panel needs a rail on every edge."""
    return Finding(
        code="braces.panel_open", field=f"braces.{bay.side}", severity=Severity.LOOK, member=bay.top or bay.left,
        allowed="none, diagonal, crossed or gussets", nearest="diagonal",
        message=(
            f"The {bay.name} is left without its sheet panel: there is no rail along its open edge and the sheet "
            f"would hang loose there; give the stand a lower ring, or take a diagonal."
        ),
    )  # fmt: skip


def brace_findings(bay: Bay, brace: Member, width: float, upright: Member, face: float) -> Iterator[Finding]:
    """Look at a brace's slope and at the face it lands on; ``width`` across the bay, ``face`` of the upright, mm."""
    way = brace.x_axis
    slope = math.degrees(math.asin(min(1.0, abs(way[2]))))
    if upright.name == bay.left and not LEAST_ANGLE <= slope <= MOST_ANGLE:
        flat = slope < LEAST_ANGLE
        yield Finding(
            code="braces.angle", field=f"braces.{bay.side}", severity=Severity.LOOK, member=brace.name,
            allowed=f"{LEAST_ANGLE:.0f} to {MOST_ANGLE:.0f}° from level", nearest="gussets",
            message=(
                f"{brace.name.capitalize()} stands at {slope:.0f}° from level: the bay is too "
                f"{'flat' if flat else 'narrow'} for it to hold well and its ends are cut to a long point; "
                f"{'part the bay with a middle leg' if flat else 'raise the lower ring'}, or take gussets."
            ),
        )  # fmt: skip
    flat_width = face - 2 * upright.profile.corner
    if width > flat_width + 1e-9:
        yield Finding(
            code="braces.wide", field="frame.sections.braces", severity=Severity.LOOK, member=brace.name,
            allowed=f"up to {flat_width:.0f} mm wide",
            message=(
                f"{brace.name.capitalize()} is {width:.0f} mm wide but {upright.name} is flat for only "
                f"{flat_width:.0f} mm: its sides land on the rounded corners; take a narrower brace or a wider leg."
            ),
        )  # fmt: skip


def bearer_findings(bay: Bay, brace: Member, depth: float, width: float, members: list[Member]) -> Iterator[Finding]:
    """Bearers deeper than the top rail hang into the bay behind it, where a brace's high end may be."""
    way = brace.x_axis
    run = math.hypot(way[0], way[1])
    high, inward = (brace.start.point, 1.0) if way[2] < 0 else (brace.end.point, -1.0)
    for m in members:
        if m.role is not Role.BEARER:
            continue
        ends = [abs(dot(minus(e.point, bay.corners[0]), bay.normal)) for e in (m.start, m.end)]
        if min(ends) >= width / 2:
            continue
        near = m.start.point if ends[0] < ends[1] else m.end.point
        side = inward * ((near[0] - high[0]) * way[0] + (near[1] - high[1]) * way[1]) / run
        if side < -m.profile.width / 2:  # in the next bay
            continue
        # Upper edge of the brace beside the bearer's nearer side.
        away = max(0.0, side - m.profile.width / 2)
        edge = high[2] - away * abs(way[2]) / run + depth / 2 / run
        under = near[2] - m.profile.height / 2
        if under < edge:
            yield Finding(
                code="braces.bearer", field="frame.sections.bearers", severity=Severity.LOOK, member=m.name,
                message=(
                    f"{m.name.capitalize()} hangs below the top rail and runs {edge - under:.0f} mm into {brace.name}; "
                    f"take a bearer no deeper than the rail, or move it away from the leg."
                ),
            )  # fmt: skip


def gusset_findings(bay: Bay, members: dict[str, Member], braces: Braces, weld: float) -> list[Finding]:
    """Gussets must leave room for one another and stand on the flats of both members."""
    c = bay.corners
    on_upright = 2 if bay.bottom and bay.top else 1
    edges = [(math.dist(c[0], c[3]), on_upright), (math.dist(c[1], c[2]), on_upright)]
    edges += [(math.dist(c[a], c[b]), 2) for a, b, rail in ((0, 1, bay.bottom), (3, 2, bay.top)) if rail]
    most = min(size / count for size, count in edges)
    if braces.gusset > most:
        return [
            Finding(
                code="braces.gusset_large", field="braces.gusset", member=bay.top or bay.left,
                allowed=f"up to {math.floor(most):.0f} mm", nearest=f"{math.floor(most):.0f} mm",
                message=(
                    f"Gussets with a side of {braces.gusset:.0f} mm run into each other in the opening {bay.name}; "
                    f"there is room for {math.floor(most):.0f} mm."
                ),
            )
        ]  # fmt: skip
    out = []
    for name in (bay.left, bay.right, bay.bottom, bay.top):
        if not name:
            continue
        m = members[name]
        face = face_towards(m, bay.normal)
        width = m.profile.width if abs(dot(m.y_axis, bay.normal)) > abs(dot(m.z_axis, bay.normal)) else m.profile.height
        off = abs(dot(minus(face.point, c[0]), bay.normal) - width / 2)
        over = off + braces.gusset_thickness / 2 + weld - (width / 2 - m.profile.corner)
        if over > 0:
            out.append(
                Finding(
                    code="braces.gusset_off", field="braces.gusset_thickness", severity=Severity.LOOK, member=name,
                    message=(
                        f"The gussets of the {bay.name} stand {off:.0f} mm beside the middle of {name}, "
                        f"so that their weld runs {over:.1f} mm off its flat; take a thinner gusset or a wider rail."
                    ),
                )
            )  # fmt: skip
    return out


def panel_findings(bay: Bay, outer: dict[str, float]) -> Iterator[Finding]:
    """A panel lies on members whose outer faces are flush; ``outer``: their distance from the bay's plane, mm."""
    most = max(outer.values())
    behind = {name: most - off for name, off in outer.items() if most - off > _FLUSH}
    if not behind:
        return
    least, worst = min(behind.values()), max(behind.values())
    gap = f"{worst:.0f} mm" if worst - least < _FLUSH else f"{least:.0f} to {worst:.0f} mm"
    yield Finding(
        code="braces.panel_step", field=f"braces.{bay.side}", severity=Severity.LOOK, member=next(iter(behind)),
        message=(
            f"The panel {bay.name} stands {gap} off {', '.join(behind)}, whose outer faces lie behind the others; "
            f"pack them out to fix the sheet there, or it holds less than computed."
        ),
    )  # fmt: skip
