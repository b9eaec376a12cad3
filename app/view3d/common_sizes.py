"""Length, depth, height, lower ring with its shelf, toe room: sizes that several layouts have."""

from __future__ import annotations

from app.view3d.handles import Here, Vector, X, Y, Z
from app.view3d.sizes import Size, layout, leg_bottom, legs_middle, ring_half
from framecore.catalogue import profile as find_profile
from framecore.frame import column, tripod

_RINGS = ("four-post", "trestle", "pedestal pair", "workbench", "tripod")
_SET_BACK = ("four-post", "trestle", "pedestal pair", "workbench")


def _length_at(h: Here) -> Vector:
    x, y = legs_middle(h)
    end = x + h.brief.frame.length / 2
    if layout(h) == "column":
        return (end, 0.0, leg_bottom(h))
    if layout(h) == "workbench":  # its ring may reach past its legs: the grip stands on a leg
        f = h.brief.frame
        return (end, y - f.depth / 2 + find_profile(f.sections.legs).height / 2, h.seat / 2)
    return (end, 0.0, h.seat)


def _depth_at(h: Here) -> Vector:
    f = h.brief.frame
    x, y = legs_middle(h)
    front = y - f.depth / 2
    if layout(h) == "column":
        side = f.length / 2 - find_profile(f.sections.base).width / 2 if f.base == "cross" else 0.0
        return (side, front, leg_bottom(h))
    if layout(h) == "trestle":  # measured at the floor, where splayed legs are widest
        return (find_profile(f.sections.legs).width / 2 - f.length / 2, front, leg_bottom(h))
    if layout(h) == "workbench":
        return (x - f.length / 2 + find_profile(f.sections.legs).width / 2, front, h.seat / 2)
    return (0.0, front, h.seat)


def _height_at(h: Here) -> Vector:
    seat = h.seat if h.brief.frame.height is None else h.brief.frame.height
    if layout(h) == "column":
        return (column.measure(h.brief, seat).head[0], 0.0, seat)
    if layout(h) == "tripod":
        x, y = min(tripod.supports(h.brief))
        return (x, y, seat)
    return (-ring_half(h)[0], 0.0, seat)


def _ring_at(h: Here) -> Vector:
    f, (x, y) = h.brief.frame, legs_middle(h)
    if layout(h) == "tripod":
        (ax, ay, _), (bx, by, _) = tripod.measure(h.brief, h.seat).sides[0].ends(f.lower_ring)
        return ((ax + bx) / 2, (ay + by) / 2, f.lower_ring)
    if layout(h) == "trestle":
        return (f.length / 2 - find_profile(f.sections.legs).width / 2, 0.0, f.lower_ring)
    along = (f.length - f.pedestal) / 2 if layout(h) == "pedestal pair" else f.length / 4
    return (x + along, y - f.depth / 2 + f.toe_room, f.lower_ring)


def _toe_at(h: Here) -> Vector:
    f, (x, y) = h.brief.frame, legs_middle(h)
    along = (f.length - f.pedestal) / 2 if layout(h) == "pedestal pair" else f.length / 4
    return (x - along, y - f.depth / 2 + f.toe_room, f.lower_ring)


def has_shelf(h: Here) -> bool:
    """Whether a shelf lies on the lower ring: its height is that of the ring, it has none of its own."""
    return h.brief.frame.shelf != "none" and layout(h) in _RINGS


def _has_ring(h: Here) -> bool:
    return layout(h) in _RINGS and h.brief.frame.lower_ring > 0


COMMON = (
    Size(
        key="frame.length", mark="L", name="length", at=_length_at, way=lambda _h: X, factor=2.0,
        value=lambda h, p: 2 * (float(p[0]) - legs_middle(h)[0]), shown=lambda h: layout(h) != "tripod",
    ),
    Size(
        key="frame.depth", mark="D", name="depth", at=_depth_at, way=lambda _h: Y, factor=2.0,
        value=lambda h, p: 2 * (legs_middle(h)[1] - float(p[1])), shown=lambda h: layout(h) != "tripod",
    ),
    Size(
        key="frame.height", mark="H", name="height", at=_height_at, way=lambda _h: Z,
        value=lambda _h, p: float(p[2]), shown=lambda _h: True,
    ),
    Size(
        key="frame.lower_ring", mark="R", name="lower ring", at=_ring_at, way=lambda _h: Z,
        value=lambda _h, p: float(p[2]), shown=lambda h: _has_ring(h) and not has_shelf(h),
    ),
    Size(
        key="frame.lower_ring", mark="S", name="shelf and lower ring", at=_ring_at, way=lambda _h: Z,
        value=lambda _h, p: float(p[2]), shown=lambda h: _has_ring(h) and has_shelf(h),
    ),
    Size(
        key="frame.toe_room", mark="T", name="toe room", at=_toe_at, way=lambda _h: Y,
        value=lambda h, p: float(p[1]) - legs_middle(h)[1] + h.brief.frame.depth / 2,
        shown=lambda h: layout(h) in _SET_BACK and h.brief.frame.lower_ring > 0 and h.brief.frame.toe_room > 0,
    ),
)  # fmt: skip
