"""Impossible and doubtful rows of legs: middle legs, toe room, slats. Each rule one finding with its cure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from framecore.errors import Finding, Severity
from framecore.frame._posts import Posts, slat_places

# Room to weld and to turn a foot between two legs, mm (common practice).
_BETWEEN_LEGS = 100.0
# Least clear depth between the front and the back lower rail, mm.
_BETWEEN_RAILS = 50.0


def posts_findings(p: Posts, top_width: float, *, wrapped: bool) -> Iterator[Finding]:
    """Yield what is wrong with the rows of legs ``p`` under top rails ``top_width`` wide."""
    yield from _angle(p) if wrapped else (*_middle(p), *_fits(p, top_width))
    yield from _toe(p, wrapped)
    yield from _slats(p)


def _angle(p: Posts) -> Iterator[Finding]:
    if p.brief.frame.middle_legs:
        yield Finding(
            code="frame.middle_leg_shape", field="frame.middle_legs", member="leg FM1",
            message=(
                "Middle legs stand under the top rails and must be tube, but these legs are wrapped angle; "
                "take tube legs between the rails or under the ring, or leave the middle legs out."
            ),
            allowed="0 with wrapped angle", nearest="0",
        )  # fmt: skip


def most_middle_legs(p: Posts) -> int:
    """How many middle legs a row of this length has room for."""
    clear = max(_BETWEEN_LEGS, p.brief.feet.pad - p.leg.width + 10.0)
    return max(0, math.floor((p.length - p.leg.width) / (p.leg.width + clear) + 1e-9) - 1)


def _middle(p: Posts) -> Iterator[Finding]:
    most = most_middle_legs(p)
    if p.middle > most:
        clear = p.xs[1] - p.xs[0] - p.leg.width
        yield Finding(
            code="frame.middle_legs_crowded", field="frame.middle_legs", member="leg FM1",
            message=(
                f"With {p.middle} middle leg{'s' if p.middle > 1 else ''} in {p.length:.0f} mm only {clear:.0f} mm stay "
                f"clear between the legs, too little to weld and to turn the feet; take {most or 'none'}."
            ),
            allowed=f"0 to {most}", nearest=str(most),
        )  # fmt: skip


def _fits(p: Posts, top_width: float) -> Iterator[Finding]:
    across = min(p.leg.width, p.leg.height)
    if p.level and p.rail.width > across + 1e-9:
        yield Finding(
            code="frame.lower_rail_wider_than_leg", field="frame.sections.lower_rails", member=p.rail_name("front", 0),
            message=(
                f"A {p.rail.width:.0f} mm wide lower rail does not fit on the face of the {p.leg.id} leg; "
                f"take a rail no wider than {across:.0f} mm."
            ),
            allowed=f"up to {across:.0f} mm wide", nearest=f"{across:.0f} mm",
        )  # fmt: skip
    if not p.middle:
        return
    if p.level and p.stretcher.width > p.leg.width + 1e-9:
        yield Finding(
            code="frame.stretcher_wider_than_leg", field="frame.sections.stretchers", member="stretcher 1",
            message=(
                f"A {p.stretcher.width:.0f} mm wide stretcher does not fit on the face of the {p.leg.id} leg; "
                f"take one no wider than {p.leg.width:.0f} mm."
            ),
            allowed=f"up to {p.leg.width:.0f} mm wide", nearest=f"{p.leg.width:.0f} mm",
        )  # fmt: skip
    if p.level and p.toe and p.rail.height > p.stretcher.height + 1e-9:
        yield Finding(
            code="frame.stretcher_low", field="frame.sections.stretchers", member="stretcher 1", severity=Severity.LOOK,
            message=(
                f"The set-back rail is {p.rail.height:.0f} mm high and hangs past the {p.stretcher.height:.0f} mm high "
                f"stretcher it lands on; take a stretcher at least as high."
            ),
            allowed=f"at least {p.rail.height:.0f} mm high", nearest=f"{p.rail.height:.0f} mm",
        )  # fmt: skip
    if p.leg.height > top_width + 1e-9:
        yield Finding(
            code="frame.middle_leg_deep", field="frame.sections.top_rails", member="leg FM1", severity=Severity.LOOK,
            message=(
                f"The middle legs are {p.leg.height:.0f} mm deep under a top rail {top_width:.0f} mm wide and stay open "
                f"{p.leg.height - top_width:.0f} mm behind it; cap them, or take a rail as wide as the leg."
            ),
            allowed=f"at least {p.leg.height:.0f} mm wide", nearest=f"{p.leg.height:.0f} mm",
        )  # fmt: skip


def _toe(p: Posts, wrapped: bool) -> Iterator[Finding]:
    toe = p.brief.frame.toe_room
    if not toe:
        return
    if not p.level:
        yield Finding(
            code="frame.toe_no_ring", field="frame.toe_room", severity=Severity.LOOK,
            message="Without a lower ring there is no front rail to stand back: the toe room asked for changes nothing.",
            nearest="0 mm",
        )  # fmt: skip
        return
    weld, outside = p.brief.welding.leg, p.leg.wall if wrapped else 0.0
    least = outside + weld + (p.leg.root if wrapped else p.leg.height)
    most = outside + p.depth - 2 * p.rail.width - _BETWEEN_RAILS
    if least - 1e-9 <= toe <= most + 1e-9:
        return
    if toe < least:
        why = "the set-back rail would run half onto the front legs with no room for its weld"
    else:
        why = f"less than {_BETWEEN_RAILS:.0f} mm stay clear before the back rail"
    near = least if toe < least else most
    yield Finding(
        code="frame.toe_room", field="frame.toe_room", member=p.rail_name("front", 0),
        message=f"With a toe room of {toe:.0f} mm {why}; take 0, or {least:.0f} to {most:.0f} mm.",
        allowed=f"0, or {least:.0f} to {most:.0f} mm", nearest=f"{near:.0f} mm",
    )  # fmt: skip


def _slats(p: Posts) -> Iterator[Finding]:
    f = p.brief.frame
    if not (p.level and f.shelf == "slats"):
        return
    xs = [x for _, x in slat_places(p, f.shelf_slats)]
    inner = p.length / 2 - p.rail.width
    half = max(p.leg.width, p.stretcher.width) / 2
    clear = sum(
        (p.xs[k + 1] - half if k < p.middle else p.cx + inner) - (p.xs[k] + half if k else p.cx - inner)
        for k in range(p.middle + 1)
    )
    most = max(1, math.floor(clear / (2 * p.slat.width)))
    tight = any(b - a < p.slat.width for a, b in pairwise(xs))
    if tight or (xs and (xs[0] - p.slat.width / 2 < p.cx - inner - 1e-9)):
        yield Finding(
            code="frame.slats_crowded", field="frame.shelf_slats", member="slat 1",
            message=(
                f"{len(xs)} slats of {p.slat.width:.0f} mm do not fit between the lower rails side by side; "
                f"take {most} or fewer, or a sheet."
            ),
            allowed=f"1 to {most}", nearest=str(most),
        )  # fmt: skip
