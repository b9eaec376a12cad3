"""The three-quarter view and the piece marks: one circled mark a piece, with its leader."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from framecore.frame.model import PlateRole
from framecore.sheets.drawing.hidden import pictorial as three_quarter
from framecore.sheets.drawing.labels import STEP, beside
from framecore.sheets.drawing.model import Leader, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.tips import covered, tips_of
from framecore.sheets.drawing.views import Seen, ink, look
from framecore.stand.model import Stand

Box = tuple[float, float, float, float]
SIDE = 19.0  # mm for marks on either side
LABEL = 7.0


def left_off(stand: Stand) -> tuple[str, ...]:
    """Parts that would cover the frame from above: they are left off the three-quarter view."""
    return tuple(p.name for p in stand.frame.plates if p.role is PlateRole.TOP)


def pictorial(stand: Stand, boxes: Sequence[Box]) -> tuple[ViewPlacement, list[Primitive]]:
    """Draw the three-quarter view in the middle of the box in which it is largest, its marks on both sides."""
    without = left_off(stand)
    seen = look(stand, three_quarter(), without)

    def fit(box: Box) -> float:
        room = (box[2] - box[0] - 2 * SIDE, box[3] - box[1] - 10.0 - LABEL)
        return max(min(room[0] / seen.size[0], room[1] / seen.size[1]), 0.01)

    box = max(boxes, key=fit)
    scale = fit(box)
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
    """One mark for every piece, on either side; of a piece that others cover the edges are dashed."""
    skip = left_off(stand)
    names: dict[str, list[str]] = {}
    for name, mark in stand.shop.piece_of.items():
        if name not in skip and name in stand.solids.layout.parts:
            names.setdefault(mark, []).append(name)
    out: list[Primitive] = []
    tips = tips_of(stand, names, seen, place)
    for mark, group in names.items():
        if not tips[mark]:
            lines, tips[mark] = covered(stand, group[0], place, seen)
            out += lines
    lines_on_paper = seen.drawn.visible * place.scale + np.asarray(place.at)
    return [*out, *beside(tips, body, lines=lines_on_paper)]
