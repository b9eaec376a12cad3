"""The three-quarter view and the piece marks: one circled mark a piece, with its leader."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from framecore.frame.model import PlateRole
from framecore.sheets.hidden import pictorial as three_quarter
from framecore.sheets.model import Leader, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.part_views import PartView
from framecore.sheets.spreading import spread
from framecore.sheets.views import Seen, ink, inner_edges, look
from framecore.stand.model import Stand

Box = tuple[float, float, float, float]
SIDE = 19.0  # mm for marks on either side
LABEL = 7.0
STEP = 8.0  # mm from mark to mark, at least


def left_off(stand: Stand) -> tuple[str, ...]:
    """Parts that would cover the frame from above: they are left off the three-quarter view."""
    return tuple(p.name for p in stand.frame.plates if p.role is PlateRole.TOP)


def pictorial(stand: Stand, box: Box) -> tuple[ViewPlacement, list[Primitive]]:
    """Draw the three-quarter view in the middle of ``box``, its marks on both sides."""
    view, without = three_quarter(), left_off(stand)
    seen = look(stand, view, without)
    room = (box[2] - box[0] - 2 * SIDE, box[3] - box[1] - 10.0 - LABEL)
    scale = max(min(room[0] / seen.size[0], room[1] / seen.size[1]), 0.01)
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3] + LABEL) / 2)
    centre = ((seen.box[0] + seen.box[2]) / 2, (seen.box[1] + seen.box[3]) / 2)
    at = (middle[0] - centre[0] * scale, middle[1] - centre[1] * scale)
    place = ViewPlacement(name="pictorial", at=at, scale=scale, box=box)
    out: list[Primitive] = list(ink(seen, at, scale, hidden=False))
    w, h = seen.size[0] * scale / 2, seen.size[1] * scale / 2
    out += _marks(stand, seen, place, (middle[0] - w, middle[1] - h, middle[0] + w, middle[1] + h))
    words = "three-quarter view, not to scale" + (", top left off" if without else "")
    out.append(Text(at=(middle[0], middle[1] - h - LABEL), text=words, height=2.5, align="centre"))
    return place, out


def marks_of_left_off(stand: Stand, corner: Point2) -> list[Primitive]:
    """Marks of what the three-quarter view leaves off, at the upper right corner of the front view."""
    marks = dict.fromkeys(m for n, m in stand.shop.piece_of.items() if n in left_off(stand))
    out: list[Primitive] = []
    for k, mark in enumerate(marks):
        y = corner[1] - STEP * (k + 1)
        points = ((corner[0] - 0.5, corner[1]), (corner[0] + 3.5, y), (corner[0] + 5.0, y))
        out.append(Leader(points=points, text=mark, circled=True, height=2.5))
    return out


def _marks(stand: Stand, seen: Seen, place: ViewPlacement, body: Box) -> list[Primitive]:
    """Place marks in two columns, in order of height so that leaders do not cross."""
    skip = left_off(stand)
    names: dict[str, list[str]] = {}
    for name, mark in stand.shop.piece_of.items():
        if name not in skip and name in stand.solids.layout.parts:
            names.setdefault(mark, []).append(name)
    out: list[Primitive] = []
    tips: dict[str, list[Point2]] = {}
    for mark, group in names.items():
        tips[mark] = tips_of(stand, group, seen, place)
        if not tips[mark]:
            lines, tips[mark] = _covered(stand, group[0], place, seen)
            out += lines
    # Which side is nearer, by how far the piece's outermost points lie from the body's sides.
    ranked = sorted(tips, key=lambda m: min(p[0] for p in tips[m]) - body[0] - (body[2] - max(p[0] for p in tips[m])))
    half = (len(ranked) + 1) // 2
    for marks, sign in ((ranked[:half], -1.0), (ranked[half:], 1.0)):
        x = body[0] - 7.0 if sign < 0 else body[2] + 7.0
        ends = {m: (min if sign < 0 else max)(tips[m]) for m in marks}
        ordered = sorted(marks, key=lambda m: ends[m][1])
        for mark, y in zip(ordered, spread([ends[m][1] for m in ordered], STEP), strict=True):
            points = (ends[mark], (x, y), (x + sign * 2.0, y))
            out.append(Leader(points=points, text=mark, circled=True, height=2.5))
    return out


def tips_of(stand: Stand, names: Sequence[str], seen: Seen | PartView, place: ViewPlacement) -> list[Point2]:
    """Paper points on long edges of the piece that are seen; none where other parts cover it."""
    found = [p for name in names for p in _visible(stand, name, seen)]
    longest = max((f[0] for f in found), default=0.0)
    return [_at(place, x, y) for size, x, y in found if size >= 0.4 * longest]


def _at(place: ViewPlacement, x: float, y: float) -> Point2:
    return place.at[0] + place.scale * x, place.at[1] + place.scale * y


def _covered(stand: Stand, name: str, place: ViewPlacement, seen: Seen) -> tuple[list[Line], list[Point2]]:
    """Dashed edges of a part that other parts cover, and the middle of its longest ones."""
    layout, flat = stand.solids.layout, seen.view.flat(stand.solids.vertices)
    ends = flat[layout.edges[(layout.edge_part == layout.parts.index(name)) & ~inner_edges(stand)]]
    sizes = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    lines = [Line(points=(_at(place, *p), _at(place, *q)), layer="hidden") for p, q in ends[sizes > 0.5].tolist()]
    middles = ends[sizes >= 0.9 * sizes.max()].mean(axis=1).tolist()
    return lines, [_at(place, x, y) for x, y in middles]


def _visible(stand: Stand, name: str, seen: Seen | PartView) -> list[tuple[float, float, float]]:
    """Length of each visible stretch of the part's edges, with points a third in from its ends."""
    layout, flat = stand.solids.layout, seen.view.flat(stand.solids.vertices)
    pieces = seen.drawn.visible
    edges = layout.edges[layout.edge_part == layout.parts.index(name)]
    d = flat[edges[:, 1]] - flat[edges[:, 0]]
    size = np.hypot(*d.T)
    long = size >= 1.0
    a, u, size = flat[edges[long, 0]], d[long] / size[long, None], size[long]
    n = np.column_stack([-u[:, 1], u[:, 0]])
    ends = pieces.reshape(-1, 2)
    off = np.abs(n @ ends.T - (n * a).sum(axis=1)[:, None]).reshape(len(a), -1, 2)
    e, k = np.nonzero((off < 0.05).all(axis=2))  # edge by edge, the pieces on its line
    t = np.sort(((pieces[k] - a[e, None]) * u[e, None]).sum(axis=2), axis=1)
    t = np.clip(t, 0.0, size[e, None])
    seen_long = t[:, 1] - t[:, 0]
    e, t, seen_long = e[seen_long > 1.0], t[seen_long > 1.0], seen_long[seen_long > 1.0]
    thirds = t[:, :1] + seen_long[:, None] * (1 / 3, 2 / 3)
    points = a[e, None] + u[e, None] * thirds[:, :, None]
    return [(w, x, y) for w, two in zip(seen_long.tolist(), points.tolist(), strict=True) for x, y in two]
