"""A folded sheet laid flat: its outline with notched corners, its bend lines, its holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framecore.errors import Finding, LayoutError
from framecore.frame.model import Hole, Plate, Vector
from framecore.frame.vector import cross, dot, minus
from framecore.shop.folded import K_FACTOR, RADIUS, largest

Point = tuple[float, float]
NEAR = 1e-6


def bend_allowance(angle: float, radius: float, thickness: float, k: float = K_FACTOR) -> float:
    """Return the length of the neutral line round a bend, mm.

    Parameters
    ----------
    angle : through which the sheet is turned, rad
    radius : inside the bend, mm
    thickness : mm
    k : where the neutral line lies, as a share of the thickness from the inside

    Notes
    -----
    ``BA = A (R + K t)``.

    Source: geometry of the neutral line.
    """
    return angle * (radius + k * thickness)


def setback(angle: float, radius: float, thickness: float) -> float:
    """Return how far a bend begins before the outside corner, mm: ``(R + t) tan(A / 2)``."""
    return (radius + thickness) * math.tan(angle / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatBend:
    """One bend: the middle of the bent strip from ``start`` to ``end`` on the flat sheet.

    ``lip`` the plate it raises; ``angle`` rad; ``up`` towards the face seen; ``radius`` inside, ``allowance`` width of
    the bent strip, ``deduction`` what it takes off the sum of both outside lengths; mm.
    """

    lip: str
    start: Point
    end: Point
    angle: float
    up: bool
    radius: float
    allowance: float
    deduction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatHole:
    """A hole of the flat sheet; ``slot`` half its length between centres, along and up."""

    at: Point
    diameter: float
    slot: Point
    owner: str
    tapped: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPattern:
    """The sheet laid flat, in the bottom's own measures from the middle of its outline; mm, anticlockwise."""

    outline: tuple[Point, ...]
    bends: tuple[FlatBend, ...]
    holes: tuple[FlatHole, ...]
    thickness: float
    k: float

    @property
    def size(self) -> tuple[float, float]:
        """Length and width of the rectangle it is cut from, along u and v."""
        us, vs = [p[0] for p in self.outline], [p[1] for p in self.outline]
        return max(us) - min(us), max(vs) - min(vs)

    @property
    def area(self) -> float:
        """Area, mm2."""
        pairs = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return sum(a * d - b * c for (a, b), (c, d) in pairs) / 2


@dataclass(frozen=True, slots=True)
class _Lip:
    """A lip as seen from its side: reach along the side, height of its rim over the bottom's far face."""

    plate: Plate
    low: float
    high: float
    rise: float
    up: bool


# The sides of the bottom anticlockwise: way along and way out, as signs on (u, v).
_SIDES: tuple[tuple[Point, Point], ...] = (
    ((1.0, 0.0), (0.0, -1.0)), ((0.0, 1.0), (1.0, 0.0)), ((-1.0, 0.0), (0.0, 1.0)), ((0.0, -1.0), (-1.0, 0.0)),
)  # fmt: skip


def flat_pattern(
    plates: Sequence[Plate], holes: Sequence[Hole] = (), *, radius: float | None = None, k: float = K_FACTOR
) -> FlatPattern:
    """Lay a folded sheet flat: a rectangular bottom with square lips on any of its sides, each up or down.

    Parameters
    ----------
    plates : the parts of one sheet; the largest is its bottom
    holes : those of the frame; holes in these plates are taken along
    radius : inside of every bend, mm; None: once the sheet's thickness (common practice)
    k : where the neutral line lies

    Notes
    -----
    Each bent strip ends where the strip of the neighbouring side begins, so the corner is notched there; the lips
    themselves reach as far as they are drawn, and their seam at the corner is welded or sealed. A lip shorter than its
    side gets a relief as wide as the sheet is thick at each end (common practice).

    Raises
    ------
    LayoutError
        the bottom is no rectangle, or a lip does not stand square on one of its sides.
    """
    bottom = largest(plates)
    t = bottom.thickness
    r = RADIUS * t if radius is None else radius
    low, high = bottom.outline.min(axis=0), bottom.outline.max(axis=0)
    mid = (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)
    half = (float(high[0] - low[0]) / 2, float(high[1] - low[1]) / 2)
    if len(bottom.outline) != 4 or abs(_area(bottom) - 4 * half[0] * half[1]) > NEAR * half[0] * half[1]:
        raise _no_pattern(bottom, f"{bottom.name} is no rectangle, so its folded sheet cannot be laid flat.")
    lips: dict[int, _Lip] = {}
    for plate in plates:
        if plate is not bottom:
            side, lip = _lip(bottom, plate, mid, half)
            if side in lips:
                other = lips[side].plate.name
                raise _no_pattern(plate, f"{plate.name} and {other} stand on one side of {bottom.name}; one lip a side.")
            lips[side] = lip
    back, strip = setback(math.pi / 2, r, t), bend_allowance(math.pi / 2, r, t, k)
    outline: list[Point] = []
    bends = []
    for side, (along, out) in enumerate(_SIDES):
        reach, far = (half if along[0] else half[::-1])[0], (half if out[0] else half[::-1])[0]
        begin = -reach + (back if (side - 1) % 4 in lips else 0.0)
        end = reach - (back if (side + 1) % 4 in lips else 0.0)

        def place(s: float, o: float, along: Point = along, out: Point = out, far: float = far) -> Point:
            """A point ``s`` along the side and ``o`` out of its edge."""
            return along[0] * s + out[0] * (far + o), along[1] * s + out[1] * (far + o)

        if side not in lips:
            outline += [place(begin, 0.0), place(end, 0.0)]
            continue
        lip = lips[side]
        outline += [place(*p) for p in _profile(lip, begin, end, back, strip, t)]
        first, last = max(begin, lip.low), min(end, lip.high)
        bends.append(
            FlatBend(lip=lip.plate.name, start=place(first, strip / 2 - back), end=place(last, strip / 2 - back),
                     angle=math.pi / 2, up=lip.up, radius=r, allowance=strip, deduction=2 * back - strip)
        )  # fmt: skip
    flat = tuple(p for i, p in enumerate(outline) if math.dist(p, outline[i - 1]) > NEAR)
    return FlatPattern(
        outline=flat, bends=tuple(bends), thickness=t, k=k,
        holes=(*_bottom_holes(bottom, mid, holes), *_lip_holes(bottom, lips, half, holes, 2 * back - strip)),
    )  # fmt: skip


def _area(plate: Plate) -> float:
    a = plate.outline
    b = np.roll(a, -1, axis=0)
    return float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum() / 2)


def _lip(bottom: Plate, plate: Plate, mid: Point, half: Point) -> tuple[int, _Lip]:
    """Return which side a lip stands on and how it reaches along it."""
    w = cross(bottom.u_axis, bottom.v_axis)
    normal = cross(plate.u_axis, plate.v_axis)
    corners = []
    for a, b in plate.outline.tolist():
        for c in (0.0, plate.thickness):
            at = [plate.origin[i] + a * plate.u_axis[i] + b * plate.v_axis[i] + c * normal[i] for i in range(3)]
            off = minus((at[0], at[1], at[2]), bottom.origin)
            corners.append((dot(off, bottom.u_axis) - mid[0], dot(off, bottom.v_axis) - mid[1], dot(off, w)))
    for side, (along, out) in enumerate(_SIDES):
        if abs(dot(normal, bottom.u_axis) * out[0] + dot(normal, bottom.v_axis) * out[1]) < 1 - NEAR:
            continue
        far = half[0] if out[0] else half[1]
        outs = [u * out[0] + v * out[1] for u, v, _ in corners]
        if abs(max(outs) - far) > 1e-3 or abs(plate.thickness - bottom.thickness) > NEAR:
            continue
        reach = [u * along[0] + v * along[1] for u, v, _ in corners]
        levels = [z for _, _, z in corners]
        up = max(levels) + min(levels) > bottom.thickness
        rise = max(levels) if up else bottom.thickness - min(levels)
        return side, _Lip(plate, min(reach), max(reach), rise, up)
    raise _no_pattern(plate, f"{plate.name} does not stand square on a side of {bottom.name}; it cannot be laid flat.")


def _no_pattern(plate: Plate, message: str) -> LayoutError:
    return LayoutError((Finding(code="shop.no_flat_pattern", message=message, member=plate.name),))


def _profile(lip: _Lip, begin: float, end: float, back: float, strip: float, t: float) -> list[Point]:
    """The rim of the flat sheet along one side: (along, out of the drawn edge)."""
    foot, bent, rim = -back, strip - back, lip.rise - 2 * back + strip
    out = [(begin, foot)]
    if lip.low - t > begin:  # the lip begins after the corner: the sheet keeps its edge up to a relief
        out = [(begin, 0.0), (lip.low - t, 0.0), (lip.low - t, foot), (lip.low, foot)]
    out += [(max(begin, lip.low), bent), (lip.low, bent), (lip.low, rim), (lip.high, rim), (lip.high, bent),
            (min(end, lip.high), bent)]  # fmt: skip
    if lip.high + t < end:
        return [*out, (lip.high, foot), (lip.high + t, foot), (lip.high + t, 0.0), (end, 0.0)]
    return [*out, (end, foot)]


def _bottom_holes(bottom: Plate, mid: Point, holes: Sequence[Hole]) -> list[FlatHole]:
    w = cross(bottom.u_axis, bottom.v_axis)
    out = []
    for h in holes:
        if h.owner != bottom.name or abs(dot(h.axis, w)) < 0.999:
            continue
        off = minus(h.centre, bottom.origin)
        at = (dot(off, bottom.u_axis) - mid[0], dot(off, bottom.v_axis) - mid[1])
        slot = (dot(h.slot_axis, bottom.u_axis) * h.slot / 2, dot(h.slot_axis, bottom.v_axis) * h.slot / 2)
        out.append(FlatHole(at=at, diameter=h.diameter, slot=slot, owner=h.owner, tapped=h.tapped))
    return out


def _lip_holes(
    bottom: Plate, lips: dict[int, _Lip], half: Point, holes: Sequence[Hole], deduction: float
) -> list[FlatHole]:
    """Holes in the lips: as far along, and out of the edge by their height less the deduction."""
    w: Vector = cross(bottom.u_axis, bottom.v_axis)
    mid = bottom.outline.min(axis=0) / 2 + bottom.outline.max(axis=0) / 2
    out = []
    for side, lip in lips.items():
        along, way = _SIDES[side]
        far = half[0] if way[0] else half[1]
        normal = cross(lip.plate.u_axis, lip.plate.v_axis)

        def turned(v: Vector, along: Point = along, lip: _Lip = lip) -> Point:
            """A vector of the lip: along the side and up it."""
            s = dot(v, bottom.u_axis) * along[0] + dot(v, bottom.v_axis) * along[1]
            return s, dot(v, w) * (1.0 if lip.up else -1.0)

        for h in holes:
            if h.owner != lip.plate.name or abs(dot(h.axis, normal)) < 0.999:
                continue
            s, rise = turned(minus(h.centre, bottom.origin))
            s -= float(mid[0]) * along[0] + float(mid[1]) * along[1]
            o = far + rise + (0.0 if lip.up else bottom.thickness) - deduction
            a, b = (c * h.slot / 2 for c in turned(h.slot_axis))
            out.append(
                FlatHole(
                    at=(along[0] * s + way[0] * o, along[1] * s + way[1] * o), diameter=h.diameter,
                    slot=(along[0] * a + way[0] * b, along[1] * a + way[1] * b), owner=h.owner, tapped=h.tapped,
                )
            )  # fmt: skip
    return out
