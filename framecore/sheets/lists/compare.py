"""Two stands side by side: both pictures, the figures that tell them apart, what differs in the brief."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framecore.brief.differences import differences
from framecore.figures.model import Figure, Verdict
from framecore.figures.words import quantity
from framecore.sheets.compose import compose_drafts
from framecore.sheets.drawing.columns import EDGE, GUTTER, Column, columns, drafts, text_size
from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.hidden import pictorial
from framecore.sheets.drawing.model import Line, Primitive, Sheet, Text, ViewPlacement
from framecore.sheets.drawing.signs import verdict_sign
from framecore.sheets.drawing.views import Seen, ink, look
from framecore.sheets.lists.cover import HEADLINES
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, Draft, drawing_space
from framecore.stand.model import Stand

NAMES = ("present stand", "reference")
BAD = (Verdict.STOP, Verdict.LOOK)
SAME = 5e-4  # relative: a smaller difference is none that anybody sees
_PICTURE, _PICTURE_SMALL = 0.5, 0.34  # of the drawing space's height


def compare_sheets(
    stand: Stand, other: Stand, names: tuple[str, str] = NAMES, paper: str | None = None
) -> tuple[Sheet, ...]:  # fmt: skip
    """Draw the side-by-side sheet of two stands; further pages only where the lists need them.

    Parameters
    ----------
    names : what the two are called
    paper : as ``compose``

    Raises
    ------
    ValueError
        ``paper`` is none of the known sizes.
    """
    return compose_drafts(lambda size: pages(stand, other, names, size), stand, paper)


def pages(stand: Stand, other: Stand, names: tuple[str, str], paper: str) -> tuple[Draft, ...]:
    """Compose the pages on one paper."""
    x0, y0, x1, y1 = drawing_space(paper)
    size = text_size(paper)
    share = _PICTURE_SMALL if paper in SMALL else _PICTURE
    floor = y1 - share * (y1 - y0)
    middle = (x0 + x1) / 2
    boxes = [(x0 + EDGE, floor, middle - GUTTER / 2, y1 - EDGE), (middle + GUTTER / 2, floor, x1 - EDGE, y1 - EDGE)]
    views, drawn = _pictures((stand, other), names, boxes, size)
    if paper in SMALL:
        under: list[Column] = [(x0 + EDGE, y0 + TITLE_HEIGHT + 4.0, x1 - x0 - 2 * EDGE, floor - 3.0)]
    else:
        wide = (x1 - x0 - 2 * EDGE - GUTTER) / 2
        under = [
            (x0 + EDGE, y0 + EDGE, wide, floor - 3.0), (x1 - EDGE - wide, y0 + TITLE_HEIGHT + 4.0, wide, floor - 3.0),
        ]  # fmt: skip
    flow = Flow(under, later=columns(paper, 1 if paper in SMALL else 2))
    flow.pages[0] += drawn
    _figures(stand, other, names, flow, size)
    if paper not in SMALL and len(flow.pages) == 1 and flow.column == 0:
        flow.next_column()
    _brief(stand, other, names, flow, size)
    out = drafts(flow, "side by side", "Side by side")
    return (Draft(title=out[0].title, kind=out[0].kind, primitives=out[0].primitives, views=views), *out[1:])


def _pictures(
    stands: Sequence[Stand], names: Sequence[str], boxes: Sequence[tuple[float, float, float, float]], size: float
) -> tuple[tuple[ViewPlacement, ...], list[Primitive]]:  # fmt: skip
    """Both from three quarters at one scale, so that they can be measured against each other, feet on one line."""
    seen = [look(s, pictorial()) for s in stands]
    head = 2.4 * size
    scale = min(_fit(v, box, head) for v, box in zip(seen, boxes, strict=True))
    views, out = [], []
    for one, name, (x0, y0, x1, y1), stand in zip(seen, names, boxes, stands, strict=True):
        at = ((x0 + x1) / 2 - (one.box[0] + one.box[2]) / 2 * scale, y0 + 4.0 - one.box[1] * scale)
        views.append(ViewPlacement(name=name, at=at, scale=scale, box=(x0, y0, x1, y1)))
        out += list(ink(one, at, scale, hidden=False))
        title = stand.brief.title
        line = name[:1].upper() + name[1:] + ("" if title == stands[0].brief.title else f": {title}")
        row = wrap(line, x1 - x0 - 4.0, 1.4 * size, True)[0]
        out.append(Text(at=(x0, y1 - 1.6 * size), text=row, height=1.4 * size, bold=True))
    middle = (boxes[0][2] + boxes[1][0]) / 2
    out.append(Line(points=((middle, boxes[0][1]), (middle, boxes[0][3])), layer="thin"))
    return tuple(views), out


def _fit(seen: Seen, box: tuple[float, float, float, float], head: float) -> float:
    wide, high = box[2] - box[0] - 6.0, box[3] - box[1] - head - 6.0
    return max(min(wide / seen.size[0], high / seen.size[1]), 0.005)


def told_apart(stand: Stand, other: Stand) -> list[tuple[Figure | None, Figure | None]]:
    """Return what the sheet lists: headline figures, then every figure whose verdict differs or is bad in one of them.

    A figure that one of the stands does not have is None there.
    """
    mine, theirs = stand.figures, other.figures
    names = [n for n in HEADLINES if n in mine or n in theirs]
    for n in dict.fromkeys([*mine, *theirs]):
        a, b = mine.get(n), theirs.get(n)
        verdicts = [f.verdict for f in (a, b) if f is not None]
        if n not in names and (any(v in BAD for v in verdicts) or len(set(verdicts)) > 1):
            names.append(n)
    return [(mine.get(n), theirs.get(n)) for n in names]


def _figures(stand: Stand, other: Stand, names: tuple[str, str], flow: Flow, size: float) -> None:
    units = stand.brief.units
    flow.heading("Key figures", keep=20.0)
    number, sign = 13.0 * size, 2.6 * size
    label = flow.width - 3 * number - 2 * sign
    _row(flow, size, ("", *names, "difference"), label, number, sign, bold=True)
    for a, b in told_apart(stand, other):
        one = a or b
        assert one is not None
        _row(
            flow, size, (one.label, _value(a, units), _value(b, units), _change(a, b, units)), label, number, sign,
            verdicts=(a.verdict if a else Verdict.NONE, b.verdict if b else Verdict.NONE),
        )  # fmt: skip
    flow.gap(1.5)
    flow.line(
        f"Difference: {names[0]} less {names[1]}. Before each value its verdict: disc good, triangle look, square stop.", size
    )


def _value(figure: Figure | None, units: str) -> str:
    return "–" if figure is None else quantity(figure.value, figure.unit, units)


def _change(a: Figure | None, b: Figure | None, units: str) -> str:
    if a is None or b is None or not (math.isfinite(a.value) and math.isfinite(b.value)):
        return ""
    change = a.value - b.value
    if abs(change) <= SAME * max(abs(a.value), abs(b.value), 1e-9):
        return "same"
    return f"{'+' if change > 0 else '−'}{quantity(abs(change), a.unit, units)}"


def _row(
    flow: Flow, size: float, cells: tuple[str, ...], label: float, number: float, sign: float, *, bold: bool = False,
    verdicts: tuple[Verdict, ...] = (),
) -> None:  # fmt: skip
    """Label, two values each with the sign of its verdict, the difference."""
    widths = (label, number, number, number)
    wrapped = [wrap(c, w - 2.0, size, bold) for c, w in zip(cells, widths, strict=True)]
    lines = max(len(w) for w in wrapped)
    high = lines * 1.6 * size + 0.8

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        base = y - 1.35 * size
        ends = (x + label + sign + number, x + label + 2 * (sign + number), x + wide)
        out: list[Primitive] = [
            Text(at=(x, base - k * 1.6 * size), text=t, height=size, bold=bold) for k, t in enumerate(wrapped[0])
        ]
        for end, words in zip(ends, wrapped[1:], strict=True):
            out += [
                Text(at=(end, base - k * 1.6 * size), text=t, height=size, align="right", bold=bold)
                for k, t in enumerate(words)
            ]  # fmt: skip
        for end, verdict in zip(ends, verdicts, strict=False):
            out += verdict_sign(verdict, (end - number - 0.4 * size, base), size)
        out.append(Line(points=((x, y - high), (x + wide, y - high)), layer="visible" if bold else "thin"))
        return tuple(out)

    flow.put(high, draw, keep=0.0 if not bold else 3 * high)


def _brief(stand: Stand, other: Stand, names: tuple[str, str], flow: Flow, size: float) -> None:
    flow.heading("What differs in the brief", keep=20.0)
    rows = [(d.label, d.one, d.other) for d in differences(stand.brief, other.brief)]
    if rows:
        flow.table(("", *names), rows, "lll", size)
    else:
        flow.line("Nothing: both come from the same brief.", size)
