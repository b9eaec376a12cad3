"""What welding takes off rows of pieces in one line, and how square a frame may then be expected.

Rows add up what all their joints take, and what their pieces are sawn longer for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from framecore.frame.model import Frame, Member
from framecore.frame.vector import dot, minus
from framecore.shop._say import within
from framecore.shop.allowance import Pull, longer
from framecore.shop.tolerance import ANGLE_ROWS, CLASSES, linear_tolerance
from framecore.shop.work import Chain, Square

_LINE = 5.0  # mm; pieces whose middles lie this near to one line stand in it
_NEXT = 150.0  # mm; further apart, two pieces in one line are no row
_UPRIGHT = 0.99


def chains(frame: Frame, pulls: Mapping[str, Sequence[Pull]], units: str = "metric") -> tuple[Chain, ...]:
    """Return the rows of pieces that stand in one line between their outermost joints, longest first.

    Parameters
    ----------
    pulls : of ``framecore.shop.allowance.end_pulls``
    units : of the words
    """
    rows: list[list[Member]] = []
    for m in sorted((m for m in frame.members if m.name in pulls), key=lambda m: (m.start.point, m.name)):
        row = next((r for r in rows if _in_line(r[0], m) and _gap(r[-1], m) < _NEXT), None)
        if row is None:
            rows.append([m])
        else:
            row.append(m)
    out = []
    for row in rows:
        own = [p for m in row for p in pulls[m.name]]
        low, high, count = sum(p[0] for p in own), sum(p[1] for p in own), len(own)
        length, leave = _over_all(frame, row), sum(longer(pulls[m.name]) for m in row)
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


def _in_line(a: Member, b: Member) -> bool:
    off = minus(b.start.point, a.start.point)
    along_ = dot(off, a.x_axis)
    aside = math.sqrt(max(dot(off, off) - along_ * along_, 0.0))
    return aside < _LINE and abs(dot(a.x_axis, b.x_axis)) > 1 - 1e-6 and a.profile.id == b.profile.id


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
