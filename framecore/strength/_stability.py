"""How safely a stand stands: on its feet, on casters, and the machine loose on its mounts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.frame.model import Frame, Vector
from framecore.strength._base import NEAR, Base, Edge, base, polygon
from framecore.strength._casters import BUMP, OnCasters, rolling
from framecore.strength._loads import Load
from framecore.strength.model import TippingSide
from framecore.units import KILOGRAM_FORCE

SIDES = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")  # every 45 deg
_FOUR = {"front": (0.0, -1.0), "back": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


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


def tipping(
    frame: Frame, mass: float, centre: tuple[float, float, float], push_height: float
) -> tuple[TippingSide, ...]:
    """Return the push and the tilt that tip the stand to each of its four sides, all loads where they usually are.

    A horizontal push F at height h tips it over the edge of its support polygon that lies d away from the centre
    of mass in the direction of the push when F h = W d; tilted that way it tips at atan(d / height of the centre).

    Source: statics.
    """
    hull = polygon([(f.base[0], f.base[1]) for f in frame.feet])
    sides = [
        (q[1] - p[1], p[0] - q[0], (q[1] - p[1]) * (p[0] - centre[0]) + (p[0] - q[0]) * (p[1] - centre[1]))
        for p, q in zip(hull, hull[1:] + hull[:1], strict=True)
    ]
    out = []
    for side, (a, b) in _FOUR.items():
        d = min(gap / (x * a + y * b) for x, y, gap in sides if x * a + y * b > NEAR)
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
    casters = rolling(frame, own, loads, push_height, weight, grade)
    return Stability(
        feet=feet, machine=machine, casters=casters, top=top, top_push=feet.least_push * push_height / top,
        cutting_push=None if work is None else _while_cutting(brief.machine.cutting_force, feet, work),
        slope=grade if brief.feet.set != "levelled" else 0.0, weight=weight, loads=loads,
        holds=tuple(_holds(brief, machine, casters, bolted=any(m.hole for m in frame.mounts))),
    )  # fmt: skip


def _top(brief: Brief, frame: Frame, push_height: float) -> float:
    seat = frame.seat + brief.mounting.jack
    boxes = [seat + box.at[2] + box.size[2] for box in brief.machine.outline] if frame.mounts else []
    return max(push_height, frame.ring_top, frame.seat + brief.extras.splash_back, *boxes)


def _while_cutting(force: float, feet: Base, work: Vector) -> float:
    """Least push that still tips the stand while the cut presses away from the operator and down in equal parts."""
    part = force / math.sqrt(2)
    left = (
        e.moment + part * (e.facing(e.start) - e.facing((work[0], work[1]))) - part * work[2] * e.normal[1] for e in feet.edges
    )
    return min(left) / feet.height


def _loose(brief: Brief, frame: Frame, loads: tuple[Load, ...], push_height: float) -> Base | None:
    """The machine standing on its mounts, unbolted."""
    on = tuple(k for k in loads if k.on_machine)
    if not on:
        return None
    floor = frame.seat + brief.mounting.jack
    mounts = [(m.point[0], m.point[1]) for m in frame.mounts]
    height = max(push_height - floor, 1.0)
    return base(mounts, (on[0].mass, on[0].at), on[1:], height=height, floor=floor)


def way_word(edge: Edge) -> str:
    """Return the nearest of eight words for the way a body goes over an edge."""
    x, y = edge.normal
    return SIDES[round(math.atan2(y, x) / (math.pi / 4)) % len(SIDES)]


def _holds(brief: Brief, machine: Base | None, casters: OnCasters | None, *, bolted: bool) -> list[str]:
    """Who must hold what, and how hard; ``bolted``: the machine has holes, or else it rests by its weight alone."""
    out = []
    name = brief.machine.name or f"the {brief.machine.kind}"
    if machine is not None:
        edge = machine.weakest
        way = way_word(edge)
        state = f" with {' and '.join(edge.names)}" if edge.names else ""
        tilt = math.degrees(machine.least_tilt)
        if not bolted and edge.moment > 0:
            out.append(
                f"By its weight alone {name}{state} goes over to the {way} at {machine.least_push:.0f} N at its work line "
                f"or {tilt:.0f}\N{DEGREE SIGN} of tilt: one person steadies it while another lifts or moves it."
            )
        elif edge.moment <= 0:
            out.append(
                f"Unbolted, {name}{state} goes over to the {way} by itself: a hoist or a second person holds it with at "
                f"least {-edge.moment / machine.height:.0f} N at its work line before the last bolt is loosened."
            )
        else:
            out.append(
                f"Unbolted, {name}{state} goes over to the {way} at {machine.least_push:.0f} N at its work line "
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
