"""The SVG pen: millimetres, text as text."""

from __future__ import annotations

import math
from pathlib import Path
from typing import IO
from xml.sax.saxutils import escape, quoteattr

from framecore.sheets.drawing.model import Arc, Line, Point2, Sheet, Text
from framecore.sheets.drawing.pens import CAP, DASHES, LAYERS, strokes, width
from framecore.words import say

ANCHOR = {"left": "start", "centre": "middle", "right": "end"}


def write_svg(sheet: Sheet, target: str | Path | IO[str]) -> None:
    """Write one sheet; one group a layer.

    Raises
    ------
    OSError
        the path cannot be written.
    """
    w, h = sheet.size
    groups: dict[str, list[str]] = {layer: [] for layer in LAYERS}
    for primitive in sheet.primitives:
        for stroke in strokes(primitive):
            groups.setdefault(stroke.layer, []).append(_element(stroke, h))
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w:g}mm" height="{h:g}mm"'
        f' viewBox="0 0 {w:g} {h:g}">',
        f"<title>{escape(say(sheet.title))}</title>",
        f'<rect width="{w:g}" height="{h:g}" fill="white"/>',
    ]
    for layer, elements in groups.items():
        if not elements:
            continue
        dash = DASHES.get(layer)
        style = ' stroke-linecap="round"'
        if dash:
            style = f' stroke-dasharray="{" ".join(f"{d:g}" for d in dash)}"'
        rows.append(
            f'<g id={quoteattr(layer)} fill="none" stroke="black" stroke-width="{width(layer):g}"'
            f' stroke-linejoin="round"{style}>'
        )
        rows += [*elements, "</g>"]
    content = "\n".join([*rows, "</svg>", ""])
    if isinstance(target, str | Path):
        Path(target).write_text(content, encoding="utf-8")
    else:
        target.write(content)


def _element(stroke: Line | Arc | Text, h: float) -> str:
    def at(p: Point2) -> str:
        return f"{p[0]:.4f},{h - p[1]:.4f}"

    if isinstance(stroke, Text):
        x, y = stroke.at[0], h - stroke.at[1]
        turn = ""
        if stroke.angle:
            turn = f' transform="rotate({-math.degrees(stroke.angle):.3f} {x:.4f} {y:.4f})"'
        weight = ' font-weight="bold"' if stroke.bold else ""
        return (
            f'<text x="{x:.4f}" y="{y:.4f}" font-family="DejaVu Sans, Verdana, sans-serif"'
            f' font-size="{stroke.height / CAP:.4f}" text-anchor="{ANCHOR[stroke.align]}" fill="black"'
            f' stroke="none"{weight}{turn}>{escape(stroke.text)}</text>'
        )
    if isinstance(stroke, Arc):
        (x, y), r = stroke.centre, stroke.radius
        if stroke.end - stroke.start >= 2 * math.pi - 1e-9:
            return f'<circle cx="{x:.4f}" cy="{h - y:.4f}" r="{r:.4f}"/>'
        a = (x + r * math.cos(stroke.start), y + r * math.sin(stroke.start))
        b = (x + r * math.cos(stroke.end), y + r * math.sin(stroke.end))
        large = int(stroke.end - stroke.start > math.pi)
        return f'<path d="M{at(a)} A{r:.4f},{r:.4f} 0 {large} 0 {at(b)}"/>'
    fill = ""
    if stroke.fill is not None:
        level = round(255 * stroke.fill)
        fill = f' fill="rgb({level},{level},{level})"'
    name = "polygon" if stroke.closed else "polyline"
    return f'<{name} points="{" ".join(at(p) for p in stroke.points)}"{fill}/>'
