"""The PDF pen: true scale, embedded face, text that can be selected; the same sheets give the same bytes."""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from pathlib import Path
from typing import IO, Any

from framecore.sheets.drawing.model import Arc, Line, Sheet, Text
from framecore.sheets.drawing.pens import CAP, DASHES, FACE, FACE_BOLD, fonts, strokes, text_width, width
from framecore.words import say

MM = 72 / 25.4


def write_pdf(sheets: Iterable[Sheet], target: str | Path | IO[bytes], *, author: str = "") -> None:
    """Write one page a sheet.

    Parameters
    ----------
    sheets : in page order
    target : path or binary stream
    author : for the document's properties

    Raises
    ------
    OSError
        the path cannot be written.
    """
    from reportlab.pdfgen.canvas import Canvas

    pages = tuple(sheets)
    fonts()
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, initialFontName=FACE)
    canvas.setTitle(say(pages[0].title) if pages else "")
    canvas.setAuthor(author)
    canvas.setCreator("Standwright")
    canvas.setSubject(say("Shop drawing"))
    # A drawing shrunk to fit the page would no longer be to its scale.
    canvas.setViewerPreference("PrintScaling", "None")
    for sheet in pages:
        canvas.setPageSize((sheet.size[0] * MM, sheet.size[1] * MM))
        canvas.bookmarkPage(sheet.title)
        canvas.addOutlineEntry(say(sheet.title), sheet.title)
        canvas.scale(MM, MM)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for primitive in sheet.primitives:
            for stroke in strokes(primitive):
                _draw(canvas, stroke)
        canvas.showPage()
    canvas.save()
    if isinstance(target, str | Path):
        Path(target).write_bytes(buffer.getvalue())
    else:
        target.write(buffer.getvalue())


def _draw(canvas: Any, stroke: Line | Arc | Text) -> None:
    if isinstance(stroke, Text):
        _text(canvas, stroke)
        return
    canvas.setLineWidth(width(stroke.layer))
    dash = DASHES.get(stroke.layer)
    canvas.setLineCap(0 if dash else 1)
    canvas.setDash(list(dash) if dash else [])
    if isinstance(stroke, Arc):
        x, y, r = *stroke.centre, stroke.radius
        if stroke.end - stroke.start >= 2 * math.pi - 1e-9:
            canvas.circle(x, y, r)
        else:
            begin, span = math.degrees(stroke.start), math.degrees(stroke.end - stroke.start)
            canvas.arc(x - r, y - r, x + r, y + r, begin, span)
        return
    path = canvas.beginPath()
    path.moveTo(*stroke.points[0])
    for p in stroke.points[1:]:
        path.lineTo(*p)
    if stroke.closed:
        path.close()
    if stroke.fill is not None:
        canvas.setFillGray(stroke.fill)
    canvas.drawPath(path, stroke=1, fill=int(stroke.fill is not None))


def _text(canvas: Any, text: Text) -> None:
    canvas.setFillGray(0)
    canvas.setFont(FACE_BOLD if text.bold else FACE, text.height / CAP)
    canvas.saveState()
    canvas.translate(*text.at)
    if text.angle:
        canvas.rotate(math.degrees(text.angle))
    share = {"centre": 0.5, "right": 1.0}.get(text.align, 0.0)
    canvas.drawString(-share * text_width(text.text, text.height, text.bold) if share else 0, 0, text.text)
    canvas.restoreState()
