"""The machine's hole pattern as points of a plane: which holes are mirror images, and moving one. No toolkit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Points = tuple[Point, ...]
NEAR = 0.1  # a hole this far off its partner's image is still its partner, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Mirrors:
    """Mirror partners of each hole about the pattern's middle, None where not every hole has one.

    ``left_right``: across the line x = middle; ``front_back``: across y = middle.
    """

    middle: Point
    left_right: tuple[int, ...] | None
    front_back: tuple[int, ...] | None

    @property
    def any(self) -> bool:
        """Whether there is a mirror line."""
        return self.left_right is not None or self.front_back is not None


def middle(holes: Sequence[Point]) -> Point:
    """Return the middle of the pattern: that of the box around it; the datum where there are no holes."""
    xs, ys = [h[0] for h in holes] or [0.0], [h[1] for h in holes] or [0.0]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def mirrors(holes: Sequence[Point]) -> Mirrors:
    """Return the mirror lines a pattern has now."""
    x, y = middle(holes)
    some = len(holes) > 1
    return Mirrors(
        middle=(x, y),
        left_right=_partners(holes, [(2 * x - a, b) for a, b in holes]) if some else None,
        front_back=_partners(holes, [(a, 2 * y - b) for a, b in holes]) if some else None,
    )


def _partners(holes: Sequence[Point], images: Sequence[Point]) -> tuple[int, ...] | None:
    to = []
    for a, b in images:
        k = min(range(len(holes)), key=lambda i: (holes[i][0] - a) ** 2 + (holes[i][1] - b) ** 2)
        if abs(holes[k][0] - a) > NEAR or abs(holes[k][1] - b) > NEAR:
            return None
        to.append(k)
    return tuple(to) if sorted(to) == list(range(len(holes))) else None


def moved(holes: Sequence[Point], k: int, to: Point, even: bool = False) -> Points:
    """Return the pattern with hole ``k`` moved; ``even`` moves its mirror partners so that the mirror lines stay.

    A hole on a mirror line stays on it then.
    """
    out, (x, y) = list(holes), to
    if not even:
        out[k] = (x, y)
        return tuple(out)
    lines = mirrors(holes)
    across, along = lines.left_right, lines.front_back
    mx, my = lines.middle
    x = mx if across is not None and across[k] == k else x
    y = my if along is not None and along[k] == k else y
    out[k] = (x, y)
    if across is not None:
        out[across[k]] = (2 * mx - x, y)
    if along is not None:
        out[along[k]] = (x, 2 * my - y)
    if across is not None and along is not None:
        out[across[along[k]]] = (2 * mx - x, 2 * my - y)
    return tuple(out)


def room(holes: Sequence[Point]) -> Point:
    """Return a place for one hole more: halfway along the longest side of the box round the pattern that is free."""
    if not holes:
        return 0.0, 0.0
    xs, ys = [h[0] for h in holes], [h[1] for h in holes]
    x, y = middle(holes)
    spots = [(x, min(ys)), (x, max(ys)), (min(xs), y), (max(xs), y), (x, y)]
    off = [min((a - p) ** 2 + (b - q) ** 2 for p, q in holes) for a, b in spots]
    best = max(range(len(spots)), key=lambda i: off[i])
    return spots[best] if off[best] > 1 else (max(xs) + 50.0, y)
