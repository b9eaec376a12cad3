"""Details of a folded sheet: its notched corners enlarged, alike ones once, and the section of a lip."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from framecore.frame.model import Plate
from framecore.sheets.drawing.dims import Span, overhang, rooms, stack
from framecore.sheets.drawing.model import Leader, Line, Point2, Primitive, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.parts.outline import runs_of
from framecore.sheets.parts.part import Part
from framecore.sheets.parts.plate_cells import Cell, head, scale_words, written
from framecore.sheets.words import length_words
from framecore.shop.flat import FlatPattern
from framecore.shop.folded import largest
from framecore.stand.model import Stand

ENLARGED = (5.0, 2.0, 1.0, 0.5, 0.2)  # scales of details, largest first
MOST = 90.0  # mm on paper, of a corner's longer side
SECTION = 45.0  # mm on paper, of a lip's height
MORE = 0.2  # of a corner's size that is drawn past it
NAMES = {(0.0, 0.0): "lower left", (1.0, 0.0): "lower right", (1.0, 1.0): "upper right", (0.0, 1.0): "upper left"}


def corner_cells(stand: Stand, mark: str, part: Part, flat: FlatPattern, room: Point2) -> list[Cell]:
    """Return the notched corners of a flat sheet, turned to the lower left, each kind once.

    A corner that a notch or a cut tells, which words beside the sheet do, is none of these.
    """
    kinds: dict[tuple[Point2, ...], list[Point2]] = {}
    for run in runs_of(part.outline):
        if len(run) <= 3:
            continue
        middle = [sum(p[k] for p in run) / len(run) for k in (0, 1)]
        far = (float(middle[0] > part.size[0] / 2), float(middle[1] > part.size[1] / 2))
        turned = [_turned(p, part.size, far) for p in run]
        if turned[0][1] > turned[-1][1]:
            turned.reverse()
        kinds.setdefault(tuple((round(a, 2) + 0.0, round(b, 2) + 0.0) for a, b in turned), []).append(far)
    return [_corner(stand, mark, key, where, len(kinds), flat, room) for key, where in kinds.items()]


def _turned(p: Point2, size: Point2, far: Point2) -> Point2:
    """A point as it lies when the corner ``far`` right and up is mirrored to the lower left."""
    return size[0] - p[0] if far[0] else p[0], size[1] - p[1] if far[1] else p[1]


def _scale(longest: float, most: float) -> float:
    return next((s for s in ENLARGED if longest * s <= most), ENLARGED[-1])


def _corner(
    stand: Stand, mark: str, run: Sequence[Point2], where: Sequence[Point2], kinds: int, flat: FlatPattern, room: Point2
) -> Cell:
    words = length_words(stand)
    reach = (max(p[0] for p in run), max(p[1] for p in run))
    more = MORE * max(reach)
    s = _scale(max(reach) + more, MOST)
    names = [NAMES[far] for far in where]
    title = f"{mark}   corner" + (" enlarged" if kinds == 1 else f" {' and '.join(names)}")
    alike = f"all {len(where)} corners alike, two of them mirrored" if kinds == 1 else "the others mirrored"
    rows = (f"scale {scale_words(s)}, flat, from the edges of the blank", alike if len(where) > 1 else "")
    out, told, y = written(head(title, tuple(r for r in rows if r), "", 60.0, room[0]))
    w, h = (reach[0] + more) * s, (reach[1] + more) * s
    left, below = _steps(run, (0.0, 0.0), s)
    aside = max(rooms(left, ("left",), words)["left"], overhang(below, words, 0.0, w)[0])
    y -= 4.0
    face = (aside, y - h)

    def place(p: Point2) -> Point2:
        return face[0] + p[0] * s, face[1] + p[1] * s

    rim = [(run[0][0], reach[1] + more), *run, (reach[0] + more, run[-1][1])] if run[0][0] < run[-1][0] else [
        (reach[0] + more, run[0][1]), *run, (run[-1][0], reach[1] + more)]  # fmt: skip
    out.append(Line(points=tuple(place(p) for p in rim)))
    gone = (place((0.0, max(run[0][1], run[-1][1]))), place((0.0, 0.0)), place((max(run[0][0], run[-1][0]), 0.0)))
    out.append(Line(points=gone, layer="thin"))
    out += _bend_lines(flat, where[0], reach, more, place)
    left, below = _steps(run, face, s)
    out += stack(left, "left", face[0], words)
    out += stack(below, "below", face[1], words)
    wide = aside + max(w, overhang(below, words, 0.0, w)[1] + w)
    size = (max(wide, told), h - y + rooms(below, ("below",), words)["below"] + 2.0)
    view = ViewPlacement(name=f"{mark} corner {names[0]}", at=face, scale=s, box=(0.0, -size[1], size[0], 0.0))
    return Cell(mark=mark, size=size, view=view, primitives=tuple(out))


def _bend_lines(
    flat: FlatPattern, far: Point2, reach: Point2, more: float, place: Callable[[Point2], Point2]
) -> list[Primitive]:
    """Bend lines as far as they run into the picture of a corner."""
    out: list[Primitive] = []
    low = (min(p[0] for p in flat.outline), min(p[1] for p in flat.outline))
    for b in flat.bends:
        one, two = (_turned((p[0] - low[0], p[1] - low[1]), flat.size, far) for p in (b.start, b.end))
        k = 0 if abs(one[0] - two[0]) < 0.01 else 1
        start, end = min(one[1 - k], two[1 - k]), reach[1 - k] + more
        if one[k] < reach[k] + more and start < end:
            points = [(one[k], v) if k == 0 else (v, one[k]) for v in (start, end)]
            out.append(Line(points=(place(points[0]), place(points[1])), layer="centre"))
    return out


def _steps(run: Sequence[Point2], at: Point2, s: float) -> tuple[list[Span], list[Span]]:
    """Each step of the corner from the edges of the blank, left and below."""
    out: tuple[list[Span], list[Span]] = ([], [])
    for k in (0, 1):
        places: dict[float, float] = {}
        for p in run:
            key = round(p[k], 2)
            places[key] = min(places.get(key, p[1 - k]), p[1 - k])
        zero = min(p[1 - k] for p in run if p[k] < 0.05)
        start = (at[0], at[1] + zero * s) if k == 0 else (at[0] + zero * s, at[1])
        for place, level in sorted(places.items()):
            if place > 0.05:
                tip = (at[0] + place * s, at[1] + level * s) if k == 0 else (at[0] + level * s, at[1] + place * s)
                out[1 - k].append(Span(start, tip, place))
    return out[0], out[1]


def lip_cells(stand: Stand, mark: str, flat: FlatPattern, plates: Sequence[Plate]) -> list[Cell]:
    """Return the section of the folded lips: outside height, thickness and inside radius, alike ones once."""
    bottom = largest(plates)
    w = np.cross(bottom.u_axis, bottom.v_axis)
    by_name = {p.name: p for p in plates}
    kinds: dict[tuple[float, bool], list[str]] = {}
    for b in flat.bends:
        lip = by_name[b.lip]
        axis = 0 if abs(float(np.dot(w, lip.u_axis))) > 0.5 else 1
        kinds.setdefault((round(float(np.ptp(lip.outline[:, axis])) + flat.thickness, 2), b.up), []).append(b.lip)
    size = [float(v) for v in np.ptp(bottom.outline, axis=0)]
    return [
        _lip(stand, mark, rise, up, names if len(kinds) > 1 else [], flat, size) for (rise, up), names in kinds.items()
    ]


def _lip(
    stand: Stand, mark: str, rise: float, up: bool, names: Sequence[str], flat: FlatPattern, size: Sequence[float]
) -> Cell:
    words, t, r = length_words(stand), flat.thickness, flat.bends[0].radius
    s = _scale(rise, SECTION)
    text = f"R{words(r)} inside"
    long = max(0.6 * rise, 5 * (r + t), (text_width(text, 2.5) + 14.0) / s)
    title = f"{mark}   lip{'' if not names else 's'} in section"
    rows = (
        f"scale {scale_words(s)}, folded {'up' if up else 'down'}{': ' + ', '.join(names) if names else ' on every side bent'}",
        f"folded size {words(size[0])} × {words(size[1])} outside",
    )
    out, told, y = written(head(title, rows, "", 60.0, 200.0))
    turn = [k * math.pi / 16 - math.pi / 2 for k in range(9)]
    rim = [(-long, 0.0), *((-r - t + (r + t) * math.cos(a), r + t + (r + t) * math.sin(a)) for a in turn), (0.0, rise),
           (-t, rise), *((-r - t + r * math.cos(a), r + t + r * math.sin(a)) for a in reversed(turn)), (-long, t)]  # fmt: skip
    thick = Span((0.0, 0.0), (0.0, t * s), t)
    aside = rooms([thick], ("left",), words)["left"]
    at, away = (aside + long * s, y - 4.0 - (rise * s if up else 0.0)), 1.0 if up else -1.0

    def place(p: Point2) -> Point2:
        return at[0] + p[0] * s, at[1] + away * p[1] * s

    out.append(Line(points=tuple(place(p) for p in rim), closed=True, fill=0.8))
    over_all = Span(place((0.0, 0.0)), place((0.0, rise)), rise)
    out += stack([over_all], "right", at[0], words)
    out += stack([Span(place((-long, 0.0)), place((-long, t)), t)], "left", aside, words)
    tip = place((-r - t + r * math.cos(-math.pi / 4), r + t + r * math.sin(-math.pi / 4)))
    up_by = 8.0 * away
    knee = (tip[0] - 6.0, tip[1] + up_by)
    out.append(Leader(points=(tip, knee, (knee[0] - 2.0, knee[1])), text=text, height=2.5))
    high = 4.0 + rise * s + 8.0
    wide = aside + long * s + rooms([over_all], ("right",), words)["right"]
    size_ = (max(wide, told), -y + high)
    view = ViewPlacement(name=f"{mark} lip {'up' if up else 'down'} {words(rise)}", at=at, scale=s,
                         box=(0.0, -size_[1], size_[0], 0.0))  # fmt: skip
    return Cell(mark=mark, size=size_, view=view, primitives=tuple(out))
