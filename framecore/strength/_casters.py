"""The stand on its casters: pushed over a bump, standing on a slope, held up on two wheels."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from framecore.frame.model import Frame, Vector
from framecore.strength._base import NEAR, Base, base
from framecore.strength._loads import Load
from framecore.units import KILOGRAM_FORCE

BUMP = 10.0  # mm a caster may meet: a hose, a joint of the slab (assumed)


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


def rolling(
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
        # What holds falls at least as fast as straight with the slope's tangent.
        steep = math.tan(grade)
        held = min(e.moment * (1 - steep / max(e.tangent, NEAR)) if e.moment > 0 else 0.0 for e in on.edges)
        lever_to_edge = max(held, 0.0) / weight
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
