"""Every flat part as a DXF at full size, each kind once; folded sheets as they are before folding."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from framecore.sheets.drawing.dxf import lettering, new_document, save
from framecore.sheets.drawing.model import Point2
from framecore.sheets.parts.part import PartHole, part_of
from framecore.sheets.words import length_words
from framecore.shop.flat import flat_pattern
from framecore.stand.model import Stand

# name, linetype, colour number, weight in hundredths of a millimetre
LAYERS = (("OUTLINE", "Continuous", 7, 35), ("HOLES", "Continuous", 1, 35), ("BEND", "CENTER", 3, 25),
          ("MARK", "Continuous", 8, 25))  # fmt: skip
TEXT = 5.0  # height of the words under a part, mm
LEAST_SLOT = 0.05  # a hole longer than round by less is round, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class BendLine:
    """The middle line of a bend, with what to do there in words."""

    start: Point2
    end: Point2
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPart:
    """A part as it is cut: outline anticlockwise from the lower left corner of its box, mm.

    ``words`` stand beside it: mark and count, size and thickness, how it is folded.
    """

    mark: str
    outline: tuple[Point2, ...]
    holes: tuple[PartHole, ...]
    bends: tuple[BendLine, ...]
    thickness: float
    count: int
    words: tuple[str, ...]


def flat_parts(stand: Stand) -> tuple[FlatPart, ...]:
    """Return every kind of plate of the stand, wood as well, in order of mark."""
    return tuple(_flat(stand, k) for k in range(len(stand.shop.plates)))


def _flat(stand: Stand, k: int) -> FlatPart:
    kind, words = stand.shop.plates[k], length_words(stand)
    plate = stand.frame.plate(kind.names[0])
    bends: tuple[BendLine, ...] = ()
    told: tuple[str, ...] = ()
    if plate.sheet:
        flat = flat_pattern([p for p in stand.frame.plates if p.sheet == plate.sheet], stand.frame.holes)
        low = (min(p[0] for p in flat.outline), min(p[1] for p in flat.outline))
        outline = tuple((a - low[0], b - low[1]) for a, b in flat.outline)
        holes = tuple(
            PartHole(at=(h.at[0] - low[0], h.at[1] - low[1]), diameter=h.diameter, depth=plate.thickness, tapped=h.tapped,
                     slot=h.slot)
            for h in flat.holes
        )  # fmt: skip
        bends = tuple(
            BendLine(
                start=(b.start[0] - low[0], b.start[1] - low[1]), end=(b.end[0] - low[0], b.end[1] - low[1]),
                words=f"{'up' if b.up else 'down'} {math.degrees(b.angle):.0f}°, inside radius {words(b.radius)}",
            )
            for b in flat.bends
        )  # fmt: skip
        if flat.bends:
            first = flat.bends[0]
            told = (
                f"bend allowance {first.allowance:.2f} mm, deduction {first.deduction:.2f} mm, K {flat.k:g}",
                "inside radius and K are common practice: bend a trial strip first",
            )
    else:
        part = part_of(stand.frame, plate)
        outline, holes = part.outline, part.holes
    size = f"{words(kind.length)} × {words(kind.width)} × {words(plate.thickness)} thick"
    unit = "drawn in mm" if stand.brief.units == "metric" else "drawn in mm, sizes in words in inches"
    tapped = dict.fromkeys(h.tapped for h in holes if h.tapped)
    deep = [h for h in holes if h.depth < plate.thickness - LEAST_SLOT]
    notes = (
        *((f"holes for {', '.join(tapped)} threads at the size of the tap drill",) if tapped else ()),
        *((f"{len(deep)} holes do not go through: do not cut them",) if deep else ()),
    )
    return FlatPart(
        mark=kind.mark, outline=outline, holes=holes, bends=bends, thickness=plate.thickness, count=len(kind.names),
        words=(f"{kind.mark}  {kind.label}, {len(kind.names)} off", f"{size}, {'steel' if kind.steel else 'wood'}",
               *told, *notes, unit),
    )  # fmt: skip


def write_part_dxf(part: FlatPart, target: str | Path | IO[str]) -> None:
    """Write one part at full size in mm: outline, holes, bend lines and words on a layer each.

    Blind holes stand on MARK, so that nothing on OUTLINE and HOLES is cut that should not be.

    Raises
    ------
    OSError
        the path cannot be written.
    """
    doc = new_document()
    for name, dash, colour, weight in LAYERS:
        doc.layers.add(name, linetype=dash, color=colour, lineweight=weight)
    space = doc.modelspace()
    space.add_lwpolyline(part.outline, close=True, dxfattribs={"layer": "OUTLINE"})
    for hole in part.holes:
        _hole(space, hole, "HOLES" if hole.depth >= part.thickness - LEAST_SLOT else "MARK")
    style = {"layer": "MARK", "style": "drawing"}
    for bend in part.bends:
        space.add_line(bend.start, bend.end, dxfattribs={"layer": "BEND"})
        turn = math.atan2(bend.end[1] - bend.start[1], bend.end[0] - bend.start[0])
        if not -math.pi / 2 + 1e-9 < turn <= math.pi / 2 + 1e-9:  # words stand upright or read from the right
            turn += math.pi
        x, y = (bend.start[0] + bend.end[0]) / 2, (bend.start[1] + bend.end[1]) / 2
        at = (x - math.sin(turn) * 2.0, y + math.cos(turn) * 2.0)
        space.add_text(lettering(bend.words), height=TEXT, rotation=math.degrees(turn), dxfattribs=style).set_placement(at)
    for k, row in enumerate(part.words):
        space.add_text(lettering(row), height=TEXT, dxfattribs=style).set_placement((0.0, -(k + 2) * 1.6 * TEXT))
    save(doc, target)


def _hole(space: Any, hole: PartHole, layer: str) -> None:
    (x, y), (dx, dy), r = hole.at, hole.slot, hole.diameter / 2
    half = math.hypot(dx, dy)
    if 2 * half < LEAST_SLOT:
        space.add_circle(hole.at, r, dxfattribs={"layer": layer})
        return
    nx, ny = -dy / half * r, dx / half * r
    # A closed line with two half circles: a bulge of 1 is half a turn anticlockwise.
    points = [
        (x - dx - nx, y - dy - ny, 0.0), (x + dx - nx, y + dy - ny, 1.0), (x + dx + nx, y + dy + ny, 0.0),
        (x - dx + nx, y - dy + ny, 1.0),
    ]  # fmt: skip
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer})
