"""One view of an assembly with its seams: the beads, tacks, numbers and marks drawn on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from framecore.sheets.assemblies.part_views import part_ink
from framecore.sheets.drawing.dims import text_box
from framecore.sheets.drawing.hidden import Array
from framecore.sheets.drawing.labels import Tip, beside
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import strokes, text_width
from framecore.sheets.drawing.tips import on_faces
from framecore.sheets.paper import rectangle
from framecore.sheets.welds.spots import ROUND, Field, number, place, taken
from framecore.sheets.welds.weld_choice import WeldView
from framecore.sheets.welds.weld_seams import OFF, Seams, welded
from framecore.shop.work import Assembly
from framecore.stand.model import Stand

BEAD, BEHIND = 1.2, 0.7  # mm wide on paper: a seam in sight, one behind
DASH = (2.0, 1.2)  # mm of a seam that lies behind, and between
CROSS = 1.3  # mm, half an arm of a tack's cross
DOT = 1.0  # mm, radius of a seam seen on its end


def draw(stand: Stand, one: Assembly, v: WeldView, seams: Seams, at: ViewPlacement, height: float) -> list[Primitive]:
    """Draw a view in its place: lines, beads, tacks, marks with leaders, numbers, marks of the pieces."""
    view, origin, s = v.seen.view, np.asarray(at.at), at.scale
    lines = part_ink(v.seen, at.at, s)
    a, b = (view.flat(p) * s + origin for p in (seams.starts, seams.ends))
    beads, stretches = _beads(v, seams, a, b)
    out: list[Primitive] = [*lines, *beads]
    out += _tacks(v, seams, at)
    anchors = {k: _anchor(k, stretches) for k in v.numbered}
    x0, y0, x1, y1 = v.seen.box
    body = (at.at[0] + x0 * s, at.at[1] + y0 * s, at.at[0] + x1 * s, at.at[1] + y1 * s)
    tips: dict[str, list[Tip]] = {}
    for k in v.numbered:
        tips.setdefault(seams.welds[k].mark, []).extend(_tips(k, stretches))
    ink = np.array([line.points for line in lines]).reshape(-1, 2, 2)
    leaders = beside(tips, body, height=height, circled=False, lines=ink)
    ground = Field(
        bounds=at.box, lines=ink.reshape(-1, 4),
        beads=np.array([(*p, *q) for _, p, q, _ in stretches]).reshape(-1, 4),
    )  # fmt: skip
    for leader in leaders:
        ground.keep += list(zip(leader.points, leader.points[1:], strict=False))
        ground.boxes += [text_box(t) for t in strokes(leader) if isinstance(t, Text)]
    numbers: list[Primitive] = []
    for k in v.numbered:
        centre = place(ground, anchors[k], ROUND * height)
        if centre is None:
            centre = anchors[k]
        numbers += number(anchors[k], centre, str(seams.welds[k].order), height)
    out += _pieces(stand, one, v, seams, at, ground, height)
    return [*out, *leaders, *numbers]


Stretch = tuple[int, Point2, Point2, bool]  # weld, from, to, seen


def _point(p: Array) -> Point2:
    return float(p[0]), float(p[1])


def _beads(v: WeldView, seams: Seams, a: Array, b: Array) -> tuple[list[Primitive], list[Stretch]]:
    out: list[Primitive] = []
    stretches: list[Stretch] = []
    behind: list[Stretch] = []
    for k, clear in enumerate(v.sight):
        p, d = a[k], b[k] - a[k]
        weld = seams.of[k]
        if float(np.hypot(*d)) < 0.4:
            if clear:
                stretches.append((weld, _point(p), _point(p), True))
            else:
                behind.append((weld, _point(p), _point(p), False))
            continue
        stretches += [(weld, _point(p + d * s), _point(p + d * e), True) for s, e in clear]
        if not clear:
            behind.append((weld, _point(p), _point(p + d), False))
    # A seam that lies right behind one in sight, or is drawn in another view, need not be dashed.
    drawn = {(*map(_grid, p), *map(_grid, q)) for _, p, q, _ in stretches}
    drawn |= {(*map(_grid, q), *map(_grid, p)) for _, p, q, _ in stretches}
    for weld, p, q, _ in behind:
        if weld in v.numbered and (*map(_grid, p), *map(_grid, q)) not in drawn:
            out += dashes(p, q)
            stretches.append((weld, p, q, False))
    for _, p, q, seen in stretches:
        if seen:
            out.append(_bar(p, q, BEAD) if p != q else dot(p))
    return out, stretches


def _grid(x: float) -> int:
    return round(x / 0.8)


def _bar(p: Point2, q: Point2, wide: float) -> Line:
    far = max(math.dist(p, q), 1e-9)
    n = ((p[1] - q[1]) / far * wide / 2, (q[0] - p[0]) / far * wide / 2)
    corners = ((p[0] + n[0], p[1] + n[1]), (q[0] + n[0], q[1] + n[1]), (q[0] - n[0], q[1] - n[1]), (p[0] - n[0], p[1] - n[1]))
    return Line(points=corners, closed=True, fill=0.0, layer="thin")


def cross(p: Point2) -> list[Primitive]:
    """A tack."""
    ways = ((1.0, 1.0), (1.0, -1.0))
    return [
        Line(points=((p[0] - CROSS * i, p[1] - CROSS * j), (p[0] + CROSS * i, p[1] + CROSS * j)), layer="thin") for i, j in ways
    ]


def dot(p: Point2, radius: float = DOT) -> Line:
    """A seam seen on its end."""
    return Line(points=_ring(p, radius), closed=True, fill=0.0, layer="thin")


def _ring(p: Point2, radius: float) -> tuple[Point2, ...]:
    turns = [2 * math.pi * k / 12 for k in range(12)]
    return tuple((p[0] + radius * math.cos(t), p[1] + radius * math.sin(t)) for t in turns)


def dashes(p: Point2, q: Point2) -> list[Primitive]:
    """A seam that lies behind; a ring where it is seen on its end."""
    far = math.dist(p, q)
    if far < 0.4:
        return [Line(points=_ring(p, DOT), closed=True, layer="thin")]
    n = max(1, round((far + DASH[1]) / sum(DASH)))
    step = (far + DASH[1]) / n
    size = step - DASH[1]
    u = ((q[0] - p[0]) / far, (q[1] - p[1]) / far)

    def at(t: float) -> Point2:
        return p[0] + u[0] * t, p[1] + u[1] * t

    return [_bar(at(k * step), at(k * step + size), BEHIND) for k in range(n)]


def _anchor(weld: int, stretches: Sequence[Stretch]) -> Point2:
    own = [s for s in stretches if s[0] == weld]
    _, p, q, _ = max(own, key=lambda s: (s[3], math.dist(s[1], s[2])))
    return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2


def _tips(weld: int, stretches: Sequence[Stretch]) -> list[Tip]:
    """Where a leader may end: a third in from either end of the longest stretch, away from the number's tick."""
    own = [s for s in stretches if s[0] == weld]
    _, p, q, _ = max(own, key=lambda s: (s[3], math.dist(s[1], s[2])))
    return [Tip(p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t) for t in (0.2, 0.8)]


def _tacks(v: WeldView, seams: Seams, at: ViewPlacement) -> list[Primitive]:
    """A cross at every tack that lies on a stretch in sight."""
    out: list[Primitive] = []
    done: set[tuple[int, int]] = set()
    for k, w in enumerate(seams.welds):
        if not w.tacks or not v.shown[k]:
            continue
        own = [i for i, weld in enumerate(seams.of) if weld == k and v.sight[i]]
        for tack in w.tacks:
            for i in own:
                d = seams.ends[i] - seams.starts[i]
                size = float(d @ d)
                t = float((np.asarray(tack) - seams.starts[i]) @ d) / max(size, 1e-9)
                off = np.asarray(tack) - seams.starts[i] - t * d
                if float(off @ off) > (4 * OFF) ** 2 or not any(s - 0.05 <= t <= e + 0.05 for s, e in v.sight[i]):
                    continue
                x, y = (v.seen.view.flat(np.array([tack]))[0] * at.scale + np.asarray(at.at)).tolist()
                if (round(x), round(y)) not in done:
                    done.add((round(x), round(y)))
                    out += cross((x, y))
                break
    return out


def _pieces(
    stand: Stand, one: Assembly, v: WeldView, seams: Seams, at: ViewPlacement, ground: Field, height: float
) -> list[Primitive]:
    """Marks of the pieces on the pieces, where they are in sight and there is room."""
    marks = stand.shop.piece_of
    set_on = welded(stand, one, seams)  # a board or a screwed sheet is left off the view
    names = [n for n in (*one.members, *(p for p in one.plates if p in set_on)) if n in marks]
    out: list[Primitive] = []
    for name, points in on_faces(stand, {n: [n] for n in names}, v.seen).items():
        on_paper = (points * at.scale + np.asarray(at.at)).tolist()
        # On a thin part the mark may stand half beside it, off the bead on its edge.
        for x, y in ((x, y + aside * height) for aside in (0.0, -0.6, 0.6) for x, y in on_paper):
            text = Text(at=(x, y - height / 2), text=marks[name], height=height, align="centre")
            if taken(ground, text_box(text)):
                continue
            ground.boxes.append(text_box(text))
            w = text_width(marks[name], height) / 2 + 0.6
            out += [rectangle((x - w, y - 0.75 * height, x + w, y + 0.75 * height), "thin", 1.0), text]
            break
    return out
