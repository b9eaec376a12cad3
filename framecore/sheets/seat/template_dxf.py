"""The drilling template as one DXF at full size, for whoever has a plotter or a laser at hand."""

from __future__ import annotations

from pathlib import Path
from typing import IO

from framecore.sheets.drawing.dxf import lettering, new_document, save
from framecore.sheets.seat.pattern import pattern_of
from framecore.sheets.seat.template import crosses
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

# name, linetype, colour number, weight in hundredths of a millimetre
LAYERS = (("HOLES", "Continuous", 1, 50), ("CENTRES", "CENTER", 3, 25), ("OUTLINE", "Continuous", 8, 25),
          ("TEXT", "Continuous", 7, 25))  # fmt: skip


def write_template_dxf(stand: Stand, target: str | Path | IO[str]) -> bool:
    """Write the machine's holes, in mm from the pattern's datum; x to the right, y to the back.

    Returns
    -------
    bool
        False where no machine is bolted down; nothing is written then.

    Raises
    ------
    OSError
        the path cannot be written.
    """
    pattern = pattern_of(stand)
    if pattern is None:
        return False
    doc = new_document()
    for name, dash, colour, weight in LAYERS:
        doc.layers.add(name, linetype=dash, color=colour, lineweight=weight)
    space, words = doc.modelspace(), length_words(stand)

    def text(at: tuple[float, float], what: str, height: float) -> None:
        space.add_text(lettering(what), height=height, dxfattribs={"layer": "TEXT", "style": "drawing"}).set_placement(at)

    for name, points in pattern.outlines:
        space.add_lwpolyline(points, close=True, dxfattribs={"layer": "OUTLINE"})
        text((points[0][0] + 1.0, points[0][1] + 1.0), name, 2.0)
    for hole in pattern.holes:
        (x, y), cut, (rx, ry) = hole.at, hole.cut, hole.cut.reach
        sides = cut.sides(hole.at)
        if sides:
            # Round ends as half circles: a bulge of 1 on the corner where each begins.
            path = [(*p, float(k)) for side in sides for k, p in enumerate(side)]
            space.add_lwpolyline(path, format="xyb", close=True, dxfattribs={"layer": "HOLES"})
        else:
            space.add_circle(hole.at, cut.diameter / 2, dxfattribs={"layer": "HOLES"})
        for p, q in crosses(hole):
            space.add_line(p, q, dxfattribs={"layer": "CENTRES"})
        text((x + rx + 2.0, y + ry + 2.0), f"{hole.number}  {cut.words(words)}", 3.5)
    for i, j in pattern.links:
        a, b = pattern.holes[i], pattern.holes[j]
        space.add_line(a.at, b.at, dxfattribs={"layer": "CENTRES"})
        middle = ((a.at[0] + b.at[0]) / 2 + 1.0, (a.at[1] + b.at[1]) / 2 + 1.0)
        text(middle, f"{a.number} - {b.number}: {words(pattern.distance(i, j))}", 2.5)
    if pattern.datum.of_frame:
        space.add_line((0.0, 0.0), (stand.frame.length, 0.0), dxfattribs={"layer": "OUTLINE"})
    text((2.0, -6.0), f"datum x 0, y 0: {pattern.datum.words}", 2.5)
    text((-pattern.datum.at[0], -12.0), "operator side", 3.5)
    save(doc, target)
    return True
