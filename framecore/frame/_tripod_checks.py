"""Impossible and doubtful tripods: each rule one finding with its cure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from framecore.catalogue.model import Shape
from framecore.errors import Finding, Severity
from framecore.frame.draft import Draft

if TYPE_CHECKING:
    from framecore.frame.tripod import Measures

_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
_LEAST = 50.0  # clear between two parts that somebody has to weld, mm


def tripod_findings(m: Measures, d: Draft) -> tuple[Finding, ...]:
    """Return everything that makes this stand impossible or doubtful."""
    shapes, plan, levels = tuple(_shapes(m)), tuple(_plan(m)), tuple(_levels(m))
    rest = () if shapes or plan or levels else (*_rails(m), *_feet(m))
    return (*shapes, *plan, *levels, *rest, *_not_here(m, d))


def _shapes(m: Measures) -> Iterator[Finding]:
    if m.leg.shape is not Shape.SQUARE_TUBE:
        yield Finding(
            code="frame.leg_shape", field="frame.sections.legs", member="leg FL",
            message=(
                f"Legs of a tripod must be square tube, whose two inner faces take a rail each, but {m.leg.id} is a "
                f"{m.leg.shape}; take square tube such as SHS 60x60x3."
            ),
            allowed="square tube", nearest="SHS 60x60x3",
        )  # fmt: skip
    for role, profile, key in (("Top rails", m.top_rail, "top_rails"), ("Lower rails", m.lower_rail, "lower_rails")):
        if profile.shape not in _BOX:
            yield Finding(
                code="frame.rail_shape", field=f"frame.sections.{key}",
                message=(
                    f"{role} of a tripod must be square or rectangular tube, but {profile.id} is a {profile.shape}; "
                    f"take tube such as SHS 40x40x3."
                ),
                allowed="square or rectangular tube", nearest="SHS 40x40x3",
            )  # fmt: skip


def _plan(m: Measures) -> Iterator[Finding]:
    """Legs must stand apart, and not in one line."""
    need = m.leg.width * math.sqrt(2) + _LEAST
    for side in m.sides:
        a, b = side.left.top, side.right.top
        apart = math.dist(a, b)
        # The third support's distance from the line of these two.
        c = next(leg.top for leg in m.legs.values() if leg not in (side.left, side.right))
        off = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / (apart or 1.0)
        if apart < need or off < need:
            yield Finding(
                code="frame.supports_close", field="machine.holes" if len(m.brief.machine.holes) == 3 else "machine.outline",
                member=f"top rail {side.name}",
                message=(
                    f"The supports at the {side.name} are {apart:.0f} mm apart and the third lies {off:.0f} mm beside them, "
                    f"but both must be at least {need:.0f} mm with {m.leg.id} legs; take a narrower leg or another layout."
                ),
                allowed=f"at least {need:.0f} mm",
            )  # fmt: skip
            return


def _levels(m: Measures) -> Iterator[Finding]:
    f = m.brief.frame
    top = m.leg_top - m.top_rail.height
    if top < m.leg_bottom + _LEAST:
        need = math.ceil(m.seat + m.leg_bottom + _LEAST - top - 1e-9)
        yield Finding(
            code="frame.too_low", field="frame.height", member="leg FL",
            message=(
                f"A seat {m.seat:.0f} mm high leaves no room for legs between the pads and the top rails; "
                f"at least {need:.0f} mm is needed with this foot, block and rail."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
        return
    least = m.leg_bottom + m.lower_rail.height
    if f.lower_ring and not least - 1e-9 <= f.lower_ring <= top + 1e-9:
        nearest = min(max(f.lower_ring, least), max(least, top - 100))
        yield Finding(
            code="frame.shelf_above_top" if f.lower_ring > top else "frame.ring_too_low", field="frame.lower_ring",
            member=f"lower rail {m.sides[0].name}",
            message=(
                f"Lower rails at {f.lower_ring:.0f} mm do not lie within the legs; "
                f"their upper face must be {least:.0f} to {top:.0f} mm above the floor."
            ),
            allowed=f"{least:.0f} to {top:.0f} mm", nearest=f"{nearest:.0f} mm",
        )  # fmt: skip


def _rails(m: Measures) -> Iterator[Finding]:
    f = m.brief.frame
    rings = [("top rail", m.top_rail, m.leg_top, "top_rails")]
    if f.lower_ring:
        rings.append(("lower rail", m.lower_rail, f.lower_ring, "lower_rails"))
    for prefix, profile, top, key in rings:
        wide, name = max((s.landing(profile, top), s.name) for s in m.sides)
        if wide > m.leg.width + 1e-9:
            most = math.floor(profile.width * m.leg.width / wide)
            yield Finding(
                code="frame.rail_wider_than_leg", field=f"frame.sections.{key}", member=f"{prefix} {name}",
                message=(
                    f"Cut to meet the leg, a {profile.id} {prefix} takes {wide:.0f} mm of its {m.leg.width:.0f} mm face; "
                    f"take a rail up to {most} mm wide, or a leg at least {math.ceil(wide)} mm."
                ),
                allowed=f"rail up to {most} mm, or leg from {math.ceil(wide)} mm",
            )  # fmt: skip


def _feet(m: Measures) -> Iterator[Finding]:
    feet, weld = m.brief.feet, m.brief.welding.leg
    need = math.ceil(m.band + 2 * weld - 1e-9)
    if feet.pad < need - 1e-9:
        yield Finding(
            code="frame.pad_small", field="feet.pad", member="pad FL", severity=Severity.LOOK,
            message=(
                f"A {feet.pad:.0f} mm pad leaves no land for the {weld:g} mm fillet round the foot of the {m.leg.id} leg; "
                f"make it at least {need:.0f} mm."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
    thickest = 4 * m.leg.wall
    for thick, key, what in (
        (feet.pad_thickness, "feet.pad_thickness", "pad"), (m.brief.frame.base_thickness, "frame.base_thickness", "block"),
    ):  # fmt: skip
        if thick > thickest + 1e-9:
            yield Finding(
                code="frame.leg_thin_for_pad", field=key, member="leg FL", severity=Severity.LOOK,
                message=(
                    f"The leg's wall of {m.leg.wall_design:.1f} mm is thin beside a {thick:.0f} mm {what}: the wall burns "
                    f"through before the {what} is hot; take a {what} up to {thickest:.0f} mm or a thicker leg "
                    f"(common practice)."
                ),
                allowed=f"up to {thickest:.0f} mm", nearest=f"{thickest:.0f} mm",
            )  # fmt: skip


def _not_here(m: Measures, d: Draft) -> Iterator[Finding]:
    """What the brief asks for and a tripod has not, or gives by other means."""
    brief, f = m.brief, m.brief.frame
    if brief.top.kind != "none":
        yield Finding(
            code="frame.tripod_top", field="top.kind", nearest="none",
            message="On a tripod the plate rests on its three blocks and nothing else; take no top.",
        )
    if f.lower_ring and f.shelf == "slats":
        yield Finding(
            code="frame.tripod_slats", field="frame.shelf", nearest="sheet",
            message="Slats need two parallel rails, which a tripod has not; take a sheet for the shelf, or none.",
        )
    for key, given, word in (("toe_room", f.toe_room, "toe room"), ("middle_legs", f.middle_legs, "middle legs")):
        if given:
            yield Finding(
                code=f"frame.tripod_{key}", field=f"frame.{key}", severity=Severity.LOOK, nearest="0",
                message=f"A tripod has no {word}: its rails lie between its three legs.",
            )
    if f.bearers_at:
        yield Finding(
            code="frame.no_bearers", field="frame.bearers_at", severity=Severity.LOOK, nearest="[]", allowed="empty",
            message="A tripod has no bearers to fix: the plate rests on a block over each leg; leave their places out.",
        )
    if brief.extras.splash_back:
        yield Finding(
            code="frame.tripod_splash_back", field="extras.splash_back", nearest="0",
            message="A tripod has no rail along its back that a splash back could stand on; leave it out.",
        )
    for side in ("front", "back", "left", "right"):
        kind = getattr(brief.braces, side)
        if kind in ("sheet panel", "gussets"):
            yield Finding(
                code="frame.tripod_plates", field=f"braces.{side}", nearest="diagonal", allowed="none, diagonal, crossed",
                message=(
                    f"A tripod's legs stand on their diagonals and have no square face at the {side} for a "
                    f"{kind.removesuffix('s')}; take a diagonal brace."
                ),
            )  # fmt: skip
    for key, asked, is_ in (("length", f.length, d.length), ("depth", f.depth, d.depth)):
        if f"frame.{key}" not in brief.assumed and abs(asked - is_) > 1.0 and (brief.machine.outline or key != "depth"):
            yield Finding(
                code="frame.tripod_size", field=f"frame.{key}", severity=Severity.LOOK, nearest=f"{is_:.0f} mm",
                message=(
                    f"A tripod's legs stand under the plate's supports: its {key} comes out at {is_:.0f} mm whatever is "
                    f"asked for; splay the legs to make it wider."
                ),
            )  # fmt: skip
    if not brief.machine.outline and len(brief.machine.holes) != 3:
        yield Finding(
            code="frame.tripod_plate", field="machine.outline", severity=Severity.LOOK,
            message=(
                f"The plate is not drawn, so it is taken as {f.length:.0f} x {f.depth:.0f} mm; give its box in the machine's "
                f"outline, or three holes where it rests."
            ),
        )  # fmt: skip
