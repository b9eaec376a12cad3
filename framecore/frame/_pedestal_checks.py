"""Impossible and doubtful pedestal pairs: each rule one finding with its cure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from framecore.errors import Finding, Severity
from framecore.frame.checks import four_post_findings

if TYPE_CHECKING:
    from framecore.frame.pedestal_pair import PairMeasures

KNEES = 50.0  # least gap between the pedestals, else it is one stand, mm
_PART = {"lower rail front": "lower rail front left", "top rail left": "top rail left"}


def pedestal_findings(m: PairMeasures) -> tuple[Finding, ...]:
    """Return everything that makes this stand impossible or doubtful."""
    # One pedestal is a four-post stand as long as a pedestal.
    own = (
        replace(
            found, member=_PART.get(found.member, found.member),
            field="frame.pedestal" if found.field == "frame.length" else found.field,
        )
        for found in four_post_findings(m.one)
    )  # fmt: skip
    return (*_plan(m), *_pads(m), *own, *_unused(m))


def _plan(m: PairMeasures) -> Iterator[Finding]:
    f = m.brief.frame
    most = (f.length - KNEES) / 2
    if f.pedestal > most + 1e-9:
        yield Finding(
            code="pedestals.too_long", field="frame.pedestal", member="top rail front",
            message=(
                f"Two pedestals of {f.pedestal:.0f} mm leave {f.length - 2 * f.pedestal:.0f} mm between them on a stand of "
                f"{f.length:.0f} mm; take pedestals of {most:.0f} mm at most, a stand of at least "
                f"{2 * f.pedestal + KNEES:.0f} mm, or the layout four-post."
            ),
            allowed=f"at most {most:.0f} mm", nearest=f"{most:.0f} mm",
        )  # fmt: skip


def _pads(m: PairMeasures) -> Iterator[Finding]:
    f, feet, leg = m.brief.frame, m.brief.feet, m.one.leg
    for gap, key, what in (
        (f.pedestal - leg.width, "frame.pedestal", "of one pedestal"),
        (f.length - 2 * f.pedestal + leg.width, "feet.pad", "of the two pedestals"),
        (f.depth - leg.height, "frame.depth", "at front and back"),
    ):
        if feet.pad > gap > 0:
            yield Finding(
                code="pedestals.pads_meet", field=key, member="pad FL",
                message=(
                    f"Pads of {feet.pad:.0f} mm {what} run into each other: their legs stand {gap:.0f} mm apart; "
                    f"take pads of {gap - 5:.0f} mm at most or set the legs wider."
                ),
                allowed=f"pads of at most {gap - 5:.0f} mm", nearest=f"{gap - 5:.0f} mm" if key == "feet.pad" else "",
            )  # fmt: skip


def _unused(m: PairMeasures) -> Iterator[Finding]:
    f = m.brief.frame
    if f.pedestals == "cabinets" and not f.lower_ring:
        yield Finding(
            code="pedestals.cabinet_open", field="frame.lower_ring", member="leg FL",
            message="The sheet of a cabinet needs a lower ring to be fixed to; put one at 150 mm or so, or take open frames.",
            allowed="a lower ring", nearest="150 mm",
        )  # fmt: skip
    if f.middle_legs:
        yield Finding(
            code="pedestals.middle_legs", field="frame.middle_legs", severity=Severity.LOOK, member="top rail front",
            message="Two pedestals stand on eight legs and take no middle legs; none are made.",
            allowed="0", nearest="0",
        )  # fmt: skip
    if f.legs == "wrapped angle":
        yield Finding(
            code="pedestals.legs", field="frame.legs", severity=Severity.LOOK, member="leg FL",
            message="Pedestals stand on tube legs under the ring; wrapped angle legs are not made with this layout.",
            allowed="tube legs", nearest="under the ring",
        )  # fmt: skip
