"""Impossible and doubtful trestles: each rule one finding with its cure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from framecore.catalogue.model import Profile, Shape
from framecore.errors import Finding, Severity
from framecore.frame._trestle_shelf import slat_room

if TYPE_CHECKING:
    from framecore.frame.trestle import Measures

_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
_LEAST = 50.0  # clear between two parts that somebody has to weld, mm
# Feet further out than this past the top are kicked and stumbled over (common practice), mm.
_STUMBLE = 150.0


def trestle_findings(m: Measures) -> tuple[Finding, ...]:
    """Return everything that makes this stand impossible or doubtful."""
    shapes = tuple(_shapes(m))
    levels = tuple(_levels(m))
    # Where levels are impossible, what follows from them would only repeat it.
    rest = () if levels else (*_plan(m), *_feet(m), *_stretchers(m), *_top(m))
    return (*shapes, *levels, *rest)


def _shapes(m: Measures) -> Iterator[Finding]:
    wanted: list[tuple[str, Profile, str]] = [
        ("Legs", m.pair.leg, "legs"), ("Top rails", m.top_rail, "top_rails"), ("Lower rails", m.lower_rail, "lower_rails"),
        ("Stretchers", m.stretcher, "stretchers"), ("Slats", m.slat, "slats"),
    ]  # fmt: skip
    if m.beam:
        wanted.append(("A box beam", m.beam, "beam"))
    for role, profile, key in wanted:
        if profile.shape not in _BOX:
            yield Finding(
                code="frame.rail_shape" if key != "legs" else "frame.leg_shape", field=f"frame.sections.{key}",
                message=(
                    f"{role} of a trestle must be square or rectangular tube, but {profile.id} is a {profile.shape}; "
                    f"take tube such as {'RHS 120x80x5' if key == 'beam' else 'SHS 50x50x3'}."
                ),
                allowed="square or rectangular tube", nearest="RHS 120x80x5" if key == "beam" else "SHS 50x50x3",
            )  # fmt: skip


def _levels(m: Measures) -> Iterator[Finding]:
    f, bottom, top = m.brief.frame, m.pair.bottom, m.pair.top
    if top < bottom + _LEAST:
        need = math.ceil(m.seat + bottom + _LEAST - top - 1e-9)
        what = f"the {m.beam.height:.0f} mm box beam and the rail under it" if m.beam else "the top rails"
        yield Finding(
            code="frame.too_low", field="frame.height", member="leg FL",
            message=(
                f"A seat {m.seat:.0f} mm high leaves no room for legs between the pads and {what}; "
                f"at least {need:.0f} mm is needed with these sections."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
        return
    if not f.lower_ring:
        return
    high = max(m.lower_rail.height, m.stretcher.height)
    least = bottom + high
    if not least - 1e-9 <= f.lower_ring <= top + 1e-9:
        nearest = min(max(f.lower_ring, least), max(least, top - 100))
        yield Finding(
            code="frame.shelf_above_top" if f.lower_ring > top else "frame.ring_too_low", field="frame.lower_ring",
            member="lower rail left",
            message=(
                f"Lower rails at {f.lower_ring:.0f} mm do not lie within the legs; "
                f"their upper face must be {least:.0f} to {top:.0f} mm above the floor."
            ),
            allowed=f"{least:.0f} to {top:.0f} mm", nearest=f"{nearest:.0f} mm",
        )  # fmt: skip


def _plan(m: Measures) -> Iterator[Finding]:
    f, pair = m.brief.frame, m.pair
    narrow = max(pair.band, m.top_rail.width)
    need = 2 * narrow + _LEAST
    if m.ring_depth < need:
        deep = math.ceil(f.depth + need - m.ring_depth)
        spare = (f.depth - need) / 2
        angle = math.degrees(math.atan(spare / (pair.top - pair.bottom))) if spare > 0 else 0.0
        cure = f", or splay the legs {math.floor(angle)}° at most" if f.splay and spare > 0 else ""
        yield Finding(
            code="frame.too_narrow", field="frame.depth",
            message=(
                f"At {f.depth:.0f} mm deep and {f.splay:g}° of splay the legs come within {m.ring_depth:.0f} mm at the "
                f"top, where {need:.0f} mm is needed; make the stand at least {deep} mm deep{cure}."
            ),
            allowed=f"at least {deep} mm", nearest=f"{deep} mm",
        )  # fmt: skip
    if m.beam and m.beam.width > m.ring_depth + 1e-9:
        yield Finding(
            code="frame.beam_wide", field="frame.sections.beam", member="box beam",
            message=(
                f"The {m.beam.width:.0f} mm wide beam is wider than the end frames, {m.ring_depth:.0f} mm at the top; "
                f"take a narrower beam or a deeper stand."
            ),
        )  # fmt: skip
    spans = len(m.frames) - 1
    wide = max(pair.leg.width, m.top_rail.width)
    length = math.ceil((spans + 1) * wide + spans * _LEAST - 1e-9)
    if f.length < length:
        yield Finding(
            code="frame.too_narrow", field="frame.length",
            message=(
                f"At {f.length:.0f} mm long the {len(m.frames)} end frames stand within {_LEAST:.0f} mm of each other; "
                f"at least {length:.0f} mm is needed with these sections."
            ),
            allowed=f"at least {length:.0f} mm", nearest=f"{length:.0f} mm",
        )  # fmt: skip
    if m.lower_rail.width > pair.leg.width + 1e-9 and f.lower_ring:
        yield Finding(
            code="frame.rail_wider_than_leg", field="frame.sections.lower_rails", member="lower rail left",
            message=(
                f"A {m.lower_rail.width:.0f} mm wide lower rail does not fit on the {pair.leg.width:.0f} mm face of the "
                f"{pair.leg.id} leg; take a rail no wider than the leg."
            ),
            allowed=f"up to {pair.leg.width:.0f} mm wide",
        )  # fmt: skip
    if m.top_rail.width < pair.leg.width - 1e-9:
        yield Finding(
            code="frame.leg_wider_than_rail", field="frame.sections.top_rails", member="top rail left",
            severity=Severity.LOOK,
            message=(
                f"The {pair.leg.width:.0f} mm leg stands {pair.leg.width - m.top_rail.width:.0f} mm past the "
                f"{m.top_rail.width:.0f} mm rail over it and its end stays partly open; take a rail as wide as the leg."
            ),
            allowed=f"from {pair.leg.width:.0f} mm wide",
        )  # fmt: skip


def _feet(m: Measures) -> Iterator[Finding]:
    f, pair, feet, weld = m.brief.frame, m.pair, m.brief.feet, m.brief.welding.leg
    need = math.ceil(max(pair.leg.width, pair.band) + 2 * weld - 1e-9)
    if feet.pad < need - 1e-9:
        yield Finding(
            code="frame.pad_small", field="feet.pad", member="pad FL", severity=Severity.LOOK,
            message=(
                f"A {feet.pad:.0f} mm pad leaves no land for the {weld:g} mm fillet round the foot of the {pair.leg.id} "
                f"leg, {pair.band:.0f} mm across where it is cut level; make it at least {need:.0f} mm."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip
    thickest = 4 * pair.leg.wall
    if feet.pad_thickness > thickest + 1e-9:
        yield Finding(
            code="frame.leg_thin_for_pad", field="frame.sections.legs", member="leg FL", severity=Severity.LOOK,
            message=(
                f"The leg's wall of {pair.leg.wall_design:.1f} mm is thin beside a {feet.pad_thickness:.0f} mm pad: the "
                f"wall burns through before the pad is hot; take a pad up to {thickest:.0f} mm or a thicker leg "
                f"(common practice)."
            ),
            allowed=f"pad up to {thickest:.0f} mm", nearest=f"{thickest:.0f} mm",
        )  # fmt: skip
    out = (f.depth - m.ring_depth) / 2
    if out > _STUMBLE:
        angle = math.floor(math.degrees(math.atan(_STUMBLE / (pair.top - pair.bottom))))
        yield Finding(
            code="frame.splay_wide", field="frame.splay", member="leg FL", severity=Severity.LOOK,
            message=(
                f"Splayed {f.splay:g}° the legs stand {out:.0f} mm outside the top at the floor, where they are stumbled "
                f"over; {angle}° keeps them within {_STUMBLE:.0f} mm (common practice)."
            ),
            allowed=f"up to {angle}°", nearest=f"{angle}",
        )  # fmt: skip


def _stretchers(m: Measures) -> Iterator[Finding]:
    f, pair, st = m.brief.frame, m.pair, m.stretcher
    if not m.stretchers:
        return
    if any(m.on_legs(side) for side in m.stretchers):
        # The leaning face against the upright stretcher: its corners must stay on the leg.
        reach = 2 * (st.width / 2 * math.cos(pair.angle) + st.height / 2 * math.sin(pair.angle))
        if reach > pair.leg.height + 1e-9:
            yield Finding(
                code="frame.rail_wider_than_leg", field="frame.sections.stretchers", member="stretcher back",
                message=(
                    f"A {st.id} stretcher takes {reach:.0f} mm across the {pair.leg.height:.0f} mm side of the leg at "
                    f"{f.splay:g}° of splay; take a narrower stretcher, a wider leg or less splay."
                ),
            )  # fmt: skip
    for side in m.stretchers:
        if not m.on_legs(side) and st.height > m.lower_rail.height + 1e-9:
            yield Finding(
                code="frame.stretcher_high", field="frame.sections.stretchers", member=f"stretcher {side}",
                message=(
                    f"The {st.height:.0f} mm high stretcher does not fit on the {m.lower_rail.height:.0f} mm side of the "
                    f"lower rail; take a lower stretcher or a higher rail."
                ),
                allowed=f"up to {m.lower_rail.height:.0f} mm high",
            )  # fmt: skip
    if "front" in m.stretchers and not m.front_on_legs:
        yield from _toe_room(m)
    if f.shelf == "slats":
        yield from _slats(m)


def _slats(m: Measures) -> Iterator[Finding]:
    spans = len(m.frames) - 1
    a, b = m.frames[0].x, m.frames[1].x
    _, pitch = slat_room(m, a, b, -(-m.brief.frame.shelf_slats // spans))
    if pitch < m.slat.width:
        _, whole = slat_room(m, a, b, 0)
        most = spans * max(0, math.floor(whole / m.slat.width) - 1)
        yield Finding(
            code="frame.slats_crowded", field="frame.shelf_slats", member="slat 1",
            message=(
                f"{m.brief.frame.shelf_slats} slats of {m.slat.width:.0f} mm do not fit between the end frames side by "
                f"side; take {most} or fewer, or a sheet."
            ),
            allowed=f"1 to {most}", nearest=str(most),
        )  # fmt: skip


def _toe_room(m: Measures) -> Iterator[Finding]:
    """A stretcher set back must clear the front legs, and leave room before the back ones."""
    f, pair, st = m.brief.frame, m.pair, m.stretcher
    outer = pair.outer(f.lower_ring - st.height / 2)
    least = math.ceil(outer - pair.inner(f.lower_ring) - 1e-9)
    most = math.floor(m.stretchers["back"] + outer - 1.5 * st.width - _LEAST)
    if not least <= f.toe_room <= most:
        yield Finding(
            code="frame.toe_room", field="frame.toe_room", member="stretcher front",
            message=(
                f"Set back {f.toe_room:.0f} mm the front stretcher runs into the "
                f"{'front legs' if f.toe_room < least else 'back stretcher'}; set it back {least} to {most} mm, or 0 to "
                f"join the legs themselves."
            ),
            allowed=f"0, or {least} to {most} mm", nearest=f"{least if f.toe_room < least else most} mm",
        )  # fmt: skip


def _top(m: Measures) -> Iterator[Finding]:
    if m.beam and m.brief.top.kind != "none":
        yield Finding(
            code="frame.beam_top", field="top.kind", member="box beam",
            message=(
                "One box beam does not carry a top or tray; take none, or join the end frames by stretchers, whose "
                "long rails carry it."
            ),
            nearest="none",
        )  # fmt: skip
