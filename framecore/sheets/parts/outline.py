"""What the rim of a plate has besides its box: corners cut or notched, notches in an edge, and places to be told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from framecore.sheets.drawing.model import Point2

NEAR = 0.05  # mm; nearer than this lies on a side
_HALF = 0.5  # a cut longer than this share of both sides is the plate's own slope, told by its ends


@dataclass(frozen=True, slots=True, kw_only=True)
class RimFeature:
    """A corner or a piece of an edge that is missing from the box.

    ``kind`` "corner cut", "corner notch" or "edge notch"; ``size`` across and up, mm; ``at`` where a leader ends.
    """

    kind: str
    size: Point2
    at: Point2


@dataclass(frozen=True, slots=True, kw_only=True)
class Rim:
    """The features of an outline, and the points across and up from the box's lower left corner that words do not tell.

    ``middle_x``, ``middle_y``: the outline is its own mirror image left and right, below and above; then only one half is told.
    """

    features: tuple[RimFeature, ...]
    across: tuple[Point2, ...]
    up: tuple[Point2, ...]
    middle_x: bool
    middle_y: bool


def rim_of(outline: Sequence[Point2]) -> Rim:
    """Take an outline apart.

    Parameters
    ----------
    outline : corners anticlockwise, mm, in a box whose lower left corner is (0, 0)
    """
    size = (max(p[0] for p in outline), max(p[1] for p in outline))
    features: list[RimFeature] = []
    told: tuple[dict[float, Point2], dict[float, Point2]] = ({}, {})
    for run in runs_of(outline):
        feature = _feature(run, size)
        if feature:
            features.append(feature)
        if feature is None or feature.kind == "edge notch":
            # Of a notch in an edge words tell width and depth, sizes where it begins and ends.
            axes = (0, 1) if feature is None else (1,) if _shared(run[0], run[-1], size) & {"left", "right"} else (0,)
            for p in run if feature is None else (run[0], run[-1]):
                for k in axes:
                    told[k].setdefault(round(p[k], 1), p)
    mirrored = (_mirrored(outline, size, 0), _mirrored(outline, size, 1))
    places = []
    for k in (0, 1):
        most = size[k] / 2 + NEAR if mirrored[k] else size[k] - NEAR
        places.append(tuple(p for at, p in sorted(told[k].items()) if NEAR < at <= most))
    # What stands in one half only is told there: without places the mirror says nothing.
    return Rim(
        features=tuple(features), across=places[0], up=places[1], middle_x=mirrored[0] and bool(places[0]),
        middle_y=mirrored[1] and bool(places[1]),
    )  # fmt: skip


def _sides(p: Point2, size: Point2) -> set[str]:
    out = set()
    for k, (low, high) in enumerate((("left", "right"), ("bottom", "top"))):
        if p[k] < NEAR:
            out.add(low)
        if p[k] > size[k] - NEAR:
            out.add(high)
    return out


def _shared(a: Point2, b: Point2, size: Point2) -> set[str]:
    return _sides(a, size) & _sides(b, size)


def runs_of(outline: Sequence[Point2]) -> list[list[Point2]]:
    """Return stretches of an outline off its box, each with the points on the box where it begins and ends."""
    count, size = len(outline), (max(p[0] for p in outline), max(p[1] for p in outline))
    first = next(k for k in range(count) if _sides(outline[k], size))
    out, run = [], [outline[first]]
    for k in range(1, count + 1):
        p = outline[(first + k) % count]
        run.append(p)
        if _sides(p, size):
            if len(run) > 2 or not _shared(run[0], p, size):
                out.append(run)
            run = [p]
    return out


def _feature(run: Sequence[Point2], size: Point2) -> RimFeature | None:
    a, b = run[0], run[-1]
    gone = (abs(b[0] - a[0]), abs(b[1] - a[1]))
    if _shared(a, b, size):
        if len(run) == 4 and all(_level(p, q) for p, q in pairwise(run)):
            c, d = run[1:3]
            deep = (abs(c[0] - a[0]), abs(c[1] - a[1]))
            wide = (max(gone[0], deep[0]), max(gone[1], deep[1]))
            return RimFeature(kind="edge notch", size=wide, at=((c[0] + d[0]) / 2, (c[1] + d[1]) / 2))
        return None
    if len(run) == 2 and (gone[0] <= _HALF * size[0] and gone[1] <= _HALF * size[1]) and _corner(a, b, size):
        return RimFeature(kind="corner cut", size=gone, at=((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    if len(run) == 3 and _level(a, run[1]) and _level(run[1], b):
        return RimFeature(kind="corner notch", size=gone, at=run[1])
    return None


def _corner(a: Point2, b: Point2, size: Point2) -> bool:
    """Whether a cut runs between two sides that meet and leaves a part of both."""
    one, other = _sides(a, size), _sides(b, size)
    return len(one) == 1 and len(other) == 1 and (one | other) not in ({"left", "right"}, {"bottom", "top"})


def _level(a: Point2, b: Point2) -> bool:
    return min(abs(a[0] - b[0]), abs(a[1] - b[1])) < NEAR


def _mirrored(outline: Sequence[Point2], size: Point2, axis: int) -> bool:
    """Whether every corner has its mirror image among the corners."""
    image = [(size[0] - x, y) if axis == 0 else (x, size[1] - y) for x, y in outline]
    return all(any(abs(x - p) < NEAR and abs(y - q) < NEAR for p, q in outline) for x, y in image)
