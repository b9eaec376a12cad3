"""Tiles of a drawing at full size: where each one lies, and what of a line or circle it shows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framecore.sheets.drawing.model import Arc, Line, Point2

Box = tuple[float, float, float, float]
LAP = 10.0  # mm shared by neighbours
_STEPS = 201
_ENOUGH = 6.0  # mm from a hole to the edge of its tile; more is no better


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Tiles along one axis: where each window begins, its size and what neighbours share, mm."""

    starts: tuple[float, ...]
    window: float
    lap: float

    @property
    def end(self) -> float:
        """Where the last window ends."""
        return self.starts[-1] + self.window


def lay(spans: Sequence[tuple[float, float]], window: float, edge: float | None = None, lap: float = LAP) -> Row:
    """Lay as few windows as cover all spans, none of which a joint cuts.

    The next tile lies on the last ``lap`` of the one before, so a span stays whole to the eye when it lies between
    two beginnings; where no offset of the grid does that for all, each is whole on one tile at least. Only where
    the spans are too many even for one tile more does the lap grow to the widest of them.

    Parameters
    ----------
    spans : low and high of what must stay whole, mm, each narrower than the window
    window : what one tile shows, mm
    edge : a place that is shown where that costs no tile
    lap : what neighbours share, mm
    """
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    lows, highs = (np.array(side) for side in zip(*spans, strict=True))
    widest = float((highs - lows).max())
    for share in (lap, max(lap, widest)):
        step = window - share
        least = max(1, math.ceil((high - low - share) / step - 1e-9))
        for count in (least, least + 1):
            slack = count * step + share - (high - low)
            first = low - np.linspace(0.0, slack, _STEPS)
            starts = first[:, None] + step * np.arange(count)
            for seen in (_seen_ends(starts, window), starts + window):
                inside = np.minimum(lows[:, None] - starts[:, None], seen[:, None] - highs[:, None])
                clear = inside.max(axis=2).min(axis=1)
                if clear.max() >= 0.0:
                    best = _best(clear, starts, window, edge)
                    return Row(starts=tuple(starts[best].tolist()), window=window, lap=share)
    raise ValueError(f"A tile of {window:g} mm cannot show {widest:g} mm whole.")


def _seen_ends(starts: np.ndarray, window: float) -> np.ndarray:
    """Where the next tile covers each one."""
    return np.column_stack([starts[:, 1:], starts[:, -1] + window])


def _best(clear: np.ndarray, starts: np.ndarray, window: float, edge: float | None) -> int:
    """Offset that clears the joints well, then shows the edge, then lies evenly."""
    middle = np.abs(np.linspace(-1.0, 1.0, len(clear)))
    score = np.minimum(clear, _ENOUGH) - 0.01 * middle
    if edge is not None:
        score += ((starts[:, 0] + 5.0 <= edge) & (edge <= starts[:, -1] + window - 5.0)) * 2.0
    return int(np.where(clear >= 0.0, score, -np.inf).argmax())


def clip(p: Point2, q: Point2, box: Box) -> tuple[Point2, Point2] | None:
    """Return the part of a line from p to q inside the box; None where there is none."""
    t0, t1 = 0.0, 1.0
    for k in (0, 1):
        d = q[k] - p[k]
        if abs(d) < 1e-12:
            if not box[k] <= p[k] <= box[k + 2]:
                return None
            continue
        a, b = sorted(((box[k] - p[k]) / d, (box[k + 2] - p[k]) / d))
        t0, t1 = max(t0, a), min(t1, b)
    if t1 - t0 < 1e-9:
        return None
    dx, dy = q[0] - p[0], q[1] - p[1]
    return (p[0] + t0 * dx, p[1] + t0 * dy), (p[0] + t1 * dx, p[1] + t1 * dy)


def clip_path(points: Sequence[Point2], box: Box, layer: str) -> list[Line]:
    """Return the parts of a closed outline inside the box."""
    out = []
    for p, q in zip(points, [*points[1:], points[0]], strict=True):
        part = clip(p, q, box)
        if part:
            out.append(Line(points=part, layer=layer))
    return out


def clip_circle(centre: Point2, radius: float, box: Box, layer: str) -> list[Arc]:
    """Return the arcs of a circle inside the box; the circle itself where all of it is."""
    (x, y), r = centre, radius
    if box[0] <= x - r and x + r <= box[2] and box[1] <= y - r and y + r <= box[3]:
        return [Arc(centre=centre, radius=r, layer=layer)]
    cuts = []
    for k, at in ((0, box[0]), (0, box[2]), (1, box[1]), (1, box[3])):
        off = (at - centre[k]) / r
        if abs(off) < 1.0:
            turn = math.acos(off) if k == 0 else math.asin(off)
            cuts += [turn, -turn if k == 0 else math.pi - turn]
    ends = sorted(t % (2 * math.pi) for t in cuts)
    out = []
    for a, b in zip(ends, [*ends[1:], ends[0] + 2 * math.pi] if ends else [], strict=True):
        mid = (a + b) / 2
        px, py = x + r * math.cos(mid), y + r * math.sin(mid)
        if b - a > 1e-9 and box[0] <= px <= box[2] and box[1] <= py <= box[3]:
            out.append(Arc(centre=centre, radius=r, start=a, end=b, layer=layer))
    return out


def clip_arc(arc: Arc, box: Box) -> list[Arc]:
    """Return the parts of an arc inside the box."""
    out, whole = [], 2 * math.pi
    if arc.end - arc.start >= whole - 1e-9:
        return clip_circle(arc.centre, arc.radius, box, arc.layer)
    for seen in clip_circle(arc.centre, arc.radius, box, arc.layer):
        if seen.end - seen.start >= whole - 1e-9:
            return [arc]
        for turn in (-2 * whole, -whole, 0.0, whole, 2 * whole):
            a, b = max(seen.start + turn, arc.start), min(seen.end + turn, arc.end)
            if b - a > 1e-9:
                out.append(Arc(centre=arc.centre, radius=arc.radius, start=a, end=b, layer=arc.layer))
    return out
