"""Paper: sizes, drawing frames, scales and the title block.

Source: ISO 5457 (frames), ISO 5455 (scales), ISO 7200 (title block), ISO 5456-2 (projection symbols);
margins of the inch sizes after ASME Y14.1. All from memory of the standards.
"""

from __future__ import annotations

from dataclasses import dataclass

from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width

Box = tuple[float, float, float, float]

SIZES = {"A3": (420.0, 297.0), "A4": (297.0, 210.0), "Letter": (279.4, 215.9), "Tabloid": (431.8, 279.4)}
# left, bottom, right, top, mm
MARGINS: dict[str, Box] = {
    "A3": (20.0, 10.0, 10.0, 10.0),
    "A4": (20.0, 10.0, 10.0, 10.0),
    "Letter": (9.65, 6.35, 9.65, 6.35),
    "Tabloid": (15.75, 9.65, 15.75, 9.65),
}
METRIC_SCALES = (1, 2, 5, 10, 20, 50, 100, 200)
INCH_SCALES = (1, 2, 4, 8, 12, 16, 24, 32, 48, 96)
TITLE_WIDTH, TITLE_HEIGHT = 180.0, 29.0
SMALL = ("A4", "Letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A page before its frame and title block are drawn; ``index`` where the list of all sheets goes, if anywhere."""

    title: str
    kind: str
    primitives: tuple[Primitive, ...]
    views: tuple[ViewPlacement, ...] = ()
    scale_text: str = ""
    index: Box | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Titles:
    """What the title block says on every page."""

    owner: str
    number: str
    date: str
    title: str
    approved: str
    drawn: str
    projection: str
    units: str
    tolerance: str


def drawing_space(paper: str) -> Box:
    """Inside of the frame, paper mm."""
    w, h = SIZES[paper]
    left, bottom, right, top = MARGINS[paper]
    return left, bottom, w - right, h - top


def choose_scale(reduction: float, inch: bool) -> int:
    """Return the standard n of 1:n that is at least ``reduction``."""
    series = INCH_SCALES if inch else METRIC_SCALES
    return next((n for n in series if n >= reduction - 1e-9), series[-1])


def rectangle(box: Box, layer: str = "thin", fill: float | None = None) -> Line:
    """Closed rectangle."""
    x0, y0, x1, y1 = box
    return Line(points=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True, layer=layer, fill=fill)


def fitted(text: str, room: float, height: float, bold: bool = False, least: float = 1.8) -> float:
    """Largest text height up to ``height`` at which ``text`` fits ``room`` mm, not under ``least``."""
    wide = text_width(text, height, bold)
    return max(least, height * min(1.0, room / wide)) if wide > 0 else height


def projection_symbol(at: Point2, third: bool) -> tuple[Primitive, ...]:
    """Draw the truncated cone: its end view lies right of the cone in first angle, left of it in third."""
    x, y = at
    # Both circles are seen from the small end: it is on the left in either case, so in first angle the
    # end view falls to the right of the cone, in third angle to the left.
    side, end = (x + 7.0, x - 7.0) if third else (x - 7.0, x + 7.0)
    cone = ((side - 4.5, y - 1.4), (side + 4.5, y - 2.8), (side + 4.5, y + 2.8), (side - 4.5, y + 1.4))
    return (
        Line(points=cone, closed=True, layer="thin"),
        Arc(centre=(end, y), radius=2.8, layer="thin"),
        Arc(centre=(end, y), radius=1.4, layer="thin"),
        Line(points=((side - 6.0, y), (side + 6.0, y)), layer="centre"),
        Line(points=((end - 3.8, y), (end + 3.8, y)), layer="centre"),
        Line(points=((end, y - 3.8), (end, y + 3.8)), layer="centre"),
    )


def frame(paper: str) -> tuple[Primitive, ...]:
    """Frame line and the four centring marks."""
    w, h = SIZES[paper]
    x0, y0, x1, y1 = space = drawing_space(paper)
    marks = (
        ((w / 2, h), (w / 2, y1 - 5)),
        ((0.0, h / 2), (x0, h / 2)),
        ((w, h / 2), (x1, h / 2)),
        ((w / 2, 0.0), (w / 2, y0)),
    )
    return (rectangle(space, "frame"), *(Line(points=m, layer="frame") for m in marks))


def title_box(paper: str) -> Box:
    """Where the title block lies: in the lower right corner."""
    _, y0, x1, _ = drawing_space(paper)
    return x1 - TITLE_WIDTH, y0, x1, y0 + TITLE_HEIGHT


def _value(value: str, at: Point2, room: float) -> tuple[Primitive, ...]:
    """Text of a field: one line as large as fits, else two small ones; what is longer ends in an ellipsis."""
    size = fitted(value, room, 3.0, True)
    if text_width(value, size, True) <= room + 1e-6:
        return (Text(at=at, text=value or "–", height=size, bold=bool(value)),)
    rows = wrap(value, room - 2.0, size, True)
    rows = rows if len(rows) <= 2 else [rows[0], f"{rows[1]}…"]
    return tuple(
        Text(at=(at[0], at[1] + 2.6 * k), text=row, height=size, bold=True)
        for k, row in enumerate(reversed(rows))
    )


def title_block(paper: str, titles: Titles, draft: Draft, page: int, pages: int) -> tuple[Primitive, ...]:
    """Draw the title block: every mandatory field of ISO 7200, scale, projection, units and tolerance."""
    x0, y0, x1, y1 = title_box(paper)
    out: list[Primitive] = [rectangle((x0, y0, x1, y1), "frame")]
    rows: tuple[tuple[float, float, tuple[tuple[str, str, float], ...]], ...] = (
        (
            y1 - 10,
            10,
            (
                ("Owner", titles.owner, 52),
                ("Title", f"{titles.title}: {draft.title}", 98),
                ("No.", titles.number, 30),
            ),
        ),
        (
            y1 - 19.5,
            9.5,
            (
                ("Drawn", titles.drawn, 36),
                ("Approved", titles.approved, 36),
                ("Date of issue", titles.date, 36),
                ("Type", draft.kind, 48),
                ("Sheet", f"{page}/{pages}", 24),
            ),
        ),
        (
            y0,
            9.5,
            (
                ("Scale", draft.scale_text or "none", 26),
                ("Units", titles.units, 26),
                ("", "", 30),
                ("General tolerances", titles.tolerance, 98),
            ),
        ),
    )
    for y, high, cells in rows:
        x = x0
        for label, value, wide in cells:
            out.append(rectangle((x, y, x + wide, y + high)))
            if label:
                out.append(Text(at=(x + 1.2, y + high - 3.5), text=label, height=2.5))
                out += _value(value, (x + 1.2, y + 1.2), wide - 2.4)
            else:
                third = titles.projection == "third angle"
                out += projection_symbol((x + wide / 2, y + high / 2), third)
            x += wide
    return tuple(out)
