"""The weld map: assembly by assembly every seam with its mark, its place in the order, its tacks and its symbol."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framecore.sheets.assemblies.assembly_kinds import kinds
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Primitive, Text, ViewPlacement
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, Box, Draft, drawing_space
from framecore.sheets.welds.weld_choice import WeldView, views_of
from framecore.sheets.welds.weld_key import overview
from framecore.sheets.welds.weld_seams import Seams, seams_of
from framecore.sheets.welds.weld_table import Row, pull_lines, put_table, table_rows
from framecore.sheets.welds.weld_views import draw
from framecore.shop.work import Assembly, Work
from framecore.stand.model import Stand
from framecore.stand.work import work_of

EDGE = 5.0
SIDE, OVER, BELOW = 18.0, 7.0, 16.0  # mm beside a view for its marks, over it for numbers, below for them and what it is
LABEL = 1.7  # heights of the lettering from line to line of a label
WORTH = 1.3  # times as large, views on small paper are worth pages of their own
READABLE = 8.0  # mm on paper that half of all seams should reach, so that their numbers find room


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the weld map; none where nothing is welded."""
    work = work_of(stand)
    if not work.welds:
        return ()
    height = 2.0 if paper in SMALL else 2.5
    found = grouped(stand, work)
    out = list(overview(stand, work, paper, height, [(g.one.name, *(t for t, _ in g.twins)) for g in found]))
    for g in found:
        out += _assembly(stand, work, g, paper, height)
    return tuple(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """An assembly to draw, and those that are welded the same way: their names, each "like" it or its "mirror" image."""

    one: Assembly
    twins: tuple[tuple[str, str], ...]
    seams: Seams


def grouped(stand: Stand, work: Work) -> list[Group]:
    """Assemblies that have welds, those that are alike drawn once."""
    out: list[Group] = []
    for kind in kinds(stand, work):
        seams = seams_of([w for w in work.welds if w.assembly == kind.assembly.name])
        if seams.welds:
            out.append(Group(one=kind.assembly, twins=tuple((a.name, how) for _, a, how in kind.alike), seams=seams))
    return out


def _assembly(stand: Stand, work: Work, g: Group, paper: str, height: float) -> list[Draft]:
    """One page with views and table, or views and table on pages of their own, whichever shows the seams best."""
    views = views_of(stand, work.assemblies, g.one, g.seams)
    title = f"{g.one.name} and {len(g.twins)} alike"
    if len(g.twins) < 2:
        title = " and ".join((g.one.name, *(t for t, _ in g.twins)))
    typical = float(np.median(np.linalg.norm(g.seams.ends - g.seams.starts, axis=1)))
    best = _best(stand, work, g, views, paper, height, (True, True))
    if best is not None and (best.scale * typical >= READABLE or (len(views) == 1 and paper not in SMALL)):
        return [_draft(title, *_set(stand, g, views, best.room, height), best.words)]
    split = [_best(stand, work, g, [v], paper, height, (n == 0, n == len(views) - 1)) for n, v in enumerate(views)]
    if paper in SMALL:
        ways = [max(p.scale if p else 0.0, best.scale if best else 0.0) for p in split]
        alone = [_fit([v], _alone(paper))[0] for v in views]
        if any(s * typical < READABLE and a > WORTH * s for s, a in zip(ways, alone, strict=True)):
            return _apart(stand, work, g, views, paper, height, title, typical)
    if all(p is not None for p in split) and (best is None or min(p.scale for p in split if p) > 1.2 * best.scale):
        return [
            _draft(f"{title} {n}", *_set(stand, g, [v], p.room, height), p.words)
            for n, (v, p) in enumerate(zip(views, split, strict=True), 1)
            if p is not None
        ]
    if best is not None:
        return [_draft(title, *_set(stand, g, views, best.room, height), best.words)]
    return _apart(stand, work, g, views, paper, height, title, typical)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """A page that holds views and words: how large, where the views stand, the words as set."""

    scale: float
    room: Box
    words: list[Primitive]


def _best(
    stand: Stand, work: Work, g: Group, views: Sequence[WeldView], paper: str, height: float, ends: tuple[bool, bool]
) -> _Page | None:
    """Divide a page so that the views are largest; None where the words leave no room for them."""
    rows = table_rows(stand, [g.seams.welds[k] for v in views for k in v.numbered], height)
    best: _Page | None = None
    for ways in _shared(paper):
        # The room for words grows from one to the next: the first in which they fit is looked for by halves.
        low, high = 0, len(ways)
        while low < high:
            middle = (low + high) // 2
            room, columns = ways[middle]
            flow = Flow(columns)
            if _words(stand, work, g, rows, flow, height, ends) and len(flow.pages) == 1:
                high = middle
                scale = _fit(views, room)[0]
                if best is None or scale > best.scale:
                    best = _Page(scale=scale, room=room, words=flow.pages[0])
            else:
                low = middle + 1
    return best


def _apart(
    stand: Stand, work: Work, g: Group, views: Sequence[WeldView], paper: str, height: float, title: str, typical: float
) -> list[Draft]:
    """Views on pages of their own, then the words."""
    alone = _alone(paper)
    split = [[v] for v in views] if _fit(views, alone)[0] * typical < READABLE else [list(views)]
    out = []
    for n, some in enumerate(split, 1):
        more = f" {n}" if len(split) > 1 else ""
        out.append(_draft(title + more, *_set(stand, g, some, alone, height), []))
    flow = Flow([(alone[0], alone[1], alone[2] - alone[0], alone[3])])
    _words(stand, work, g, table_rows(stand, g.seams.welds, height), flow, height, (True, True))
    several = len(flow.pages) > 1
    lists = [_draft(f"{title}, list{f' {n}' if several else ''}", [], [], p) for n, p in enumerate(flow.pages, 1)]
    return out + lists


def _draft(title: str, drawn: list[Primitive], places: list[ViewPlacement], words: list[Primitive]) -> Draft:
    named = f"welds of {'the ' if title.startswith('stand') else ''}{title}"
    return Draft(title=named, kind="Weld map", primitives=(*drawn, *words), views=tuple(places), scale_text="none")


def _inner(paper: str) -> Box:
    x0, y0, x1, y1 = drawing_space(paper)
    return x0 + EDGE, y0 + EDGE, x1 - EDGE, y1 - EDGE


def _alone(paper: str) -> Box:
    """Room of a page without words, over the title block."""
    x0, y0, x1, y1 = _inner(paper)
    return x0, y0 + TITLE_HEIGHT + 4.0 - EDGE, x1, y1


Columns = list[tuple[float, float, float, float]]


def _shared(paper: str) -> list[list[tuple[Box, Columns]]]:
    """Ways to divide a page between views and words, the larger room for views first: words right, or words below."""
    x0, y0, x1, y1 = _inner(paper)
    low, split = y0 + TITLE_HEIGHT + 4.0 - EDGE, x1 + EDGE - TITLE_WIDTH
    right: list[tuple[Box, Columns]] = []
    below: list[tuple[Box, Columns]] = []
    for wide in (130.0, 150.0, TITLE_WIDTH - EDGE):
        edge = x1 - wide
        box = (x0, y0, min(edge, split) - 6.0, y1) if wide == TITLE_WIDTH - EDGE else (x0, low, edge - 6.0, y1)
        if box[2] - box[0] > 70.0:
            right.append((box, [(edge, low, wide, y1)]))
    if paper not in SMALL:
        for top in np.arange(low + 20.0, y1 - 80.0, 8.0).tolist():
            below.append(((x0, top + 3.0, x1, y1), [(x0, y0, split - 6.0 - x0, top), (split, low, x1 - split, top)]))
    return [right, below]


def _words(
    stand: Stand, work: Work, g: Group, rows: Sequence[Row], flow: Flow, height: float, ends: tuple[bool, bool]
) -> bool:
    """Set the words of a page; False where the columns are too narrow.

    ``ends``: whether it is the first of its assembly (how it is laid) and the last (shrinkage).
    """
    name = g.one.name[:1].upper() + g.one.name[1:]
    first, last = ends
    flow.put(6.0, lambda x, y, w: (Text(at=(x, y - 4.0), text=name, height=3.5, bold=True),), keep=12.0)
    if first:
        flow.line(g.one.text, height)
        for twin, how in g.twins:
            other = twin[:1].upper() + twin[1:]
            if how == "like":
                flow.line(f"{other} is made like it: same marks, same numbers.", height, bold=True)
            else:
                flow.line(f"{other} is its mirror image: same marks, same numbers.", height, bold=True)
        total = sum(w.length for w in g.seams.welds)
        count = len(g.seams.welds)
        size = f"{total / 1000:.2f} m" if stand.brief.units == "metric" else f"{total / 304.8:.1f} ft"
        seams = f"{'1 weld' if count == 1 else f'{count} welds'}, {size}{' each' if g.twins else ''}"
        flow.line(f"{seams}. Tack every cross, measure, then weld by the numbers.", height, bold=True)
    else:
        flow.line("The numbers run on over all pages of it.", height)
    flow.gap(1.5)
    if not put_table(stand, rows, flow, height):
        return False
    flow.gap(2.0)
    for line in pull_lines(stand, work, g.one) if last else ():
        # The next column may be narrower, so a line goes there whole.
        if flow.room() < 1.6 * height * len(wrap(line, flow.width - 4.0, height)):
            flow.next_column()
        flow.line(line, height)
    return True


def _fit(views: Sequence[WeldView], room: Box) -> tuple[float, int]:
    """Return the scale at which all views stand in a room and in how many columns."""
    best = (0.0, 1)
    wide, high = room[2] - room[0], room[3] - room[1]
    for columns in range(1, len(views) + 1):
        rows = [views[k : k + columns] for k in range(0, len(views), columns)]
        across = max(sum(v.seen.size[0] for v in row) for row in rows)
        up = sum(max(v.seen.size[1] for v in row) for row in rows)
        scale = min((wide - columns * 2 * SIDE) / across, (high - len(rows) * (OVER + BELOW)) / up)
        if scale > best[0]:
            best = scale, columns
    return max(best[0], 0.005), best[1]


def _set(
    stand: Stand, g: Group, views: Sequence[WeldView], room: Box, height: float
) -> tuple[list[Primitive], list[ViewPlacement]]:
    """Set views in rows, spread over the room, and draw them."""
    scale, columns = _fit(views, room)
    rows = [views[k : k + columns] for k in range(0, len(views), columns)]
    out: list[Primitive] = []
    places = []
    highs = [max(v.seen.size[1] for v in row) * scale + OVER + BELOW for row in rows]
    slack = max(room[3] - room[1] - sum(highs), 0.0) / len(rows)
    top = room[3]
    for row, tall in zip(rows, highs, strict=True):
        wides = [v.seen.size[0] * scale + 2 * SIDE for v in row]
        spare = max(room[2] - room[0] - sum(wides), 0.0) / len(row)
        left = room[0]
        bottom = top - tall - slack
        for v, wide in zip(row, wides, strict=True):
            right = left + wide + spare
            label = wrap(v.label, right - left - 4.0, height)
            b = v.seen.box
            half_high = (b[3] - b[1]) / 2 * scale
            middle = ((left + right) / 2, (top - OVER + bottom + BELOW) / 2)
            at = (middle[0] - (b[0] + b[2]) / 2 * scale, middle[1] - (b[1] + b[3]) / 2 * scale)
            under = middle[1] - half_high - BELOW + LABEL * height * len(label)
            place = ViewPlacement(name=v.seen.view.name, at=at, scale=scale, box=(left, under, right, top))
            places.append(place)
            out += draw(stand, g.one, v, g.seams, place, height)
            for n, line in enumerate(label, 1):
                out.append(Text(at=(middle[0], under - LABEL * height * n), text=line, height=height, align="centre"))
            left = right
        top = bottom
    return out, places
