"""The hole pattern from what a maker can measure: distances between holes, or a rubbing with one known length."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from framecore.errors import Finding, FramecoreError
from framecore.seat._distances import Ties, apart, folded, placed, refine, starts

Array = NDArray[np.float64]
Point = tuple[float, float]

READING = 0.3  # standard deviation of one distance with rule or calliper over two holes, mm; common practice, assumed
MOST_HOLES = 40
_LOOSE = 25.0  # a hole this many readings uncertain is not fixed: a line of holes fixes nothing sideways
_SURE = 10.8  # chi squared of one reading that chance passes once in a thousand
_OVER = ("centres", "outside edges", "inside edges")


class PatternError(FramecoreError, ValueError):
    """Measurements that give no pattern; ``finding`` says which and what to do."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


def _refuse(code: str, message: str) -> PatternError:
    return PatternError(Finding(code=f"seat.{code}", field="machine.holes", message=message))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One measured distance between holes ``a`` and ``b``, numbered from 1.

    ``over``: "centres", "outside edges" or "inside edges" of the two holes; edges need the holes' diameters.
    """

    a: int
    b: int
    distance: float
    over: str = "centres"


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """The one measurement that the others contradict.

    Attributes
    ----------
    index : of the pair as given
    expected : the distance by all the others, as it was measured (over centres or edges), mm
    misfit : measured less expected, mm
    """

    index: int
    pair: Pair
    expected: float
    misfit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPattern:
    """A pattern by least squares.

    Attributes
    ----------
    holes : x, y of each, hole 1 at the origin and hole 2 on +x, mm
    pairs, misfits : each measurement, and measured less computed, mm
    standard_errors : of each hole in the plane, within the pattern as a whole, mm
    reading : standard deviation of one distance that they rest on: assumed, or from the misfits where these say more, mm
    spare : measurements more than needed
    side : how right and left were told apart
    suspect : the measurement that looks wrong, None where none does
    text : one or two sentences for the maker
    """

    holes: tuple[Point, ...]
    pairs: tuple[Pair, ...]
    misfits: tuple[float, ...]
    standard_errors: tuple[float, ...]
    reading: float
    spare: int
    side: str
    suspect: Suspect | None
    text: str


def pattern_from_pairs(
    count: int,
    pairs: Iterable[Pair],
    *,
    edges: Sequence[float] | None = None,
    sides: Mapping[int, int] | None = None,
    reading: float = READING,
) -> MeasuredPattern:
    """Return the pattern that measured distances give.

    Parameters
    ----------
    count : holes
    pairs : measured distances, in any order and any subset that fixes the pattern
    edges : diameter of each hole, mm; needed for distances over edges
    sides : holes (from 1) known to lie behind (+1) or in front (-1) of the line from hole 1 to hole 2; without
        it the first hole well off that line is taken to lie behind, which tells a pattern from its mirror image
    reading : standard deviation of one distance, mm

    Raises
    ------
    PatternError
        A distance that cannot be, or distances that leave a hole loose or fit two patterns.
    """
    given = tuple(pairs)
    ties = _ties(count, given, edges, reading)
    known = dict(sides or {})
    if any(not 3 <= k <= count or v not in (1, -1) for k, v in known.items()):
        raise _refuse("side", f"A side is +1 (behind) or -1 (in front) of hole 3 to {count}.")
    found = _solutions(ties, known)
    least = min(_sum2(ties, p) for p in found)
    best = next(p for p in found if _sum2(ties, p) <= least * (1 + 1e-9) + 1e-12)
    errors, used = _standard_errors(ties, best, reading)
    _check_fixed(ties, best, errors, used)
    likely = _as_good(ties, found, best, reading)
    suited = [q for p in likely for q in (p, p * (1.0, -1.0)) if _suits(q, known, reading)]
    if not suited:
        raise _refuse("side", "The distances put a hole on the other side of the line from hole 1 to hole 2 than you say.")
    best = suited[0]
    others = [p for p in suited if apart(best, p) > 6 * reading]
    if others:
        raise _ambiguous(ties, best, others[0])
    if not known and (k := _first_off(best, reading)) is not None:
        best = best * (1.0, math.copysign(1.0, best[k, 1]))
    errors, used = _standard_errors(ties, best, reading)
    misfits = ties.misfits(best)
    suspect = _suspect(ties, given, best, reading)
    spare = len(given) - (2 * count - 3)
    return MeasuredPattern(
        holes=tuple((float(x), float(y)) for x, y in best), pairs=given, misfits=tuple(misfits.tolist()),
        standard_errors=tuple(errors.tolist()), reading=used, spare=spare, side=_side_words(best, known, reading),
        suspect=suspect, text=_text(misfits, spare, suspect, reading),
    )  # fmt: skip


def _ties(count: int, pairs: tuple[Pair, ...], edges: Sequence[float] | None, reading: float) -> Ties:
    if not 2 <= count <= MOST_HOLES:
        raise _refuse("count", f"Distances are fitted for 2 to {MOST_HOLES} holes, not {count}.")
    if not (math.isfinite(reading) and reading > 0):
        raise _refuse("reading", "The spread of one reading must be more than 0 mm.")
    if edges is not None and (len(edges) != count or any(not (math.isfinite(d) and d >= 0) for d in edges)):
        raise _refuse("edges", f"Give one diameter of at least 0 mm for each of the {count} holes.")
    lengths = []
    for k, p in enumerate(pairs, 1):
        name = f"Distance {k}"
        if not (1 <= p.a <= count and 1 <= p.b <= count) or p.a == p.b:
            raise _refuse("pair", f"{name} must lie between two different holes of 1 to {count}, not {p.a} and {p.b}.")
        if p.over not in _OVER:
            raise _refuse("over", f"{name} must be over {', '.join(_OVER[:2])} or {_OVER[2]}, not {p.over!r}.")
        if p.over != "centres" and edges is None:
            raise _refuse("edges", f"{name} is over {p.over}; give the holes' diameters too.")
        length = p.distance - _edge(p, edges)
        if not (math.isfinite(p.distance) and length > 0):
            raise _refuse("distance", f"{name}, hole {p.a} to hole {p.b}, leaves no distance between the centres.")
        lengths.append(length)
    per_hole = [sum(k in (p.a, p.b) for p in pairs) for k in range(1, count + 1)]
    need = 1 if count == 2 else 2
    for k, n in enumerate(per_hole, 1):
        if n < need:
            raise _refuse(
                "loose", f"Hole {k} has {n or 'no'} distance{'' if n == 1 else 's'} to others and needs {need} at least."
            )
    if len({frozenset((p.a, p.b)) for p in pairs}) < 2 * count - 3:
        raise _refuse(
            "few", f"{count} holes need distances between at least {2 * count - 3} different pairs of them; measure more."
        )
    return Ties(
        count=count, a=np.array([p.a - 1 for p in pairs], dtype=np.intp), b=np.array([p.b - 1 for p in pairs], dtype=np.intp),
        length=np.array(lengths),
    )  # fmt: skip


def _edge(pair: Pair, edges: Sequence[float] | None) -> float:
    """Return what a distance over edges is more than that over centres."""
    if edges is None or pair.over == "centres":
        return 0.0
    half = (edges[pair.a - 1] + edges[pair.b - 1]) / 2
    return half if pair.over == "outside edges" else -half


def _sum2(ties: Ties, points: Array) -> float:
    return float((ties.misfits(points) ** 2).sum())


def _solutions(ties: Ties, known: Mapping[int, int]) -> list[Array]:
    """Return refined patterns from every start and every fold of the best of them, best first."""
    found = [refine(ties, s) for s in starts(ties)]
    found.sort(key=lambda p: _sum2(ties, p))
    turned = found[0].copy()
    for k, side in known.items():
        turned[k - 1, 1] = side * abs(turned[k - 1, 1])
    found.append(refine(ties, turned))
    found += [refine(ties, p) for best in (found[0], turned) for p in folded(ties, best)]
    return sorted(found, key=lambda p: _sum2(ties, p))


def _as_good(ties: Ties, found: list[Array], best: Array, reading: float) -> list[Array]:
    """Return one of each of the patterns that the readings allow as well as the best, best first."""
    spare = len(ties.a) - (2 * ties.count - 3)
    least = _sum2(ties, best)
    spread = max(reading, math.sqrt(least / spare)) if spare > 0 else reading
    kept = [best]
    for p in found:
        if _sum2(ties, p) <= least + _SURE * spread**2 and all(apart(p, q) > reading for q in kept):
            kept.append(p)
    return kept


def _standard_errors(ties: Ties, points: Array, reading: float) -> tuple[Array, float]:
    """Return each hole's standard error within the pattern (smallest sum over all holes), and the reading's used.

    Source: free network adjustment, pseudo-inverse of the normal matrix; Mikhail, Observations and Least Squares,
    from memory.
    """
    jac, spare = ties.jacobian(points), len(ties.a) - (2 * ties.count - 3)
    used = max(reading, math.sqrt(_sum2(ties, points) / spare)) if spare > 0 else reading
    values, vectors = np.linalg.eigh(jac.T @ jac)
    # A rigid body's three motions stretch no distance; what else stretches none makes the pattern loose.
    values, vectors = values[3:], vectors[:, 3:]
    part = (vectors**2 / np.maximum(values, 1e-12)).sum(axis=1).reshape(-1, 2).sum(axis=1)
    return used * np.sqrt(part), used


def _check_fixed(ties: Ties, points: Array, errors: Array, used: float) -> None:
    worst = int(np.argmax(errors))
    if errors[worst] <= _LOOSE * used:
        return
    measured = {frozenset(p) for p in zip(ties.a.tolist(), ties.b.tolist(), strict=True)}
    _, vectors = np.linalg.eigh(ties.jacobian(points).T @ ties.jacobian(points))
    free = vectors[:, 3].reshape(-1, 2)
    gain: dict[tuple[int, int], float] = {}
    for i, j in combinations(range(ties.count), 2):
        off = points[i] - points[j]
        size = float(np.hypot(*off))
        if frozenset((i, j)) not in measured and size > 0:
            gain[i, j] = abs(float(off @ (free[i] - free[j]))) / size
    if gain and max(gain.values()) > 1e-3:
        i, j = max(gain, key=lambda k: gain[k])
        cure = f"measure also hole {i + 1} to hole {j + 1}"
    else:
        cure = "the holes lie nearly on a line, and distances between them say nothing sideways: make a rubbing"
    raise _refuse("loose", f"The distances leave hole {worst + 1} loose; {cure}.")


def _ambiguous(ties: Ties, one: Array, other: Array) -> PatternError:
    measured = {frozenset(p) for p in zip(ties.a.tolist(), ties.b.tolist(), strict=True)}
    change = {
        (i, j): abs(float(np.hypot(*(one[i] - one[j])) - np.hypot(*(other[i] - other[j]))))
        for i, j in combinations(range(ties.count), 2)
        if frozenset((i, j)) not in measured
    }
    cure = ""
    if change:
        i, j = max(change, key=lambda k: change[k])
        cure = f"measure also hole {i + 1} to hole {j + 1}, or "
    return _refuse(
        "two_patterns",
        f"The distances fit two different patterns; {cure}say which holes lie behind the line from hole 1 to hole 2.",
    )


def _suits(points: Array, known: Mapping[int, int], reading: float) -> bool:
    return all(points[k - 1, 1] * side > -3 * reading for k, side in known.items())


def _first_off(points: Array, reading: float) -> int | None:
    """Return the first hole that lies well off the line from hole 1 to hole 2, None where none does."""
    off = np.abs(points[:, 1])
    clear = np.flatnonzero(off > max(3 * reading, 0.5 * float(off.max())))
    return int(clear[0]) if clear.size else None


def _side_words(points: Array, known: Mapping[int, int], reading: float) -> str:
    if known:
        words = {1: "behind", -1: "in front of"}
        return "; ".join(f"hole {k} lies {words[v]} the line from hole 1 to hole 2, as told" for k, v in known.items())
    k = _first_off(points, reading)
    if k is None:
        return "all holes lie on one line"
    return f"hole {k + 1} is taken to lie behind the line from hole 1 to hole 2"


def _suspect(ties: Ties, pairs: tuple[Pair, ...], best: Array, reading: float) -> Suspect | None:
    """Leave out each measurement in turn: the one without which the others agree, if it is one alone."""
    spare = len(pairs) - (2 * ties.count - 3)
    whole = _sum2(ties, best)
    if spare < 2 or whole < _SURE * reading**2:
        return None
    fits: list[tuple[float, int, Array]] = []
    for k in range(len(pairs)):
        rest = ties.without(k)
        begin = [best, next(starts(rest))] if len(np.unique(np.r_[rest.a, rest.b])) == ties.count else [best]
        points = min((refine(rest, s) for s in begin), key=lambda p: _sum2(rest, p))
        fits.append((_sum2(rest, points), k, points))
    fits.sort(key=lambda f: f[0])
    (least, k, points), second = fits[0], fits[1][0]
    noise = max(reading**2, least / (spare - 1))
    if whole - least < _SURE * noise or second - least < 4 * noise:
        return None
    misfit = float(ties.misfits(points)[k])
    return Suspect(index=k, pair=pairs[k], expected=pairs[k].distance - misfit, misfit=misfit)


def _text(misfits: Array, spare: int, suspect: Suspect | None, reading: float) -> str:
    if suspect is not None:
        p = suspect.pair
        return (
            f"Measure hole {p.a} to hole {p.b} again: it reads {p.distance:.1f} mm, and by all the others it is "
            f"{suspect.expected:.1f} mm."
        )
    worst = float(np.abs(misfits).max())
    if spare == 0:
        return "Every distance is needed, so none is checked; one or two more would show a wrong one."
    if (misfits**2).sum() > _SURE * reading**2 * spare:
        return f"The distances contradict each other by up to {worst:.1f} mm; more of them would show which is wrong."
    return f"The distances agree within {worst:.1f} mm."


@dataclass(frozen=True, slots=True, kw_only=True)
class RubbedPattern:
    """A pattern from a rubbing: ``holes`` with hole 1 at the origin and hole 2 on +x, mm; ``scale`` mm per unit read.

    ``scale_error``: standard deviation of the scale, of itself: a length L of the pattern is uncertain by it x L.
    """

    holes: tuple[Point, ...]
    scale: float
    scale_error: float


def pattern_from_rubbing(
    points: Sequence[Point],
    known: Pair,
    *,
    edges: Sequence[float] | None = None,
    from_below: bool = False,
    reading: float = READING,
) -> RubbedPattern:
    """Return the pattern from coordinates read off a rubbing, a scan or a photo square on, and one known length.

    Parameters
    ----------
    points : x, y of each hole in any unit, as read
    known : the measured distance that sets the scale
    edges : diameters of the holes, mm, if that distance was measured over edges
    from_below : the paper lay under the machine, so that the rubbing is the pattern's mirror image
    reading : standard deviation of the known distance and of each place read, mm

    Raises
    ------
    PatternError
        The known distance cannot be, or its holes are one spot on the rubbing.
    """
    count = len(points)
    if not 2 <= count <= MOST_HOLES:
        raise _refuse("count", f"A rubbing is read for 2 to {MOST_HOLES} holes, not {count}.")
    at = np.array(points, dtype=np.float64)
    if at.shape != (count, 2) or not np.isfinite(at).all():
        raise _refuse("points", "Every hole of the rubbing needs a finite x and y.")
    if not (1 <= known.a <= count and 1 <= known.b <= count) or known.a == known.b or known.over not in _OVER:
        raise _refuse("pair", f"The known distance must lie between two different holes of 1 to {count}.")
    if known.over != "centres" and (edges is None or len(edges) != count):
        raise _refuse("edges", f"A distance over edges needs the diameters of all {count} holes.")
    length = known.distance - _edge(known, edges)
    read = float(np.hypot(*(at[known.a - 1] - at[known.b - 1])))
    if not (math.isfinite(length) and length > 0 and read > 0) or not np.hypot(*(at[1] - at[0])) > 0:
        raise _refuse("distance", "The known distance, and that from hole 1 to hole 2, must be more than nothing.")
    scale = length / read
    laid = placed(scale * at * ((1.0, -1.0) if from_below else (1.0, 1.0)))
    # Two places are read besides the distance itself, each along the line between them.
    return RubbedPattern(
        holes=tuple((float(x), float(y)) for x, y in laid), scale=scale, scale_error=math.sqrt(3.0) * reading / length
    )
