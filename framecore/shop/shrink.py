"""What welding takes off lengths, and how square a frame may then be expected.

A bead pulls across itself as it cools. What it takes cannot be foretold closely; an interval can, and half of it is cut
longer. Rows of pieces in one line add up what all their joints take.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from framecore.frame.model import Frame, Member, Role
from framecore.frame.vector import dot, minus
from framecore.shop.filler import section_of
from framecore.shop.tolerance import ANGLE_ROWS, CLASSES, linear_tolerance
from framecore.shop.work import Chain, Square, Weld

BUTT = 0.1  # mm per (mm2 / mm): transverse shrinkage of a joint is about a tenth of its metal over its wall
FILLET_MOST = 0.8  # mm a joint, legs up to three quarters of the wall
SOURCE = "low: 0.1 A / t (Blodgett, Design of Welded Structures, from a copy); high: 0.8 mm a fillet (TWI)"
_LINE = 5.0  # mm; pieces whose middles lie this near to one line stand in it
ROWS = (Role.TOP_RAIL, Role.LOWER_RAIL, Role.STRETCHER, Role.BEARER, Role.BASE, Role.BEAM)


def joint_shrinkage(welds: Iterable[Weld], wall: float) -> tuple[float, float]:
    """Return the least and most that one joint's welds take off across themselves, mm.

    Source: see ``SOURCE``. Welds of one joint pull together: the heaviest counts.
    """
    metal = max((section_of(w) for w in welds), default=0.0)
    if metal <= 0:
        return 0.0, 0.0
    low = BUTT * metal / wall
    return min(low, FILLET_MOST), max(low, FILLET_MOST)


def chains(frame: Frame, welds: Sequence[Weld]) -> tuple[Chain, ...]:
    """Return the rows of pieces that stand in one line between their outermost joints, longest first."""
    rows: list[list[Member]] = []
    for m in frame.members:
        if m.role not in ROWS:
            continue
        row = next((r for r in rows if _in_line(r[0], m)), None)
        if row is None:
            rows.append([m])
        else:
            row.append(m)
    out = []
    for row in rows:
        low = high = length = 0.0
        count = 0
        for m in row:
            length += m.length
            for joint in _end_joints(frame, m):
                own = [w for w in welds if w.joint == joint and m.name in w.parts]
                a, b = joint_shrinkage(own, m.profile.wall)
                if b:
                    low, high, count = low + a, high + b, count + 1
        if not count:
            continue
        leave = _half_step((low + high) / 2)
        names = tuple(m.name for m in row)
        out.append(
            Chain(
                name=names[0] if len(row) == 1 else f"{names[0]} to {names[-1]}", members=names, welds=count, length=length,
                low=low, high=high, leave=leave, tolerance=linear_tolerance(length),
                text=f"{count} joints take {low:.1f} to {high:.1f} mm",
            )
        )  # fmt: skip
    return tuple(sorted(out, key=lambda c: -c.length))


def _half_step(value: float) -> float:
    return round(value * 2) / 2


def _in_line(a: Member, b: Member) -> bool:
    off = minus(b.start.point, a.start.point)
    along_ = dot(off, a.x_axis)
    aside = math.sqrt(max(dot(off, off) - along_ * along_, 0.0))
    return aside < _LINE and abs(dot(a.x_axis, b.x_axis)) > 1 - 1e-6 and a.profile.id == b.profile.id


def _end_joints(frame: Frame, m: Member) -> list[str]:
    """Names of the joints at the two ends of a member."""
    reach = max(m.profile.width, m.profile.height) * 1.5
    out = []
    for end in (m.start.point, m.end.point):
        near = [
            j for j in frame.joints
            if m.name in j.members and math.dist(j.point, end) < reach + _reach(frame, j.members, m)
        ]  # fmt: skip
        if near:
            out.append(min(near, key=lambda j: math.dist(j.point, end)).name)
    return out


def _reach(frame: Frame, names: Sequence[str], own: Member) -> float:
    sizes = [max(k.profile.width, k.profile.height) for k in frame.members if k.name in names and k is not own]
    return max(sizes, default=0.0)


def squareness(chains_: Sequence[Chain], pairs: Sequence[tuple[str, str, str, float]]) -> tuple[Square, ...]:
    """Return how far frames may lean when one of two opposite rows shrinks most and the other least.

    Parameters
    ----------
    pairs : name of the frame, one row's member, the opposite row's member, mm between them
    """
    of = {n: c for c in chains_ for n in c.members}
    out = []
    for name, one, other, apart in pairs:
        a, b = of.get(one), of.get(other)
        if a is None or b is None or apart <= 0:
            continue
        lean = max(a.high - b.low, b.high - a.low) / 2 / apart * 1000
        k = next((n for limit, n in ANGLE_ROWS if min(apart, a.length) <= limit), ANGLE_ROWS[-1][1])
        held = [c for c, allowed in zip(CLASSES, k, strict=True) if lean <= allowed]
        out.append(
            Square(
                name=name, lean=lean, allowed=k[1], quality=held[0] if held else "",
                text=(
                    f"one row may shrink {max(a.high, b.high):.1f} mm and the other {min(a.low, b.low):.1f} mm, "
                    f"{apart:.0f} mm apart"
                ),
            )
        )  # fmt: skip
    return tuple(out)
