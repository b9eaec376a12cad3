"""Sizes of single layouts and of what a stand may carry: splay, pedestals, overhangs, tray, splash back, backstop."""

from __future__ import annotations

import math

from app.numbers import length
from app.view3d.handles import Floats, Here, Vector, X, Y, Z
from app.view3d.sizes import Size, layout, leg_bottom, ring_half
from app.words import tr
from framecore.catalogue import profile as find_profile
from framecore.frame import trestle, tripod
from framecore.frame.model import Plate, PlateRole

_COVERED = ("sheet", "wood", "tray")


def _plate(h: Here, *roles: PlateRole) -> Plate | None:
    plates = h.stand.frame.plates if h.stand is not None else ()
    return next((p for p in plates if p.role in roles), None)


# -- legs that lean ------------------------------------------------------------------------------------


def _splay_at(h: Here) -> Vector:
    f = h.brief.frame
    if layout(h) == "trestle":
        pair = trestle.measure(h.brief, h.seat).pair
        return (find_profile(f.sections.legs).width / 2 - f.length / 2, -pair.outer(pair.top), pair.top)
    m = tripod.measure(h.brief, h.seat)
    return next(iter(m.legs.values())).middle(m.leg_bottom)


def _splay_way(h: Here) -> Vector:
    if layout(h) == "trestle":
        return Y
    x, y = next(iter(tripod.measure(h.brief, h.seat).legs.values())).out
    return (x, y, 0.0)


def _splay(h: Here, point: Floats) -> float:
    x, y, _ = point.tolist()
    if layout(h) == "trestle":
        pair = trestle.measure(h.brief, h.seat).pair
        return math.degrees(math.atan2(pair.depth / 2 + y, pair.top - pair.bottom))
    m = tripod.measure(h.brief, h.seat)
    leg = next(iter(m.legs.values()))
    way = (x - leg.top[0]) * leg.out[0] + (y - leg.top[1]) * leg.out[1]
    return math.degrees(math.atan2(way, m.leg_top - m.leg_bottom))


# -- pedestals -----------------------------------------------------------------------------------------


def _between(h: Here, pedestal: float) -> str:
    left = h.brief.frame.length - 2 * pedestal
    return tr("{length} between", length=length(left, h.brief.units)) if left > 0 else ""


def _pedestal_at(h: Here) -> Vector:
    f = h.brief.frame
    return (f.pedestal - f.length / 2, -f.depth / 2, (leg_bottom(h) + h.seat) / 2)


# -- tops ----------------------------------------------------------------------------------------------


def _top_box(h: Here) -> tuple[float, float, float, float]:
    """Return half the length of what the top covers, x and y of its middle, half its depth; from where it lies now."""
    plate = _plate(h, PlateRole.TOP, PlateRole.TRAY)
    if plate is None or h.stand is None:
        return ring_half(h)[0], 0.0, 0.0, ring_half(h)[1]
    over = h.stand.brief.top.overhang
    (x0, y0), (x1, y1) = plate.outline.min(0).tolist(), plate.outline.max(0).tolist()
    return (
        (x1 - x0) / 2 - over,
        plate.origin[0] + (x0 + x1) / 2,
        plate.origin[1] + (y0 + y1) / 2,
        (y1 - y0) / 2 - over,
    )


def _ring_top(h: Here) -> float:
    return h.stand.frame.ring_top if h.stand is not None else h.seat


def _over_at(h: Here) -> Vector:
    half, x, y, deep = _top_box(h)
    return (x + half + h.brief.top.overhang, y + deep / 2, _ring_top(h))


def _lip_at(h: Here) -> Vector:
    half, x, y, deep = _top_box(h)
    return (x + half + h.brief.top.overhang, y - deep / 2, _ring_top(h) + h.brief.top.lip)


def _raised_at(h: Here) -> Vector:
    mounts = h.stand.frame.mounts if h.stand is not None else ()
    x, y, _ = mounts[-1].point if mounts else (0.0, 0.0, 0.0)
    return (x, y, h.seat - h.brief.top.raised)


def _is_tray(h: Here) -> bool:
    return h.brief.top.kind == "tray" and _plate(h, PlateRole.TRAY) is not None


# -- what stands at the back -----------------------------------------------------------------------------


def _back_at(h: Here, role: PlateRole, high: float) -> Vector:
    plate = _plate(h, role)
    x, y, _ = plate.origin if plate is not None else (0.0, 0.0, 0.0)
    return (x, y, h.seat + high)


def _bench(h: Here) -> bool:
    return layout(h) == "workbench"


OWN = (
    Size(
        key="frame.splay", mark="A", name="splay of the legs", at=_splay_at, way=_splay_way, value=_splay, degrees=True,
        shown=lambda h: layout(h) in ("trestle", "tripod"),
    ),
    Size(
        key="frame.pedestal", mark="P", name="pedestal length", at=_pedestal_at, way=lambda _h: X, more=_between,
        value=lambda h, p: float(p[0]) + h.brief.frame.length / 2, shown=lambda h: layout(h) == "pedestal pair",
    ),
    Size(
        key="frame.overhang_left", mark="OL", name="overhang left", way=lambda _h: X, factor=2.0,
        at=lambda h: (-ring_half(h)[0], -ring_half(h)[1], _ring_top(h)), shown=_bench,
        value=lambda h, p: -2 * float(p[0]) - h.brief.frame.length - h.brief.frame.overhang_right,
    ),
    Size(
        key="frame.overhang_right", mark="OR", name="overhang right", way=lambda _h: X, factor=2.0,
        at=lambda h: (ring_half(h)[0], -ring_half(h)[1], _ring_top(h)), shown=_bench,
        value=lambda h, p: 2 * float(p[0]) - h.brief.frame.length - h.brief.frame.overhang_left,
    ),
    Size(
        key="frame.overhang_front", mark="OF", name="overhang front", way=lambda _h: Y, factor=2.0,
        at=lambda h: (0.0, -ring_half(h)[1], _ring_top(h)), shown=_bench,
        value=lambda h, p: -2 * float(p[1]) - h.brief.frame.depth,
    ),
    Size(
        key="top.overhang", mark="O", name="overhang of the top", at=_over_at, way=lambda _h: X,
        value=lambda h, p: float(p[0]) - _top_box(h)[1] - _top_box(h)[0],
        shown=lambda h: h.brief.top.kind in _COVERED and _plate(h, PlateRole.TOP, PlateRole.TRAY) is not None,
    ),
    Size(
        key="top.lip", mark="K", name="lip of the tray", at=_lip_at, way=lambda _h: Z,
        value=lambda h, p: float(p[2]) - _ring_top(h), shown=_is_tray,
    ),
    Size(
        key="top.raised", mark="M", name="machine above the tray", at=_raised_at, way=lambda _h: Z, factor=-1.0,
        value=lambda h, p: h.seat - float(p[2]), shown=_is_tray,
    ),
    Size(
        key="extras.splash_back", mark="W", name="splash back", way=lambda _h: Z,
        at=lambda h: _back_at(h, PlateRole.BACK, h.brief.extras.splash_back),
        value=lambda h, p: float(p[2]) - h.seat,
        shown=lambda h: h.brief.extras.splash_back > 0 and _plate(h, PlateRole.BACK) is not None,
    ),
    Size(
        key="extras.backstop", mark="W", name="backstop", way=lambda _h: Z,
        at=lambda h: _back_at(h, PlateRole.BACKSTOP, h.brief.extras.backstop),
        value=lambda h, p: float(p[2]) - h.seat,
        shown=lambda h: h.brief.extras.backstop > 0 and _plate(h, PlateRole.BACKSTOP) is not None,
    ),
)  # fmt: skip
