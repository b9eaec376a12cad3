"""A stiff corner of a bench for a vice: two bearers close together, a plate between them, braces under an overhang."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.errors import Finding, Severity
from framecore.frame._bench import Bench
from framecore.frame._build import box_bar, flat_plate, rectangle
from framecore.frame._posts import branch_fit
from framecore.frame._ring import rail_across
from framecore.frame.draft import Draft
from framecore.frame.model import FitUp, Joint, PlateRole, Role, Vector
from framecore.frame.vector import cross

# Base of a usual bench vice with jaws of 125 to 150 mm: about 180 wide, 200 deep (common practice).
PLATE_WIDTH, PLATE_DEPTH, PLATE_THICKNESS = 180.0, 200.0, 10.0
# Clear beside a bearer for the torch (common practice), mm.
GAP = 40.0
# Overhangs shorter than this leave no brace worth the cutting, mm.
_LEAST_RUN = 60.0
NAMES = ("vice bearer 1", "vice bearer 2")


def vice_bearers(b: Bench) -> tuple[float, float]:
    """Return x of the two bearers beside the rail over the corner legs, the outer one first."""
    right = b.m.brief.frame.vice_corner == "front right"
    sign = -1 if right else 1
    name = b.crossing[-1 if right else 0]
    at = b.cross_rails.get(name, -sign * (b.length - b.width) / 2)
    first = at + sign * (b.width / 2 + GAP + b.m.bearer.width / 2)
    return first, first + sign * (PLATE_WIDTH + b.m.bearer.width)


def add_vice_corner(d: Draft, b: Bench) -> None:
    """Add the bearers of a vice corner and the plate between them."""
    m, y = b.m, b.depth / 2 - b.width
    xs = vice_bearers(b)
    for name, x in zip(NAMES, xs, strict=True):
        d.members.append(rail_across(name, Role.BEARER, m.bearer, -y, y, x, m.ring_top))
    deep = min(PLATE_DEPTH, 2 * y)
    d.plates.append(
        flat_plate(
            "vice plate", PlateRole.HEAD, outline=rectangle(PLATE_WIDTH, deep), at=(sum(xs) / 2, -y + deep / 2),
            bottom=m.ring_top - PLATE_THICKNESS, thickness=PLATE_THICKNESS,
            density=find_steel(m.brief.steel.grade).density, on=tuple(f"{n} front" for n in NAMES),
            note="flush with the ring between the two vice bearers, welded to both and to the rail; drill it from the vice",
        )
    )  # fmt: skip


def add_vice_braces(d: Draft, b: Bench) -> None:
    """Brace the overhanging ring down to the corner leg at 45 degrees, along and across; its joints are there."""
    m, p, f = b.m, b.p, b.m.brief.frame
    profile = find_profile(f.sections.braces)
    right = f.vice_corner == "front right"
    column = p.middle + 1 if right else 0
    leg, x, y = f"leg {p.tag('F', column)}", p.xs[column], p.y(-1)
    end = (f.overhang_right if right else f.overhang_left) - b.width / 2
    out: Vector = (1.0 if right else -1.0, 0.0, 0.0)
    # Without a front overhang the end brace lands under the front rail, else under the end rail.
    plans = (
        ("vice brace end", out, end, p.leg.width, "top rail front" if b.under_long_rail(-1) else _end_rail(right)),
        ("vice brace front", (0.0, -1.0, 0.0), f.overhang_front - b.width / 2, p.leg.height, "top rail front"),
    )
    for name, way, run, leg_size, host in plans:
        if run < _LEAST_RUN:
            continue
        half = leg_size / 2
        foot: Vector = (x + half * way[0], y + half * way[1], b.under - run)
        head: Vector = (foot[0] + run * way[0], foot[1] + run * way[1], b.under)
        h = 1 / math.sqrt(2)
        line: Vector = (h * way[0], h * way[1], h)
        level: Vector = (-way[1], way[0], 0.0)
        d.members.append(
            box_bar(name, Role.BRACE, profile, start=foot, end=head, y_axis=level, z_axis=cross(line, level),
                    start_normal=(-way[0], -way[1], 0.0), end_normal=(0.0, 0.0, 1.0))
        )  # fmt: skip
        d.joints.append(
            Joint(name=f"{name} on leg", kind="brace on leg", members=(leg, name), point=(x, y, foot[2] - half),
                  fit_ups=branch_fit(m.brief, profile, m.leg, m.leg.width, profile.width))
        )  # fmt: skip
        _join_to_ring(d, b, name, host, head, branch_fit(m.brief, profile, m.top_rail, b.width, profile.width))


def _join_to_ring(d: Draft, b: Bench, name: str, host: str, head: Vector, fits: tuple[FitUp, ...]) -> None:
    """Join a brace to what meets above its head anyway, else to its rail alone."""
    at = _on(d, host, head)
    for k, joint in enumerate(d.joints):
        if host in joint.members and math.dist(joint.point, at) < b.width / 2:
            d.joints[k] = replace(joint, members=(*joint.members, name), fit_ups=(*joint.fit_ups, *fits))
            return
    d.joints.append(
        Joint(name=f"{name} on ring", kind="brace on rail", members=(host, name), point=at, fit_ups=fits)
    )


def _end_rail(right: bool) -> str:
    return f"top rail {'right' if right else 'left'}"


def _on(d: Draft, rail: str, at: Vector) -> Vector:
    """Return the point of a level rail's centroid line above ``at``."""
    member = d.member(rail)
    point, along_x = member.start.point, abs(member.x_axis[0]) > 0.5
    return (at[0], point[1], point[2]) if along_x else (point[0], at[1], point[2])


def vice_findings(b: Bench, taken: dict[str, float]) -> Iterator[Finding]:
    """Yield what stands in the way of a vice corner; ``taken``: x of every other bearer and cross rail by name."""
    corner = b.m.brief.frame.vice_corner
    half = b.m.bearer.width / 2
    low, high = sorted(vice_bearers(b))
    low, high = low - half, high + half
    inner = b.length / 2 - b.width
    if low < -inner + GAP - 1e-9 or high > inner - GAP + 1e-9:
        need = b.m.brief.frame.length + max(-inner + GAP - low, high - inner + GAP)
        yield Finding(
            code="frame.vice_corner_room", field="frame.length", member=NAMES[1],
            message=(
                f"The stiff corner for the vice takes {high - low:.0f} mm of the ring, more than this bench has; make it at "
                f"least {need:.0f} mm long, or leave the vice corner out."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
    for name, x in taken.items():
        reach = b.width / 2 if name.startswith("cross") else half
        if low - reach - 1e-9 < x < high + reach + 1e-9:
            cross_rail = name.startswith("cross")
            yield Finding(
                code="frame.vice_corner_taken", field="frame.middle_legs" if cross_rail else "machine.at", member=name,
                message=(
                    f"The {name} at x = {x:.0f} mm runs into the vice corner, which takes x = {low:.0f} to {high:.0f} mm; "
                    + ("take fewer middle legs, or a longer bench." if cross_rail
                       else f"move the machine, or put the vice at the {'right' if corner == 'front left' else 'left'}.")
                ),
            )  # fmt: skip
    yield from _brace_findings(b)


def _brace_findings(b: Bench) -> Iterator[Finding]:
    corner, panels = b.m.brief.frame.vice_corner, b.m.brief.braces
    end = corner.removeprefix("front ")
    for side, over in ((end, getattr(b.m.brief.frame, f"overhang_{end}")), ("front", b.m.brief.frame.overhang_front)):
        if getattr(panels, side) == "sheet panel" and over - b.width / 2 >= _LEAST_RUN:
            yield Finding(
                code="frame.vice_brace_panel", field=f"braces.{side}", severity=Severity.LOOK,
                member=f"vice brace {'front' if side == 'front' else 'end'}",
                message=(
                    f"The vice brace stands on the leg where the {side} sheet panel lies; cut the panel out round it before "
                    f"it is fixed, or stiffen that side with diagonals."
                ),
                nearest="crossed",
            )  # fmt: skip
    brace = find_profile(b.m.brief.frame.sections.braces)
    overhang = getattr(b.m.brief.frame, f"overhang_{end}")
    braced = max(overhang, b.m.brief.frame.overhang_front) - b.width / 2 >= _LEAST_RUN
    if braced and brace.height * math.sqrt(2) > b.width + 1e-9:
        most = b.width / math.sqrt(2)
        yield Finding(
            code="frame.vice_brace_large", field="frame.sections.braces", member="vice brace end", severity=Severity.LOOK,
            message=(
                f"Cut at 45° the {brace.id} brace is {brace.height * math.sqrt(2):.0f} mm long on a rail "
                f"{b.width:.0f} mm wide and stands out; take a brace up to {most:.0f} mm high."
            ),
            allowed=f"up to {most:.0f} mm high", nearest=f"{most:.0f} mm",
        )  # fmt: skip
