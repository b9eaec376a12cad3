"""Where a trestle's members meet, and the openings between them."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from framecore.catalogue import profile as find_profile
from framecore.catalogue.model import Profile
from framecore.frame.draft import Draft
from framecore.frame.fitup import tube_branch
from framecore.frame.model import Bay, FitUp, Joint, Member

if TYPE_CHECKING:
    from framecore.frame.trestle import EndFrame, Measures

_SIDES = (("F", "front", -1), ("B", "back", 1))


def add_joints(
    d: Draft, m: Measures, bearers: tuple[Member, ...], slats: tuple[tuple[Member, int], ...]
) -> None:
    """Add every joint, and name those that carry the seat."""
    d.joints += _tops(m)
    d.joints += _lowers(m)
    if m.beam:
        z = m.ring_top - m.beam.height / 2
        for e in m.frames:
            d.joints.append(
                Joint(name=f"beam on {e.name}", kind="beam on end frame", members=("box beam", f"top rail {e.name}"),
                      point=(m.rail_x(e), 0.0, z))
            )  # fmt: skip
        d.joints += [
            Joint(name=f"{b.name} on beam", kind="cross piece on beam", members=("box beam", b.name),
                  point=(b.start.point[0], 0.0, z))
            for b in bearers
        ]  # fmt: skip
        d.seat_joints += ["beam on left", "beam on right"]
    else:
        z, y = m.ring_top - m.top_rail.height / 2, m.ring_depth / 2 - m.top_rail.width / 2
        for b in bearers:
            d.joints += [
                Joint(name=f"{b.name} {side}", kind="bearer on rail", members=(f"top rail {side}", b.name),
                      point=(b.start.point[0], sy * y, z),
                      fit_ups=_fit(m, b.profile, m.top_rail, m.top_rail.height, b.profile.height))
                for _, side, sy in _SIDES
            ]  # fmt: skip
        d.seat_joints += [f"top rail corner {c}" for c in ("FL", "FR", "BL", "BR")]
    z = m.brief.frame.lower_ring - m.stretcher.height / 2
    for slat, k in slats:
        for _, side, _ in _SIDES:
            d.joints.append(
                Joint(name=f"{slat.name} {side}", kind="slat on stretcher", members=(m.spans(side)[k][0], slat.name),
                      point=(slat.start.point[0], m.stretchers[side], z),
                      fit_ups=_fit(m, slat.profile, m.stretcher, m.stretcher.height, slat.profile.height))
            )  # fmt: skip


def _fit(m: Measures, branch: Profile, run: Profile, face: float, width: float) -> tuple[FitUp, ...]:
    if not (branch.closed and run.closed):
        return ()
    weld = m.brief.welding
    return (tube_branch(width, branch.wall_design, run, face, weld.leg, weld.process),)


def _tops(m: Measures) -> list[Joint]:
    """Each leg under its rails."""
    out = []
    rail, leg = m.top_rail, m.pair.leg
    z = m.frame_top - rail.height / 2
    for word, side, sy in _SIDES:
        for e in m.frames:
            names = [f"leg {word}{e.code}", f"top rail {e.name}"]
            fits = list(_fit(m, leg, rail, rail.width, leg.width))
            if not m.beam:
                names.insert(1, f"top rail {side}")
                fits += _fit(m, rail, rail, rail.height, rail.height)
            out.append(
                Joint(name=f"top rail corner {word}{e.code}", kind="rails over leg", members=tuple(names),
                      point=(e.x, sy * m.pair.middle(z), z), fit_ups=tuple(fits))
            )  # fmt: skip
    return out


def _lowers(m: Measures) -> list[Joint]:
    """Lower rails between the legs; stretchers on the legs or on the lower rails."""
    if not m.brief.frame.lower_ring:
        return []
    out = []
    z = m.brief.frame.lower_ring - m.lower_rail.height / 2
    for word, side, sy in _SIDES:
        for e in m.frames:
            names = [f"leg {word}{e.code}", f"lower rail {e.name}"]
            fits = list(_fit(m, m.lower_rail, m.pair.leg, m.pair.leg.width, m.lower_rail.width))
            if side in m.stretchers and m.on_legs(side):
                names += _landing(m, side, e)
                fits += _fit(m, m.stretcher, m.pair.leg, m.pair.leg.height, m.stretcher.width)
            out.append(
                Joint(name=f"lower rail corner {word}{e.code}", kind="lower rails on leg", members=tuple(names),
                      point=(e.x, sy * m.pair.middle(z), z), fit_ups=tuple(fits))
            )  # fmt: skip
    for side, y in m.stretchers.items():
        if m.on_legs(side):
            continue
        fits = list(_fit(m, m.stretcher, m.lower_rail, m.lower_rail.height, m.stretcher.height))
        out += [
            Joint(name=f"stretcher {side} on {e.name}", kind="stretcher on lower rail",
                  members=(f"lower rail {e.name}", *_landing(m, side, e)), point=(e.x, y, z), fit_ups=tuple(fits))
            for e in m.frames
        ]  # fmt: skip
    return out


def _landing(m: Measures, side: str, frame: EndFrame) -> list[str]:
    """Names of the stretchers of one side that end at an end frame."""
    return [name for name, a, b in m.spans(side) if frame.code in (a.code, b.code)]


def add_bays(d: Draft, m: Measures) -> None:
    """Add the openings of both ends, and of front and back where long rails close them above."""
    f, pair = m.brief.frame, m.pair
    top = m.frame_top - m.top_rail.height
    low = f.lower_ring or pair.bottom
    # An end's opening is the A between its legs; seen from outside, left is the back at the left end.
    for e, way in ((m.frames[0], -1), (m.frames[-1], 1)):
        side = e.name
        a, b = ("B", "F") if way < 0 else ("F", "B")
        y0, y1 = -way * pair.inner(low), -way * pair.inner(top)
        d.bays.append(
            Bay(name=side, side=side, left=f"leg {a}{e.code}", right=f"leg {b}{e.code}",
                bottom=f"lower rail {side}" if f.lower_ring else "", top=f"top rail {side}",
                corners=((e.x, y0, low), (e.x, -y0, low), (e.x, -y1, top), (e.x, y1, top)),
                normal=(float(way), 0.0, 0.0), joints=_around(f.lower_ring > 0, a + e.code, b + e.code))
        )  # fmt: skip
    if m.beam:
        return
    spans = tuple(pairwise(m.frames))
    brace = find_profile(f.sections.braces)
    # A brace leans with the side: its lower edge inside and its upper edge outside take this much height.
    lean = max(brace.width, brace.height) / 2 * math.sin(pair.angle)
    for word, side, sy in _SIDES:
        closed = side in m.stretchers and m.on_legs(side)
        base, head = (f.lower_ring if closed else pair.bottom) + lean, top - lean
        for k, (first, last) in enumerate(spans):
            near, far = (first, last) if sy < 0 else (last, first)
            half = -sy * pair.leg.width / 2
            x0, x1, y0, y1 = near.x + half, far.x - half, sy * pair.middle(base), sy * pair.middle(head)
            d.bays.append(
                Bay(name=f"{side} {k + 1}" if len(spans) > 1 else side, side=side,
                    left=f"leg {word}{near.code}", right=f"leg {word}{far.code}",
                    bottom=m.spans(side)[k][0] if closed else "", top=f"top rail {side}",
                    corners=((x0, y0, base), (x1, y0, base), (x1, y1, head), (x0, y1, head)),
                    normal=pair.outward(sy), joints=_around(closed, word + near.code, word + far.code))
            )  # fmt: skip


def _around(closed: bool, left: str, right: str) -> tuple[str, str, str, str]:
    """Names of the joints at a bay's corners; none below an opening without a rail there."""
    low = (f"lower rail corner {left}", f"lower rail corner {right}") if closed else ("", "")
    return (*low, f"top rail corner {right}", f"top rail corner {left}")
