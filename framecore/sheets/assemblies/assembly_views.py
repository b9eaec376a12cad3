"""Views of assemblies: laid flat with places and diagonals, and drawn apart as they come together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import PlateRole
from framecore.sheets.assemblies.assembly_data import names_of, places, seen_from
from framecore.sheets.assemblies.part_views import PartView, look_at, part_ink, part_mask
from framecore.sheets.drawing.dims import Span, cuts, place, rooms, text_box
from framecore.sheets.drawing.hidden import View
from framecore.sheets.drawing.labels import beside
from framecore.sheets.drawing.lanes import APART, STEP
from framecore.sheets.drawing.model import Dimension, Leader, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import strokes, text_width
from framecore.sheets.drawing.tips import tips_of
from framecore.sheets.drawing.views import centre_line, holes
from framecore.sheets.paper import INCH_SCALES, METRIC_SCALES
from framecore.sheets.parts.part_placing import body, placed_in, to_paper
from framecore.sheets.words import length_words
from framecore.shop.work import Assembly, Check
from framecore.stand.model import Stand
from framecore.stand.work import work_of

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]
HEIGHT = 2.5
CAPTION = 6.0  # mm under a view for its words
MARKS = 17.0  # mm beside a view for its marks
GUTTER = 10.0  # mm between two drawings
SET_IN = (PlateRole.BRACKET, PlateRole.GUSSET, PlateRole.HEAD, PlateRole.BASE)  # plates that could sit elsewhere
SAME = 0.5  # mm; sizes that differ by less are shown once

_Taken = tuple[float, float, float, str]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """What is drawn: parts, direction, members, plates and assemblies whose places are told, measures, the words under it."""

    names: tuple[str, ...]
    told: tuple[str, ...]
    taken: tuple[tuple[bool, tuple[str, ...]], ...]  # of each assembly it is put together from: whether flat, its members
    marked: tuple[str, ...]
    view: View
    checks: tuple[Check, ...]
    caption: str
    seen: PartView


def picture(
    stand: Stand, assembly: Assembly, names: Sequence[str], view: View, *, caption: str = "",
    checks: Sequence[Check] | None = None, marked: Sequence[str] | None = None,
) -> Picture:  # fmt: skip
    """Gather what a flat view of an assembly shows; all of its measures and the marks of all it is made of by default."""
    own, work = (*assembly.members, *assembly.plates), work_of(stand)
    members = {m.name for m in stand.frame.members}
    set_in = {p.name for p in stand.frame.plates if p.role in SET_IN}
    parts = [next(a for a in work.assemblies if a.name == name) for name in assembly.takes]
    taken = tuple((a.flat is not None, tuple(n for n in names_of(a, work) if n in members)) for a in parts)
    return Picture(
        names=tuple(names), told=(*assembly.members, *(n for n in assembly.plates if n in set_in)), taken=taken,
        marked=tuple(own if marked is None else marked), view=view,
        checks=tuple(assembly.checks if checks is None else checks), caption=caption or seen_from(assembly, view),
        seen=look_at(stand, tuple(names), view),
    )  # fmt: skip


def sizes(stand: Stand, p: Picture, at: Point2, scale: float) -> dict[str, list[Span]]:
    """Return the sizes across and up on paper: over all, and the places of members from the lower and left edges."""
    x0, y0, x1, y1 = p.seen.box
    across: list[_Taken] = [(x0, x1, y0, "")]  # from, to, where it is taken, of which piece
    up: list[_Taken] = [(y0, y1, x0, "")]
    # Where the pieces are not marked in the view, their places are.
    mark = {} if p.marked else stand.shop.piece_of
    flat = [(p.view.flat(np.array([c.a, c.b])), c) for c in p.checks if c.kind in ("over all", "corner height")]
    for ends, _ in flat:
        (ax, ay), (bx, by) = ends.tolist()
        if abs(ay - by) < SAME:
            across.append((min(ax, bx), max(ax, bx), ay, ""))
        elif abs(ax - bx) < SAME:
            up.append((min(ay, by), max(ay, by), ax, ""))
    datum, stands = _datum(stand, p, flat), _stands(p.view)
    for axis, spans in ((0, across), (1, up)):
        told = places(stand, p.told, p.view, axis)
        spans += [(datum[axis], t.place, t.along, mark.get(t.name, "")) for t in told]
        # What is taken in whole is told by the lowest of its members: the others lie by its own sheet. Frames that were laid
        # flat and stand at an end are told by the measures over all; what else there is, the view from the front tells.
        for flat_one, names in p.taken:
            if axis == 0 and (not stands or (flat_one and _at_an_end(stand, p, names))):
                continue
            found = places(stand, names, p.view, axis)
            if found:
                first = min(found, key=lambda t: t.place)
                spans.append((datum[axis], first.place, first.along, mark.get(first.name, "")))
    on, words = partial(_on, at, scale), length_words(stand)
    return {
        "across": [_marked(Span(on(a, y), on(b, y), b - a, m), scale, words) for a, b, y, m in _once(across)],
        "up": [_marked(Span(on(x, a), on(x, b), b - a, m), scale, words) for a, b, x, m in _once(up)],
    }


def _marked(span: Span, scale: float, words: Callable[[float], str]) -> Span:
    """A size with its mark where both stand between the arrows, else without: outside it would crowd its neighbours."""
    fits = text_width(span.said(words), HEIGHT) + APART <= scale * span.value
    return span if fits else replace(span, mark="")


def told_how(stand: Stand, shown: Sequence[Picture]) -> str:
    """Say what the places are measured to, and what the thin lines are."""
    text = "Places to lower and left edges"
    if any(t.middle for p in shown for t in places(stand, p.told, p.view, 0)):
        text += ", of bearers to the centre line"
    if any(not p.marked for p in shown):
        text += ", with the mark of the piece where there is room"
    return text + ("; thin: diagonals to measure" if any(c.kind == "diagonal" for p in shown for c in p.checks) else "")


def _at_an_end(stand: Stand, p: Picture, names: Sequence[str]) -> bool:
    """Whether members reach as far to the left or to the right as any member seen."""
    ids, vertices = stand.solids.layout.vertex_part, stand.solids.vertices
    members = {m.name for m in stand.frame.members}

    def reach(of: set[str]) -> tuple[float, float]:
        across = p.view.flat(vertices[part_mask(stand, of)[ids]])[:, 0]
        return float(across.min()), float(across.max())

    (low, high), (first, last) = reach(members & set(p.names)), reach(set(names))
    return first - low < SAME or high - last < SAME


def _stands(view: View) -> bool:
    """Whether what is seen stands up in the view."""
    return abs(view.up[2]) > 0.9


def _datum(stand: Stand, p: Picture, flat: Sequence[tuple[Floats, Check]]) -> Point2:
    """The lower left corner places are told from: of the measures over all, else of the members; up from below the pads."""
    if flat:
        low = np.concatenate([ends for ends, _ in flat]).min(axis=0)
        return float(low[0]), float(low[1])
    own = part_mask(stand, {m.name for m in stand.frame.members} & set(p.names))[stand.solids.layout.vertex_part]
    if not own.any():
        return p.seen.box[0], p.seen.box[1]
    low = p.view.flat(stand.solids.vertices[own]).min(axis=0)
    return float(low[0]), p.seen.box[1] if _stands(p.view) else float(low[1])


def _on(at: Point2, scale: float, x: float, y: float) -> Point2:
    return at[0] + scale * x, at[1] + scale * y


def _once(spans: Sequence[_Taken]) -> list[_Taken]:
    """Drop sizes of nothing and those already there, which take the marks of the others; what is over all needs none."""
    out: list[_Taken] = []
    for a, b, c, mark in spans:
        if b - a <= SAME:
            continue
        same = next((k for k, (d, e, _, _) in enumerate(out) if abs(a - d) < SAME and abs(b - e) < SAME), None)
        if same is None:
            out.append((a, b, c, mark))
            continue
        d, e, f, known = out[same]
        if known and mark not in known.split(", "):
            out[same] = (d, e, f, f"{known}, {mark}")
    return out


def scale_of(stand: Stand, shown: Sequence[Picture], room: Point2, *, inch: bool, aside: bool = False) -> int:
    """Return the n of the largest scale 1:n at which views with their sizes and marks fit ``room``, mm.

    ``aside``: they stand side by side, else one over the other, ``GUTTER`` apart.
    """
    series = INCH_SCALES if inch else METRIC_SCALES
    along, over = (0, 1) if aside else (1, 0)
    for n in series:
        if any(p.seen.size[k] / n > room[k] for p in shown for k in (0, 1)):
            continue
        need = [needs(stand, p, 1 / n) for p in shown]
        total = sum(v[along] for v in need) + GUTTER * (len(need) - 1)
        if total <= room[along] + 1e-6 and max(v[over] for v in need) <= room[over] + 1e-6:
            return n
    return series[-1]


def needs(stand: Stand, p: Picture, scale: float) -> Point2:
    """Return the room a view takes with its sizes, marks and words, mm."""
    used = _margins(stand, p, scale)
    wide, high = p.seen.size[0] * scale, p.seen.size[1] * scale
    return wide + used["left"] + used["right"], high + used["below"] + used["above"]


def _margins(stand: Stand, p: Picture, scale: float) -> dict[str, float]:
    """Room beside the view on its four sides, mm."""
    spans, words = sizes(stand, p, (0.0, 0.0), scale), length_words(stand)
    b = p.seen.box
    used = rooms(spans["across"], ("below", "above"), words, {"below": b[1] * scale, "above": b[3] * scale})
    left = rooms(spans["up"], ("left",), words)["left"]
    marks = MARKS if p.marked else 4.0
    # The outermost lane leaves a step free: the words under the view stand in it.
    below, above = max(used["below"] - STEP, 0.0) + CAPTION + 0.5, max(used["above"] - 3.0, 0.0) + 3.0
    return {"left": max(left, 4.0), "right": marks, "below": below, "above": above}


def flat_view(stand: Stand, p: Picture, box: Box, n: int) -> tuple[ViewPlacement, list[Primitive], float]:
    """Draw an assembly flat in ``box`` at 1:n, as high up as its sizes allow; return how far down it comes as well."""
    s, words = 1 / n, length_words(stand)
    used = _margins(stand, p, s)
    inside = (box[0] + used["left"], box[1] + used["below"], box[2] - used["right"], box[3] - used["above"])
    view = placed_in(p.seen, inside, s)
    b = body(p.seen, view)
    view = ViewPlacement(name=view.name, at=(view.at[0], view.at[1] + inside[3] - b[3]), scale=s, box=box)
    b = body(p.seen, view)
    out: list[Primitive] = list(part_ink(p.seen, view.at, s))
    own = frozenset(p.names)
    drilled = tuple(h for h in stand.frame.holes if h.owner in own)
    out += holes(replace(stand, frame=replace(stand.frame, holes=drilled)), view, p.view)
    for t in places(stand, p.told, p.view, 0):
        if t.middle:
            m = stand.frame.member(t.name)
            out.append(centre_line(view, p.view, np.asarray(m.start.point), np.asarray(m.end.point)))
    spans = sizes(stand, p, view.at, s)
    lines: list[Primitive] = [*place(spans["across"], {"below": b[1], "above": b[3]}, words)]
    lines += place(spans["up"], {"left": b[0]}, words)
    marks: dict[str, list[str]] = {}
    for name in p.marked:
        mark = stand.shop.piece_of.get(name)
        if mark is not None:
            marks.setdefault(mark, []).append(name)
    tips = tips_of(stand, marks, p.seen, view)
    lines += beside({m: t for m, t in tips.items() if t}, b, height=HEIGHT, sides=(1.0,), lines=_segments(out))
    drawn, told = diagonals(p, view, out + lines, words)
    lines += drawn
    low = min([b[1], *(d.base[1] for d in lines if isinstance(d, Dimension) and abs(d.angle) < 0.1)])
    middle = (b[0] + b[2]) / 2
    words_under = p.caption + (f"; diagonals {' / '.join(told)}" if told else "")
    wide = text_width(words_under, HEIGHT)
    middle = min(max(middle, box[0] + wide / 2), box[2] - wide / 2)
    caption = Text(at=(middle, low - 5.5), text=words_under, height=HEIGHT, align="centre")
    return view, [*out, *lines, caption], low - CAPTION


def diagonals(
    p: Picture, view: ViewPlacement, drawn: Sequence[Primitive], words: Callable[[float], str]
) -> tuple[list[Primitive], list[str]]:
    """Both diagonals as thin lines with their values where nothing else stands; and those for which there is no place.

    Diagonals that are to read alike carry one value for both: two of them near the crossing would stand over each other.
    """
    out: list[Primitive] = []
    taken = _segments(drawn)
    texts = [text_box(t) for q in drawn for t in strokes(q) if isinstance(t, Text)]
    found = []
    told: list[str] = []
    for c in p.checks:
        if c.kind != "diagonal":
            continue
        if abs(float(p.view.forward @ (np.array(c.b) - np.array(c.a)))) > c.value / 2:
            continue  # seen on edge it would read as the size of a side
        a, b = to_paper(view, p.view, np.array([c.a, c.b])).tolist()
        line = Line(points=((a[0], a[1]), (b[0], b[1])), layer="thin")
        out.append(line)
        found.append((np.array(a), np.array(b), words(c.value)))
    taken = np.concatenate([taken, _segments(out)])
    alike = Counter(text for _, _, text in found)
    for a, b, value in found:
        if value not in alike:
            continue
        count = alike.pop(value)
        text = f"{count} × {value}" if count > 1 else value
        at = _clear(a, b, text_width(text, HEIGHT), taken, texts)
        if at is None:
            told += [text] if text not in told else []
            continue
        label = Text(at=at, text=text, height=HEIGHT, align="centre")
        texts.append(text_box(label))
        out.append(label)
    return out, told


def _segments(drawn: Sequence[Primitive]) -> Floats:
    """(k, 2, 2) of all straight lines."""
    out = []
    for q in drawn:
        for t in strokes(q) if isinstance(q, Dimension | Leader) else (q,):
            if isinstance(t, Line):
                pts = [*t.points, t.points[0]] if t.closed else list(t.points)
                out += list(pairwise(pts))
    return np.array(out, dtype=float).reshape(-1, 2, 2)


def _clear(a: Floats, b: Floats, wide: float, taken: Floats, texts: Sequence[Box]) -> Point2 | None:
    """Base point of words beside the line a-b that touch nothing, nearest to a third of the way from its upper end."""
    if b[1] > a[1]:
        a, b = b, a
    d = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    n = np.array([-d[1], d[0]])
    best: tuple[float, Point2] | None = None
    for share in np.linspace(0.12, 0.88, 39):
        for side in (-1.0, 1.0):
            off = abs(n[0]) * wide / 2 + abs(n[1]) * HEIGHT / 2 + 0.9
            c = a + (b - a) * share + n * side * off
            box = (c[0] - wide / 2 - 0.4, c[1] - HEIGHT / 2 - 0.8, c[0] + wide / 2 + 0.4, c[1] + HEIGHT / 2 + 0.4)
            if best is not None and abs(share - 0.3) >= best[0] - 1e-9:
                continue
            if any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in texts):
                continue
            if not cuts(taken, box).any():
                best = abs(share - 0.3), (float(c[0]), float(c[1]) - HEIGHT / 2)
    return best[1] if best is not None else None
