"""One flat plate in its own measures: its face, its edge, what is drilled and tapped in it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from framecore.catalogue import thread
from framecore.catalogue.model import Thread
from framecore.frame.model import Frame, Plate
from framecore.seat.pads import countersink
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive
from framecore.sheets.parts.outline import RimFeature, rim_of
from framecore.units import INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class PartHole:
    """A hole from the lower left corner of the part's box; ``slot`` half its length between centres, along and up."""

    at: Point2
    diameter: float
    depth: float
    tapped: str
    slot: Point2


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Outline from the lower left corner of its box, seen on the face that u x v points out of; sizes in mm."""

    outline: tuple[Point2, ...]
    size: Point2
    thickness: float
    holes: tuple[PartHole, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """Words for a group of like holes or corners, at one of them; ``radius`` where the leader ends."""

    text: str
    at: Point2
    radius: float


def part_of(frame: Frame, plate: Plate) -> Part:
    """Return a plate of the frame with the holes that go straight through its face."""
    u, v = np.asarray(plate.u_axis), np.asarray(plate.v_axis)
    w, low = np.cross(u, v), plate.outline.min(axis=0)
    holes = []
    for h in frame.holes:
        if h.owner != plate.name or abs(float(np.dot(h.axis, w))) < 0.999:
            continue
        off = np.asarray(h.centre) - plate.origin
        along = np.asarray(h.slot_axis) * h.slot / 2
        holes.append(
            PartHole(
                at=(float(off @ u - low[0]), float(off @ v - low[1])), diameter=h.diameter,
                depth=min(h.depth, plate.thickness), tapped=h.tapped, slot=(float(along @ u), float(along @ v)),
            )
        )  # fmt: skip
    size = plate.outline.max(axis=0) - low
    outline = tuple((float(a), float(b)) for a, b in plate.outline - low)
    return Part(outline=outline, size=(float(size[0]), float(size[1])), thickness=plate.thickness, holes=tuple(holes))


def callouts(part: Part, words: Callable[[float], str]) -> tuple[Callout, ...]:
    """Words for the holes and the cut corners, like ones once with their count."""
    groups: dict[str, list[PartHole]] = {}
    for hole in part.holes:
        groups.setdefault(_hole_words(part, hole, words), []).append(hole)
    out = []
    for text, group in groups.items():
        first = max(group, key=lambda h: (round(h.at[0], 1), round(h.at[1], 1)))
        count = f"{len(group)} × " if len(group) > 1 else ""
        level = abs(first.slot[0]) if abs(first.slot[1]) < 0.01 else 0.0
        out.append(Callout(text=count + text, at=first.at, radius=first.diameter / 2 + level))
    corners: dict[str, list[Point2]] = {}
    for feature in rim_of(part.outline).features:
        corners.setdefault(_rim_words(feature, words), []).append(feature.at)
    for text, places in corners.items():
        count = f"{len(places)} × " if len(places) > 1 else ""
        out.append(Callout(text=count + text, at=max(places), radius=0.0))
    return tuple(out)


def _rim_words(feature: RimFeature, words: Callable[[float], str]) -> str:
    across, up = (words(v) for v in feature.size)
    if feature.kind == "corner cut":
        return f"{across} × 45°" if across == up else f"cut {across} across × {up} up"
    return f"notch {across} × {up}" if across == up else f"notch {across} across × {up} up"


def drill_words(t: Thread, words: Callable[[float], str]) -> str:
    """Name a tap drill as it is bought; in millimetres on a sheet in inches, where the thread is metric, with the unit."""
    if words(INCH) == f"{INCH:g}":
        return words(t.tap_drill)
    return t.tap_drill_name.removesuffix(" in")


def _hole_words(part: Part, hole: PartHole, words: Callable[[float], str]) -> str:
    deep = "through" if hole.depth > part.thickness - 0.05 else f"{words(hole.depth)} deep"
    if hole.tapped:
        chamfer = f"chamfer ø{words(countersink(thread(hole.tapped)))}" + (" both sides" if deep == "through" else "")
        return f"{hole.tapped} {deep}, tap drill ø{drill_words(thread(hole.tapped), words)}, {chamfer}"
    slot = 2 * math.hypot(*hole.slot)
    if slot > 0.05:
        turn = math.degrees(math.atan2(hole.slot[1], hole.slot[0])) % 180.0
        lean = "" if min(turn % 90.0, 90.0 - turn % 90.0) < 0.05 else f" at {turn:.0f}°"
        return f"slot {words(hole.diameter)} × {words(slot + hole.diameter)}{lean}"
    return f"ø{words(hole.diameter)}" + ("" if deep == "through" else f", {deep}")


def face_view(part: Part, at: Point2, s: float) -> list[Primitive]:
    """Outline and holes at scale ``s``, the lower left corner of the box at ``at``."""

    def place(p: Point2) -> Point2:
        return at[0] + p[0] * s, at[1] + p[1] * s

    out: list[Primitive] = [Line(points=tuple(place(p) for p in part.outline), closed=True)]
    for hole in part.holes:
        (x, y), r = place(hole.at), hole.diameter / 2 * s
        dx, dy = hole.slot[0] * s, hole.slot[1] * s
        half = math.hypot(dx, dy)
        if half > 0.01:
            turn = math.atan2(dy, dx)
            nx, ny = -math.sin(turn) * r, math.cos(turn) * r
            for k in (-1.0, 1.0):
                a, b = (x - dx + k * nx, y - dy + k * ny), (x + dx + k * nx, y + dy + k * ny)
                out.append(Line(points=(a, b)))
                start = turn - k * math.pi / 2
                out.append(Arc(centre=(x + k * dx, y + k * dy), radius=r, start=start, end=start + math.pi))
        else:
            out.append(Arc(centre=(x, y), radius=r))
        reach_x, reach_y = r + 2.0 + abs(dx), r + 2.0 + abs(dy)
        if hole.tapped:
            # The thread's outside as a thin three-quarter circle (ISO 6410-1, from memory).
            big = thread(hole.tapped).diameter / 2 * s
            out.append(Arc(centre=(x, y), radius=big, start=-math.pi, end=math.pi / 2, layer="thin"))
            reach_x, reach_y = big + 2.0, big + 2.0
        out.append(Line(points=((x - reach_x, y), (x + reach_x, y)), layer="thin"))
        out.append(Line(points=((x, y - reach_y), (x, y + reach_y)), layer="thin"))
    return out


def edge_view(part: Part, at: Point2, s: float) -> list[Primitive]:
    """The plate on edge, its lower left corner at ``at``, the holes' rims dashed."""
    (x, y), t = at, part.thickness * s
    right = x + part.size[0] * s
    out: list[Primitive] = [Line(points=((x, y), (right, y), (right, y + t), (x, y + t)), closed=True)]
    done: set[tuple[int, int]] = set()
    for hole in part.holes:
        middle = x + hole.at[0] * s
        half = hole.diameter / 2 * s + abs(hole.slot[0]) * s
        key = (round(middle * 10), round(half * 10))
        if key in done or t < 1.0:
            continue
        done.add(key)
        low = y + t - hole.depth * s
        out += [Line(points=((middle + k * half, low), (middle + k * half, y + t)), layer="hidden") for k in (-1.0, 1.0)]
        out.append(Line(points=((middle, y - 1.5), (middle, y + t + 1.5)), layer="centre"))
    return out
