"""One view of the stand on paper: lines, round holes, centre lines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.frame.model import PlateRole
from framecore.sheets.drawing.hidden import Drawn, View, hidden_lines
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, ViewPlacement
from framecore.sheets.drawing.pens import DASHES
from framecore.stand.model import Stand

Array = NDArray[np.float64]
LEAST_HIDDEN = 1.0  # mm on paper; shorter hidden crumbs only smear
CLEAR = 0.7  # mm on paper, twice the narrow width and more: closer parallel dashes run together
PASS = 4.0  # mm on paper that a centre line stands over


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A view with its lines in view coordinates, its box (x0, y0, x1, y1), mm, and the faces that hide what lies behind."""

    view: View
    drawn: Drawn
    box: tuple[float, float, float, float]
    faces: NDArray[np.int32]

    @property
    def size(self) -> Point2:
        """Width and height, mm."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


@lru_cache(maxsize=5)  # of one stand: the cover shows the three-quarter view of the arrangement
def look(stand: Stand, view: View, without: tuple[str, ...] = ()) -> Seen:
    """Find the lines of one view, some parts left off."""
    solids, layout = stand.solids, stand.solids.layout
    stays = ~np.isin(np.arange(len(layout.parts)), [i for i, n in enumerate(layout.parts) if n in without])
    flat = view.flat(solids.vertices[stays[layout.vertex_part]])
    low, high = flat.min(axis=0), flat.max(axis=0)
    edges, faces = layout.edges[~inner_edges(stand) & stays[layout.edge_part]], layout.faces[stays[layout.face_part]]
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return Seen(view, hidden_lines(solids.vertices, faces, edges, view), box, faces)


@lru_cache(maxsize=2)  # a stand, and the same drawn apart
def inner_edges(stand: Stand) -> NDArray[np.bool_]:
    """Mark edges of the bore of hollow members: never drawn here, for hidden they only smear the view."""
    layout, vertices = stand.solids.layout, stand.solids.vertices
    inner = np.zeros(len(vertices), dtype=bool)
    for member in stand.frame.members:
        profile = member.profile
        if len(profile.outline) < 2 or member.name not in layout.parts:
            continue
        own = np.flatnonzero(layout.vertex_part == layout.parts.index(member.name))
        offset = vertices[own] - np.asarray(member.start.point)
        y, z = offset @ np.asarray(member.y_axis), offset @ np.asarray(member.z_axis)
        half = profile.wall / 2
        inner[own] = (np.abs(y) < profile.width / 2 - half) & (np.abs(z) < profile.height / 2 - half)
    return np.asarray(inner[layout.edges].all(axis=1))


def ink(seen: Seen, at: Point2, scale: float, *, hidden: bool) -> tuple[Primitive, ...]:
    """Lines of a view with view coordinates (0, 0) at paper ``at``."""
    origin = np.asarray(at)
    out: list[Primitive] = []
    if hidden:
        for run in _chained(_legible(seen.drawn, scale) + origin):
            out.append(Line(points=tuple((float(x), float(y)) for x, y in run), layer="hidden"))
    out += [_line(p, q, "visible") for p, q in seen.drawn.visible * scale + origin]
    return tuple(out)


def _legible(drawn: Drawn, scale: float) -> Array:
    """Hidden pieces on paper that can be told from the lines beside them, longest first."""
    pieces = drawn.hidden * scale
    sizes = np.hypot(*(pieces[:, 1] - pieces[:, 0]).T)
    kept: list[Array] = []
    other = list(drawn.visible * scale)
    for i in np.argsort(-sizes, kind="stable"):
        if sizes[i] < LEAST_HIDDEN:
            break
        if not _beside(pieces[i], np.array(other)):
            kept.append(pieces[i])
            other.append(pieces[i])
    return np.array(kept) if kept else np.zeros((0, 2, 2))


def _chained(pieces: Array) -> list[Array]:
    """Pieces too short for a dash of their own, joined end to end so that the dashes run on round a circle."""
    short = np.hypot(*(pieces[:, 1] - pieces[:, 0]).T) < sum(DASHES["hidden"])
    out = list(pieces[~short])
    left = list(pieces[short])
    while left:
        run = list(left.pop())
        for end in (-1, 0):
            while True:
                ways = [(i, k) for i, s in enumerate(left) for k in (0, 1) if np.hypot(*(s[k] - run[end])) < CLEAR / 10]
                if len(ways) != 1:
                    break
                i, k = ways[0]
                run.insert(len(run) if end else 0, left.pop(i)[1 - k])
        out.append(np.array(run))
    return out


def _beside(piece: Array, others: Array) -> bool:
    """Whether one of the others runs along the whole piece nearer than ``CLEAR``."""
    if not len(others):
        return False
    d = piece[1] - piece[0]
    size = float(np.hypot(*d))
    d, n = d / size, np.array([-d[1], d[0]]) / size
    off, along = (others - piece[0]) @ n, np.sort((others - piece[0]) @ d, axis=1)
    near = (np.abs(off) < CLEAR).all(axis=1)
    return bool((near & (along[:, 0] < CLEAR) & (along[:, 1] > size - CLEAR)).any())


def _line(p: Array, q: Array, layer: str) -> Line:
    return Line(points=((float(p[0]), float(p[1])), (float(q[0]), float(q[1]))), layer=layer)


def holes(stand: Stand, place: ViewPlacement, view: View) -> tuple[Primitive, ...]:
    """Holes of members and tops seen end on: a circle or slot with its centre mark."""
    out: list[Primitive] = []
    done: set[tuple[int, int]] = set()
    pads = {p.name for p in stand.frame.plates if p.role is PlateRole.PAD}
    for hole in stand.frame.holes:
        if hole.owner in pads or abs(float(np.dot(hole.axis, view.forward))) < 0.999:
            continue
        c = on_paper(place, view, hole.centre)
        key = (round(c[0] * 20), round(c[1] * 20))
        if key in done:
            continue
        done.add(key)
        r = hole.diameter / 2 * place.scale
        half = view.flat(np.array([hole.slot_axis]))[0] * hole.slot / 2 * place.scale
        if hole.slot > 0:
            out += _slot(c, r, half)
        else:
            out.append(Arc(centre=c, radius=r, layer="visible" if r > 0.8 else "thin"))
        arm, up = (r + 1.2 + abs(float(s)) for s in half)
        out.append(Line(points=((c[0] - arm, c[1]), (c[0] + arm, c[1])), layer="thin"))
        out.append(Line(points=((c[0], c[1] - up), (c[0], c[1] + up)), layer="thin"))
    return tuple(out)


def _slot(c: Point2, r: float, half: Array) -> tuple[Primitive, ...]:
    size = float(np.hypot(*half))
    n = np.array([-half[1], half[0]]) / size * r
    turn = float(np.arctan2(half[1], half[0]))
    e, f = np.asarray(c) - half, np.asarray(c) + half
    return (
        _line(e + n, f + n, "visible"),
        _line(e - n, f - n, "visible"),
        Arc(centre=(float(f[0]), float(f[1])), radius=r, start=turn - np.pi / 2, end=turn + np.pi / 2),
        Arc(centre=(float(e[0]), float(e[1])), radius=r, start=turn + np.pi / 2, end=turn + 3 * np.pi / 2),
    )


def on_paper(place: ViewPlacement, view: View, point: tuple[float, float, float]) -> Point2:
    """Paper position of a point of the stand."""
    x, y = view.flat(np.array([point]))[0]
    return place.at[0] + place.scale * float(x), place.at[1] + place.scale * float(y)


def centre_line(place: ViewPlacement, view: View, a: Array, b: Array) -> Line:
    """Centre line from a to b, standing over at both ends."""
    p, q = (np.asarray(on_paper(place, view, (float(x[0]), float(x[1]), float(x[2])))) for x in (a, b))
    d = q - p
    d = d / max(float(np.hypot(*d)), 1e-9) * PASS
    return _line(p - d, q + d, "centre")


def studs(stand: Stand, place: ViewPlacement, view: View) -> tuple[Primitive, ...]:
    """Studs of the feet between base and pad, which the shapes leave out; seen from the front or a side."""
    out: dict[tuple[int, int], Primitive] = {}
    for foot in stand.frame.feet:
        low, high = foot.base[2] + foot.base_height, foot.top[2]
        half = thread(foot.thread).diameter / 2
        if high - low < 1.0:
            continue
        for side in (-half, half):
            at = np.array([foot.base, foot.base]) + side * np.asarray(view.right)
            at[:, 2] = low, high
            p, q = (np.asarray(on_paper(place, view, (x, y, z))) for x, y, z in at.tolist())
            out.setdefault((round(p[0] * 20), round(p[1] * 20)), _line(p, q, "visible"))
    return tuple(out.values())


def part_box(stand: Stand, names: tuple[str, ...]) -> tuple[Array, Array] | None:
    """Lowest and highest corner of some parts; None when there are none."""
    layout = stand.solids.layout
    wanted = [i for i, name in enumerate(layout.parts) if name in names]
    own = np.isin(layout.vertex_part, wanted)
    if not own.any():
        return None
    points = stand.solids.vertices[own]
    return points.min(axis=0), points.max(axis=0)
