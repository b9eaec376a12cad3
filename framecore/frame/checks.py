"""Impossible and doubtful four-post stands: each rule one finding with its cure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from framecore.catalogue.model import Shape
from framecore.errors import Finding, Severity
from framecore.frame._posts_checks import posts_findings

if TYPE_CHECKING:
    from framecore.frame.four_post import Measures

_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)


def four_post_findings(m: Measures) -> tuple[Finding, ...]:
    """Return everything that makes this stand impossible or doubtful."""
    return (*ring_findings(m), *posts_findings(m.posts, m.top_rail.width, wrapped=m.wrapped))


def ring_findings(m: Measures) -> Iterator[Finding]:
    """Yield what is wrong with sections, levels, pads and the plan of the top ring."""
    yield from (*_shapes(m), *_levels(m), *_pads(m), *_plan(m))


def _shapes(m: Measures) -> Iterator[Finding]:
    style = m.style
    if style == "wrapped angle" and not m.leg.is_angle:
        yield Finding(
            code="frame.leg_shape", field="frame.sections.legs", member="leg FL",
            message=f"Wrapped legs must be angle, but {m.leg.id} is a {m.leg.shape}; take an angle such as L 50x50x5.",
            allowed="equal or unequal angle", nearest="L 50x50x5",
        )  # fmt: skip
    if style != "wrapped angle" and m.leg.shape not in _BOX:
        yield Finding(
            code="frame.leg_shape", field="frame.sections.legs", member="leg FL",
            message=(
                f"Legs with {style} must be square or rectangular tube, but {m.leg.id} is a {m.leg.shape}; "
                f"take tube, or choose wrapped angle legs."
            ),
            allowed="square or rectangular tube", nearest="SHS 50x50x3",
        )  # fmt: skip
    for role, profile, key in (
        ("Top rails", m.top_rail, "top_rails"), ("Lower rails", m.lower_rail, "lower_rails"), ("Slats", m.slat, "slats"),
        *([("Stretchers", m.stretcher, "stretchers")] if m.posts.middle else []),
    ):  # fmt: skip
        if profile.shape not in _BOX:
            yield Finding(
                code="frame.rail_shape", field=f"frame.sections.{key}",
                message=(
                    f"{role} of this layout are square or rectangular tube, but {profile.id} is a {profile.shape}; "
                    f"closed tube also resists twist many times better."
                ),
                allowed="square or rectangular tube", nearest="SHS 50x50x3",
            )  # fmt: skip


def _levels(m: Measures) -> Iterator[Finding]:
    f = m.brief.frame
    least = m.leg_bottom + m.lower_rail.height if f.lower_ring else m.leg_bottom
    most = m.ring_top - m.top_rail.height
    if most <= m.leg_bottom:
        need = m.seat + m.leg_bottom - most + 50.0
        yield Finding(
            code="frame.too_low", field="frame.height", member="leg FL",
            message=(
                f"A seat {m.seat:.0f} mm high leaves no room for legs between the pads and the top ring; "
                f"at least {need:.0f} mm is needed with this foot, pad and rail."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
    if not f.lower_ring:
        return
    if f.lower_ring > most:
        what = "shelf" if f.shelf != "none" else "lower ring"
        yield Finding(
            code="frame.shelf_above_top", field="frame.lower_ring", member="lower rail front",
            message=(
                f"The {what} at {f.lower_ring:.0f} mm runs into the top ring, whose underside is at {most:.0f} mm; "
                f"lower it to {most - 100:.0f} mm or less."
            ),
            allowed=f"{least:.0f} to {most:.0f} mm", nearest=f"{max(least, most - 100):.0f} mm",
        )  # fmt: skip
    elif f.lower_ring < least:
        yield Finding(
            code="frame.ring_too_low", field="frame.lower_ring", member="lower rail front",
            message=(
                f"The lower ring at {f.lower_ring:.0f} mm would reach below the leg bottoms; "
                f"its upper face must be at least {least:.0f} mm above the floor."
            ),
            allowed=f"{least:.0f} to {most:.0f} mm", nearest=f"{least:.0f} mm",
        )  # fmt: skip


def _pads(m: Measures) -> Iterator[Finding]:
    feet, leg, weld = m.brief.feet, m.leg, m.brief.welding.leg
    need = max(leg.width, leg.height) + (0.0 if leg.is_angle else 2 * weld)
    if feet.pad < need - 1e-9:
        yield Finding(
            code="frame.pad_small", field="feet.pad", member="pad FL", severity=Severity.LOOK,
            message=(
                f"A {feet.pad:.0f} mm pad leaves no land for the {weld:g} mm fillet round the {leg.id} leg; "
                f"make it at least {need:.0f} mm."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
    # A thick pad takes the heat: the weld wants 5 mm on plate over 6 mm, but never more than the thinner part.
    thickest = 4 * leg.wall
    if feet.pad_thickness > thickest + 1e-9:
        yield Finding(
            code="frame.leg_thin_for_pad", field="frame.sections.legs", member="leg FL", severity=Severity.LOOK,
            message=(
                f"The leg's wall of {leg.wall_design:.1f} mm is thin beside a {feet.pad_thickness:.0f} mm pad: the wall "
                f"burns through before the pad is hot; take a pad up to {thickest:.0f} mm or a thicker leg (common practice)."
            ),
            allowed=f"pad up to {thickest:.0f} mm", nearest=f"{thickest:.0f} mm",
        )  # fmt: skip


def _plan(m: Measures) -> Iterator[Finding]:
    for size, key, name, across in (
        (m.ring_length, "length", "long", m.leg.width), (m.ring_depth, "depth", "deep", m.leg.height),
    ):  # fmt: skip
        need = 2 * max(across, m.top_rail.width) + 50.0
        if size < need:
            yield Finding(
                code="frame.too_narrow", field=f"frame.{key}",
                message=(
                    f"At {size:.0f} mm {name} the rails of the ring meet in the middle; "
                    f"at least {need:.0f} mm is needed with these sections."
                ),
                allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
            )  # fmt: skip
    if m.style == "rails between" and m.top_rail.width > min(m.leg.width, m.leg.height) + 1e-9:
        yield Finding(
            code="frame.rail_wider_than_leg", field="frame.sections.top_rails", member="top rail front",
            message=(
                f"A {m.top_rail.width:.0f} mm wide rail does not fit on the face of the {m.leg.id} leg; "
                f"take a rail no wider than the leg, or put the legs under the ring."
            ),
        )  # fmt: skip
