"""The general arrangement: front, side and top in their places, a three-quarter view with piece marks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from framecore.frame.model import Role
from framecore.sheets.drawing import hidden as hl
from framecore.sheets.drawing.dims import Span, lanes_needed, overhang, stack
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.marks import marks_of_left_off, pictorial
from framecore.sheets.drawing.model import Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.views import Seen, centre_line, holes, ink, look, part_box, studs
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Draft, choose_scale, drawing_space
from framecore.sheets.seat.holes import hole_numbers
from framecore.sheets.words import cautions, length_words
from framecore.stand.model import Stand

EDGE = 6.0  # mm kept to the frame
LABEL = 6.5  # mm for the line under a view
OVER = 4.5  # mm over a view: centre lines stand out there
LEAST = 60.0  # mm either way for a three-quarter view with its marks
TINY = 10.0  # mm; how far a pad stands out beyond a leg is told by its own drawing
BETWEEN = 14.0  # mm between neighbouring views

Dims = dict[str, list[Span]]  # side -> spans, in view coordinates


@dataclass(frozen=True, slots=True, eq=False)
class _Cell:
    """A view, its sizes and where it stands in the grid."""

    seen: Seen
    label: str
    dims: Dims

    def room(self, scale: float, stand: Stand) -> tuple[float, float, float]:
        """Paper mm needed left of, below and right of the view's own box."""
        words = length_words(stand)
        need = {s: lanes_needed(_scaled(self.dims.get(s, []), (0, 0), scale), s, words) for s in SIDES}
        below = _scaled(self.dims.get("below", []), (0, 0), scale)
        left, right = overhang(below, words, self.seen.box[0] * scale, self.seen.box[2] * scale)
        right -= BETWEEN - 4.0
        return max(need["left"], left), need["below"] + LABEL, max(need["right"], right)


SIDES = ("left", "below", "right")


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the general arrangement: one page, or two on small paper."""
    third = stand.brief.sheet.projection == "third angle"
    front = _Cell(look(stand, hl.FRONT), "front", _front_dims(stand))
    side_view = hl.RIGHT if third else hl.LEFT
    side = _Cell(look(stand, side_view), f"from the {side_view.name}", _side_dims(stand, side_view))
    top = _Cell(look(stand, hl.TOP), "from above", _top_dims(stand))
    if paper in SMALL:
        return (
            _arranged(stand, paper, [[front, side]], "front and side", True),
            _arranged(stand, paper, [[top]], "top and marks", False),
        )
    rows = [[top], [front, side]] if third else [[front, side], [top]]
    return (_arranged(stand, paper, rows, "general arrangement", True),)


def _arranged(stand: Stand, paper: str, rows: list[list[_Cell]], title: str, first: bool) -> Draft:
    """Lay rows of cells from the top left; views of one row and of one column stand in line."""
    x0, y0, x1, y1 = drawing_space(paper)
    words, low = _cautions(stand, paper) if first else ([], y0 + EDGE)
    x0, y1, x1, y0 = x0 + EDGE, y1 - EDGE, x1 - EDGE, y0 + TITLE_HEIGHT + 4.0
    inch = stand.brief.units != "metric"
    pictured = any(c.label == "from above" for row in rows for c in row)
    series_from = 1.0
    while True:
        n = choose_scale(series_from, inch)
        size = _grid(stand, rows, 1 / n)
        wide, high = sum(size[0]), sum(size[1])
        spare = 78.0 if pictured and len(rows) == 1 else 0.0
        # Beside the title block the last row may come down to the cautions.
        aside = sum(size[0][: len(rows[-1])]) <= x1 + EDGE - TITLE_WIDTH - 4.0 - x0
        floor = min(low + 3.0, y0) if aside else y0
        if (wide + spare <= x1 - x0 and high <= y1 - floor) or n >= 96:
            break
        series_from = n + 1e-6
    scale = 1 / n
    columns, heights = size
    out: list[Primitive] = []
    views: list[ViewPlacement] = []
    slack = min((y1 - floor - sum(heights)) / (len(heights) + 1), 20.0)
    top_y, row_right, right_most = y1 - slack / 2, [], x0
    for row, high in zip(rows, heights, strict=True):
        left = x0
        for cell, wide in zip(row, columns, strict=False):
            room = cell.room(scale, stand)
            k = row.index(cell)
            lead = max(r[k].room(scale, stand)[0] for r in rows if len(r) > k)
            corner = (left + lead, top_y - cell.seen.size[1] * scale)
            at = (corner[0] - cell.seen.box[0] * scale, corner[1] - cell.seen.box[1] * scale)
            box = (left, corner[1] - room[1], left + wide, top_y + OVER)
            place = ViewPlacement(name=cell.seen.view.name, at=at, scale=scale, box=box)
            views.append(place)
            out += _drawn(stand, cell, place)
            left += wide
        row_right.append((left, top_y + slack / 2, top_y - high - slack / 2))
        right_most = max(right_most, left)
        top_y -= high + slack
    if pictured:
        # The free quadrant beside the top view, or the whole strip right of all views: whichever is larger.
        k = next(i for i, row in enumerate(rows) if row[0].label == "from above")
        left, high_y, low_y = row_right[k]
        low_y = y0 if k == len(rows) - 1 else low_y
        high_y = y1 if k == 0 else high_y
        quadrant = (left + 4.0, low_y, x1, high_y)
        strip = (right_most + 4.0, y0, x1, y1)
        below = (x0, y0, x1, top_y + slack)
        boxes = [b for b in (quadrant, strip, below) if b[2] - b[0] > LEAST and b[3] - b[1] > LEAST]
        view, drawn = pictorial(stand, boxes)
        views.append(view)
        out += drawn
    out += words
    return Draft(
        title=title, kind="Shop drawing", primitives=tuple(out), views=tuple(views), scale_text=f"1:{n}"
    )


def _grid(stand: Stand, rows: list[list[_Cell]], scale: float) -> tuple[list[float], list[float]]:
    """Paper width of each column and height of each row, sizes and gaps included."""
    columns: list[float] = []
    for k in range(max(len(r) for r in rows)):
        cells = [r[k] for r in rows if len(r) > k]
        rooms = [c.room(scale, stand) for c in cells]
        body = max(c.seen.size[0] * scale + r[2] for c, r in zip(cells, rooms, strict=True))
        columns.append(max(r[0] for r in rooms) + body + BETWEEN)
    heights = []
    for row in rows:
        below = max(c.room(scale, stand)[1] for c in row)
        heights.append(max(c.seen.size[1] for c in row) * scale + below + OVER)
    return columns, heights


def _drawn(stand: Stand, cell: _Cell, place: ViewPlacement) -> list[Primitive]:
    words, view = length_words(stand), cell.seen.view
    out: list[Primitive] = list(ink(cell.seen, place.at, place.scale, hidden=True))
    out += holes(stand, place, view)
    b, s = cell.seen.box, place.scale
    x0, y0 = place.at[0] + b[0] * s, place.at[1] + b[1] * s
    x1 = place.at[0] + b[2] * s
    for side in SIDES:
        spans = _scaled(cell.dims.get(side, []), place.at, s)
        out += stack(spans, side, {"left": x0, "right": x1, "below": y0}[side], words)
    if view.name == "top":
        out += hole_numbers(stand, place, out)
        for member in stand.frame.members:
            if member.role is Role.BEARER:
                ends = np.asarray(member.start.point), np.asarray(member.end.point)
                out.append(centre_line(place, view, *ends))
    if view.name != "top":
        out += studs(stand, place, view)
    if view.name == "front":
        out += marks_of_left_off(stand, (x1, place.at[1] + b[3] * s))
    low = y0 - (cell.room(s, stand)[1] - LABEL)
    out.append(Text(at=((x0 + x1) / 2, low - LABEL + 2.5), text=cell.label, height=2.5, align="centre"))
    return out


def _scaled(spans: list[Span], at: Point2, scale: float) -> list[Span]:
    return [
        Span(
            (at[0] + s.a[0] * scale, at[1] + s.a[1] * scale),
            (at[0] + s.b[0] * scale, at[1] + s.b[1] * scale),
            s.value,
        )
        for s in spans
    ]


def _unique(spans: list[Span], along: int) -> list[Span]:
    """Drop sizes of nothing and sizes already shown."""
    out: list[Span] = []
    done: set[tuple[int, int]] = set()
    for s in spans:
        key = (round(min(s.a[along], s.b[along])), round(max(s.a[along], s.b[along])))
        if s.value > 0.5 and key not in done:
            done.add(key)
            out.append(s)
    return out


def _level(x: float, low: float, high: float, from_x: float | None = None) -> Span:
    return Span((x if from_x is None else from_x, low), (x, high), high - low)


def _across(y: float, low: float, high: float) -> Span:
    return Span((low, y), (high, y), high - low)


def _legs(stand: Stand, view: hl.View) -> tuple[float, float]:
    """Outside of the legs left and right in a view; of the stand's own measures where it has no legs."""
    names = tuple(m.name for m in stand.frame.members if m.role is Role.LEG)
    box = part_box(stand, names)
    if box is None:
        half = abs(float(view.flat(np.array([(stand.frame.length, stand.frame.depth, 0.0)]))[0, 0])) / 2
        return -half, half
    ends = sorted(view.flat(np.array(box))[:, 0].tolist())
    return ends[0], ends[1]


def _front_dims(stand: Stand) -> Dims:
    frame, v = stand.frame, stand.solids.vertices
    x0, x1 = float(v[:, 0].min()), float(v[:, 0].max())
    low, high = float(v[:, 2].min()), float(v[:, 2].max())
    up = []
    if frame.feet:
        up.append(_level(x0, low, float(min(f.top[2] for f in frame.feet))))
    rails = part_box(stand, tuple(m.name for m in frame.members if m.role is Role.LOWER_RAIL))
    if rails:
        up.append(_level(x0, low, float(rails[1][2])))
    up += [_level(x0, low, frame.ring_top), _level(x0, low, frame.seat), _level(x0, low, high)]
    first, last = _legs(stand, hl.FRONT)
    across = [_across(low, first, last)]
    if first > x0 + TINY or last < x1 - TINY:
        across.append(_across(low, x0, x1))
    if frame.feet:
        xs = sorted({round(f.base[0], 3) for f in frame.feet})
        across += [_across(low, a, b) for a, b in pairwise(xs)]
    if last < x1 - TINY:
        across.append(_across(low, last, x1))
    return {"left": _unique(up, 1), "below": _unique(across, 0)}


def _side_dims(stand: Stand, view: hl.View) -> Dims:
    frame = stand.frame
    flat = view.flat(stand.solids.vertices)
    (x0, low), (x1, _) = flat.min(axis=0).tolist(), flat.max(axis=0).tolist()
    first, last = _legs(stand, view)
    across = [_across(low, first, last)]
    if first > x0 + TINY or last < x1 - TINY:
        across.append(_across(low, x0, x1))
    if frame.feet:
        xs = sorted({round(float(p), 3) for p in view.flat(np.array([f.base for f in frame.feet]))[:, 0]})
        across += [_across(low, a, b) for a, b in pairwise(xs)]
    if last < x1 - TINY:
        across.append(_across(low, last, x1))
    dims = {"below": _unique(across, 0)}
    legs = part_box(stand, tuple(m.name for m in frame.members if m.role is Role.LEG))
    if legs:
        dims["right"] = [_level(x1, float(legs[0][2]), float(legs[1][2]))]
    return dims


def _top_dims(stand: Stand) -> Dims:
    """Bearer centre lines, else the machine's places, from the left and the front edge of the frame."""
    v = stand.solids.vertices
    left, low = _legs(stand, hl.FRONT)[0], float(v[:, 1].min())
    edge, x0 = -stand.frame.depth / 2, float(v[:, 0].min())
    across, up = [], []
    for m in stand.frame.members:
        if m.role is not Role.BEARER:
            continue
        middle = (np.asarray(m.start.point) + np.asarray(m.end.point)) / 2
        if abs(m.x_axis[1]) > 0.9:
            across.append(_across(low, left, float(middle[0])))
        else:
            up.append(_level(x0, edge, float(middle[1])))
    if not across and not up:
        # Nothing but the machine's own places says where a head plate or the blocks lie.
        xs, ys = (sorted({round(m.point[k], 3) for m in stand.frame.mounts}) for k in (0, 1))
        if all(m.hole for m in stand.frame.mounts):
            across, up = [_across(low, left, x) for x in xs], [_level(x0, edge, y) for y in ys]
        else:
            across = [_across(low, a, b) for a, b in pairwise(xs)]
            up = [_level(x0, a, b) for a, b in pairwise(ys)]
    return {"below": _unique(across, 0), "left": _unique(up, 1)}


def _cautions(stand: Stand, paper: str) -> tuple[list[Primitive], float]:
    """The words that must be seen, left of the title block, and how far up they reach."""
    x0, y0, x1, _ = drawing_space(paper)
    width = x1 - TITLE_WIDTH - x0 - 6.0
    lines: list[tuple[str, bool, float]] = []  # each with its step down from the one before
    for text, bold in cautions(stand):
        rows = wrap(text, width, 2.5, bold)
        if bold and len(rows) > 5:
            rows = wrap("Do not build as drawn: see the notes on the last page.", width, 2.5, bold)
        more = [(row, bold, 4.5 if n == 0 else 3.9) for n, row in enumerate(rows)]
        if sum(step for _, _, step in (*lines, *more)) > TITLE_HEIGHT - 1.5:
            break  # every caution is among the notes as well
        lines += more
    top = y0 + 1.5 + sum(step for _, _, step in lines)
    y, out = top, list[Primitive]()
    for text, bold, step in lines:
        y -= step
        out.append(Text(at=(x0 + 3.0, y), text=text, height=2.5, bold=bold))
    return out, top
