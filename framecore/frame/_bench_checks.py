"""Impossible and doubtful workbenches: each rule one finding with its cure."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from framecore.catalogue import steel as find_steel
from framecore.catalogue.model import Shape
from framecore.errors import Finding, Severity
from framecore.frame._bench import MOST_LEGS, Bench
from framecore.frame._posts_checks import posts_findings
from framecore.frame._vice import vice_findings
from framecore.frame.checks import ring_findings
from framecore.frame.draft import Draft
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Role

# Someone who sits down on the end of a bench (assumed), kg.
SITTER = 80.0
_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)


def bench_findings(d: Draft, b: Bench) -> tuple[Finding, ...]:
    """Return everything that makes this bench impossible or doubtful."""
    out = [*ring_findings(b.m), *posts_findings(b.p, b.width, wrapped=False), *_legs(b), *_crossings(d, b), *_extras(b)]
    if b.m.brief.frame.vice_corner != "none":
        out += vice_findings(b, _across(d))
    out += _overhangs(d, b)
    return tuple(out)


def _across(d: Draft) -> dict[str, float]:
    """X of every bearer and cross rail but the vice's own, by name."""
    return {
        m.name: m.start.point[0]
        for m in d.members
        if (m.role is Role.BEARER and m.name.startswith("bearer")) or m.name.startswith("cross rail")
    }


def _legs(b: Bench) -> Iterator[Finding]:
    f = b.m.brief.frame
    most = (MOST_LEGS - 4) // 2
    if f.middle_legs > most:
        yield Finding(
            code="frame.bench_legs_many", field="frame.middle_legs", member=f"leg FM{most + 1}",
            message=(
                f"{f.middle_legs} middle legs a side make {4 + 2 * f.middle_legs} legs; a workbench has four to {MOST_LEGS}: "
                f"take up to {most} middle legs, or the four-post layout."
            ),
            allowed=f"0 to {most}", nearest=str(most),
        )  # fmt: skip
    if f.legs == "wrapped angle":
        yield Finding(
            code="frame.bench_legs", field="frame.legs", member="leg FL",
            message="The legs of a workbench stand under its ring, so wrapped angle legs do not fit; take tube legs under it.",
            allowed="under the ring", nearest="under the ring",
        )  # fmt: skip


def _crossings(d: Draft, b: Bench) -> Iterator[Finding]:
    m, f = b.m, b.m.brief.frame
    plain = not m.brief.machine.holes
    if plain and (f.bearers or f.bearers_at) and f.bearer_place == "over the ring":
        yield Finding(
            code="frame.bench_bearers_over", field="frame.bearer_place", member="bearer 1",
            message="Bearers over the ring carry a machine; without one the top lies on the ring: lay them between the rails.",
            allowed="between the rails", nearest="between the rails",
        )  # fmt: skip
    if plain and (f.bearers or f.bearers_at or f.vice_corner != "none") and m.bearer.shape not in _BOX:
        yield Finding(
            code="frame.bearer_shape", field="frame.sections.bearers",
            message=f"Bearers of a bench are square or rectangular tube, but {m.bearer.id} is a {m.bearer.shape}.",
            allowed="square or rectangular tube", nearest="SHS 50x50x3",
        )  # fmt: skip
    across = sorted(_across(d).items(), key=lambda item: item[1])
    if f.bearer_place == "over the ring" or f.bearers_at:
        return  # they pass over what crosses the ring; fixed ones were checked as they were placed
    ends = [("top rail left", -(b.length - b.width) / 2), *across, ("top rail right", (b.length - b.width) / 2)]
    for (n0, x0), (n1, x1) in pairwise(ends):
        reach = sum(m.bearer.width / 2 if n.startswith("bearer") else b.width / 2 for n in (n0, n1))
        if x1 - x0 >= reach - 1e-9 or not ("bearer" in n0 or "bearer" in n1):
            continue
        if plain:
            yield Finding(
                code="frame.bearers_crowded", field="frame.bearers", member=n1,
                message=f"{f.bearers} bearers do not fit side by side in this ring: {n0} runs into {n1}; take fewer.",
                nearest=str(max(0, f.bearers - 1)),
            )  # fmt: skip
            return
        yield Finding(
            code="frame.bearer_on_cross_rail", field="machine.at", member=n0 if "bearer" in n0 else n1,
            message=(
                f"The {n0} runs into the {n1}, {reach - (x1 - x0):.0f} mm too near; move the machine along by at least that, "
                f"or lay the bearers over the ring."
            ),
            nearest=f"{reach - (x1 - x0):.0f} mm along",
        )  # fmt: skip


def _extras(b: Bench) -> Iterator[Finding]:
    if b.m.brief.extras.backstop and b.m.brief.top.kind == "tray":
        yield Finding(
            code="frame.backstop_on_tray", field="extras.backstop", member="backstop",
            message=(
                "A tray has its own rim and no rear edge for a backstop; leave the backstop out, or take a sheet or "
                "wooden top."
            ),
            allowed="0 mm with a tray", nearest="0 mm",
        )  # fmt: skip


def _overhangs(d: Draft, b: Bench) -> Iterator[Finding]:
    f, w = b.m.brief.frame, b.width
    plans = (
        ("left", f.overhang_left, f.length, b.m.leg.width), ("right", f.overhang_right, f.length, b.m.leg.width),
        ("front", f.overhang_front, f.depth, b.m.leg.height),
    )  # fmt: skip
    if not any(over for _, over, *_ in plans):
        return
    mass, cx, cy = weight_of(d)
    for side, over, size, leg in plans:
        if not over:
            continue
        key, word = f"frame.overhang_{side}", "depth" if side == "front" else "length"
        beside = 1.5 * w - leg / 2
        if side != "front" and over < beside - 1e-9 and b.crossing[0 if side == "left" else -1].startswith("top rail"):
            yield Finding(
                code="frame.overhang_short", field=key, member=f"leg F{side[0].upper()}", severity=Severity.LOOK,
                message=(
                    f"With {over:.0f} mm of overhang the {side} legs stand half under the end rail and stay partly open; "
                    f"take 0, or at least {beside:.0f} mm so that a cross rail fits over them."
                ),
                allowed=f"0, or at least {beside:.0f} mm", nearest=f"{beside:.0f} mm",
            )  # fmt: skip
        if over > size / 3 + 1e-9:
            yield Finding(
                code="frame.overhang_long", field=key, severity=Severity.LOOK,
                message=(
                    f"The top reaches {over:.0f} mm past the {side} legs, more than a third of the {word} between them "
                    f"({size:.0f} mm); it will spring under work there: {size / 3:.0f} mm is plenty (common practice)."
                ),
                allowed=f"up to {size / 3:.0f} mm", nearest=f"{size / 3:.0f} mm",
            )  # fmt: skip
        # Weight over the feet on this side against someone on the edge.
        foot = {"left": -b.p.xs[0], "right": b.p.xs[-1], "front": -b.p.y(-1)}[side]
        back = foot - {"left": -cx, "right": cx, "front": -cy}[side]
        past = b.m.brief.top.overhang if b.m.brief.top.kind in ("sheet", "wood") else 0.0
        edge = (b.depth if side == "front" else b.length) / 2 + past
        bears = mass * back / (edge - foot)
        # Shortened, the ring (about half the weight) comes back by half as much.
        less = (SITTER * (edge - foot) - mass * back) / (SITTER + mass / 4)
        if bears < SITTER:
            yield Finding(
                code="frame.overhang_tips", field=key, severity=Severity.LOOK,
                message=(
                    f"{SITTER:.0f} kg on the {side} edge of the top (someone sitting on it, assumed) tips the bench: it bears "
                    f"{max(bears, 0.0):.0f} kg there ({mass:.0f} kg x {back:.0f} mm / {edge - foot:.0f} mm); shorten the "
                    f"overhang, load the shelf or bolt it down."
                ),
                nearest=f"{max(0.0, over - less):.0f} mm",
            )  # fmt: skip


def weight_of(d: Draft) -> tuple[float, float, float]:
    """Return the mass of the bench with its machine, kg, and x, y of its middle; cuts and holes are left out."""
    density = find_steel(d.brief.steel.grade).density
    total = mx = my = 0.0
    for m in d.members:
        kg = m.profile.properties.area * m.length * density * 1e-9
        a, e = m.start.point, m.end.point
        total, mx, my = total + kg, mx + kg * (a[0] + e[0]) / 2, my + kg * (a[1] + e[1]) / 2
    for p in d.plates:
        size = p.outline.max(axis=0) - p.outline.min(axis=0)
        kg = float(size[0] * size[1]) * p.thickness * p.density * 1e-9
        total, mx, my = total + kg, mx + kg * p.origin[0], my + kg * p.origin[1]
    if d.brief.machine.mass:
        kg = d.brief.machine.mass
        x, y, _ = centre_on_stand(d.brief, d.seat)
        total, mx, my = total + kg, mx + kg * x, my + kg * y
    return total, mx / total, my / total
