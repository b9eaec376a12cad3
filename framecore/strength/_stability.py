"""Tipping in every direction: a rigid stand on its feet, on casters, and the machine loose on its mounts.

Each load counts at the end of its travel, or missing, that is worst for the edge it would tip over. The
moment about an edge is a sum over the loads, so the worst of each is the worst of all: nothing is sampled.
Directions of push are swept, and each of them is exact: over an edge with outward normal n a push in the
direction t needs M / (h t.n), the least over the edges.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.frame.model import Frame, Vector
from framecore.strength._loads import Load
from framecore.strength.model import TippingSide
from framecore.units import KILOGRAM_FORCE

Floats = NDArray[np.float64]
DIRECTIONS = 72
BUMP = 10.0  # mm a caster may meet: a hose, a joint of the slab (assumed)
SIDES = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")  # every 45 deg
_FOUR = {"front": (0.0, -1.0), "back": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}
_NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """A body on a support polygon, its loads at their worst for each edge.

    Attributes
    ----------
    corners : (e, 2) of the polygon, counter-clockwise, mm; edge k runs from corner k to k + 1
    normals : (e, 2) outward
    moments : (e,) that hold the body down on each edge, N mm; negative: it goes over by itself
    tangents : (e,) tan of the tilt across each edge at which it goes over
    names : per edge, the loads that are not where they usually are, as "drawer out", "vice missing"
    height : of the push, mm above the polygon
    push : (72,) least push that tips it, N, in directions 0, 5, 10 ... deg from the operator's right to the back
    angle : (72,) tilt that tips it, rad
    push_edge, angle_edge : (72,) edge it goes over
    """

    corners: Floats
    normals: Floats
    moments: Floats
    tangents: Floats
    names: tuple[tuple[str, ...], ...]
    height: float
    push: Floats
    angle: Floats
    push_edge: NDArray[np.intp]
    angle_edge: NDArray[np.intp]

    @property
    def worst(self) -> int:
        """Direction of the least push."""
        return int(self.push.argmin())

    @property
    def worst_angle(self) -> int:
        """Direction of the least tilt."""
        return int(self.angle.argmin())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnCasters:
    """The stand on its wheels.

    ``base`` None with two wheels: it then stands on a line and is held at the far end: ``lift`` N up at
    ``lever`` mm from the wheels. ``grade``: the floor's slope, rad; ``roll`` N that hold it there.
    ``climb`` tan of the line from a wheel's axle to the edge of the bump, infinite for one too high to climb;
    ``push_height`` mm: highest push that takes it over the bump without tipping; ``wheel`` radius mm.
    """

    base: Base | None
    wheel: float
    grade: float
    roll: float
    climb: float
    push_height: float
    lever_to_edge: float
    lift: float
    lever: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stability:
    """How safely it stands.

    ``feet``, ``machine`` (loose on its mounts; None without three of them), ``casters`` (None without);
    ``top`` mm: highest place where someone may push, ``top_push`` N there; ``cutting_push`` N that still tips
    it while it cuts, None without a machine; ``slope`` rad of the base when set down; ``loads`` what stands on
    it besides the frame; ``holds``: sentences about who must hold what.
    """

    feet: Base
    machine: Base | None
    casters: OnCasters | None
    top: float
    top_push: float
    cutting_push: float | None
    slope: float
    weight: float
    loads: tuple[Load, ...]
    holds: tuple[str, ...]


@lru_cache(maxsize=1)
def _sweep() -> Floats:
    turn = np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS)
    ways = np.column_stack([np.cos(turn), np.sin(turn)])
    ways[np.abs(ways) < 1e-12] = 0.0
    return ways


def polygon(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the convex hull, counter-clockwise, without points in its sides; fewer than three when it has no area."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    half: list[list[tuple[float, float]]] = []
    for row in (ordered, ordered[::-1]):
        line: list[tuple[float, float]] = []
        for p in row:
            while len(line) > 1 and _left(line[-2], line[-1], p) <= _NEAR:
                line.pop()
            line.append(p)
        half.append(line[:-1])
    return half[0] + half[1]


def _left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def base(
    points: list[tuple[float, float]], own: tuple[float, Vector], loads: tuple[Load, ...], *, height: float, floor: float = 0.0
) -> Base | None:
    """Return how a body stands on ``points``, None where these have no area.

    Parameters
    ----------
    points : x, y of what it stands on, mm
    own : mass, kg, and centre of what always stays
    loads : what may move or be missing
    height : of the push above ``floor``, mm
    floor : z of the points, mm

    Source: statics; the tilt by Newton's steps on a concave broken line, which end exactly on its root.
    """
    hull = polygon(points)
    if len(hull) < 3:
        return None
    corners = np.array(hull)
    along = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / np.hypot(along[:, 0], along[:, 1])[:, None]
    reach = (normals * corners).sum(1)
    # Per load and option: the moment it gives about each edge and its height; the third option is "missing".
    n_edges, n = len(corners), len(loads)
    moment = np.zeros((n_edges, n, 3))
    high = np.zeros((n, 3))
    for k, load in enumerate(loads):
        w = load.mass * KILOGRAM_FORCE
        for option, p in enumerate((load.at, load.to)):
            arm = (0.0 if load.shift else reach) - (normals[:, 0] * p[0] + normals[:, 1] * p[1])
            moment[:, k, option] = w * arm
            high[k, option] = w * (p[2] if load.shift else p[2] - floor)
        if not load.optional:
            moment[:, k, 2], high[k, 2] = moment[:, k, 0], high[k, 0]
    mass, centre = own
    w = mass * KILOGRAM_FORCE
    own_moment = w * (reach - normals @ np.array(centre[:2]))
    chosen = moment.argmin(2)
    moments = own_moment + moment.min(2).sum(1)
    tangents = _tilts(own_moment, w * (centre[2] - floor), moment, high)
    ways = _sweep()
    facing = ways @ normals.T
    towards = np.where(facing > _NEAR, facing, np.nan)
    # What goes over by itself needs no push at all.
    push = np.maximum(moments, 0.0) / (height * towards)
    tilt = np.maximum(tangents, 0.0) / towards
    push_edge, angle_edge = _least(push), _least(tilt)
    rows = np.arange(DIRECTIONS)
    return Base(
        corners=corners, normals=normals, moments=moments, tangents=tangents,
        names=tuple(_told(loads, row) for row in chosen.tolist()) if n else ((),) * n_edges,
        height=height, push=push[rows, push_edge], angle=np.arctan(tilt[rows, angle_edge]),
        push_edge=push_edge, angle_edge=angle_edge,
    )  # fmt: skip


def _least(values: Floats) -> NDArray[np.intp]:
    return np.asarray(np.where(np.isnan(values), np.inf, values).argmin(1))


def _tilts(own: Floats, own_high: float, moment: Floats, high: Floats) -> Floats:
    """Tan of the tilt at which the worst of all loads goes over each edge."""
    if not moment.shape[1]:
        return np.asarray(own / max(own_high, _NEAR))
    t = np.zeros(len(own))
    for _ in range(3 * moment.shape[1] + 2):
        value = moment - t[:, None, None] * high
        pick = value.argmin(2)[:, :, None]
        rest = own + np.take_along_axis(moment, pick, 2)[:, :, 0].sum(1)
        lean = own_high + np.take_along_axis(np.broadcast_to(high, moment.shape), pick, 2)[:, :, 0].sum(1)
        new = rest / np.maximum(lean, _NEAR)
        if np.allclose(new, t, rtol=1e-13, atol=0.0):
            break
        t = new
    return np.asarray(t)


def _told(loads: tuple[Load, ...], chosen: list[int]) -> tuple[str, ...]:
    out = []
    for load, option in zip(loads, chosen, strict=True):
        if load.optional and option == 2:
            out.append(f"{load.name} missing")
        elif load.at != load.to and option == 1:
            out.append(f"{load.name} out")
    return tuple(out)


def tipping(
    frame: Frame, mass: float, centre: tuple[float, float, float], push_height: float
) -> tuple[TippingSide, ...]:
    """Return the push and the tilt that tip the stand to each of its four sides, all loads where they usually are.

    A horizontal push F at height h tips it over the edge of its support polygon that lies d away from the centre
    of mass in the direction of the push when F h = W d; tilted that way it tips at atan(d / height of the centre).

    Source: statics.
    """
    corners = np.array(polygon([(f.base[0], f.base[1]) for f in frame.feet]))
    along = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([along[:, 1], -along[:, 0]])
    gap = (normals * (corners - np.array(centre[:2]))).sum(1)
    out = []
    for side, way in _FOUR.items():
        facing = normals @ np.array(way)
        ahead = facing > _NEAR
        d = float((gap[ahead] / facing[ahead]).min(initial=math.inf))
        out.append(
            TippingSide(
                side=side, lever=d, height=push_height, centre_height=centre[2], mass=mass,
                force=mass * KILOGRAM_FORCE * d / push_height, angle=math.atan2(d, centre[2]),
            )
        )  # fmt: skip
    return tuple(out)


def stability(
    brief: Brief, frame: Frame, own: tuple[float, Vector], loads: tuple[Load, ...], *, push_height: float, work: Vector | None
) -> Stability:
    """Answer for every way the stand may go over.

    Parameters
    ----------
    own : mass, kg, and centre of the bare stand, mm
    push_height : of a push at the work line above the floor, mm
    work : where the cut is taken, None without a machine

    Raises
    ------
    ValueError
        The feet stand in one line or are fewer than three.
    """
    points = [(f.base[0], f.base[1]) for f in frame.feet]
    feet = base(points, own, loads, height=push_height)
    if feet is None:
        raise ValueError("the feet stand in one line; a stand needs three that do not")
    weight = (own[0] + sum(k.mass for k in loads if not k.shift)) * KILOGRAM_FORCE
    grade = math.atan(brief.floor.slope / 1000)
    top = _top(brief, frame, push_height)
    machine = _loose(brief, frame, loads, push_height)
    casters = _rolling(frame, own, loads, push_height, weight, grade)
    return Stability(
        feet=feet, machine=machine, casters=casters, top=top, top_push=float(feet.push.min()) * push_height / top,
        cutting_push=None if work is None else _while_cutting(brief.machine.cutting_force, feet, work),
        slope=grade if brief.feet.set != "levelled" else 0.0, weight=weight, loads=loads,
        holds=tuple(_holds(brief, machine, casters)),
    )  # fmt: skip


def _top(brief: Brief, frame: Frame, push_height: float) -> float:
    seat = frame.seat + brief.mounting.jack
    boxes = [seat + box.at[2] + box.size[2] for box in brief.machine.outline] if frame.mounts else []
    return max(push_height, frame.ring_top, frame.seat + brief.extras.splash_back, *boxes)


def _while_cutting(force: float, feet: Base, work: Vector) -> float:
    """Least push that still tips the stand while the cut presses away from the operator and down in equal parts."""
    part = force / math.sqrt(2)
    arm = (feet.normals * (feet.corners - np.array(work[:2]))).sum(1)
    left = feet.moments + part * arm - part * work[2] * feet.normals[:, 1]
    return float(left.min()) / feet.height


def _loose(brief: Brief, frame: Frame, loads: tuple[Load, ...], push_height: float) -> Base | None:
    """The machine standing on its mounts, unbolted."""
    on = tuple(k for k in loads if k.on_machine)
    if not on:
        return None
    floor = frame.seat + brief.mounting.jack
    mounts = [(m.point[0], m.point[1]) for m in frame.mounts]
    height = max(push_height - floor, 1.0)
    return base(mounts, (on[0].mass, on[0].at), on[1:], height=height, floor=floor)


def _rolling(
    frame: Frame, own: tuple[float, Vector], loads: tuple[Load, ...], push_height: float, weight: float, grade: float
) -> OnCasters | None:
    """The stand on its casters.

    A wheel stopped by a bump climbs when the line from its axle to the bump's edge is pushed over; by moments
    about the other wheels the stand tips first where d <= (h - r) tan(phi), d the centre's distance from the
    stopped wheels, h the height of the push, r the wheel's radius, tan(phi) = sqrt(2 r b - b2) / (r - b).

    Source: statics, quasi-static push.
    """
    if not frame.casters:
        return None
    r = frame.casters[0].wheel / 2
    b = BUMP
    climb = math.sqrt(2 * r * b - b * b) / (r - b) if r > b else math.inf
    ground = min(c.ground[2] for c in frame.casters)
    points = [(c.ground[0], c.ground[1]) for c in frame.casters]
    on = base(points, own, loads, height=push_height - ground, floor=ground)
    lever_to_edge = high = lift = lever = 0.0
    if on is not None:
        held = np.maximum(on.moments * (1 - math.tan(grade) / np.maximum(on.tangents, _NEAR)), 0.0)
        lever_to_edge = float(held.min()) / weight
        high = r + lever_to_edge / climb
    elif len(points) > 1:
        lift, lever = _handed(frame, points, own, loads)
    return OnCasters(
        base=on, wheel=r, grade=grade, roll=weight * math.sin(grade), climb=climb, push_height=high,
        lever_to_edge=lever_to_edge, lift=lift, lever=lever,
    )  # fmt: skip


def _handed(
    frame: Frame, wheels: list[tuple[float, float]], own: tuple[float, Vector], loads: tuple[Load, ...]
) -> tuple[float, float]:
    """Return the force at the far feet that lifts them while the stand rolls on two wheels, N, and its lever, mm.

    Everything counts at the end of its travel that is farthest from the wheels.
    """
    start, end = np.array(wheels[0]), np.array(wheels[-1])
    along = end - start
    normal = np.array([-along[1], along[0]]) / math.hypot(*along)
    if normal @ (np.array(own[1][:2]) - start) < 0:
        normal = -normal
    turn = own[0] * float(normal @ (np.array(own[1][:2]) - start))
    for k in loads:
        away = [float(normal @ (np.array(p[:2]) - (0.0 if k.shift else start))) for p in (k.at, k.to)]
        turn += k.mass * max(*away, *((0.0,) if k.optional else ()))
    lever = max(float(normal @ (np.array(f.base[:2]) - start)) for f in frame.feet)
    return (turn * KILOGRAM_FORCE / lever, lever) if lever > 0 else (0.0, 0.0)


def way_word(direction: int) -> str:
    """Return the nearest of eight words for a direction of the sweep."""
    return SIDES[round(direction * len(SIDES) / DIRECTIONS) % len(SIDES)]


def _holds(brief: Brief, machine: Base | None, casters: OnCasters | None) -> list[str]:
    """Who must hold what, and how hard."""
    out = []
    name = brief.machine.name or f"the {brief.machine.kind}"
    if machine is not None:
        k = int(machine.moments.argmin())
        nx, ny = machine.normals[k]
        way = SIDES[round(math.atan2(ny, nx) / (math.pi / 4)) % len(SIDES)]
        state = f" with {' and '.join(machine.names[k])}" if machine.names[k] else ""
        if machine.moments[k] <= 0:
            out.append(
                f"Unbolted, {name}{state} goes over to the {way} by itself: a hoist or a second person holds it with at "
                f"least {-machine.moments[k] / machine.height:.0f} N at its work line before the last bolt is loosened."
            )
        else:
            tilt = math.degrees(machine.angle[machine.worst_angle])
            out.append(
                f"Unbolted, {name}{state} goes over to the {way} at {machine.push[machine.worst]:.0f} N at its work line "
                f"or {tilt:.0f}\N{DEGREE SIGN} of tilt: one person steadies it while another loosens the bolts."
            )
    if casters is None:
        return out
    if casters.base is None:
        out.append(
            f"Tilted onto its two casters the stand is held up with {casters.lift:.0f} N at the far feet; nobody stands "
            f"downhill of it."
        )
    else:
        out.append(
            f"On its casters the stand is pushed no higher than {casters.push_height:.0f} mm above the floor, or a "
            f"{BUMP:.0f} mm bump tips it; on this floor {casters.roll:.0f} N hold it from rolling away."
        )
    return out
