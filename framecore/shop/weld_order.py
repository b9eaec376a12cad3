"""In which order the welds of an assembly are made, so that their pulls cancel as they grow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from framecore.frame.model import Vector
from framecore.shop.work import Weld


def in_order(found: Sequence[Weld], assemblies: Sequence[str]) -> tuple[Weld, ...]:
    """Return the welds assembly by assembly, numbered from 1 in each.

    Notes
    -----
    Every weld pulls at its place with a force that goes by the metal laid, throat squared times length. The next one is
    always the one after which the pulls' first moment about the middle of all of them is least; of equals the one
    furthest from the last, so that heat and pull jump to the opposite corner. Stitches of sheet come when all else is welded.

    Source: common practice (balance about the neutral axis, opposite corners), put into numbers.
    """
    out: list[Weld] = []
    for name in assemblies:
        # Not as they were found: the same stand is always welded in the same order.
        own = sorted((w for w in found if w.assembly == name), key=lambda w: (w.joint, w.parts, w.kind, w.runs))
        firm, sheet = [w for w in own if not w.pitch], [w for w in own if w.pitch]
        out += [replace(w, order=k) for k, w in enumerate((*_balanced(firm), *_balanced(sheet)), 1)]
    return tuple(out)


def pull(w: Weld) -> float:
    """Return the measure of how hard a weld pulls: throat squared times length, mm3."""
    return w.throat * w.throat * w.length


def middle(w: Weld) -> Vector:
    """Return the middle of a weld's runs, mm."""
    ends = [p for run in w.runs for p in (run[0], run[-1])]
    n = len(ends)
    return (sum(p[0] for p in ends) / n, sum(p[1] for p in ends) / n, sum(p[2] for p in ends) / n)


def _balanced(own: Sequence[Weld]) -> list[Weld]:
    if not own:
        return []
    at = [middle(w) for w in own]
    weight = [max(pull(w), 1e-9) for w in own]
    total = sum(weight)
    c = [sum(g * p[k] for g, p in zip(weight, at, strict=True)) / total for k in range(3)]
    off = [(p[0] - c[0], p[1] - c[1], p[2] - c[2]) for p in at]
    left, moment = list(range(len(own))), [0.0, 0.0, 0.0]
    # Begin at the corner furthest out, where a tape shows most.
    last = max(left, key=lambda k: (round(math.hypot(*off[k]), 3), -k))
    order: list[int] = []
    while left:
        if order:
            before, now = at[last], tuple(moment)
            last = min(left, key=lambda k: _worth(k, now, off, weight, at[k], before))
        order.append(last)
        left.remove(last)
        moment = [m + weight[last] * o for m, o in zip(moment, off[last], strict=True)]
    return [own[k] for k in order]


def _worth(
    k: int, moment: Sequence[float], off: Sequence[Vector], weight: Sequence[float], at: Vector, before: Vector
) -> tuple[float, float, int]:
    after = math.hypot(*(m + weight[k] * o for m, o in zip(moment, off[k], strict=True)))
    return round(after, 3), -round(math.dist(at, before), 3), k
