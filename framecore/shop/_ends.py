"""How the ends of a piece are sawn: in words, and as a form by which turned pieces are known as alike."""

from __future__ import annotations

import math

from framecore.frame.model import EndCut, Member
from framecore.frame.vector import dot

# Slopes of a cut that differ by less than this are sawn as one (0.006 degrees).
_ALIKE = 1e-4
_FLAT = 1e-7
Slopes = tuple[float, float]


def _slopes(member: Member, end: EndCut) -> Slopes:
    """Slope of a cut along the member's local y and z, of the normal that points out of the member."""
    way = abs(dot(end.normal, member.x_axis))
    return dot(end.normal, member.y_axis) / way, dot(end.normal, member.z_axis) / way


def _text(member: Member, end: EndCut) -> str:
    if end.kind == "square":
        return "square"
    y, z = _slopes(member, end)
    if abs(y) < _FLAT or abs(z) < _FLAT:
        return f"mitre {math.degrees(end.angle):.4g}°"
    # The saw is swung by the angle on the face that lies on its table, and its blade tilted by what is left.
    tilt = math.asin(abs(dot(end.normal, member.z_axis)))
    return f"mitre {math.degrees(math.atan(abs(y))):.3g}° tilt {math.degrees(tilt):.3g}°"


def end_texts(member: Member) -> tuple[str, str]:
    """Return how both ends are sawn: "square", "mitre 45°", a compound cut as "mitre 18° tilt 9°".

    The second end says "parallel" where both cuts are mitred and lie parallel, else they face each other.
    """
    first, last = _text(member, member.start), _text(member, member.end)
    s, e = _slopes(member, member.start), _slopes(member, member.end)
    lean = max(abs(s[0]), abs(s[1]))
    if lean > _ALIKE and max(abs(s[0] + e[0]), abs(s[1] + e[1])) < _ALIKE:
        last += " parallel"
    return first, last


def cut_form(member: Member) -> tuple[object, ...]:
    """Return a value that is equal for two members whose ends are sawn alike, however the piece is turned.

    A tube may be turned end for end and on any of its like faces, but not into its mirror image: two rails
    that mirror each other with compound cuts are a left and a right one. Sections that are not alike when
    turned (angles, channels) go by the words of their ends.
    """
    if member.start.kind == member.end.kind == "square":
        return ("square",)
    p = member.profile
    if max(abs(p.box_centre[0]), abs(p.box_centre[1])) > 1e-6:
        return tuple(sorted(end_texts(member)))
    s, e = _slopes(member, member.start), _slopes(member, member.end)
    forms = []
    quarters = 2 if abs(p.width - p.height) < 1e-6 else 1
    for _ in range(quarters):
        (a, b), (c, d) = s, e
        forms += [(a, b, c, d), (-a, -b, -c, -d), (-c, d, -a, b), (c, -d, a, -b)]
        s, e = (b, -a), (d, -c)
    return min(tuple(round(v / _ALIKE) for v in form) for form in forms)
