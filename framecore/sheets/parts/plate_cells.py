"""One flat plate on paper: words over it, its edge, its face with sizes, and what is drilled, cut and notched beside it."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.sheets.drawing.dims import Span, lanes_needed, overhang, overlaps, stack
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Leader, Line, Point2, Primitive, Sheet, Text, ViewPlacement
from framecore.sheets.drawing.packing import moved
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import INCH_SCALES, METRIC_SCALES, SMALL, choose_scale
from framecore.sheets.parts.outline import Rim, rim_of
from framecore.sheets.parts.part import Callout, Part, callouts, edge_view, face_view
from framecore.sheets.words import length_words
from framecore.shop._over import in_the_way
from framecore.shop.model import ShopPlate
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.units import POUND

# Longest side on paper that is aimed at, mm: of plates up to ``LITTLE`` mm long, and of others.
LITTLE = 110.0
BIGGEST, BIGGEST_SMALL = (85.0, 125.0), (50.0, 85.0)
APART = 10.0  # between the edge view and the face, mm; arrows and words of the thickness stand there
TITLE, ROW = 3.5, 4.2
DROP = 9.0  # mm that sizes below stand lower where words of both sides meet in the corner
ASIDE = 7.0  # from the part to its words on the right, mm
LEAST_EDGE = 1.0  # a thinner edge view shows nothing, mm
OUT = 3.0  # a line of symmetry reaches past the part, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A drawing with its words, its upper left corner at (0, 0), in a box of ``size`` mm."""

    mark: str
    size: Point2
    view: ViewPlacement | None
    primitives: tuple[Primitive, ...]

    @property
    def scale_text(self) -> str:
        """Scale in words: "1:5", "2:1"."""
        return scale_words(self.view.scale) if self.view else ""

    def at(self, corner: Point2) -> tuple[ViewPlacement | None, list[Primitive]]:
        """Return the view and its ink with the upper left corner at ``corner``."""
        x, y = corner
        view = self.view
        if view:
            box = (x, y - self.size[1], x + self.size[0], y)
            view = ViewPlacement(name=view.name, at=(view.at[0] + x, view.at[1] + y), scale=view.scale, box=box)
        return view, [moved(p, corner) for p in self.primitives]


def scale_words(s: float) -> str:
    """Return a scale as it is read: "2:1" or "1:5"."""
    return f"{s:g}:1" if s > 1 else f"1:{round(1 / s)}"


def scales(longest: float, aim: float, inch: bool) -> list[int]:
    """Return the n of 1:n in the order they are tried: the one aimed at, larger drawings, then smaller ones."""
    first = choose_scale(longest / aim, inch)
    series = INCH_SCALES if inch else METRIC_SCALES
    return [first, *(n for n in reversed(series) if n < first), *(n for n in series if n > first)]


def clear(cell: Cell) -> bool:
    """Whether no word of a cell touches another or a line of a size."""
    return not overlaps(Sheet(title="", size=cell.size, primitives=cell.primitives))


def facts(stand: Stand, kind: ShopPlate, thickness: float, n: int) -> tuple[str, ...]:
    """Return the rows under the mark: how many, how thick, of what, how heavy, and where it goes."""
    words = length_words(stand)
    inch = stand.brief.units != "metric"
    mass = f"{kind.mass / POUND:.2f} lb" if inch else f"{kind.mass:.2f} kg"
    each = " each" if len(kind.names) > 1 else ""
    return (
        f"{len(kind.names)} off, {words(thickness)} thick, {'steel' if kind.steel else 'wood'}, scale 1:{n}",
        f"{mass}{each}; goes into {where(stand, kind)}",
    )


def deeper(stand: Stand, kind: ShopPlate) -> str:
    """Return what is notched beyond the drawing, where a weld stands in the way of a sheet; "" nothing."""
    own, asked = [stand.frame.plate(n) for n in kind.names], dict[str, set[str]]()
    for w in work_of(stand).welds:
        what = w.why.removeprefix(f"notch the {kind.label} ")
        if what != w.why and any(in_the_way(w, p) for p in own):
            asked.setdefault(what.removesuffix(" of it"), set()).add(w.mark)
    return "; ".join(f"notch it deeper than drawn, {what} of {', '.join(sorted(marks))}" for what, marks in asked.items())


def where(stand: Stand, kind: ShopPlate) -> str:
    """Return the assemblies a kind of plate is put into, with how many each takes where there are several."""
    counts: dict[str, int] = {}
    for part in work_of(stand).assemblies:
        count = sum(n in kind.names for n in part.plates)
        if count:
            name = "the stand" if part.name == "stand" else part.name
            if not part.members and not part.takes and part.name == stand.frame.plate(kind.names[0]).sheet:
                # What is folded by itself goes on from there.
                name = next((a.name for a in work_of(stand).assemblies if part.name in a.takes), name)
                name = f"{'the ' if name == 'stand' else ''}{name}, folded first"
            counts[name] = counts.get(name, 0) + count
    if len(counts) == 1:
        return next(iter(counts))
    return ", ".join(f"{name} ({count})" for name, count in counts.items())


def plate_cell(
    stand: Stand, kind: ShopPlate, part: Part, paper: str, room: Point2, larger_than: Cell | None = None, share: float = 1.0,
) -> Cell | None:  # fmt: skip
    """Draw a plate at the scale aimed at, or at the next at which its words stand clear of each other.

    Parameters
    ----------
    room : width and height of what fits a page, mm
    larger_than : draw it one scale larger than this; None comes back where that is not clear
    share : of the size aimed at, where smaller drawings save a page
    """
    inch, longest = stand.brief.units != "metric", max(part.size)
    if larger_than is None:
        aim = (BIGGEST_SMALL if paper in SMALL else BIGGEST)[longest > LITTLE]
        order = scales(longest, aim * share, inch)
    else:
        series = INCH_SCALES if inch else METRIC_SCALES
        order = [max(n for n in series if n < 1 / larger_than.view.scale - 1e-6)] if larger_than.view else []
    best: Cell | None = None
    cell: Cell | None = None
    for n in order:
        if part.size[0] / n > room[0] or part.size[1] / n > room[1]:
            continue
        for drop in (0.0, DROP):
            cell = _drawn(stand, kind, part, n, room[0], drop)
            fits = cell.size[0] <= room[0] and cell.size[1] <= room[1]
            if fits and clear(cell):
                return cell
            if best is None and fits:
                best = cell
    return None if larger_than else best or cell


def head(title: str, rows: tuple[str, ...], note: str, wide: float, most: float) -> tuple[str, ...]:
    """Return title and rows, broken where they are wider than the drawing and 70 mm."""
    most = min(max(wide, 70.0, text_width(title, TITLE, True), *(text_width(r, 2.5) for r in rows[:1])), most)
    return (title, *(line for row in (*rows, note) if row for line in wrap(row, most, 2.5)))


def written(lines: tuple[str, ...]) -> tuple[list[Primitive], float, float]:
    """Write title and rows from (0, 0) down; also how wide they are and the level under them."""
    out: list[Primitive] = [Text(at=(0.0, -TITLE), text=lines[0], height=TITLE, bold=True)]
    y, wide = -TITLE - 3.0, text_width(lines[0], TITLE, True)
    for row in lines[1:]:
        out.append(Text(at=(0.0, y - 2.5), text=row, height=2.5))
        wide = max(wide, text_width(row, 2.5))
        y -= ROW
    return out, wide, y


def _drawn(stand: Stand, kind: ShopPlate, part: Part, n: int, most: float, drop: float) -> Cell:
    words, s, rim = length_words(stand), 1 / n, rim_of(part.outline)
    w, h, t = part.size[0] * s, part.size[1] * s, part.thickness * s
    edge = t >= LEAST_EDGE
    left, below = _spans(part, rim, (0.0, 0.0), s, edge)
    over = overhang(below, words, 0.0, w)
    aside = max(over[0], lanes_needed(left, "left", words), OUT if rim.middle_y else 0.0)
    calls = callouts(part, words)
    beside = max([0.0, *(ASIDE + 3.0 + text_width(c.text, 2.5) for c in calls)])
    wide = aside + w + max(beside, over[1])
    rows = facts(stand, kind, part.thickness, n)
    mirror = _mirror_words(rim)
    note = "; ".join(x for x in (kind.note, mirror, deeper(stand, kind)) if x)
    out, told, y = written(head(f"{kind.mark}   {kind.label}", rows, note, wide, most))
    # Words of an upright size that is too short for them stand past its end.
    past = overhang([Span((q.a[1], q.a[0]), (q.b[1], q.b[0]), q.value) for q in left], words, 0.0, h)
    y -= _over(t, words(part.thickness)) + t + APART if edge else 2.0 + max(OUT, past[1])
    face = (aside, y - h)
    out += face_view(part, face, s)
    if edge:
        out += edge_view(part, (face[0], y + APART), s)
    out += _middles(rim, face, (w, h))
    left, below = _spans(part, rim, face, s, edge)
    out += stack(left, "left", face[0], words)
    out += stack(below, "below", face[1] - drop, words)
    out += call_lines(calls, face, w, s)
    size = (max(wide, told), h - y + drop + max(past[0] - drop, lanes_needed(below, "below", words)) + 2.0)
    view = ViewPlacement(name=kind.mark, at=face, scale=s, box=(0.0, -size[1], size[0], 0.0))
    return Cell(mark=kind.mark, size=size, view=view, primitives=tuple(out))


def _over(thick: float, text: str) -> float:
    """Room above the edge view: arrows and words of the thickness stand there where they do not fit into it."""
    wide = text_width(text, 2.5)
    return 4.0 if wide + 1.0 <= thick else 7.8 + wide


def _mirror_words(rim: Rim) -> str:
    if rim.middle_x and rim.middle_y:
        return "alike on both sides of both middle lines"
    return "alike on both sides of the middle line" if rim.middle_x or rim.middle_y else ""


def _middles(rim: Rim, face: Point2, size: Point2) -> list[Primitive]:
    (x, y), (w, h) = face, size
    out: list[Primitive] = []
    if rim.middle_x:
        out.append(Line(points=((x + w / 2, y - OUT), (x + w / 2, y + h + OUT)), layer="centre"))
    if rim.middle_y:
        out.append(Line(points=((x - OUT, y + h / 2), (x + w + OUT, y + h / 2)), layer="centre"))
    return out


def _spans(part: Part, rim: Rim, at: Point2, s: float, edge: bool) -> tuple[list[Span], list[Span]]:
    """Sizes left of and below the face whose lower left corner lies at ``at``: of rim and holes, over all, thickness."""
    x, y = at
    h, t = part.size[1], part.thickness
    left: list[Span] = []
    if edge:
        base = y + h * s + APART
        left.append(Span((x, base), (x, base + t * s), t))
    below: list[Span] = []
    for k, spans, rims in ((1, left, rim.up), (0, below, rim.across)):
        zero = min((p for p in part.outline if p[k] < 0.05), key=lambda p: p[1 - k])
        last = min((p for p in part.outline if p[k] > part.size[k] - 0.05), key=lambda p: p[1 - k])
        places: dict[float, Point2] = {}
        for p in (*(hole.at for hole in part.holes), *rims):
            own = (p[k], p[1 - k])
            key = round(p[k], 1)
            places[key] = min(places.get(key, own), own, key=lambda q: q[1])
        for place, other in sorted(places.values()):
            if 0.5 < place < part.size[k] - 0.05:
                tip = (x + place * s, y + other * s) if k == 0 else (x + other * s, y + place * s)
                spans.append(Span((x + zero[0] * s, y + zero[1] * s), tip, place))
        spans.append(Span((x + zero[0] * s, y + zero[1] * s), (x + last[0] * s, y + last[1] * s), part.size[k]))
    return left, below


def call_lines(calls: tuple[Callout, ...], face: Point2, wide: float, s: float) -> list[Primitive]:
    """Words right of a face ``wide`` mm across, each with its leader, from below upwards."""
    x = face[0] + wide + ASIDE - 2.0
    out: list[Primitive] = []
    low = -1e9
    for call in sorted(calls, key=lambda c: (c.at[1], c.at[0])):
        y = max(face[1] + call.at[1] * s, low)
        low = y + 5.0
        centre = (face[0] + call.at[0] * s, face[1] + call.at[1] * s)
        reach = ((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5
        share = min(call.radius * s / reach, 1.0) if reach > 0 else 0.0
        tip = (centre[0] + (x - centre[0]) * share, centre[1] + (y - centre[1]) * share)
        out.append(Leader(points=(tip, (x, y), (x + 2.0, y)), text=call.text, height=2.5))
    return out
