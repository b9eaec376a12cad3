"""Wheels for moving a stand: four that are screwed down beside the feet, or two that touch when it is tilted."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from framecore.catalogue import steel as find_steel
from framecore.errors import Finding, Severity
from framecore.frame._around import SIDES, Box, Side, member_box, plate_box
from framecore.frame.draft import Draft
from framecore.frame.model import Caster, Foot, Hole, Member, Plate, PlateRole, Vector
from framecore.frame.vector import along, cross

FOUR, TWO = "four, lowered to roll", "two, tilt to roll"
# A swivel caster is about 1.33 wheels high and sweeps a circle of 0.85 wheels about its stem (common practice).
MOUNT_HEIGHT, SWEEP = 1.33, 0.85
# Off the floor while the feet carry, mm (common practice): enough for an uneven floor, little to screw down.
LIFT = 10.0
# Bracket plates, mm: thickness, width, what stands round the hole; the hole takes an M12 stem or axle.
THICK, WIDE, LAND, STEM = 8.0, 60.0, 25.0, 13.0
_AIR = 3.0
_NEAR = 1e-6
_DOWN_LEG = 60.0  # weld down a leg's face of a bracket that holds an axle, mm
_UP: Vector = (0.0, 0.0, 1.0)


def dress_casters(d: Draft) -> None:
    """Hang the casters the brief asks for beside the feet of any layout."""
    kind = d.brief.casters.kind
    if kind == FOUR:
        _four(d)
    elif kind == TWO:
        _two(d, SIDES[d.brief.casters.end])


def _left_out(d: Draft, why: str, cure: str, field: str = "casters.kind") -> None:
    d.findings.append(
        Finding(
            code="frame.casters_left_out", field=field, severity=Severity.LOOK,
            nearest="none" if field == "casters.kind" else "",
            message=f"The casters are left out: {why}; {cure}.",
        )
    )  # fmt: skip


def _slice(m: Member, z: float) -> tuple[Vector, Vector, Vector]:
    """Cut an upright member level at ``z``: its middle there and its half width and half height as level vectors."""
    x, y, up = m.x_axis, m.y_axis, m.z_axis
    p, q = m.profile.box_centre
    start = along(along(m.start.point, p, y), q, up)
    middle = along(start, (z - start[2]) / x[2], x)
    halves = [along(axis, -axis[2] / x[2], x) for axis in (y, up)]
    w, h = m.profile.width / 2, m.profile.height / 2
    return middle, _times(w, halves[0]), _times(h, halves[1])


def _times(t: float, a: Vector) -> Vector:
    return (t * a[0], t * a[1], t * a[2])


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _face(m: Member, n: Vector, low: float, high: float) -> float:
    """Return how far along level ``n`` an upright member reaches between two levels."""
    reach = []
    for z in (low, high):
        middle, a, b = _slice(m, z)
        reach.append(_dot(middle, n) + abs(_dot(a, n)) + abs(_dot(b, n)))
    return max(reach)


def _pad_face(d: Draft, foot: Foot, n: Vector) -> float:
    """Return how far along level ``n`` the foot's pad and base reach."""
    pad = next(p for p in d.plates if p.name == foot.pad)
    corners = [along(along(pad.origin, u, pad.u_axis), v, pad.v_axis) for u, v in pad.outline.tolist()]
    return max(_dot(foot.base, n) + foot.base_diameter / 2, *(_dot(c, n) for c in corners))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where one swivel caster may hang: level ``n`` out of the member, all measured along it."""

    foot: Foot
    member: Member
    n: Vector
    at: Vector  # where the bracket begins, on its lower face
    stem: float  # from there to the stem

    @property
    def stem_point(self) -> Vector:
        return along(self.at, self.stem, self.n)

    def boxes(self, wheel: float) -> tuple[Box, Box]:
        """Return the boxes round the bracket and round the sweep of the wheel."""
        side = cross(_UP, self.n)
        ends = [along(along(self.at, u, self.n), v, side) for u in (0.0, self.stem + LAND) for v in (-WIDE / 2, WIDE / 2)]
        xs, ys = [p[0] for p in ends], [p[1] for p in ends]
        z, (x, y, _) = self.at[2], self.stem_point
        r = SWEEP * wheel
        return (min(xs), min(ys), z, max(xs), max(ys), z + THICK), (x - r, y - r, LIFT, x + r, y + r, z)


def _meet(a: Box, b: Box) -> bool:
    return (
        a[0] < b[3] - _NEAR and b[0] < a[3] - _NEAR and a[1] < b[4] - _NEAR and b[1] < a[4] - _NEAR
        and a[2] < b[5] - _NEAR and b[2] < a[5] - _NEAR
    )  # fmt: skip


def _corner_feet(d: Draft) -> list[Foot]:
    """Return the feet nearest the four corners, or all where there are no more than four."""
    if len(d.feet) <= 4:
        return list(d.feet)
    picked = [max(d.feet, key=lambda f: sx * f.base[0] + sy * f.base[1]) for sx in (-1, 1) for sy in (-1, 1)]
    return list(dict.fromkeys(picked))


def _ways(d: Draft, foot: Foot, member: Member) -> Iterator[tuple[tuple[bool, bool], Vector]]:
    """Yield level directions out of the faces of a foot's member with their rank: inwards along the stand first."""
    cx = sum(f.base[0] for f in d.feet) / len(d.feet)
    cy = sum(f.base[1] for f in d.feet) / len(d.feet)
    upright = abs(member.x_axis[2]) > 0.5
    across = (member.y_axis, member.z_axis) if upright else (cross(_UP, member.x_axis),)
    for axis in across:
        size = math.hypot(axis[0], axis[1])
        for sign in (1.0, -1.0):
            n = (sign * axis[0] / size, sign * axis[1] / size, 0.0)
            inwards = n[0] * (foot.base[0] - cx) + n[1] * (foot.base[1] - cy) < 0
            yield (abs(n[0]) < abs(n[1]), not inwards), n


def _place(d: Draft, foot: Foot, member: Member, n: Vector, wheel: float) -> _Place | None:
    """Return where a caster hangs on that face; None where a level member lies too low for the wheel."""
    sweep = SWEEP * wheel + _AIR
    level = LIFT + MOUNT_HEIGHT * wheel
    pad = _pad_face(d, foot, n)
    if abs(member.x_axis[2]) > 0.5:
        if level + THICK > max(member.start.point[2], member.end.point[2]):
            return None
        face = _face(member, n, level, level + THICK)
        middle, *_ = _slice(member, level)
        low = min(member.start.point[2], member.end.point[2])
        begin = face
        past = max(pad, _face(member, n, low, level))
    else:
        box = member_box(member)
        if box[5] < level:
            return None
        level, middle = box[5], (foot.base[0], foot.base[1], box[5])
        half = member.profile.width / 2
        begin = _dot(member.start.point, n) - half
        past = max(pad, begin + 2 * half)
    at = along((middle[0], middle[1], level), begin - _dot(middle, n), n)
    return _Place(foot=foot, member=member, n=n, at=at, stem=max(past + sweep - begin, LAND))


def _four(d: Draft) -> None:
    wheel = d.brief.casters.wheel
    members = {m.name: m for m in d.members}
    feet = _corner_feet(d)
    if any(f.leg not in members for f in feet):
        _left_out(d, f"the feet of the {d.layout} layout stand under a plate, where no bracket fits beside them",
                  "move it on skates, or choose a cross as base")  # fmt: skip
        return
    begins = max(min(e.point[2] for e in (m.start, m.end)) for m in (members[f.leg] for f in feet))
    if LIFT + MOUNT_HEIGHT * wheel < begins - _NEAR and all(abs(members[f.leg].x_axis[2]) > 0.5 for f in feet):
        need = (begins - LIFT) / MOUNT_HEIGHT
        _left_out(d, f"brackets for {wheel:.0f} mm wheels would hang lower than the legs begin",
                  f"take wheels of at least {math.ceil(need)} mm, or lower feet", "casters.wheel")  # fmt: skip
        return
    around = [(m.name, member_box(m)) for m in d.members] + [(p.name, plate_box(p)) for p in d.plates]
    top = max(LIFT + MOUNT_HEIGHT * wheel, *(f.top[2] + d.brief.feet.pad_thickness for f in feet)) + 200.0
    around = [(name, b) for name, b in around if b[2] < top]  # nothing higher up is near a wheel
    ways = [dict(_ways(d, f, members[f.leg])) for f in feet]
    for rank in sorted({rank for own in ways for rank in own}):
        places: list[_Place] = []
        taken: list[Box] = []
        for f, own in zip(feet, ways, strict=True):
            place = _place(d, f, members[f.leg], own[rank], wheel) if rank in own else None
            if place is None:
                break
            boxes = place.boxes(wheel)
            if not _is_free(place, boxes, around, taken):
                break
            places.append(place)
            taken += boxes
        if len(places) == len(feet):
            for place in places:
                _hang(d, place, wheel)
            if len(feet) != 4:
                d.findings.append(
                    Finding(
                        code="frame.casters_not_four", field="casters.kind", severity=Severity.LOOK,
                        message=f"The stand has {len(feet)} feet and takes {len(feet)} casters, one beside each.",
                    )
                )  # fmt: skip
            return
    _left_out(d, f"beside the feet there is no room for {wheel:.0f} mm wheels below the lowest rails",
              "take smaller wheels, raise the lower ring, or move the stand on skates", "casters.wheel")  # fmt: skip


def _is_free(place: _Place, boxes: tuple[Box, Box], around: list[tuple[str, Box]], taken: list[Box]) -> bool:
    """Return whether bracket and wheel meet nothing but the member and pad they belong to."""
    own = (place.member.name, place.foot.pad)
    others = [b for name, b in around if name not in own] + taken
    return not any(_meet(mine, b) for b in others for mine in boxes)


def _hang(d: Draft, place: _Place, wheel: float) -> None:
    corner = place.foot.name.removeprefix("foot ")
    name = f"caster bracket {corner}"
    far = place.stem + LAND
    outline = np.array([(0.0, -WIDE / 2), (far, -WIDE / 2), (far, WIDE / 2), (0.0, WIDE / 2)])
    d.plates.append(
        Plate(
            name=name, role=PlateRole.BRACKET, thickness=THICK, outline=outline, origin=place.at, u_axis=place.n,
            v_axis=cross(_UP, place.n), density=find_steel(d.brief.steel.grade).density, on=(place.foot.name,),
            note=(
                "weld it to the leg above and below; the caster's threaded stem is screwed down through it until the feet are "
                "off the floor"
            ),
        )
    )  # fmt: skip
    x, y, z = place.stem_point
    d.holes.append(Hole(owner=name, centre=(x, y, z + THICK), axis=(0.0, 0.0, -1.0), diameter=STEM, depth=THICK,
                        purpose=f"caster {corner}"))  # fmt: skip
    d.casters.append(
        Caster(name=f"caster {corner}", ground=(x, y, 0.0), wheel=wheel, axis=(0.0, 1.0, 0.0), on=place.member.name,
               lift=LIFT, rating=d.brief.casters.rating)
    )  # fmt: skip


def _two(d: Draft, side: Side) -> None:
    members = {m.name: m for m in d.members}
    far = max(side.sign * f.base[side.axis] for f in d.feet)
    feet = [f for f in d.feet if side.sign * f.base[side.axis] > far - 30.0]
    feet.sort(key=lambda f: f.base[1 - side.axis])
    feet = [feet[0], feet[-1]]
    if feet[0] is feet[1]:
        _left_out(d, f"only one foot stands at the {side.name}", "put the casters at another end", "casters.end")
        return
    if any(f.leg not in members or abs(members[f.leg].x_axis[2]) < 0.5 for f in feet):
        _left_out(d, f"no legs stand at the {side.name} that brackets could be welded to", "move the stand on skates")
        return
    for foot, inwards in zip(feet, (1.0, -1.0), strict=True):
        _axle_bracket(d, side, foot, members[foot.leg], inwards)


def _axle_bracket(d: Draft, side: Side, foot: Foot, leg: Member, inwards: float) -> None:
    """Weld an upright plate on a leg's outer face; its axle carries a wheel just outside the foot."""
    wheel, n = d.brief.casters.wheel, side.out
    corner = foot.name.removeprefix("foot ")
    low = max(plate_box(p)[5] for p in d.plates if p.name == foot.pad) + 2.0
    axle = LIFT + wheel / 2
    high = max(low + _DOWN_LEG, axle + LAND)
    face = _face(leg, n, low, high)
    past = max(_pad_face(d, foot, n), _face(leg, n, low - 2.0, high)) - face
    away = past + _AIR + wheel / 2 + _AIR
    half = 0.6 * LAND
    outline = np.array([(0.0, low), (past + _AIR, low), (away - half, axle - half), (away + half, axle - half),
                        (away + half, axle + half), (0.0, high)])  # fmt: skip
    middle, *_ = _slice(leg, (low + high) / 2)
    w = cross(n, _UP)
    begin = along((middle[0], middle[1], 0.0), face - _dot(middle, n), n)
    name = f"caster bracket {corner}"
    d.plates.append(
        Plate(
            name=name, role=PlateRole.BRACKET, thickness=THICK, outline=outline, origin=along(begin, -THICK / 2, w), u_axis=n,
            v_axis=_UP, density=find_steel(d.brief.steel.grade).density, on=(foot.name,),
            note="weld both sides down the leg; the wheel touches the floor only when the stand is tilted",
        )
    )  # fmt: skip
    pin = along(begin, away, n)
    d.holes.append(Hole(owner=name, centre=along((pin[0], pin[1], axle), THICK / 2, w), axis=_times(-1.0, w), diameter=STEM,
                        depth=THICK, purpose=f"caster {corner}"))  # fmt: skip
    out = THICK / 2 + _AIR + 0.15 * wheel
    axis = (0.0, 1.0, 0.0) if side.axis == 0 else (1.0, 0.0, 0.0)
    x, y, _ = along(pin, inwards * out, axis)
    d.casters.append(
        Caster(name=f"caster {corner}", ground=(x, y, 0.0), wheel=wheel, axis=axis, on=leg.name, lift=LIFT,
               rating=d.brief.casters.rating)
    )  # fmt: skip
