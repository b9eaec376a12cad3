"""An assembly drawn apart: what it is put together from moves out along the way it comes in, three-quarter view."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import EndCut, PlateRole, Vector
from framecore.sheets.assemblies.assembly_data import names_of
from framecore.sheets.assemblies.part_views import look_at, part_ink
from framecore.sheets.drawing.hidden import pictorial
from framecore.sheets.drawing.labels import OFF, TAIL, Tip, beside
from framecore.sheets.drawing.model import Leader, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.drawing.tips import tips_of
from framecore.sheets.parts.part_placing import body, placed_in
from framecore.shop.work import Assembly, Work
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]
HEIGHT = 2.5
FAR = 0.45  # of how far it lies from the middle, a part moves out farther
LEAST = 0.12  # of the size of the whole that it moves at least
CAPTION = 6.0
COVERS = (PlateRole.TOP, PlateRole.PANEL, PlateRole.BACK)


def apart(stand: Stand, work: Work, assembly: Assembly) -> tuple[Stand, dict[str, tuple[str, ...]]]:
    """Return the stand with the assembly's parts moved out, and the parts of each assembly it takes."""
    layout, frame = stand.solids.layout, stand.frame
    groups = {name: names_of(next(a for a in work.assemblies if a.name == name), work) for name in assembly.takes}
    flats = {a.name: a.flat for a in work.assemblies}
    index = {name: k for k, name in enumerate(layout.parts)}
    vertices = stand.solids.vertices.copy()
    every = np.isin(layout.vertex_part, [index[n] for n in names_of(assembly, work) if n in index])
    low, high = vertices[every].min(axis=0), vertices[every].max(axis=0)
    size, middle = high - low, (low + high) / 2
    moved: dict[str, Floats] = {}
    step = LEAST * float(size.max())
    rings = bool(groups) and all(f is not None and abs(f[2]) > 0.9 for f in (flats[name] for name in groups))
    if rings:
        # What is set round rings from outside moves out from their corners, and the lower ring stays where it is: a leg
        # that only stood over it would seem to stand on it.
        for name in (n for n in (*assembly.members, *assembly.plates) if n in index):
            own = layout.vertex_part == index[name]
            off = (vertices[own].min(axis=0) + vertices[own].max(axis=0)) / 2 - middle
            off[2] = 0.0
            moved[name] = FAR * off + np.where(np.abs(off) > 1.0, np.sign(off) * step, 0.0)
            vertices[own] += moved[name]
    for name, parts in groups.items():
        own = np.isin(layout.vertex_part, [index[n] for n in parts if n in index])
        if not own.any():
            continue
        box = vertices[own].min(axis=0), vertices[own].max(axis=0)
        off = (box[0] + box[1]) / 2 - middle
        flat = flats[name]
        k = int(np.argmax(np.abs(flat))) if flat is not None else int(np.argmax(np.abs(off) / (size + 1.0)))
        if abs(off[k]) < 1.0 and flat is not None and len(groups) > 2:
            continue  # the one in the middle stays
        if rings and off[2] < 0.0:
            continue
        way = np.zeros(3)
        sign = 1.0 if off[k] >= 0 else -1.0
        way[k] = FAR * off[k] + sign * step
        vertices[own] += way
        moved |= dict.fromkeys(parts, way)
    members = tuple(
        replace(m, start=_shift(m.start, moved[m.name]), end=_shift(m.end, moved[m.name])) if m.name in moved else m
        for m in frame.members
    )
    plates = tuple(replace(p, origin=_moved(p.origin, moved[p.name])) if p.name in moved else p for p in frame.plates)
    solids = replace(stand.solids, vertices=vertices)
    return replace(stand, frame=replace(frame, members=members, plates=plates), solids=solids), groups


def _shift(end: EndCut, way: Floats) -> EndCut:
    return replace(end, point=_moved(end.point, way))


def _moved(point: Vector, way: Floats) -> Vector:
    x, y, z = point
    return x + float(way[0]), y + float(way[1]), z + float(way[2])


def exploded(stand: Stand, work: Work, assembly: Assembly, box: Box) -> tuple[ViewPlacement, list[Primitive]]:
    """Draw an assembly apart in ``box`` with its new parts' marks and the names of the assemblies it takes."""
    moved, groups = apart(stand, work, assembly)
    own = (*assembly.members, *assembly.plates)
    covers = {p.name for p in stand.frame.plates if p.role in COVERS}
    drawn = [n for n in names_of(assembly, work) if n not in covers]
    seen = look_at(moved, drawn, pictorial())
    side = max([9.0, *(text_width(n, HEIGHT) for n in groups)]) + OFF + TAIL + 2.0
    room = (box[2] - box[0] - 2 * side, box[3] - box[1] - CAPTION - 8.0)
    scale = min(room[0] / seen.size[0], room[1] / seen.size[1])
    place = placed_in(seen, (box[0] + side, box[1] + CAPTION + 4.0, box[2] - side, box[3] - 4.0), scale)
    place = ViewPlacement(name=f"{assembly.name}, drawn apart", at=place.at, scale=scale, box=box)
    out: list[Primitive] = list(part_ink(seen, place.at, scale))
    marked: dict[str, tuple[str, ...]] = {}
    for name in own:
        mark = stand.shop.piece_of.get(name)
        if mark is not None and name in drawn:
            marked[mark] = (*marked.get(mark, ()), name)
    tips = tips_of(moved, marked | groups, seen, place)
    tips |= {name: _outermost(tips[name]) for name in groups}
    lines = seen.drawn.visible * scale + np.asarray(place.at)
    found = beside({k: v for k, v in tips.items() if v}, body(seen, place), height=HEIGHT, lines=lines)
    out += [_named(leader, groups) for leader in found]
    left = sorted({stand.shop.piece_of[n] for n in own if n in covers and n in stand.shop.piece_of})
    words = "drawn apart, not to scale" + (f"; {', '.join(left)} left off" if left else "")
    under = body(seen, place)[1] - CAPTION + 1.0
    out.append(Text(at=((box[0] + box[2]) / 2, under), text=words, height=HEIGHT, align="centre"))
    return place, out


def _outermost(points: Sequence[Tip]) -> list[Tip]:
    """The points farthest left and right: names point at the outside of what they name."""
    ordered = sorted(points)
    return [ordered[0], ordered[-1]] if ordered else []


def _named(leader: Leader, groups: dict[str, tuple[str, ...]]) -> Leader:
    return replace(leader, circled=leader.text not in groups)
