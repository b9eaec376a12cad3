"""What welding takes off lengths, and how square a frame may then be expected.

A bead pulls across itself as it cools. What it takes cannot be foretold closely; an interval can, and half of it is cut
longer. Rows of pieces in one line add up what all their joints take.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from framecore.frame.model import Frame, Member, Role
from framecore.frame.vector import dot, minus
from framecore.shop._say import within
from framecore.shop.filler import section_of
from framecore.shop.tolerance import ANGLE_ROWS, CLASSES, linear_tolerance
from framecore.shop.work import Chain, Square, Weld

BUTT = 0.1  # mm per (mm2 / mm): transverse shrinkage of a joint is about a tenth of its metal over its wall
FILLET_MOST = 0.8  # mm a joint, legs up to three quarters of the wall
SOURCE = "low: 0.1 A / t (Blodgett, Design of Welded Structures, from a copy); high: 0.8 mm a fillet (TWI)"
_LINE = 5.0  # mm; pieces whose middles lie this near to one line stand in it
_NEXT = 150.0  # mm; further apart, two pieces in one line are no row
_UPRIGHT = 0.99
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


def chains(frame: Frame, welds: Sequence[Weld], units: str = "metric") -> tuple[Chain, ...]:
    """Return the rows of pieces that stand in one line between their outermost joints, longest first.

    Parameters
    ----------
    units : of the words
    """
    rows: list[list[Member]] = []
    for m in sorted((m for m in frame.members if m.role in ROWS), key=lambda m: (m.start.point, m.name)):
        row = next((r for r in rows if _in_line(r[0], m) and _gap(r[-1], m) < _NEXT), None)
        if row is None:
            rows.append([m])
        else:
            row.append(m)
    out = []
    for row in rows:
        low = high = 0.0
        count = 0
        for m in row:
            for joint in _end_joints(frame, m):
                own = [w for w in welds if w.joint == joint and m.name in w.parts]
                a, b = joint_shrinkage(own, m.profile.wall)
                if b:
                    low, high, count = low + a, high + b, count + 1
        if not count:
            continue
        length, leave = _over_all(frame, row), _half_step((low + high) / 2)
        names = tuple(m.name for m in row)
        out.append(
            Chain(
                name=names[0] if len(row) == 1 else f"{names[0]} to {names[-1]}", members=names, welds=count, length=length,
                low=low, high=high, leave=leave, tolerance=linear_tolerance(length), left=max(high - leave, leave - low),
                text=f"{count} joint{'s' if count > 1 else ''} take{'s' if count == 1 else ''} {within(units, low)} to "
                f"{within(units, high)}",
            )
        )  # fmt: skip
    return tuple(sorted(out, key=lambda c: -c.length))


def _gap(a: Member, b: Member) -> float:
    """Free length between two pieces in one line, mm; negative where they lap."""
    at = sorted(dot(e.point, a.x_axis) for e in (b.start, b.end))
    own = sorted(dot(e.point, a.x_axis) for e in (a.start, a.end))
    return max(at[0] - own[1], own[0] - at[1])


def _over_all(frame: Frame, row: Sequence[Member]) -> float:
    """Length of a row with the upright members that it ends on, mm: what a tape reads."""
    axis = row[0].x_axis
    middles = [(dot(m.start.point, axis) + dot(m.end.point, axis)) / 2 for m in row]
    ends = [at + side * m.length / 2 for at, m in zip(middles, row, strict=True) for side in (-1, 1)]
    low, high = min(ends), max(ends)
    inner = {m.name for m in row}
    out = [low, high]
    for joint in frame.joints:
        if not inner & set(joint.members):
            continue
        for m in frame.members:
            if m.name not in joint.members or m.name in inner or abs(m.x_axis[2]) < _UPRIGHT:
                continue
            at = dot(joint.point, axis)
            half = (abs(dot(m.y_axis, axis)) * m.profile.width + abs(dot(m.z_axis, axis)) * m.profile.height) / 2
            # It ends on this member: the row's end lies on the near face.
            if min(abs(at - half - high), abs(at + half - low)) < _LINE:
                out += [at - half, at + half]
    return max(out) - min(out)


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


def squareness(
    chains_: Sequence[Chain], pairs: Sequence[tuple[str, str, str, float]], units: str = "metric"
) -> tuple[Square, ...]:
    """Return how far frames may lean when one of two opposite rows shrinks most and the other least.

    Parameters
    ----------
    pairs : name of the frame, one row's member, the opposite row's member, mm between them
    units : of the words
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
                diagonal=2 * a.length * lean / 1000 * apart / math.hypot(a.length, apart),
                text=(
                    f"one row may shrink {within(units, max(a.high, b.high))} and the other "
                    f"{within(units, min(a.low, b.low))}, {within(units, apart)} apart"
                ),
            )
        )  # fmt: skip
    return tuple(out)
