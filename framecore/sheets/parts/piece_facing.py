"""Which way a drilled piece is fitted: where the face drawn looks in the stand, and where its lower edge and left end lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecore.frame.model import Frame, Member, Vector
from framecore.frame.vector import dot, minus
from framecore.sheets.parts.piece_data import Shape
from framecore.shop._say import names

_Axes = tuple[Vector, Vector, Vector]
_WAYS = (("to the left", "to the right"), ("to the front", "to the back"), ("down", "up"))


def facing_words(frame: Frame, members: Sequence[str], shape: Shape) -> list[str]:
    """Return a sentence for each way pieces of one mark lie in the stand; none where they cannot be fitted wrong.

    Parameters
    ----------
    members : names of the pieces; the first is the one drawn
    shape : its faces as drawn
    """
    first = frame.member(members[0])
    own = (first.x_axis, first.y_axis, first.z_axis)
    if all(_holes(frame, first, turned) == _holes(frame, first, own) for turned in _turned(own)):
        return []
    drawn = _holes(frame, first, own), _ends(first, own)
    told: dict[str, list[str]] = {}
    for name in members:
        m = frame.member(name)
        fits = [
            _way(axes, shape) for axes in _turned((m.x_axis, m.y_axis, m.z_axis))
            if (_holes(frame, m, axes), _ends(m, axes)) == drawn
        ]  # fmt: skip
        told.setdefault(next((way for way in fits if way in told), fits[0]), []).append(name)
    if len(told) == 1:
        return [f"In the stand {way}." for way in told]
    return [f"{names(own)}: {way}." for way, own in told.items()]


def _way(axes: _Axes, shape: Shape) -> str:
    x, y, z = axes
    up, out = (y, z) if shape.faces[0].side == "y" else (z, _back(y))
    return f"the face drawn looks {_to(out)}, its lower edge lies {_to(_back(up))}, its left end {_to(_back(x))}"


def _turned(axes: _Axes) -> Iterator[_Axes]:
    """Yield the four ways a bar fits into its place: as it is, rolled over, turned end for end, and both."""
    x, y, z = axes
    yield x, y, z
    yield x, _back(y), _back(z)
    yield _back(x), y, _back(z)
    yield _back(x), _back(y), z


def _holes(frame: Frame, m: Member, axes: _Axes) -> frozenset[tuple[float, ...]]:
    """Return the holes as these axes see them: place from the middle of the bar, size, way; one through it has no depth."""
    middle = tuple((a + b) / 2 for a, b in zip(m.start.point, m.end.point, strict=True))
    b, c = m.profile.box_centre
    out = set()
    for h in frame.holes:
        if h.owner != m.name:
            continue
        off = minus(h.centre, (middle[0], middle[1], middle[2]))
        shift = tuple(b * yk + c * zk for yk, zk in zip(m.y_axis, m.z_axis, strict=True))
        off = minus(off, (shift[0], shift[1], shift[2]))
        deep = m.profile.height if abs(dot(h.axis, m.z_axis)) > 0.9 else m.profile.width
        at = [0.0 if h.depth > deep - 1.0 and abs(dot(h.axis, a)) > 0.9 else round(dot(off, a), 1) + 0.0 for a in axes]
        ways = [round(abs(dot(h.axis, a)), 2) for a in axes]
        slot = [round(abs(dot(h.slot_axis, a)) * h.slot, 1) for a in axes] if h.slot else []
        out.add((*at, *ways, round(h.diameter, 2), round(h.depth, 1), *slot))
    return frozenset(out)


def _ends(m: Member, axes: _Axes) -> tuple[tuple[float, ...], ...]:
    """Return the slopes of both cuts as these axes see them, the left end first."""
    x, y, z = axes
    ends = (m.start, m.end) if dot(x, m.x_axis) > 0 else (m.end, m.start)
    return tuple(tuple(round(-dot(e.normal, a) / dot(e.normal, x), 3) + 0.0 for a in (y, z)) for e in ends)


def _to(way: Vector) -> str:
    """Return where a direction points, by its largest part."""
    k = max(range(3), key=lambda i: abs(way[i]))
    return _WAYS[k][way[k] > 0]


def _back(v: Vector) -> Vector:
    return (-v[0], -v[1], -v[2])
