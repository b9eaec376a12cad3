"""Shaped parts: two of a kind, one turned end for end, as one block: triangles become rectangles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from framecore.cutting.nest_model import Placement, Point, SheetPart

WORTH = 0.97  # a pair is kept when its box is smaller than this share of the two boxes
SAMPLES = 12  # places tried along each side


@dataclass(frozen=True, slots=True)
class Block:
    """Two of one part: the corners of their boxes in the block's, the second turned by 180 degrees."""

    part: int
    first: Point
    second: Point


def paired(
    parts: Sequence[SheetPart], gap: float, fits: Sequence[tuple[float, float]]
) -> tuple[tuple[SheetPart, ...], dict[int, Block], tuple[int, ...]]:
    """Return parts with pairs put together, the blocks among them, and for each the part it came from.

    ``fits``: sizes of which a block must fit into one.
    """
    out: list[SheetPart] = []
    blocks: dict[int, Block] = {}
    source: list[int] = []
    for i, p in enumerate(parts):
        pair = _pair(p, i, gap) if p.outline and p.count > 1 else None
        if pair is not None:
            block, length, width = pair
            if any((length <= a and width <= b) or (p.turns and width <= a and length <= b) for a, b in fits):
                blocks[len(out)] = block
                source.append(i)
                out.append(SheetPart(mark=p.mark, length=length, width=width, count=p.count // 2, turns=p.turns))
                if p.count % 2:
                    source.append(i)
                    out.append(replace(p, count=1))
                continue
        source.append(i)
        out.append(p)
    return tuple(out), blocks, tuple(source)


def _pair(p: SheetPart, index: int, gap: float) -> tuple[Block, float, float] | None:
    rim = [(2 * x - p.length, 2 * y - p.width) for x, y in hull(p.outline)]
    best: tuple[float, float, float, float] | None = None
    n = len(rim)
    for i in range(n):
        (ax, ay), (bx, by) = rim[i], rim[(i + 1) % n]
        long = math.hypot(bx - ax, by - ay)
        ox, oy = (by - ay) / long * gap, (ax - bx) / long * gap  # outwards: the rim runs anticlockwise
        shares = [k / SAMPLES for k in range(SAMPLES + 1)]
        for a, d, o in ((ax, bx - ax, ox), (ay, by - ay, oy)):
            if abs(d) > 1e-12 and 0 < -(a + o) / d < 1:
                shares.append(-(a + o) / d)  # where the second lies level with the first
        for t in shares:
            dx, dy = ax + (bx - ax) * t + ox, ay + (by - ay) * t + oy
            size = (p.length + abs(dx), p.width + abs(dy))
            area = (size[0] + gap) * (size[1] + gap)
            if best is None or area < best[0] - 1e-6:
                best = (area, max(size), dx, dy)
    if best is None or best[0] > WORTH * 2 * (p.length + gap) * (p.width + gap):
        return None
    _, _, dx, dy = best
    first, second = (max(0.0, -dx), max(0.0, -dy)), (max(0.0, dx), max(0.0, dy))
    return Block(index, first, second), p.length + abs(dx), p.width + abs(dy)


def hull(points: Sequence[Point]) -> list[Point]:
    """Return the convex hull, anticlockwise, without points on straight sides."""
    flat = sorted(set(points))

    def half(run: Sequence[Point]) -> list[Point]:
        out: list[Point] = []
        for p in run:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 1e-12:
                out.pop()
            out.append(p)
        return out[:-1]

    return half(flat) + half(flat[::-1])


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def turned_outline(part: SheetPart, turn: int, x: float, y: float) -> tuple[Point, ...]:
    """Return a part's corners on the sheet when its box, turned by ``turn`` degrees, has its corner at (x, y)."""
    a, b = part.length, part.width
    out = []
    for u, v in part.outline:
        u, v = {0: (u, v), 90: (b - v, u), 180: (a - u, b - v), 270: (v, a - u)}[turn % 360]
        out.append((x + u, y + v))
    return tuple(out)


def expand(block: Block, part: SheetPart, sheet: int, x: float, y: float, length: float, width: float, turned: bool) -> tuple[
    Placement, Placement
]:
    """Return the two parts of a block that lies at (x, y); length and width of the block as it was made."""
    out = []
    for (u, v), half in ((block.first, 0), (block.second, 180)):
        a, b = part.length, part.width
        if turned:
            u, v = width - v - b, u  # the block turned by 90 degrees
            a, b = b, a
        turn = half + (90 if turned else 0)
        at = (x + u, y + v)
        out.append(
            Placement(mark=part.mark, sheet=sheet, x=at[0], y=at[1], length=a, width=b, turn=turn,
                      outline=turned_outline(part, turn, *at))
        )  # fmt: skip
    return out[0], out[1]
