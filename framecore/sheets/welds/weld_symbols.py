"""Weld symbols: arrow line, reference line, elementary symbol with its sizes, and a tail with the process.

Two ways to write the same weld. ISO 2553 system A sets the symbol on a continuous line for the side the arrow points to
and on a dashed one for the other side. AWS A2.4 has one line, what hangs below it is on the arrow's side.

Source: ISO 2553:2019 (system A), AWS A2.4:2020, process numbers ISO 4063, letters AWS A3.0; all from memory. Neither
fixes how large a symbol is beside its lettering: the proportions here are common practice, in heights of the lettering.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from framecore.sheets.drawing.model import Arc, Line, Point2, Primitive, Text
from framecore.sheets.drawing.pens import text_width

ISO, AWS = "ISO 2553", "AWS A2.4"
NUMBERS = {"solid wire and gas": "135", "self-shielded wire": "114", "stick": "111", "TIG": "141"}
LETTERS = {"solid wire and gas": "GMAW", "self-shielded wire": "FCAW-S", "stick": "SMAW", "TIG": "GTAW"}
LAYER = "dimension"  # narrow lines, a tenth of lettering 2.5 mm high as that of the lettering itself

# In heights of the lettering.
LEG = 1.4  # legs of the fillet, bars of butt and edge, upright of the flare-bevel
APART = 0.5  # between the two bars of a square butt; an edge weld has a third between them
FLARE = 1.2  # radius of the flare-bevel's arc
PLUG = (1.8, 0.9)  # width and height of the plug's box
RING = 0.55  # radius of the circle for all round
DASH_AWAY = 0.6  # from the continuous to the dashed line
BAR = 0.4  # from the symbol to the bar for flush
GAP = 0.35  # from line and symbol to lettering
LEAD = 1.2  # of bare line before and after
TAIL = 0.9  # reach of the tail's fork
HEAD = 1.0  # length of the arrow head, a third as wide
ARM = (1.6, 1.8)  # the arrow's tip left of and below the joint of the lines, where no other is asked


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldSign:
    """What a symbol says.

    Attributes
    ----------
    kind : "fillet", "flare-bevel", "butt", "corner", "edge" or "plug"
    size : leg of a fillet, effective throat of others, mm; 0 is left out: through the whole thickness
    count, stitch, pitch : stitches of an intermittent weld, their length and centre to centre, mm; 0 stitch: continuous.
        ``count`` 0 where seams of one mark have different numbers of them
    all_round, flush, other_side : circle; dressed flat afterwards; on the side the arrow does not point to
    process : as the brief names it; "" for no tail
    """

    kind: str
    size: float = 0.0
    count: int = 0
    stitch: float = 0.0
    pitch: float = 0.0
    all_round: bool = False
    flush: bool = False
    other_side: bool = False
    process: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSign:
    """Primitives of a symbol and the paper box it takes, arrow and tail included."""

    primitives: tuple[Primitive, ...]
    box: tuple[float, float, float, float]


def size_words(sign: WeldSign, system: str, words: Callable[[float], str]) -> str:
    """Return what stands left of the symbol: z and s with the figure by ISO, bare or in brackets by AWS."""
    if sign.size <= 0:
        return ""
    text = words(sign.size)
    if sign.kind == "plug":
        return text
    if system == AWS:
        return text if sign.kind == "fillet" else f"({text})"
    return f"{'z' if sign.kind == 'fillet' else 's'}{text}"


def length_words(sign: WeldSign, system: str, words: Callable[[float], str]) -> str:
    """Return what stands right of it: number × length (clear between) by ISO, length-pitch by AWS."""
    if sign.stitch <= 0:
        return ""
    if system == AWS:
        return f"{words(sign.stitch)}-{words(sign.pitch)}"
    number = f"{sign.count}×" if sign.count else ""
    return f"{number}{words(sign.stitch)}({words(sign.pitch - sign.stitch)})"


def tail_words(sign: WeldSign, system: str) -> str:
    """Return the process as the tail names it."""
    return (LETTERS if system == AWS else NUMBERS)[sign.process] if sign.process else ""


def weld_symbol(
    sign: WeldSign, system: str, at: Point2, words: Callable[[float], str], *, height: float = 2.5, tip: Point2 | None = None
) -> DrawnSign:
    """Draw a symbol.

    Parameters
    ----------
    system : "ISO 2553" or "AWS A2.4"
    at : where arrow line and reference line join; the reference line runs to the right of it
    words : mm to text
    height : of the lettering, mm
    tip : of the arrow; a little left and below when None

    Raises
    ------
    KeyError
        No such kind or process.
    """
    h, (x0, y) = height, at
    tip = tip or (x0 - ARM[0] * h, y - ARM[1] * h)
    below = (system == AWS) != sign.other_side
    dashed_at = y - DASH_AWAY * h
    base = dashed_at if system == ISO and sign.other_side else y
    way = -1.0 if below else 1.0
    left, right = size_words(sign, system, words), length_words(sign, system, words)
    x = x0 + LEAD * h
    out: list[Primitive] = []
    row = base + (GAP * h if way > 0 else -(GAP + 1.0) * h)
    if left:
        out.append(Text(at=(x, row), text=left, height=h))
        x += text_width(left, h) + GAP * h
    shape, wide, tall = _SHAPES[sign.kind](x, base, way, h)
    out += shape
    if sign.flush:
        bar, far = _flush(sign.kind, x, base, way, h, wide, tall, system)
        out += bar
        tall = max(tall, far)
        if right and sign.kind == "fillet":
            x += BAR * h + (1.1 * h if system == AWS else 0.0)  # the slanting bar and its letter stand out to the right
    x += wide + GAP * h
    if right:
        out.append(Text(at=(x, row), text=right, height=h))
        x += text_width(right, h)
    end = x + LEAD * h * 0.6
    out.append(Line(points=((x0, y), (end, y)), layer=LAYER))
    low, high = min(y, base + way * tall, row), max(y, base + way * tall, row + h)
    if system == ISO:
        out.append(Line(points=((x0 + RING * h, dashed_at), (end, dashed_at)), layer="hidden"))
        low = min(low, dashed_at)
    if sign.all_round:
        out.append(Arc(centre=at, radius=RING * h, layer=LAYER))
        low, high = min(low, y - RING * h), max(high, y + RING * h)
    process = tail_words(sign, system)
    if process:
        reach = TAIL * h
        out.append(Line(points=((end + reach, y + reach), (end, y), (end + reach, y - reach)), layer=LAYER))
        reach += 0.15 * h
        out.append(Text(at=(end + reach, y - h / 2), text=process, height=h))
        low, high = min(low, y - reach), max(high, y + reach)
        end += reach + text_width(process, h)
    out += _arrow(tip, at, h)
    box = (min(x0 - RING * h, tip[0]), min(low, tip[1]), max(end, tip[0]), max(high, tip[1]))
    return DrawnSign(primitives=tuple(out), box=box)


Shape = tuple[list[Primitive], float, float]  # strokes, width, height


def _bars(places: tuple[float, ...], x: float, y: float, way: float, h: float) -> Shape:
    top = y + way * LEG * h
    lines: list[Primitive] = [Line(points=((x + p * h, y), (x + p * h, top)), layer=LAYER) for p in places]
    return lines, places[-1] * h, LEG * h


def _fillet(x: float, y: float, way: float, h: float) -> Shape:
    """The upright leg is always on the left."""
    leg = LEG * h
    return [Line(points=((x, y), (x, y + way * leg), (x + leg, y)), layer=LAYER)], leg, leg


def _flare(x: float, y: float, way: float, h: float) -> Shape:
    """An upright on the left, the round of the other part springing up beside it and away."""
    r, off = FLARE * h, 0.25 * h
    turn = (math.pi / 2, math.pi) if way > 0 else (math.pi, 3 * math.pi / 2)
    arc = Arc(centre=(x + off + r, y), radius=r, start=turn[0], end=turn[1], layer=LAYER)
    return [Line(points=((x, y), (x, y + way * LEG * h)), layer=LAYER), arc], off + r, LEG * h


def _plug(x: float, y: float, way: float, h: float) -> Shape:
    w, t = PLUG[0] * h, PLUG[1] * h
    top = y + way * t
    return [Line(points=((x, y), (x, top), (x + w, top), (x + w, y)), layer=LAYER)], w, t


def _butt(x: float, y: float, way: float, h: float) -> Shape:
    return _bars((0.0, APART), x, y, way, h)


def _edge(x: float, y: float, way: float, h: float) -> Shape:
    return _bars((0.0, APART, 2 * APART), x, y, way, h)


# A corner's edges meet square and are welded through: it is written as a square butt.
_SHAPES: dict[str, Callable[[float, float, float, float], Shape]] = {
    "fillet": _fillet, "flare-bevel": _flare, "butt": _butt, "corner": _butt, "edge": _edge, "plug": _plug,
}  # fmt: skip


def _flush(
    kind: str, x: float, y: float, way: float, h: float, wide: float, tall: float, system: str
) -> tuple[list[Primitive], float]:
    """The bar for flush, along the face of the weld, and AWS's G for grinding beyond it; how far it reaches."""
    out: list[Primitive] = []
    if kind == "fillet":
        d = BAR * h / math.sqrt(2)
        a, b = (x + d + 0.2 * h, y + way * (tall + d - 0.2 * h)), (x + wide + d - 0.2 * h, y + way * (d + 0.2 * h))
    else:
        level = y + way * (tall + BAR * h)
        a, b = (x + wide / 2 - 0.7 * h, level), (x + wide / 2 + 0.7 * h, level)
    out.append(Line(points=(a, b), layer=LAYER))
    far = way * (a[1] - y)
    if system == AWS:
        middle, base = (a[0] + b[0]) / 2, far + 0.3 * h
        if kind == "fillet":
            middle, base = middle + 1.0 * h, way * ((a[1] + b[1]) / 2 - y) - 0.3 * h
        out.append(Text(at=(middle, y + (base if way > 0 else -base - h)), text="G", height=h, align="centre"))
        far = max(far, base + h)
    return out, far


def _arrow(tip: Point2, at: Point2, h: float) -> list[Primitive]:
    far = math.dist(tip, at)
    if far <= 0:
        return []
    u = ((at[0] - tip[0]) / far, (at[1] - tip[1]) / far)
    back, half = HEAD * h, HEAD * h / 6
    foot = (tip[0] + back * u[0], tip[1] + back * u[1])
    corners = (tip, (foot[0] - half * u[1], foot[1] + half * u[0]), (foot[0] + half * u[1], foot[1] - half * u[0]))
    return [Line(points=(tip, at), layer=LAYER), Line(points=corners, closed=True, fill=0.0, layer=LAYER)]
