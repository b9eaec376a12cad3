"""One assembly with its seams: which of them a view shows, and the beads, numbers and marks drawn on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Member, Plate
from framecore.sheets.dims import text_box
from framecore.sheets.hidden import Array, View, exposed, pictorial
from framecore.sheets.labels import Tip, beside
from framecore.sheets.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.paper import rectangle
from framecore.sheets.part_views import PartView, along, in_sight, look_at, part_ink, part_mask
from framecore.sheets.pens import strokes, text_width
from framecore.sheets.spots import ROUND, Field, number, place, taken
from framecore.shop.work import Assembly, Weld
from framecore.stand.model import Stand

BEAD, BEHIND = 1.2, 0.7  # mm wide on paper: a seam in sight, one behind
DASH = (2.0, 1.2)  # mm of a seam that lies behind, and between
CROSS = 1.3  # mm, half an arm of a tack's cross
DOT = 1.0  # mm, radius of a seam seen on its end
OFF = 0.4  # mm the seam is lifted out of its corner to be seen
LIFT = 0.2  # of the run's share that must be in sight


@dataclass(frozen=True, slots=True, eq=False)
class Seams:
    """Straight stretches of an assembly's welds in space.

    ``starts``, ``ends`` (k, 3) mm; ``of`` which weld each belongs to.
    """

    welds: tuple[Weld, ...]
    starts: Array
    ends: Array
    of: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class WeldView:
    """A view with what of each seam it shows; ``shown`` mm of every weld in sight, ``numbered`` welds it numbers."""

    seen: PartView
    label: str
    sight: list[list[tuple[float, float]]]
    shown: Array
    numbered: tuple[int, ...] = ()


def seams_of(welds: Sequence[Weld]) -> Seams:
    """Cut runs into straight stretches, stitches where the weld is stitched, each lifted out of its corner."""
    starts, ends, of = [], [], []
    for k, w in enumerate(welds):
        for run, (one, other) in zip(w.runs, w.faces, strict=True):
            out = np.add(one, other)
            lift = out / max(float(np.linalg.norm(out)), 1e-9) * OFF
            for a, b in pairwise(run):
                p, q = np.asarray(a) + lift, np.asarray(b) + lift
                for s, e in stitches(float(np.linalg.norm(q - p)), w.stitch, w.pitch):
                    starts.append(p + (q - p) * s)
                    ends.append(p + (q - p) * e)
                    of.append(k)
    return Seams(tuple(welds), np.array(starts).reshape(-1, 3), np.array(ends).reshape(-1, 3), tuple(of))


def stitches(length: float, stitch: float, pitch: float) -> list[tuple[float, float]]:
    """Return the stretches to weld of a run, shares of its length: all of it, or stitches from end to end of it."""
    if stitch <= 0 or pitch <= 0 or length <= 0:
        return [(0.0, 1.0)]
    n = 1 if length < 2 * stitch else math.ceil((length - stitch) / pitch) + 1
    if n == 1:
        s = min(stitch / length, 1.0)
        return [((1 - s) / 2, (1 + s) / 2)]
    step = (length - stitch) / (n - 1)
    return [(k * step / length, (k * step + stitch) / length) for k in range(n)]


def whole(assemblies: Sequence[Assembly], one: Assembly) -> set[str]:
    """Names of all parts of what an assembly takes in."""
    by = {a.name: a for a in assemblies}
    out: set[str] = set()
    todo = list(one.takes)
    while todo:
        a = by[todo.pop()]
        out |= {*a.members, *a.plates}
        todo += a.takes
    return out


def _welded(stand: Stand, one: Assembly, seams: Seams) -> set[str]:
    """Names of what is welded here; of a sheet folded from one blank all walls and the bottom count."""
    parts = {n for w in seams.welds for n in w.parts}
    marks = {stand.shop.piece_of.get(n) for n in parts if n in one.plates} - {None}
    return parts | {n for n in one.plates if stand.shop.piece_of.get(n) in marks}


def views_of(stand: Stand, assemblies: Sequence[Assembly], one: Assembly, seams: Seams) -> list[WeldView]:
    """Return the views that show every weld of an assembly: flat ones as they lie first, then three-quarter views."""
    # What is set on later and welded nowhere here would only stand in the way: a board, a tray that is screwed.
    welded = _welded(stand, one, seams)
    own = {*one.members, *(p for p in one.plates if p in welded)}
    off = [p for p in one.plates if p not in welded]
    by = {a.name: a for a in assemblies}
    loose = [n for n in one.takes if not welded & {*by[n].members, *by[n].plates, *whole(assemblies, by[n])}]
    off += loose
    taken = whole(assemblies, replace(one, takes=tuple(n for n in one.takes if n not in loose)))
    layout = stand.solids.layout
    faces = layout.faces[part_mask(stand, own | taken)[layout.face_part]]
    chosen: list[_Look] = []
    if one.flat is not None:
        chosen.append(_look(stand, faces, *_lying(stand, one), seams))
    tries = [
        _look(stand, faces, pictorial(turn, tilt), f"three-quarter view {name}", seams) for name, turn, tilt in _THREE_QUARTER
    ]
    if one.flat is None:
        chosen.append(tries.pop(0))  # the first look is always from the front right
    for _ in range(_MOST - 1):
        need = _missing(chosen, one.flat is not None)
        if not need.any() and not (one.flat is not None and len(chosen) == 1):
            break
        best = max(tries, key=lambda t: round(float(t.shown[need].sum() + 0.05 * t.shown.sum()), 3))
        if len(chosen) > 1 and not (best.shown[need] >= LEAST).any():
            break
        chosen.append(best)
        tries.remove(best)
    out = []
    for n, k in enumerate(_numbered(chosen, one.flat is not None)):
        if k or n == 0 or one.flat is not None:
            look = chosen[n]
            label = look.label + (f"; left off: {', '.join(off)}" if off else "")
            out.append(WeldView(look_at(stand, own, look.view, taken), label, look.sight, look.shown, k))
    return out


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """A direction and what it shows of each weld, before any line is drawn."""

    view: View
    label: str
    sight: list[list[tuple[float, float]]]
    shown: Array


_MOST = 3  # views of one assembly
LEAST = 3.0  # mm of a weld in sight that make it seen
_THREE_QUARTER = (
    ("from the front right, above", 0.6, 0.42),
    ("from the back left, above", 0.6 + math.pi, 0.42),
    ("from the front left, above", -0.6, 0.42),
    ("from the front right, below", 0.6, -0.42),
    ("from the back left, below", 0.6 + math.pi, -0.42),
)


def _lying(stand: Stand, one: Assembly) -> tuple[View, str]:
    """The view of a flat assembly as it lies on the bench, and what it is."""
    assert one.flat is not None
    n = np.asarray(one.flat)
    if abs(n[2]) > 0.9:
        upside = "upside down" in one.text
        n = n * (-1.0 if (n[2] > 0) == upside else 1.0)
        label = "as it lies, upside down" if upside else "as it lies, seen from above"
    else:
        members = [m for m in stand.frame.members if m.name in one.members]
        middle = np.mean([np.add(m.start.point, m.end.point) / 2 for m in members], axis=0)
        if float(n @ np.array((middle[0], middle[1], 0.0))) > 0:
            n = -n
        label = "as it lies, inner side up"
    view = along((float(n[0]), float(n[1]), float(n[2])), "flat")
    return view, f"{label}: {_sides(view)}"


def _sides(view: View) -> str:
    """Say which side of the stand lies where."""
    x, y = view.right[0], view.right[1]
    if abs(x) > abs(y):
        return "the stand's right is on the right" if x > 0 else "the stand's right is on the left"
    return "its front is on the left" if y > 0 else "its front is on the right"


def _look(stand: Stand, faces: NDArray[np.int32], view: View, label: str, seams: Seams) -> _Look:
    sight = exposed(stand.solids.vertices, faces, seams.starts, seams.ends, view)
    flat = np.hypot(*(view.flat(seams.ends) - view.flat(seams.starts)).T)
    shown = np.zeros(len(seams.welds))
    for k, (size, clear) in enumerate(zip(flat.tolist(), sight, strict=True)):
        part = sum(e - s for s, e in clear)
        if part > LIFT:
            # A seam seen on its end is only a dot; it counts little, but it counts.
            shown[seams.of[k]] += max(size * part, 1.0)
    return _Look(view, label, sight, shown)


def _missing(looks: Sequence[_Look], flat: bool) -> NDArray[np.bool_]:
    """Which welds no view shows yet; on the bench a dot shows a seam that runs away from you."""
    least = np.full(len(looks), LEAST)
    least[0] = 0.5 if flat else LEAST
    return np.asarray((np.array([v.shown for v in looks]) < least[:, None]).all(axis=0))


def _numbered(looks: Sequence[_Look], flat: bool) -> list[tuple[int, ...]]:
    """Give every weld's number to the view that shows most of it; the first is preferred, on the bench it has all it shows."""
    worth = np.array([v.shown for v in looks])
    worth[0] *= 1e6 if flat else 1.5
    where = worth.argmax(axis=0)
    return [tuple(np.flatnonzero(where == k).tolist()) for k in range(len(looks))]


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
    view, marks = v.seen.view, stand.shop.piece_of
    members = {m.name: m for m in stand.frame.members}
    plates = {p.name: p for p in stand.frame.plates}
    names, spots, lift = [], [], []
    set_on = _welded(stand, one, seams)  # a board or a screwed sheet is left off the view
    for name in (*one.members, *(p for p in one.plates if p in set_on)):
        if name not in marks or (name not in members and name not in plates):
            continue
        part = members.get(name)
        own = _on_plate(plates[name]) if part is None else _spots(part)
        names += [name] * len(own)
        spots += own
        lift += [_out(plates[name] if part is None else part, view) + SKIN] * len(own)
    if not names:
        return []
    # Looked at from in front of it: whatever hides this point hides the piece there.
    places = np.array(spots)
    front = places - np.array(lift)[:, None] * view.forward
    clear = in_sight(stand, v.seen, front, front + np.asarray(view.right))
    paper = (view.flat(places) * at.scale + np.asarray(at.at)).tolist()
    out: list[Primitive] = []
    done: set[str] = set()
    for name, (x, y), free in zip(names, paper, clear, strict=True):
        text = Text(at=(x, y - height / 2), text=marks[name], height=height, align="centre")
        if name in done or not free or taken(ground, text_box(text)):
            continue
        done.add(name)
        ground.boxes.append(text_box(text))
        w = text_width(marks[name], height) / 2 + 0.6
        out += [rectangle((x - w, y - 0.75 * height, x + w, y + 0.75 * height), "thin", 1.0), text]
    return out


SKIN = 0.2  # mm over a part's face: thin sheet laid on it hides it there


def _out(part: Member | Plate, view: View) -> float:
    """Way from the middle of a part to its face, towards the eye, mm."""
    f = view.forward
    if isinstance(part, Plate):
        n = np.cross(part.u_axis, part.v_axis)
        return float(part.thickness / max(float(abs(f @ n)), 1e-3))
    sides = ((part.profile.width, part.y_axis), (part.profile.height, part.z_axis))
    return min(float(size / 2 / max(float(abs(f @ np.asarray(axis))), 1e-3)) for size, axis in sides)


def _spots(m: Member) -> list[Array]:
    a, b = np.asarray(m.start.point), np.asarray(m.end.point)
    c = m.profile.box_centre
    off = np.asarray(m.y_axis) * c[0] + np.asarray(m.z_axis) * c[1]
    return [a + (b - a) * t + off for t in (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78)]


def _on_plate(p: Plate) -> list[Array]:
    low, high = p.outline.min(0), p.outline.max(0)
    u, v = np.asarray(p.u_axis), np.asarray(p.v_axis)
    size = high - low
    shares = ((0.5, 0.5), (0.3, 0.5), (0.7, 0.5), (0.5, 0.3))
    return [np.asarray(p.origin) + u * (low[0] + size[0] * i) + v * (low[1] + size[1] * j) for i, j in shares]
